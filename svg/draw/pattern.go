package draw

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// Pattern writes pieces as a pattern file, at true size, none overlapping:
// seam lines, for allowances are facts of the edges. What it is of is its
// title, and what a maker should know stands below it.
func Pattern(w io.Writer, title, about string, drafts []piece.Draft) error {
	shapes := make([]Shape, len(drafts))
	for i := range drafts {
		shapes[i] = draftShape(&drafts[i])
	}
	at, page := Rows(shapes, 30)
	c := begin(w, title, page.Pad(marginMM))
	c.svg.Desc(about)
	for i, s := range shapes {
		c.part(s, at[i][0], at[i][1], shapes)
	}
	return c.end()
}

// draftShape is a piece as it is drawn in a pattern, in a pattern's words.
func draftShape(d *piece.Draft) Shape {
	s := Shape{Name: plan.Plain(d.Name), Facts: draftFacts(d)}
	for _, g := range d.Grains {
		v := plane.Sub(g.Line.End(), g.Line.Start())
		s.GrainDeg = math.Atan2(v[1], v[0]) * 180 / math.Pi
	}
	outline := d.Outline.Line
	s.Region = outline.Flatten(curve.FlattenMM)
	s.Region = s.Region[:len(s.Region)-1]
	s.Lines = []Line{{Stroke: Seam, Word: "seam", Path: outline, Closed: true}}
	space := newFreeSpace(outline)
	for _, e := range d.Edges {
		l := Line{Stroke: Unseen, Word: "edge " + token(e.Name), Path: e.Line}
		if e.AllowanceMM >= 0 {
			l.Facts = append(l.Facts, Fact{"allowance", mm(e.AllowanceMM)})
		}
		if ease := e.Ease.String(); ease != "" {
			l.Facts = append(l.Facts, Fact{"ease", ease})
		}
		for _, j := range e.Joins {
			l.Joins = append(l.Joins, plan.Plain(j.Piece)+"/"+token(j.Edge))
		}
		s.Lines = append(s.Lines, l)
	}
	for _, k := range []struct {
		word   string
		stroke Stroke
		lines  []piece.DraftLine
	}{{"fold", Piecing, d.Folds}, {"dart", Dart, d.Darts}, {"level", Leader, d.Levels}, {"keep", Leader, d.Keeps}, {"notch", Notch, d.Notches}} {
		for _, l := range k.lines {
			s.Lines = append(s.Lines, Line{Stroke: k.stroke, Word: k.word, Path: l.Line, Closed: l.Closed})
			if k.word != "notch" {
				space.addWall(slices.Clone([]orb.Point(l.Line.Flatten(curve.FlattenMM))))
			}
		}
	}
	words := fmt.Sprintf("cut %d", max(1, d.Count))
	if len(d.Folds) > 0 {
		words += " on the fold"
	}
	if d.Mirrored {
		words += ", half of them mirrored"
	}
	s.label(space, outline, nil, inscription{words: []string{words, "seam line"}})
	for _, e := range d.Edges {
		s.nameEdge(space, edge{path: e.Line}, e.Name)
	}
	return s
}

// draftFacts are the facts of a piece.
func draftFacts(d *piece.Draft) []Fact {
	facts := []Fact{{"cut", fmt.Sprint(max(1, d.Count))}}
	if d.Mirrored {
		facts = append(facts, Fact{"mirrored", "yes"})
	}
	if d.AllowanceMM >= 0 {
		facts = append(facts, Fact{"allowance", mm(d.AllowanceMM)})
	}
	if len(d.Fabrics) > 0 {
		facts = append(facts, Fact{"fabric", plan.Plain(strings.Join(d.Fabrics, " or "))})
	}
	for _, f := range []Fact{{"side", d.Side}, {"kind", d.Kind}, {"use", d.Use}} {
		if f.Value != "" {
			facts = append(facts, f)
		}
	}
	return facts
}
