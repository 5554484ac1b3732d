package search

import (
	"context"
	"math"
	"slices"
	"sort"

	"eke/split"

	"golang.org/x/sync/errgroup"
)

// pairMove is the pattern with one seam moved, by just as much as lets a copy of the
// giving piece come in two parts from a pair of bins that as drawn do not hold it.
type pairMove struct {
	instance *instance
	pair     pairOf
}

// pairOf is a copy that is cut once, and the bins that its parts come from.
type pairOf struct {
	copy int
	bins []bool
}

// only is for each copy the bins that it may be cut from. Where twins are cut alike, it
// is not known which of them has the bins of the pair.
func (p *pairOf) only(in *instance, cuts []int) [][]bool {
	if p == nil {
		return nil
	}
	for k, l := range in.twin {
		if l >= 0 && (k == p.copy || l == p.copy) && cuts[k] == cuts[l] {
			return nil
		}
	}
	out := slices.Repeat([][]bool{slices.Repeat([]bool{true}, len(p.bins))}, len(cuts))
	out[p.copy] = p.bins
	return out
}

// iteratePairs looks for a plan with exactly that many added seams, with a seam moved for
// a pair of bins, for as long as goOn says so.
func (d *driver) iteratePairs(ctx context.Context, seams int, budget budget, goOn func(found bool) bool) []*split.Made {
	var stages []stage
	for _, m := range d.pairMoves(ctx, seams) {
		if m.instance.minSeams(ctx) <= seams {
			stages = append(stages, stage{instance: m.instance, seams: seams, budget: budget.quarter(), pair: &m.pair})
		}
	}
	plans, _ := solveWhile(ctx, stages, 1, goOn)
	return plans
}

// movesForPairs reports whether seams may be moved for pairs of bins.
func (d *driver) movesForPairs() bool {
	return d.carry == nil && d.match == nil && len(d.movesAllowed()) > 0
}

// pairWork is about how much work it takes to find all moves for pairs of bins: for each
// shape of each, how far either part of either plain cut goes on each bin, as drawn and
// with the seam moved as far as it may be. It is none once they are found.
func (d *driver) pairWork() int64 {
	if !slices.ContainsFunc(d.variants, func(in *instance) bool {
		_, ok := d.paired[in]
		return !ok && !in.unsound
	}) {
		return 0
	}
	const shapes, ends, parts = 3, 2, 2
	cuts := 0
	for _, w := range d.table.ways {
		if w.Traits().Plain {
			cuts++
		}
	}
	return int64(len(d.movesAllowed())*shapes*ends*parts*cuts*len(d.pile)) * bracketWork
}

// leastWithPairs is a lower bound on the added seams with a seam moved for a pair of bins,
// or the one given, which is that of all other plans, if it is lower. A copy needs fewer
// seams only where it needs two as drawn, and with the seam moved as far as it may be only
// one. With a large pile that is not asked before all else.
func (d *driver) leastWithPairs(ctx context.Context, other int) int {
	const mostWork = 300_000
	if !d.movesForPairs() || d.pairWork() > mostWork {
		return other
	}
	for _, in := range d.variants {
		if !d.withBase(in).needsFewer(ctx) {
			continue
		}
		var moved []*instance
		for _, m := range d.pairMoves(ctx, other) {
			moved = append(moved, m.instance)
		}
		return leastSound(ctx, other, moved)
	}
	return other
}

// needsFewer reports whether a copy that needs two seams may need one once a seam has moved.
func (d *driver) needsFewer(ctx context.Context) bool {
	for i, n := range d.base.minCuts {
		if n < 2 {
			continue
		}
		for _, plain := range d.movesAllowed() {
			if plain.From.Piece != d.base.pieces[i].Name {
				continue
			}
			for _, m := range plain.Shapes(d.base.pieces) {
				q := pairQuestion{driver: d, move: m, copy: i, shrunk: map[int]*blank{}}
				if b := q.at(int(d.maxMove(ctx, m))); b != nil && d.table.oneCutSuffices(ctx, b) {
					return true
				}
			}
		}
	}
	return false
}

// gives names the pieces that a moved seam makes smaller.
func (d *driver) gives() map[string]bool {
	out := map[string]bool{}
	for _, m := range d.movesAllowed() {
		out[m.From.Piece] = true
	}
	return out
}

// pairMoves are the moves for pairs of bins, of the variants that so many seams might do
// for. They are found when first asked for.
func (d *driver) pairMoves(ctx context.Context, seams int) (out []pairMove) {
	gives := d.gives()
	for _, in := range d.variants {
		in.measure(ctx)
		needed := 0 // by copies that no move spares any
		for i, n := range in.minCuts {
			if !gives[in.blanks[i].piece.Name] {
				needed += n
			}
		}
		if needed > seams || in.unsound {
			continue
		}
		found, ok := d.paired[in]
		if !ok {
			if found = d.withBase(in).findPairMoves(ctx); ctx.Err() != nil {
				return nil // not all of them
			}
			d.paired[in] = found
		}
		out = append(out, found...)
	}
	return out
}

// findPairMoves finds them for one variant, the least amounts first.
func (d *driver) findPairMoves(ctx context.Context) (out []pairMove) {
	var asked []*pairQuestion
	for _, plain := range d.movesAllowed() {
		for _, m := range plain.Shapes(d.base.pieces) {
			most := int(d.maxMove(ctx, m))
			for i, p := range d.base.pieces {
				if p.Name == m.From.Piece && d.base.twin[i] < 0 {
					asked = append(asked, &pairQuestion{driver: d, move: m, mostMM: most, copy: i})
				}
			}
		}
	}
	answers := make([][]pairAmount, len(asked))
	g := new(errgroup.Group)
	g.SetLimit(d.options.Workers)
	for k, q := range asked {
		g.Go(func() error {
			answers[k] = q.amounts(ctx)
			return nil
		})
	}
	_ = g.Wait()
	made := map[split.Move]*instance{}
	for k, q := range asked {
		for _, a := range answers[k] {
			m := q.move
			m.ByMM = float64(a.byMM)
			if made[m] == nil {
				copies, err := m.Apply(d.base.pieces)
				if err != nil {
					continue
				}
				made[m] = d.base.withMove(copies, m)
			}
			out = append(out, pairMove{made[m], pairOf{q.copy, a.bins}})
		}
	}
	sort.SliceStable(out, func(a, b int) bool {
		return out[a].instance.moves[0].ByMM < out[b].instance.moves[0].ByMM
	})
	return out
}

// pairQuestion asks by how much a seam must move for a copy of the giving piece to come
// in two parts from this pair of bins or that.
type pairQuestion struct {
	driver *driver
	move   split.Move
	mostMM int
	copy   int
	shrunk map[int]*blank // by the amount
}

// pairAmount is an amount, in whole millimetres, which a maker can draw, and the bins of
// the pairs that hold the copy from there on.
type pairAmount struct {
	byMM int
	bins []bool
}

// binPair is a pair of bins for the parts of a cut.
type binPair struct {
	way       split.Way
	near, far *bin
	area      float64 // of the bins
}

// mostBinPairs is of how many pairs the amount is asked for: those with the least cloth, of
// which the least is left.
const mostBinPairs = 24

// amounts are the critical amounts, the least first.
func (q *pairQuestion) amounts(ctx context.Context) []pairAmount {
	const leastMM = int(split.LeastMoveMM)
	if q.mostMM < leastMM {
		return nil
	}
	t := q.driver.table
	q.shrunk = map[int]*blank{0: q.driver.base.blanks[q.copy]}
	var pairs []binPair
	for _, w := range t.ways {
		if !w.Traits().Plain {
			continue
		}
		most, drawn := q.reaches(ctx, w, q.mostMM), q.reaches(ctx, w, 0)
		for near := range most {
			for far := range most {
				if most[near].Hi < most[far].Lo || drawn[near].Hi >= drawn[far].Lo {
					continue
				}
				if p := t.pairOfBins(w, near, far); p.area >= q.at(q.mostMM).area {
					pairs = append(pairs, p)
				}
			}
		}
	}
	sort.SliceStable(pairs, func(i, k int) bool { return pairs[i].area < pairs[k].area })
	bins := map[int][]bool{}
	for _, p := range pairs[:min(len(pairs), mostBinPairs)] {
		by := leastMM + sort.Search(q.mostMM-leastMM, func(k int) bool {
			return ctx.Err() != nil || q.holds(ctx, &p, leastMM+k)
		})
		if bins[by] == nil {
			bins[by] = make([]bool, len(t.bins))
		}
		for k := range t.bins {
			if class := t.bins[k].class; class == p.near.class || class == p.far.class {
				bins[by][k] = true
			}
		}
	}
	var out []pairAmount
	for by, on := range bins {
		out = append(out, pairAmount{by, on})
	}
	slices.SortFunc(out, func(a, b pairAmount) int { return a.byMM - b.byMM })
	return out
}

// reaches are how far the near part of a cut goes on each bin at most, and the far part
// at least, once the seam has moved by so much: none as far as the other where a bin
// holds none.
func (q *pairQuestion) reaches(ctx context.Context, w split.Way, byMM int) []split.Span {
	t := q.driver.table
	out := slices.Repeat([]split.Span{{Lo: math.Inf(1), Hi: math.Inf(-1)}}, len(t.bins))
	b := q.at(byMM)
	for s := range t.bins {
		if b == nil || t.bins[s].scrap.Copy > 1 {
			continue
		}
		if hi, ok := t.furthest(ctx, b, w, true, &t.bins[s]); ok {
			out[s].Hi = hi
		}
		if lo, ok := t.furthest(ctx, b, w, false, &t.bins[s]); ok {
			out[s].Lo = lo
		}
	}
	return out
}

// holds reports whether a pair of bins holds the copy once the seam has moved by so much.
func (q *pairQuestion) holds(ctx context.Context, p *binPair, byMM int) bool {
	b := q.at(byMM)
	if b == nil {
		return false
	}
	t := q.driver.table
	hi, ok := t.furthest(ctx, b, p.way, true, p.near)
	if !ok {
		return false
	}
	lo, ok := t.furthest(ctx, b, p.way, false, p.far)
	return ok && lo <= hi
}

// at is the copy once the seam has moved by so much, or nil where it cannot.
func (q *pairQuestion) at(byMM int) *blank {
	b, ok := q.shrunk[byMM]
	if !ok {
		m := q.move
		m.ByMM = float64(byMM)
		if copies, err := m.Apply(q.driver.base.pieces); err == nil {
			b = q.driver.base.blankOf(q.copy, copies[q.copy], []split.Move{m})
		}
		q.shrunk[byMM] = b
	}
	return b
}

// pairOfBins is a pair of bins, each the first of its class.
func (t *table) pairOfBins(w split.Way, near, far int) binPair {
	p := binPair{way: w, near: &t.bins[near], far: &t.bins[far], area: t.bins[near].area}
	if near != far || near+1 < len(t.bins) && t.bins[near+1].class == p.near.class {
		p.area += p.far.area
	}
	return p
}
