package draw

import (
	"testing"

	"eke/piece/curve"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// The cutting line is drawn with the curves that the plan gives, and as the
// polygon where it gives none.
func TestCuttingLineIsDrawnAsGiven(t *testing.T) {
	d := tshirt()
	p := &d.Options[0].Parts[0]
	cutting := func() curve.Path {
		s, err := Of(d).PartShape(0, 0)
		require.NoError(t, err)
		for _, l := range s.Lines {
			if l.Stroke == Cutting {
				return l.Path
			}
		}
		return nil
	}
	require.Len(t, cutting(), len(p.CutLine))
	p.CutD = "M-10,-10 C300,-40 300,660 -10,640 L-10,-10"
	drawn := cutting()
	require.Equal(t, p.CutD, drawn.D())
	require.True(t, drawn[0].Curved)
	s, err := Of(d).PartShape(0, 0)
	require.NoError(t, err)
	for _, q := range s.Region {
		_, away := drawn.Nearest(orb.Point(q))
		require.Less(t, away, 0.06)
	}
	for name, bad := range map[string]string{"open": "M0,0 L10,0 L10,10", "no path": "circle", "empty": "M0,0"} {
		p.CutD = bad
		_, err := Of(d).PartShape(0, 0)
		require.ErrorContains(t, err, `part "`+plan.Part(*p).Name+`"`, name)
	}
}
