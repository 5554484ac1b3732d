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
		if exclusive && (work.shared || len(j.blanks)+seams > len(j.table.sites)) {
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
	attempts  int     // at each trade
	fancy     bool    // cuts may be other than plain
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
	// The area that it takes at least, wherever its cuts slide.
	least float64
}

func newDealing(j *job, ks []int, exclusive bool, work effort, enough int) *dealing {
	d := &dealing{
		job: j, table: j.table, ks: ks, exclusive: exclusive, tries: work.tries, poses: work.poses, attempts: work.attempts, fancy: work.fancy, fill: work.fill, enough: enough,
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
		if !isPlain(w) {
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

// biteAt is the level at which a first part is cut off a piece that is to be
// cut again: as far as the scrap allows, so that the least remains.
func (d *dealing) biteAt(ctx context.Context, b *blank, w split.Way, near bool, s int) (float64, bool) {
	limit, ok := d.bound(ctx, b, w, near, s)
	if !ok {
		return 0, false
	}
	if near {
		return split.Down(b.spansOf(w), limit)
	}
	return split.Up(b.spansOf(w), limit)
}

func (d *dealing) bite(ctx context.Context, b *blank, w split.Way, level float64, near bool, s, k int, cont func(*split.Tree) bool) bool {
	part, rest := d.table.cutAt(b, w, level)
	if !near {
		part, rest = rest, part
	}
	tree := &split.Tree{Way: w, LevelMM: level}
	leaf := &split.Tree{Scrap: s}
	spans := b.spansOf(w)
	end := spans[0].Lo
	if !near {
		end = spans[len(spans)-1].Hi
	}
	if part == nil || !d.put(ctx, s, part, leaf, core(b, w, end, near)) {
		return false
	}
	defer d.take(s)
	room := split.Span{Lo: spans[0].Lo, Hi: level}
	if !near {
		room = split.Span{Lo: level, Hi: spans[len(spans)-1].Hi}
	}
	defer d.slides(b, tree, room, true)()
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

// dealPair cuts a blank once: near goes to one scrap, far to another. Where
// one of the two lies there alone, its critical level leaves the least for
// the other, so one packing settles the pair.
func (d *dealing) dealPair(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	sites := d.sitesFor(0)
	for _, w := range d.table.ways {
		if !isPlain(w) && !d.fancy {
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
				if d.tryPair(ctx, b, w, split.Span{Lo: low, Hi: high}, s, r, cont) {
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

// start is the level at which a pair is dealt: where the seam is welcome, or
// else in the middle of where both parts lie on their scraps alone. What
// shares a scrap slides on from there.
func (d *dealing) start(b *blank, w split.Way, room split.Span) float64 {
	spans := b.spansOf(w)
	for _, l := range w.Welcome(b.Body) {
		if l >= room.Lo && l <= room.Hi && split.In(spans, l) {
			return l
		}
	}
	if mid, ok := split.Down(spans, (room.Lo+room.Hi)/2); ok && mid > room.Lo {
		return mid
	}
	if mid, ok := split.Up(spans, (room.Lo+room.Hi)/2); ok && mid < room.Hi {
		return mid
	}
	return room.Lo
}

func (d *dealing) tryPair(ctx context.Context, b *blank, w split.Way, room split.Span, s, r int, cont func(*split.Tree) bool) bool {
	if !d.narrowBite(ctx, b, w, room, s, r) {
		return false
	}
	level := d.start(b, w, room)
	near, far := d.table.cutAt(b, w, level)
	if near == nil {
		return false
	}
	tree := &split.Tree{Way: w, LevelMM: level, Near: &split.Tree{Scrap: s}, Far: &split.Tree{Scrap: r}}
	if !d.put(ctx, s, near, tree.Near, core(b, w, room.Lo, true)) {
		return false
	}
	defer d.take(s)
	if !d.put(ctx, r, far, tree.Far, core(b, w, room.Hi, false)) {
		return false
	}
	defer d.take(r)
	defer d.slides(b, tree, room, false)()
	return cont(tree)
}

// narrowBite takes from the room of the cut before this one what the middle
// part does not reach: it lies between the two cuts, and this one's room says
// how far it must come at least. It reports false when no room is left. The
// room is as it was once the bite is dealt anew.
func (d *dealing) narrowBite(ctx context.Context, b *blank, w split.Way, room split.Span, s, r int) bool {
	if d.exclusive || b.parent == nil || b.by != w || len(d.cuts) == 0 {
		return true
	}
	c := &d.cuts[len(d.cuts)-1]
	whole := b.parent
	if !c.bite || c.turn != d.dealt {
		return true
	}
	if !b.near { // near was bitten off, so the middle is near of this cut
		l, ok := d.table.least(ctx, whole, w, false, room.Lo, &d.table.sites[s])
		c.room = split.Span{Lo: l, Hi: c.limit}
		return ok && l <= c.limit
	}
	l, ok := d.table.least(ctx, whole, w, true, room.Hi, &d.table.sites[r])
	c.room = split.Span{Lo: c.limit, Hi: l}
	return ok && l >= c.limit
}

// slides notes that a cut may slide, and gives the call that forgets it.
func (d *dealing) slides(b *blank, tree *split.Tree, room split.Span, bite bool) func() {
	d.cuts = append(d.cuts, sliding{tree, d.dealt, room, b.spansOf(tree.Way), bite, tree.LevelMM})
	return func() { d.cuts = d.cuts[:len(d.cuts)-1] }
}

// bound is how far a part can go on a scrap at most: alone, and by the area
// that is left there. It is rough where parts may share scraps, for they slide
// to their levels later.
func (d *dealing) bound(ctx context.Context, b *blank, w split.Way, near bool, s int) (float64, bool) {
	if len(b.spansOf(w)) == 0 {
		return 0, false
	}
	ask := d.table.nearly
	if d.exclusive {
		ask = d.table.furthest
	}
	level, ok := ask(ctx, b, w, near, &d.table.sites[s])
	if !ok || len(d.content[s]) == 0 {
		return level, ok
	}
	core := func(level float64) float64 { return core(b, w, level, near) }
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

// core is the area of a part of a cut without the allowance of the new edge.
func core(b *blank, w split.Way, level float64, near bool) float64 {
	ring := split.Half(b.cut, w.Line(b.Body, level), near)
	if len(ring) < 3 {
		return 0
	}
	return math.Abs(piece.Area(ring))
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
func (d *dealing) put(ctx context.Context, s int, b *blank, leaf *split.Tree, least float64) bool {
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
	d.free[s] += d.content[s][n].least
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
