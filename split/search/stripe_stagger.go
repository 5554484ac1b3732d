package search

import (
	"context"
	"math"

	"eke/split"
)

// Upright joins of neighbouring stripes are staggered, as bricks are: one above the
// other would read as one seam down the garment. (Common practice, no source.)
const staggerMM = 40.0

// stagger slides the upright joins of rows apart from those above and below, as far
// as the parts still lie on their bins.
func (s *striper) stagger(ctx context.Context, l *stripeLayout, st *stripeState, rows []stripeRow) {
	type upright struct {
		copy, band, row int
		at              *split.Tree
	}
	var all []upright
	for r := range rows {
		for t := rows[r].at; t.Way != nil; t = t.Far {
			all = append(all, upright{rows[r].copy, rows[r].band, r, t})
		}
	}
	crowd := func(u upright, level float64) (sum float64) {
		for _, o := range all {
			if o.copy == u.copy && o.at != u.at && (o.band == u.band+1 || o.band == u.band-1) {
				sum += math.Max(0, staggerMM-math.Abs(o.at.LevelMM-level))
			}
		}
		return sum
	}
	for _, u := range all {
		least := crowd(u, u.at.LevelMM)
		if least == 0 {
			continue
		}
		best := u.at.LevelMM
		for by := 5.0; by <= 2*staggerMM; by += 5 {
			for _, level := range []float64{u.at.LevelMM - by, u.at.LevelMM + by} {
				if c := crowd(u, level); c < least-1 && s.recut(ctx, st, rows[u.row], u.row, u.at, level, false) {
					best, least = level, c
				}
			}
		}
		if best != u.at.LevelMM {
			s.recut(ctx, st, rows[u.row], u.row, u.at, best, true)
		}
	}
}

// recut reports whether the parts of a row still lie on their bins with one of its
// cuts at another level, and moves it there if it is to.
func (s *striper) recut(ctx context.Context, st *stripeState, row stripeRow, r int, at *split.Tree, level float64, keep bool) bool {
	var parts []*blank
	var leaves []*split.Tree
	cur, t := row.part, row.at
	for ; t.Way != nil; t = t.Far {
		to := t.LevelMM
		if t == at {
			to = level
		}
		if !split.In(cur.spansOf(t.Way), to) {
			return false
		}
		near, far := s.table.cutAt(cur, t.Way, to)
		if near == nil || split.Sound(near.Outline) != nil || split.Sound(far.Outline) != nil {
			return false
		}
		parts, leaves, cur = append(parts, near), append(leaves, t.Near), far
	}
	parts, leaves = append(parts, cur), append(leaves, t)
	type place struct{ bin, k int }
	var places []place
	for _, leaf := range leaves {
		for i := range st.on {
			for k := range st.on[i] {
				if st.on[i][k].leaf == leaf {
					places = append(places, place{i, k})
				}
			}
		}
	}
	if len(places) != len(parts) {
		return false
	}
	was := make([]*blank, len(parts))
	for i, p := range places {
		was[i], st.on[p.bin][p.k].part = st.on[p.bin][p.k].part, parts[i]
	}
	ok := true
	for i, p := range places {
		if parts[i].key == was[i].key {
			continue
		}
		if _, fits := s.table.packTogether(ctx, st.with(p.bin), &s.table.bins[p.bin], stripePoses); !fits {
			ok = false
			break
		}
	}
	for i, p := range places {
		if !ok || !keep {
			st.on[p.bin][p.k].part = was[i]
		} else {
			st.free[p.bin] += was[i].area - parts[i].area
		}
	}
	if ok && keep {
		at.LevelMM = level
	}
	return ok
}
