package search

import (
	"fmt"
	"math"
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What a bin is said to be too small for, by packing lower-bound parts, was not
// packed by trying everything, neither with cuts at that end of their rooms nor
// beyond it. And what the lower-bound parts take without their cuts' allowances
// is not packed where trying everything finds no place for it.
func TestLowerBoundPackingOfRectangles(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const allowance, gap = 10, 3
		e := enumeration{allowance: allowance, gapMM: gap}
		o := Options{AllowanceMM: allowance, GapMM: gap, Seed: 1}.withDefaults()
		count := rapid.IntRange(2, 3).Draw(t, "parts")
		var cut []leastCut
		var sides, least []oblong // of the parts as they are cut, and of what they have at least
		for i := range count {
			c := drawLeastCut(t, fmt.Sprint("piece ", i+1))
			cut = append(cut, c)
			sides = append(sides, oblong{c.part.width + 2*allowance, c.part.length + 2*allowance})
			end := 0.0
			if c.tree != nil {
				end = allowance + 1 // the new edge's, and rounding
			}
			least = append(least, c.less(sides[i], end))
		}
		side := func(of func(oblong) float64) float64 {
			mm := rapid.SampledFrom([]float64{-8, -2, -0.5, 1, 5}).Draw(t, "more")
			for k := range rapid.IntRange(1, 2).Draw(t, "beside each other") {
				mm += of(rapid.SampledFrom(sides).Draw(t, "as")) + float64(k)*gap
			}
			return mm
		}
		on := oblong{side(func(r oblong) float64 { return r.width }), side(func(r oblong) float64 { return r.length })}
		table := newTable([]piece.Scrap{sheet("s", on.width, on.length)}, o)
		packs := packsLower(t, table, cut)
		if e.packed(sides, on) {
			require.True(t, packs, "%v on %v", sides, on)
		}
		if roomy := (oblong{on.width + 1, on.length + 1}); !e.packed(least, roomy) {
			require.False(t, packs, "%v, at least %v, on %v", sides, least, on)
		}
	})
}

// leastCut is a part of a rectangle at the end of its cut's room where it is
// least, or a whole rectangle, whose tree is nil.
type leastCut struct {
	whole *blank
	tree  *split.Tree
	room  split.Span
	near  bool
	part  oblong
}

func drawLeastCut(t *rapid.T, name string) leastCut {
	side := func(label string) float64 { return 10 * float64(rapid.IntRange(6, 25).Draw(t, label)) }
	r := oblong{side("width"), side("length")}
	p := rectangle(t, name, r.width, r.length)
	c := leastCut{whole: newBlank(p, p.Outline, name), part: r}
	if rapid.Bool().Draw(t, "whole") {
		return c
	}
	way, along := split.Way(split.Yoke{}), &c.part.length
	if rapid.Bool().Draw(t, "lengthwise") {
		way, along = split.Panel{}, &c.part.width
	}
	s := c.whole.spansOf(way)[0]
	lo, hi := rapid.Float64Range(s.Lo, s.Hi).Draw(t, "from"), rapid.Float64Range(s.Lo, s.Hi).Draw(t, "to")
	c.room = split.Span{Lo: math.Min(lo, hi), Hi: math.Max(lo, hi)}
	if c.near = rapid.Bool().Draw(t, "near"); c.near {
		*along = c.room.Lo
	} else {
		*along -= c.room.Hi
	}
	c.tree = &split.Tree{Way: way, LevelMM: c.room.Lo, Near: &split.Tree{}, Far: &split.Tree{}}
	return c
}

// less is a rectangle that is shorter by some mm where its piece was cut.
func (c leastCut) less(r oblong, mm float64) oblong {
	if c.tree != nil && c.tree.Way == (split.Panel{}) {
		return oblong{r.width - mm, r.length}
	}
	return oblong{r.width, r.length - mm}
}

// packsLower asks whether the only bin is likely to hold the lower-bound parts.
func packsLower(t *rapid.T, table *table, cut []leastCut) bool {
	a := &assignment{table: table, on: make([][]placed, 1)}
	least := map[*split.Tree]lowerPart{}
	for _, c := range cut {
		leaf, cuts := &split.Tree{}, map[*split.Tree]*slidingCut{}
		if c.tree != nil {
			cuts[c.tree] = &slidingCut{tree: c.tree, room: c.room}
			if leaf = c.tree.Far; c.near {
				leaf = c.tree.Near
			}
			a.lowerPartsOf(c.whole, c.tree, cuts, lowerPart{c.whole.key, c.whole.simplified}, least)
		} else {
			a.lowerPartsOf(c.whole, leaf, cuts, lowerPart{c.whole.key, c.whole.simplified}, least)
		}
		a.on[0] = append(a.on[0], placed{part: c.whole, leaf: leaf})
	}
	return !a.lowerPackUnlikely(t.Context(), &component{bins: []int{0}}, least)
}

// Nor is a bin said to be too small, by packing lower-bound parts, on which two
// parts of odd shapes lie side by side.
func TestLowerBoundPackingAllowsWhatIsPlanted(t *testing.T) {
	t.Parallel()
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1, Rules: []piece.Rule{}}.withDefaults()
	blanks := drawn(t, newTable(nil, o))
	rapid.Check(t, func(t *rapid.T) {
		table := newTable(nil, o)
		p, ok := plant(t, table, blanks, spareMM)
		if !ok {
			t.Skip("not cut in two sound parts")
		}
		room := split.Span{Lo: p.level, Hi: p.level}
		wide, long := 0.0, 0.0
		for _, part := range []*blank{p.near, p.far} {
			wide, long = wide+part.width+o.GapMM+spareMM, math.Max(long, part.length+2*spareMM)
		}
		f := split.FrameOf(p.b.piece.GrainDeg)
		table = newTable([]piece.Scrap{{Name: "s", GrainDeg: p.b.piece.GrainDeg, Count: 1, Outline: orb.Ring{f.At(0, 0), f.At(wide, 0), f.At(wide, long), f.At(0, long)}}}, o)
		tree := &split.Tree{Way: p.w, LevelMM: p.level, Near: &split.Tree{}, Far: &split.Tree{}}
		a := &assignment{table: table, on: [][]placed{{{part: p.near, leaf: tree.Near}, {part: p.far, leaf: tree.Far}}}}
		least := map[*split.Tree]lowerPart{}
		a.lowerPartsOf(p.b, tree, map[*split.Tree]*slidingCut{tree: {tree: tree, room: room}}, lowerPart{p.b.key, p.b.simplified}, least)
		require.False(t, a.lowerPackUnlikely(t.Context(), &component{bins: []int{0}}, least), "%s cut by %s at %.1f", p.b.key, wayID(p.w), p.level)
	})
}
