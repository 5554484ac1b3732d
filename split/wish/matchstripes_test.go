package wish

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

func TestMatchStripes(t *testing.T) {
	for line, want := range map[string]Wish{
		"match stripes":                      MatchStripes{},
		" Match  STRIPES at Side":            MatchStripes{"side"},
		"match stripes at left front/side":   MatchStripes{"left front/side"},
		"prefer match stripes at Front side": Prefer{MatchStripes{"front-side"}}, // as edges are named
		"match stripes at front/side seam":   MatchStripes{"front/side-seam"},
	} {
		w, err := Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, want, w)
		again, err := Parse(w.String())
		require.NoError(t, err, line)
		require.Equal(t, w, again)
	}
	for _, line := range []string{"match", "match stripes at", "match stripes on side", "match checks"} {
		_, err := Parse(line)
		require.ErrorContains(t, err, `"match stripes at side"`, line)
	}

	side := plan.StripeSeam{Edges: [2]string{"front/side", "back/side"}, Place: "at its lower end", LengthMM: 230, HoldsMM: 230, OffMM: 0.4, Meet: true}
	cap := plan.StripeSeam{Edges: [2]string{"back/armhole", "sleeve/cap"}, Place: "at a notch", LengthMM: 236, HoldsMM: 60, OffMM: 3, Meet: false}
	notch := cap
	notch.OffMM, notch.Meet = 0.2, true
	o := func(seams ...plan.StripeSeam) *plan.Option {
		return &plan.Option{StripeMatch: &plan.StripeMatch{Runs: "across", RepeatMM: 30, Seams: seams}}
	}
	through := o(side, side, notch)
	through.StripeMatch.Through = []string{"A", "B"}
	only := o() // no seam of the garment, and two piecing seams
	only.StripeMatch.Through = []string{"A", "B"}
	off := side
	off.OffMM, off.Meet = 7, false
	for _, c := range []struct {
		wish MatchStripes
		o    *plan.Option
		kept bool
		how  string
	}{
		{MatchStripes{}, &plan.Option{}, false, "the parts were not laid for it"},
		{MatchStripes{}, o(), false, "stripes meet at no seam of the garment"},
		{MatchStripes{}, through, true, "stripes meet at front/side to back/side within 0.4 mm all along; back/armhole to sleeve/cap within 0.2 mm at a notch, and for 60 of 236 mm beside it within 2 mm; they run on through A and B within 0.0 mm"},
		{MatchStripes{}, o(side, cap), true, "stripes meet at front/side to back/side within 0.4 mm all along; they cannot meet too where the other seams have settled them already: back/armhole to sleeve/cap, 3 mm off at a notch"},
		{MatchStripes{"armhole"}, o(cap), false, "at back/armhole to sleeve/cap they are 3 mm off"},
		{MatchStripes{"side"}, through, true, "stripes meet at front/side to back/side within 0.4 mm all along"},
		{MatchStripes{"hem"}, only, false, "stripes meet at no seam of the garment"},
		{MatchStripes{}, only, true, "stripes meet at no seam of the garment; they run on through A and B within 0.0 mm"},
		{MatchStripes{}, o(off), false, "at front/side to back/side they are 7 mm off"},
	} {
		kept, how := c.wish.Kept(nil, c.o)
		require.Equal(t, c.kept, kept, how)
		require.Equal(t, c.how, how)
	}
}
