package split_test

import (
	"testing"

	"eke/split"
	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// What is said of a dart taken in is held against the parts: each thing that
// could be wrong with it is found.
func TestProofOfDarts(t *testing.T) {
	back := only(sample(t, "blouse.svg"), "back")
	for name, c := range map[string]struct {
		spoil func(*plan.Document, *plan.Option)
		rule  check.Rule
	}{
		"one more is counted": {func(_ *plan.Document, o *plan.Option) { o.DartsTakenIn++ }, check.TakenDart},
		"one is not told":     {func(_ *plan.Document, o *plan.Option) { o.Moved[0].Darts = o.Moved[0].Darts[:1]; o.DartsTakenIn = 1 }, check.Moved},
		"one is told twice":   {func(_ *plan.Document, o *plan.Option) { o.Moved[0].Darts[1] = o.Moved[0].Darts[0] }, check.TakenDart},
		"no such dart":        {func(_ *plan.Document, o *plan.Option) { o.Moved[0].Darts[0].Drawn[1][0] += 1 }, check.TakenDart},
		"legs of two lengths": {func(_ *plan.Document, o *plan.Option) { o.Moved[0].Darts[0].Sewn[0][1] += 2 }, check.TakenDart},
		"wider than drawn": {func(_ *plan.Document, o *plan.Option) {
			d := &o.Moved[0].Darts[0].Sewn
			d[0][0], d[2][0] = d[0][0]-1, d[2][0]+1
		}, check.TakenDart},
		"its apex off the seam":    {func(_ *plan.Document, o *plan.Option) { o.Moved[0].Darts[0].Sewn[1][1] += 0.5 }, check.TakenDart},
		"out of reach":             {func(d *plan.Document, _ *plan.Option) { d.DartReachMM = 3 }, check.TakenDart},
		"a seam that is not there": {func(_ *plan.Document, o *plan.Option) { o.Moved[0].Darts[0].Seam = "B" }, check.Names},
		"no outline after it":      {func(_ *plan.Document, o *plan.Option) { o.Moved = nil; o.DartsTakenIn = 0 }, check.Missing},
		"a seam turned by too little": {func(_ *plan.Document, o *plan.Option) {
			o.Moved[0].Darts[0].Sewn[0][0] += 0.4
			o.Moved[0].Darts[0].Sewn[2][0] -= 0.4
		}, check.SeamLine},
		"a notch that has no fellow": {func(_ *plan.Document, o *plan.Option) { n := o.Parts[1].Notches; n[len(n)-1].At[0] += 2 }, check.NotchMate},
	} {
		t.Run(name, func(t *testing.T) {
			_, d := proved(t, cutting(back, "back", byHand(t, split.Yoke{}, below(255))), back)
			require.Equal(t, 2, d.Options[0].DartsTakenIn)
			c.spoil(d, &d.Options[0])
			var rules []check.Rule
			for _, f := range check.Document(d) {
				rules = append(rules, f.Rule)
			}
			require.Contains(t, rules, c.rule)
		})
	}
}
