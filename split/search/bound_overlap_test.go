package search

import (
	"os"
	"testing"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/search/puzzle"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// patternOf is a pattern of the samples.
func patternOf(t testing.TB, name string) []*piece.Piece {
	f, err := os.Open("../../samples/" + name)
	require.NoError(t, err)
	defer f.Close()
	pieces, err := svg.Pattern(f, name)
	require.NoError(t, err)
	return pieces
}

// drawn is whole pieces of samples and of planted garments, ready for placing.
func drawn(t testing.TB, table *table) []*blank {
	var pieces []*piece.Piece
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg", "cardigan.svg"} {
		pieces = append(pieces, patternOf(t, name)...)
	}
	for seed, garment := range []string{"t-shirt", "raglan", "vest"} {
		p, err := puzzle.New(uint64(seed), puzzle.Rules{Garment: garment, SlackMM: 10, GapMM: 3})
		require.NoError(t, err)
		pieces = append(pieces, p.Pieces...)
	}
	var copies []*piece.Piece
	for _, p := range pieces {
		copies = append(copies, p.Copies()...)
	}
	in := newInstanceOfKinds(table, copies, nil, nil)
	require.False(t, in.unsound)
	return in.blanks
}

// What a part is said to need of the whole's cutting line for sure lies within
// its own.
func TestPartNeedsAllButTheOverlap(t *testing.T) {
	table := newTable(nil, Options{AllowanceMM: 10}.withDefaults())
	blanks := drawn(t, table)
	rapid.Check(t, func(t *rapid.T) {
		b := blanks[rapid.IntRange(0, len(blanks)-1).Draw(t, "piece")]
		w := rapid.SampledFrom(table.ways).Draw(t, "way")
		spans := b.spansOf(w)
		if len(spans) == 0 {
			return
		}
		s := rapid.SampledFrom(spans).Draw(t, "span")
		level := s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
		near := rapid.Bool().Draw(t, "near")
		part := table.cutPart(b, w, level, near)
		if part == nil {
			return
		}
		line := orb.LineString(plane.Close(part.cut))
		for _, q := range split.Half(b.cut, w.Line(b.Body, further(near, level, -b.allowanceOverlap(w, near, level))), near) {
			if !planar.RingContains(part.cut, q) {
				require.Less(t, planar.DistanceFrom(line, q), 0.3, "%s cut by %s at %.1f: %v", b.key, wayID(w), level, q)
			}
		}
	})
}

// A yoke over a vest's armhole: the allowance of the armhole below it and of
// the corner at the underarm reaches up past the cut.
func TestAllowanceBelowTheCutOverlapsIt(t *testing.T) {
	p, err := puzzle.New(128, puzzle.Rules{Garment: "vest", Seams: 1, SlackMM: 2, Share: 0.4, Decoys: 3, GapMM: 3, TurnDeg: 2})
	require.NoError(t, err)
	table := newTable(p.Scraps, Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2}.withDefaults())
	b := newInstanceOfKinds(table, p.Pieces[0].Copies(), nil, nil).blanks[0]
	w := split.Yoke{}
	const hidden = 177.8 // the part above fits one of the scraps alone
	part, _ := table.cutAt(b, w, hidden)
	fits, reached := 0, 0
	for i := range table.bins {
		s := &table.bins[i]
		if _, ok := table.fitsOn(t.Context(), part, s); !ok {
			continue
		}
		fits++
		require.True(t, table.lowerBoundFits(t.Context(), b, b.cut, w, true, hidden-b.allowanceOverlap(w, true, hidden), s))
		if l, ok := table.furthestHeuristic(t.Context(), b, w, true, s); ok && l >= hidden {
			reached++
		}
	}
	require.Positive(t, fits)
	require.Equal(t, fits, reached)
	require.Greater(t, b.allowanceOverlap(w, true, hidden), 1.0)
	require.Less(t, b.allowanceOverlap(w, true, b.spansOf(w)[0].Hi-100), 0.5, "between sides that are nearly straight next to nothing overlaps")
}
