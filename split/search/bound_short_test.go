package search

import (
	"context"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func plainPiece(t *testing.T, name string, w, h, allowance float64) *piece.Piece {
	p, err := piece.Make(piece.Draft{
		Name: name, File: "p.svg", AllowanceMM: allowance, Bare: true,
		Outline: piece.DraftLine{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{w, 0}, orb.Point{w, h}, orb.Point{0, h}), Closed: true},
	})
	require.NoError(t, err)
	return p
}

func offcut(name string, w, h float64, count int) piece.Scrap {
	return piece.Scrap{Name: name, Outline: orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}}, GrainDeg: 90, Count: count}
}

// For rectangles what is missing is the difference of the sides, and of two
// parts that lie on two scraps what neither reaches, less a seam's allowances.
func TestShort(t *testing.T) {
	o := Options{MaxSeams: -1, AllowanceMM: 10}
	board := plainPiece(t, "board", 180, 480, 10) // 200 by 500 mm with its allowance
	for _, tt := range []struct {
		name   string
		scraps []piece.Scrap
		want   []plan.Short
	}{
		{"it fits", []piece.Scrap{offcut("a", 200, 500, 1)}, nil},
		{"one scrap alone cannot hold both parts", []piece.Scrap{offcut("a", 200, 460, 1)}, []plan.Short{{Piece: "board", Scrap: "a", AlongMM: 40}}},
		{"the nearer of two", []piece.Scrap{offcut("a", 200, 150, 1), offcut("b", 200, 300, 1)}, []plan.Short{
			{Piece: "board", Scrap: "b", AlongMM: 200},
			{Piece: "board", Scrap: "b + a", Split: "cross seam, upper from b, lower from a", AlongMM: 70},
		}},
		{"two alike", []piece.Scrap{offcut("a", 200, 250, 2)}, []plan.Short{
			{Piece: "board", Scrap: "a", AlongMM: 250},
			{Piece: "board", Scrap: "a + a", Split: "cross seam, upper from a, lower from a", AlongMM: 20},
		}},
		{"too narrow", []piece.Scrap{offcut("a", 90, 500, 2)}, []plan.Short{
			{Piece: "board", Scrap: "a", AcrossMM: 110},
			{Piece: "board", Scrap: "a + a", Split: "lengthwise seam, left from a, right from a", AcrossMM: 40},
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, checked := Short(context.Background(), []*piece.Piece{board}, tt.scraps, o)
			require.True(t, checked)
			require.Len(t, got, len(tt.want))
			for i, w := range tt.want {
				require.InDelta(t, w.AlongMM, got[i].AlongMM, 0.5, "%v", got[i])
				require.InDelta(t, w.AcrossMM, got[i].AcrossMM, 0.5, "%v", got[i])
				got[i].AlongMM, got[i].AcrossMM = w.AlongMM, w.AcrossMM
				require.Equal(t, w, got[i])
			}
		})
	}
}

// Where the time is up, what is known of a piece is not told as if it were all.
func TestStoppedMeasuring(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	pieces, cloth := []*piece.Piece{plainPiece(t, "board", 180, 480, 10)}, []piece.Scrap{offcut("a", 200, 460, 1)}
	_, err := Fit(ctx, pieces, cloth, Options{})
	require.ErrorIs(t, err, context.Canceled)
	rows, checked := Short(ctx, pieces, cloth, Options{})
	require.False(t, checked)
	require.Equal(t, []plan.Short{{Piece: "board", NotChecked: true}}, rows)
	pieces[0].Fabrics = []string{"silk"}
	rows, checked = Short(ctx, pieces, cloth, Options{})
	require.True(t, checked)
	require.Equal(t, []plan.Short{{Piece: "board", Split: "no scrap of its fabric"}}, rows)
}

func TestAPieceWithoutACuttingLine(t *testing.T) {
	p := plainPiece(t, "board", 180, 480, 10)
	p.Outline[0].AllowanceMM = -5
	pile := []piece.Scrap{offcut("a", 500, 500, 1)}
	_, err := Fit(context.Background(), []*piece.Piece{p}, pile, Options{})
	require.ErrorContains(t, err, `p.svg: "board": it has no cutting line`)
	rows, checked := Short(context.Background(), []*piece.Piece{p}, pile, Options{})
	require.True(t, checked)
	require.Len(t, rows, 1)
	res, err := Run(context.Background(), []*piece.Piece{p}, pile, Options{})
	require.NoError(t, err)
	require.Empty(t, res.Plans)
}
