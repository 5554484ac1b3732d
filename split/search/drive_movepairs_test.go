package search

import (
	"testing"

	"eke/piece"
	"eke/split"
	"eke/split/check"

	"github.com/stretchr/testify/require"
)

// A front that is too wide for two scraps by 39 mm lies on them in an upper and a lower
// part once the back has taken as much, and on neither of them whole. The back is whole
// with that strip. So it is also where the front may lie on those two alone, and needs more
// than one seam as drawn.
func TestASeamMovesForAPieceThatIsCutToo(t *testing.T) {
	t.Parallel()
	for name, fabrics := range map[string][2]string{"any cloth": {}, "two cloths": {"red", "blue"}} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			front, back := sewnRectangle(t, "front", 150, 200, 1, "back/left"), sewnRectangle(t, "back", 150, 200, 3, "front/right")
			pile := []piece.Scrap{sheet("upper", 131, 121), sheet("lower", 131, 121), sheet("wide", 211, 221)}
			if fabrics[0] != "" {
				front.Fabrics, back.Fabrics = fabrics[:1], fabrics[1:]
				pile[0].Fabric, pile[1].Fabric, pile[2].Fabric = fabrics[0], fabrics[0], fabrics[1]
			}
			copies := split.Copies([]*piece.Piece{front, back})
			o := Options{MaxSeams: 1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1, First: true}
			res, err := RunCopies(t.Context(), copies, pile, o)
			require.NoError(t, err)
			require.Len(t, res.Plans, 1)
			m := res.Plans[0]
			require.Len(t, m.Seams, 1)
			require.Len(t, m.Plan.Moves, 1)
			require.Equal(t, "front/right", m.Plan.Moves[0].From.String())
			require.InDelta(t, 40, m.Plan.Moves[0].ByMM, 1.5)
			r := split.Record{Settings: o.Settings(), Drawn: copies, Scraps: split.ScrapCopies(pile), Plans: res.Plans}
			require.Empty(t, check.Document(r.Document()))

			o.Kinds = []string{"yoke", "panel"} // and of no moved seam
			res, err = RunCopies(t.Context(), copies, pile, o)
			require.NoError(t, err)
			require.Empty(t, res.Plans)
		})
	}
}

// The copy of a pair has the bins of the pair, and all others have any; but where its twin
// is cut alike, either of the two may be the one.
func TestOnlyThePairsCopyHasItsBins(t *testing.T) {
	t.Parallel()
	pieces := []*piece.Piece{counted(2, rectangle(t, "front", 150, 200)), rectangle(t, "back", 100, 200)}
	d, err := newDriver(split.Copies(pieces), []piece.Scrap{sheet("a", 200, 300), sheet("b", 200, 300)}, Options{AllowanceMM: 10}.withDefaults())
	require.NoError(t, err)
	pair := &pairOf{copy: 0, bins: []bool{true, false}}
	require.Equal(t, [][]bool{{true, false}, {true, true}, {true, true}}, pair.only(d.base, []int{1, 0, 1}))
	require.Nil(t, pair.only(d.base, []int{1, 1, 0}))
	pair = nil
	require.Nil(t, pair.only(d.base, []int{1, 0, 0}))
}

// pairDriver is of a front that comes in two parts from two scraps once the back has taken
// a strip, and as drawn only in three.
func pairDriver(t *testing.T) *driver {
	pieces := []*piece.Piece{sewnRectangle(t, "front", 150, 200, 1, "back/left"), sewnRectangle(t, "back", 150, 200, 3, "front/right")}
	pile := []piece.Scrap{sheet("upper", 131, 121), sheet("lower", 131, 121), sheet("wide", 211, 221)}
	pieces[0].Fabrics, pieces[1].Fabrics = []string{"red"}, []string{"blue"}
	pile[0].Fabric, pile[1].Fabric, pile[2].Fabric = "red", "red", "blue"
	d, err := newDriver(split.Copies(pieces), pile, Options{MaxSeams: 1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1}.withDefaults())
	require.NoError(t, err)
	return d
}

// The amounts for pairs of bins are found once, and take no work after that.
func TestFoundPairsTakeNoWork(t *testing.T) {
	t.Parallel()
	d := pairDriver(t)
	require.Positive(t, d.pairWork())
	require.NotEmpty(t, d.pairMoves(t.Context(), 2))
	require.Zero(t, d.pairWork())
}

// An instance that has no sound cutting line has no plan, and so none with few seams.
func TestAnUnsoundInstanceIsNoBound(t *testing.T) {
	t.Parallel()
	d := pairDriver(t)
	require.Equal(t, 2, d.minSeams(t.Context()))
	require.Equal(t, 1, d.leastWithPairs(t.Context(), 2))
	d.paired[d.base] = []pairMove{{instance: &instance{unsound: true}}}
	require.Equal(t, 2, d.leastWithPairs(t.Context(), 2))
	require.Equal(t, 2, leastSound(t.Context(), 3, []*instance{d.base, {unsound: true}}))
}
