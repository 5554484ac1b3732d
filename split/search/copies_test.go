package search

import (
	"context"
	"fmt"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/race"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// rowByRow is a pile of rectangles with a row of its own for each copy, every
// one larger than the one before it by that much.
func rowByRow(pile []piece.Scrap, hairMM float64) []piece.Scrap {
	var out []piece.Scrap
	for _, s := range pile {
		for k := range s.Count {
			box := s.Outline.Bound()
			more := float64(k) * hairMM
			row := sheet(fmt.Sprintf("%s no %d", s.Name, k+1), box.Max[0]+more, box.Max[1]+more)
			row.Nap = s.Nap
			out = append(out, row)
		}
	}
	return out
}

// hairMM is far less than critical levels are found to.
const hairMM = 0.001

func sheets(count int, s piece.Scrap) piece.Scrap {
	s.Count = count
	return s
}

func copies(p *piece.Piece, count int) *piece.Piece {
	p.Count = count
	return p
}

// requireAlike plans from a pile as counted and from its rows, which differ by
// that much each, and requires plans as good, with as much known of them. It gives
// nothing where a search is stopped, for then it depends on the machine how far each got.
func requireAlike(ctx context.Context, t require.TestingT, pieces []*piece.Piece, pile []piece.Scrap, hairMM float64, mostSeams int) *Result {
	plan := func(pile []piece.Scrap) *Result {
		res, err := Run(ctx, pieces, pile, Options{MaxSeams: mostSeams, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 2, Seed: 1, Keep: 1})
		require.NoError(t, err)
		return res
	}
	counted, rows := plan(pile), plan(rowByRow(pile, hairMM))
	if ctx.Err() != nil {
		return nil
	}
	require.Equal(t, len(counted.Plans), len(rows.Plans))
	if len(counted.Plans) > 0 {
		require.Equal(t, len(counted.Plans[0].Seams), len(rows.Plans[0].Seams))
	}
	require.Equal(t, counted.Settled, rows.Settled)
	require.Equal(t, counted.Fewest, rows.Fewest, "counted: %s; row by row: %s", counted.Reason, rows.Reason)
	return counted
}

// A part may lie on one copy of a scrap and the next part on another.
func TestCopiesOfAScrapServeAsRowsDo(t *testing.T) {
	for name, c := range map[string]struct {
		pieces []*piece.Piece
		pile   []piece.Scrap
		most   int
		seams  int
	}{
		"two halves":               {[]*piece.Piece{rectangle(t, "front", 400, 500)}, []piece.Scrap{sheets(2, sheet("a", 430, 300))}, 3, 1},
		"a band of three hems":     {[]*piece.Piece{rectangle(t, "band", 60, 1398)}, []piece.Scrap{sheets(3, sheet("hem", 88, 526))}, 4, 2},
		"in four":                  {[]*piece.Piece{rectangle(t, "band", 60, 1398)}, []piece.Scrap{sheets(5, sheet("hem", 88, 390))}, 4, 3},
		"what is left of a copy":   {[]*piece.Piece{rectangle(t, "front", 400, 500), rectangle(t, "cuff", 200, 60)}, []piece.Scrap{sheets(2, sheet("a", 430, 330))}, 3, 1},
		"legs of trousers":         {[]*piece.Piece{copies(rectangle(t, "leg", 250, 900), 2)}, []piece.Scrap{sheets(14, sheet("jeans", 300, 560))}, 4, 2},
		"fronts and backs of them": {[]*piece.Piece{copies(rectangle(t, "front", 250, 900), 2), copies(rectangle(t, "back", 290, 920), 2)}, []piece.Scrap{sheets(14, sheet("jeans", 320, 520))}, 4, 4},
	} {
		t.Run(name, func(t *testing.T) {
			if race.On && len(c.pieces) > 1 {
				t.Skip("slow under the race detector, and searched as the others are")
			}
			for _, mm := range []float64{0, hairMM} {
				res := requireAlike(context.Background(), t, c.pieces, c.pile, mm, c.most)
				require.NotEmpty(t, res.Plans)
				require.Len(t, res.Plans[0].Seams, c.seams)
			}
		})
	}
}

// A pile of a few rows, some with copies, for pieces that come in one or more
// parts from them. A search takes far less than a second, but for one in hundreds that
// takes minutes, which is left out.
func TestCountedPilesPlanAsRowsDo(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		mm := func(name string, lo, hi int) float64 { return float64(rapid.IntRange(lo, hi).Draw(r, name)) }
		var pieces []*piece.Piece
		var pile []piece.Scrap
		seams := 0
		for i := range rapid.IntRange(1, 2).Draw(r, "pieces") {
			w, l := mm("width", 80, 300), mm("length", 300, 900)
			// How many copies of it there are, and in how many parts each comes.
			made := rapid.SampledFrom([][2]int{{1, 1}, {1, 2}, {1, 3}, {2, 1}, {2, 2}}[:5-2*i]).Draw(r, "copies and parts")
			pieces = append(pieces, copies(rectangle(t, fmt.Sprintf("piece %d", i), w, l), made[0]))
			seams += made[0] * (made[1] - 1)
			// A scrap has room to spare for one part and its allowances, or for two.
			beside := rapid.IntRange(1, 2).Draw(r, "parts of a scrap")
			wide, long := w+20+mm("spare", 2, 60), l/float64(made[1])+20+mm("spare", 2, 60)
			s := sheet(fmt.Sprintf("scrap %d", i), float64(beside)*wide+3, long)
			s.Count = (made[0]*made[1]+beside-1)/beside + rapid.IntRange(0, 1).Draw(r, "more copies")
			s.Nap = rapid.Bool().Draw(r, "nap")
			pile = append(pile, s)
		}
		if rapid.Bool().Draw(r, "another scrap") {
			pile = append(pile, sheets(rapid.IntRange(1, 3).Draw(r, "copies of it"), sheet("other", mm("its width", 60, 300), mm("its length", 60, 300))))
		}
		// No deadline, ahead of which a search would stop.
		ctx, cancel := context.WithCancel(context.Background())
		defer cancel()
		defer time.AfterFunc(20*time.Second, cancel).Stop()
		res := requireAlike(ctx, r, pieces, pile, rapid.SampledFrom([]float64{0, hairMM}).Draw(r, "a hair"), seams)
		if res == nil {
			r.Skip("it takes too long")
		}
		require.NotEmpty(r, res.Plans)
		require.LessOrEqual(r, len(res.Plans[0].Seams), seams)
	})
}
