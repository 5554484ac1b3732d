// Package byhand is a plan that a maker makes by hand: seams that she draws on the
// pieces, parts that she lays on scraps, and what fits where, said at once.
//
// # What it is
//
// New takes the copies of a pattern and a pile of scraps, prepares them, and gives
// a Given. Given.Start is the Plan with no line in it. A Plan does not change:
// WithLine, Moved, Placed and the others give another one, or an error that says
// why not. So a step back is the plan before, and who has one may ask it anything
// while the next is made. Work keeps the plans that were, for undo and redo.
//
// A Plan is cut as any plan is (split.Make), each copy by itself: lines are trued,
// parts have their allowances and notches, and what cannot be sewn is refused. Its
// Record is proved and written as what a search found. It need not be whole before
// that: parts that lie nowhere, hang off or lie on others stay as she left them,
// and Lay says so.
//
// # How it knows what fits
//
// Fits and Try answer for parts by the search's own table (search.Places): rules,
// area and extents first, which rule most out, and then the search for a pose,
// which is complete. What lies on a scrap already is taken off its cloth with the
// gap round it (split/remnant), so a part is only ever placed on what is left.
// That a part fits is said of a pose that the proof's rules confirm (check.OnScrap),
// and never else.
//
// A line that is dragged asks this many times a second. So where a part lay a
// moment ago is tried first; answers are remembered for a while; and every look
// ends with its context. What was not looked at to the end is told as AtMost: it
// may fit after all, or hang off by less.
//
// # Snapping
//
// A part that is put down near a place where it can lie slides there: to the
// nearest pose within ReachMM that is clear of edge and neighbours, and from there
// on until it touches, so that cloth between parts is not wasted.
//
// Lengths are in mm, angles in degrees clockwise, y down.
package byhand
