package split

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Carry leads a cross seam of one piece on through the joins that it meets, and
// through the pieces there, until it comes round or meets no join. Where it
// meets a join, the ends on both sides are mates.
type Carry struct {
	Piece string // whose cross seam it is
	To    string // the piece as far as which it goes; empty for all it comes to

	copies []*piece.Piece
	shut   []*piece.Piece // that are sewn to them, and that no line crosses
	whole  []*Body
	mates  *mates
}

// Manner is how a carried line crosses the pieces.
type Manner int

const (
	// Square is square to the grain wherever the joins leave it free.
	Square Manner = iota
	// Round runs as far below the underarm on all pieces of the body that have
	// one, and on the sleeves between from mate to mate.
	Round
)

// CarriedMM is how far the ends of a carried line may be from being mates.
const CarriedMM = 1.0

const (
	// A seam ends no nearer than that to a place where three pieces meet: it
	// would be anybody's guess which of them it goes on to.
	cornerMM = 3.0
	// offMateMM is how far off its mate the search lets an end be; the rest of
	// CarriedMM is left for scissors and for who proves it.
	offMateMM = 0.5
	// Lines whose ends are as near as that to one level are square to the grain.
	levelMM = 0.02
	// steepest is the rise of a smooth line that still looks like one.
	steepest = 1.0
)

// ErrNotCarried is wrapped by every reason why a line cannot be carried.
var ErrNotCarried = errors.New("the line cannot be carried")

// NewCarry prepares to carry a cross seam. Copies are every copy of every piece that
// may be split; shut are those that may not, as they are cut already or are cut whole
// where they fit: at a join to one of them a line cannot go on. It is bad use where a
// piece is not there, or no join tells where to go on.
func NewCarry(copies, shut []*piece.Piece, lead, to string) (*Carry, error) {
	c := &Carry{copies: copies, shut: shut}
	for k, wanted := range []string{lead, to} {
		at := slices.IndexFunc(copies, func(p *piece.Piece) bool { return strings.EqualFold(p.Name, wanted) })
		switch {
		case at < 0 && (k == 0 || wanted != ""):
			return nil, fmt.Errorf("there is no piece %q; the pieces are %s", wanted, strings.Join(namesOf(copies), ", "))
		case k == 0:
			lead, c.Piece = copies[at].Name, copies[at].Name
		case at >= 0:
			to, c.To = copies[at].Name, copies[at].Name
		}
	}
	if lead == to {
		return nil, fmt.Errorf("a seam of %s is to go as far as %s itself; name another piece", lead, to)
	}
	c.mates = newMates(c.outside())
	c.mates.joinHalves()
	for _, name := range []string{lead, to} {
		if isFacing(name) {
			return nil, fmt.Errorf("%s is a layer behind other pieces, and a line goes past it; name another piece", name)
		}
		if name != "" && !c.joined(name) {
			if p := c.shutBeside(name); p != "" {
				return nil, fmt.Errorf("%s is sewn to %s, which no seam may cross, and to no other piece, so the line cannot go on", name, p)
			}
			return nil, fmt.Errorf("%s has no edge that names the edge it is sewn to, so nothing tells where the line goes on; give its edges the fact joins, such as joins: back/side", name)
		}
	}
	for _, p := range copies {
		c.whole = append(c.whole, NewBody(p, p.Outline))
	}
	return c, nil
}

func namesOf(copies []*piece.Piece) []string {
	var out []string
	for _, p := range copies {
		if !slices.Contains(out, p.Name) {
			out = append(out, p.Name)
		}
	}
	return out
}

func (c *Carry) joined(name string) bool {
	for at := range c.mates.sewn {
		if c.copies[at.copy].Name == name {
			return true
		}
	}
	return false
}

// isFacing reports whether a piece is a layer behind others, at whose join to them a line
// ends: a facing stays as it is, or is left out.
func isFacing(name string) bool { return hasWord(name, "facing") }

// outside are the copies, without joins to facings.
func (c *Carry) outside() []*piece.Piece {
	out := slices.Clone(c.copies)
	for i, p := range out {
		if isFacing(p.Name) {
			q := *p
			q.Outline = slices.Clone(p.Outline)
			for k := range q.Outline {
				q.Outline[k].Name, q.Outline[k].Joins = "", nil
			}
			out[i] = &q
		}
	}
	return out
}

// shutBeside is a piece which no line crosses that a piece of that name is sewn to.
func (c *Carry) shutBeside(name string) string {
	for _, p := range c.copies {
		for _, e := range p.Outline {
			if s := c.shutAt(piece.Ref{Piece: p.Name, Edge: e.Name}); p.Name == name && s != "" {
				return s
			}
		}
	}
	return ""
}

// shutAt is a piece which no line crosses that an edge is sewn to: it names it, or is
// named by it.
func (c *Carry) shutAt(r piece.Ref) string {
	for _, s := range c.shut {
		if isFacing(s.Name) {
			continue
		}
		for _, f := range s.Outline {
			there := piece.Ref{Piece: s.Name, Edge: f.Name}
			if slices.Contains(f.Joins, r) || slices.ContainsFunc(edgesOf(c.copies, r), func(at edgeAt) bool {
				return slices.Contains(c.copies[at.copy].Outline[at.edge].Joins, there)
			}) {
				return s.Name
			}
		}
	}
	return ""
}

// Body is a whole copy of the piece that leads.
func (c *Carry) Body() *Body {
	return c.whole[slices.IndexFunc(c.copies, func(p *piece.Piece) bool { return p.Name == c.Piece })]
}

// CarriedLine is one line over several copies.
type CarriedLine struct {
	Piece, To string       // whose cross seam it is, and as far as which piece it goes
	Cuts      []CarriedCut // in the order of the copies
	Meets     []CarriedMeet
}

// CarriedMeet is where it goes on across a join from one copy to another, or to
// the other side of the same one.
type CarriedMeet struct {
	From, To int // copies
	Join     [2]piece.Ref
	OffMM    float64 // how far its ends are from being mates
	TurnDeg  float64 // by how much it turns there
}

// Sharpest is where it turns most; the zero value where it meets nothing.
func (l *CarriedLine) Sharpest() CarriedMeet {
	var most CarriedMeet
	for _, m := range l.Meets {
		if m.TurnDeg > most.TurnDeg {
			most = m
		}
	}
	return most
}

// CarriedCut is where it cuts one copy.
type CarriedCut struct {
	Copy    int
	Way     Way
	LevelMM float64
	// What lies above the line, as on the piece that leads, is the near part.
	AboveNear bool

	ends [2]lineEnd
}

// Place names the edges on which the line ends: while they are the same, it
// slides with its level.
func (l *CarriedLine) Place() string {
	var b strings.Builder
	for _, c := range l.Cuts {
		fmt.Fprintf(&b, "%d:%d,%d,%t;", c.Copy, c.ends[0].edge, c.ends[1].edge, c.AboveNear)
	}
	return b.String()
}

// Cut is where the line cuts a copy, nil where it does not cross it.
func (l *CarriedLine) Cut(copy int) *CarriedCut {
	for k := range l.Cuts {
		if l.Cuts[k].Copy == copy {
			return &l.Cuts[k]
		}
	}
	return nil
}

// lineEnd is where a line comes to an edge.
type lineEnd struct {
	onEdge
	aboveBefore bool // along the edge, what lies above comes before it
	// The line's direction out of the piece, along the edge and square to it.
	along, out float64
	none       bool // the edge is sewn to nothing
}

// At is the line whose level on the leading piece is that of a way.
func (c *Carry) At(way Way, level float64, manner Manner) (*CarriedLine, error) {
	w := &carrying{Carry: c, curved: !way.Traits().Plain, cuts: map[int]*CarriedCut{}, failed: map[int]error{}}
	var now []int // copies whose line was drawn in the last step
	for i, p := range c.copies {
		at, seed := level, p.Name == c.Piece
		if manner == Round && !seed {
			at, seed = c.levelRound(i, level)
		}
		if !seed {
			continue
		}
		if err := w.draw(i, way, at); err != nil {
			return nil, err
		}
		now = append(now, i)
	}
	for len(now) > 0 {
		entries := map[int][]lineEnd{}
		for _, i := range now {
			for _, e := range w.cuts[i].ends {
				if e.none || c.To != "" && c.copies[i].Name == c.To {
					continue
				}
				next, err := w.matesOf(e)
				if err != nil {
					return nil, err
				}
				for _, n := range next {
					if w.cuts[n.copy] == nil && w.failed[n.copy] == nil {
						entries[n.copy] = append(entries[n.copy], n)
					}
				}
			}
		}
		now = nil
		for _, i := range slices.Sorted(maps.Keys(entries)) {
			if w.failed[i] = w.lead(i, entries[i]); w.failed[i] == nil {
				now = append(now, i)
			}
		}
	}
	return w.line()
}

// levelRound is the level on another piece of the body at which a line runs as far
// below the underarm as one on the leading piece does; not ok for a piece that
// is not beside it below the underarm.
func (c *Carry) levelRound(i int, level float64) (float64, bool) {
	lead := c.Body()
	mine, its := Underarms(lead.Piece.Outline), Underarms(c.copies[i].Outline)
	if len(mine) == 0 || len(its) == 0 || !slices.ContainsFunc(lead.Piece.Outline, func(e piece.Edge) bool {
		return !isArmhole(e.Name) && slices.ContainsFunc(c.copies[i].Outline, func(f piece.Edge) bool {
			return e.Name != "" && f.Name != "" && Joined(e, lead.Piece, f, c.copies[i])
		})
	}) {
		return 0, false
	}
	_, from := lead.Frame.Place(mine[0])
	_, to := c.whole[i].Frame.Place(its[0])
	return level - from + to, true
}

// carrying is one line that is being drawn.
type carrying struct {
	*Carry
	curved bool
	cuts   map[int]*CarriedCut
	failed map[int]error // copies that it comes to and cannot cross
}

func (c *Carry) refuse(i int, format string, args ...any) error {
	return fmt.Errorf("%w: %s: %s", ErrNotCarried, c.copies[i].ID(), fmt.Sprintf(format, args...))
}

// draw cuts a copy.
func (w *carrying) draw(i int, way Way, level float64) error {
	b := w.whole[i]
	if !In(way.Spans(b), level) {
		return w.refuse(i, "it cuts the piece in no two sound parts there, or runs through a zone to keep")
	}
	chords := Chords(b.Outline, way.Line(b, level))
	if len(chords) != 1 {
		return w.refuse(i, "it does not cut the piece in two there")
	}
	cut := &CarriedCut{Copy: i, Way: way, LevelMM: level, AboveNear: true}
	line := way.Line(b, level)
	for k, x := range []struct {
		onP, onQ float64
		toward   float64
	}{{chords[0].From.OnP, chords[0].From.OnQ, -1}, {chords[0].To.OnP, chords[0].To.OnQ, 1}} {
		at, mm := b.Outline.EdgeAt(x.onP)
		e := lineEnd{onEdge: onEdge{edgeAt{i, at}, mm}, aboveBefore: k == 1}
		_, dir := line.At(x.onQ)
		_, along, out := outward(b.Outline[at], mm)
		e.along, e.out = x.toward*plane.Dot(dir, along), x.toward*plane.Dot(dir, out)
		if s := w.shutAt(w.ref(e.edgeAt)); s != "" && w.To == "" {
			return w.refuse(i, "it ends on edge %s, which is sewn to %s, and no seam may cross that", named(b.Outline[at].Name), s)
		}
		e.none = len(w.mates.partnersOf(w.ref(e.edgeAt))) == 0
		if l := b.Outline[at].Line.Length(); !e.none && (mm < cornerMM || mm > l-cornerMM) {
			return w.refuse(i, "it ends at a corner of the piece, where edge %s ends", named(b.Outline[at].Name))
		}
		cut.ends[k] = e
	}
	w.cuts[i] = cut
	return nil
}

func (c *Carry) ref(at edgeAt) piece.Ref {
	return piece.Ref{Piece: c.copies[at.copy].Name, Edge: c.mates.line(at).Name}
}

// matesOf are the ends that the line must have where the other pieces are sewn on.
func (w *carrying) matesOf(e lineEnd) ([]lineEnd, error) {
	at, ok := w.mates.of(e.edgeAt, e.mm)
	if _, open := w.mates.closed(e.edgeAt).shut(e.mm); !open {
		return nil, w.refuse(e.copy, "it ends in the mouth of a dart")
	}
	if !ok && w.endsAtTrim(e.edgeAt) {
		return nil, nil
	}
	if !ok {
		edge := named(w.mates.line(e.edgeAt).Name)
		for _, r := range w.mates.partnersOf(w.ref(e.edgeAt)) {
			if row := w.mates.partnersOf(r); len(row) > 2 && w.mates.inARow(r, row) {
				return nil, w.refuse(e.copy, "at %.0f mm along %s it comes to %s, on which %d edges come in a row, and it is led on only where two do%s", e.mm, edge, r.Piece, len(row), w.asFarAs())
			}
		}
		return nil, w.refuse(e.copy, "at %.0f mm along %s nothing tells what is sewn there", e.mm, edge)
	}
	var out []lineEnd
	for _, m := range at {
		// Opened out, the one edge runs against the other, and the outside of the one
		// is the inside of the other: a line that goes straight on leaves both alike.
		out = append(out, lineEnd{onEdge: m, aboveBefore: !e.aboveBefore, along: e.along, out: e.out})
	}
	return out, nil
}

// endsAtTrim reports whether a line that goes as far as a piece may end on an edge, though nothing
// tells where it would go on: only bands, bindings and the like are sewn there, which it
// leaves out.
func (w *carrying) endsAtTrim(at edgeAt) bool {
	sewn := w.mates.partnersOf(w.ref(at))
	return w.To != "" && len(sewn) > 0 && !slices.ContainsFunc(sewn, func(r piece.Ref) bool {
		return !isTrim(r.Piece) || r.Piece == w.To || r.Piece == w.Piece
	})
}

// asFarAs is what may be wished instead of a line that comes to what it is not led across: one
// that goes as far as a piece of the body, the largest that the leading one is sewn to, and
// leaves out what does not lead there.
func (w *carrying) asFarAs() string {
	if w.To != "" {
		return ""
	}
	most, to := 0.0, ""
	for _, p := range w.copies {
		if p.Name == w.Piece || isTrim(p.Name) {
			continue
		}
		sewn := slices.ContainsFunc(p.Outline, func(e piece.Edge) bool {
			return slices.ContainsFunc(w.mates.partnersOf(piece.Ref{Piece: p.Name, Edge: e.Name}), func(r piece.Ref) bool { return r.Piece == w.Piece })
		})
		if area := plane.Area(p.Outline.Ring()); sewn && area > most {
			most, to = area, p.Name
		}
	}
	if to == "" {
		return ""
	}
	return fmt.Sprintf("; as far as %s, by \"carry %s to %s\", it leaves that out", to, w.Piece, to)
}

// lead leads the line through a copy, from the ends that it must have.
func (w *carrying) lead(i int, entries []lineEnd) error {
	b := w.whole[i]
	var at []orb.Point // across and down
	var rise []float64
	var first []lineEnd
	for _, e := range entries {
		q, _, _ := outward(b.Outline[e.edge], e.mm)
		across, down := b.Frame.Place(q)
		p := orb.Point{across, down}
		if slices.ContainsFunc(at, func(o orb.Point) bool { return plane.Distance(o, p) < offMateMM }) {
			continue
		}
		at, rise, first = append(at, p), append(rise, w.riseAt(i, e)), append(first, e)
	}
	way, level, err := w.through(i, at, rise)
	if err != nil {
		return err
	}
	if err := w.draw(i, way, level); err != nil {
		if len(at) > 1 {
			return w.refuse(i, "no one seam joins the %d places where it comes to the piece: it would cut it in no two sound parts, or run through a zone to keep", len(at))
		}
		return err
	}
	// Above is on the side of the edge that it is on at the join.
	cut := w.cuts[i]
	for _, end := range cut.ends {
		if end.edge == first[0].edge && math.Abs(end.mm-first[0].mm) < CarriedMM && end.aboveBefore != first[0].aboveBefore {
			cut.AboveNear = false
			cut.ends[0].aboveBefore, cut.ends[1].aboveBefore = !cut.ends[0].aboveBefore, !cut.ends[1].aboveBefore
			break
		}
	}
	return nil
}

// riseAt is how steeply the line runs down where it comes into a copy, to go
// straight on from the piece before: mm down for every mm across.
func (w *carrying) riseAt(i int, e lineEnd) float64 {
	_, along, out := outward(w.whole[i].Outline[e.edge], e.mm)
	dir := orb.Point{-e.along*along[0] - e.out*out[0], -e.along*along[1] - e.out*out[1]}
	across, down := w.whole[i].Frame.Place(dir)
	if across == 0 {
		return math.Copysign(steepest, down)
	}
	return math.Max(-steepest, math.Min(steepest, down/across))
}

// through is the line through one place or two.
func (w *carrying) through(i int, at []orb.Point, rise []float64) (Way, float64, error) {
	b := w.whole[i]
	if len(at) == 1 {
		level := at[0][1]
		if !w.curved {
			return Yoke{}, level, nil
		}
		// As it comes in so it goes out, its mirror image, at the same level.
		chords := Chords(b.Outline, Yoke{}.Line(b, level))
		if len(chords) != 1 {
			return nil, 0, w.refuse(i, "it does not cut the piece in two there")
		}
		from, _ := b.Frame.Place(chords[0].From.At)
		to, _ := b.Frame.Place(chords[0].To.At)
		r := rise[0]
		if math.Abs(at[0][0]-to) < math.Abs(at[0][0]-from) {
			r = -r
		}
		return Carried{orb.Point{from, level}, orb.Point{to, level}, r, -r}, 0, nil
	}
	if len(at) > 2 {
		return nil, 0, w.refuse(i, "it would have to meet %d places on the piece, and a line has two ends", len(at))
	}
	if at[0][0] > at[1][0] {
		at[0], at[1], rise[0], rise[1] = at[1], at[0], rise[1], rise[0]
	}
	if at[1][0]-at[0][0] < LeastPartMM {
		return nil, 0, w.refuse(i, "it would have to meet two places one above the other")
	}
	switch {
	case w.curved:
		return Carried{at[0], at[1], rise[0], rise[1]}, 0, nil
	case math.Abs(at[0][1]-at[1][1]) < levelMM:
		return Yoke{}, (at[0][1] + at[1][1]) / 2, nil
	}
	return CarriedStraight(at[0], at[1]), 0, nil
}

// line is what was drawn, once every end has been found to have its mates.
func (w *carrying) line() (*CarriedLine, error) {
	out := &CarriedLine{Piece: w.Piece, To: w.To}
	kept := w.onTheWay()
	names := map[string]bool{}
	for i := range w.copies {
		if kept[i] && w.failed[i] != nil {
			return nil, w.failed[i]
		}
	}
	for i := range w.copies {
		cut := w.cuts[i]
		if !kept[i] {
			continue
		}
		names[w.copies[i].Name] = true
		out.Cuts = append(out.Cuts, *cut)
		for _, e := range cut.ends {
			if e.none || w.To != "" && w.copies[i].Name == w.To {
				continue
			}
			next, err := w.matesOf(e)
			if err != nil {
				return nil, err
			}
			for _, n := range next {
				if !kept[n.copy] {
					continue
				}
				off, turn, above := w.meets(n)
				if !above {
					return nil, w.refuse(n.copy, "what lies above it on %s would lie below it", w.copies[i].ID())
				}
				if off > offMateMM {
					return nil, w.refuse(n.copy, "its end is %.1f mm off where %s is sewn to it", off, w.copies[i].ID())
				}
				// Each is met from both sides, but for the last piece, whose ends are not
				// looked at.
				if last := w.To != "" && w.copies[n.copy].Name == w.To; last || i < n.copy || i == n.copy && e.edge < n.edge {
					out.Meets = append(out.Meets, CarriedMeet{i, n.copy, [2]piece.Ref{w.ref(e.edgeAt), w.ref(n.edgeAt)}, off, turn})
				}
			}
		}
	}
	if len(names) < 2 && !w.comesRound(out) {
		return nil, fmt.Errorf("%w: on %s it meets no join", ErrNotCarried, w.Piece)
	}
	if w.To != "" && !names[w.To] {
		return nil, fmt.Errorf("%w: on %s it meets no join that leads to %s", ErrNotCarried, w.Piece, w.To)
	}
	return out, nil
}

// comesRound reports whether the line of one piece meets itself at a join, as
// that round a sleeve does at the underarm seam.
func (w *carrying) comesRound(l *CarriedLine) bool {
	for _, c := range l.Cuts {
		for _, e := range c.ends {
			if e.none {
				return false
			}
		}
	}
	return len(l.Cuts) > 0
}

// onTheWay tells which copies the line is to cross: all that it comes to from
// the leading piece, or those between that and the one as far as which it goes.
func (w *carrying) onTheWay() map[int]bool {
	kept := map[int]bool{}
	next := map[int][]int{}
	for i, cut := range w.cuts {
		for _, e := range cut.ends {
			for _, s := range w.mates.sewn[e.edgeAt] {
				if w.cuts[s.to.copy] != nil || w.failed[s.to.copy] != nil {
					next[i] = append(next[i], s.to.copy)
				}
			}
		}
	}
	var walk func(i int, seen map[int]bool) bool
	walk = func(i int, seen map[int]bool) bool { // whether the way leads on to the last piece
		if w.copies[i].Name == w.To {
			kept[i] = true
			return true
		}
		leads := w.To == ""
		seen[i] = true
		for _, n := range next[i] {
			if !seen[n] && w.copies[n].Name != w.Piece && walk(n, seen) {
				leads = true
			}
		}
		if w.To != "" {
			delete(seen, i) // another way here may lead on
		}
		if leads {
			kept[i] = true
		}
		return leads
	}
	for i := range w.cuts {
		if w.copies[i].Name == w.Piece {
			kept[i] = true
			walk(i, map[int]bool{})
		}
	}
	return kept
}

// meets is how far the nearest end of a copy's line is from where it must be, by
// how much the line turns there, and whether above is on the same side.
func (w *carrying) meets(n lineEnd) (off, turnDeg float64, above bool) {
	off = math.Inf(1)
	cut := w.cuts[n.copy]
	if cut == nil {
		return off, 0, true
	}
	want, _, _ := outward(w.mates.line(n.edgeAt), n.mm)
	for _, e := range cut.ends {
		at, _, _ := outward(w.mates.line(e.edgeAt), e.mm)
		if d := plane.Distance(at, want); d < off {
			off, above = d, e.aboveBefore == n.aboveBefore
			cos := e.along*n.along + e.out*n.out
			turnDeg = math.Acos(math.Max(-1, math.Min(1, cos))) * 180 / math.Pi
		}
	}
	return off, turnDeg, above
}
