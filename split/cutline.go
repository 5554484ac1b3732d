package split

import (
	"math"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// CutLine is the cutting line of a piece or of a part of it. Across the mouth
// of a dart it is shaped for the dart to be folded: all of the mouth where both
// legs end on the part, and as far as the seam's allowance where a piecing seam
// divides it, so that the parts sewn together have the whole of the shape.
func CutLine(p *piece.Piece, o piece.Outline) (orb.Ring, error) {
	corners, err := mouths(p, o)
	if err != nil {
		return nil, err
	}
	return allowance.CutLineWith(o, corners)
}

// CutPath is CutLine for drawing, with curves beside curves.
func CutPath(p *piece.Piece, o piece.Outline) (curve.Path, error) {
	corners, err := mouths(p, o)
	if err != nil {
		return nil, err
	}
	return allowance.CutPathWith(o, corners)
}

// mouths are what the darts of a piece ask of the cutting line of a part.
func mouths(p *piece.Piece, o piece.Outline) (r allowance.Corners, err error) {
	for _, d := range p.Darts {
		first, second := onOutline(o, d.Leg1), onOutline(o, d.Leg2)
		var ends []seamEnd
		switch {
		case first && second && d.Seam != "":
			r.Darts = append(r.Darts, d)
		case first && second:
			// Beside a leg the cutting line runs where the leg's neighbour
			// leads it. Where a piecing seam ends so near the leg that it
			// is the neighbour, the mouth gets the shape that it has on
			// the whole piece, as far as the seam's allowance.
			if ends = seamsBeside(o, d); len(ends) == 0 {
				r.Darts = append(r.Darts, d)
				continue
			}
		case first || second:
			end, ok := seamInMouth(o, d)
			if !ok {
				continue
			}
			ends = []seamEnd{end}
		default:
			continue
		}
		roofs, err := allowance.Mouth(p, d)
		if err != nil {
			return r, err
		}
		for _, roof := range roofs {
			for _, end := range ends {
				roof = end.shortOf(roof)
			}
			if len(roof) > 2 {
				r.Mouths = append(r.Mouths, roof)
			}
		}
	}
	return r, nil
}

// seamEnd is where a piecing seam of a part ends, the direction out of the
// part there, and the seam's allowance.
type seamEnd struct {
	at, out     orb.Point
	allowanceMM float64
}

func endOf(e piece.Edge, alongMM float64) seamEnd {
	at, u := e.Line.At(alongMM)
	return seamEnd{at, orb.Point{u[1], -u[0]}, e.AllowanceMM}
}

// seamsBeside are the ends of piecing seams so near to the legs of a dart that
// the cutting line there is the seam's.
func seamsBeside(o piece.Outline, d piece.Dart) (out []seamEnd) {
	widest := 0.0
	for _, e := range o {
		widest = math.Max(widest, e.AllowanceMM)
	}
	distance := func(p, q orb.Point) float64 { return math.Hypot(p[0]-q[0], p[1]-q[1]) }
	near := distance(d.Leg1, d.Leg2) + 2*widest // as far as the lines of both reach
	for _, e := range o {
		if e.Seam == "" {
			continue
		}
		for _, end := range []seamEnd{endOf(e, 0), endOf(e, e.Line.Length())} {
			if math.Min(distance(end.at, d.Leg1), distance(end.at, d.Leg2)) < near {
				out = append(out, end)
			}
		}
	}
	return out
}

// seamInMouth is where a piecing seam of a part ends between the legs of a
// dart.
func seamInMouth(o piece.Outline, d piece.Dart) (end seamEnd, ok bool) {
	legs := [2]segment{segmentTo(d.Apex, d.Leg1), segmentTo(d.Apex, d.Leg2)}
	side := func(q orb.Point) bool {
		_, first := legs[0].of(q)
		_, second := legs[1].of(q)
		return (first > 0) != (second > 0)
	}
	n := len(o)
	for i, e := range o {
		switch {
		case e.Seam == "":
		case o[(i+1)%n].Seam == "" && side(e.Line.End()) && aheadOf(d, e.Line.End()):
			return endOf(e, e.Line.Length()), true
		case o[(i+n-1)%n].Seam == "" && side(e.Line.Start()) && aheadOf(d, e.Line.Start()):
			return endOf(e, 0), true
		}
	}
	return seamEnd{}, false
}

// aheadOf reports whether a point lies on the mouth's side of a dart's apex.
func aheadOf(d piece.Dart, q orb.Point) bool {
	mid := orb.Point{(d.Leg1[0]+d.Leg2[0])/2 - d.Apex[0], (d.Leg1[1]+d.Leg2[1])/2 - d.Apex[1]}
	return mid[0]*(q[0]-d.Apex[0])+mid[1]*(q[1]-d.Apex[1]) > 0
}

// shortOf is the part of a ring that lies no further out than the seam's
// allowance.
func (s seamEnd) shortOf(r orb.Ring) orb.Ring {
	over := func(q orb.Point) float64 { return (q[0]-s.at[0])*s.out[0] + (q[1]-s.at[1])*s.out[1] - s.allowanceMM }
	var kept orb.Ring
	for i, p := range r {
		q := r[(i+1)%len(r)]
		a, b := over(p), over(q)
		if a <= 0 {
			kept = append(kept, p)
		}
		if a < 0 && b > 0 || a > 0 && b < 0 {
			t := a / (a - b)
			kept = append(kept, orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
		}
	}
	return kept
}
