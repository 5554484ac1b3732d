package split

import (
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
		switch {
		case first && second:
			r.Darts = append(r.Darts, d)
		case first || second:
			seam, end, ok := seamInMouth(o, d)
			if !ok {
				continue
			}
			roofs, err := allowance.Mouth(p, d)
			if err != nil {
				return r, err
			}
			at, u := seam.Line.At(end)
			out := orb.Point{u[1], -u[0]}
			for _, roof := range roofs {
				if bit := shortOf(roof, at, out, seam.AllowanceMM); len(bit) > 2 {
					r.Mouths = append(r.Mouths, bit)
				}
			}
		}
	}
	return r, nil
}

// seamInMouth is the piecing seam of a part that ends between the legs of a
// dart, and at how many mm along it.
func seamInMouth(o piece.Outline, d piece.Dart) (seam piece.Edge, end float64, ok bool) {
	side := func(q orb.Point) bool { return (leftOf(d.Apex, d.Leg1, q) > 0) != (leftOf(d.Apex, d.Leg2, q) > 0) }
	n := len(o)
	for i, e := range o {
		switch {
		case e.Seam == "":
		case o[(i+1)%n].Seam == "" && side(e.Line.End()) && aheadOf(d, e.Line.End()):
			return e, e.Line.Length(), true
		case o[(i+n-1)%n].Seam == "" && side(e.Line.Start()) && aheadOf(d, e.Line.Start()):
			return e, 0, true
		}
	}
	return piece.Edge{}, 0, false
}

// aheadOf reports whether a point lies on the mouth's side of a dart's apex.
func aheadOf(d piece.Dart, q orb.Point) bool {
	mid := orb.Point{(d.Leg1[0]+d.Leg2[0])/2 - d.Apex[0], (d.Leg1[1]+d.Leg2[1])/2 - d.Apex[1]}
	return mid[0]*(q[0]-d.Apex[0])+mid[1]*(q[1]-d.Apex[1]) > 0
}

// shortOf is what of a ring lies no further than mm out from a place.
func shortOf(r orb.Ring, at, out orb.Point, mm float64) orb.Ring {
	over := func(q orb.Point) float64 { return (q[0]-at[0])*out[0] + (q[1]-at[1])*out[1] - mm }
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
