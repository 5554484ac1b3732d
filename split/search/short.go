package search

import (
	"context"
	"math"
	"sort"

	"eke/piece"
	"eke/split/fit"
	"eke/split/plan"
)

// Misfit says how a whole piece lies on a scrap: by how much it hangs off
// along and across the grain, in mm; 0 and 0 where it fits.
type Misfit struct {
	Piece, Scrap      string
	AlongMM, AcrossMM float64
	Fits              bool
	Forbidden         bool // a rule keeps the piece off this scrap
}

// Fit lays every piece, whole and alone, on every scrap. Like copies of a
// piece or a scrap are asked once.
func Fit(ctx context.Context, pieces []*piece.Piece, scraps []piece.Scrap, o Options) ([]Misfit, error) {
	t := newTable(scraps, o.withDefaults())
	var out []Misfit
	for _, p := range pieces {
		b := newBlank(p, p.Outline, p.Name)
		for i := range t.sites {
			s := &t.sites[i]
			if s.scrap.Copy > 1 {
				continue
			}
			out = append(out, t.misfit(ctx, b, s))
			if err := ctx.Err(); err != nil {
				return out, err
			}
		}
	}
	return out, nil
}

func (t *table) misfit(ctx context.Context, b *blank, s *site) Misfit {
	m := Misfit{Piece: b.piece.Name, Scrap: s.scrap.Name, Forbidden: !t.allowed(b.piece, s.scrap)}
	if m.Forbidden {
		return m
	}
	if _, m.Fits = t.fitsOn(ctx, b, s); m.Fits {
		return m
	}
	_, m.AlongMM, m.AcrossMM = fit.Overhang(ctx, s.cloth, b.shape, turns(b.piece, s.scrap, t.options.GrainToleranceDeg), s.scrap.GrainDeg)
	return m
}

// Short says, for each piece that fits no scrap whole, which scrap comes
// closest and by how much it is short, and what the best single split would
// still lack. It is empty where every piece fits some scrap by itself.
func Short(ctx context.Context, pieces []*piece.Piece, scraps []piece.Scrap, o Options) []plan.Short {
	t := newTable(scraps, o.withDefaults())
	var out []plan.Short
	for _, p := range pieces {
		b := newBlank(p, p.Outline, p.Name)
		var misfits []Misfit
		for i := range t.sites {
			if s := &t.sites[i]; s.scrap.Copy <= 1 {
				if m := t.misfit(ctx, b, s); !m.Forbidden {
					misfits = append(misfits, m)
				}
			}
		}
		if len(misfits) == 0 {
			out = append(out, plan.Short{Piece: p.Name, Split: "no scrap of its fabric"})
			continue
		}
		sort.SliceStable(misfits, func(i, j int) bool {
			return misfits[i].AlongMM+misfits[i].AcrossMM < misfits[j].AlongMM+misfits[j].AcrossMM
		})
		m := misfits[0]
		if m.Fits {
			continue
		}
		out = append(out, plan.Short{Piece: p.Name, Scrap: m.Scrap, AlongMM: m.AlongMM, AcrossMM: m.AcrossMM})
		if s, ok := t.shortOfSplit(ctx, b); ok {
			out = append(out, s)
		}
	}
	return out
}

// shortOfSplit is what the best single cut leaves uncovered: the far part
// starts where some scrap can take it up, the near part ends where another
// gives out.
func (t *table) shortOfSplit(ctx context.Context, b *blank) (plan.Short, bool) {
	best := plan.Short{Piece: b.piece.Name}
	least, found := math.Inf(1), false
	for _, w := range t.ways {
		nearAt, nearOn := math.Inf(-1), ""
		farAt, farOn := math.Inf(1), ""
		for i := range t.sites {
			s := &t.sites[i]
			if l, ok := t.furthest(ctx, b, w, true, s); ok && l > nearAt {
				nearAt, nearOn = l, s.scrap.Name
			}
			if l, ok := t.furthest(ctx, b, w, false, s); ok && l < farAt {
				farAt, farOn = l, s.scrap.Name
			}
		}
		gap := math.Max(0, farAt-nearAt)
		if nearOn == "" || farOn == "" || gap >= least {
			continue
		}
		least, found = gap, true
		near, far := w.Sides()
		best.Scrap = nearOn + " + " + farOn
		best.Split = w.Kind() + ", " + near + " from " + nearOn + ", " + far + " from " + farOn
		best.AlongMM, best.AcrossMM = gap, 0
		if w.Kind() != "yoke" {
			best.AlongMM, best.AcrossMM = 0, gap
		}
	}
	return best, found
}
