package check

import (
	"math"

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
func (o *optionProof) tiles(at id) {
	parts, target := o.of[at], o.target[at]
	if len(parts) == 0 {
		o.fail(Fault{Rule: Missing}, "piece %s has no parts", at)
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
	union := parts[0].seam.geom
	var err error
	if len(all) > 1 {
		if union, err = geom.UnionMany(all); err != nil {
			o.fail(Fault{Rule: NotProvable}, "the parts of piece %s together: %v", at, err)
			return
		}
	}
	covered := true
	ask := func(f Fault, a, b geom.Geometry, op func(a, b geom.Geometry) (geom.Geometry, error), says string) {
		left, err := op(a, b)
		if err != nil {
			f.Rule = NotProvable
			o.fail(f, "piece %s: %v", at, err)
			return
		}
		where, wide, err := widerThan(left, SlackMM+hairMM)
		switch {
		case err != nil:
			f.Rule = NotProvable
			o.fail(f, "piece %s: %v", at, err)
		case wide:
			covered = false
			o.fail(f, "%s piece %s at %.1f, %.1f (%.2f mm²)", says, at, where[0], where[1], left.Area())
		}
	}
	ask(Fault{Rule: Missing}, target.geom, union, geom.Difference, "no part has what is in")
	for i, p := range parts {
		ask(Fault{Rule: Beyond, Part: p.label}, p.seam.geom, target.geom, geom.Difference, "the part reaches out of")
		for _, q := range parts[:i] {
			if p.seam.box.apart(q.seam.box) == 0 {
				ask(Fault{Rule: Overlap, Part: p.label}, p.seam.geom, q.seam.geom, geom.Intersection, "part "+q.label+" has the same bit of")
			}
		}
	}
	// The sum of the areas needs no overlay.
	perimeter := length(closed(target.ring))
	for _, p := range parts {
		perimeter += length(closed(p.seam.ring))
	}
	if off := area - target.area; covered && math.Abs(off) > SlackMM*perimeter {
		o.fail(Fault{Rule: Missing}, "the parts of piece %s have %.1f mm² more than the piece", at, off)
	}
}

// slivers refuses a part of a split piece that is too narrow to sew.
func (o *optionProof) slivers(p *partProof) {
	if p.whole {
		return // as narrow as it was drawn
	}
	f := Fault{Rule: Sliver, Part: p.label}
	_, wide, err := widerThan(p.seam.geom, leastMM)
	if err == nil && !wide {
		o.fail(f, "it is nowhere %d mm wide", leastMM)
		return
	}
	var core geom.Geometry
	if err == nil {
		core, err = grown(p.seam.geom, -neckMM/2.0)
	}
	if err != nil {
		f.Rule = NotProvable
		o.fail(f, "how narrow it is: %v", err)
		return
	}
	if n := len(polygons(core)); n > 1 {
		o.fail(f, "it is %d islands, held together by less than %d mm", n, neckMM)
	}
}
