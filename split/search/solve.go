package search

import (
	"context"
	"math"
	"sort"

	"eke/piece"
	"eke/split"

	"golang.org/x/sync/errgroup"
)

// solve looks for plans with exactly that many added seams. Each way to spread
// the seams over the pieces is a task of its own with its own tries; tasks
// run on all workers, and their plans are taken in the tasks' order. Complete
// says that none was missed, and is said of proof alone: by bounds, or for
// whole pieces by placing them.
func (j *job) solve(ctx context.Context, seams int, work effort, enough int) (plans []*split.Made, complete bool) {
	if j.unsound {
		return nil, true
	}
	j.measure(ctx)
	if ctx.Err() != nil {
		return nil, false
	}
	sum, cloth := 0, 0.0
	for _, k := range j.least {
		sum += k
	}
	for i := range j.table.sites {
		cloth += j.table.sites[i].area
	}
	if sum > seams || j.area > cloth {
		return nil, true
	}
	mostShares := 60 * (1 + work.tries/passes[0].tries)
	shares := j.shares(seams, mostShares)
	complete = seams == 0 && len(shares) < mostShares
	for _, exclusive := range []bool{true, false} {
		if exclusive && len(j.blanks)+seams > len(j.table.sites) {
			continue
		}
		found := make([][]*split.Made, len(shares))
		whole := make([]bool, len(shares))
		wave := 2 * maxWorkers
		for start := 0; start < len(shares); start += wave {
			g := new(errgroup.Group)
			g.SetLimit(j.table.options.Workers)
			for k := start; k < min(start+wave, len(shares)); k++ {
				g.Go(func() error {
					d := newDealing(j, shares[k], exclusive, work, enough)
					d.next(ctx, 0)
					found[k], whole[k] = d.plans, !d.gaveUp
					return nil
				})
			}
			_ = g.Wait()
			for k := start; k < min(start+wave, len(shares)); k++ {
				plans = append(plans, found[k]...)
				complete = complete && (exclusive || whole[k])
			}
			if len(plans) >= enough || ctx.Err() != nil {
				return plans, false
			}
		}
	}
	return plans, complete
}

// maxWorkers sets the size of a wave of tasks. It is not the number of cores,
// for the answer must not depend on that.
const maxWorkers = 8

// dealing is a depth-first search over where everything comes from, for one
// way to spread the seams.
type dealing struct {
	job       *job
	table     *table
	ks        []int // seams of each copy
	order     []int // in which copies are dealt
	exclusive bool  // one part a scrap
	tries     int
	poses     int     // for each packing
	slanted   bool    // corners may be cut off
	fill      float64 // share of a scrap's area for several parts
	enough    int

	content [][]laid
	free    []float64 // area left of each scrap
	rest    []float64 // area of the copies still to deal, by place in order
	trees   []*split.Tree
	cuts    []sliding

	dealt   int  // the place in order that is being dealt
	jumping bool // back to jumpTo
	jumpTo  int

	plans  []*split.Made
	seen   map[string]bool
	gaveUp bool // tries ran out, or a scrap was called full without proof
}

// laid is a part on a scrap and the leaf that stands for it.
type laid struct {
	part *blank
	leaf *split.Tree
	turn int // the copy's place in the order of dealing
}

func newDealing(j *job, ks []int, exclusive bool, work effort, enough int) *dealing {
	d := &dealing{
		job: j, table: j.table, ks: ks, exclusive: exclusive, tries: work.tries, poses: work.poses, slanted: work.slanted, fill: work.fill, enough: enough,
		content: make([][]laid, len(j.table.sites)),
		trees:   make([]*split.Tree, len(j.blanks)), seen: map[string]bool{},
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
		stop := d.next(ctx, i+1)
		d.dealt = i
		if d.jumping && d.jumpTo >= i {
			d.jumping = false
		}
		return stop
	})
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
			if d.exclusive && len(d.content[s]) > 0 || d.free[s] < b.area {
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
		if isSlanted(w) {
			continue
		}
		for _, near := range []bool{true, false} {
			for _, s := range d.sitesFor(0) {
				for _, level := range d.bites(ctx, b, w, near, s) {
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
	}
	return false
}

// bites are the levels at which a first part is cut off a piece that is to be
// cut again: as far as the scrap allows, so that the least remains, and the
// welcome levels on the way there.
func (d *dealing) bites(ctx context.Context, b *blank, w split.Way, near bool, s int) []float64 {
	limit, ok := d.bound(ctx, b, w, near, s)
	if !ok {
		return nil
	}
	spans := b.spansOf(w)
	if near {
		limit, ok = split.Down(spans, limit)
	} else {
		limit, ok = split.Up(spans, limit)
	}
	if !ok {
		return nil
	}
	out := []float64{limit}
	for _, l := range w.Welcome(b.Body) {
		if split.In(spans, l) && (near && l < limit || !near && l > limit) {
			out = append(out, l)
		}
	}
	return out
}

func (d *dealing) bite(ctx context.Context, b *blank, w split.Way, level float64, near bool, s, k int, cont func(*split.Tree) bool) bool {
	part, rest := d.table.cutAt(b, w, level)
	if !near {
		part, rest = rest, part
	}
	tree := &split.Tree{Way: w, LevelMM: level}
	leaf := &split.Tree{Scrap: s}
	if part == nil || rest.area > d.room() || !d.put(ctx, s, part, leaf) {
		return false
	}
	defer d.take(s)
	spans := b.spansOf(w)
	room := split.Span{Lo: spans[0].Lo, Hi: level}
	if !near {
		room = split.Span{Lo: level, Hi: spans[len(spans)-1].Hi}
	}
	defer d.slides(b, tree, room)()
	return d.deal(ctx, rest, k-1, func(t *split.Tree) bool {
		tree.Near, tree.Far = leaf, t
		if !near {
			tree.Near, tree.Far = t, leaf
		}
		return cont(tree)
	})
}

func (d *dealing) dealWhole(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	for _, s := range d.sitesFor(b.area) {
		if d.spend(1) || ctx.Err() != nil {
			return true
		}
		leaf := &split.Tree{Scrap: s}
		if !d.put(ctx, s, b, leaf) {
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

// dealPair cuts a blank once: near goes to one scrap, far to another. Where
// one of the two lies there alone, its critical level leaves the least for
// the other, so one packing settles the pair.
func (d *dealing) dealPair(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	sites := d.sitesFor(0)
	for _, w := range d.table.ways {
		if isSlanted(w) && !d.slanted {
			continue
		}
		spans := b.spansOf(w)
		for _, s := range sites {
			hi, ok := d.bound(ctx, b, w, true, s)
			if !ok {
				continue
			}
			for _, r := range sites {
				if s == r && d.exclusive {
					continue
				}
				lo, ok := d.bound(ctx, b, w, false, r)
				if !ok {
					continue
				}
				low, ok1 := split.Up(spans, lo)
				high, ok2 := split.Down(spans, hi)
				if !ok1 || !ok2 || low > high {
					continue
				}
				if d.spend(1) || ctx.Err() != nil {
					return true
				}
				for _, level := range d.levels(b, w, low, high, s, r) {
					if d.tryPair(ctx, b, w, split.Span{Lo: low, Hi: high}, level, s, r, cont) {
						return true
					}
					if d.jumping {
						return false
					}
				}
			}
		}
	}
	return false
}

// levels are where to start between the least and the greatest level at which
// a pair of parts lies on its scraps alone; repair slides on from there. A
// part that shares its scrap wants to be small; one that has it for itself
// does not care, and lies where the seam is welcome.
func (d *dealing) levels(b *blank, w split.Way, low, high float64, s, r int) []float64 {
	onS, onR := len(d.content[s]) > 0, len(d.content[r]) > 0
	switch {
	case high-low < levelMM || onS && !onR:
		return []float64{low}
	case onR && !onS:
		return []float64{high}
	}
	spans := b.spansOf(w)
	var out []float64
	for _, l := range w.Welcome(b.Body) {
		if l > low && l < high && split.In(spans, l) {
			out = append(out, l)
		}
	}
	if mid, ok := split.Down(spans, (low+high)/2); ok && mid > low {
		out = append(out, mid)
	} else if mid, ok := split.Up(spans, (low+high)/2); ok && mid < high {
		out = append(out, mid)
	}
	switch {
	case len(out) == 0:
		return []float64{low}
	case s == r:
		return out
	}
	return out[:1]
}

func (d *dealing) tryPair(ctx context.Context, b *blank, w split.Way, room split.Span, level float64, s, r int, cont func(*split.Tree) bool) bool {
	near, far := d.table.cutAt(b, w, level)
	if near == nil {
		return false
	}
	tree := &split.Tree{Way: w, LevelMM: level, Near: &split.Tree{Scrap: s}, Far: &split.Tree{Scrap: r}}
	if !d.put(ctx, s, near, tree.Near) {
		return false
	}
	defer d.take(s)
	if !d.put(ctx, r, far, tree.Far) {
		return false
	}
	defer d.take(r)
	defer d.slides(b, tree, room)()
	return cont(tree)
}

// slides notes that a cut may slide, and gives the call that forgets it.
func (d *dealing) slides(b *blank, tree *split.Tree, room split.Span) func() {
	d.cuts = append(d.cuts, sliding{tree, d.dealt, room, b.spansOf(tree.Way)})
	return func() { d.cuts = d.cuts[:len(d.cuts)-1] }
}

// bound is how far a part can go on a scrap at most: alone, and by the area
// that is left there.
func (d *dealing) bound(ctx context.Context, b *blank, w split.Way, near bool, s int) (float64, bool) {
	level, ok := d.table.furthest(ctx, b, w, near, &d.table.sites[s])
	if !ok || len(d.content[s]) == 0 {
		return level, ok
	}
	core := func(level float64) float64 {
		ring := halfOf(b.cut, w.Line(b.Body, level), near)
		if len(ring) < 3 {
			return 0
		}
		return math.Abs(piece.Area(ring))
	}
	if core(level) <= d.spare(s) {
		return level, true
	}
	// The area falls as the level draws back.
	bad, good := level, b.spansOf(w)[0].Lo
	if !near {
		good = b.spansOf(w)[len(b.spansOf(w))-1].Hi
	}
	if core(good) > d.spare(s) {
		return 0, false
	}
	for math.Abs(good-bad) > 1 {
		if mid := (good + bad) / 2; core(mid) > d.spare(s) {
			bad = mid
		} else {
			good = mid
		}
	}
	return bad, true
}

// spend counts tries; true means they have run out.
func (d *dealing) spend(n int) bool {
	d.tries -= n
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
func (d *dealing) put(ctx context.Context, s int, b *blank, leaf *split.Tree) bool {
	site := &d.table.sites[s]
	if _, ok := d.table.fitsOn(ctx, b, site); !ok {
		return false
	}
	if len(d.content[s]) > 0 {
		if b.area > d.spare(s) {
			d.gaveUp = d.gaveUp || b.area <= d.free[s]
			return false
		}
		if d.full(s, b) {
			return false
		}
	}
	d.content[s] = append(d.content[s], laid{b, leaf, d.dealt})
	d.free[s] -= b.area
	return true
}

// spare is the area that one part more may take beside others.
func (d *dealing) spare(s int) float64 {
	return d.free[s] - (1-d.fill)*d.table.sites[s].area
}

// full reports whether a scrap is known not to hold one part more: with all
// that lies there, or with any one part of it.
func (d *dealing) full(s int, b *blank) bool {
	site := &d.table.sites[s]
	if d.table.knownFull(d.with(s, b), site, d.poses) {
		return true
	}
	for _, l := range d.content[s] {
		if len(d.content[s]) > 1 && d.table.knownFull([]*blank{l.part, b}, site, d.poses) {
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
	d.free[s] += d.content[s][n].part.area
	d.content[s] = d.content[s][:n]
}

// emit packs every scrap as dealt, sliding the cuts where that helps, and
// makes a plan of it; true means there are enough. Where a scrap cannot hold
// its parts, dealing jumps back to the last copy that had a say in it.
func (d *dealing) emit(ctx context.Context) bool {
	undo := d.levelsNow()
	defer undo()
	failed := d.repair(ctx)
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
