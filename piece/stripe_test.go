package piece

import (
	"math"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A bit of a cloth has its stripes where the cloth has them.
func TestStripesOfABit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(what string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
		box := func() orb.Ring {
			x, y := draw("x", -500, 500), draw("y", -500, 500)
			return orb.Ring{{x, y}, {x + 80, y + 3}, {x + 60, y + 90}, {x - 10, y + 70}}
		}
		s := Stripe{RepeatMM: draw("repeat", 2, 200), FirstMM: draw("first", 0, 300), Along: rapid.Bool().Draw(t, "along")}
		grain := draw("grain", -180, 360)
		cloth, bit := box(), box()
		on := s.On(bit, cloth, grain)
		require.GreaterOrEqual(t, on.FirstMM, 0.0)
		require.LessOrEqual(t, on.FirstMM, s.RepeatMM)
		off := math.Remainder(on.Top(bit, grain)+on.FirstMM-s.Top(cloth, grain)-s.FirstMM, s.RepeatMM)
		require.InDelta(t, 0, off, 1e-6)
		across := AcrossStripes(grain, s.Along)
		require.InDelta(t, 1, plane.Length(across), 1e-9)
		require.True(t, across[1] > 0 && math.Abs(across[1]) >= math.Abs(across[0])-1e-9 || across[0] > 0)
	})
}

func TestStripeRule(t *testing.T) {
	cloth := func(repeat float64, along bool) *Scrap { return &Scrap{Stripe: Stripe{RepeatMM: repeat, Along: along}} }
	linked := &Piece{Stripes: &StripePlace{RepeatMM: 40, Linked: true}}
	single := &Piece{Stripes: &StripePlace{RepeatMM: 40, Loose: true}}
	for _, c := range []struct {
		p    *Piece
		s    *Scrap
		want bool
	}{
		{&Piece{}, cloth(0, false), true}, {&Piece{}, cloth(30, true), true},
		{linked, cloth(40, false), true}, {linked, cloth(20, false), true}, {linked, cloth(80, false), false},
		{linked, cloth(30, false), false}, {linked, cloth(40, true), false}, {linked, cloth(0, false), false},
		{single, cloth(0, false), true}, {single, cloth(30, true), true},
		{single.Tied(), cloth(0, false), true}, {single.Tied(), cloth(30, false), false}, {single.Tied(), cloth(40, false), true},
	} {
		require.Equal(t, c.want, StripeRule{}.MayCut(c.p, c.s), "%+v %+v", c.p.Stripes, c.s.Stripe)
	}
	require.True(t, single.Stripes.Loose)
	w := (&Scrap{Shrink: 10, Stripe: Stripe{RepeatMM: 40, FirstMM: 20}}).Washed()
	require.Equal(t, Stripe{RepeatMM: 36, FirstMM: 18}, w.Stripe)
}
