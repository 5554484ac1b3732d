// Package fit places parts on scraps of cloth.
//
// Lengths are millimetres, y points down, angles are degrees clockwise. A part
// is its cutting line; a scrap is an outline with holes. A part may touch the
// rim.
//
// Whether one part fits is decided by [Place], a complete search: branch and
// bound over cells of poses (shift and turn). Every vertex of the part has to
// stay in the cloth and every dent of the cloth has to stay out of the part;
// over a cell of poses such a point wanders in a small box, and the rim in that
// box gives it half planes to stay in, linear in the shift and, but for a bow
// that is given in its favour, in the turn. Linear programming then says either
// that the cell holds nothing, which is certain, or where in it there is most
// room, which is then tested exactly. So a part with a fifth of a millimetre to
// spare takes a few cells, not the millions a grid would. Linear conditions on
// shifts of parts are those of Z. Li and V. Milenkovic, "Compaction and
// separation algorithms for non-convex polygons and their applications",
// European Journal of Operational Research 84, 1995.
//
// Several parts are packed by [Pack], and [Strip] for a strip of open length, in
// two stages. A guided local search lets parts overlap and moves one at a time
// to where it costs least, by sampling and descent; what overlaps grows dearer
// (J. Egeblad, B. K. Nielsen and A. Odgaard, "Fast neighborhood search for two-
// and three-dimensional nesting problems", 2007; S. Umetani et al., "Solving the
// irregular strip packing problem via guided local search for overlap
// minimization", 2009). How deep two parts overlap is told by circles within
// them, their poles of inaccessibility (J. Gardeyn and T. Wauters, "An
// open-source heuristic to reboot 2D nesting research", 2025, arXiv 2509.13329).
// Of parts that may not be turned freely it is read off a chart by the shift
// between them, drawn when it has been asked for often enough to be worth it.
// Then all parts move at once by the linear programs above until every clearance
// is exact, and on a strip until nothing moves left any more.
//
// Where parts are cut from larger ones at levels that may slide, and what one
// cloth takes another gives up, [Joint] lets the levels be variables of the
// same programs: how each vertex of an outline moves with a level is found by
// cutting again a hair further.
//
// Neither stage does alone. Measured on scraps grown around 3 or 4 planted parts
// that lie 3 mm apart, 20 scraps each, 300,000 poses weighed at most, mean time
// a scrap (on a busy machine):
//
//	                          slack 2 mm        slack 0.5 mm      4 parts, 0.5 mm
//	programs alone, from      4 of 20, 2.5 s    -                 -
//	random layouts
//	guided search alone       20, 0.10 s        20, 0.98 s        14, 3.1 s
//	both, as here             20, 0.03 s        20, 0.03 s        20, 0.09 s
//
// BenchmarkStrip on open data, 60 s on two cores: density 87.4 % on shirts,
// 88.6 % on albano, 88.7 % on dagli.
package fit
