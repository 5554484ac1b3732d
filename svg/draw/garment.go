package draw

import (
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// role is what a piece is on the garment.
type role int

const (
	loose  role = iota // its joins do not say where it goes
	front              // of the body
	back               // of the body
	sleeve             // hung at an armhole or a raglan seam
	band               // along an edge
	collar             // along the neck, turned down over the body
)

// whole is a piece of the plan with its edges read, in its own coordinates.
type whole struct {
	*plan.Piece
	edges []edge
	role  role
	inRow map[int]bool // of a band: which of its edges go round several others in the views
}

// ref is an edge of a piece, by number.
type ref struct {
	piece *whole
	edge  int
}

// outfit is the pieces of a plan and which of their edges are sewn together.
type outfit struct {
	pieces []*whole
	under  map[*whole]bool // the copies that lie under another of their piece
}

func (p *Plan) outfit(option *plan.Option) (*outfit, error) {
	edges, err := p.pieces()
	if err != nil {
		return nil, err
	}
	o := new(outfit)
	for i := range edges {
		piece := &p.doc.Pieces[i]
		if piece.Optional && !option.Cuts(piece) {
			continue
		}
		o.pieces = append(o.pieces, &whole{Piece: piece, edges: edges[i]})
	}
	o.cast()
	o.findUnder()
	return o, nil
}

// sewn reports whether two edges are sewn together: either names the other.
func sewn(a, b ref) bool {
	ea, eb := a.piece.edges[a.edge], b.piece.edges[b.edge]
	return ea.Name != "" && eb.Name != "" &&
		(slices.Contains(ea.Joins, b.piece.Name+"/"+eb.Name) || slices.Contains(eb.Joins, a.piece.Name+"/"+ea.Name))
}

// partners is every edge of another piece that an edge is sewn to.
func (o *outfit) partners(a ref) []ref {
	var out []ref
	for _, p := range o.pieces {
		if p.Name == a.piece.Name {
			continue
		}
		for i := range p.edges {
			if b := (ref{p, i}); sewn(a, b) {
				out = append(out, b)
			}
		}
	}
	return out
}

// says reports whether a name has one of the words in it.
func says(name string, words ...string) bool {
	name = strings.ToLower(name)
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(name, w) })
}

// has reports whether the piece has an edge whose name has one of the words.
func (w *whole) has(words ...string) bool {
	return slices.ContainsFunc(w.edges, func(e edge) bool { return says(e.Name, words...) })
}

// bandWords name pieces that are sewn along an edge and folded, however short.
var bandWords = []string{"cuff", "band", "binding"}

// cast says what each piece is on the garment, from its name and its joins:
// a sleeve is what is sewn into an armhole, the body is what has shoulders or
// sides, and which is front and which is back follows from a name or from
// what the other is.
func (o *outfit) cast() {
	for _, p := range o.pieces {
		switch {
		case says(p.Name, "sleeve") && piece.TrimWord(p.Name) == "" && !isApart(p.Name), p.has("sleeve cap", "cap-"):
			p.role = sleeve
		case isApart(p.Name):
		case says(p.Name, "collar"):
			p.role = collar
		case p.slender() && !p.isPanel(), says(p.Name, bandWords...), piece.HasTrimWord(p.Name, "band"):
			p.role = band
		case p.has("shoulder", "side", "raglan", "armhole"):
			switch {
			case says(p.Name, "front"):
				p.role = front
			case says(p.Name, "back"):
				p.role = back
			}
		}
	}
	for _, p := range o.pieces {
		if p.role == loose && !isApart(p.Name) && o.isHalfRound(p) {
			p.role = front
			if p.Copy > 1 {
				p.role = back
			}
		}
	}
	// The rest of the body: what is sewn to a front by a shoulder or a side
	// is a back, and the other way round.
	for range o.pieces {
		for _, p := range o.pieces {
			if p.role != loose || isApart(p.Name) {
				continue
			}
			for i, e := range p.edges {
				for _, q := range o.partners(ref{p, i}) {
					crossing := says(e.Name, "shoulder", "side")
					switch {
					case q.piece.role == front && crossing, q.piece.role == back && !crossing:
						p.role = back
					case q.piece.role == back && crossing, q.piece.role == front && !crossing:
						p.role = front
					}
				}
			}
		}
	}
	if !slices.ContainsFunc(o.pieces, func(p *whole) bool { return p.role == front || p.role == back }) {
		// Nothing says which: the first that has a shoulder or a side.
		for _, p := range o.pieces {
			if p.role == loose && p.has("shoulder", "side") && !isApart(p.Name) {
				p.role = front
				o.castFrom(p)
				return
			}
		}
	}
}

// isHalfRound reports whether a piece is one of two equal copies that are sewn to each other at
// both sides, as the halves of a tier are: one is the front and one the back.
func (o *outfit) isHalfRound(p *whole) bool {
	var twin *whole
	for _, q := range o.pieces {
		if q == p || q.Name != p.Name {
			continue
		}
		if twin != nil || q.Flipped != p.Flipped {
			return false
		}
		twin = q
	}
	if twin == nil {
		return false
	}
	sides := 0
	for i, e := range p.edges {
		if says(e.Name, "side") && sewn(ref{p, i}, ref{twin, i}) {
			sides++
		}
	}
	return sides == 2
}

// castFrom makes the neighbours of a lone front its back.
func (o *outfit) castFrom(p *whole) {
	for _, q := range o.pieces {
		if q.Name == p.Name {
			q.role = front
		}
	}
	for i := range p.edges {
		for _, q := range o.partners(ref{p, i}) {
			if q.piece.role == loose && says(p.edges[i].Name, "shoulder", "side") {
				q.piece.role = back
			}
		}
	}
}

// slender reports whether the piece is as long and narrow as a band.
func (w *whole) slender() bool {
	long, short := w.sides()
	return long > 4*short
}

// isPanel reports whether a piece, however slender, goes down the body to the hem, as
// a gore of a skirt does.
func (w *whole) isPanel() bool { return w.has("hem") && w.has("waist", "shoulder", "armhole") }

// sides is the longer and the shorter side of the box round the piece.
func (w *whole) sides() (long, short float64) {
	a, b := size(w.ring().Bound())
	return math.Max(a, b), math.Min(a, b)
}

// depth is the mean width of a band, whether it runs straight or is curved: its
// area by its length, in mm.
func (w *whole) depth() float64 {
	long, _ := w.sides()
	ring := w.ring()
	return math.Abs(planar.Area(orb.Polygon{append(orb.Ring(ring), ring[0])})) / long
}

func (w *whole) ring() orb.MultiPoint {
	var out orb.MultiPoint
	for _, e := range w.edges {
		points := e.path.Flatten(flattenMM)
		out = append(out, points[:len(points)-1]...)
	}
	return out
}

// upright turns a piece drawn on its side, its grain across the page, and one
// drawn upside down, its shoulders, neck or waist below its middle.
func (w *whole) upright() curve.Matrix {
	mid := w.ring().Bound().Center()
	m := curve.Identity
	if sin := math.Sin(w.GrainDeg * math.Pi / 180); math.Abs(sin) < 0.35 && w.role != band && w.role != collar {
		m = curve.Turn(90, mid)
	}
	top := []string{"shoulder", "neck", "cap"}
	if !w.has(top...) {
		top = []string{"waist"} // of a skirt; a bodice ends there
	}
	var sum, n float64
	for _, e := range w.edges {
		if says(e.Name, top...) {
			sum += e.path.Transform(m).Bound().Center()[1]
			n++
		}
	}
	if n > 0 && sum/n > mid[1]+1 {
		m = m.Then(curve.Turn(180, mid))
	}
	return m
}
