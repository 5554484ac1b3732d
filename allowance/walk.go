package allowance

import (
	"math"
	"slices"
	"sort"
	"strings"
	"unicode"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Walked is one seam between pattern pieces, walked: measured edge by edge
// along both its sides, with darts closed.
type Walked struct {
	A, B     []piece.Ref // the edges on either side; more than one where they are sewn on in a row
	AMM, BMM float64     // how long each side is, in one such seam
	TimesA   []int       // how often each edge of A is in one such seam
	TimesB   []int
	EaseMM   float64 // by how much they may differ, as the pattern says; 0 where it does not
	Seams    int     // how many such seams are sewn
	Mates    []Mate  // notches that meet, where each side is one edge
	Single   int     // notches with no mate
	Apart    []Mate  // of these, two of a kind that seem to be meant to meet, and lie too far apart
	Stretch  bool    // A is sewn along a stretch of B, and the drawing does not say which
}

// DifferenceMM is the ease: how much longer A is than B.
func (w Walked) DifferenceMM() float64 { return w.AMM - w.BMM }

// Mate is a notch on A and the one on B that it meets, in mm from the same
// end of the seam.
type Mate struct {
	AMM, BMM float64
	Count    int
}

// Walk walks every join of a pattern. Each piece stands for all its copies, and each
// half of an unfolded piece is sewn to something, so an edge may take part several
// times. Edges that are sewn in a row to one long edge, as the front and back necks
// to a neckband, are one join, however long the band is. Two layers that are each
// sewn to the same edge, as a facing and a collar, are two joins; and so are layers
// that are each sewn to the same row, as the two of a collar are to front and back
// necks. Where several readings are possible, the one with the more equal lengths is
// taken, of those that lay no left and right on each other, but gathers that the
// pattern tells of are no reason to look for another: where all copies sewn on in a
// row differ by no more than the ease given, they are. Edges that nothing joins end
// to end, as the shoulders of two fronts, are a row only where they are too long or
// too short to be sewn one by one. Joins to pieces that are not given are left out.
func Walk(pieces []*piece.Piece) []Walked {
	w := walker{edges: make(map[piece.Ref]*walkedEdge), beside: make(map[piece.Ref][]piece.Ref)}
	for _, p := range pieces {
		w.add(p)
	}
	for _, e := range w.edges {
		sewnTo := 0
		for _, j := range e.joins {
			if o := w.edges[j]; o != nil {
				sewnTo += o.times()
			}
		}
		e.shared = len(e.joins) > 1 && sewnTo == e.times()
	}
	done := make(map[piece.Ref]bool)
	var out []Walked
	for _, start := range w.order {
		if !done[start] {
			out = append(out, w.group(start, done)...)
		}
	}
	return out
}

// walkedEdge is all the edges of one name on one piece.
type walkedEdge struct {
	ref     piece.Ref
	joins   []piece.Ref
	copies  int       // of the piece
	whole   bool      // it is drawn whole or on the fold, so that copies of it are no left and right
	lining  bool      // the piece is of a lining
	paired  bool      // copies are a left and a right for certain: mirror images, or sewn to each other
	trim    bool      // the piece is no part of the garment's body, such as a band or a flap
	lengths []float64 // of each edge of that name, darts closed
	ease    piece.Ease
	notches [][]piece.Notch
	shared  bool // as many edges of several names are sewn to these, each to one
}

func (e *walkedEdge) times() int { return e.copies * len(e.lengths) }

// mostLayers is how many edges of that name may lie on each other in a seam. The
// halves of a piece that is drawn whole never do, nor do a left and a right copy: two
// fronts are sewn on beside each other. Of what is no part of the body and has its side
// of the seam to itself the copies may, as the two layers of a flap that is cut as a left
// and a right, and so may its halves, as the two long edges of a band that is folded; and
// so may copies that nothing says are a pair, as a yoke whose drawing is not quite even. Of
// a back's two shoulders one may be sewn to one front and one to another.
func (e *walkedEdge) mostLayers(alone bool) int {
	if alone && (e.trim || e.shared || !e.whole && !e.paired) {
		return e.times()
	}
	halves := len(e.lengths)
	if !e.whole {
		halves = e.copies
	}
	if halves%2 == 0 {
		return e.times() / 2
	}
	return e.times()
}

// share is how many of the edges of that name are counted in a seam.
func (e *walkedEdge) share(times func(*walkedEdge) int) float64 {
	return float64(times(e)) / float64(e.times())
}

// mean is the length of one edge of that name.
func (e *walkedEdge) mean() float64 {
	var sum float64
	for _, l := range e.lengths {
		sum += l
	}
	return sum / float64(len(e.lengths))
}

type walker struct {
	edges  map[piece.Ref]*walkedEdge
	order  []piece.Ref
	beside map[piece.Ref][]piece.Ref // the edges next to each on its piece
}

func (w *walker) add(p *piece.Piece) {
	whole := p.Centre != nil || drawnWhole(p)
	for i, e := range p.Outline {
		if len(e.Joins) == 0 {
			continue
		}
		ref := piece.Ref{Piece: p.Name, Edge: e.Name}
		for _, k := range []int{i + 1, i + len(p.Outline) - 1} {
			w.beside[ref] = append(w.beside[ref], piece.Ref{Piece: p.Name, Edge: p.Outline[k%len(p.Outline)].Name})
		}
		at := w.edges[ref]
		if at == nil {
			at = &walkedEdge{
				ref: ref, copies: max(1, p.Count), whole: whole, paired: p.Mirrored || p.SewnToItself(), trim: piece.TrimWord(p.Name) != "",
				lining: p.Use == piece.UseLining || strings.Contains(strings.ToLower(p.Name), "lining"),
			}
			w.edges[ref] = at
			w.order = append(w.order, ref)
		}
		for _, j := range e.Joins {
			if !slices.Contains(at.joins, j) {
				at.joins = append(at.joins, j)
			}
		}
		at.ease = piece.Ease{MM: math.Max(at.ease.MM, e.Ease.MM), Share: math.Max(at.ease.Share, e.Ease.Share)}
		length, notches := dartsClosed(e, p.Darts)
		at.lengths = append(at.lengths, length)
		at.notches = append(at.notches, notches)
	}
}

// drawnWhole reports whether a piece that is no left and right has halves that are mirror
// images, and is sewn to others alone: one that is sewn to itself, as a sleeve, is worn on
// either side.
func drawnWhole(p *piece.Piece) bool {
	const alikeMM = 0.5
	if p.Mirrored || p.SewnToItself() {
		return false
	}
	sin, cos := math.Sincos(p.GrainDeg * math.Pi / 180)
	ring := p.Outline.Ring()
	if len(ring) < 3 {
		return false
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range ring {
		across := plane.Cross(orb.Point{cos, sin}, q)
		lo, hi = math.Min(lo, across), math.Max(hi, across)
	}
	return !slices.ContainsFunc(ring, func(q orb.Point) bool {
		off := lo + hi - 2*plane.Cross(orb.Point{cos, sin}, q)
		return plane.ToRing(ring, plane.Along(q, orb.Point{-sin, cos}, off)) > alikeMM
	})
}

// ClosedMM is how long an edge is once the darts that open on it are sewn.
func ClosedMM(e piece.Edge, darts []piece.Dart) float64 {
	mm, _ := dartsClosed(e, darts)
	return mm
}

// dartsClosed is an edge's length and its notches once the darts that open on
// it are sewn. A notch in a dart's mouth is not counted.
func dartsClosed(e piece.Edge, darts []piece.Dart) (float64, []piece.Notch) {
	type mouth struct{ from, to float64 }
	var mouths []mouth
	for _, d := range darts {
		from, away1 := e.Line.Nearest(d.Leg1)
		to, away2 := e.Line.Nearest(d.Leg2)
		if math.Max(away1, away2) < onLineMM {
			mouths = append(mouths, mouth{math.Min(from, to), math.Max(from, to)})
		}
	}
	notches := slices.Clone(e.Notches)
	length := e.Line.Length()
	sort.Slice(mouths, func(i, j int) bool { return mouths[i].from > mouths[j].from })
	for _, m := range mouths {
		length -= m.to - m.from
		kept := notches[:0]
		for _, n := range notches {
			switch {
			case n.AtMM >= m.to:
				n.AtMM -= m.to - m.from
			case n.AtMM > m.from:
				continue
			}
			kept = append(kept, n)
		}
		notches = kept
	}
	return length, notches
}

// onLineMM is how near to a line a point must be to count as on it.
const onLineMM = 0.1

// group walks all joins connected with start.
func (w *walker) group(start piece.Ref, done map[piece.Ref]bool) []Walked {
	sides := [2][]*walkedEdge{}
	side := map[piece.Ref]int{start: 0}
	var pairs [][2]*walkedEdge
	var stretches []Walked
	twoSided := true
	queue := []piece.Ref{start}
	for len(queue) > 0 {
		ref := queue[0]
		queue = queue[1:]
		done[ref] = true
		e := w.edges[ref]
		sides[side[ref]] = append(sides[side[ref]], e)
		for _, j := range e.joins {
			other := w.edges[j]
			if other == nil || other.onStretchOf(e) {
				continue // it is walked from that edge
			}
			if e.onStretchOf(other) {
				stretches = append(stretches, Walked{A: []piece.Ref{e.ref}, B: []piece.Ref{j}, TimesA: []int{1}, TimesB: []int{1}, AMM: e.mean(), BMM: other.mean(), Seams: e.times(), Stretch: true})
				continue
			}
			if s, met := side[j]; !met {
				side[j] = 1 - side[ref]
				queue = append(queue, j)
				pairs = append(pairs, [2]*walkedEdge{e, other})
			} else if s == side[ref] {
				twoSided = false
				pairs = appendPair(pairs, e, other)
			} else {
				pairs = appendPair(pairs, e, other)
			}
		}
	}
	return append(stretches, w.pairs(sides, pairs, twoSided)...)
}

// setOn reports whether an edge is one of a piece that is set on somewhere along a seam,
// unlike a band or a collar, which goes all along.
func (e *walkedEdge) setOn() bool {
	trim := piece.TrimWord(e.ref.Piece)
	return slices.ContainsFunc([]string{"pocket", "flap", "tab", "loop", "strap", "tie"}, func(w string) bool { return strings.HasSuffix(trim, w) })
}

// stretchShare is up to what share of an edge a pocket or the like is sewn along a
// stretch of it only: one a little shorter than the edge is drawn wrong.
const stretchShare = 0.75

// onStretchOf reports whether an edge is one of a piece that is set on along a stretch of
// a seam, such as a pocket bag's opening, and is so much shorter than the other.
func (e *walkedEdge) onStretchOf(other *walkedEdge) bool {
	return e.setOn() && !other.trim && e.ease == (piece.Ease{}) && other.ease == (piece.Ease{}) && e.mean() < stretchShare*other.mean()
}

// pairs walks the joins of a group of edges, each as a seam of its own or as rows.
func (w *walker) pairs(sides [2][]*walkedEdge, pairs [][2]*walkedEdge, twoSided bool) []Walked {
	if len(pairs) == 0 {
		return nil
	}
	var singly []Walked
	worst, even := 0.0, true
	for _, p := range pairs {
		one := walkPair(p[0], p[1])
		singly = append(singly, one)
		worst = math.Max(worst, off(one))
		even = even && one.EasesIn()
	}
	if len(pairs) == 1 || !twoSided {
		return singly
	}
	row, best := walkRow(sides[0], sides[1]), singly
	for k, side := range sides {
		if other := sides[1-k]; w.goesRound(other, side) {
			if tiers := w.tiers(side, other); tiers != nil {
				return tiers
			}
			return []Walked{row}
		}
	}
	if off(row) <= worst || row.gathered() && !even {
		if even && !(w.endToEnd(sides[0]) && w.endToEnd(sides[1])) {
			return singly
		}
		if row.Sewable() {
			return []Walked{row}
		}
		best, worst = []Walked{row}, off(row)
	}
	for _, side := range sides {
		if layers := w.layers(side); !even && w.canBeLayers(side) && worstOff(layers) < worst-better {
			best, worst = layers, worstOff(layers)
		}
	}
	return best
}

// goesRound reports whether a side is one edge of a band, a collar or the like and the other
// edges of the body that lie beside each other: then it goes round them all, and is not sewn
// to each of them again, however long it is. A lining lies behind its garment, not beside it.
func (w *walker) goesRound(band, body []*walkedEdge) bool {
	named := func(word string) bool {
		return slices.ContainsFunc(body, func(e *walkedEdge) bool { return strings.Contains(strings.ToLower(e.ref.Piece), word) })
	}
	return len(band) == 1 && band[0].trim && !band[0].setOn() && len(body) > 1 &&
		!slices.ContainsFunc(body, func(e *walkedEdge) bool { return e.trim || e.lining != body[0].lining }) &&
		(w.endToEnd(body) || named("front") && named("back"))
}

// tiers walks each of several layers with a band that takes all of them in, as a skirt and
// its overlay: fronts and backs that are called alike but for that. It is nil where seams
// join them to each other, or where one does not fit the band.
func (w *walker) tiers(body, band []*walkedEdge) (out []Walked) {
	if w.endToEnd(body) {
		return nil
	}
	var order []string
	of := map[string][]*walkedEdge{}
	for _, e := range body {
		words := strings.FieldsFunc(strings.ToLower(e.ref.Piece), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
		name := strings.Join(slices.DeleteFunc(words, func(s string) bool { return slices.Contains([]string{"front", "back", "left", "right"}, s) }), " ")
		if of[name] == nil {
			order = append(order, name)
		}
		of[name] = append(of[name], e)
	}
	for _, name := range order {
		row := walkRow(of[name], band)
		if len(order) < 2 || len(of[name]) < 2 || !row.Sewable() {
			return nil
		}
		out = append(out, row)
	}
	return out
}

// canBeLayers reports whether the edges of a side may each be sewn along the whole of what
// they are sewn to. Those that seams join end to end are layers only where all are sewn to
// the same, as a collar and an undercollar: the side of a hood and the strip beside it lie
// in a row.
func (w *walker) canBeLayers(side []*walkedEdge) bool {
	among := func(a, b *walkedEdge) bool {
		return !slices.ContainsFunc(a.joins, func(j piece.Ref) bool { return !slices.Contains(b.joins, j) })
	}
	return !w.endToEnd(side) || !slices.ContainsFunc(side, func(e *walkedEdge) bool { return !among(e, side[0]) || !among(side[0], e) })
}

// layers walks each edge of a side with all that it is sewn to, in a row.
func (w *walker) layers(side []*walkedEdge) (out []Walked) {
	for _, e := range side {
		var to []*walkedEdge
		for _, j := range e.joins {
			if o := w.edges[j]; o != nil {
				to = append(to, o)
			}
		}
		if len(to) > 0 {
			out = append(out, walkRow([]*walkedEdge{e}, to))
		}
	}
	return out
}

func worstOff(walked []Walked) (worst float64) {
	for _, w := range walked {
		worst = math.Max(worst, off(w))
	}
	return worst
}

// endToEnd reports whether edges make up one line once the seams between them are
// sewn: they lie beside each other on a piece, or a seam ends between them.
func (w *walker) endToEnd(side []*walkedEdge) bool {
	meet := func(a, b piece.Ref) bool {
		if slices.Contains(w.beside[a], b) {
			return true
		}
		for _, r := range w.beside[a] {
			if e := w.edges[r]; e != nil && slices.ContainsFunc(w.beside[b], func(s piece.Ref) bool { return slices.Contains(e.joins, s) }) {
				return true
			}
		}
		return false
	}
	reached := []piece.Ref{side[0].ref}
	for i := 0; i < len(reached); i++ {
		for _, e := range side {
			if !slices.Contains(reached, e.ref) && meet(reached[i], e.ref) {
				reached = append(reached, e.ref)
			}
		}
	}
	return len(reached) == len(side)
}

func appendPair(pairs [][2]*walkedEdge, a, b *walkedEdge) [][2]*walkedEdge {
	for _, p := range pairs {
		if p == [2]*walkedEdge{a, b} || p == [2]*walkedEdge{b, a} {
			return pairs
		}
	}
	return append(pairs, [2]*walkedEdge{a, b})
}

// gathered reports whether the sides differ by no more than the pattern says.
func (w Walked) gathered() bool { return w.EaseMM > 0 && w.Sewable() }

// off is how far from equal the sides are, relative to their length.
func off(w Walked) float64 {
	return math.Abs(w.DifferenceMM()) / math.Max(w.AMM, w.BMM)
}

// better is how much nearer to equal, of the length, another reading must be to be
// taken: enough to tell, more than any ease is off.
const better = 0.02

// walkRow walks edges sewn in a row to other edges in a row. Copies of a piece
// are sewn on one beside the other, as sleeves are, or in layers, as the two of
// a collar are: then each meets the same seam again. The same holds for an edge
// that a piece has twice. The more equal lengths decide which is meant, unless
// the pattern says that the sides differ as they do one beside the other: by that length,
// not by that of the layers, as where two cuffs are each to take in a wide sleeve. In a row some
// may be in layers and others not, as a yoke that is cut twice beside two fronts. One edge
// to one as often cut is walked so unless another reading can be sewn: what is drawn wrong
// is told as it was drawn. No reading lays on each other what cannot be layers.
func walkRow(a, b []*walkedEdge) Walked {
	ways := []func(*walkedEdge) int{
		(*walkedEdge).times,
		func(e *walkedEdge) int { return len(e.lengths) },
		func(*walkedEdge) int { return 1 },
	}
	if layered := func(e *walkedEdge) bool { return e.whole && e.copies%2 == 0 }; len(a)+len(b) > 2 && slices.ContainsFunc(slices.Concat(a, b), layered) {
		ways = append(ways, func(e *walkedEdge) int {
			if layered(e) {
				return e.times() / 2
			}
			return e.times()
		})
	}
	oneToOne := len(a) == 1 && len(b) == 1 && a[0].times() == b[0].times()
	var best, inARow, inLayers Walked
	for m, timesA := range ways {
		for n, timesB := range ways {
			if !layersCanBe(a, timesA, b, timesB) {
				continue
			}
			w := Walked{}
			for _, e := range a {
				w.Seams = gcd(w.Seams, timesA(e))
			}
			for _, e := range b {
				w.Seams = gcd(w.Seams, timesB(e))
			}
			for _, e := range a {
				n := timesA(e) / w.Seams
				w.A, w.TimesA, w.AMM = append(w.A, e.ref), append(w.TimesA, n), w.AMM+e.mean()*float64(n)
			}
			for _, e := range b {
				n := timesB(e) / w.Seams
				w.B, w.TimesB, w.BMM = append(w.B, e.ref), append(w.TimesB, n), w.BMM+e.mean()*float64(n)
			}
			w.EaseMM = math.Max(w.ease(a, timesA, w.AMM), w.ease(b, timesB, w.BMM))
			if m == 0 && n == 0 || off(w) < off(best)-better && (!oneToOne || w.Sewable()) {
				best = w
			}
			if m == 0 && n == 0 && w.gathered() {
				inARow = w
			} else if inARow.gathered() && w.gathered() && off(w) < off(inARow)-better && w.unusedEaseMM() < inARow.unusedEaseMM() {
				inLayers = w
			}
		}
	}
	switch {
	case inLayers.gathered() && !slices.ContainsFunc(slices.Concat(a, b), func(e *walkedEdge) bool { return e.ease.Share > 0 }):
		return inLayers
	case inARow.gathered():
		return inARow
	}
	return best
}

// unusedEaseMM is how much more the sides may differ than they do, as the pattern says.
func (w Walked) unusedEaseMM() float64 { return w.EaseMM - math.Abs(w.DifferenceMM()) }

// layersCanBe reports whether edges that count less often in a seam than they are there,
// measured by the one that counts most, may lie on each other so often.
func layersCanBe(a []*walkedEdge, timesA func(*walkedEdge) int, b []*walkedEdge, timesB func(*walkedEdge) int) bool {
	var most float64 // share of the edges of one name that is in one seam
	for _, e := range a {
		most = math.Max(most, e.share(timesA))
	}
	for _, e := range b {
		most = math.Max(most, e.share(timesB))
	}
	lie := func(side []*walkedEdge, times func(*walkedEdge) int) bool {
		return !slices.ContainsFunc(side, func(e *walkedEdge) bool { return most/e.share(times) > float64(e.mostLayers(len(side) == 1))+0.5 })
	}
	return lie(a, timesA) && lie(b, timesB)
}

// walkPair walks one edge sewn to one other, or to another copy of itself.
func walkPair(a, b *walkedEdge) Walked {
	if a == b {
		last := len(a.lengths) - 1
		w := Walked{
			A: []piece.Ref{a.ref}, B: []piece.Ref{a.ref}, TimesA: []int{1}, TimesB: []int{1}, AMM: a.lengths[0], BMM: a.lengths[last],
			Seams: max(1, a.times()/2),
		}
		w.EaseMM = a.ease.MM + a.ease.Share*math.Min(w.AMM, w.BMM)
		w.match(a.notches[0], a.notches[last])
		return w
	}
	w := walkRow([]*walkedEdge{a}, []*walkedEdge{b})
	if math.Abs(w.AMM-a.lengths[0]) < onLineMM && math.Abs(w.BMM-b.lengths[0]) < onLineMM {
		w.match(a.notches[0], b.notches[0])
	}
	return w
}

// match finds the notches that meet. The drawing does not say which end of B
// lies on the start of A, for either piece may be drawn as its mirror image.
// So both ways round are tried, and the one that matches better is taken.
func (w *Walked) match(a, b []piece.Notch) {
	back := make([]piece.Notch, len(b))
	for i, n := range b {
		n.AtMM = w.BMM - n.AtMM
		back[len(b)-1-i] = n
	}
	// Notches may be apart by the ease, and by a little for the drawing.
	reach := math.Abs(w.DifferenceMM()) + 15
	w.Mates, w.Single = mates(a, back, reach)
	if m, single := mates(a, b, reach); single < w.Single || single == w.Single && misses(m) < misses(w.Mates)-1e-6 {
		w.Mates, w.Single, back = m, single, b
	}
	meant, _ := mates(a, back, reach+meantMM)
	for _, m := range meant {
		if !slices.ContainsFunc(w.Mates, func(o Mate) bool { return o.AMM == m.AMM || o.BMM == m.BMM }) {
			w.Apart = append(w.Apart, m)
		}
	}
}

// meantMM is by how much more than notches may be apart those are that seem to be meant to
// meet: farther apart they are of other things, as the ends of a pocket.
const meantMM = 25.0

// mates pairs notches of a kind, each with the nearest that is left.
func mates(a, b []piece.Notch, reach float64) (pairs []Mate, single int) {
	taken := make([]bool, len(b))
	for _, n := range a {
		best, near := -1, reach
		for j, m := range b {
			if d := math.Abs(n.AtMM - m.AtMM); !taken[j] && m.Count == n.Count && d <= near {
				best, near = j, d
			}
		}
		if best < 0 {
			single++
			continue
		}
		taken[best] = true
		pairs = append(pairs, Mate{n.AtMM, b[best].AtMM, n.Count})
	}
	return pairs, single + len(b) - len(pairs)
}

func misses(pairs []Mate) float64 {
	var sum float64
	for _, m := range pairs {
		sum += math.Abs(m.AMM - m.BMM)
	}
	return sum
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
