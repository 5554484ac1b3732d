package draw

import (
	"fmt"
	"io"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"
	"eke/split/remnant"

	"github.com/paulmach/orb"
)

// Left writes the pile that is left after an option as a scraps file: bits of
// the scraps that it cuts into, and the others whole, at true size in rows. What
// is only good for stuffing is not drawn. option counts from 0.
func (p *Plan) Left(w io.Writer, option int) error {
	if err := p.has(option); err != nil {
		return err
	}
	pile, err := remnant.After(p.doc, option)
	if err != nil {
		return err
	}
	shapes := make([]Shape, len(pile.Bits))
	for i := range pile.Bits {
		shapes[i] = bitShape(&pile.Bits[i])
	}
	at, page := Rows(shapes, 25)
	c := begin(w, fmt.Sprintf("what is left after option %d", p.doc.Options[option].Rank), page.Pad(marginMM))
	c.svg.Desc("A scraps file: eke plan cuts the next garment from it. Outlines are where the shears went.")
	for i, s := range shapes {
		c.scrap(s, at[i][0], at[i][1])
	}
	return c.end()
}

// bitShape is a bit of cloth as a scraps file has it.
func bitShape(b *remnant.Bit) Shape {
	asMeasured(&b.Scrap)
	s := Shape{Name: plan.Plain(b.Name), GrainDeg: b.GrainDeg, OneWay: b.Nap, Facts: scrapFacts(&b.Scrap, b.Count)}
	s.Region = pointsOf(b.Outline)
	outline := closedPath(b.Outline)
	s.Lines = append(s.Lines, Line{Stroke: Cloth, Word: "outline", Path: outline, Closed: true})
	space := newFreeSpace(outline)
	for _, h := range b.Holes {
		hole := closedPath(h)
		s.Lines = append(s.Lines, Line{Stroke: Hole, Word: "hole", Path: hole, Closed: true})
		space.addWall(hole.Flatten(flattenMM))
		space.addHole(hole)
	}
	// A line as long as this says the direction to a thousandth of a degree,
	// whatever room there is for one that is seen.
	const saidMM = 100
	middle := orb.MultiPoint(s.Region).Bound().Center()
	from := plane.Along(middle, s.grain(), -saidMM/2)
	s.Lines = append(s.Lines, Line{Stroke: Unseen, Word: "grain", Path: curve.Polyline(from, plane.Along(from, s.grain(), saidMM))})
	drawn := len(s.Lines)
	var words []string
	if b.Count > 1 {
		words = append(words, fmt.Sprintf("%d alike", b.Count))
	}
	if b.Shrink > 0 {
		words = append(words, fmt.Sprintf("before it is washed: %s %% smaller then", number(b.Shrink)))
	}
	if b.Nap {
		words = append(words, "nap runs with the arrow")
	}
	s.label(space, outline, nil, inscription{words: words})
	for i := drawn; i < len(s.Lines); i++ {
		l := &s.Lines[i]
		switch l.Stroke {
		case Grain:
			l.Word = "arrow"
		case GrainTip: // an open one is no outline to a reader, whatever the bit is called
			tip := l.Path
			*l = Line{Stroke: Grain, Word: "arrow", Path: curve.Polyline(tip[1].P0, tip[0].P0, tip[2].P0)}
		}
	}
	return s
}

// asMeasured makes a scrap as large as it was when its shrinkage was told: the
// file says that it shrinks, so it holds the outlines of cloth that has not.
func asMeasured(s *plan.Scrap) {
	if s.Shrink == 0 {
		return
	}
	larger := func(r []plan.Point) []plan.Point {
		out := make([]plan.Point, len(r))
		for i, q := range r {
			out[i] = plan.Point{q[0] / (1 - s.Shrink/100), q[1] / (1 - s.Shrink/100)}
		}
		return out
	}
	holes := s.Holes
	s.Outline, s.Holes = larger(s.Outline), nil
	s.StripeMM, s.FirstMM = s.StripeMM/(1-s.Shrink/100), s.FirstMM/(1-s.Shrink/100)
	for _, h := range holes {
		s.Holes = append(s.Holes, larger(h))
	}
}

// scrapFacts are the facts of a scrap, and of how many alike.
func scrapFacts(s *plan.Scrap, count int) []Fact {
	facts := []Fact{{"nap", yes(s.Nap)}, {"face", plan.Plain(s.Face)}}
	if count > 1 {
		facts = append(facts, Fact{"count", fmt.Sprint(count)})
	}
	if s.Shrink > 0 {
		facts = append(facts, Fact{"shrink", number(s.Shrink) + "%"})
	}
	if s.StripeMM > 0 {
		facts = append(facts, Fact{"stripe_mm", number(s.StripeMM)}, Fact{"first_mm", number(s.FirstMM)}, Fact{"stripe_runs", plan.Plain(s.StripeRuns)})
	}
	look := s.Look
	if look == s.Fabric || s.Fabric == "" && look == s.Name {
		look = "" // as anyone would take it
	}
	for _, f := range []Fact{{"fabric", s.Fabric}, {"look", look}, {"kind", s.Kind}, {"use", s.Use}, {"colour", s.Colour}, {"note", s.Note}} {
		if f.Value != "" {
			facts = append(facts, Fact{f.Key, plan.Plain(f.Value)})
		}
	}
	return facts
}

func pointsOf(ring []plan.Point) []orb.Point {
	out := make([]orb.Point, len(ring))
	for i, q := range ring {
		out[i] = orb.Point(q)
	}
	return out
}
