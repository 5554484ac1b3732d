package draw

import (
	"bytes"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A pattern that is written is read as the pieces that it was written of.
func TestPatternIsReadBack(t *testing.T) {
	t.Parallel()
	outline := append(curve.Polyline(orb.Point{0, 300}, orb.Point{0, 40}, orb.Point{80, 0}), curve.Cubic(orb.Point{80, 0}, orb.Point{60, 90}, orb.Point{120, 140}, orb.Point{160, 150}))
	outline = append(outline, curve.Polyline(orb.Point{160, 150}, orb.Point{165, 300}, orb.Point{0, 300})...)
	line := func(p curve.Path) piece.DraftLine { return piece.DraftLine{Element: "it", Line: p} }
	back := piece.Draft{
		Name: "back & <more>", Outline: piece.DraftLine{Line: outline, Closed: true}, AllowanceMM: 12, Kind: "woven", Use: piece.UseLining,
		Grains: []piece.DraftLine{line(curve.Polyline(orb.Point{40, 100}, orb.Point{40, 60}))},
		Folds:  []piece.DraftLine{line(outline[:1])},
		Edges: []piece.DraftEdge{
			{DraftLine: line(outline[2:3]), Name: "armhole", AllowanceMM: 8, Joins: []piece.Ref{{Piece: "Sleeve 2", Edge: "cap-all"}}, Ease: piece.Ease{MM: 30}},
			{DraftLine: line(outline[3:4]), Name: "side", AllowanceMM: -1},
		},
		Notches: []piece.DraftLine{line(curve.Polyline(orb.Point{158, 220}, orb.Point{167, 220}))},
		Darts:   []piece.DraftLine{line(curve.Polyline(orb.Point{60, 300}, orb.Point{70, 200}, orb.Point{80, 300}))},
		Levels:  []piece.DraftLine{line(curve.Polyline(orb.Point{0, 170}, orb.Point{170, 170}))},
		Keeps:   []piece.DraftLine{{Line: curve.Polyline(orb.Point{20, 60}, orb.Point{60, 60}, orb.Point{60, 90}, orb.Point{20, 60}), Closed: true}},
	}
	square := curve.Polyline(orb.Point{500, 0}, orb.Point{650, 0}, orb.Point{650, 200}, orb.Point{500, 200}, orb.Point{500, 0})
	sleeve := piece.Draft{
		Name: "Sleeve 2", Outline: piece.DraftLine{Line: square, Closed: true}, Count: 2, Mirrored: true, Side: "left", Fabrics: []string{"silk", "satin"}, AllowanceMM: 10,
		Grains: []piece.DraftLine{line(curve.Polyline(orb.Point{600, 20}, orb.Point{600, 60}))},
		Edges:  []piece.DraftEdge{{DraftLine: line(square[:1]), Name: "cap-all", AllowanceMM: 10}},
	}
	var b bytes.Buffer
	require.NoError(t, Pattern(&b, "Lining of it", "about", []piece.Draft{back, sleeve}))
	got, err := svg.Pattern(bytes.NewReader(b.Bytes()), "p.svg")
	require.NoError(t, err)
	require.Len(t, got, 2)
	for i, d := range []piece.Draft{back, sleeve} {
		want, err := piece.Make(d)
		require.NoError(t, err)
		p := got[i]
		assert.Equal(t, []any{want.Name, want.Count, want.Mirrored, want.Side, want.Fabrics, want.Kind, want.Use}, []any{p.Name, p.Count, p.Mirrored, p.Side, p.Fabrics, p.Kind, p.Use})
		assert.InDelta(t, want.GrainDeg, p.GrainDeg, 1e-6)
		assert.Equal(t, [3]int{len(want.Darts), len(want.Levels), len(want.Keeps)}, [3]int{len(p.Darts), len(p.Levels), len(p.Keeps)})
		assert.Equal(t, want.Centre == nil, p.Centre == nil)
		require.Len(t, p.Outline, len(want.Outline))
		for k, e := range want.Outline {
			f := p.Outline[k]
			assert.Equal(t, []any{e.Name, e.AllowanceMM, e.Ease}, []any{f.Name, f.AllowanceMM, f.Ease})
			assert.InDelta(t, e.Line.Length(), f.Line.Length(), 1e-3)
			assert.Len(t, f.Notches, len(e.Notches))
			assert.Len(t, f.Line, len(e.Line))
		}
	}
	assert.Equal(t, []piece.Ref{{Piece: "Sleeve 2", Edge: "cap-all"}}, got[0].Outline[got[0].Outline.Edge("armhole")[0]].Joins)
}
