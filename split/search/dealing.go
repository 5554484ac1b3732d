package search

import (
	"context"
	"math"
	"sort"

	"eke/split"
)

// dealing is a depth-first search over where everything comes from, for one
// way to spread the seams.
type dealing struct {
	job       *job
	table     *table
	ks        []int       // seams of each copy
	order     []int       // in which copies are dealt
	turn      []int       // of each copy, its place in order
	pieced    bool        // whether there are seams to spread
	exclusive bool        // one part a scrap
	effort                // its tries are those that are left
	work      int64       // done so far, in tries
	until     int64       // the work at which it pauses
	pause     func() bool // false stops it
	enough    int

	content [][]laid
	kinds   []dealtKinds // of each group of copies that is cut from one kind of cloth
	free    []float64    // area left of each scrap
	rest    []float64    // area of the copies still to deal, by place in order
	trees   []*split.Tree
	cuts    []sliding

	dealt   int  // the place in order that is being dealt
	jumping bool // back to jumpTo
	jumpTo  int

	plans  []*split.Made
	seen   map[string]bool
	asked  map[string]bool // trades
	failed map[string]bool // packings of whole pieces
	gaveUp bool            // tries ran out, or a scrap was called full without proof
}

// laid is a part on a scrap and the leaf that stands for it.
type laid struct {
	part *blank
	leaf *split.Tree
	turn int // the copy's place in the order of dealing
	// The area that it takes at least, wherever its cuts slide.
	least float64
}

func newDealing(j *job, ks []int, exclusive bool, work effort, enough int) *dealing {
	d := &dealing{
		job: j, table: j.table, ks: ks, exclusive: exclusive, effort: work, enough: enough, until: math.MaxInt64,
		content: make([][]laid, len(j.table.sites)), kinds: make([]dealtKinds, len(j.group)),
		trees: make([]*split.Tree, len(j.blanks)), seen: map[string]bool{}, asked: map[string]bool{}, failed: map[string]bool{},
	}
	for i := range j.table.sites {
		d.free = append(d.free, j.table.sites[i].area)
	}
	for i := range j.blanks {
		d.order = append(d.order, i)
	}
	// Whole pieces first, those with the fewest scraps to go to before the
	// rest and large before small; then the pieces to split.
	sort.SliceStable(d.order, func(a, b int) bool {
		x, y := d.order[a], d.order[b]
		if ks[x] != ks[y] {
			return ks[x] < ks[y]
		}
		if j.homes[x] != j.homes[y] {
			return j.homes[x] < j.homes[y]
		}
		return j.blanks[x].area > j.blanks[y].area
	})
	d.turn = make([]int, len(d.order))
	for i, k := range d.order {
		d.turn[k] = i
		d.pieced = d.pieced || ks[k] > 0
	}
	d.rest = make([]float64, len(d.order)+1)
	for i := len(d.order) - 1; i >= 0; i-- {
		d.rest[i] = d.rest[i+1] + j.blanks[d.order[i]].area
	}
	return d
}

// next deals the copies from the i-th on; true means stop altogether.
func (d *dealing) next(ctx context.Context, i int) bool {
	if i == len(d.order) {
		return d.emit(ctx)
	}
	if d.rest[i] > d.room() || !d.homesLeft(ctx, i) {
		return false
	}
	k := d.order[i]
	d.dealt = i
	return d.deal(ctx, d.job.blanks[k], d.ks[k], func(t *split.Tree) bool {
		d.trees[k] = t
		if d.swapped(k) {
			return false
		}
		if i+1 < len(d.order) && !d.promises(ctx) {
			d.gaveUp = true
			return false
		}
		stop := d.next(ctx, i+1)
		d.dealt = i
		if d.jumping && d.jumpTo >= i {
			d.jumping = false
		}
		return stop
	})
}

// swapped reports whether a copy and an earlier one like it could change places
// to give a deal that has been looked at. Where that is to be proof, only the
// very same line is like enough.
func (d *dealing) swapped(k int) bool {
	l := d.job.like[k]
	if l < 0 || d.ks[l] != d.ks[k] || d.turn[l] > d.turn[k] || !d.pieced && d.job.blanks[l].key != d.job.blanks[k].key {
		return false
	}
	mine, its := d.trees[k].Leaves(), d.trees[l].Leaves()
	for i := range mine {
		a, b := d.table.sites[mine[i].Scrap].class, d.table.sites[its[i].Scrap].class
		if a != b {
			return a < b
		}
	}
	return false
}

// room is the area that is left for parts.
func (d *dealing) room() float64 {
	var sum float64
	for s, f := range d.free {
		if !d.exclusive || len(d.content[s]) == 0 {
			sum += f
		}
	}
	return sum
}

// homesLeft reports whether every whole piece still to deal has a scrap with
// area to spare.
func (d *dealing) homesLeft(ctx context.Context, i int) bool {
	for _, k := range d.order[i:] {
		if d.ks[k] > 0 {
			break
		}
		b, ok := d.job.blanks[k], false
		for s := range d.table.sites {
			if d.exclusive && len(d.content[s]) > 0 || d.free[s] < b.area || d.clashes(k, s) {
				continue
			}
			if _, fits := d.table.fitsOn(ctx, b, &d.table.sites[s]); fits {
				ok = true
				break
			}
		}
		if !ok {
			return false
		}
	}
	return true
}

// deal finds scraps for one blank cut by k seams, and calls cont with each
// tree while its parts lie on their scraps; true means stop altogether.
func (d *dealing) deal(ctx context.Context, b *blank, k int, cont func(*split.Tree) bool) bool {
	switch k {
	case 0:
		return d.dealWhole(ctx, b, cont)
	case 1:
		return d.dealPair(ctx, b, cont)
	}
	for _, w := range d.table.ways {
		if !w.Traits().Plain || b.cutBefore(w) {
			continue
		}
		for _, near := range []bool{true, false} {
			for _, s := range d.sitesFor(0) {
				level, ok := d.biteAt(ctx, b, w, near, s)
				if !ok {
					continue
				}
				if d.spend(1) || ctx.Err() != nil {
					return true
				}
				if d.bite(ctx, b, w, level, near, s, k, cont) {
					return true
				}
				if d.jumping {
					return false
				}
			}
		}
	}
	return false
}

func (d *dealing) dealWhole(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	for _, s := range d.sitesFor(b.area) {
		if d.spend(1) || ctx.Err() != nil {
			return true
		}
		leaf := &split.Tree{Scrap: s}
		if !d.put(ctx, s, b, leaf, b.area) {
			continue
		}
		stop := cont(leaf)
		d.take(s)
		if stop || d.jumping {
			return stop
		}
	}
	return false
}

// spend counts tries; true means they have run out, or that no more are wanted.
func (d *dealing) spend(n int) bool {
	d.tries -= n
	d.work += int64(n)
	if d.tries >= 0 && d.work >= d.until && !d.pause() {
		d.tries = -1
	}
	if d.tries < 0 {
		d.gaveUp = true
	}
	return d.tries < 0
}

// sitesFor is the scraps that may still hold an area, tightest first, and of
// like scraps that are all empty only one.
func (d *dealing) sitesFor(area float64) []int {
	var out []int
	empty := map[string]bool{}
	for s := range d.table.sites {
		if d.free[s] < area || d.exclusive && len(d.content[s]) > 0 {
			continue
		}
		if len(d.content[s]) == 0 {
			if empty[d.table.sites[s].class] {
				continue
			}
			empty[d.table.sites[s].class] = true
		}
		out = append(out, s)
	}
	sort.SliceStable(out, func(a, b int) bool { return d.free[out[a]] < d.free[out[b]] })
	return out
}

// put lays a part on a scrap beside what lies there. Whether several parts can
// lie together is asked only once everything has a place, unless the answer
// is known.
func (d *dealing) put(ctx context.Context, s int, b *blank, leaf *split.Tree, least float64) bool {
	if d.clashes(d.order[d.dealt], s) {
		return false
	}
	if d.exclusive || b.parent == nil { // else its level is a bound, or slides
		if _, ok := d.table.fitsOn(ctx, b, &d.table.sites[s]); !ok {
			return false
		}
	}
	if len(d.content[s]) > 0 {
		if least > d.spare(s) {
			d.gaveUp = d.gaveUp || least <= d.free[s]
			return false
		}
		if d.full(s, b) {
			d.gaveUp = true
			return false
		}
	}
	d.content[s] = append(d.content[s], laid{b, leaf, d.dealt, least})
	d.free[s] -= least
	d.count(d.order[d.dealt], s, 1)
	return true
}

// spare is the area that one part more may take beside others.
func (d *dealing) spare(s int) float64 {
	return d.free[s] - (1-d.mostFill(s))*d.table.sites[s].area
}

// evenFill is the share of a scrap's area that several parts may take, once
// levels have slid to where all scraps are about equally full.
func (d *dealing) evenFill(s int) float64 { return math.Min(1+coarseFill, d.job.fills[s]+d.over) }

// mostFill is the share that the least of several parts may take, which as a
// rule is less.
func (d *dealing) mostFill(s int) float64 { return math.Min(1, d.evenFill(s)+0.08) }

// full reports whether a scrap is known not to hold one part more: with all
// that lies there, or with any one part of it. What other tasks have found out
// does not count, for that depends on which of them is ahead.
func (d *dealing) full(s int, b *blank) bool {
	known := func(parts ...*blank) bool {
		_, key := packKey(parts, &d.table.sites[s], d.poses)
		return d.failed[key]
	}
	if known(d.with(s, b)...) {
		return true
	}
	for _, l := range d.content[s] {
		if len(d.content[s]) > 1 && known(l.part, b) {
			return true
		}
	}
	return false
}

// with is the parts on a scrap and one more.
func (d *dealing) with(s int, more ...*blank) []*blank {
	var parts []*blank
	for _, l := range d.content[s] {
		parts = append(parts, l.part)
	}
	return append(parts, more...)
}

// take lifts the part that was put on a scrap last.
func (d *dealing) take(s int) {
	n := len(d.content[s]) - 1
	d.free[s] += d.content[s][n].least
	d.count(d.order[d.content[s][n].turn], s, -1)
	d.content[s] = d.content[s][:n]
}

// emit packs every scrap as dealt, sliding the cuts where that helps, and
// makes a plan of it; true means there are enough. Where a scrap cannot hold
// its parts, dealing jumps back to the last copy that had a say in it.
func (d *dealing) emit(ctx context.Context) bool {
	undo := d.levelsNow()
	defer undo()
	failed := d.settle(ctx)
	if failed != nil {
		d.gaveUp = true // full, as far as packing can tell
		d.jumping, d.jumpTo = true, 0
		for _, turn := range failed {
			d.jumpTo = max(d.jumpTo, turn)
		}
		return ctx.Err() != nil || d.tries < 0
	}
	p := &split.Plan{Moves: d.job.moves, Pieces: d.job.pieces}
	for _, t := range d.trees {
		p.Trees = append(p.Trees, t.Clone())
	}
	m, err := split.Make(p, d.table.options.AllowanceMM)
	if err != nil {
		d.gaveUp = true
		return false
	}
	if s := exactly(m); !d.seen[s] {
		d.seen[s] = true
		d.plans = append(d.plans, m)
	}
	return len(d.plans) >= d.enough
}

// levelsNow remembers the levels of all cuts, and gives the call that brings
// them back.
func (d *dealing) levelsNow() func() {
	was := make([]float64, len(d.cuts))
	for i, c := range d.cuts {
		was[i] = c.tree.LevelMM
	}
	return func() {
		for i, c := range d.cuts {
			c.tree.LevelMM = was[i]
		}
	}
}
