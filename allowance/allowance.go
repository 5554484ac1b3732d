// Package allowance puts seam allowances on pieces and takes them off, and
// finishes the new seams that a split makes: notches, darts, trueing. It also
// walks seams: it compares the lengths of edges that are sewn together.
//
// # What goes in and comes out
//
// CutLine takes a piece's outline and gives the cutting line as points, which is
// what is placed and proved; CutPath gives it with its curves, for drawing. How
// wide an allowance is stands on each piece.Edge and is not decided here.
// SeamLine and TrueDarts change the piece that they are given: the one takes the
// allowance off, the other makes dart legs equal. TakeIn, True and TrueAcross
// leave what they are given, and return new outlines. Walk and Warnings only
// measure. An error of SeamLine is a *piece.Error; any other says what is wrong
// with the outline, and the caller says of which piece.
//
// # How a cutting line is made
//
// The cutting line is the outline of everything that must be cloth: the piece
// itself, a strip beside each edge as wide as that edge's allowance, and a fill
// at each convex corner. It is an offset curve with a distance of its own for
// each edge. The strips and fills are not united one by one. Laid end to end,
// their outer sides are the raw offset curve, a closed line that may have loops
// and folds. Its winding number about a point is the number of strips and fills
// that cover the point, and never negative. So the outline wanted is the
// boundary of the unbounded face of the subdivision that the curve makes of the
// plane, which is kept as a half-edge structure. (X. Chen, S. McMains, "Polygon
// offsetting by computing winding numbers", ASME IDETC 2005.) A slot narrower
// than the allowances of its two sides is filled. Taking an allowance off is
// the same with the piece run backward, and the face with winding number -1.
//
// # What holds
//
// All of this is for the flattened seam line that piece.Outline.Ring gives. The
// cutting line holds the piece, every point within an edge's allowance straight
// out from that edge, and at each corner, inside an edge or between two, every
// point within the smaller of the two allowances that meet there. Where all
// allowances are equal, that is the piece grown by a disc of that radius. Where
// they differ, the wider one stops at the end of its edge, as a cutter draws it:
// the lines beside the two edges run on until they meet, and where they never
// meet, the wider one steps in square to the seam. With Corners.CarryOn the
// wider one goes on round the end instead.
//
// # Words
//
// A side is one straight side of the flattened seam line. A strip is what lies
// within the allowance of a side, straight out from it. A run is a stretch of a
// cutting line beside one edge. A cover is the cloth over a dart's mouth.
//
// Millimetres; x to the right, y down; outlines run clockwise on the page.
package allowance

import (
	"fmt"
	"math"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// CutLine is the cutting line of an outline: each edge's seam line moved out
// by its own allowance, with the usual corners. It runs clockwise, has no
// closing repeat, and never crosses or touches itself. An outline that is not
// clockwise, or an allowance that is negative or no number, is an error.
func CutLine(o piece.Outline) (orb.Ring, error) { return CutLineWith(o, Corners{}) }

// CutLineWith is CutLine with corners as r says.
func CutLineWith(o piece.Outline, r Corners) (orb.Ring, error) {
	sides, err := sidesOf(o)
	if err != nil {
		return nil, err
	}
	ring, _, err := cutLine(o, sides, r)
	return ring, err
}

// cutLine also gives the side that each stretch of the ring runs beside, or
// cornerSide.
func cutLine(o piece.Outline, sides []side, r Corners) (ring orb.Ring, along []int, err error) {
	// Lines that only just touch may leave the ring crossing itself, by rounding.
	// Allowances wider by less than a thread then decide which way they touch.
	for _, widerMM := range [...]float64{0, 1e-4, 3e-4, 1e-3} {
		if widerMM > 0 {
			for i := range sides {
				if sides[i].allowance > 0 {
					sides[i].allowance += widerMM
				}
			}
		}
		line := r.rawOffset(o, sides)
		ring, along, err = outerFace(line)
		if err == nil && len(r.Darts)+len(r.Mouths) > 0 {
			for _, d := range r.Darts {
				for _, cover := range mouthCovers(ring, d) {
					line.addRing(cover)
				}
			}
			for _, cover := range r.Mouths {
				line.addRing(cover)
			}
			ring, along, err = outerFace(line)
		}
		if err == nil {
			if line.addPastEnds(o, sides, ring) {
				if more, beside, err := outerFace(line); err == nil {
					ring, along = more, beside
				}
			}
			return ring, along, nil
		}
	}
	return nil, nil, err
}

// side is one straight side of the flattened seam line.
type side struct {
	from, to  orb.Point
	along     orb.Point // unit, from from to to
	out       orb.Point // unit normal, away from the piece
	length    float64
	allowance float64
	edge      int // in the outline
	segment   int // in the edge's line
	t0, t1    float64
}

// sidesOf flattens an outline as piece.Outline.Ring does.
func sidesOf(o piece.Outline) ([]side, error) { return flatten(o, curve.FlattenMM) }

// flatten gives the straight sides within tolMM of an outline, without those of
// no length.
func flatten(o piece.Outline, tolMM float64) ([]side, error) {
	const none = 1e-9
	sides := make([]side, 0, 256)
	for i, e := range o {
		if !(e.AllowanceMM >= 0) || math.IsInf(e.AllowanceMM, 0) {
			return nil, fmt.Errorf("edge %s has the seam allowance %g mm; give it 0 mm or more", nameOf(o, i), e.AllowanceMM)
		}
		for j, s := range e.Line {
			points := curve.Path{s}.Flatten(tolMM)
			steps := float64(len(points) - 1)
			for k, p := range points[1:] {
				d := plane.Sub(p, points[k])
				l := plane.Length(d)
				if l < none {
					continue
				}
				along := plane.Scale(d, 1/l)
				sides = append(sides, side{
					from: points[k], to: p, along: along, out: orb.Point{along[1], -along[0]}, length: l,
					allowance: e.AllowanceMM, edge: i, segment: j, t0: float64(k) / steps, t1: float64(k+1) / steps,
				})
			}
		}
	}
	var area float64
	for _, s := range sides {
		area += plane.Cross(s.from, s.to)
	}
	if len(sides) < 3 || !(area > 0) {
		return nil, fmt.Errorf("the outline does not run clockwise round an area; draw a closed outline")
	}
	return sides, nil
}

// nameOf names an edge for a message, by number where it has no name.
func nameOf(o piece.Outline, i int) string {
	if o[i].Name != "" {
		return o[i].Name
	}
	if o[i].Seam != "" {
		return "of seam " + o[i].Seam
	}
	return fmt.Sprintf("%d of %d", i+1, len(o))
}
