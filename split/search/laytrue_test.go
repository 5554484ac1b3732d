package search

import (
	"context"
	"math"
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// offGrain is by how much each piece of a plan is turned off the grain, in degrees.
func offGrain(m *split.Made) map[string]float64 {
	out := map[string]float64{}
	for _, p := range m.Parts {
		out[p.Name] = math.Abs(math.Remainder(p.Leaf.Placement.Deg, 180))
	}
	return out
}

// The plans of a search that was stopped are laid true like others: their time is up
// when they are.
func TestPlansOfAStoppedSearchLieTrue(t *testing.T) {
	t.Parallel()
	pieces, pile := skirtPuzzle(t)
	d, err := newDriver(pieces, pile, skirtOptions.withDefaults())
	require.NoError(t, err)
	d.found, _ = d.iterate(t.Context(), 1, budgets[0], 1, always)
	require.NotEmpty(t, d.found)
	for _, p := range d.found[0].Parts {
		p.Leaf.Placement.Deg += 1.5
	}
	stopped, cancel := context.WithCancel(t.Context())
	cancel()
	d.finish(stopped)
	for name, deg := range offGrain(d.found[0]) {
		require.Less(t, deg, 1e-6, name)
	}
}

// A strip cut two degrees off the grain holds a long part only so. The part beside it
// lies true all the same.
func TestPartsLieTrueBesideOneThatCannot(t *testing.T) {
	t.Parallel()
	const turn = 1.8 * math.Pi / 180
	sin, cos := math.Sincos(turn)
	at := func(x, y float64) orb.Point { return orb.Point{cos*x - sin*y, sin*x + cos*y} }
	long := outlined(t, "long", 1, orb.Point{0, 0}, orb.Point{80, 0}, orb.Point{80, 600}, orb.Point{0, 600})
	square := outlined(t, "square", 1, orb.Point{0, 0}, orb.Point{150, 0}, orb.Point{150, 300}, orb.Point{0, 300})
	s := cloth("strip", at(0, 0), at(102, 0), at(102, 350), at(400, 350), at(400, 700), at(0, 700))
	res, err := Run(t.Context(), []*piece.Piece{long, square}, []piece.Scrap{s}, Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1})
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	off := offGrain(res.Plans[0])
	require.Greater(t, off["long"], 1.0)
	require.Less(t, off["square"], 1e-6)
	r := split.Record{Drawn: res.Drawn, Scraps: split.ScrapCopies([]piece.Scrap{s}), Plans: res.Plans}
	notes := r.Document().Options[0].Notes
	require.Len(t, notes, 1)
	require.Regexp(t, `^off the grain by up to [12]\.\d°, within what is allowed: long; lay`, notes[0])
}

// So do whole pieces that are laid and nothing more, as those that may be left out are.
func TestFirstPlanLiesTrue(t *testing.T) {
	t.Parallel()
	facing := outlined(t, "facing", 2, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 540}, orb.Point{0, 540})
	res, err := Run(t.Context(), []*piece.Piece{facing}, []piece.Scrap{sheet("end", 300, 600)}, Options{First: true, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1})
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	for name, deg := range offGrain(res.Plans[0]) {
		require.Less(t, deg, 1e-6, name)
	}
}
