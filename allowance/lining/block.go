package lining

import (
	"fmt"
	"math"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// role is what an edge of a lining is to the garment.
type role int

const (
	free  role = iota // sewn to nothing that is known
	joint             // sewn to another edge of the lining
	shell             // sewn to the garment, where a facing, a band or a neckline is
	hem
	fold
)

// edge is an edge of a block on its way from the garment's piece to the
// lining's. Lines run clockwise on the page.
type edge struct {
	piece.Edge // as on the garment
	role       role
	base       curve.Path // as the ease moves it
	toBase     curve.Matrix
	height     float64    // how far base strays from the straight line between its ends
	now        curve.Path // and with the two sides of each seam equally long
	toNow      curve.Matrix
	bowMM      float64 // by how much higher now is than base
	gathered   bool    // it is gathered, or what it is sewn to is
	marks      []mark  // its notches, on the line as it is now
	dueShare           // of a lengthwise seam
}

// dueShare is an edge's share of the ease.
type dueShare struct {
	share float64
	round []*edge // where it is shared: those that go round there, itself too
	usual int     // and at how many of them the ease would be given whole
}

// mark is a notch of a lining.
type mark struct {
	atMM  float64
	count int
}

// block is a piece of the lining: half of one that is cut on the fold, whose
// last edge is then the fold.
type block struct {
	p        *piece.Piece
	edges    []edge
	moved    []orb.Point // of the corner where each edge of base starts, to make seams equal
	folded   bool
	darts    []piece.Dart
	fishEyes []piece.FishEye
	levels   []curve.Path
	keeps    []piece.Keep
	pleatMM  float64 // added at the fold
	notes    []string
}

// newBlock goes back from a piece to what is drawn of it. Kept are the pieces
// that are lined.
func newBlock(p *piece.Piece, kept []*piece.Piece) (*block, error) {
	b := &block{p: p, darts: p.Darts, fishEyes: p.FishEyes, levels: slices.Clone(p.Levels), keeps: p.Keeps}
	outline := p.Outline
	if p.Centre != nil {
		half, err := halfOf(p)
		if err != nil {
			return nil, err
		}
		outline, b.folded = half, true
		// What was drawn comes first, its mirror image after it.
		b.fishEyes, b.keeps = p.FishEyes[:len(p.FishEyes)/2], p.Keeps[:len(p.Keeps)/2]
		b.darts = slices.DeleteFunc(slices.Clone(p.Darts), func(d piece.Dart) bool { return toTheFold(p.Centre, d.Apex) < 0 })
		b.levels = nil
		for _, l := range p.Levels {
			b.levels = append(b.levels, onHalf(l, p.Centre)...)
		}
	}
	for _, e := range outline {
		lined := slices.DeleteFunc(slices.Clone(e.Joins), func(r piece.Ref) bool {
			return !slices.ContainsFunc(kept, func(q *piece.Piece) bool { return q.Name == r.Piece && len(q.Outline.Edge(r.Edge)) > 0 })
		})
		role := roleOf(e, lined)
		e.Joins = lined
		b.edges = append(b.edges, edge{Edge: e, role: role})
	}
	if b.folded {
		line := curve.Polyline(outline[len(outline)-1].Line.End(), outline[0].Line.Start())
		b.edges = append(b.edges, edge{Edge: piece.Edge{Line: line}, role: fold})
	}
	return b, nil
}

// bound are the words for edges that are finished with the garment's own: the
// lining is sewn there as it lies, whether a piece is joined to them or not.
var bound = []string{"neck", "facing", "centre", "center", "opening", "zip", "placket", "band", "collar", "cuff", "vent", "slit"}

// roleOf is the role of an edge of which those of its joins are to pieces that
// are lined.
func roleOf(e piece.Edge, lined []piece.Ref) role {
	switch {
	case len(lined) > 0:
		return joint
	case len(e.Joins) > 0:
		return shell
	case hasWord(e.Name, "hem"):
		return hem
	case slices.ContainsFunc(bound, func(w string) bool { return hasWord(e.Name, w) }):
		return shell
	}
	return free
}

func (b *block) joined() bool {
	return slices.ContainsFunc(b.edges, func(e edge) bool { return e.role == joint })
}

// beside is the edge that meets edge i at its start, or with step 1 at its end.
func (b *block) beside(i, step int) *edge {
	return &b.edges[(i+step+len(b.edges))%len(b.edges)]
}

// isBack reports whether a block is half of a back, cut on the fold.
func (b *block) isBack() bool {
	if !b.folded || hasWord(b.p.Name, "front") || endsWord(b.p.Name, "sleeve") {
		return false
	}
	return hasWord(b.p.Name, "back")
}

// lengthwise reports whether an edge runs along the grain more than across it.
func (b *block) lengthwise(e *edge) bool {
	sin, cos := math.Sincos(b.p.GrainDeg * math.Pi / 180)
	grain := orb.Point{cos, sin}
	chord := plane.Sub(e.Line.End(), e.Line.Start())
	return math.Abs(plane.Dot(chord, grain)) >= math.Abs(plane.Cross(chord, grain))
}

func isArmhole(name string) bool {
	return hasWord(name, "armhole") || hasWord(name, "raglan") || endsWord(name, "cap")
}

func isSide(name string) bool { return hasWord(name, "side") || hasWord(name, "underarm") }

// halfOf is the outline of a piece that was drawn as half, on its side of the
// fold, from the fold round to the fold.
func halfOf(p *piece.Piece) (piece.Outline, error) {
	var bits piece.Outline
	for _, e := range p.Outline {
		for _, span := range spansOf(e.Line, p.Centre) {
			bits = append(bits, e.Between(span[0], span[1]))
		}
	}
	onFold := func(q orb.Point) bool { return math.Abs(toTheFold(p.Centre, q)) < onFoldMM }
	first, starts := -1, 0
	for i, e := range bits {
		before := bits[(i+len(bits)-1)%len(bits)]
		if plane.Distance(before.Line.End(), e.Line.Start()) > onFoldMM {
			first, starts = i, starts+1
		}
	}
	if starts == 1 {
		bits = slices.Concat(bits[first:], bits[:first])
	}
	if starts != 1 || !onFold(bits[0].Line.Start()) || !onFold(bits[len(bits)-1].Line.End()) {
		return nil, fmt.Errorf("%s: %q: its outline meets its fold in more than two places; draw the fold along one whole edge, or write lining: no", p.File, p.Name)
	}
	return bits, nil
}

// onFoldMM is how near the fold a point is on it.
const onFoldMM = 0.05

// toTheFold is how far a point is from the fold, less than nothing on the half
// that was not drawn.
func toTheFold(c *piece.Axis, q orb.Point) float64 {
	return plane.Cross(plane.Unit(plane.Sub(c.B, c.A)), plane.Sub(q, c.A))
}

// spansOf is where a line runs on the half that was drawn, in mm along it.
func spansOf(line curve.Path, c *piece.Axis) [][2]float64 {
	const far, leastMM = 50_000.0, 0.01
	d := plane.Unit(plane.Sub(c.B, c.A))
	axis := curve.Polyline(plane.Along(c.A, d, -far), plane.Along(c.A, d, far))
	length := line.Length()
	stops := []float64{0}
	for _, x := range curve.Crossings(line, axis) {
		stops = append(stops, x.OnP)
	}
	stops = append(stops, length)
	slices.Sort(stops)
	var out [][2]float64
	for i := 1; i < len(stops); i++ {
		if stops[i]-stops[i-1] < leastMM {
			continue
		}
		mid, _ := line.At((stops[i-1] + stops[i]) / 2)
		switch at := toTheFold(c, mid); {
		case at <= onFoldMM:
		case len(out) > 0 && out[len(out)-1][1] >= stops[i-1]-leastMM:
			out[len(out)-1][1] = stops[i]
		default:
			out = append(out, [2]float64{stops[i-1], stops[i]})
		}
	}
	return out
}

// onHalf is what of a line lies on the half that was drawn.
func onHalf(line curve.Path, c *piece.Axis) []curve.Path {
	var out []curve.Path
	for _, s := range spansOf(line, c) {
		out = append(out, line.Between(s[0], s[1]))
	}
	return out
}
