package draw_test

import (
	"bytes"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/svg"
	"eke/svg/draw"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Lines that are written and read over and over stay where they are, with their curves,
// to a nanometre; and after the first time the file is the same to the byte.
func TestDrawnPileDoesNotWander(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		number := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "mm") }
		off := orb.Point{number(-900, 900), number(-900, 900)}
		at := func(x, y float64) orb.Point { return orb.Point{off[0] + x + number(0, 9), off[1] + y + number(0, 9)} }
		a, b, c := at(0, 0), at(100, 0), at(100, 100)
		s := piece.DrawnScrap{Scrap: piece.Scrap{Name: "one", Count: 1, Shrink: 2.5}, Rim: curve.Path{curve.Line(a, b), curve.Cubic(b, at(140, 40), at(120, 80), c), curve.Line(c, a)}, Grain: curve.Line(at(60, 30), at(60, 50))}
		h := at(70, 30) // of a flaw that cannot cross itself, however it is drawn
		s.Cutouts = []piece.Cutout{{Line: curve.Path{curve.Cubic(h, at(100, 30), at(100, 45), at(70, 45)), curve.Line(h, h)}, Flaw: true}}
		s.Cutouts[0].Line[1].P0 = s.Cutouts[0].Line[0].P1
		s.Outline = orb.Ring(s.Rim.Flatten(0.01))
		pile, grounds := []piece.DrawnScrap{s}, []piece.Ground{{File: "a & b.jpg", Box: orb.Bound{Min: off, Max: at(200, 200)}}}
		was := ""
		for round := range 4 {
			var out bytes.Buffer
			require.NoError(t, draw.DrawnPile(&out, "Scraps", "", pile, grounds))
			if round > 1 {
				require.Equal(t, was, out.String())
			}
			was = out.String()
			var err error
			pile, grounds, err = svg.ReadDrawnScraps(&out, "a.svg")
			require.NoError(t, err)
		}
		require.Equal(t, "a & b.jpg", grounds[0].File)
		require.InDelta(t, 2.5, pile[0].Shrink, 1e-9)
		require.True(t, pile[0].Rim[1].Curved && !pile[0].Rim[0].Curved && pile[0].Cutouts[0].Flaw)
		by := curve.Shift(pile[0].Rim[0].P0[0]-a[0], pile[0].Rim[0].P0[1]-a[1])
		for i, seg := range s.Rim.Transform(by) {
			for k, q := range []orb.Point{seg.P0, seg.C0, seg.C1, seg.P1} {
				got := []orb.Point{pile[0].Rim[i].P0, pile[0].Rim[i].C0, pile[0].Rim[i].C1, pile[0].Rim[i].P1}[k]
				if seg.Curved || k%3 == 0 {
					require.InDeltaSlice(t, q[:], got[:], 1e-6)
				}
			}
		}
		require.InDelta(t, off[0]+pile[0].Rim[0].P0[0]-a[0], grounds[0].Box.Min[0], 1e-6, "the photograph goes with them")
	})
}
