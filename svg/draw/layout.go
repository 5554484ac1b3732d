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
		names, cuts := o.spoiltOn(&d.Scraps[i])
		s, err := scrapShape(d, &d.Scraps[i], o.parts, cuts...)
		if err != nil {
			return nil, err
		}
		for k, cut := range cuts {
			s.Inner = append(s.Inner, spoiltShape(names[k], cut))
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

// cutsInto reports whether an option cuts a part from a scrap, or one was spoilt
// on it.
func (o *option) cutsInto(s *plan.Scrap) bool {
	return slices.ContainsFunc(o.parts, func(p part) bool { return p.isFrom(s) }) ||
		slices.ContainsFunc(o.Spoilt, func(p plan.Part) bool { return p.Scrap == s.Name && p.ScrapCopy == s.Copy })
}

// spoiltOn are the cutting lines of the parts that were spoilt on a scrap, where
// they lay, by their names.
func (o *option) spoiltOn(s *plan.Scrap) (names []string, cuts []curve.Path) {
	for _, p := range o.Spoilt {
		if p.Scrap == s.Name && p.ScrapCopy == s.Copy {
			names = append(names, plan.Plain(p.Name)+", spoilt")
			cuts = append(cuts, closedPath(p.CutLine).Transform(curve.Matrix(p.Placement)))
		}
	}
	return names, cuts
}

// scrapShape is one scrap with those of the parts that are cut from it. Nothing is
// drawn where cloth is gone.
func scrapShape(d *plan.Document, scrap *plan.Scrap, parts []part, gone ...curve.Path) (Shape, error) {
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
	for _, g := range gone {
		space.addWall(g.Flatten(flattenMM))
		space.addHole(g)
	}
	s.Lines = append(s.Lines, stripeLines(stripesOf(scrap).within(ringsOf(scrap)...))...)
	for i := range parts {
		p := &parts[i]
		if !p.isFrom(scrap) {
			continue
		}
		var say inscription
		if flips(p.Placement) {
			say.words = []string{"wrong side up"}
		}
		if p.IsCut {
			say.words = append(say.words, "cut already")
		}
		in := p.shape(curve.Matrix(p.Placement), say)
		cut := closedPath(p.CutLine).Transform(curve.Matrix(p.Placement))
		if p.IsCut {
			in.Lines = append(hatching(cut, false), in.Lines...)
		}
		s.Inner = append(s.Inner, in)
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

// hatching is a hatching as lines of a shape.
func hatching(cut curve.Path, crossed bool) (out []Line) {
	for _, path := range hatched(cut, crossed, hatchMM) {
		out = append(out, Line{Stroke: Hatch, Word: "hatch", Path: path})
	}
	return out
}

// spoiltShape is where cloth is gone.
func spoiltShape(name string, cut curve.Path) Shape {
	s := Shape{Name: name}
	s.Region = cut.Flatten(flattenMM)
	s.Region = s.Region[:len(s.Region)-1]
	s.Lines = append(hatching(cut, true), Line{Stroke: Cutting, Word: "outer", Path: cut, Closed: true})
	const most, least = 12.0, 4.0
	if room := newFreeSpace(cut); !s.setBlock(room, block{wrap(name, 18), 2}, most, least) {
		s.leadOut(room, block{[]string{name}, 1}, least)
	}
	return s
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
