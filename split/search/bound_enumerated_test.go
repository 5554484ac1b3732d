package search

import (
	"fmt"
	"slices"
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// oblong is a rectangle along the grain, in mm.
type oblong struct{ width, length float64 }

func (r oblong) turned() oblong { return oblong{r.length, r.width} }

// enumeration looks for plans of rectangles by trying everything: every cut on a
// grid, every scrap for every part, every way to lay parts side by side. It
// shares nothing with the search.
type enumeration struct {
	scraps           []oblong
	allowance, gapMM float64
}

// seams is the fewest seams for which it finds a plan, or more than most.
func (e enumeration) seams(pieces []oblong, most int) int {
	for n := range most + 1 {
		if e.cut(pieces, 0, n) {
			return n
		}
	}
	return most + 1
}

// cut tries to cut parts, from the one given on, by n seams.
func (e enumeration) cut(parts []oblong, from, n int) bool {
	if n == 0 {
		return e.assigned(parts, make([][]oblong, len(e.scraps)))
	}
	const gridMM = 10
	for i := from; i < len(parts); i++ {
		for _, turned := range []bool{false, true} {
			p := parts[i]
			if turned {
				p = p.turned()
			}
			for at := float64(split.LeastPartMM); at <= p.length-split.LeastPartMM; at += gridMM {
				one, other := oblong{p.width, at}, oblong{p.width, p.length - at}
				if turned {
					one, other = one.turned(), other.turned()
				}
				next := append(slices.Clone(parts), other)
				next[i] = one
				if e.cut(next, i, n-1) {
					return true
				}
			}
		}
	}
	return false
}

// assigned tries every scrap for the first part, and so on.
func (e enumeration) assigned(parts []oblong, on [][]oblong) bool {
	if len(parts) == 0 {
		return true
	}
	whole := oblong{parts[0].width + 2*e.allowance, parts[0].length + 2*e.allowance}
	for s := range on {
		was := on[s]
		on[s] = append(slices.Clone(was), whole)
		if e.packed(on[s], e.scraps[s]) && e.assigned(parts[1:], on) {
			return true
		}
		on[s] = was
	}
	return false
}

// packed tries to lay parts on a rectangle by cuts right across it.
func (e enumeration) packed(parts []oblong, on oblong) bool {
	const clearMM = 0.15 // more than a placement may be off
	if len(parts) == 1 {
		return parts[0].width+clearMM <= on.width && parts[0].length+clearMM <= on.length
	}
	for set := 1; set < 1<<len(parts)-1; set++ {
		var one, other []oblong
		for i, p := range parts {
			if set>>i&1 == 1 {
				one = append(one, p)
			} else {
				other = append(other, p)
			}
		}
		wide, long := 0.0, 0.0
		for _, p := range one {
			wide, long = wide+p.width+e.gapMM, long+p.length+e.gapMM
		}
		// The first set in a row, which takes so much; the rest in what is left.
		if rest := (oblong{on.width - wide, on.length}); e.row(one, on, false) && e.packed(other, rest) {
			return true
		}
		if rest := (oblong{on.width, on.length - long}); e.row(one, on, true) && e.packed(other, rest) {
			return true
		}
	}
	return false
}

// row reports whether each part of a row is short enough across it.
func (e enumeration) row(parts []oblong, on oblong, along bool) bool {
	for _, p := range parts {
		if along && p.width > on.width || !along && p.length > on.length {
			return false
		}
	}
	return true
}

// What is said to be impossible was not found by trying everything: neither by
// the bound on the seams needed, nor by what a search says of its plan, that no
// other has fewer seams. The scraps are as large as pieces or parts of them need
// to lie beside each other, or a little smaller or larger, so that often a hair
// decides.
func TestNothingFoundByEnumerationIsRuledOut(t *testing.T) {
	t.Parallel()
	const most = 2
	rapid.Check(t, func(t *rapid.T) {
		o := Options{MaxSeams: most, AllowanceMM: 10, GapMM: 3, Seed: 1, Keep: 1, Budgets: 1, Kinds: []string{"yoke", "panel"}}
		e := enumeration{allowance: o.AllowanceMM, gapMM: o.GapMM}
		var pieces []*piece.Piece
		var sides []oblong
		for i := range rapid.IntRange(1, 2).Draw(t, "pieces") {
			side := func(label string) float64 { return 10 * float64(rapid.IntRange(6, 20).Draw(t, label)) }
			r := oblong{side("width"), side("length")}
			sides = append(sides, r)
			pieces = append(pieces, rectangle(t, fmt.Sprint("piece ", i+1), r.width, r.length))
		}
		var pile []piece.Scrap
		for i := range rapid.IntRange(1, 3).Draw(t, "scraps") {
			side := func(of func(oblong) float64) float64 {
				mm := rapid.SampledFrom([]float64{-0.5, 0.3, 5}).Draw(t, "more")
				for k := range rapid.IntRange(1, 2).Draw(t, "beside each other") {
					part := of(rapid.SampledFrom(sides).Draw(t, "as")) * rapid.SampledFrom([]float64{1, 1, 0.5, 0.6}).Draw(t, "of it")
					mm += part + 2*e.allowance + float64(k)*e.gapMM
				}
				return mm
			}
			r := oblong{side(func(r oblong) float64 { return r.width }), side(func(r oblong) float64 { return r.length })}
			e.scraps = append(e.scraps, r)
			pile = append(pile, sheet(fmt.Sprint("scrap ", i+1), r.width, r.length))
		}
		found := e.seams(sides, most)
		if found > most {
			return
		}
		table := newTable(pile, o.withDefaults())
		in := newInstanceOfKinds(table, split.Copies(pieces), nil, nil)
		require.LessOrEqual(t, in.minSeams(t.Context()), found, "%v on %v", sides, e.scraps)
		require.False(t, provedAtLeast(t.Context(), split.Copies(pieces), pile, o, found+1), "%v on %v", sides, e.scraps)
		res, err := Run(t.Context(), pieces, pile, o)
		require.NoError(t, err)
		if len(res.Plans) > 0 && res.Fewest {
			require.LessOrEqual(t, len(res.Plans[0].Seams), found, "%v on %v: %s", sides, e.scraps, res.Reason)
		}
	})
}
