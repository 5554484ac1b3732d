package search

import (
	"context"
	"iter"

	"eke/split"
)

// growing is growth beside the search, a share of its work at a time: most searches find
// a plan before it is of use.
type growing struct {
	driver *driver
	resume func() (*split.Made, bool) // a plan, or nil where it pauses; false at the end
	stop   func()
	work   int64 // so far, in tries
	covers bool  // it has grown what it can, and is to cover
}

const (
	// growStart is how much work growth may be as soon as the first turn of an iteration has found nothing:
	// the next ones may take long,
	growStart = 120_000
	// growShare how much of the work of all else it may be beyond that,
	growShare = 0.5
	// and growEach how much in all for each copy, of growFew at least: where there are few,
	// backtracking soon comes to what growth does.
	growEach, growFew = 100_000, 4
	// After that, once all else is coverStart and no iteration has found a plan, it may be coverMost more to cover
	// every copy with parts beside each other: seldom does that help where backtracking is quick.
	coverStart, coverMost = 1_000_000, 400_000
)

// growMost is how much work growth may be in all.
func (d *driver) growMost() int64 { return growEach * int64(max(growFew, len(d.copies))) }

// growing begins with nothing done. Where it is not wanted it never does any.
func (d *driver) growing(ctx context.Context, wanted bool) *growing {
	g := &growing{driver: d}
	g.resume, g.stop = iter.Pull(func(yield func(*split.Made) bool) {
		for _, in := range d.variants {
			one := growth{instance: in, pause: func() bool { return g.work < d.growMost() && yield(nil) }}
			if m := one.grow(ctx); m != nil && !yield(m) {
				return
			}
		}
		g.covers = true
		if !yield(nil) {
			return
		}
		last := g.work + coverMost
		for _, in := range d.variants {
			if m := in.grid(ctx, func() bool { return g.work < last && yield(nil) }); m != nil && !yield(m) {
				return
			}
		}
	})
	if !wanted {
		g.stop()
	}
	return g
}

// next goes on until growth has had its share. It is a plan with fewer seams than another
// one, which may be nil, or else nil.
func (g *growing) next(ctx context.Context, other *split.Made) (fewer *split.Made) {
	d := g.driver
	for {
		before := d.table.work.Load()
		if ctx.Err() != nil || len(d.found) > 0 || g.covers && before-g.work < coverStart || float64(g.work) >= growStart+growShare*float64(before-g.work) {
			return fewer
		}
		m, more := g.resume()
		if !more {
			return fewer
		}
		g.work += d.table.work.Load() - before
		if m == nil || !d.admits(m) {
			continue
		}
		if other == nil || len(m.Seams) < len(other.Seams) {
			fewer, other = m, m
		}
	}
}
