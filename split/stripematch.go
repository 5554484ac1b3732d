package split

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Stripes that a cloth has of its own meet at a seam where the points sewn to each
// other lie as far into the repeat on both sides. Where the two edges are mirror
// images of each other they then meet all along the seam. Where they are not, they
// meet at one place, and this is chosen as makers do (common practice, no source):
// at the lower end of a seam that runs down the garment, so that what a dart or
// ease shifts lies above; else at a notch; else half way. Side seams come first,
// then others that run down, then the sleeves, in front before behind. What these
// have settled may leave a later seam off, such as the back of the sleeve cap.

// StripesMeetMM is how far off stripes may be that count as meeting.
const StripesMeetMM = 2.0

const (
	// leastCrossing is the sine of the angle at which stripes at least cross a
	// seam for anyone to see whether they meet: 27 degrees. A shoulder seam lies
	// flatter than that to stripes across, an armhole steeper.
	leastCrossing = 0.45
	// runsDown is the share of its length that an edge goes along the grain that
	// runs down the garment: within 30 degrees.
	runsDown = 0.866
	// stripeStepMM is how finely a seam is looked along.
	stripeStepMM = 2.0
)

// StripeMatch is the seams of a garment at which stripes can be made to meet, and
// so where on each copy they are to run.
type StripeMatch struct {
	Along    bool // the stripes run along the grain
	RepeatMM float64

	copies []*piece.Piece
	seams  []*stripeSeam
	shifts []stripeShift // by copy
}

// stripeShift says where the stripes of a copy run: sign·C + mm, where C is chosen
// for all copies that hang together, the group.
type stripeShift struct {
	group    int
	sign, mm float64
	linked   bool // it hangs together with another
}

// stripeSeam is two edges that are sewn to each other, and the place where their
// stripes are to meet.
type stripeSeam struct {
	sewn
	from  edgeAt
	rank  int     // the order in which seams are settled
	place string  // in words
	share float64 // of the way along the seam, as the first edge runs
	// By how much further along the second edge its notch lies than the mate of the first's,
	// where they meet at a notch: who sews them lays notch to notch.
	notchMM float64
	sign    float64 // -1 where the grain of one runs against that of the other
	// By how much further along its grain the point of the second edge lies than
	// its mate, there; and over the whole seam.
	byMM  float64
	allMM []float64
}

// NewStripeMatch finds where stripes that run across the grain, or along it, can be
// made to meet: at the seams of the edges that are named, and for an empty name wherever
// stripes cross a seam. Striped reports whether a piece may be cut from any cloth with
// stripes: on others there is nothing to meet.
func NewStripeMatch(copies []*piece.Piece, along bool, repeatMM float64, at []string, striped func(*piece.Piece) bool) *StripeMatch {
	m := &StripeMatch{Along: along, RepeatMM: repeatMM, copies: copies}
	mates := newMates(copies)
	for _, s := range mates.seams() {
		if !slices.ContainsFunc(at, func(at string) bool { return m.named(s, at) }) || !striped(copies[s.from.copy]) || !striped(copies[s.to.copy]) {
			continue
		}
		if m.measure(mates, s) {
			m.seams = append(m.seams, s)
		}
	}
	// What is named comes before what need not meet where others settled it.
	late := func(s *stripeSeam) int {
		named := slices.ContainsFunc(at, func(at string) bool { return at != "" && m.named(s, at) })
		switch {
		case s.rank == 0:
			return 0
		case named:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(m.seams, func(a, b *stripeSeam) int {
		return cmp.Or(cmp.Compare(late(a), late(b)), cmp.Compare(a.rank, b.rank))
	})
	m.link()
	return m
}

// seams are the stretches of edges that are sewn to each other, each once, and those
// between copies of one piece: the centre seams of two halves, and the seams of a ring.
func (m *mates) seams() []*stripeSeam {
	var out []*stripeSeam
	for i, p := range m.copies {
		for k, e := range p.Outline {
			from := edgeAt{i, k}
			for _, s := range m.sewn[from] {
				if s.to.copy > i || s.to.copy == i && e.Name < p.Outline[s.to.edge].Name {
					out = append(out, &stripeSeam{sewn: s, from: from})
				}
			}
			if !slices.Contains(e.Joins, piece.Ref{Piece: p.Name, Edge: e.Name}) {
				continue
			}
			to, ok := m.otherHalf(from)
			if !ok {
				to, ok = m.nextInRing(from)
			}
			if ok {
				l := m.closed(from).length
				out = append(out, &stripeSeam{sewn: sewn{0, l, to, 0, m.closed(to).length}, from: from})
			}
		}
	}
	return out
}

// otherHalf is the same edge of the mirror image of a copy, where there is one copy
// of each.
func (m *mates) otherHalf(from edgeAt) (to edgeAt, ok bool) {
	p := m.copies[from.copy]
	if p.Flipped {
		return to, false
	}
	found := 0
	for i, q := range m.copies {
		if q.Name != p.Name || q == p {
			continue
		}
		found++
		if at := q.Outline.Edge(p.Outline[from.edge].Name); q.Flipped && len(at) == 1 {
			to, ok = edgeAt{i, at[0]}, true
		}
	}
	return to, ok && found == 1
}

// nextInRing is the second edge of a name on the next of some equal copies, where from is the
// first one: two on the fold, or more, that go round the body sewn to each other.
func (m *mates) nextInRing(from edgeAt) (to edgeAt, ok bool) {
	const alikeMM = 1.0
	p := m.copies[from.copy]
	at := p.Outline.Edge(p.Outline[from.edge].Name)
	var ring []int
	for i, q := range m.copies {
		if q.Name == p.Name {
			if q.Flipped != p.Flipped {
				return to, false
			}
			ring = append(ring, i)
		}
	}
	if len(ring) < 2 || len(at) != 2 || at[0] != from.edge {
		return to, false
	}
	to = edgeAt{ring[(slices.Index(ring, from.copy)+1)%len(ring)], at[1]}
	return to, math.Abs(m.closed(from).length-m.closed(to).length) <= alikeMM
}

// names are the edges of a seam.
func (m *StripeMatch) names(s *stripeSeam) [2]string {
	of := func(at edgeAt) string {
		return piece.Ref{Piece: m.copies[at.copy].Name, Edge: m.edge(at).Name}.String()
	}
	return [2]string{of(s.from), of(s.to)}
}

func (m *StripeMatch) edge(at edgeAt) piece.Edge { return m.copies[at.copy].Outline[at.edge] }

// unmatched reports whether nobody matches a piece unless it is wished for by name: it
// is turned in, or runs another way (common practice, no source).
func unmatched(p *piece.Piece) bool { return piece.TrimWord(p.Name) != "" || hasWord(p.Name, "lining") }

// named reports whether a wish that names an edge means this seam, or one that names
// none.
func (m *StripeMatch) named(s *stripeSeam, at string) bool {
	if at == "" {
		return !slices.ContainsFunc([]edgeAt{s.from, s.to}, func(e edgeAt) bool {
			return unmatched(m.copies[e.copy])
		})
	}
	return slices.ContainsFunc([]edgeAt{s.from, s.to}, func(e edgeAt) bool { return NamesEdge(at, m.copies[e.copy].Name, m.edge(e).Name) })
}

// NamesEdge reports whether words name an edge, by its name or with its piece's.
func NamesEdge(words, piece, edge string) bool {
	return edge != "" && (strings.EqualFold(words, edge) || strings.EqualFold(words, piece+"/"+edge) || strings.EqualFold(words, piece+" "+edge))
}

// measure finds where the stripes are to meet along a seam. It is false where
// they hardly cross it.
func (m *StripeMatch) measure(mates *mates, s *stripeSeam) bool {
	long := s.hi - s.lo
	if !(long > stripeStepMM) || !(s.toHi > s.toLo) {
		return false
	}
	n := max(8, int(math.Ceil(long/stripeStepMM)))
	dirs := [2]orb.Point{m.copies[s.from.copy].StripesOf(m.Along), m.copies[s.to.copy].StripesOf(m.Along)}
	look := func(share float64) (at [2]float64, steep [2]float64) {
		a, b := s.atShare(mates, share)
		for k, e := range [2]onEdge{a, b} {
			q, tangent := mates.line(e.edgeAt).Line.At(e.mm)
			at[k], steep[k] = plane.Dot(q, dirs[k]), plane.Dot(tangent, dirs[k])
		}
		return at, steep
	}
	crosses := func(share float64) float64 {
		_, steep := look(share)
		return math.Min(math.Abs(steep[0]), math.Abs(steep[1]))
	}
	first, _ := look(0)
	last, _ := look(1)
	down := math.Min(math.Abs(last[0]-first[0])/long, math.Abs(last[1]-first[1])/(s.toHi-s.toLo)) >= runsDown
	switch side := hasWord(m.edge(s.from).Name, "side") || hasWord(m.edge(s.to).Name, "side"); {
	case side:
		s.rank = 0
	case down:
		s.rank = 1
	case hasWord(m.names(s)[0], "front") || hasWord(m.names(s)[1], "front"):
		s.rank = 2
	default:
		s.rank = 3
	}
	s.share = -1
	if down && !m.Along {
		s.share, s.place = s.lowerEnd(m, mates, n, crosses), "at its lower end"
	}
	if s.share < 0 {
		s.share, s.notchMM = s.notch(mates, crosses)
		s.place = "at a notch"
	}
	if s.share < 0 {
		s.share, s.place = 0.5, "half way"
	}
	if crosses(s.share) < leastCrossing {
		s.place = "where they cross it steepest"
		for k := range n + 1 {
			if share := float64(k) / float64(n); crosses(share) > crosses(s.share) {
				s.share = share
			}
		}
	}
	if crosses(s.share) < leastCrossing {
		return false
	}
	at, steep := look(s.share)
	s.sign = 1
	if steep[0]*steep[1] > 0 { // the one edge runs against the other
		s.sign = -1
	}
	s.byMM = at[1] - s.sign*at[0]
	for k := 0; k <= n; k++ {
		at, _ := look(float64(k) / float64(n))
		s.allMM = append(s.allMM, at[1]-s.sign*at[0])
	}
	return true
}

// atShare is the two points sewn to each other a share of the way along the seam, with
// its notches one on the other.
func (s *stripeSeam) atShare(m *mates, share float64) (a, b onEdge) {
	a = onEdge{s.from, m.closed(s.from).open(s.lo + share*(s.hi-s.lo))}
	to := m.closed(s.to)
	b = onEdge{s.to, to.open(math.Max(0, math.Min(to.length, s.toHi-share*(s.toHi-s.toLo)+s.notchMM)))}
	return a, b
}

// lowerEnd is the lowest place of a seam at which stripes cross it, -1 for none.
func (s *stripeSeam) lowerEnd(m *StripeMatch, mates *mates, n int, crosses func(float64) float64) float64 {
	frame := FrameOf(m.copies[s.from.copy].GrainDeg)
	down := func(share float64) float64 {
		a, _ := s.atShare(mates, share)
		q, _ := mates.line(a.edgeAt).Line.At(a.mm)
		_, y := frame.Place(q)
		return y
	}
	from, step := 0.0, 1/float64(n)
	if down(1) > down(0) {
		from, step = 1, -step
	}
	for k := range n {
		if share := from + float64(k)*step; crosses(share) >= leastCrossing {
			return share
		}
	}
	return -1
}

// notch is the place of two notches that meet, the nearest to the middle, -1 for
// none, and by how much further on the second of them lies than the mate of the first.
func (s *stripeSeam) notch(m *mates, crosses func(float64) float64) (best, aside float64) {
	const meetMM = 3.0
	best = -1
	for _, n := range m.line(s.from).Notches {
		mm, ok := m.closed(s.from).shut(n.AtMM)
		share := (mm - s.lo) / (s.hi - s.lo)
		if !ok || share < 0 || share > 1 || crosses(share) < leastCrossing || best >= 0 && math.Abs(share-0.5) >= math.Abs(best-0.5) {
			continue
		}
		its, nearest := s.toHi-share*(s.toHi-s.toLo), math.Inf(1)
		for _, o := range m.line(s.to).Notches {
			if at, ok := m.closed(s.to).shut(o.AtMM); ok && math.Abs(at-its) < math.Abs(nearest) {
				nearest = at - its
			}
		}
		if math.Abs(nearest) <= meetMM {
			best, aside = share, nearest
		}
	}
	return best, aside
}

// holds is for how much of the seam the stripes meet that are so far off at its
// place, in mm. offMM is positive where those of the first edge lie further on.
func (s *stripeSeam) holds(offMM float64) float64 {
	n := len(s.allMM) - 1
	mid := int(math.Round(s.share * float64(n)))
	lo, hi := mid, mid
	meets := func(k int) bool { return math.Abs(offMM-(s.allMM[k]-s.byMM)) <= StripesMeetMM }
	if !meets(mid) {
		return 0
	}
	for lo > 0 && meets(lo-1) {
		lo--
	}
	for hi < n && meets(hi+1) {
		hi++
	}
	return float64(hi-lo) / float64(n) * (s.hi - s.lo)
}

// link settles one seam after the other. Stripes along the grain are first of all
// the same to the left and right of the middle of each piece that is so itself.
func (m *StripeMatch) link() {
	middle := 0
	for i, p := range m.copies {
		s := stripeShift{group: i + 1, sign: 1}
		if x, ok := m.middleOf(p); ok && m.Along {
			s.group, s.mm = middle, x
		}
		m.shifts = append(m.shifts, s)
	}
	if m.Along {
		m.linkTwins()
	}
	for _, s := range m.seams {
		m.tie(s.from.copy, s.to.copy, s.sign, s.byMM)
	}
	for _, s := range m.seams { // and not the underarm seam of a sleeve, which holds it to nothing else
		if i, j := s.from.copy, s.to.copy; i != j {
			m.shifts[i].linked, m.shifts[j].linked = true, true
		}
	}
}

// tie makes the stripes of copy j run at sign·c + by, where those of copy i run at c.
// Where the two hang together already it changes nothing.
func (m *StripeMatch) tie(i, j int, sign, by float64) {
	a, b := m.shifts[i], m.shifts[j]
	if a.group == b.group {
		return
	}
	if b.group == 0 { // the middle of a piece leaves no choice, so it stays
		i, j, a, b = j, i, b, a
		by *= -sign
	}
	for k := range m.shifts {
		s := &m.shifts[k]
		if s.group != b.group {
			continue
		}
		turn := s.sign * b.sign
		s.group, s.mm, s.sign = a.group, s.mm+turn*(sign*a.mm+by-b.mm), turn*sign*a.sign
	}
}

// linkTwins makes stripes along the grain run the same way on a copy and its mirror
// image.
func (m *StripeMatch) linkTwins() {
	for i, p := range m.copies {
		for j, q := range m.copies {
			if j <= i || q.Name != p.Name || q.Flipped == p.Flipped {
				continue
			}
			lo, hi := extent(p, p.StripesOf(true))
			m.tie(i, j, -1, lo+hi) // mirrored about its middle
			break
		}
	}
}

func extent(p *piece.Piece, along orb.Point) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, q := range p.Outline.Ring() {
		lo, hi = math.Min(lo, plane.Dot(q, along)), math.Max(hi, plane.Dot(q, along))
	}
	return lo, hi
}

// middleOf is the middle of a piece that is the same to the left and right of it.
func (m *StripeMatch) middleOf(p *piece.Piece) (at float64, ok bool) {
	const sameMM = 1.0
	across := p.StripesOf(true)
	lo, hi := extent(p, across)
	at = (lo + hi) / 2
	ring := p.Outline.Ring()
	for _, q := range ring {
		if plane.ToRing(ring, plane.Along(q, across, 2*(at-plane.Dot(q, across)))) > sameMM {
			return 0, false
		}
	}
	return at, true
}

// Seams reports at how many seams stripes can meet.
func (m *StripeMatch) Seams() int { return len(m.seams) }

// Linked reports whether the stripes of a copy are to meet those of another.
func (m *StripeMatch) Linked(k int) bool { return m.shifts[k].linked }

// Choices are values worth trying for what is left to choose, stepMM apart: twice,
// for where pieces have their middle it is on a stripe or between two.
func (m *StripeMatch) Choices(stepMM float64) []StripeChoice {
	n := max(1, int(math.Round(m.RepeatMM/stepMM)))
	free, held := false, false
	for _, s := range m.shifts {
		if s.linked {
			held, free = held || s.group == 0, free || s.group != 0
		}
	}
	if !free {
		n = 1
	}
	var out []StripeChoice
	for _, middle := range []float64{0, m.RepeatMM / 2} {
		for k := range n {
			out = append(out, StripeChoice{MM: float64(k) * m.RepeatMM / float64(n), MiddleMM: middle})
		}
		if !held {
			break
		}
	}
	return out
}

// StripeChoice is where the stripes of copies that hang together run.
type StripeChoice struct {
	MM       float64
	MiddleMM float64 // of copies that have a stripe in the middle, or are half a repeat off
}

// At is where the stripes of a copy run, along its StripesOf.
func (m *StripeMatch) At(k int, c StripeChoice) float64 {
	s, mm := m.shifts[k], c.MM
	if s.group == 0 {
		mm = c.MiddleMM
	}
	return math.Mod(s.sign*mm+s.mm, m.RepeatMM)
}

// Place is that as it is asked of the cloth.
func (m *StripeMatch) Place(k int, c StripeChoice) *piece.StripePlace {
	linked := m.Linked(k)
	return &piece.StripePlace{RepeatMM: m.RepeatMM, Along: m.Along, AtMM: m.At(k, c), Linked: linked, Loose: !linked}
}

// off is by how much stripes miss each other where they are to meet at a seam.
func (m *StripeMatch) off(s *stripeSeam, c StripeChoice) float64 {
	return math.Abs(math.Remainder(s.sign*m.At(s.from.copy, c)+s.byMM-m.At(s.to.copy, c), m.RepeatMM))
}

// Misses gives the edges of a seam at which stripes do not meet, for others have settled
// where they run, of those that are asked about, if there is one.
func (m *StripeMatch) Misses(c StripeChoice, asked func(edges [2]string) bool) (edges [2]string, offMM float64, misses bool) {
	for _, s := range m.seams {
		if off := m.off(s, c); off > StripesMeetMM && asked(m.names(s)) {
			return m.names(s), off, true
		}
	}
	return edges, 0, false
}

// MatchedStripes is stripes of the cloth's own that a plan has made to meet.
type MatchedStripes struct {
	*StripeMatch
	Choice StripeChoice
}

// On is a copy's piece, or one that is made of it, with the place of its stripes.
func (m *MatchedStripes) On(k int, p *piece.Piece) *piece.Piece {
	q := *p
	q.Stripes = m.Place(k, m.Choice)
	return &q
}
