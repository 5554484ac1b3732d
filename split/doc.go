// Package split knows the ways to split a pattern piece: where a piecing seam
// may run, what parts it leaves, what a moved seam does to two pieces, and
// what all of it costs the garment's looks.
//
// # From a pattern to a plan document
//
// Copies makes every copy of every piece, and says on which side of the body
// each is worn. A Plan says what is to be done: which seams are moved (Move),
// and how each copy is cut (Tree). A Tree is a binary tree of cuts. Its leaves
// are the parts, and each names a scrap and a place on it. Who makes plans is
// no matter: package split/search looks for them, and Tree.ByHand does what a
// maker asks for.
//
// Make carries a plan out. It cuts the parts, notches the new seams, takes
// darts in, and gives a Made, or an error that names the copy that cannot be
// cut so. It does not look whether the parts lie on their scraps: whoever made
// the plan placed them, and split/check proves it. Cost gives the terms of how
// intrusive a Made is, in points; less is better, and below 0 is a gain.
// Record.Document writes pieces, scraps, joins and every Made as plan.json has
// them, for the proof and the drawings.
//
// A way to split is one type that implements Way. The search knows only that
// interface. The proof of a plan is in split/check and shares no code with
// this package.
//
// # Words
//
//   - piecing seam: a seam that joins parts of one piece, and that the pattern
//     as drawn does not have.
//   - join: two edges of the pattern that are sewn together. They are mates, as
//     are the points on both that meet when they are sewn.
//   - keep zone: where the pattern says that no piecing seam may run.
//   - carried line: a cross seam that goes on through the joins that it meets,
//     on the pieces beyond them, so that it looks like one line.
//   - body: an outline that is to be cut, a piece or what is left of one, with
//     its grain, keep zones and darts.
//   - level: where the line of a way runs, in mm. What it is measured along is
//     the way's own business. As it grows, the near part grows and the far
//     part shrinks.
//   - near, far: the two parts of a cut. Near is on the left of the line, in
//     the direction in which it is drawn.
//   - span: levels from lo to hi at which a line may run.
//   - chord: the stretch of a line that lies inside an outline.
//   - stub: an edge or a bit of one too short to be read again as it was drawn.
//   - strip: what a moved seam takes off one piece and gives to the other.
//   - mouth: the open end of a dart, from leg to leg.
//   - fish eye, or eye: a dart with two points.
//   - level mark: a notch that says where the end of a piecing seam meets the
//     piece that is sewn on there.
//
// Lengths are in mm; x is to the right, y down; angles are in degrees clockwise
// from +x. Outlines run clockwise on the page.
package split
