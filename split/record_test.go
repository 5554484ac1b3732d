package split_test

import (
	"bytes"
	"io"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/svg/draw"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// What a record makes is whole: it is proved and drawn as it is, and once more
// after it was written and read. Options count from 1, in the order of the
// plans, and each has every scrap. Making it changes nothing of the record.
func TestRecordIsWhole(t *testing.T) {
	t.Parallel()
	drawn := only(sample(t, "tshirt.svg"), "front")
	var plans []*split.Made
	for _, mm := range []float64{250, 300} {
		made, err := split.Make(cutting(drawn, "front", byHand(t, split.Yoke{}, below(mm))), 10)
		require.NoError(t, err)
		plans = append(plans, made)
	}
	cloth := clothFor(plans[0])
	for k := range plans[1].Parts { // cut from the same cloth, which is made large enough for either
		plans[1].Parts[k].Leaf.Scrap, plans[1].Parts[k].Leaf.Placement = k, plans[0].Parts[k].Leaf.Placement
	}
	for _, s := range cloth {
		for i, q := range s.Outline {
			c := s.Outline.Bound().Center()
			s.Outline[i] = orb.Point{3*q[0] - 2*c[0], 3*q[1] - 2*c[1]}
		}
	}
	settings := plan.Settings{GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10, DartReachMM: 15, Seed: 7}
	r := split.Record{Settings: settings, Drawn: drawn, Scraps: cloth, Plans: plans}
	d := r.Document()
	require.Equal(t, settings, d.Settings)
	require.Equal(t, d, r.Document())
	require.Len(t, d.Options, len(plans))
	for i, o := range d.Options {
		require.Equal(t, i+1, o.Rank)
		require.Len(t, o.Left, len(cloth))
		require.Equal(t, split.Cost(plans[i]), o.Cost)
		require.Equal(t, split.Intrusion(o.Cost), o.Intrusion)
	}

	var b bytes.Buffer
	require.NoError(t, d.Write(&b))
	read, err := plan.Read(&b)
	require.NoError(t, err)
	for _, d := range []*plan.Document{d, read} {
		require.Empty(t, check.Document(d))
		for i := range d.Options {
			require.NoError(t, draw.Of(d).Pieces(io.Discard, i))
			require.NoError(t, draw.Of(d).Layout(io.Discard, i))
		}
	}
	read.MadeBy = "" // it was signed
	require.Equal(t, d, read)
}

// A search that found nothing leaves a record of the pieces and the scraps.
func TestRecordWithoutPlan(t *testing.T) {
	t.Parallel()
	drawn := sample(t, "tshirt.svg")
	scraps := []piece.Scrap{{Name: "a", Count: 2, GrainDeg: 90, Outline: orb.Ring{{0, 0}, {300, 0}, {300, 200}, {0, 200}}}}
	r := split.Record{Drawn: drawn, Scraps: split.ScrapCopies(scraps)}
	d := r.Document()
	require.Empty(t, d.Options)
	require.Len(t, d.Pieces, len(drawn))
	require.Len(t, d.Scraps, 2)
	require.Equal(t, []int{1, 2}, []int{d.Scraps[0].Copy, d.Scraps[1].Copy})
}

// Where a record holds only some of the pattern, its joins are still those of
// the whole of it, before and after a seam moved.
func TestRecordOfSomePiecesWalksTheWhole(t *testing.T) {
	t.Parallel()
	all := sample(t, "tshirt.svg")
	move := split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30}
	now, err := move.Apply(all)
	require.NoError(t, err)
	record := func(drawn, now, whole []*piece.Piece) *plan.Document {
		p := cutting(now, "", nil)
		p.Moves = []split.Move{move}
		made, err := split.Make(p, 10)
		require.NoError(t, err)
		r := split.Record{Settings: plan.Settings{AllowanceMM: 10}, Drawn: drawn, Whole: whole, Scraps: clothFor(made), Plans: []*split.Made{made}}
		return r.Document()
	}
	var someDrawn, someNow []*piece.Piece
	for i, p := range now {
		if p != all[i] {
			someDrawn, someNow = append(someDrawn, all[i]), append(someNow, p)
		}
	}
	require.Less(t, len(someNow), len(now))
	some, whole := record(someDrawn, someNow, all), record(all, now, nil)
	require.Len(t, some.Pieces, len(someNow))
	require.NotEmpty(t, whole.Options[0].Joins)
	require.Equal(t, whole.Options[0].Joins, some.Options[0].Joins)
	require.Equal(t, whole.Options[0].MovedSeams, some.Options[0].MovedSeams)
	require.NotEqual(t, whole.Options[0].Joins, record(someDrawn, someNow, nil).Options[0].Joins)
}
