package search

import (
	"context"
	"math"
	"slices"
	"sort"

	"eke/piece"
	"eke/split"
	"eke/split/plan"
)

// Short says, for each piece that fits no scrap whole, which scrap comes
// closest and by how much it is short, and then what the best single split
// would still lack. Checked says that each piece was looked at to the end, so
// that one which is not listed fits some scrap by itself; rows that the time
// did not reach are marked. All pieces are first looked at whole.
func Short(ctx context.Context, pieces []*piece.Piece, scraps []piece.Scrap, o Options) (rows []plan.Short, checked bool) {
	t := newTable(scraps, o.withDefaults())
	blanks := make([]*blank, len(pieces))
	whole := make([]*plan.Short, len(pieces))
	checked = true
	for i, p := range pieces {
		row := &plan.Short{Piece: p.Name}
		switch {
		case !t.hasCloth(p):
			row.Split = t.lacks(p)
		case ctx.Err() != nil:
			row.NotChecked = true
		default:
			if blanks[i] = newBlank(p, p.Outline, p.Name); blanks[i] == nil {
				row.Split = unsound(p).Error()
				break
			}
			m := t.closest(ctx, blanks[i])
			row.Scrap, row.AlongMM, row.AcrossMM = m.Scrap, m.AlongMM, m.AcrossMM
			if m.Fits {
				row = nil
			} else if ctx.Err() != nil {
				row = &plan.Short{Piece: p.Name, NotChecked: true}
			}
		}
		whole[i] = row
		checked = checked && (row == nil || !row.NotChecked)
	}
	for i, p := range pieces {
		if whole[i] == nil {
			continue
		}
		rows = append(rows, *whole[i])
		if whole[i].Scrap == "" {
			continue
		}
		s, ok := t.shortOfSplit(ctx, blanks[i])
		switch {
		case ctx.Err() != nil:
			rows, checked = append(rows, plan.Short{Piece: p.Name, Split: "one seam", NotChecked: true}), false
		case ok:
			rows = append(rows, s)
		}
	}
	return rows, checked
}

// lacks says what cloth there is none of for a piece.
func (t *table) lacks(p *piece.Piece) string {
	some := func(rules ...piece.Rule) bool {
		return slices.ContainsFunc(t.bins, func(s bin) bool {
			return !slices.ContainsFunc(rules, func(r piece.Rule) bool { return !r.MayCut(p, s.scrap) })
		})
	}
	switch {
	case !some(piece.FabricRule{}):
		return "no scrap of its fabric"
	case some(piece.FabricRule{}, piece.KindRule{}) && p.Use == "":
		return "no scrap but for the lining"
	case some(piece.FabricRule{}, piece.KindRule{}):
		return "no scrap kept for the lining"
	case len(p.Fabrics) == 0:
		return "no " + p.Kind + " scrap"
	}
	return "no " + p.Kind + " scrap of its fabric"
}

// hasCloth reports whether a piece may be cut from some scrap.
func (t *table) hasCloth(p *piece.Piece) bool {
	return slices.ContainsFunc(t.bins, func(s bin) bool { return t.allowed(p, s.scrap) })
}

// closest is the scrap that lacks least for the whole piece. The excess of the
// extents is a certain bound on what a scrap lacks, so most need not be tried.
func (t *table) closest(ctx context.Context, b *blank) (best Misfit) {
	type candidate struct {
		s     *bin
		bound float64
	}
	var near []candidate
	for i := range t.bins {
		s := &t.bins[i]
		if s.scrap.Copy > 1 || !t.allowed(b.piece, s.scrap) {
			continue
		}
		along, across := t.extentExcess(b.length, b.width, s)
		near = append(near, candidate{s, along + across})
	}
	sort.SliceStable(near, func(i, j int) bool { return near[i].bound < near[j].bound })
	least := math.Inf(1)
	for _, c := range near {
		if c.bound >= least {
			break
		}
		m := t.misfit(ctx, b, c.s)
		if m.Fits {
			return m
		}
		if m.AlongMM+m.AcrossMM < least {
			best, least = m, m.AlongMM+m.AcrossMM
		}
	}
	return best
}

// shortOfSplit is what the best single cut leaves uncovered. The near part ends
// where its bin gives out, and the far part starts where another can take it up.
func (t *table) shortOfSplit(ctx context.Context, b *blank) (plan.Short, bool) {
	best := plan.Short{Piece: b.piece.Name}
	least, found := math.Inf(1), false
	for _, w := range t.ways {
		if w.Traits().Runs == split.Slanting {
			continue // what it lacks is neither along nor across the grain
		}
		for _, n := range t.furthestTwo(ctx, b, w, true) {
			for _, f := range t.furthestTwo(ctx, b, w, false) {
				gap := math.Max(0, f.level-n.level)
				if n.bin == f.bin || gap >= least {
					continue
				}
				near, far := split.SidesOf(w, b.Body, n.level)
				least, found = gap, true
				best.Scrap = n.bin.scrap.Name + " + " + f.bin.scrap.Name
				best.Split = split.CalledAt(w, b.Body, n.level) + ", " + near + " from " + n.bin.scrap.Name + ", " + far + " from " + f.bin.scrap.Name
				best.AlongMM, best.AcrossMM = gap, 0
				if w.Traits().Runs == split.Along {
					best.AlongMM, best.AcrossMM = 0, gap
				}
			}
		}
	}
	return best, found
}

// extent is how far a part of a cut can go on a bin.
type extent struct {
	bin   *bin
	level float64
}

// furthestTwo are the two bins on which a part can go furthest. There are two, for
// one bin cannot hold both parts.
func (t *table) furthestTwo(ctx context.Context, b *blank, w split.Way, near bool) []extent {
	var all []extent
	for i := range t.bins {
		if l, ok := t.furthest(ctx, b, w, near, &t.bins[i]); ok {
			all = append(all, extent{&t.bins[i], l})
		}
	}
	sort.SliceStable(all, func(i, j int) bool {
		if near {
			return all[i].level > all[j].level
		}
		return all[i].level < all[j].level
	})
	return all[:min(2, len(all))]
}
