package search

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
)

// A stripe is a row of a copy, between two level lines. First the lines are laid
// over the garment, at one level for all pieces that they meet on; each copy is
// cut along them; and then every row is covered by bins of its look, in one part
// or in several by upright cuts.

// stripeLayout is where the lines run on every copy, and the rows between them.
type stripeLayout struct {
	*split.Striping
	trees   []*split.Tree
	rows    []stripeRow
	blocks  []blockNode // of each row, where they are blocks
	skipped int         // lines that cut a copy in no sound parts
}

// stripeRow is one stripe of a copy, or one shoulder's share of it.
type stripeRow struct {
	copy, place int // of all copies, and of those that are striped
	band        int
	part        *blank
	at          *split.Tree // the leaf that becomes the row's parts
	look        string
	also        []string // looks that it may have as well, where it is of several stripes
}

// stripeLevels are the levels on the front at which line 0 may run, the likeliest
// first: so that a whole stripe ends at the hem, and where lines would come too
// near to an end or a corner, others.
func (s *striper) stripeLevels(seq split.StripeSequence) []float64 {
	const stepMM = 5.0
	hem, period := s.striping.HemMM(), seq.Down(len(seq.Looks))
	var out []float64
	for k := range seq.Looks {
		out = append(out, hem-seq.Down(k))
	}
	for by := stepMM; by < period; by += stepMM {
		if !slices.ContainsFunc(out, func(at float64) bool { return math.Abs(at-hem+by) < 1 }) {
			out = append(out, hem-by)
		}
	}
	return out
}

// roughly counts what a layout costs without cutting anything.
func (s *striper) roughly(seq split.StripeSequence, zero float64) (cost float64) {
	lines := s.striping.Lines(seq, zero)
	for _, c := range lines.Copies {
		b := s.whole[c.Copy].Body
		for _, level := range c.Tops {
			switch {
			case !split.Crosses(b, level) || len(lines.Ways(b, level)) > 0:
			case level < b.Lo[1]+split.LeastPartMM: // a little of a stripe less, at the top
				cost += 0.2
			case level > b.Hi[1]-split.LeastPartMM:
				cost++
			default:
				cost += 3
			}
		}
	}
	hem := s.striping.HemMM()
	low, lowest := math.Inf(1), 0.0
	for n := -1000; n < 1000; n++ { // the stripe that the hem lies in
		if top := zero + seq.Down(n); top < hem-1e-6 && hem-top < low {
			low, lowest = hem-top, seq.DepthMM(n)
		}
	}
	if part := low / lowest; part < 1-1e-9 {
		cost += 7 + (1-part)/2
	}
	return cost
}

// layouts are the ways to lay a sequence over the garment, the likeliest first.
func (s *striper) layouts(seq split.StripeSequence, most int) []*stripeLayout {
	type zero struct{ at, cost float64 }
	var all []zero
	for _, at := range s.stripeLevels(seq) {
		all = append(all, zero{at, s.roughly(seq, at)})
	}
	slices.SortStableFunc(all, func(a, b zero) int { return cmp.Compare(a.cost, b.cost) })
	var out []*stripeLayout
	for _, z := range all[:min(len(all), most)] {
		out = append(out, s.layout(seq, z.at))
	}
	return out
}

// layout cuts every copy along its lines.
func (s *striper) layout(seq split.StripeSequence, zero float64) *stripeLayout {
	l := &stripeLayout{Striping: s.striping.Lines(seq, zero)}
	l.trees = make([]*split.Tree, len(s.copies))
	for k := range l.Copies {
		l.cut(s, k)
	}
	for _, i := range l.Unstriped() {
		l.trees[i] = &split.Tree{}
	}
	if s.sizeMM > 0 {
		l.columns(s)
	}
	return l
}

// cut cuts the k-th striped copy along all lines that leave sound parts.
func (l *stripeLayout) cut(s *striper, k int) {
	c := &l.Copies[k]
	var lines []int // the lowest first
	for n, level := range c.Tops {
		if split.Crosses(s.whole[c.Copy].Body, level) {
			lines = append(lines, n)
		}
	}
	slices.SortFunc(lines, func(a, b int) int { return b - a })
	for {
		cutter := stripeCutter{striper: s, layout: l, copy: c, lines: lines, place: k}
		tree := cutter.rows(s.whole[c.Copy], 0, 0)
		if cutter.bad < 0 {
			l.trees[c.Copy] = tree
			l.bands(s, c, lines, cutter.found)
			l.rows = append(l.rows, cutter.found...)
			return
		}
		l.skipped++
		lines = slices.Delete(slices.Clone(lines), cutter.bad, cutter.bad+1)
	}
}

// mayLead is how much of what is most of a band another stripe must be for the band
// to have its look as well.
const mayLead = 0.6

// bands are the stripes of a copy, from the top, and gives each row its look.
func (l *stripeLayout) bands(s *striper, c *split.StripedCopy, lines []int, rows []stripeRow) {
	b := s.whole[c.Copy].Body
	deepest := func(down float64) int { // the stripe that ends there
		n := math.MinInt
		for k, top := range c.Tops {
			if top < down-1e-6 {
				n = max(n, k)
			}
		}
		return n
	}
	from := b.Lo[1]
	c.Bands = nil
	var also [][]string
	for k := len(lines); k >= 0; k-- {
		to := b.Hi[1]
		if k > 0 {
			to = c.Tops[lines[k-1]]
		}
		band := split.StripeBand{Number: deepest(to), FromMM: from, ToMM: to}
		// Where it is more than one stripe, it has the look of the one that is most of it.
		most, of := 0.0, 0
		for n, top := range c.Tops {
			end := top + l.Sequence.DepthMM(n)
			if next, ok := c.Tops[n+1]; ok {
				end = next
			}
			if share := math.Min(end, to) - math.Max(top, from); share > most+1e-6 || share > most-1e-6 && n > of {
				most, band.Look, of = share, l.Sequence.Look(n), n
			}
		}
		if band.Look == "" {
			band.Look = l.Sequence.Look(band.Number)
		}
		var others []string
		for n, top := range c.Tops {
			if look := l.Sequence.Look(n); look != band.Look && !slices.Contains(others, look) && top > from-1e-6 && math.Min(to, top+l.Sequence.DepthMM(n))-top > mayLead*most {
				others = append(others, look)
			}
		}
		slices.Sort(others)
		also = append(also, others)
		c.Bands = append(c.Bands, band)
		from = to
	}
	for i := range rows {
		rows[i].band = len(lines) - rows[i].band
		rows[i].look, rows[i].also = c.Bands[rows[i].band].Look, also[rows[i].band]
	}
}

// stripeCutter cuts one copy along its lines, from the lowest up.
type stripeCutter struct {
	*striper
	layout *stripeLayout
	copy   *split.StripedCopy
	place  int
	lines  []int
	found  []stripeRow
	bad    int
	failed bool
}

func (c *stripeCutter) rows(b *blank, k, band int) *split.Tree {
	if !c.failed {
		c.bad = -1
	}
	for k < len(c.lines) && !split.Crosses(b.Body, c.copy.Tops[c.lines[k]]) {
		k, band = k+1, k+1
	}
	leaf := func(b *blank, band int) *split.Tree {
		t := &split.Tree{}
		c.found = append(c.found, stripeRow{copy: c.copy.Copy, place: c.place, band: band, part: b, at: t})
		return t
	}
	if k == len(c.lines) {
		return leaf(b, band)
	}
	fail := func() *split.Tree {
		if !c.failed {
			c.failed, c.bad = true, k
		}
		return &split.Tree{}
	}
	level := c.copy.Tops[c.lines[k]]
	ways := c.layout.Ways(b.Body, level)
	if len(ways) == 0 {
		return fail()
	}
	top := &split.Tree{}
	at := top
	for _, w := range ways {
		near, far := c.table.cutAt(b, w, level)
		if near == nil || split.Sound(near.Outline) != nil || split.Sound(far.Outline) != nil {
			return fail()
		}
		*at = split.Tree{Way: w, LevelMM: level, Near: c.rows(near, k+1, k+1), Far: &split.Tree{}}
		at, b = at.Far, far
		if c.failed {
			return top
		}
	}
	// What is left is the row below the line.
	c.found = append(c.found, stripeRow{copy: c.copy.Copy, place: c.place, band: band, part: b, at: at})
	return top
}

// isBack reports whether a piece is at the back of the garment, where a break in
// the sequence shows least to who wears it.
func isBack(p *piece.Piece) bool { return strings.Contains(strings.ToLower(p.Name), "back") }
