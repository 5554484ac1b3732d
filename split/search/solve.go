package search

import (
	"context"
	"sort"

	"eke/split"

	"golang.org/x/sync/errgroup"
)

// solve looks for plans with exactly that many added seams. Each way to spread
// the seams over the pieces is a task of its own with its own tries; tasks
// run on all workers, and their plans are taken in the tasks' order. Complete
// says that no plan was missed.
func (j *job) solve(ctx context.Context, seams, tries int) (plans []*split.Made, complete bool) {
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
	const mostShares = 400
	shares := j.shares(seams, mostShares)
	complete = len(shares) < mostShares
	enough := 4 * j.table.options.Keep
	for _, exclusive := range []bool{true, false} {
		found := make([][]*split.Made, len(shares))
		whole := make([]bool, len(shares))
		wave := 2 * maxWorkers
		for start := 0; start < len(shares); start += wave {
			g := new(errgroup.Group)
			g.SetLimit(j.table.options.Workers)
			for k := start; k < min(start+wave, len(shares)); k++ {
				g.Go(func() error {
					d := newDealing(j, shares[k], exclusive, tries, enough)
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
	enough    int

	content [][]laid
	free    []float64 // area left of each scrap
	rest    []float64 // area of the copies still to deal, by place in order
	trees   []*split.Tree

	plans  []*split.Made
	seen   map[string]bool
	gaveUp bool // tries ran out, or a scrap was called full without proof
}

// laid is a part on a scrap and the leaf that stands for it.
type laid struct {
	part *blank
	leaf *split.Tree
}

func newDealing(j *job, ks []int, exclusive bool, tries, enough int) *dealing {
	d := &dealing{
		job: j, table: j.table, ks: ks, exclusive: exclusive, tries: tries, enough: enough,
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
		return d.emit()
	}
	if d.rest[i] > d.room() || !d.homesLeft(ctx, i) {
		return false
	}
	k := d.order[i]
	return d.deal(ctx, d.job.blanks[k], d.ks[k], func(t *split.Tree) bool {
		d.trees[k] = t
		return d.next(ctx, i+1)
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
// tree while its parts lie on their scraps.
func (d *dealing) deal(ctx context.Context, b *blank, k int, cont func(*split.Tree) bool) bool {
	if k == 0 {
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
			if stop {
				return true
			}
		}
		return false
	}
	for _, w := range d.table.ways {
		sides := []bool{true, false}
		if k == 1 && d.exclusive {
			sides = sides[:1] // the other side comes to the same
		}
		for _, near := range sides {
			for _, s := range d.sitesFor(0) {
				if d.spend(1) || ctx.Err() != nil {
					return true
				}
				level, ok := d.furthest(ctx, b, w, near, s)
				if !ok {
					continue
				}
				bite, rest := d.table.cutAt(b, w, level)
				if !near {
					bite, rest = rest, bite
				}
				leaf := &split.Tree{Scrap: s}
				if bite == nil || rest.area > d.room() || !d.put(ctx, s, bite, leaf) {
					continue
				}
				stop := d.deal(ctx, rest, k-1, func(t *split.Tree) bool {
					tree := &split.Tree{Way: w, LevelMM: level, Near: leaf, Far: t}
					if !near {
						tree.Near, tree.Far = tree.Far, tree.Near
					}
					return cont(tree)
				})
				d.take(s)
				if stop {
					return true
				}
			}
		}
	}
	return false
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

// packEffort is how hard fit.Pack tries before a scrap counts as full.
const packEffort = 1

// put lays a part on a scrap beside what lies there.
func (d *dealing) put(ctx context.Context, s int, b *blank, leaf *split.Tree) bool {
	site := &d.table.sites[s]
	if _, ok := d.table.fitsOn(ctx, b, site); !ok {
		return false
	}
	parts := d.with(s, b)
	if len(parts) > 1 {
		if b.area > d.free[s] || d.spend(4) {
			return false
		}
		if _, ok := d.table.together(ctx, parts, site, packEffort); !ok {
			d.gaveUp = true // full, as far as packing can tell
			return false
		}
	}
	d.content[s] = append(d.content[s], laid{b, leaf})
	d.free[s] -= b.area
	return true
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

// furthest is how far a part can go on a scrap beside what lies there.
func (d *dealing) furthest(ctx context.Context, b *blank, w split.Way, near bool, s int) (float64, bool) {
	site := &d.table.sites[s]
	alone, ok := d.table.furthest(ctx, b, w, near, site)
	if !ok || len(d.content[s]) == 0 {
		return alone, ok
	}
	var spans []split.Span
	for _, p := range b.spansOf(w) {
		if near {
			p.Hi = min(p.Hi, alone)
		} else {
			p.Lo = max(p.Lo, alone)
		}
		if p.Hi > p.Lo {
			spans = append(spans, p)
		}
	}
	return bisect(spans, near, func(level float64) bool {
		if d.spend(4) || ctx.Err() != nil {
			return false
		}
		part := d.table.part(b, w, level, near)
		if part == nil || part.area > d.free[s] {
			return false
		}
		_, ok := d.table.together(ctx, d.with(s, part), site, packEffort)
		if !ok {
			d.gaveUp = true
		}
		return ok
	})
}

// emit makes a plan of where everything lies now; true means there are enough.
func (d *dealing) emit() bool {
	for s, parts := range d.content {
		if len(parts) == 0 {
			continue
		}
		// The question was answered when the last part was laid.
		at, ok := d.table.together(context.Background(), d.with(s), &d.table.sites[s], packEffort)
		if !ok {
			d.gaveUp = true
			return false
		}
		for k, l := range parts {
			l.leaf.Placement = at[k]
		}
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
	if s := signature(m, d.table.scraps); !d.seen[s] {
		d.seen[s] = true
		d.plans = append(d.plans, m)
	}
	return len(d.plans) >= d.enough
}
