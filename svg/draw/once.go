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

// twin is a part that is cut along the drawing of another: its equal or its
// mirror image.
type twin struct {
	part *part
	m    curve.Matrix // from the other's coordinates to its own
	back curve.Matrix
}

// Once is every part of an option as Shapes gives them, but parts of one piece
// that are each other's equal or mirror image are drawn once, with the names
// of all and which of them to turn the drawing over for. option counts from 0.
func (p *Plan) Once(option int) ([]Shape, error) {
	o, err := p.option(option)
	if err != nil {
		return nil, err
	}
	var out []Shape
	drawn := make([]bool, len(o.parts))
	for i := range o.parts {
		drawn[i] = o.parts[i].IsCut
	}
	for i := range o.parts {
		if drawn[i] {
			continue
		}
		p := &o.parts[i]
		var twins []twin
		for k := i + 1; k < len(o.parts); k++ {
			if q := &o.parts[k]; !drawn[k] && q.Piece == p.Piece {
				if t, ok := onto(p, q); ok && (o.StripeMatch == nil || o.stripesOn(p).meets(o.stripesOn(q), t.back)) {
					twins, drawn[k] = append(twins, t), true
				}
			}
		}
		if len(twins) == 0 {
			out = append(out, o.shape(i))
			continue
		}
		whole := withMarks(p, twins)
		s := whole.shape(curve.Identity, inscription{words: twinWords(o.doc, whole, p, twins), edges: true, twins: twins})
		o.addStripes(&s, p)
		out = append(out, s)
	}
	return out, nil
}

// twinName is the names of a part and its twins.
func twinName(p *part, twins []twin) string {
	names := []string{plan.Plain(p.Name)}
	for _, t := range twins {
		names = append(names, plan.Plain(t.part.Name))
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// withMarks is a part with the level marks of its twins too: what is sewn to
// one of them may have a seam there, and what is sewn to another none.
func withMarks(p *part, twins []twin) *part {
	whole, marked := *p, *p.Part
	whole.Part, marked.Notches = &marked, slices.Clone(p.Notches)
	for _, t := range twins {
		for _, n := range t.part.Notches {
			if n.Level == "" {
				continue
			}
			tip := t.back.Apply(plane.Add(n.At, n.Toward))
			n.At = t.back.Apply(n.At)
			n.Toward = plane.Sub(tip, n.At)
			if !slices.ContainsFunc(whole.Notches, func(k plan.Notch) bool { return k.Level != "" && plane.Distance(k.At, n.At) < alikeMM }) {
				whole.Notches = append(whole.Notches, n)
			}
		}
	}
	return &whole
}

// ownMarks is the letters of those level marks on the drawing that a twin has
// and at least one other twin has not.
func ownMarks(whole *part, t twin, all []twin) (letters []string) {
	has := func(t twin, n plan.Notch) string {
		for _, k := range t.part.Notches {
			if k.Level != "" && plane.Distance(t.m.Apply(n.At), k.At) < alikeMM {
				return plan.Plain(k.Level)
			}
		}
		return ""
	}
	for _, n := range whole.Notches {
		letter := has(t, n)
		if n.Level != "" && letter != "" && slices.ContainsFunc(all, func(other twin) bool { return has(other, n) == "" }) {
			letters = append(letters, letter)
		}
	}
	return letters
}

// twinWords is what is written on a drawing that several parts are cut along:
// how many, and for each its scrap, whether the paper is turned over, and the
// marks that it alone has.
func twinWords(d *plan.Document, whole, p *part, twins []twin) []string {
	all := append([]twin{{p, curve.Identity, curve.Identity}}, twins...)
	var words []string
	over := 0
	for _, t := range all {
		line := plan.Plain(t.part.Name) + ": "
		if t.part.Scrap != "" {
			line += "from " + d.ScrapName(t.part.Scrap, t.part.ScrapCopy) + ", "
		}
		// A part that lies wrong side up is the mirror image of what is drawn.
		if mirrors := flips(t.m) != flips(t.part.Placement); mirrors {
			line += "turned over"
			over++
		} else {
			line += "as printed"
		}
		if own := ownMarks(whole, t, all); len(own) > 0 {
			line += ", mark " + strings.Join(own, " and ") + " here only"
		}
		words = append(words, line)
	}
	head := fmt.Sprintf("cut %d", len(all))
	switch {
	case over == 1:
		head += ", one turned over"
	case over > 1:
		head += fmt.Sprintf(", %d turned over", over)
	}
	return append([]string{head}, words...)
}

// onto makes a part the twin of another of the same piece where they are equal
// or mirror images: the lines along which they are cut and sewn, their notches
// and their darts.
func onto(p, q *part) (twin, bool) {
	sin, cos := math.Sincos(p.GrainDeg * math.Pi / 180)
	for _, turn := range []curve.Matrix{curve.Identity, curve.Mirror(orb.Point{}, orb.Point{cos, sin})} {
		by := plane.Sub(boundOf(q.CutLine, curve.Identity).Center(), boundOf(p.CutLine, turn).Center())
		t := twin{q, turn.Then(curve.Shift(by[0], by[1])), curve.Shift(-by[0], -by[1]).Then(turn)}
		if covers(p, q, t.m) {
			return t, true
		}
	}
	return twin{}, false
}

func boundOf(points []plan.Point, m curve.Matrix) orb.Bound {
	var out orb.MultiPoint
	for _, q := range points {
		out = append(out, m.Apply(q))
	}
	return out.Bound()
}

// alikeMM is how far apart lines and marks of parts that are drawn once may
// be: the two are flattened from other ends.
const alikeMM = 0.1

// covers reports whether a part, moved by m, lies on another in all that is
// drawn of it but level marks.
func covers(p, q *part, m curve.Matrix) bool {
	if len(p.Darts) != len(q.Darts) || len(p.DartLegs) != len(q.DartLegs) {
		return false
	}
	if !sameRing(p.CutLine, q.CutLine, m) || !sameRing(p.SeamLine, q.SeamLine, m) {
		return false
	}
	notches := func(part *part) []plan.Notch {
		return slices.DeleteFunc(slices.Clone(part.Notches), func(n plan.Notch) bool { return n.Level != "" })
	}
	drawn, other := notches(p), notches(q)
	if len(drawn) != len(other) {
		return false
	}
	for _, n := range drawn {
		if !slices.ContainsFunc(other, func(k plan.Notch) bool {
			return k.Count == n.Count && plane.Distance(m.Apply(n.At), k.At) < alikeMM
		}) {
			return false
		}
	}
	for _, dart := range p.Darts {
		if !slices.ContainsFunc(q.Darts, func(k [3]plan.Point) bool {
			a, b, c := m.Apply(dart[0]), m.Apply(dart[1]), m.Apply(dart[2])
			legs := plane.Distance(a, k[0])+plane.Distance(c, k[2]) < 2*alikeMM || plane.Distance(a, k[2])+plane.Distance(c, k[0]) < 2*alikeMM
			return legs && plane.Distance(b, k[1]) < alikeMM
		}) {
			return false
		}
	}
	for _, leg := range p.DartLegs {
		if !slices.ContainsFunc(q.DartLegs, func(k [2]plan.Point) bool {
			a, b := m.Apply(leg[0]), m.Apply(leg[1])
			return plane.Distance(a, k[0])+plane.Distance(b, k[1]) < 2*alikeMM || plane.Distance(a, k[1])+plane.Distance(b, k[0]) < 2*alikeMM
		}) {
			return false
		}
	}
	return true
}

// sameRing reports whether every point of each polygon lies on the other.
func sameRing(a, b []plan.Point, m curve.Matrix) bool {
	if len(a) < 3 || len(b) < 3 {
		return false
	}
	moved := make([]orb.Point, len(a))
	for i, q := range a {
		moved[i] = m.Apply(q)
	}
	other := make([]orb.Point, len(b))
	for i, q := range b {
		other[i] = q
	}
	within := func(points, ring []orb.Point) bool {
		return !slices.ContainsFunc(points, func(q orb.Point) bool { return plane.ToRing(ring, q) > alikeMM })
	}
	return within(moved, other) && within(other, moved)
}

// edgeOf is the edge of a twin that an edge of the drawing stands for.
func (t twin) edgeOf(e edge) (edge, bool) {
	middle, _ := e.path.At(e.path.Length() / 2)
	at, best, leastMM := t.m.Apply(middle), edge{}, math.Inf(1)
	for _, f := range t.part.edges {
		q, _ := f.path.At(f.path.Length() / 2)
		if away := plane.Distance(q, at); away < leastMM {
			best, leastMM = f, away
		}
	}
	return best, leastMM < 1
}

// letter is the letter of an edge's piecing seam, and of its twins' where that
// is another.
func (say inscription) letter(e edge) string {
	letters := []string{plan.Plain(e.Seam)}
	for _, t := range say.twins {
		if f, ok := t.edgeOf(e); ok && f.Seam != "" {
			letters = append(letters, plan.Plain(f.Seam))
		}
	}
	return distinct(letters)
}

// level is the letter at a level mark, and its twins'.
func (say inscription) level(n plan.Notch) string {
	letters := []string{plan.Plain(n.Level)}
	for _, t := range say.twins {
		for _, k := range t.part.Notches {
			if k.Level != "" && plane.Distance(t.m.Apply(n.At), k.At) < alikeMM {
				letters = append(letters, plan.Plain(k.Level))
			}
		}
	}
	return distinct(letters)
}

// edgeText is what an edge is called and sewn to, on the part and its twins.
func (say inscription) edgeText(e edge) string {
	texts := []string{e.says}
	for _, t := range say.twins {
		if f, ok := t.edgeOf(e); ok {
			texts = append(texts, f.says)
		}
	}
	return distinct(texts)
}

// distinct is texts in a row, each once.
func distinct(texts []string) string {
	var out []string
	for _, t := range texts {
		if t != "" && !slices.Contains(out, t) {
			out = append(out, t)
		}
	}
	return strings.Join(out, " / ")
}
