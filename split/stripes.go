package split

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
)

// Striping is where level stripes run over the pieces of a garment. Stripes are
// numbered downwards; line n is the upper edge of stripe n. On the piece that
// leads the lines lie as far apart as the stripes are deep. On the others they
// lie where the lines of a piece already striped are sewn to them.
type Striping struct {
	Lead     string
	Sequence StripeSequence
	Copies   []StripedCopy
	Blocks   *Blocking // upright lines as well; nil for stripes

	copies []*piece.Piece
	body   []int // which of all copies those of the mates are
	whole  []*Body
	mates  *mates
}

// StripeSequence is stripes that follow one another, and then again from the first.
type StripeSequence struct {
	Looks    []string
	DepthsMM []float64
}

// StripedCopy is where the lines cross one copy.
type StripedCopy struct {
	Copy  int // of all copies
	Bands []StripeBand
	Tops  map[int]float64 // of the lines that reach it, how far down the grain they run
}

// StripeBand is what lies between two lines of a copy, or between one and its end.
type StripeBand struct {
	Number       int // of the stripe; of the deepest of several
	FromMM, ToMM float64
	Look         string
	Wanted       string // the look that it would be by the sequence, where there was too little of it
}

// StripeMeet is how many of the lines that come to a join meet there.
type StripeMeet struct {
	Join        [2]piece.Ref
	Lines, Meet int
	OffMM       float64 // of those that do not meet, how far off the worst is; 0 where there is none on the other side
}

func (s StripeSequence) index(n int) int {
	k := len(s.Looks)
	return ((n % k) + k) % k
}

// Look of stripe n.
func (s StripeSequence) Look(n int) string { return s.Looks[s.index(n)] }

// DepthMM of stripe n.
func (s StripeSequence) DepthMM(n int) float64 { return s.DepthsMM[s.index(n)] }

// Down is how far line n lies below line 0.
func (s StripeSequence) Down(n int) float64 {
	var sum, period float64
	for _, d := range s.DepthsMM {
		period += d
	}
	k := s.index(n)
	for _, d := range s.DepthsMM[:k] {
		sum += d
	}
	return sum + float64((n-k)/len(s.Looks))*period
}

// NewStriping prepares to stripe a garment: its body and sleeves, and none of what
// finishes an edge or is set on, such as a band, a cuff or a strap.
func NewStriping(copies []*piece.Piece) (*Striping, error) {
	s := &Striping{copies: copies}
	var body []*piece.Piece
	joined := false
	for _, p := range copies {
		for _, e := range p.Outline {
			joined = joined || len(e.Joins) > 0
		}
	}
	for i, p := range copies {
		if piece.TrimWord(p.Name) != "" || p.Use == piece.UseLining || joined && !sewnToOthers(copies, p) {
			continue
		}
		body, s.body = append(body, p), append(s.body, i)
		s.whole = append(s.whole, NewBody(p, p.Outline))
	}
	if len(body) == 0 {
		return nil, fmt.Errorf("no piece is part of the body of a garment or a sleeve, as a front, a back or a sleeve is")
	}
	s.mates = newMates(body)
	s.Lead = body[s.lead()].Name
	return s, nil
}

// sewnToOthers reports whether a piece has a join, by its own edges or others'.
func sewnToOthers(copies []*piece.Piece, p *piece.Piece) bool {
	for _, q := range copies {
		for _, e := range q.Outline {
			if len(e.Joins) > 0 && (q == p || slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return r.Piece == p.Name })) {
				return true
			}
		}
	}
	return false
}

// lead is the front, or else the largest piece.
func (s *Striping) lead() int {
	best, size := 0, -1.0
	for i, p := range s.mates.copies {
		box := s.whole[i].Ring.Bound()
		area := (box.Max[0] - box.Min[0]) * (box.Max[1] - box.Min[1])
		if hasWord(p.Name, "front") {
			area += 1e9
		}
		if area > size+1 {
			best, size = i, area
		}
	}
	return best
}

// HemMM is how far down the grain the leading piece reaches.
func (s *Striping) HemMM() float64 { return s.whole[s.lead()].Hi[1] }

// copyLevels are the levels of lines on a copy: some known, the others as far from
// the nearest of these as the stripes are deep.
type copyLevels struct {
	sequence StripeSequence
	known    map[int]float64
}

func (l copyLevels) at(n int) float64 {
	if x, ok := l.known[n]; ok {
		return x
	}
	lo, hi := math.MaxInt, math.MinInt
	for k := range l.known {
		lo, hi = min(lo, k), max(hi, k)
	}
	near := hi
	if n < lo {
		near = lo
	} else if n < hi {
		for near = n; ; near-- { // a gap between two that are known
			if _, ok := l.known[near]; ok {
				break
			}
		}
	}
	return l.known[near] + l.sequence.Down(n) - l.sequence.Down(near)
}

// Lines lays the stripes over the garment: line 0 that far down the leading piece.
func (s *Striping) Lines(seq StripeSequence, zeroMM float64) *Striping {
	out := *s
	out.Sequence, out.Copies = seq, nil
	levels := map[int]copyLevels{s.lead(): {seq, map[int]float64{0: zeroMM}}}
	for i, p := range s.mates.copies { // all copies of the piece that leads
		if p.Name == s.Lead {
			levels[i] = levels[s.lead()]
		}
	}
	for len(levels) < len(s.whole) {
		next := map[int]copyLevels{}
		for _, by := range []func(map[int]copyLevels, StripeSequence) map[int]copyLevels{s.bySides, s.byArmholes, s.byMiddles, s.byPlace} {
			if next = by(levels, seq); len(next) > 0 {
				break
			}
		}
		for i, l := range next {
			levels[i] = l
		}
	}
	for i, b := range s.whole {
		c := StripedCopy{Copy: s.body[i], Tops: map[int]float64{}}
		l := levels[i]
		n := 0
		for l.at(n) > b.Lo[1] {
			n--
		}
		for l.at(n+1) <= b.Lo[1] {
			n++
		}
		for ; l.at(n) < b.Hi[1]; n++ {
			c.Tops[n] = l.at(n)
		}
		out.Copies = append(out.Copies, c)
	}
	return &out
}

// ends are where line n of a copy comes to edges, as far as they are sewn on.
func (s *Striping) ends(i int, level float64) []onEdge {
	var out []onEdge
	b := s.whole[i]
	for _, c := range Chords(b.Outline, Yoke{}.Line(b, level)) {
		for _, onP := range []float64{c.From.OnP, c.To.OnP} {
			edge, mm := b.Outline.EdgeAt(onP)
			out = append(out, onEdge{edgeAt{i, edge}, mm})
		}
	}
	return out
}

// mateLevel is a level that a copy's line n must have for its end to meet another's.
type mateLevel struct {
	down    float64
	leading bool    // it meets the front
	offMM   float64 // how far from the middle of the other's edge
}

// matesOn are, by copy that has no levels yet and by line, the levels that it must
// have there, over the edges that are of use.
func (s *Striping) matesOn(levels map[int]copyLevels, use func(piece.Edge, *Body) bool) map[int]map[int][]mateLevel {
	out := map[int]map[int][]mateLevel{}
	for i := range s.whole {
		l, placed := levels[i]
		if !placed {
			continue
		}
		for n := s.first(i, l); l.at(n) < s.whole[i].Hi[1]; n++ {
			for _, e := range s.ends(i, l.at(n)) {
				if !use(s.mates.line(e.edgeAt), s.whole[i]) {
					continue
				}
				at, _ := s.mates.of(e.edgeAt, e.mm)
				off := math.Abs(e.mm - s.mates.line(e.edgeAt).Line.Length()/2)
				for _, m := range at {
					if _, done := levels[m.copy]; done {
						continue
					}
					q, _, _ := outward(s.mates.line(m.edgeAt), m.mm)
					_, down := s.whole[m.copy].Frame.Place(q)
					if out[m.copy] == nil {
						out[m.copy] = map[int][]mateLevel{}
					}
					out[m.copy][n] = append(out[m.copy][n], mateLevel{down, s.mates.copies[i].Name == s.Lead, off})
				}
			}
		}
	}
	return out
}

func (s *Striping) first(i int, l copyLevels) int {
	n := 0
	for l.at(n) > s.whole[i].Lo[1] {
		n--
	}
	for l.at(n+1) <= s.whole[i].Lo[1] {
		n++
	}
	return n
}

// bySides lays the lines of pieces on through seams that run along the grain: side
// seams and the like.
func (s *Striping) bySides(levels map[int]copyLevels, seq StripeSequence) map[int]copyLevels {
	along := func(e piece.Edge, b *Body) bool {
		a1, d1 := b.Frame.Place(e.Line.Start())
		a2, d2 := b.Frame.Place(e.Line.End())
		return !isArmhole(e.Name) && math.Abs(d2-d1) > math.Abs(a2-a1)
	}
	out := map[int]copyLevels{}
	for i, at := range s.matesOn(levels, along) {
		l := copyLevels{seq, map[int]float64{}}
		for n, found := range at {
			var sum float64
			for _, m := range found {
				sum += m.down
			}
			l.known[n] = sum / float64(len(found))
		}
		if l.rises() {
			out[i] = l
		}
	}
	return out
}

// rises reports whether the lines lie one below the other.
func (l copyLevels) rises() bool {
	var all []int
	for n := range l.known {
		all = append(all, n)
	}
	slices.Sort(all)
	for k := 1; k < len(all); k++ {
		if l.known[all[k]] <= l.known[all[k-1]] {
			return false
		}
	}
	return len(all) > 0
}

// evenFrom and evenTo are how much shallower or deeper a stripe may be on a sleeve
// for its lines to meet those of the body. (From memory: to the eye it is one
// stripe up to about that.)
const evenFrom, evenTo = 0.7, 1.45

// byArmholes lays them on into sleeves: from mate to mate, where the stripes stay
// about as deep as they are; else as deep as they are, so that one line meets the
// front's in the middle of the armhole. In front, for there it is seen (common
// practice, no source).
func (s *Striping) byArmholes(levels map[int]copyLevels, seq StripeSequence) map[int]copyLevels {
	out := map[int]copyLevels{}
	for i, at := range s.matesOn(levels, func(e piece.Edge, _ *Body) bool { return isArmhole(e.Name) }) {
		l := copyLevels{seq, map[int]float64{}}
		best, middle := 0, math.Inf(1)
		for n, found := range at {
			lead := slices.ContainsFunc(found, func(m mateLevel) bool { return m.leading })
			var of []float64
			for _, m := range found {
				if m.leading || !lead {
					of = append(of, m.down)
				}
				off := m.offMM
				if !m.leading {
					off += 1e6
				}
				if off < middle {
					best, middle = n, off
				}
			}
			var all []float64
			for _, m := range found {
				all = append(all, m.down)
			}
			if slices.Max(all)-slices.Min(all) <= CarriedMM { // both seams can be met
				of = all
			}
			l.known[n] = (slices.Max(of) + slices.Min(of)) / 2
		}
		if !l.even() {
			l.known = map[int]float64{best: l.known[best]}
		}
		out[i] = l
	}
	return out
}

// even reports whether the stripes between the lines known are about as deep as
// they are in the sequence.
func (l copyLevels) even() bool {
	var all []int
	for n := range l.known {
		all = append(all, n)
	}
	slices.Sort(all)
	for k := 1; k < len(all); k++ {
		of := l.known[all[k]] - l.known[all[k-1]]
		want := l.sequence.Down(all[k]) - l.sequence.Down(all[k-1])
		if of < evenFrom*want || of > evenTo*want {
			return false
		}
	}
	return true
}

// byMiddles lays them on through seams that no line comes to, such as that of a
// drawn yoke: the middles of both edges lie on one level.
func (s *Striping) byMiddles(levels map[int]copyLevels, seq StripeSequence) map[int]copyLevels {
	out := map[int]copyLevels{}
	for i := range s.whole {
		if _, placed := levels[i]; placed {
			continue
		}
		for k := range s.whole[i].Outline {
			for _, m := range s.mates.sewn[edgeAt{i, k}] {
				l, placed := levels[m.to.copy]
				if !placed || out[i].known != nil {
					continue
				}
				mine, its := s.middleOf(edgeAt{i, k}), s.middleOf(m.to)
				n := s.nearest(l, its)
				out[i] = copyLevels{seq, map[int]float64{n: l.at(n) - its + mine}}
			}
		}
	}
	return out
}

func (s *Striping) middleOf(at edgeAt) float64 {
	e := s.mates.line(at)
	q, _ := e.Line.At(e.Line.Length() / 2)
	_, down := s.whole[at.copy].Frame.Place(q)
	return down
}

// nearest is the line nearest to a level.
func (s *Striping) nearest(l copyLevels, down float64) int {
	n := 0
	for l.at(n) > down {
		n--
	}
	for l.at(n+1) <= down {
		n++
	}
	return n
}

// byPlace lays them on pieces that no join leads to, by their underarms, or else
// by their lower ends.
func (s *Striping) byPlace(levels map[int]copyLevels, seq StripeSequence) map[int]copyLevels {
	lead := s.lead()
	l := levels[lead]
	for i := range s.whole {
		if _, placed := levels[i]; placed {
			continue
		}
		mine, its := s.whole[i].Hi[1], s.whole[lead].Hi[1]
		a, b := Underarms(s.whole[i].Outline), Underarms(s.whole[lead].Outline)
		if len(a) > 0 && len(b) > 0 {
			_, mine = s.whole[i].Frame.Place(a[0])
			_, its = s.whole[lead].Frame.Place(b[0])
		}
		n := s.nearest(l, its)
		return map[int]copyLevels{i: {seq, map[int]float64{n: l.at(n) - its + mine}}}
	}
	return nil
}

// Ways are the cuts along a line of a body, one after the other: a yoke, or above
// the lowest point of a neckline one for each shoulder. There are none where the
// line does not cut it in sound parts.
func (s *Striping) Ways(b *Body, level float64) []Way {
	if In(Yoke{}.Spans(b), level) {
		return []Way{Yoke{}}
	}
	chords := Chords(b.Outline, Yoke{}.Line(b, level))
	if len(chords) != 2 {
		return nil
	}
	left, _ := b.Frame.Place(chords[0].To.At)
	right, _ := b.Frame.Place(chords[1].From.At)
	at := (left + right) / 2
	out := []Way{Shoulder{AtMM: at}, Shoulder{Right: true, AtMM: at}}
	for _, w := range out {
		if !In(w.Spans(b), level) {
			return nil
		}
	}
	return out
}

// Crosses reports whether a line at that level crosses a body.
func Crosses(b *Body, level float64) bool { return level > b.Lo[1] && level < b.Hi[1] }

// Meets is which of the lines that are cut meet at the joins.
func (s *Striping) Meets() []StripeMeet {
	at := map[int]map[int]float64{}
	for k, c := range s.Copies {
		at[k] = map[int]float64{}
		for b := 1; b < len(c.Bands); b++ {
			at[k][c.Bands[b-1].Number+1] = c.Bands[b].FromMM
		}
	}
	type end struct {
		onEdge
		n int
	}
	var ends []end
	for k := range s.Copies {
		for n, level := range at[k] {
			for _, e := range s.ends(k, level) {
				ends = append(ends, end{e, n})
			}
		}
	}
	slices.SortFunc(ends, func(a, b end) int {
		if a.copy != b.copy {
			return a.copy - b.copy
		}
		if a.n != b.n {
			return a.n - b.n
		}
		return a.edge - b.edge
	})
	var out []StripeMeet
	for _, e := range ends {
		ref := s.refOf(e.edgeAt)
		mates, _ := s.mates.of(e.edgeAt, e.mm)
		for _, m := range mates {
			to := s.refOf(m.edgeAt)
			join := [2]piece.Ref{ref, to}
			if strings.Compare(ref.String(), to.String()) > 0 {
				join = [2]piece.Ref{to, ref}
			}
			j := slices.IndexFunc(out, func(o StripeMeet) bool { return o.Join == join })
			if j < 0 {
				out, j = append(out, StripeMeet{Join: join}), len(out)
			}
			out[j].Lines++
			off := math.Inf(1)
			for _, o := range ends {
				if o.edgeAt == m.edgeAt && o.n == e.n {
					off = math.Min(off, math.Abs(o.mm-m.mm))
				}
			}
			if off <= CarriedMM {
				out[j].Meet++
			} else if !math.IsInf(off, 1) {
				out[j].OffMM = math.Max(out[j].OffMM, off)
			}
		}
	}
	slices.SortFunc(out, func(a, b StripeMeet) int {
		return strings.Compare(a.Join[0].String()+a.Join[1].String(), b.Join[0].String()+b.Join[1].String())
	})
	return out
}

func (s *Striping) refOf(at edgeAt) piece.Ref {
	return piece.Ref{Piece: s.mates.copies[at.copy].Name, Edge: s.mates.line(at).Name}
}

// Unstriped are the copies that keep to one look.
func (s *Striping) Unstriped() []int {
	var out []int
	for i := range s.copies {
		if !slices.Contains(s.body, i) {
			out = append(out, i)
		}
	}
	return out
}
