package search

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/wish"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A pile of knit and woven serves as well as its knit alone, or its woven
// alone; no plan mixes them; and where they may mix it serves as well again.
func TestKindsAreKeptApart(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var pieces []*piece.Piece
		for i := range rapid.IntRange(1, 3).Draw(t, "pieces") {
			join := ""
			if i > 0 && rapid.Bool().Draw(t, "joined") {
				join = fmt.Sprintf("p%d", rapid.IntRange(0, i-1).Draw(t, "to"))
			}
			kind := rapid.SampledFrom([]string{"", "", "", knit, woven}).Draw(t, "to be")
			pieces = append(pieces, block(t, fmt.Sprint("p", i), rapid.Float64Range(100, 200).Draw(t, "w"), rapid.Float64Range(100, 200).Draw(t, "l"), kind, join))
		}
		var pile []piece.Scrap
		for i := range rapid.IntRange(1, 6).Draw(t, "scraps") {
			w, l := rapid.Float64Range(80, 260).Draw(t, "w"), rapid.Float64Range(80, 260).Draw(t, "l")
			pile = append(pile, piece.Scrap{
				Name: fmt.Sprint("s", i), Kind: rapid.SampledFrom([]string{knit, woven, woven, ""}).Draw(t, "kind"),
				Outline: orb.Ring{{0, 0}, {w, 0}, {w, l}, {0, l}}, GrainDeg: 90, Count: 1, Copy: 1,
			})
		}
		only := func(kind string) (some []piece.Scrap) {
			for _, s := range pile {
				if s.Kind == kind || s.Kind == "" {
					some = append(some, s)
				}
			}
			return some
		}
		const most = 2
		seams := func(scraps []piece.Scrap, wishes ...wish.Wish) int {
			if len(scraps) == 0 {
				return most + 1
			}
			ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
			defer cancel()
			res, err := Run(ctx, pieces, scraps, Options{Keep: 2, MaxSeams: most, AllowanceMM: 10, GapMM: 3, Wishes: wishes, Budgets: 3})
			require.NoError(t, err)
			if len(res.Plans) == 0 {
				return most + 1
			}
			r := split.Record{Settings: plan.Settings{GapMM: 3, AllowanceMM: 10}, Drawn: res.Drawn, Scraps: split.ScrapCopies(scraps), Plans: res.Plans}
			d := r.Document()
			for k := range d.Options {
				d.Options[k].Wishes = wish.Told(wishes, d, &d.Options[k])
			}
			require.Empty(t, check.Document(d))
			return len(res.Plans[0].Seams)
		}
		apart := seams(pile)
		require.LessOrEqual(t, apart, min(seams(only(knit)), seams(only(woven))))
		require.LessOrEqual(t, seams(pile, wish.MixKinds{}), apart)
	})
}

// A bin may get as full with cloth of the other kind beside it as without: what a
// piece cannot use does not tell how much room it has.
func TestFillsOfEachKind(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var pieces []*piece.Piece
		for i := range rapid.IntRange(1, 3).Draw(t, "pieces") {
			pieces = append(pieces, block(t, fmt.Sprint("p", i), rapid.Float64Range(100, 200).Draw(t, "w"), rapid.Float64Range(100, 200).Draw(t, "l"), "", ""))
		}
		var pile []piece.Scrap
		for i := range rapid.IntRange(2, 7).Draw(t, "scraps") {
			s := sheet(fmt.Sprint("s", i), rapid.Float64Range(80, 400).Draw(t, "w"), rapid.Float64Range(80, 400).Draw(t, "l"))
			if s.Kind = rapid.SampledFrom([]string{knit, woven, ""}).Draw(t, "kind"); i < 2 {
				s.Kind = []string{knit, woven}[i]
			}
			pile = append(pile, s)
		}
		fillsOf := func(scraps []piece.Scrap) map[string]float64 {
			table := newTable(scraps, Options{}.withDefaults())
			out := map[string]float64{}
			for s, fill := range table.variants(split.Copies(pieces), nil)[0].fills {
				out[table.bins[s].scrap.Name] = fill
			}
			return out
		}
		all := fillsOf(pile)
		for _, other := range []string{knit, woven} {
			alone := fillsOf(slices.DeleteFunc(slices.Clone(pile), func(s piece.Scrap) bool { return s.Kind == other }))
			for name, fill := range alone {
				if fill <= 1 {
					require.GreaterOrEqual(t, all[name], fill, "%s without %s", name, other)
				}
			}
		}
	})
}

// block is a rectangle that is sewn to another by its first edge.
func block(t require.TestingT, name string, w, l float64, kind, to string) *piece.Piece {
	at := func(pts ...orb.Point) piece.DraftLine { return piece.DraftLine{Line: curve.Polyline(pts...)} }
	d := piece.Draft{
		Name: name, Count: 1, Kind: kind, AllowanceMM: 10,
		Outline: piece.DraftLine{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{w, 0}, orb.Point{w, l}, orb.Point{0, l}, orb.Point{0, 0}), Closed: true},
		Grains:  []piece.DraftLine{at(orb.Point{w / 2, 10}, orb.Point{w / 2, 90})},
	}
	e := piece.DraftEdge{DraftLine: at(orb.Point{0, 0}, orb.Point{w, 0}), Name: "top", AllowanceMM: -1}
	if to != "" {
		e.Joins = []piece.Ref{{Piece: to, Edge: "top"}}
	}
	d.Edges = []piece.DraftEdge{e}
	p, err := piece.Make(d)
	require.NoError(t, err)
	return p
}

// What is called the fewest is the fewest of plans that keep kinds apart.
func TestFewestWithKinds(t *testing.T) {
	t.Parallel()
	pieces := []*piece.Piece{block(t, "a", 200, 200, "", ""), block(t, "b", 200, 200, "", "a")}
	cloth := func(name, kind string, w, l float64) piece.Scrap {
		return piece.Scrap{Name: name, Kind: kind, Outline: orb.Ring{{0, 0}, {w, 0}, {w, l}, {0, l}}, GrainDeg: 90, Count: 1, Copy: 1}
	}
	pile := []piece.Scrap{cloth("k", knit, 230, 230), cloth("w", woven, 230, 230), cloth("k2", knit, 230, 130), cloth("k3", knit, 230, 130)}
	for _, kinds := range []bool{true, false} {
		o := Options{AllowanceMM: 10, GapMM: 3, MaxSeams: 2}
		want := 1
		if !kinds {
			o.Wishes, want = []wish.Wish{wish.MixKinds{}}, 0
		}
		res, err := Run(context.Background(), pieces, pile, o)
		require.NoError(t, err)
		require.NotEmpty(t, res.Plans)
		require.Len(t, res.Plans[0].Seams, want)
		require.True(t, res.Fewest, res.Reason)
	}
}
