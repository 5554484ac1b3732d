package split

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/split/fit"

	"github.com/paulmach/orb"
)

// Tree says how one copy of a piece is cut. A leaf, with Way nil, is a part
// and comes from a scrap.
type Tree struct {
	Way       Way
	LevelMM   float64
	Near, Far *Tree

	Scrap     int // of a leaf: which scrap
	Placement fit.Placement
}

// Leaves are the tree's parts, near before far.
func (t *Tree) Leaves() []*Tree {
	if t.Way == nil {
		return []*Tree{t}
	}
	return append(t.Near.Leaves(), t.Far.Leaves()...)
}

// Seams is how many piecing seams the tree adds.
func (t *Tree) Seams() int { return len(t.Leaves()) - 1 }

// Clone is a deep copy.
func (t *Tree) Clone() *Tree {
	c := *t
	if t.Way != nil {
		c.Near, c.Far = t.Near.Clone(), t.Far.Clone()
	}
	return &c
}

// Plan is a way to cut every copy of every piece from the scraps.
type Plan struct {
	Moves  []Move
	Pieces []*piece.Piece // every copy, seams already moved
	Trees  []*Tree        // one a copy
}

// Made is a plan carried out: parts with their cutting lines, and the piecing
// seams between them.
type Made struct {
	Plan  *Plan
	Parts []Part
	Seams []PiecingSeam
}

// Part is what a piece becomes after it is split.
type Part struct {
	Name    string
	Piece   int // index into the plan's pieces
	Leaf    *Tree
	Outline piece.Outline // seam line
	Cut     orb.Ring      // cutting line
}

// PiecingSeam is a seam added to join parts of one piece.
type PiecingSeam struct {
	Name      string // its letter
	Kind      string
	Piece     int
	Way       Way
	LevelMM   float64
	Line      curve.Path
	LengthMM  float64
	Notches   []piece.Notch
	Near, Far []int // indices into the parts on either side
	Ends      [2]End
	Body      *Body // what it cut
}

// End is where a piecing seam meets the outline of the piece.
type End struct {
	At      orb.Point
	Edge    piece.Edge // of the whole piece; no line where it meets another piecing seam
	AlongMM float64    // along that edge
}

// Make carries a plan out. AllowanceMM is that of the piecing seams.
func Make(p *Plan, allowanceMM float64) (*Made, error) {
	m := &Made{Plan: p}
	for i, tree := range p.Trees {
		c := carver{made: m, piece: i, allowanceMM: allowanceMM, first: len(m.Seams)}
		if err := c.run(tree); err != nil {
			return nil, fmt.Errorf("%s: %w", p.Pieces[i].ID(), err)
		}
	}
	m.nameParts()
	return m, nil
}

// carver cuts one copy of a piece. Where one seam ends on another, the other
// is in stretches, each of which needs notches of its own; so the cuts are
// made once to see where the seams end, and again with the notches.
type carver struct {
	made        *Made
	piece       int
	allowanceMM float64
	first       int         // the copy's first seam
	stops       [][]float64 // along each seam, where others end on it
}

func (c *carver) run(t *Tree) error {
	m, p := c.made, c.made.Plan.Pieces[c.piece]
	parts, seams := len(m.Parts), len(m.Seams)
	if _, err := c.carve(t, NewBody(p, p.Outline), nil); err != nil {
		return err
	}
	if len(m.Seams)-seams < 2 {
		return nil
	}
	c.stops = make([][]float64, len(m.Seams)-seams)
	met := false
	for i := range c.stops {
		line := m.Seams[seams+i].Line
		for k := range c.stops {
			for _, end := range m.Seams[seams+k].Ends {
				if along, away := line.Nearest(end.At); k != i && away < 0.01 && along > 1 && along < line.Length()-1 {
					c.stops[i] = append(c.stops[i], along)
					met = true
				}
			}
		}
		sort.Float64s(c.stops[i])
	}
	if !met {
		return nil
	}
	m.Parts, m.Seams = m.Parts[:parts], m.Seams[:seams]
	_, err := c.carve(t, NewBody(p, p.Outline), nil)
	return err
}

// carve cuts a body as the tree says and gives the indices of its parts.
func (c *carver) carve(t *Tree, b *Body, path []string) ([]int, error) {
	m := c.made
	if t.Way == nil {
		cut, err := CutLine(b.Piece, b.Outline)
		if err != nil {
			return nil, err
		}
		m.Parts = append(m.Parts, Part{Name: strings.Join(path, "-"), Piece: c.piece, Leaf: t, Outline: b.Outline, Cut: cut})
		return []int{len(m.Parts) - 1}, nil
	}
	at := len(m.Seams)
	line := t.Way.Line(b, t.LevelMM)
	chords := Chords(b.Outline, line)
	if len(chords) != 1 {
		return nil, ErrMisses
	}
	s := Seam{Name: Letter(at), AllowanceMM: c.allowanceMM, Notches: c.notches(at, chords[0].To.OnQ-chords[0].From.OnQ)}
	near, far, seam := cutAlong(b.Outline, line, chords[0], s)
	m.Seams = append(m.Seams, PiecingSeam{
		Name: s.Name, Kind: kindAt(t.Way, b, t.LevelMM), Piece: c.piece, Way: t.Way, LevelMM: t.LevelMM,
		Line: seam, LengthMM: seam.Length(), Notches: s.Notches, Body: b,
		Ends: [2]End{endOn(b.Piece.Outline, chords[0].From), endOn(b.Piece.Outline, chords[0].To)},
	})
	nearName, farName := t.Way.Sides()
	nearParts, err := c.carve(t.Near, NewBody(b.Piece, near), with(path, nearName))
	if err != nil {
		return nil, err
	}
	farParts, err := c.carve(t.Far, NewBody(b.Piece, far), with(path, farName))
	if err != nil {
		return nil, err
	}
	m.Seams[at].Near, m.Seams[at].Far = m.touching(nearParts, s.Name), m.touching(farParts, s.Name)
	return append(nearParts, farParts...), nil
}

// notches are those of a seam, stretch by stretch, no two stretches of the
// piece alike.
func (c *carver) notches(seam int, lengthMM float64) []piece.Notch {
	k := seam - c.first
	bounds := []float64{0}
	index := k
	if k < len(c.stops) {
		bounds = append(bounds, c.stops[k]...)
		for _, s := range c.stops[:k] {
			index += len(s)
		}
	}
	bounds = append(bounds, lengthMM)
	var out []piece.Notch
	for i := 1; i < len(bounds); i++ {
		for _, n := range allowance.SeamNotches(bounds[i]-bounds[i-1], index+i-1) {
			n.AtMM += bounds[i-1]
			n.For = Letter(seam)
			out = append(out, n)
		}
	}
	return out
}

// CutLine is the cutting line of a piece or of a part of it. Across the mouth
// of a dart that lies wholly on it, it is shaped for the dart to be folded.
func CutLine(p *piece.Piece, o piece.Outline) (orb.Ring, error) {
	if len(p.Darts) == 0 {
		return allowance.CutLine(o)
	}
	part := *p
	part.Outline, part.Darts = o, nil
	for _, d := range p.Darts {
		if inside(o, d.Apex) && onOutline(o, d.Leg1) && onOutline(o, d.Leg2) {
			part.Darts = append(part.Darts, d)
		}
	}
	return allowance.CutLinePiece(&part)
}

func with(path []string, name string) []string {
	return append(append([]string{}, path...), name)
}

// touching keeps the parts that have the seam on their outline.
func (m *Made) touching(parts []int, seam string) []int {
	var out []int
	for _, k := range parts {
		for _, e := range m.Parts[k].Outline {
			if e.Seam == seam {
				out = append(out, k)
				break
			}
		}
	}
	return out
}

// nameParts gives each part its final name: the piece's, its copy's number
// where there are several, and where in the piece it lies.
func (m *Made) nameParts() {
	count := map[string]int{}
	for k := range m.Parts {
		p := m.Plan.Pieces[m.Parts[k].Piece]
		name := p.Name
		if p.Count > 1 {
			name = fmt.Sprintf("%s-%d", p.Name, p.Copy)
		}
		if where := tidy(m.Parts[k].Name); where != "" {
			name += "-" + where
		}
		m.Parts[k].Name = name
		count[name]++
	}
	seen := map[string]int{}
	for k := range m.Parts {
		if name := m.Parts[k].Name; count[name] > 1 {
			seen[name]++
			m.Parts[k].Name = fmt.Sprintf("%s-%d", name, seen[name])
		}
	}
}

// tidy shortens where a part lies: what is lower of the upper of a piece cut
// twice across is its middle.
func tidy(where string) string {
	for _, r := range [][2]string{
		{"upper-lower", "middle"}, {"lower-upper", "middle"},
		{"left-right", "middle"}, {"right-left", "middle"},
		{"upper-upper", "upper"}, {"lower-lower", "lower"},
		{"left-left", "left"}, {"right-right", "right"},
		{"main-", ""},
	} {
		where = strings.ReplaceAll(where, r[0], r[1])
	}
	return where
}

// Letter names the i-th piecing seam: A … Z, AA, AB, …
func Letter(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

// kindAt is what the report calls the seam: a panel line at the middle of its
// piece is the centre seam.
func kindAt(w Way, b *Body, levelMM float64) string {
	if _, panel := w.(Panel); panel && math.Abs(levelMM-CentreOf(b)) < 1 {
		return "centre"
	}
	return w.Kind()
}

// endOn finds the edge of the whole piece that a seam ends on. A seam that
// ends on another seam has an end with no edge of the piece.
func endOn(o piece.Outline, c curve.Crossing) End {
	const onMM = 0.1
	for _, e := range o {
		if !e.Line.Bound().Pad(1).Contains(c.At) {
			continue
		}
		if along, away := e.Line.Nearest(c.At); away < onMM {
			return End{At: c.At, Edge: e, AlongMM: along}
		}
	}
	return End{At: c.At}
}

// LengthMM is the length of all piecing seams.
func (m *Made) LengthMM() float64 {
	var sum float64
	for _, s := range m.Seams {
		sum += s.LengthMM
	}
	return sum
}
