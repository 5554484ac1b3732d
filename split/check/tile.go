package check

import (
	"errors"
	"math"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

// outlines finds the outline that the parts of each piece must make up: the
// one drawn, or the one that a moved seam or a dart taken in has left it.
func (o *optionProof) outlines() {
	for _, at := range o.order {
		o.target[at] = &o.pieces[at].region
	}
	for _, m := range o.Option.Moved {
		at := id{m.Piece, m.Copy}
		switch {
		case o.pieces[at] == nil:
			o.fail(Fault{Rule: Names}, "there is no piece %s whose outline could have moved", at)
			continue
		case o.moved[at]:
			o.fail(Fault{Rule: Names}, "the moved outline of piece %s is listed twice", at)
		}
		o.moved[at] = true
		r, err := newRegion(m.SeamLine)
		if err != nil {
			o.fail(Fault{Rule: Outline}, "moved outline of piece %s: %v", at, err)
			o.target[at] = nil
			continue
		}
		o.target[at] = &r
	}
}

// tiles proves that the parts of a piece make it up: nothing missing, nothing
// twice, nothing beyond.
func (o *optionProof) tiles(of id) {
	parts, target := o.of[of], o.target[of]
	if o.pieces[of].Ready {
		if len(parts) > 0 {
			o.fail(Fault{Rule: Names}, "piece %s is cut already, and the plan cuts it again", of)
		}
		return
	}
	if len(parts) == 0 {
		o.fail(Fault{Rule: Missing}, "piece %s has no parts", of)
		return
	}
	if target == nil {
		return
	}
	var all []geom.Geometry
	var area float64
	for _, p := range parts {
		if p.broken {
			return
		}
		all = append(all, p.seam.geom)
		area += p.seam.area
	}
	if len(parts) == 1 && parts[0].seam.same(target) {
		return
	}
	covered := true
	ask := func(f Fault, says string, overlay func(turn) (geom.Geometry, error), so func(point) bool) {
		at, areaMM2, wide, err := wideIn(overlay, so)
		switch {
		case err != nil:
			f.Rule = NotProvable
			o.fail(f, "piece %s: %v", of, err)
		case wide:
			covered = false
			o.fail(f, "%s piece %s at %.1f, %.1f (%.2f mm²)", says, of, at[0], at[1], areaMM2)
		}
	}
	ask(Fault{Rule: Missing}, "no part has what is in", func(t turn) (geom.Geometry, error) {
		union, err := geom.UnionMany(t.all(all))
		if err != nil {
			return union, err
		}
		return geom.Difference(t.of(target.geom), union)
	}, func(q point) bool {
		return target.holds(q) && !slices.ContainsFunc(parts, func(p *partProof) bool { return within(p.seam.ring, q) })
	})
	for i, p := range parts {
		ask(Fault{Rule: Beyond, Part: p.label}, "the part reaches out of", func(t turn) (geom.Geometry, error) {
			return geom.Difference(t.of(p.seam.geom), t.of(target.geom))
		}, func(q point) bool { return within(p.seam.ring, q) && !target.holds(q) })
		for _, q := range parts[:i] {
			if found := len(o.found); p.seam.box.apart(q.seam.box) == 0 {
				ask(Fault{Rule: Overlap, Part: p.label}, "part "+q.label+" has the same bit of", func(t turn) (geom.Geometry, error) {
					return geom.Intersection(t.of(p.seam.geom), t.of(q.seam.geom))
				}, func(at point) bool { return within(p.seam.ring, at) && within(q.seam.ring, at) })
				if len(o.found) > found {
					break // one such part is enough to know
				}
			}
		}
	}
	// The sum of the areas needs no overlay.
	perimeter := length(closed(target.ring))
	for _, p := range parts {
		perimeter += length(closed(p.seam.ring))
	}
	if off := area - target.area; covered && math.Abs(off) > SlackMM*perimeter {
		o.fail(Fault{Rule: Missing}, "the parts of piece %s have %.1f mm² more than the piece", of, off)
	}
}

// wideIn finds a place where an overlay is wider than the slack. What it finds
// must also be so by the outlines themselves, for now and then lines that run
// along each other turn an overlay inside out. Then it is asked again with
// everything turned on the page, which rounds the lines otherwise.
func wideIn(overlay func(turn) (geom.Geometry, error), so func(point) bool) (at point, areaMM2 float64, wide bool, err error) {
	for _, deg := range [...]float64{0, 7, 23, 51} {
		t := newTurn(deg)
		var left geom.Geometry
		if left, err = overlay(t); err != nil {
			continue
		}
		if at, wide, err = widerThan(left, SlackMM+hairMM); err != nil {
			continue
		}
		if at = t.back(at); !wide || so(at) {
			return at, left.Area(), wide, nil
		}
		err = errContradicts
	}
	return point{}, 0, false, err
}

var errContradicts = errors.New("the overlay contradicts the outlines")

// turn turns geometry about the origin, onto the grid.
type turn struct{ sin, cos float64 }

func newTurn(deg float64) turn {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return turn{sin, cos}
}

func (t turn) of(g geom.Geometry) geom.Geometry {
	if t.sin == 0 {
		return g
	}
	return g.TransformXY(func(q geom.XY) geom.XY {
		return geom.XY{
			X: math.Round((t.cos*q.X-t.sin*q.Y)/gridMM) * gridMM,
			Y: math.Round((t.sin*q.X+t.cos*q.Y)/gridMM) * gridMM,
		}
	})
}

func (t turn) all(gs []geom.Geometry) []geom.Geometry {
	out := make([]geom.Geometry, len(gs))
	for i, g := range gs {
		out[i] = t.of(g)
	}
	return out
}

func (t turn) back(q point) point {
	return point{t.cos*q[0] + t.sin*q[1], t.cos*q[1] - t.sin*q[0]}
}

// slivers refuses a part of a split piece that is too narrow to sew.
func (o *optionProof) slivers(p *partProof) {
	if p.whole {
		return // as narrow as it was drawn
	}
	f := Fault{Rule: Sliver, Part: p.label}
	core, err := eroded(p.seam.geom, neckMM/2.0)
	disc := core
	const more = (leastMM - neckMM) / 2.0
	// What is no further than that from the rim has no more area than the
	// rim's length by that.
	if err == nil && core.Area() <= more*core.Boundary().Length() {
		disc, err = eroded(core, more)
	}
	if err != nil {
		f.Rule = NotProvable
		o.fail(f, "how narrow it is: %v", err)
		return
	}
	if disc.IsEmpty() {
		o.fail(f, "it is nowhere %d mm wide", leastMM)
		return
	}
	if n := len(polygons(core)); n > 1 {
		o.fail(f, "it is %d islands, held together by less than %d mm", n, neckMM)
	}
}
