package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"eke/piece"
	"eke/split"
)

// A block is a row of stripes cut once more, by the upright lines of the grid. What
// look it has is not said by the wish: neighbours are to be unlike, and a look must
// not be given to more blocks than there is cloth for. So looks are dealt out first,
// as the colours of a map are, then the blocks of each look are placed as stripes
// are, and where that fails that look is given to fewer.

// blockNode is a row of a layout that is a block, and what it lies beside.
type blockNode struct {
	beside []int
	weight float64 // what a neighbour of the same look costs: in front more than at the back
}

// columns cuts every row along the upright lines that leave sound parts.
func (l *stripeLayout) columns(s *striper) {
	l.Blocks = &split.Blocking{SizeMM: s.sizeMM, Uprights: map[int][]float64{}}
	beside := map[string]bool{} // by piece: whether the lines run beside its centre
	for _, c := range l.Copies {
		b, name := s.whole[c.Copy].Body, s.copies[c.Copy].Name
		if _, known := beside[name]; !known {
			beside[name] = l.columnCost(s, c.Copy, true) < l.columnCost(s, c.Copy, false)
		}
		l.Blocks.Uprights[c.Copy] = split.UprightLines(b, s.sizeMM, beside[name])
	}
	var blocks []stripeRow
	for _, r := range l.rows {
		blocks = append(blocks, s.cutInBlocks(r, l.Blocks.Uprights[r.copy])...)
	}
	l.rows = blocks
	l.neighbours(s)
}

// columnCost is how narrow what the outermost upright lines leave of the rows of a
// copy is: the allowances of a narrow block cost as much as those of a wide one.
func (l *stripeLayout) columnCost(s *striper, of int, besideCentre bool) (cost float64) {
	for _, r := range l.rows {
		if r.copy != of {
			continue
		}
		parts := s.cutInBlocks(r, split.UprightLines(s.whole[of].Body, s.sizeMM, besideCentre))
		cost += float64(len(parts))
		for _, p := range parts {
			wide := (p.part.Hi[0] - p.part.Lo[0]) / s.sizeMM
			cost += math.Max(0, wide-1) * 3
		}
		*r.at = split.Tree{}
	}
	return cost
}

func (s *striper) cutInBlocks(r stripeRow, lines []float64) []stripeRow {
	var out []stripeRow
	way, cur, at := split.Panel{}, r.part, r.at
	for _, x := range lines {
		if !split.In(cur.spansOf(way), x) {
			continue
		}
		near, far := s.table.cutAt(cur, way, x)
		if near == nil || far == nil || !isBlock(near.Outline) || !isBlock(far.Outline) || shortSeams(near.Outline)+shortSeams(far.Outline) > shortSeams(cur.Outline) {
			continue
		}
		*at = split.Tree{Way: way, LevelMM: x, Near: &split.Tree{}, Far: &split.Tree{}}
		left := r
		left.part, left.at = near, at.Near
		out = append(out, left)
		cur, at = far, at.Far
	}
	r.part, r.at = cur, at
	return append(out, r)
}

// isBlock reports whether a part may be a block: one that can be sewn, and is no sliver
// of a corner of the piece.
func isBlock(o piece.Outline) bool {
	return split.Sound(o) == nil && split.WideSomewhere(o, split.LeastPartMM)
}

// shortSeams is how many seams of a block are shorter than a part may be narrow: two
// allowances would meet over them.
func shortSeams(o piece.Outline) (n int) {
	for _, e := range o {
		if e.Seam != "" && e.Line.Length() < split.LeastPartMM {
			n++
		}
	}
	return n
}

// neighbours finds which blocks lie side by side, in a piece and across joins.
func (l *stripeLayout) neighbours(s *striper) {
	sides := make([][]split.BlockSide, len(l.rows))
	l.blocks = make([]blockNode, len(l.rows))
	for i, r := range l.rows {
		sides[i] = split.BlockSides(r.part.Body)
		l.blocks[i].weight = 2
		switch {
		case isBack(s.copies[r.copy]):
			l.blocks[i].weight = 1
		case s.copies[r.copy].Name == l.Lead:
			l.blocks[i].weight = 4
		}
	}
	pair := func(i, k int) {
		if !slices.Contains(l.blocks[i].beside, k) {
			l.blocks[i].beside = append(l.blocks[i].beside, k)
			l.blocks[k].beside = append(l.blocks[k].beside, i)
		}
	}
	for i, r := range l.rows {
		for k := i + 1; k < len(l.rows); k++ {
			if l.rows[k].copy == r.copy && split.Touch(sides[i], sides[k]) {
				pair(i, k)
			}
		}
		for _, e := range r.part.Outline {
			for _, at := range l.AcrossJoins(r.copy, e) {
				for k := range l.rows {
					if k != i && l.rows[k].copy == at.Copy && split.OnDrawnEdge(l.rows[k].part.Outline, at.At) {
						pair(i, k)
					}
				}
			}
		}
	}
}

// dealer gives blocks their looks.
type dealer struct {
	*striper
	blocks []blockNode
	rows   []stripeRow
	room   map[string]float64
	barred map[blockLook]bool
	used   map[string]float64
	total  float64
}

// What blocks cost: none is to have a look that is barred to it, or of which there
// is too little, whatever lies side by side.
const (
	barredCost = 1e6
	overCost   = 4000 // for all blocks
)

// deal gives every block a look: unlike its neighbours, of no look more than its
// room, and none that is barred to it. It begins with a chequer and changes one
// block at a time, or two for each other, as long as that is better; then it shakes
// some and begins again (iterated local search: H. Lourenço, O. Martin, T. Stützle,
// 2003).
func (s *striper) deal(l *stripeLayout, rows []stripeRow, room map[string]float64, barred map[blockLook]bool) bool {
	const kicks, share = 30, 10
	d := &dealer{striper: s, blocks: l.blocks, rows: rows, room: room, barred: barred, used: map[string]float64{}}
	for r := range rows {
		d.total += rows[r].part.area
		d.used[rows[r].look] += rows[r].part.area
	}
	rng := rand.New(rand.NewPCG(s.options.Seed, uint64(len(rows))))
	looks := func() (out []string) {
		for r := range rows {
			out = append(out, rows[r].look)
		}
		return out
	}
	d.descend()
	best, least := looks(), d.cost()
	for range kicks {
		if least == 0 {
			break
		}
		for range max(2, len(rows)/share) {
			d.give(rng.IntN(len(rows)), s.looks[rng.IntN(len(s.looks))])
		}
		d.descend()
		if c := d.cost(); c < least-1e-9 {
			best, least = looks(), c
			continue
		}
		for r := range rows {
			d.give(r, best[r])
		}
	}
	for r := range rows {
		d.give(r, best[r])
	}
	return d.holds()
}

// over is how much more of a look is dealt out than there is, with some more.
func (d *dealer) over(look string, area float64) float64 {
	return math.Max(0, d.used[look]+area-d.room[look])
}

// costOf is what a block costs with a look.
func (d *dealer) costOf(r int, look string) (sum float64) {
	for _, k := range d.blocks[r].beside {
		if d.rows[k].look == look {
			sum += math.Min(d.blocks[r].weight, d.blocks[k].weight)
		}
	}
	if d.barred[blockLook{r, look}] {
		sum += barredCost
	}
	return sum
}

// cost is that of all blocks; what lies side by side counts twice.
func (d *dealer) cost() (sum float64) {
	for r := range d.rows {
		sum += d.costOf(r, d.rows[r].look)
	}
	for _, look := range d.looks {
		sum += 2 * overCost / d.total * d.over(look, 0)
	}
	return sum
}

func (d *dealer) give(r int, look string) {
	d.used[d.rows[r].look] -= d.rows[r].part.area
	d.rows[r].look = look
	d.used[look] += d.rows[r].part.area
}

// gain is what it is better by to give a block another look.
func (d *dealer) gain(r int, look string) float64 {
	was, area := d.rows[r].look, d.rows[r].part.area
	return d.costOf(r, was) - d.costOf(r, look) +
		overCost/d.total*(d.over(was, 0)+d.over(look, 0)-d.over(was, -area)-d.over(look, area))
}

// descend changes blocks as long as that is better.
func (d *dealer) descend() {
	const mostPasses, leastGain = 40, 1e-9
	for range mostPasses {
		changed := false
		for r := range d.rows {
			best, to := leastGain, ""
			for _, look := range d.looks {
				if look != d.rows[r].look {
					if g := d.gain(r, look); g > best {
						best, to = g, look
					}
				}
			}
			if to != "" {
				d.give(r, to)
				changed = true
				continue
			}
			changed = d.swap(r, leastGain) || changed
		}
		if !changed {
			return
		}
	}
}

// swap gives a block and one after it each other's looks, where that is better.
func (d *dealer) swap(r int, leastGain float64) bool {
	for k := r + 1; k < len(d.rows); k++ {
		a, b := d.rows[r].look, d.rows[k].look
		if a == b {
			continue
		}
		g := d.gain(r, b)
		d.give(r, b)
		if g += d.gain(k, a); g > leastGain {
			d.give(k, a)
			return true
		}
		d.give(r, a)
	}
	return false
}

// holds reports whether no look is dealt out too often, and none that is barred.
func (d *dealer) holds() bool {
	for r := range d.rows {
		if d.barred[blockLook{r, d.rows[r].look}] {
			return false
		}
	}
	return !slices.ContainsFunc(d.looks, func(look string) bool { return d.over(look, 0) > 1 })
}

// blockLook is a block that is not to have a look.
type blockLook struct {
	row  int
	look string
}

// chequer is where the looks begin: in turn along the rows and down the columns.
func (s *striper) chequer(l *stripeLayout, rows []stripeRow) {
	for r := range rows {
		number := l.Copies[rows[r].place].Bands[rows[r].band].Number
		column := 0
		for _, x := range l.Blocks.Uprights[rows[r].copy] {
			if rows[r].part.Lo[0] > x-1 {
				column++
			}
		}
		n := len(s.looks)
		rows[r].look = s.looks[((number+column)%n+n)%n]
	}
}

// solveBlocks deals out looks and places the blocks, and gives a look that does not
// suffice to fewer of them.
func (s *striper) solveBlocks(ctx context.Context, l *stripeLayout, kind string, round int) *stripePlan {
	if len(s.looks) == 0 {
		return nil // no block may be cut from any scrap
	}
	const mostDeals = 24
	rows := slices.Clone(l.rows)
	s.chequer(l, rows)
	room := map[string]float64{}
	for _, look := range s.looks {
		room[look] = s.held(look, kind)
	}
	barred := map[blockLook]bool{}
	for r := range rows {
		for _, look := range s.looks {
			barred[blockLook{r, look}] = !s.hasPlace(ctx, rows[r].part, look, kind)
		}
	}
	for deal := range mostDeals {
		if !s.deal(l, rows, room, barred) || ctx.Err() != nil {
			s.note(rows, s.tooMany(rows, room, barred))
			return nil
		}
		st, left := s.settled(ctx, rows, uint64(10*round+deal), kind, stripeRounds[round].moves)
		if ctx.Err() != nil {
			return nil
		}
		if len(left) == 0 {
			st.whole = false
			if p := s.made(ctx, l, st, rows, nil); p != nil {
				return p
			}
			if !s.leaveFor(s.alone, rows, room) {
				return nil
			}
			continue
		}
		s.note(rows, left)
		for _, look := range s.looks {
			var lacks float64
			for _, r := range left {
				if rows[r].look == look {
					lacks += rows[r].part.area
				}
			}
			if lacks > 0 {
				room[look] = needed(rows, look) - lacks
			}
		}
	}
	return nil
}

// leaveFor gives fewer blocks one of the looks that pieces in no blocks may have, for
// which there was nothing left.
func (s *striper) leaveFor(names []string, rows []stripeRow, room map[string]float64) bool {
	for _, k := range s.striping.Unstriped() {
		if !slices.Contains(names, s.copies[k].Name) {
			continue
		}
		most, look := 0.0, ""
		for i := range s.table.bins {
			b := &s.table.bins[i]
			if l := b.scrap.TheLook(); s.table.allowed(s.copies[k], b.scrap) && needed(rows, l) > most {
				most, look = needed(rows, l), l
			}
		}
		if look == "" {
			return false
		}
		room[look] = most - s.whole[k].area
	}
	return len(names) > 0
}

// hasPlace reports whether a block lies on some bin of a look.
func (s *striper) hasPlace(ctx context.Context, b *blank, look, kind string) bool {
	st := &stripeState{striper: s, kind: kind}
	for i := range s.table.bins {
		if st.may(b, i, look) {
			if _, ok := s.table.fitsOn(ctx, b, &s.table.bins[i]); ok {
				return true
			}
		}
	}
	return false
}

// tooMany are blocks that are more than there is room for, or lie on no bin.
func (s *striper) tooMany(rows []stripeRow, room map[string]float64, barred map[blockLook]bool) (out []int) {
	used := map[string]float64{}
	for r := range rows {
		look := rows[r].look
		if used[look] += rows[r].part.area; used[look] > room[look] || barred[blockLook{r, look}] {
			out = append(out, r)
		}
	}
	return out
}

// whyNoBlocks is what is missing, of the attempt that left the least over.
func (s *striper) whyNoBlocks(layouts []*stripeLayout) string {
	var need, has, lacks float64
	for _, r := range layouts[0].rows {
		need += r.part.area
	}
	for _, l := range s.looks {
		has += s.held(l, "")
		lacks += s.lacking[l]
	}
	if need > has {
		return fmt.Sprintf("the blocks need %.2f m² with their allowances, and there are %.2f m²", need/1e6, has/1e6)
	}
	return fmt.Sprintf("of %.2f m² of blocks, %.2f m² found no place on %.2f m² of scraps; larger scraps or smaller blocks would help", need/1e6, lacks/1e6, has/1e6)
}

// blockLooks are the looks of the pile that a block may have, that of which there is
// most first. What another piece asks for by name, as a neckband does for rib, is
// left to it where there is anything else.
func (s *striper) blockLooks() {
	area := map[string]float64{}
	for i := range s.table.bins {
		b := &s.table.bins[i]
		for k := range s.copies {
			if !slices.Contains(s.striping.Unstriped(), k) && s.table.allowed(s.copies[k], b.scrap) {
				area[b.scrap.TheLook()] += b.area
				break
			}
		}
	}
	asked := map[string]bool{}
	for _, k := range s.striping.Unstriped() {
		for i := range s.table.bins {
			if scrap := s.table.bins[i].scrap; len(s.copies[k].Fabrics) > 0 && s.table.allowed(s.copies[k], scrap) {
				asked[scrap.TheLook()] = true
			}
		}
	}
	for look := range area {
		if !asked[look] {
			s.looks = append(s.looks, look)
		}
	}
	if len(s.looks) == 0 {
		for look := range area {
			s.looks = append(s.looks, look)
		}
	}
	slices.SortFunc(s.looks, func(a, b string) int { return cmp.Or(cmp.Compare(area[b], area[a]), cmp.Compare(a, b)) })
}
