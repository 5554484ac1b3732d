package draw

import (
	"fmt"
	"slices"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// LayoutShapes is each scrap that an option uses, with the parts that are cut
// from it in Inner, in the scrap's own coordinates, in the plan's order.
func (p *Plan) LayoutShapes(option int) ([]Shape, error) {
	o, err := p.option(option)
	if err != nil {
		return nil, err
	}
	return o.layout()
}

func (o *option) layout() ([]Shape, error) {
	d := o.doc
	var out []Shape
	for i := range d.Scraps {
		if !o.cutsInto(&d.Scraps[i]) {
			continue
		}
		s, err := scrapShape(d, &d.Scraps[i], o.parts)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	for _, p := range o.Parts {
		if !slices.ContainsFunc(d.Scraps, func(s plan.Scrap) bool { return s.Name == p.Scrap && s.Copy == p.ScrapCopy }) {
			return nil, fmt.Errorf("part %q is cut from scrap %q (%d), which the plan does not have", p.Name, p.Scrap, p.ScrapCopy)
		}
	}
	return out, nil
}

// cutsInto reports whether an option cuts a part from a scrap.
func (o *option) cutsInto(s *plan.Scrap) bool {
	return slices.ContainsFunc(o.parts, func(p part) bool { return p.isFrom(s) })
}

// scrapShape is one scrap with those of the parts that are cut from it.
func scrapShape(d *plan.Document, scrap *plan.Scrap, parts []part) (Shape, error) {
	if len(scrap.Outline) < 3 {
		return Shape{}, fmt.Errorf("scrap %q has an outline of %d points; at least 3 are needed", scrap.Name, len(scrap.Outline))
	}
	s := Shape{Name: d.ScrapName(scrap.Name, scrap.Copy), GrainDeg: scrap.GrainDeg, OneWay: scrap.Nap}
	s.Facts = []Fact{{"nap", yes(scrap.Nap)}, {"face", plan.Plain(scrap.Face)}}
	if scrap.Fabric != "" {
		s.Facts = append(s.Facts, Fact{"fabric", plan.Plain(scrap.Fabric)})
	}
	outline := closedPath(scrap.Outline)
	for _, q := range scrap.Outline {
		s.Region = append(s.Region, orb.Point(q))
	}
	s.Lines = append(s.Lines, Line{Stroke: Cloth, Word: "outline", Path: outline, Closed: true})
	space := newFreeSpace(outline)
	for _, h := range scrap.Holes {
		hole := closedPath(h)
		s.Lines = append(s.Lines, Line{Stroke: Hole, Word: "hole", Path: hole, Closed: true})
		space.addWall(hole.Flatten(flattenMM))
		space.addHole(hole)
	}
	for i := range parts {
		p := &parts[i]
		if !p.isFrom(scrap) {
			continue
		}
		var say inscription
		if flips(p.Placement) {
			say.words = []string{"wrong side up"}
		}
		s.Inner = append(s.Inner, p.shape(curve.Matrix(p.Placement), say))
		cut := closedPath(p.CutLine).Transform(curve.Matrix(p.Placement))
		space.addWall(cut.Flatten(flattenMM))
		space.addHole(cut)
	}
	// Where the cloth that is left has no room for it, the grain is written for
	// readers of the file and shown by the parts alone.
	a, b := space.chord(s.grain())
	crowded := space.clearance(plane.Along(a, plane.Sub(b, a), 0.5), 0) < 4*clearMM
	drawn := len(s.Lines)
	s.grainline(space, tipMM)
	for i := drawn; crowded && i < len(s.Lines); i++ {
		s.Lines[i].Stroke = Unseen
	}
	box := orb.MultiPoint(s.Region).Bound()
	words := s.Name
	if scrap.Nap {
		words += ", nap runs with the arrow"
	}
	if scrap.Shrink > 0 {
		words += fmt.Sprintf(", washed: %s %% smaller than before", number(scrap.Shrink))
	}
	const sizeMM = 9.0
	s.Labels = append(s.Labels, Label{
		Text: words, SizeMM: sizeMM, Strong: true, Line: 1,
		At: orb.Point{box.Min[0] + Width(words, sizeMM)/2, box.Min[1] - sizeMM},
	})
	return s, nil
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// addHole takes what is inside a closed path out of the free space.
func (r *freeSpace) addHole(p curve.Path) {
	points := p.Flatten(flattenMM)
	r.holes = append(r.holes, points[:len(points)-1])
}
