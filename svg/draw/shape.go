package draw

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// Shape is a part, or a scrap with parts on it, reduced to lines and text in
// mm, y down, in the order they are painted.
type Shape struct {
	Name     string
	Facts    []Fact      // what a reader of the SVG should know of the whole
	Region   []orb.Point // the outermost outline, for whoever packs shapes
	Lines    []Line
	Labels   []Label
	Inner    []Shape // the parts on a scrap
	GrainDeg float64
	OneWay   bool // the cloth has a nap, so the grain has a direction
}

// Fact is a data- attribute: its key without the prefix, and its value.
type Fact struct{ Key, Value string }

// Stroke is what a line stands for, which decides how it is drawn.
type Stroke int

// The strokes. Unseen lines carry facts and are not drawn.
const (
	Unseen  Stroke = iota
	Cutting        // where the shears go
	Seam           // where it is sewn
	Piecing        // a seam line that joins two parts
	Grain
	GrainTip // the arrow head of a grainline, filled
	Notch
	Dart
	Leader // from a label to what it names
	Cloth  // the outline of a scrap
	Hole   // in a scrap
	Hatch  // over a part that is cut already, crossed over one that is spoilt
	Stripe // that the cloth has of its own
)

// Line is one drawn line. Word is its class in the SVG: one of the pattern
// words, or a word that none of them is.
type Line struct {
	Stroke Stroke
	Word   string
	Facts  []Fact
	Joins  []string // "part/edge" that an edge is sewn to
	Path   curve.Path
	Closed bool
}

// Label is one line of text. At is the centre of its box.
type Label struct {
	Text    string
	At      orb.Point
	SizeMM  float64 // of the type, from descender to ascender
	TurnDeg float64 // clockwise
	Strong  bool
	Ringed  bool // the letter of a piecing seam, in a ring
	Line    int  // of the name and the words below it, from 1; 0 for any other label
}

// Extent is the outlines that the shape needs paper under: its outermost
// outline and the boxes of the labels that lie outside it.
func (s Shape) Extent() [][]orb.Point {
	out := [][]orb.Point{s.Region}
	for _, l := range s.allLabels() {
		b := l.bound()
		if !plane.Holds(s.Region, l.At) {
			out = append(out, []orb.Point{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}})
		}
	}
	return out
}

func (s Shape) allLabels() []Label {
	labels := slices.Clone(s.Labels)
	for _, in := range s.Inner {
		labels = append(labels, in.allLabels()...)
	}
	return labels
}

// Bound is the box that holds every line and label.
func (s Shape) Bound() orb.Bound {
	b := orb.MultiPoint(s.Region).Bound()
	for _, l := range s.Lines {
		b = b.Union(l.Path.Bound())
	}
	for _, l := range s.Labels {
		b = b.Union(l.bound())
	}
	for _, in := range s.Inner {
		b = b.Union(in.Bound())
	}
	return b
}

func (l Label) bound() orb.Bound {
	w, h := Width(l.Text, l.SizeMM)/2, l.SizeMM/2
	if l.Ringed {
		w = l.RingMM()
		h = w
	}
	sin, cos := math.Sincos(l.TurnDeg * math.Pi / 180)
	sin, cos = math.Abs(sin), math.Abs(cos)
	half := orb.Point{w*cos + h*sin, w*sin + h*cos}
	return orb.Bound{Min: plane.Sub(l.At, half), Max: plane.Add(l.At, half)}
}

// RingMM is the radius of the ring round a ringed label.
func (l Label) RingMM() float64 { return ringRadius(l.Text, l.SizeMM) }

func ringRadius(text string, size float64) float64 {
	return math.Max(0.85*size, 0.3*size+Width(text, size)/2)
}

// PartShape is one part of an option as it is drawn: where it is cut and
// sewn, its grain, notches and darts, and its labels. option and part count
// from 0.
func (p *Plan) PartShape(option, part int) (Shape, error) {
	o, err := p.option(option)
	if err != nil {
		return Shape{}, err
	}
	if part < 0 || part >= len(o.parts) {
		return Shape{}, fmt.Errorf("option %d has no part %d: it has %d", option+1, part+1, len(o.parts))
	}
	return o.shape(part), nil
}

// shape is a part as it is cut from its own drawing.
func (o *option) shape(at int) Shape {
	p := &o.parts[at]
	s := p.shape(curve.Identity, inscription{words: partWords(o.doc, p.Part), edges: true})
	o.addStripes(&s, p)
	return s
}

// partWords is what is written on a part, most important first.
func partWords(d *plan.Document, p *plan.Part) []string {
	if p.IsCut {
		return []string{"cut already", "from " + d.ScrapName(p.Scrap, p.ScrapCopy)}
	}
	cut := "cut 1, right side up"
	if flips(p.Placement) {
		cut = "cut 1, wrong side up"
	}
	if p.Scrap == "" {
		return []string{cut}
	}
	return []string{cut, "from " + d.ScrapName(p.Scrap, p.ScrapCopy)}
}

func flips(m [6]float64) bool { return m[0]*m[3]-m[1]*m[2] < 0 }

// inscription is what is written on a part besides its name and the letters
// of its piecing seams.
type inscription struct {
	words []string // below the name
	edges bool     // what each edge is and where it is sewn
	twins []twin   // that are cut along the same drawing
}

// shape draws a part after m.
func (p *part) shape(m curve.Matrix, say inscription) Shape {
	edges, cut := moved(p.edges, m), p.cut.Transform(m)
	seam := pathOf(edges)
	s := Shape{Name: plan.Plain(p.Name), GrainDeg: turned(p.GrainDeg, m), OneWay: p.oneWay}
	if len(say.twins) > 0 {
		s.Name = twinName(p, say.twins)
	}
	s.Facts = []Fact{{"cut", "1"}, {"allowance", mm(p.allowanceMM)}}
	if p.fabric != "" {
		s.Facts = append(s.Facts, Fact{"fabric", plan.Plain(p.fabric)})
	}
	s.Region = cut.Flatten(curve.FlattenMM)
	s.Region = s.Region[:len(s.Region)-1]
	s.Lines = append(s.Lines,
		Line{Stroke: Cutting, Word: "outer", Path: cut, Closed: true},
		Line{Stroke: Seam, Word: "seam", Path: seam, Closed: true})
	space := newFreeSpace(seam)
	for i, e := range edges {
		l := Line{Stroke: Unseen, Path: e.path, Word: "edge " + e.word(i), Facts: []Fact{{"allowance", mm(e.AllowanceMM)}}, Joins: e.sewnTo}
		if e.Ease != "" {
			l.Facts = append(l.Facts, Fact{"ease", e.Ease})
		}
		if e.Seam != "" {
			l.Stroke = Piecing
		} else if e.Name == "" && e.AllowanceMM == p.allowanceMM && e.path.Length() >= stubMM || e.path.Length() < leastEdgeMM {
			continue
		}
		s.Lines = append(s.Lines, l)
	}
	for _, dart := range p.Darts {
		points := []orb.Point{m.Apply(dart[0]), m.Apply(dart[1]), m.Apply(dart[2])}
		s.Lines = append(s.Lines, Line{Stroke: Dart, Word: "dart", Path: curve.Polyline(points...)})
		space.addWall(points)
	}
	for _, f := range p.FishEyes {
		points := []orb.Point{m.Apply(f[0]), m.Apply(f[1]), m.Apply(f[2]), m.Apply(f[3]), m.Apply(f[0])}
		s.Lines = append(s.Lines, Line{Stroke: Dart, Word: "dart", Path: curve.Polyline(points...), Closed: true})
		space.addWall(points)
	}
	for _, leg := range p.DartLegs {
		points := []orb.Point{m.Apply(leg[0]), m.Apply(leg[1])}
		s.Lines = append(s.Lines, Line{Stroke: Dart, Word: "leg", Path: curve.Polyline(points...)})
		space.addWall(points)
	}
	marker := newMarker(cut, edges)
	var notched []orb.Point
	for _, n := range p.Notches {
		notched = append(notched, m.Apply(n.At))
		for _, mark := range marker.marks(m.Apply(n.At), pageWay(n.Toward, m), n.Count) {
			s.Lines = append(s.Lines, Line{Stroke: Notch, Word: "snip", Path: mark})
		}
		for _, line := range marker.across(m.Apply(n.At), n.Count) {
			s.Lines = append(s.Lines, Line{Stroke: Unseen, Word: "notch", Path: line})
		}
	}
	ends, out := edgeEnds(edges, notched)
	for i, at := range ends {
		for _, mark := range marker.marks(at, out[i], 1) {
			s.Lines = append(s.Lines, Line{Stroke: Notch, Word: "snip", Path: mark})
		}
	}
	s.label(space, cut, edges, say)
	for _, n := range p.Notches {
		if n.Level != "" && !meetsSeam(n, edges, m) {
			s.nameLevel(space, n, m, say.level(n))
		}
	}
	if say.edges {
		for _, e := range edges {
			s.nameEdge(space, e, say.edgeText(e))
		}
	}
	return s
}

// leastEdgeMM is the shortest edge that is drawn as one: a reader takes nothing
// shorter for a line.
const leastEdgeMM = 1

// stubMM is the longest edge that a reader would take for a part of the one
// beside it, were it not drawn as an edge itself.
const stubMM = 3

// turned is a direction in degrees after m.
func turned(deg float64, m curve.Matrix) float64 {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return math.Atan2(m[1]*cos+m[3]*sin, m[0]*cos+m[2]*sin) * 180 / math.Pi
}

func mm(x float64) string { return number(x) + "mm" }

// word is the edge's name in a drawing, without blanks: its own, its piecing
// seam's letter, or one made from its place.
func (e edge) word(i int) string {
	name := e.Name
	if e.Seam != "" {
		name = e.Seam
	}
	if name = token(name); name == "" {
		name = fmt.Sprintf("edge-%d", i+1)
	}
	return name
}

func token(name string) string { return strings.ReplaceAll(plan.Plain(name), " ", "-") }

// Middle is a place well inside the shape, far from its edges.
func (s Shape) Middle() orb.Point { return newFreeSpace(closedRing(s.Region)).pole() }
