package shortfall

import (
	"context"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/curve"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// board is a rectangle; w and l are those of its cutting line.
func board(t testing.TB, name string, l, w float64, count int, fabrics ...string) *piece.Piece {
	p, err := piece.Make(piece.Draft{
		Name: name, File: "p.svg", AllowanceMM: 10, Bare: true,
		Outline: piece.DraftLine{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{w - 20, 0}, orb.Point{w - 20, l - 20}, orb.Point{0, l - 20}), Closed: true},
	})
	require.NoError(t, err)
	p.Count, p.Fabrics = count, fabrics
	return p
}

func offcut(name, fabric string, l, w float64, count int) piece.Scrap {
	return piece.Scrap{Name: name, Fabric: fabric, Outline: orb.Ring{{0, 0}, {w, 0}, {w, l}, {0, l}}, GrainDeg: 90, Count: count}
}

// told is what is missing, after a search that found nothing.
func told(t testing.TB, pieces []*piece.Piece, scraps []piece.Scrap, o search.Options) *plan.Document {
	o.AllowanceMM, o.GapMM, o.GrainToleranceDeg, o.Workers, o.Seed = 10, 3, 2, 2, 1
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	var copies []*piece.Piece
	for _, p := range pieces {
		copies = append(copies, p.Copies()...)
	}
	d := &plan.Document{Format: plan.Format, GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10, Seed: 1}
	start := time.Now()
	require.NoError(t, Tell(ctx, d, pieces, scraps, o, true))
	t.Log(time.Since(start))
	for _, p := range copies {
		d.Pieces = append(d.Pieces, plan.Piece{Name: p.Name, Copy: p.Copy})
	}
	return d
}

func TestTell(t *testing.T) {
	d := told(t, []*piece.Piece{board(t, "body", 600, 400, 2, "navy"), board(t, "band", 100, 300, 1, "rib")},
		[]piece.Scrap{offcut("a", "navy", 650, 420, 1), offcut("r", "rib", 120, 310, 1)}, search.Options{MaxSeams: 0})
	t.Logf("%+v\n%+v\n%+v %+v\n%+v", d.Short, d.Cloth, d.MoreSeams, d.Partial, d.WouldDo)
	d = told(t, []*piece.Piece{board(t, "body", 600, 400, 1)},
		[]piece.Scrap{offcut("a", "navy", 350, 420, 2)}, search.Options{MaxSeams: 0})
	t.Logf("%+v\n%+v\n%+v %+v\n%+v", d.Short, d.Cloth, d.MoreSeams, d.Partial, d.WouldDo)
	_ = check.SlackMM
}
