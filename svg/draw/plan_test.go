package draw

import (
	"bytes"
	"io"
	"slices"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"
)

// Drawings of one plan may be made at the same time, and in any order: each is
// as it is alone.
func TestDrawingsOfOnePlan(t *testing.T) {
	t.Parallel()
	d := tshirt()
	var all []func(p *Plan, w io.Writer) error
	for k := range d.Options {
		all = append(all,
			func(p *Plan, w io.Writer) error { return p.Pieces(w, k) },
			func(p *Plan, w io.Writer) error { return p.Layout(w, k) },
			func(p *Plan, w io.Writer) error {
				pictures, _, err := p.Garment(k)
				for _, one := range pictures {
					io.WriteString(w, one.SVG)
				}
				return err
			})
		for i := range d.Options[k].Parts {
			all = append(all, func(p *Plan, w io.Writer) error { return p.Part(w, k, i) })
		}
	}
	got := make([]bytes.Buffer, len(all))
	p := Of(d)
	var g errgroup.Group
	for i, draw := range all {
		g.Go(func() error { return draw(p, &got[i]) })
	}
	require.NoError(t, g.Wait())
	for i, draw := range all {
		var alone bytes.Buffer
		require.NoError(t, draw(Of(d), &alone))
		require.NotZero(t, alone.Len())
		require.Equal(t, alone.String(), got[i].String())
	}
}

// A whole piece is drawn as the part of a plan that is all of it, whose lines
// went through path data.
func TestPiecesAreDrawnAsParts(t *testing.T) {
	t.Parallel()
	p := &piece.Piece{Name: "piece", GrainDeg: 90, Count: 1, Copy: 1, Outline: piece.Outline{
		{Name: "top", Line: curve.Polyline(orb.Point{0, 0}, orb.Point{200.0 / 3, 1.0 / 7}, orb.Point{200, 0}), AllowanceMM: 10},
		{Name: "side", Line: curve.Polyline(orb.Point{200, 0}, orb.Point{180, 300}), AllowanceMM: 15, Notches: []piece.Notch{{AtMM: 100, Count: 2}}, Joins: []piece.Ref{{Piece: "back", Edge: "side"}}},
		{Name: "hem", Line: curve.Polyline(orb.Point{180, 300}, orb.Point{0, 300}), AllowanceMM: 30},
		{Name: "armhole", Line: curve.Path{curve.Cubic(orb.Point{0, 300}, orb.Point{60, 200}, orb.Point{60, 100}, orb.Point{0, 0})}, AllowanceMM: 10},
	}}
	cut, err := split.CutPath(p, p.Outline)
	require.NoError(t, err)
	got, err := PieceShape(p, cut)
	require.NoError(t, err)

	made, err := split.Make(&split.Plan{Pieces: []*piece.Piece{p}, Trees: []*split.Tree{{}}}, piece.DefaultAllowanceMM)
	require.NoError(t, err)
	r := split.Record{Settings: plan.Settings{AllowanceMM: piece.DefaultAllowanceMM}, Drawn: []*piece.Piece{p}, Plans: []*split.Made{made}}
	want, err := Of(r.Document()).PartShape(0, 0)
	require.NoError(t, err)
	require.Equal(t, want.Region, got.Region)
	require.Equal(t, ownLines(want), ownLines(got))
}

// ownLines are a shape's lines but the grain and what leads to labels, which lie
// where the words leave room.
func ownLines(s Shape) []Line {
	return slices.DeleteFunc(slices.Clone(s.Lines), func(l Line) bool { return l.Stroke == Grain || l.Stroke == GrainTip || l.Stroke == Leader })
}

// A piece's edges must follow one another and its cutting line be closed.
func TestPiecesThatCannotBeDrawn(t *testing.T) {
	t.Parallel()
	square := curve.Polyline(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 100}, orb.Point{0, 0})
	whole := &piece.Piece{Name: "piece", Outline: piece.Outline{{Name: "rim", Line: square}}}
	_, err := PieceShape(whole, square)
	require.NoError(t, err)
	_, err = PieceShape(whole, square[:2])
	require.ErrorContains(t, err, "not closed")
	_, err = PieceShape(whole, nil)
	require.ErrorContains(t, err, "not closed")
	_, err = PieceShape(&piece.Piece{Name: "piece", Outline: piece.Outline{{Name: "rim", Line: square[:2]}}}, square)
	require.ErrorContains(t, err, "from where the next begins")
	_, err = PieceShapes([]*piece.Piece{whole}, nil)
	require.ErrorContains(t, err, "1 pieces were given with 0 cutting lines")
}
