package search

import (
	"context"
	"fmt"
	"testing"

	"eke/piece"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// instanceOf is some pieces to cut from a pile, and requireMade that a plan of it is proved.
func instanceOf(pieces []*piece.Piece, pile []piece.Scrap) *instance {
	table := newTable(pile, Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1}.withDefaults())
	return table.variants(split.Copies(pieces), nil)[0]
}

func requireMade(t require.TestingT, in *instance, m *split.Made) {
	r := split.Record{Settings: plan.Settings{GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10}, Drawn: in.pieces, Scraps: in.table.scraps, Plans: []*split.Made{m}}
	require.Empty(t, check.Document(r.Document()))
}

// grownOf is what growth makes of some pieces and a pile, proved; nil where it finds
// nothing.
func grownOf(t require.TestingT, ctx context.Context, pieces []*piece.Piece, pile []piece.Scrap) *split.Made {
	g := &growth{instance: instanceOf(pieces, pile), pause: func() bool { return true }}
	m := g.grow(ctx)
	if m != nil {
		requireMade(t, g.instance, m)
		for i, tree := range m.Plan.Trees {
			if !g.covered[m.Plan.Pieces[i].Name] {
				require.LessOrEqual(t, tree.Seams(), maxCuts)
			}
		}
	}
	return m
}

// Two copies, each from two of four alike bits and what is beside them.
func TestGrowthCutsOneCopyAfterTheOther(t *testing.T) {
	bits := sheet("bit", 330, 270)
	bits.Count = 4
	m := grownOf(t, t.Context(), []*piece.Piece{counted(2, rectangle(t, "yoke", 600, 240))}, []piece.Scrap{bits})
	require.NotNil(t, m)
	require.Len(t, m.Seams, 2)
}

// The front comes first, for it is larger, and lies on the smaller of the two sheets that
// hold it. That is the one that the band needs, so it makes way.
func TestAPieceMakesWayForAnother(t *testing.T) {
	front, band := rectangle(t, "front", 400, 400), rectangle(t, "band", 60, 1000)
	m := grownOf(t, t.Context(), []*piece.Piece{front, band}, []piece.Scrap{sheet("long", 430, 1030), sheet("wide", 900, 600)})
	require.NotNil(t, m)
	require.Empty(t, m.Seams)
}

// Legs need more seams than backtracking gives a copy, from remnants of a look of their own, and the
// band one beside the fronts, on cloth of which no sheet is left empty. Each is found by itself.
func TestACopyInRowsBesideOneWithASeam(t *testing.T) {
	leg := counted(2, rectangle(t, "leg", 300, 700))
	leg.Fabrics = []string{"remnant"}
	front := counted(2, rectangle(t, "front", 300, 500))
	front.Fabrics = []string{"ticking"}
	band := rectangle(t, "band", 70, 900)
	band.Fabrics = []string{"ticking"}
	remnants, ticking := sheet("bit", 345, 165), sheet("sheet", 480, 560)
	remnants.Fabric, remnants.Count = "remnant", 14
	ticking.Fabric, ticking.Count = "ticking", 2
	m := grownOf(t, t.Context(), []*piece.Piece{leg, front, band}, []piece.Scrap{remnants, ticking})
	require.NotNil(t, m)
	require.Len(t, m.Seams, 4+4+1)
}

// Beside a search growth has a share of its work, and what it comes to counts only where it
// has fewer seams than what is there.
func TestGrowingBesideTheSearch(t *testing.T) {
	bits := sheet("bit", 330, 270)
	bits.Count = 4
	copies := split.Copies([]*piece.Piece{counted(2, rectangle(t, "yoke", 600, 240))})
	begin := func(wanted bool) *growing {
		d, err := newDriver(copies, []piece.Scrap{bits}, Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2}.withDefaults())
		require.NoError(t, err)
		g := d.growing(t.Context(), wanted)
		t.Cleanup(g.stop)
		return g
	}
	m := begin(true).next(t.Context(), nil)
	require.NotNil(t, m)
	require.Len(t, m.Seams, 2)
	require.Nil(t, begin(true).next(t.Context(), m))
	require.Nil(t, begin(false).next(t.Context(), nil))
	spent := begin(true)
	spent.work = spent.driver.growMost()
	require.Nil(t, spent.next(t.Context(), nil))
	few := begin(true)
	few.driver.options.MaxSeams = 1
	require.Nil(t, few.next(t.Context(), nil))
}

// counted is a piece that is cut so many times.
func counted(n int, p *piece.Piece) *piece.Piece {
	p.Count = n
	return p
}

// Whatever is grown can be cut, from any pile.
func TestWhatIsGrownIsProved(t *testing.T) {
	race.SkipAlone(t)
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		var pieces []*piece.Piece
		for k := range rapid.IntRange(1, 2).Draw(t, "pieces") {
			w, h := rapid.Float64Range(80, 500).Draw(t, "width"), rapid.Float64Range(80, 500).Draw(t, "height")
			pieces = append(pieces, counted(rapid.IntRange(1, 2).Draw(t, "count"), rectangle(t, fmt.Sprint("p", k), w, h)))
		}
		var pile []piece.Scrap
		for k := range rapid.IntRange(1, 3).Draw(t, "scraps") {
			s := sheet(fmt.Sprint("s", k), rapid.Float64Range(100, 600).Draw(t, "scrap width"), rapid.Float64Range(100, 600).Draw(t, "scrap height"))
			s.Count = rapid.IntRange(1, 3).Draw(t, "scrap count")
			pile = append(pile, s)
		}
		if grownOf(t, context.Background(), pieces, pile) != nil {
			found++
		}
	})
	require.Positive(t, found)
}
