package search

import (
	"context"
	"flag"
	"math"
	"slices"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/plane"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search/puzzle"
	"eke/split/wish"

	"github.com/stretchr/testify/require"
)

// carriedSolved runs the search on a puzzle with a carried line, with its wish.
func carriedSolved(t testing.TB, seed uint64, r puzzle.Rules, limit time.Duration) bool {
	p, err := puzzle.Carried(seed, r)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start := time.Now()
	begun := cpuTime()
	var told time.Duration
	res, err := Run(ctx, p.Pieces, p.Scraps, Options{
		MaxSeams: -1, AllowanceMM: 10, GapMM: r.GapMM, GrainToleranceDeg: 2, Workers: *workers, Seed: 1,
		Wishes: []wish.Wish{wish.Carry{Piece: "front"}}, First: true,
		Progress: func(Progress) { told = cpuTime() - begun },
	})
	require.NoError(t, err)
	o := puzzle.Outcome{Seed: seed, Garment: r.Garment, Hidden: p.Seams, Found: -1, Processor: (cpuTime() - begun).Seconds()}
	if len(res.Plans) == 0 {
		tell(t, o)
		t.Logf("%s seed %d: none (%v); hidden %v; %d scraps; %v", r.Garment, seed, res.Unkept, p.Hidden, len(p.Scraps), time.Since(start))
		return false
	}
	m := res.Plans[0]
	o.Found, o.Processor = len(m.Seams), told.Seconds()
	tell(t, o)
	t.Logf("%s seed %d: %d of %d seams, %d scraps; hidden %v; found after %v of processor time, %v", r.Garment, seed, len(m.Seams), p.Seams, len(p.Scraps), p.Hidden, told.Round(10*time.Millisecond), time.Since(start).Round(10*time.Millisecond))
	requireCarried(t, m)
	record := split.Record{Settings: plan.Settings{GapMM: r.GapMM, GrainToleranceDeg: 2, AllowanceMM: 10}, Drawn: res.Drawn, Scraps: split.ScrapCopies(p.Scraps), Plans: []*split.Made{m}}
	require.Empty(t, check.Document(record.Document()))
	return o.Solved()
}

// requireCarried measures, along polylines, that each end of a seam on an edge
// that is sewn to another piece has an end there at the same share of the way
// from the start of the join.
func requireCarried(t testing.TB, m *split.Made) {
	type end struct {
		piece string
		edge  piece.Edge
		share float64
	}
	var ends []end
	for _, s := range m.Seams {
		if !s.Carried {
			continue
		}
		for _, q := range s.Ends {
			ring := q.Edge.Line.Flatten(0.01)
			best, at, sum := math.Inf(1), 0.0, 0.0
			for i := 1; i < len(ring); i++ {
				if d := plane.Nearest(q.At, ring[i-1], ring[i]); plane.ToSegment(q.At, ring[i-1], ring[i]) < best {
					best = plane.ToSegment(q.At, ring[i-1], ring[i])
					at = sum + d*plane.Distance(ring[i-1], ring[i])
				}
				sum += plane.Distance(ring[i-1], ring[i])
			}
			require.Less(t, best, 0.05)
			ends = append(ends, end{m.Plan.Pieces[s.Piece].Name, q.Edge, at / sum})
		}
	}
	require.NotEmpty(t, ends)
	for _, e := range ends {
		met := slices.ContainsFunc(ends, func(o end) bool {
			sewn := slices.Contains(e.edge.Joins, piece.Ref{Piece: o.piece, Edge: o.edge.Name}) || slices.Contains(o.edge.Joins, piece.Ref{Piece: e.piece, Edge: e.edge.Name})
			return sewn && math.Abs(1-e.share-o.share)*o.edge.Line.Length() < 1
		})
		require.True(t, met, "%s/%s at %.3f", e.piece, e.edge.Name, e.share)
	}
}

var (
	oneLook = flag.Bool("one-look", false, "carried lines: whether all scraps are of one look")
	alsoCut = flag.Int("also-cut", 0, "carried lines: how many parts are cut once more")
	round   = flag.Bool("round", false, "carried lines: whether they run round the body at one level")
)

func TestPlantedCarriedLines(t *testing.T) {
	if *planted == 0 {
		t.Skip("run with -planted 20 -slack 10")
	}
	won := 0
	for k := range *planted {
		seed := uint64(*fromSeed + k)
		r := puzzle.Rules{Garment: []string{"t-shirt", "raglan"}[seed%2], SlackMM: *slackMM, Share: 0.3, Decoys: 3, GapMM: 3, TurnDeg: 2, OneLook: *oneLook, Round: *round, Seams: *alsoCut}
		if carriedSolved(t, seed, r, *limit) {
			won++
		}
	}
	t.Logf("slack %g mm: solved %d of %d", *slackMM, won, *planted)
}

// Lines that are known to exist are found, below the underarm and through the
// sleeves.
func TestCarriedLinesAreFound(t *testing.T) {
	t.Parallel()
	seeds := []uint64{0, 8}
	if race.On {
		seeds = []uint64{2} // soon found, and one shows what runs side by side
	}
	for _, seed := range seeds {
		require.True(t, carriedSolved(t, seed, puzzle.Rules{Garment: "t-shirt", SlackMM: 10, Share: 0.3, Decoys: 3, GapMM: 3, TurnDeg: 2}, 10*time.Minute))
	}
}

// A wish that asks for two lines, or for none that may be cut, is bad use.
func TestCarryBadUse(t *testing.T) {
	t.Parallel()
	pieces, pile := sampleShirt(t)
	for complains, o := range map[string]Options{
		"eke carries one line":          {Wishes: []wish.Wish{wish.Carry{Piece: "front"}, wish.Carry{Piece: "back"}}},
		"needs a yoke or a curved yoke": {Wishes: []wish.Wish{wish.Carry{Piece: "front"}}, Kinds: []string{"panel"}},
		`there is no piece "frock"`:     {Wishes: []wish.Wish{wish.Carry{Piece: "frock"}}},
		"names the edge it is sewn to":  {Wishes: []wish.Wish{wish.Carry{Piece: "front", To: "neck patch"}}},
	} {
		_, err := Run(context.Background(), append(slices.Clone(pieces), rectangle(t, "neck patch", 50, 50)), pile, o)
		require.ErrorContains(t, err, complains)
	}
}
