// Package fit places parts on scraps of cloth: one part ([Place]), several on
// one cloth ([Pack]), several on cloths that share cuts ([Joint]), or as many as
// there are on a strip ([Strip]).
//
// Lengths are millimetres, y points down, angles are degrees clockwise. A part
// is its cutting line; a cloth is an outline with holes. A part may touch the
// edge of the cloth. Nothing counts as placed unless it passes an exact test
// ([Cloth] against [Shape], and shape against shape).
//
// # One part
//
// [Place] is a complete search, by branch and bound over cells of poses. A pose
// is a shift and a turn. In every pose that fits, each vertex of the part is on
// the cloth and each reflex corner of the cloth is outside the part. Over the
// poses of one cell such a point stays in a small box. The edges in that box
// give half planes that the point must stay in. These are linear in the shift.
// In the turn they are linear but for a curvature term, which is allowed for so
// that no feasible pose is cut off. A linear program then either proves the
// cell empty, or finds the pose with most room, which is tested exactly. So a
// part with a fifth of a millimetre to spare takes a few cells, where a grid
// would take millions. The linear conditions on shifts are those of Z. Li and
// V. Milenkovic, "Compaction and separation algorithms for non-convex polygons
// and their applications", European Journal of Operational Research 84, 1995.
//
// # Several parts
//
// [Pack] and [Strip] work in two stages. The first is overlap minimisation by
// guided local search. Parts may overlap; one part at a time moves to where it
// costs least, by sampling and descent; then the weights of what overlaps are
// raised (J. Egeblad, B. K. Nielsen and A. Odgaard, "Fast neighborhood search
// for two- and three-dimensional nesting problems", 2007; S. Umetani et al.,
// "Solving the irregular strip packing problem via guided local search for
// overlap minimization", 2009). It sees parts as simplified outlines, inflated
// by half the gap. How deep two parts overlap is estimated from circles within
// them, their poles of inaccessibility (J. Gardeyn and T. Wauters, "An
// open-source heuristic to reboot 2D nesting research", 2025, arXiv 2509.13329).
// For parts at fixed turns the cost is read from a pairwise overlap table, once
// it has been asked for often enough to be worth filling. The table also knows where
// the edges of the no-fit polygon run through the cells of its grid. So outlines are
// compared only near its narrow corners. A broad phase keeps parts that are far apart
// from being compared, and a signed distance field of the cloth tells how far a part
// lies off it.
//
// The second stage is separation: all parts move at once by linear programs
// like those above until every clearance is exact. On a strip, compaction
// follows, until nothing moves any further.
//
// [Strip] shortens a strip by a step, which gets smaller, and packs again. After
// a failure the next search begins from a pool of infeasible layouts, more likely
// from one with little overlap, where two large parts have exchanged places
// (Gardeyn and Wauters 2025). Such a search is given up early where it has much more
// overlap than those of the pool: most of the time went into these. When it has found
// nothing shorter for as long as it took to come so far, it begins anew from a random
// layout. Its weights, and those of [Pack] where there are many items, grow gently: a
// half or a third of the poses then suffice to pack a strip of a given length (see
// cmd/figures/FIGURES.md).
//
// Where parts are cut from larger pieces at levels that may slide, what one
// cloth takes another gives up. [Joint] makes the levels variables of the same
// programs. How each vertex of an outline moves with a level is a finite
// difference, found by cutting again a small step further.
//
// # Lines
//
// A turn may have [Lines]: parallel lines that the part's shift is held to, as
// cloth with stripes asks for. Every stage keeps to them. [Place] opens a cell
// for each line. The guided local search draws poses on lines and steps along
// them, or to the next one. The linear programs move a part along the line that
// it is on.
//
// # Words
//
// Words of this package: a level is where a movable cut lies, in mm. Room is
// the least slack of a pose over all its constraints. An effort is a budget in
// poses evaluated, so that results do not depend on the speed of the machine.
//
// # Why two stages
//
// Neither stage is enough alone. Measured on scraps grown around 3 or 4 planted parts
// that lie 3 mm apart, 20 scraps each, at most 300,000 poses evaluated, mean time
// a scrap (on a busy machine):
//
//	                          slack 2 mm        slack 0.5 mm      4 parts, 0.5 mm
//	programs alone, from      4 of 20, 2.5 s    -                 -
//	random layouts
//	guided search alone       20, 0.10 s        20, 0.98 s        14, 3.1 s
//	both, as here             20, 0.03 s        20, 0.03 s        20, 0.09 s
//
// BenchmarkStrip on open data, 60 s of one core, seed 2: density 88.2 % on shirts,
// 89.0 % on albano, 88.0 % on dagli.
package fit
