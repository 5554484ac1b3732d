package split

import (
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A band is pieced best where a seam of the garment meets it: the two lines run
// on as one, at the shoulder or a raglan seam before any other. (Common practice,
// no source.) These places are found by walking the edges that it is sewn to, in
// order, with its stretch spread evenly along each of its own.

// trimmed are the pieces that are pieced so; a collar is not, for its seams show
// less at the centre back.
var trimmed = []string{"band", "cuff", "facing", "binding"}

// markSeams gives every band, cuff and facing among the copies the places where
// the garment's own seams meet it.
func markSeams(copies []*piece.Piece) {
	var m *mates
	for i, p := range copies {
		if !slices.ContainsFunc(trimmed, func(word string) bool { return piece.HasTrimWord(p.Name, word) }) {
			continue
		}
		if m == nil {
			m = newMates(copies)
		}
		r := &rounds{mates: m, band: i}
		if ends := r.seams(); !slices.Equal(ends, p.SeamEnds) || !slices.Equal(r.stretches, p.Stretches) {
			c := *p
			c.SeamEnds, c.Stretches = ends, r.stretches
			copies[i] = &c
		}
	}
}

// rounds walks the edges that a band is sewn to.
type rounds struct {
	*mates
	band      int
	stretches []piece.Stretch // of edges that go round several others
}

// seams are the places where garment seams meet the band, those at shoulders and
// raglans first.
func (r *rounds) seams() []piece.SeamEnd {
	p := r.copies[r.band]
	var out []piece.SeamEnd
	add := func(seam string, at orb.Point) {
		if seam != "" && !slices.ContainsFunc(out, func(e piece.SeamEnd) bool { return plane.Distance(e.At, at) < meetsMM }) {
			out = append(out, piece.SeamEnd{Seam: seam, At: at})
		}
	}
	chains := make([][]edgeAt, len(p.Outline))
	for k := range p.Outline {
		chains[k] = r.along(k)
	}
	for k, chain := range chains {
		at := edgeAt{r.band, k}
		share := func(n int) float64 {
			if n == 0 || n == len(chain)-1 {
				if len(chain) > 1 && chain[0] == chain[len(chain)-1] { // the band's ends meet in its middle
					return r.closed(chain[n]).length / 2
				}
			}
			return r.closed(chain[n]).length
		}
		total := 0.0
		for n := range chain {
			total += share(n)
		}
		lead, tail := r.beyond(k, total)
		sum := lead
		place := func() float64 { return r.closed(at).open(sum / (lead + total + tail) * r.closed(at).length) }
		for n := range chain {
			from := place()
			sum += share(n)
			mm := place()
			if len(chain) > 1 {
				to := r.copies[chain[n].copy]
				r.stretches = append(r.stretches, piece.Stretch{Edge: k, FromMM: from, ToMM: mm, To: piece.Ref{Piece: to.Name, Edge: r.line(chain[n]).Name}, Copy: to.Copy})
			}
			if n+1 < len(chain) {
				_, seam := r.next(chain[n+1], chain)
				q, _ := p.Outline[k].Line.At(mm)
				add(seam, q)
			}
		}
		if after := chains[(k+1)%len(chains)]; len(chain) > 0 && len(after) > 0 {
			last, first := chain[len(chain)-1], after[0]
			if came, seam := r.next(first, []edgeAt{last}); came == last {
				add(seam, p.Outline[k].Line.End())
			}
		}
	}
	slices.SortStableFunc(out, func(a, b piece.SeamEnd) int { return seamOrder(a.Seam) - seamOrder(b.Seam) })
	return out
}

// endWords are in the names of what a band may go on round beyond the garment's own
// edges, as down an open front past the end of the band at its hem. Others, such as a
// pocket, lie on or under those edges. (Common practice, no source.)
var endWords = []string{"band", "binding", "stand", "placket"}

// beyond is how much of an edge of the band, before and after the garment's own edges,
// goes to the ends of other bands that are listed before and after them. bodyMM is the
// length of the garment's edges.
func (r *rounds) beyond(k int, bodyMM float64) (lead, tail float64) {
	p := r.copies[r.band]
	e := p.Outline[k]
	onBody := func(ref piece.Ref) bool { return !isTrim(ref.Piece) }
	first := slices.IndexFunc(e.Joins, onBody)
	if first < 0 {
		return 0, 0
	}
	mm := func(refs []piece.Ref) (sum float64) {
		for _, ref := range refs {
			if len(edgesOf(r.copies, ref)) > 0 && slices.ContainsFunc(endWords, func(word string) bool { return piece.HasTrimWord(ref.Piece, word) }) {
				sum += r.lengthOf(ref)
			}
		}
		return sum
	}
	last := len(e.Joins) - 1
	for !onBody(e.Joins[last]) {
		last--
	}
	lead, tail = mm(e.Joins[:first]), mm(e.Joins[last+1:])
	switch {
	case p.Centre != nil: // listed from the fold outwards
		lead = tail
	case listedBackwards(p, e):
		lead, tail = tail, lead
	}
	own := r.closed(edgeAt{r.band, k}).length
	if both := lead + tail; both > bodyMM/2 || own >= bodyMM && own < bodyMM+both/2 { // a layer of the band
		return 0, 0
	}
	return lead, tail
}

// along are the edges that an edge of the band is sewn to, in its own order: the
// one at its start first.
func (r *rounds) along(k int) []edgeAt {
	own := piece.Ref{Piece: r.copies[r.band].Name, Edge: r.copies[r.band].Outline[k].Name}
	if own.Edge == "" {
		return nil
	}
	var all []edgeAt
	for _, to := range r.partnersOf(own) {
		if !isTrim(to.Piece) {
			all = append(all, edgesOf(r.copies, to)...)
		}
	}
	if slices.ContainsFunc(all, func(at edgeAt) bool { return r.line(at).From != "" }) {
		return nil // a seam was moved here: the band's corners no longer tell where it is
	}
	walks := r.walks(all)
	n := r.whose(k, walks)
	if n < 0 {
		return nil
	}
	chain := slices.Clone(walks[n])
	round, _ := r.next(chain[len(chain)-1], chain[:1])
	slices.Reverse(chain) // the band runs against the garment
	if len(chain) > 1 && round != none {
		return r.asListed(k, chain)
	}
	return chain
}

// walks parts edges into those that follow each other along the garment.
func (r *rounds) walks(all []edgeAt) (out [][]edgeAt) {
	left := slices.Clone(all)
	for len(left) > 0 {
		start := left[0]
		for range left { // back to where it begins, or once round
			before := slices.IndexFunc(left, func(at edgeAt) bool { to, _ := r.next(at, left); return to == start })
			if before < 0 || left[before] == left[0] {
				break
			}
			start = left[before]
		}
		var chain []edgeAt
		for at := start; ; {
			chain = append(chain, at)
			left = slices.DeleteFunc(left, func(o edgeAt) bool { return o == at })
			to, _ := r.next(at, left)
			if to == none {
				break
			}
			at = to
		}
		out = append(out, chain)
	}
	return out
}

// next is which of some edges follows an edge of the garment, and across which
// seam, which is empty where it is on the same piece.
func (r *rounds) next(at edgeAt, among []edgeAt) (to edgeAt, seam string) {
	n := len(r.copies[at.copy].Outline)
	beside := edgeAt{at.copy, (at.edge + 1) % n}
	if slices.Contains(among, beside) {
		return beside, ""
	}
	for _, s := range r.seamsOf(beside) {
		outline := r.copies[s.copy].Outline
		if to = (edgeAt{s.copy, (s.edge + 1) % len(outline)}); slices.Contains(among, to) {
			return to, garmentSeam(r.line(beside).Name, r.line(s).Name)
		}
	}
	return none, ""
}

// none is no edge.
var none = edgeAt{-1, -1}

// seamsOf are the edges to which all of an edge is sewn.
func (r *rounds) seamsOf(at edgeAt) (out []edgeAt) {
	for _, s := range r.sewn[at] {
		if s.toLo == 0 && s.toHi == r.closed(s.to).length && s.toHi > 0 {
			out = append(out, s.to)
		}
	}
	e := r.line(at)
	if self := (piece.Ref{Piece: r.copies[at.copy].Name, Edge: e.Name}); e.Name != "" && slices.Contains(e.Joins, self) {
		for _, other := range edgesOf(r.copies, self) { // a centre seam joins two mirror images
			if other.copy != at.copy {
				out = append(out, other)
			}
		}
	}
	return out
}

// whose is the walk that an edge of the band is sewn along: the one on its side of
// the body where there are several, and -1 where nothing tells.
func (r *rounds) whose(k int, walks [][]edgeAt) int {
	switch {
	case len(walks) == 0:
		return -1
	case len(walks) == 1:
		return 0
	}
	band := r.copies[r.band]
	for _, s := range r.sewn[edgeAt{r.band, k}] { // edge by edge
		for n, w := range walks {
			if len(w) == 1 && w[0] == s.to {
				return n
			}
		}
	}
	if band.Count == len(walks) && band.Side == "" && len(band.Outline.Edge(band.Outline[k].Name)) == 1 {
		return band.Copy - 1
	}
	side, found := wornOn(band, band.Outline[k]), -1
	for n, w := range walks {
		if side != "" && wornOn(r.copies[w[0].copy], r.line(w[0])) == side {
			if found >= 0 {
				return -1
			}
			found = n
		}
	}
	return found
}

// asListed turns the edges of a ring to start where the band's edge does. Its
// joins are named in the order in which they are sewn on, as the piece lies on
// the page from left to right or from the top down, and of a half from the fold
// outwards. One that is named first and last is met by the band's ends in its
// middle. It is nil where the list is not such a walk.
func (r *rounds) asListed(k int, ring []edgeAt) []edgeAt {
	p := r.copies[r.band]
	e := p.Outline[k]
	var listed []piece.Ref
	for _, ref := range e.Joins {
		if !isTrim(ref.Piece) {
			listed = append(listed, ref)
		}
	}
	if len(listed) == 0 {
		return nil
	}
	backwards := slices.Clone(listed)
	slices.Reverse(backwards)
	switch {
	case p.Centre != nil:
		listed = append(backwards, listed[1:]...)
	case listedBackwards(p, e):
		listed = backwards
	}
	halved := len(listed) == len(ring)+1 && listed[0] == listed[len(listed)-1]
	if halved {
		listed = listed[:len(listed)-1]
	}
	if len(ring) == 2 {
		_, one := r.next(ring[0], ring[1:])
		if _, other := r.next(ring[1], ring[:1]); one != other {
			return nil // round an armhole the list does not tell the shoulder from the side
		}
	}
	for start := range ring {
		turned := slices.Concat(ring[start:], ring[:start])
		if slices.EqualFunc(turned, listed, func(at edgeAt, ref piece.Ref) bool {
			return ref == piece.Ref{Piece: r.copies[at.copy].Name, Edge: r.line(at).Name}
		}) {
			if halved {
				return append(turned, turned[0])
			}
			return turned
		}
	}
	return nil
}

// garmentSeam is what people call the seam between edges of two names.
func garmentSeam(a, b string) string {
	for _, word := range []string{"shoulder", "raglan", "side", "underarm", "armhole", "inseam", "outseam", "crotch"} {
		if hasWord(a, word) || hasWord(b, word) {
			if word == "inseam" || word == "outseam" {
				return word
			}
			return word + " seam"
		}
	}
	if hasWord(a, "cap") || hasWord(b, "cap") {
		return "armhole seam"
	}
	if a = strings.ReplaceAll(a, "-", " "); strings.HasSuffix(a, "seam") {
		return a
	}
	return a + " seam"
}

// seamOrder is 0 for the seams at which a band is pieced first.
func seamOrder(seam string) int {
	if hasWord(seam, "shoulder") || hasWord(seam, "raglan") {
		return 0
	}
	return 1
}

// meetsSeam is the garment seam that a piecing seam of a band goes on from;
// empty for none.
func meetsSeam(s *PiecingSeam, p *piece.Piece) string {
	for _, end := range s.Ends {
		if seam := seamEndAt(p, end.At); seam != "" {
			return seam
		}
	}
	return ""
}

// seamEndAt is the garment seam that meets a band at a point of its edge.
func seamEndAt(p *piece.Piece, at orb.Point) string {
	for _, g := range p.SeamEnds {
		if plane.Distance(at, g.At) < CarriedMM {
			return g.Seam
		}
	}
	return ""
}

// AtSeams are the levels of a way at which its line meets a seam of the garment.
func AtSeams(w Way, b *Body) (out []float64) {
	for _, g := range b.Piece.SeamEnds {
		out = append(out, w.LevelOf(b, g.At))
	}
	return out
}
