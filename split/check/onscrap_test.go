package check

import (
	"math"
	"slices"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// Of parts by themselves the same is proved as of a whole plan, in every plan that is
// right or has something wrong with where its parts lie.
func TestOnScrapIsAsOption(t *testing.T) {
	t.Parallel()
	lie := []Rule{Placement, Face, Fabric, Use, Grain, Overhang, Hole, Gap}
	cases, seen := append([]broken{{"nothing", func(*plan.Document, *plan.Option) {}, nil}}, faults...), 0
	for _, c := range cases {
		if slices.ContainsFunc(c.rules, func(r Rule) bool { return !slices.Contains(lie, r) }) {
			continue
		}
		seen++
		d := garment(t)
		o := &d.Options[0]
		c.do(d, o)
		count := map[Rule]int{}
		for _, f := range Option(d, 0) {
			count[f.Rule]++
		}
		var laid []*Lying
		var on []*OnScrap
		for i := range o.Parts {
			p := &o.Parts[i]
			s := slices.IndexFunc(d.Scraps, func(s plan.Scrap) bool { return s.Name == p.Scrap && s.Copy == p.ScrapCopy })
			piece := slices.IndexFunc(d.Pieces, func(q plan.Piece) bool { return q.Name == p.Piece && q.Copy == p.Copy })
			require.GreaterOrEqual(t, min(s, piece), 0, c.name)
			scrap, err := NewOnScrap(d.Settings, d.Scraps[s])
			require.NoError(t, err)
			for k := range i { // parts of one scrap are asked of one
				if o.Parts[k].Scrap == p.Scrap && o.Parts[k].ScrapCopy == p.ScrapCopy {
					scrap = on[k]
				}
			}
			l := scrap.Lies(NewSingle(&d.Pieces[piece], p), p.Placement)
			for _, f := range l.Faults {
				count[f.Rule]--
			}
			for k := range i {
				if on[k] == scrap {
					for _, f := range scrap.Beside(l, laid[k]) {
						count[f.Rule]--
					}
				}
			}
			laid, on = append(laid, l), append(on, scrap)
		}
		for r, n := range count {
			require.Zero(t, n, "%s: %s", c.name, r)
		}
	}
	require.Greater(t, seen, 8)
	d := garment(t)
	scrap, err := NewOnScrap(d.Settings, d.Scraps[0])
	require.NoError(t, err)
	p := d.Options[0].Parts[0]
	require.NotEmpty(t, scrap.Lies(NewSingle(&d.Pieces[0], &p), [6]float64{1, 0, 0, 1, math.NaN(), 0}).Faults)
	p.CutLine = p.CutLine[:2]
	require.NotEmpty(t, scrap.Lies(NewSingle(&d.Pieces[0], &p), p.Placement).Faults)
}
