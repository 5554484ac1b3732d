package check

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"eke/split/plan"
)

// stripes proves what is said of level stripes: that the bands of each piece cover
// it, have the looks of the sequence, and are as deep as they are to be on the piece
// that leads; that each part lies within one band and has its look; and that at each
// join as many lines meet as is said. It proves too that a wish for stripes is kept
// by these.
func (o *optionProof) stripes() {
	for _, w := range o.Wishes {
		if words := strings.Fields(strings.TrimPrefix(w.Text, "prefer ")); w.Kept && len(words) > 1 && strings.EqualFold(words[0], "stripes") {
			o.stripesWished(w.Text, strings.Join(words[1:], " "))
		}
	}
	if o.Option.Stripes == nil {
		return
	}
	p := &stripeProof{optionProof: o, Stripes: o.Option.Stripes, rule: Stripes}
	if len(p.Looks) == 0 || len(p.Looks) != len(p.DepthsMM) {
		o.fail(Fault{Rule: Stripes}, "the sequence has %d looks and %d depths", len(p.Looks), len(p.DepthsMM))
		return
	}
	found := len(o.found)
	for i := range p.Pieces {
		p.piece(&p.Pieces[i])
	}
	if !slices.ContainsFunc(p.Pieces, func(s plan.StripedPiece) bool { return s.Piece == p.Lead }) {
		o.fail(Fault{Rule: Stripes}, "%s, which leads, is in no stripes", p.Lead)
	}
	if len(o.found) == found {
		p.meets()
		p.uprights()
	}
}

// stripesWished holds the sequence against the words of a wish that is said to be
// kept: "navy 60mm, cream 40mm".
func (o *optionProof) stripesWished(text, sequence string) {
	s := o.Option.Stripes
	if s == nil {
		o.fail(Fault{Rule: Stripes}, "the wish %q is said to be kept, and there are no stripes", text)
		return
	}
	wanted := strings.Split(sequence, ",")
	if len(wanted) != len(s.Looks) {
		o.fail(Fault{Rule: Stripes}, "the wish %q is said to be kept by stripes of %d looks", text, len(s.Looks))
		return
	}
	for k, one := range wanted {
		look := strings.Join(strings.Fields(s.Looks[k]), " ")
		one = strings.Join(strings.Fields(one), " ")
		if len(one) < len(look) || !strings.EqualFold(one[:len(look)], look) {
			o.fail(Fault{Rule: Stripes}, "the wish %q is said to be kept by stripes of %s", text, plan.And(s.Looks))
			return
		}
		if depth := strings.TrimSpace(one[len(look):]); depth != "" {
			if mm, err := parseMM(depth); err != nil || math.Abs(mm-s.DepthsMM[k]) > markMM {
				o.fail(Fault{Rule: Stripes}, "the wish %q is said to be kept by %s %.1f mm deep", text, look, s.DepthsMM[k])
				return
			}
		}
	}
}

// stripeProof is the stripes of an option under proof.
type stripeProof struct {
	*optionProof
	*plan.Stripes
	rule Rule // that is broken; lines of blocks meet as those of stripes do
}

func (p *stripeProof) at(n int) int {
	k := len(p.Looks)
	return ((n % k) + k) % k
}

// downOf is how far down the grain a point lies. Down is the way of the grain that
// runs down the page, or to the right for one that lies flat.
func downOf(grainDeg float64, q point) float64 {
	sin, cos := math.Sincos(grainDeg * math.Pi / 180)
	if sin < -1e-9 || math.Abs(sin) <= 1e-9 && cos < 0 {
		sin, cos = -sin, -cos
	}
	return q[0]*cos + q[1]*sin
}

func extentDown(grainDeg float64, ring []point) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, q := range ring {
		d := downOf(grainDeg, q)
		lo, hi = math.Min(lo, d), math.Max(hi, d)
	}
	return lo, hi
}

func (p *stripeProof) piece(s *plan.StripedPiece) {
	at := id{s.Piece, s.Copy}
	f := Fault{Rule: Stripes}
	whole := p.pieces[at]
	if whole == nil {
		p.fail(f, "there is no piece %s", at)
		return
	}
	if len(s.Bands) == 0 {
		p.fail(f, "piece %s has no bands", at)
		return
	}
	lo, hi := extentDown(whole.GrainDeg, whole.SeamLine)
	first, last := s.Bands[0], s.Bands[len(s.Bands)-1]
	if first.FromMM > lo+markMM || last.ToMM < hi-markMM {
		p.fail(f, "piece %s reaches from %.1f to %.1f mm down the grain, and its bands from %.1f to %.1f", at, lo, hi, first.FromMM, last.ToMM)
		return
	}
	for k, b := range s.Bands {
		if k > 0 && (math.Abs(b.FromMM-s.Bands[k-1].ToMM) > markMM || b.Stripe <= s.Bands[k-1].Stripe) {
			p.fail(f, "on piece %s stripe %d begins at %.1f mm and the one above it, %d, ends at %.1f", at, b.Stripe, b.FromMM, s.Bands[k-1].Stripe, s.Bands[k-1].ToMM)
		}
		// Of several stripes in one band, where no line could be cut, it has the look of one.
		from := b.Stripe - len(p.Looks) + 1
		if k > 0 {
			from = s.Bands[k-1].Stripe + 1
		}
		wanted := b.Look
		if b.Wanted != "" {
			wanted = b.Wanted
			if strings.EqualFold(s.Piece, p.Lead) {
				p.fail(f, "the sequence breaks on %s, which leads: stripe %d is %s and not %s", at, b.Stripe, b.Look, b.Wanted)
			}
		}
		of := false
		for n := b.Stripe; n >= from; n-- {
			of = of || strings.EqualFold(p.Looks[p.at(n)], wanted)
		}
		inside := k > 0 && k < len(s.Bands)-1 && from == b.Stripe
		if inside && !strings.EqualFold(p.Looks[p.at(b.Stripe)], wanted) || !of {
			p.fail(f, "stripe %d on piece %s is %s, and by the sequence it is %s", b.Stripe, at, wanted, p.Looks[p.at(b.Stripe)])
		}
		if inside && strings.EqualFold(s.Piece, p.Lead) && math.Abs(b.ToMM-b.FromMM-p.DepthsMM[p.at(b.Stripe)]) > markMM {
			p.fail(f, "stripe %d on %s is %.1f mm deep, and it is to be %.1f", b.Stripe, at, b.ToMM-b.FromMM, p.DepthsMM[p.at(b.Stripe)])
		}
	}
	for _, part := range p.of[at] {
		from, to := extentDown(whole.GrainDeg, part.SeamLine)
		k := slices.IndexFunc(s.Bands, func(b plan.StripeBand) bool { return from >= b.FromMM-markMM && to <= b.ToMM+markMM })
		f := Fault{Rule: Stripes, Part: part.label}
		if k < 0 {
			p.fail(f, "it reaches from %.1f to %.1f mm down the grain, beyond any one stripe", from, to)
			continue
		}
		if part.scrap != nil && !strings.EqualFold(lookOf(part.scrap.Scrap), s.Bands[k].Look) {
			p.fail(f, "it is %s, and it lies in stripe %d, which is %s", lookOf(part.scrap.Scrap), s.Bands[k].Stripe, s.Bands[k].Look)
		}
	}
}

// uprights counts the seams that piece a stripe: those that do not run along a line.
func (p *stripeProof) uprights() {
	n := 0
	for _, s := range p.seams {
		if s.piece == nil || len(s.Line) < 2 || !slices.ContainsFunc(p.Pieces, func(o plan.StripedPiece) bool { return id{o.Piece, o.Copy} == s.piece.id }) {
			continue
		}
		if lo, hi := extentDown(s.piece.GrainDeg, s.Line); hi-lo > markMM {
			n++
		}
	}
	if n != p.Uprights {
		p.fail(Fault{Rule: Stripes}, "%d upright seams are said to piece stripes, and there are %d", p.Uprights, n)
	}
}

// stripeEnd is where a line between two bands comes to an edge, in mm along it with
// darts closed.
type stripeEnd struct {
	at   id
	edge string // "front/side"
	nth  int    // of the piece's edges
	line int    // the number of the stripe below it
	mm   float64
	// Whether it is at a corner, so that rounding decides which edge it comes to. It
	// counts where it meets another.
	corner bool
}

// ends are those of all lines on all striped pieces.
func (p *stripeProof) ends() []stripeEnd {
	var out []stripeEnd
	for _, s := range p.Pieces {
		at := id{s.Piece, s.Copy}
		whole := p.pieces[at]
		for k := 1; k < len(s.Bands); k++ {
			level, n := s.Bands[k].FromMM, s.Bands[k-1].Stripe+1
			for nth, e := range whole.edges {
				add := func(mm float64, corner bool) {
					if mm, open := shut(whole, e, mm); open {
						out = append(out, stripeEnd{at, whole.Name + "/" + e.Name, nth, n, mm, corner})
					}
				}
				walked, last := 0.0, len(e.line)-1
				near := func(q point) bool { return math.Abs(downOf(whole.GrainDeg, q)-level) <= markMM }
				for i := 1; i < len(e.line); i++ {
					a, b := downOf(whole.GrainDeg, e.line[i-1]), downOf(whole.GrainDeg, e.line[i])
					l := distance(e.line[i-1], e.line[i])
					if (a > level) != (b > level) && !(i == 1 && near(e.line[0])) && !(i == last && near(e.line[last])) {
						add(walked+l*(level-a)/(b-a), false)
					}
					walked += l
				}
				if near(e.line[0]) {
					add(0, true)
				}
				if near(e.line[last]) {
					add(walked, true)
				}
			}
		}
	}
	return out
}

// shut is how far along an edge a point is once its darts are closed; not open for
// one in the mouth of a dart.
func shut(p *pieceProof, e drawnEdge, mm float64) (float64, bool) {
	out := mm
	for _, d := range p.Darts {
		from, off1 := along(e.line, d[0])
		to, off2 := along(e.line, d[2])
		if math.Max(off1, off2) > markMM {
			continue
		}
		from, to = math.Min(from, to), math.Max(from, to)
		switch {
		case mm >= to:
			out -= to - from
		case mm > from:
			return 0, false
		}
	}
	return out, true
}

// meets counts the ends that meet at each join, and holds that against what is said.
func (p *stripeProof) meets() {
	c := &carriedProof{optionProof: p.optionProof, Carried: &plan.Carried{}}
	ends := p.ends()
	type tally struct{ lines, meet int }
	count := map[string]*tally{}
	for _, e := range ends {
		for _, to := range p.sewnTo(c, e, ends) {
			off, sewn := c.offMM(e, to, ends)
			if !sewn || e.corner && off > carriedMM+markMM {
				continue
			}
			join := e.edge + " " + to
			if strings.Compare(e.edge, to) > 0 {
				join = to + " " + e.edge
			}
			if count[join] == nil {
				count[join] = &tally{}
			}
			count[join].lines++
			if off <= carriedMM+markMM {
				count[join].meet++
			}
		}
	}
	for _, m := range p.Meets {
		t := tally{}
		if got := count[m.Join]; got != nil {
			t = *got
		}
		if m.Meet > m.Lines || m.Meet > t.meet || m.Meet == m.Lines && t.meet < t.lines {
			p.fail(Fault{Rule: p.rule}, "%d of %d ends of lines are said to meet at %s, and of %d ends %d do", m.Meet, m.Lines, m.Join, t.lines, t.meet)
		}
	}
}

// sewnTo are the edges in stripes that the edge of an end is sewn to. Where each edge of
// its name has one of its own, that is the one at which most of its ends meet; where
// none meets, one that is no other's.
func (p *stripeProof) sewnTo(c *carriedProof, e stripeEnd, ends []stripeEnd) []string {
	row := c.partners(e.edge)
	shared := c.shared(e.edge, row)
	row = slices.DeleteFunc(slices.Clone(row), func(to string) bool {
		return !slices.ContainsFunc(p.Pieces, func(s plan.StripedPiece) bool { return strings.EqualFold(s.Piece, pieceNamed(to)) })
	})
	if !shared {
		return row
	}
	var edges []stripeEnd // one end of each edge of that name
	for _, o := range ends {
		if strings.EqualFold(o.edge, e.edge) && !slices.ContainsFunc(edges, o.sameEdge) {
			edges = append(edges, o)
		}
	}
	own, taken := make([]string, len(edges)), map[string]int{}
	for _, tied := range []bool{false, true} { // a line half way down may meet either
		for i, o := range edges {
			most := c.meetsAt(o, row, ends)
			if own[i] != "" || len(most) > 1 && !tied {
				continue
			}
			for _, to := range most {
				if own[i] == "" && taken[to] < c.count(to) {
					own[i] = to
					taken[to]++
				}
			}
		}
	}
	if at := slices.IndexFunc(edges, e.sameEdge); own[at] != "" {
		return []string{own[at]}
	}
	return slices.DeleteFunc(row, func(to string) bool { return taken[to] == c.count(to) })
}

// sameEdge reports whether two ends are on one edge of one copy.
func (e stripeEnd) sameEdge(o stripeEnd) bool { return e.at == o.at && e.nth == o.nth }

// meetsAt are those of some edges at which most ends of an end's own edge meet, none
// where none does.
func (c *carriedProof) meetsAt(e stripeEnd, row []string, ends []stripeEnd) (own []string) {
	most := 1
	for _, to := range row {
		n := 0
		for _, o := range ends {
			if !o.sameEdge(e) {
				continue
			}
			if off, sewn := c.offMM(o, to, ends); sewn && off <= carriedMM+markMM {
				n++
			}
		}
		if n > most {
			own, most = nil, n
		}
		if n == most {
			own = append(own, to)
		}
	}
	return own
}

// offMM is how far from an end the nearest one of its line is on the edge of that name,
// if the end's edge is sewn to that there.
func (c *carriedProof) offMM(e stripeEnd, to string, ends []stripeEnd) (off float64, sewn bool) {
	from := c.edgeOf(e)
	off = math.Inf(1)
	for _, o := range ends {
		if !strings.EqualFold(o.edge, to) || o.line != e.line {
			continue
		}
		for _, mm := range c.sewnPlaces(from, e.mm, c.edgeOf(o)) {
			off = math.Min(off, math.Abs(o.mm-mm))
		}
	}
	return off, len(c.placesOn(from, e.mm, to)) > 0
}

func (c *carriedProof) edgeOf(e stripeEnd) seamEdge {
	of := c.pieces[e.at]
	return seamEdge{of, of.edges[e.nth], e.nth}
}

// parseMM reads a length as a wish has it in plan.json: "60mm".
func parseMM(s string) (float64, error) {
	return strconv.ParseFloat(strings.TrimSuffix(s, "mm"), 64)
}
