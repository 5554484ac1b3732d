package split

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"eke/piece"
	"eke/piece/curve"
	"eke/split/fit"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// Tree says how one copy of a piece is cut. A leaf, with Way nil, is a part
// and comes from a scrap.
type Tree struct {
	Way       Way
	LevelMM   float64
	TakeInMM  float64 // how far darts may be moved to be taken into the seam
	Carried   bool    // the seam is one with those of other copies, across joins
	Near, Far *Tree

	Scrap     int // of a leaf: which scrap
	Placement fit.Placement

	Was *Was // what it was made as before; nil for what is new
}

// Was is what a seam or a part has been, where cloth was cut by it: that stays.
type Was struct {
	Name      string        // the seam's letter, or the part's name
	Notches   []piece.Notch // of a seam; more may be added
	Placement [6]float64    // of a part, as plan.json had it
}

// placement is where a leaf lies, as plan.json has it.
func (t *Tree) placement() [6]float64 {
	if t.Was != nil {
		return t.Was.Placement
	}
	return t.Placement.Matrix()
}

// Leaves are the tree's parts, near before far.
func (t *Tree) Leaves() []*Tree {
	if t.Way == nil {
		return []*Tree{t}
	}
	return append(t.Near.Leaves(), t.Far.Leaves()...)
}

// Cuts are the tree's cuts, each before those of its near side, and they before
// those of its far side: the order of a copy's seams.
func (t *Tree) Cuts() []*Tree {
	if t.Way == nil {
		return nil
	}
	return append(append([]*Tree{t}, t.Near.Cuts()...), t.Far.Cuts()...)
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

// CloneTrees is a deep copy of trees, in their order.
func CloneTrees(trees []*Tree) []*Tree {
	out := make([]*Tree, len(trees))
	for i, t := range trees {
		out[i] = t.Clone()
	}
	return out
}

// Plan is a way to cut every copy of every piece from the scraps.
type Plan struct {
	Moves   []Move
	Pieces  []*piece.Piece // every copy, seams already moved
	Trees   []*Tree        // one a copy
	Scraps  []*piece.Scrap // every copy, by their place in the trees' leaves; nil where nothing is known of looks
	Blocks  []string       // pieces that are wished to be in two looks
	Unkept  []string       // wishes that are preferred and not kept
	Carry   *CarriedLine   // the line that some of the first cuts make up; nil where none is carried
	Striped *Striping      // the stripes that it is cut in; nil where it is in none

	Matched *MatchedStripes // the cloth's own stripes that meet; nil where none are made to
}

// Made is a plan carried out: parts with their cutting lines, and the piecing
// seams between them.
type Made struct {
	Plan        *Plan
	Parts       []Part
	Seams       []PiecingSeam
	BestLooking string          // why it is the best-looking of its options; empty for others
	Whole       []piece.Outline // of each copy: what its parts make up, nil where that is the plan's own outline

	sewn *sewing
}

// sewing is the mates of some copies, once they are asked for: plans that differ in their
// cuts alone share them.
type sewing struct {
	once   sync.Once
	copies []*piece.Piece
	mates  *mates
}

func (s *sewing) told() *mates {
	s.once.Do(func() { s.mates = newMates(s.copies) })
	return s.mates
}

// mates are those of the plan's copies.
func (m *Made) mates() *mates {
	if m.sewn == nil || !slices.Equal(m.sewn.copies, m.Plan.Pieces) {
		return newMates(m.Plan.Pieces) // it was carried out for other copies
	}
	return m.sewn.told()
}

// Part is what a piece becomes after it is split.
type Part struct {
	Name    string
	Piece   int // index into the plan's pieces
	Leaf    *Tree
	Outline piece.Outline // seam line
	Cut     orb.Ring      // cutting line
	Of      *piece.Piece  // as the part has it: darts taken in are gone, and what they turned is turned
}

// PiecingSeam is a seam added to join parts of one piece.
type PiecingSeam struct {
	Name      string // its letter
	Kind      string
	Piece     int
	Way       Way
	LevelMM   float64
	TakeInMM  float64 // how far darts could be moved
	Carried   bool    // it is one with those of other copies, across joins
	Line      curve.Path
	LengthMM  float64
	Notches   []piece.Notch
	Taken     []TakenDart
	TakenEyes []TakenFishEye
	Divided   []DividedDart
	Across    int // darts with two points, or halves of them, that can only be sewn across it
	Crossed   []CrossedDart
	Trued     []plan.Trued // where closing a dart put a corner into a line
	Near, Far []int        // indices into the parts on either side
	Ends      [2]End
	Body      *Body // what it cut

	sides [2]curve.Path // the near and the far part's edge on it, from its start
}

// End is where a piecing seam meets the outline of the piece.
type End struct {
	At      orb.Point
	Edge    piece.Edge // of the whole piece; no line where it meets another piecing seam
	AlongMM float64    // along that edge
}

// Make carries a plan out. AllowanceMM is that of the piecing seams.
func Make(p *Plan, allowanceMM float64) (*Made, error) { return makeLike(nil, p, allowanceMM) }

// With carries out another plan of the same copies, of which most are cut as here.
// It is what Make gives, sooner.
func (m *Made) With(p *Plan, allowanceMM float64) (*Made, error) { return makeLike(m, p, allowanceMM) }

func makeLike(was *Made, p *Plan, allowanceMM float64) (*Made, error) {
	m := &Made{Plan: p}
	if was != nil && was.sewn != nil && slices.Equal(was.sewn.copies, p.Pieces) {
		m.sewn = was.sewn
	} else {
		m.sewn = &sewing{copies: slices.Clone(p.Pieces)}
	}
	letters := p.letters()
	for i, tree := range p.Trees {
		c := carver{made: m, piece: i, allowanceMM: allowanceMM, first: len(m.Seams), letters: letters, whole: was.uncut(i, p.Pieces[i])}
		if err := c.run(tree); err != nil {
			return nil, fmt.Errorf("%s: %w", p.Pieces[i].ID(), err)
		}
	}
	for _, part := range m.Parts {
		if p.Trees[part.Piece].Way == nil {
			continue
		}
		if err := Sound(part.Outline); err != nil {
			return nil, fmt.Errorf("%s: %w", p.Pieces[part.Piece].ID(), err)
		}
	}
	m.nameParts()
	return m, nil
}

// uncut is the cutting line of a copy that is whole here, or nil.
func (m *Made) uncut(copy int, p *piece.Piece) orb.Ring {
	if m == nil || copy >= len(m.Plan.Trees) || m.Plan.Trees[copy].Way != nil || m.Plan.Pieces[copy] != p {
		return nil
	}
	for _, part := range m.Parts {
		if part.Piece == copy {
			return part.Cut
		}
	}
	return nil
}

// Sound reports what is wrong with a part: it is a sliver, hangs together by a
// neck, or has too short a stretch of a piecing seam.
func Sound(o piece.Outline) error {
	if err := tooNarrow(o); err != nil {
		return err
	}
	for _, e := range o {
		if l := e.Line.Length(); e.Seam != "" && l < leastSeamMM {
			return fmt.Errorf("%w: %.1f mm of seam %s", ErrShort, l, e.Seam)
		}
	}
	return nil
}

// ErrShort is returned for cuts that meet so near to an end that a part is
// left with too little of a seam to notch or to sew.
var ErrShort = errors.New("the cuts leave a part with too short a stretch of seam; move one of them")

// leastSeamMM is the shortest stretch of a piecing seam a part may have.
const leastSeamMM = 8

// carver cuts one copy of a piece. Where one seam ends on another, the other
// is in stretches, each of which needs notches of its own; so the cuts are
// made once to see where the seams end, and again with the notches.
type carver struct {
	made        *Made
	piece       int
	allowanceMM float64
	first       int      // of the copy's seams
	letters     []string // of all seams
	far         []int    // by seam: the first one of its far side, if there is any
	stops       []stops  // by seam: where others end on it
	whole       orb.Ring // the cutting line of the whole copy, where it is known
}

func (c *carver) run(t *Tree) error {
	m, p := c.made, c.made.Plan.Pieces[c.piece]
	parts, seams := len(m.Parts), len(m.Seams)
	_, whole, err := c.carve(t, NewBody(p, p.Outline), nil)
	if err != nil {
		return err
	}
	m.Whole = append(m.Whole, whole)
	if len(m.Seams)-seams < 2 {
		return nil
	}
	c.stops = make([]stops, len(m.Seams)-seams)
	met := false
	for i := range c.stops {
		for k := i + 1; k < len(c.stops); k++ {
			side := 0
			if k >= c.far[i] {
				side = 1
			}
			for _, end := range m.Seams[seams+k].Ends {
				if along, on := m.Seams[seams+i].meets(end.At, side); on {
					c.stops[i][side] = append(c.stops[i][side], along)
					met = true
				}
			}
		}
		c.stops[i].tidy()
	}
	if !met {
		return nil
	}
	m.Parts, m.Seams = m.Parts[:parts], m.Seams[:seams]
	_, _, err = c.carve(t, NewBody(p, p.Outline), nil)
	return err
}

// letters name the seams. They run in the order in which seams are sewn, and of
// one copy the seam that was cut first is sewn last. Seams that had a letter
// before keep it.
func (p *Plan) letters() []string {
	var out []string
	taken := map[string]bool{}
	var ends []int // of each copy's seams
	for _, t := range p.Trees {
		for _, cut := range t.Cuts() {
			name := ""
			if cut.Was != nil {
				name = cut.Was.Name
				taken[name] = true
			}
			out = append(out, name)
		}
		ends = append(ends, len(out))
	}
	next, first := 0, 0
	for _, end := range ends {
		for k := end - 1; k >= first; k-- {
			for ; out[k] == ""; next++ {
				if name := Letter(next); !taken[name] {
					out[k] = name
				}
			}
		}
		first = end
	}
	return out
}

// inSewingOrder is the seams, A first: piece by piece, and of each so that
// every seam joins finished parts.
func (m *Made) inSewingOrder() []int {
	order := make([]int, len(m.Seams))
	for first := 0; first < len(order); {
		next := first
		for next < len(order) && m.Seams[next].Piece == m.Seams[first].Piece {
			next++
		}
		for i := first; i < next; i++ {
			order[i] = first + next - 1 - i
		}
		first = next
	}
	return order
}

// meets is where along a side of the seam, and not at its ends, another one
// ends on it.
func (s *PiecingSeam) meets(end orb.Point, side int) (along float64, ok bool) {
	along, away := s.sides[side].Nearest(end)
	return along, away < 0.01 && along > sameStopMM && along < s.sides[side].Length()-sameStopMM
}

// carve cuts a body as the tree says. It gives the indices of its parts and,
// where a dart was taken in, the outline that they make up.
func (c *carver) carve(t *Tree, b *Body, path []string) (parts []int, whole piece.Outline, err error) {
	m := c.made
	if t.Way == nil {
		cut := c.whole
		if cut == nil || len(path) > 0 {
			if cut, err = CutLine(b.Piece, b.Outline); err != nil {
				return nil, nil, err
			}
		}
		m.Parts = append(m.Parts, Part{Name: strings.Join(path, "-"), Piece: c.piece, Leaf: t, Outline: b.Outline, Cut: cut, Of: b.Piece})
		return []int{len(m.Parts) - 1}, nil, nil
	}
	at := len(m.Seams)
	line := t.Way.Line(b, t.LevelMM)
	chords := Chords(b.Outline, line)
	if len(chords) != 1 {
		return nil, nil, ErrMisses
	}
	c.far = append(c.far[:at-c.first], 0)
	h := halve(b, line, chords[0], Seam{Name: c.letters[at], AllowanceMM: c.allowanceMM}, t.TakeInMM)
	notches, err := c.notches(at, t.Was, h.line, h.mouths())
	if err != nil {
		return nil, nil, err
	}
	ends := offStubs(b.Outline, chords[0])
	s := PiecingSeam{
		Name: h.name, Kind: t.Way.KindAt(b, t.LevelMM), Piece: c.piece, Way: t.Way, LevelMM: t.LevelMM, TakeInMM: t.TakeInMM, Carried: t.Carried,
		Line: h.line, LengthMM: h.line.Length(), Notches: notches, Taken: h.taken, TakenEyes: h.eyes, Divided: h.divided, Across: h.across, Crossed: h.crosses(), Trued: h.trued, Body: b,
		Ends: [2]End{b.endOn(ends.From), b.endOn(ends.To)},
	}
	s.sides = h.mark(s.Notches)
	m.Seams = append(m.Seams, s)
	nearName, farName := SidesOf(t.Way, b, t.LevelMM)
	nearParts, near, err := c.carve(t.Near, h.near, with(path, nearName))
	if err != nil {
		return nil, nil, err
	}
	c.far[at-c.first] = len(m.Seams) - c.first
	farParts, far, err := c.carve(t.Far, h.far, with(path, farName))
	if err != nil {
		return nil, nil, err
	}
	m.Seams[at].Near, m.Seams[at].Far = m.touching(nearParts, s.Name), m.touching(farParts, s.Name)
	if len(h.taken)+len(h.eyes) > 0 || near != nil || far != nil {
		if near == nil {
			near = h.near.Outline
		}
		if far == nil {
			far = h.far.Outline
		}
		whole = rejoin(near, far, s.Name, h.from, h.to)
	}
	return append(nearParts, farParts...), whole, nil
}

// notches are those of a seam, no two stretches of the piece alike. Those that it
// had before stay.
func (c *carver) notches(seam int, was *Was, line curve.Path, mouths []Span) ([]piece.Notch, error) {
	k := seam - c.first
	var on stops
	index := k
	if k < len(c.stops) {
		on = c.stops[k]
		for _, s := range c.stops[:k] {
			index += s.count()
		}
	}
	var kept []piece.Notch
	if was != nil {
		if kept = append([]piece.Notch{}, was.Notches...); len(on[0])+len(on[1]) == 0 {
			return kept, nil
		}
	}
	out, ok := notchStretches(line, on, mouths, index, kept)
	if !ok {
		return nil, fmt.Errorf("%w: seam %s between the ends of others", ErrShort, c.letters[seam])
	}
	for i := range out {
		out[i].For = c.letters[seam]
	}
	return out, nil
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

// nameParts gives each part its final name: the copy's, and where in the piece
// it lies. Parts that would have one name are numbered; those that had one before
// keep it.
func (m *Made) nameParts() {
	count := map[string]int{}
	for _, part := range m.Parts {
		if was := part.Leaf.Was; was != nil {
			count[was.Name] += 2 // taken, and for no other
		}
	}
	for k := range m.Parts {
		if was := m.Parts[k].Leaf.Was; was != nil {
			m.Parts[k].Name = was.Name
			continue
		}
		name := m.Plan.Pieces[m.Parts[k].Piece].CopyName()
		if where := tidy(m.Parts[k].Name); where != "" {
			name += "-" + where
		}
		m.Parts[k].Name = name
		count[name]++
	}
	last := map[string]int{}
	for k := range m.Parts {
		name := m.Parts[k].Name
		if count[name] < 2 || m.Parts[k].Leaf.Was != nil {
			continue
		}
		for numbered := name; count[numbered] > 0; {
			last[name]++
			numbered = fmt.Sprintf("%s-%d", name, last[name])
			m.Parts[k].Name = numbered
		}
		count[m.Parts[k].Name]++
	}
}

// tidy shortens where a part lies: of a piece cut several times across, what
// is always the upper is its upper, what is always the lower its lower, and
// the rest its middle; and so from left to right.
func tidy(where string) string {
	opposite := map[string]string{
		"upper": "lower", "lower": "upper", "left": "right", "right": "left",
		"inner": "outer", "outer": "inner", "front": "back", "back": "front", "first": "last", "last": "first",
	}
	words := strings.Split(strings.ReplaceAll(where, "main-", ""), "-")
	var out []string
	for i := 0; i < len(words); {
		word, name := words[i], words[i]
		for i++; i < len(words) && opposite[word] != "" && (words[i] == word || words[i] == opposite[word]); i++ {
			if words[i] != word {
				name = "middle"
			}
		}
		out = append(out, name)
	}
	return strings.Join(out, "-")
}

// Letter names the i-th piecing seam: A … Z, AA, AB, …
func Letter(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

// endOn finds the edge of the whole piece that a seam ends on. A seam that
// ends on another seam has an end with no edge of the piece.
func (b *Body) endOn(c curve.Crossing) End {
	const onMM = 0.1
	drawn := b.asDrawn(c.At)
	for _, e := range b.Piece.Outline {
		if !e.Line.Bound().Pad(1).Contains(drawn) {
			continue
		}
		if along, away := e.Line.Nearest(drawn); away < onMM {
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
