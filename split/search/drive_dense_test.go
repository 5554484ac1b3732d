package search

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search/puzzle"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// densified is a copy as a tracing has it: points so far apart that there are n
// of them, each off the line by noise.
func densified(p *piece.Piece, n int, noise func() float64) *piece.Piece {
	legs := map[orb.Point]bool{}
	for _, d := range p.Darts {
		legs[d.Leg1], legs[d.Leg2] = true, true
	}
	c := *p
	c.Outline = nil
	step := p.Outline.Length() / float64(n)
	for _, e := range p.Outline {
		points := []orb.Point{e.Line.Start()}
		for _, s := range e.Line {
			many := int(s.Length()/step) + 1
			for k := 1; k <= many; k++ {
				q := s.At(float64(k) / float64(many))
				if k == many {
					q = s.P1
				} else if noise != nil {
					q = orb.Point{q[0] + noise(), q[1] + noise()}
				}
				points = append(points, q)
			}
		}
		e.Line = curve.Polyline(points...)
		c.Outline = append(c.Outline, e)
	}
	return &c
}

// toDensify is the pieces of some samples.
func toDensify(t testing.TB) (pieces []*piece.Piece) {
	for _, name := range []string{"tshirt.svg", "blouse.svg", "cardigan.svg"} {
		pieces = append(pieces, patternOf(t, name)...)
	}
	return pieces
}

// drawDensified is a copy of a piece with so many points at most, and that much noise.
func drawDensified(r *rapid.T, p *piece.Piece, most int, noise float64) *piece.Piece {
	return densified(p, rapid.IntRange(400, most).Draw(r, "points"), func() float64 {
		return rapid.Float64Range(-noise, noise).Draw(r, "off")
	})
}

// A simplified outline is off by no more than its allowances grew by, has fewer
// points, and keeps the ends of its edges and the places where darts open.
func TestSimplifiedCopies(t *testing.T) {
	copies := toDensify(t)
	rapid.Check(t, func(r *rapid.T) {
		p := copies[rapid.IntRange(0, len(copies)-1).Draw(r, "piece")]
		off := rapid.SampledFrom([]float64{0, 0.02, 0.05}).Draw(r, "noise")
		dense := drawDensified(r, p, 3000, off)
		c := simplifiedCopy(dense)
		require.Less(r, len(c.Outline.Path()), len(dense.Outline.Path())/2)
		for i, e := range dense.Outline {
			s := c.Outline[i]
			grown := s.AllowanceMM - e.AllowanceMM
			require.LessOrEqual(r, grown, mostOffMM)
			require.Equal(r, e.Line.Start(), s.Line.Start())
			require.Equal(r, e.Line.End(), s.Line.End())
			require.Less(r, farOff(e.Line, s.Line), grown+1e-9)
			require.Less(r, farOff(s.Line, e.Line), grown+1e-9)
		}
		for _, d := range p.Darts {
			for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
				_, was := dense.Outline.Path().Nearest(leg)
				_, is := c.Outline.Path().Nearest(leg)
				require.LessOrEqual(r, is, was+1e-6)
			}
		}
	})
}

// farOff is how far the points of a line lie off another at most.
func farOff(of, from curve.Path) float64 {
	worst := 0.0
	line := from.Flatten(curve.FlattenMM)
	for _, q := range of.Flatten(curve.FlattenMM) {
		if _, mm := plane.NearestOn(line, q); mm > worst {
			worst = mm
		}
	}
	return worst
}

// densePuzzle is a planted puzzle whose pieces have so many points, or are as
// they were drawn for 0.
func densePuzzle(t testing.TB, seed uint64, points int) ([]*piece.Piece, []piece.Scrap) {
	p, err := puzzle.New(seed, puzzle.Rules{Garment: "t-shirt", Seams: 1 + int(seed%2), SlackMM: 20, Decoys: 2, GapMM: 3})
	require.NoError(t, err)
	if points == 0 {
		return p.Pieces, p.Scraps
	}
	var dense []*piece.Piece
	for _, q := range p.Pieces {
		dense = append(dense, densified(q, points, nil))
	}
	return dense, p.Scraps
}

// Pieces of a thousand points need the seams that they need in curves, and the
// plan holds for their true outlines.
func TestDenseOutlinesNeedNoMoreSeams(t *testing.T) {
	if race.On {
		t.Skip("it runs on one core for long")
	}
	t.Parallel()
	for seed := range uint64(2) {
		var seams []int
		for _, points := range []int{0, 1000} {
			pieces, scraps := densePuzzle(t, seed, points)
			ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
			defer cancel()
			res, err := Run(ctx, pieces, scraps, Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 2, Seed: 1, First: true})
			require.NoError(t, err)
			require.NotEmpty(t, res.Plans)
			r := split.Record{Settings: plan.Settings{GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10}, Drawn: res.Drawn, Scraps: split.ScrapCopies(scraps), Plans: res.Plans}
			require.Empty(t, check.Document(r.Document()))
			require.Greater(t, len(res.Drawn[0].Outline.Path()), points)
			seams = append(seams, len(res.Plans[0].Seams))
		}
		require.Equal(t, seams[0], seams[1], "seed %d", seed)
	}
}

// BenchmarkDense is the time until the search for the sample t-shirt settles, its
// pieces in curves and in points.
func BenchmarkDense(b *testing.B) {
	pieces, pile := sampleShirt(b)
	for _, points := range []int{0, 1000, 5000} {
		name := "curves"
		if points > 0 {
			name = fmt.Sprint(points, " points a piece")
		}
		b.Run(name, func(b *testing.B) {
			dense := pieces
			if points > 0 {
				dense = nil
				for _, p := range pieces {
					dense = append(dense, densified(p, points, nil))
				}
			}
			for b.Loop() {
				timed(b, dense, pile)
			}
		})
	}
}

// Bands against orb, which looks at all segments.
func TestBandsFindWhatAllSegmentsTell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var ring orb.Ring
		n := rapid.IntRange(3, 60).Draw(t, "points")
		for k := range n { // a star, so that it does not cross itself
			r := rapid.Float64Range(10, 100).Draw(t, "radius")
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			ring = append(ring, orb.Point{r * cos, r * sin})
		}
		ring = plane.Close(ring)
		b := newBands(ring)
		k := rapid.IntRange(1, n).Draw(t, "segment")
		for _, q := range []orb.Point{
			{rapid.Float64Range(-110, 110).Draw(t, "x"), rapid.Float64Range(-110, 110).Draw(t, "y")},
			plane.Add(plane.Along(ring[k-1], plane.Sub(ring[k], ring[k-1]), rapid.Float64Range(0, 1).Draw(t, "along")),
				orb.Point{rapid.Float64Range(-3*insideMM, 3*insideMM).Draw(t, "dx"), rapid.Float64Range(-3*insideMM, 3*insideMM).Draw(t, "dy")}),
		} {
			away := planar.DistanceFrom(orb.LineString(ring), q)
			if math.Abs(away-insideMM) > 1e-9 {
				require.Equal(t, away <= insideMM, b.near(q), "%v is %g mm away", q, away)
			}
			if away > 1e-9 {
				require.Equal(t, planar.RingContains(ring, q), b.contains(q), "%v is %g mm away", q, away)
			}
		}
	})
}

// What a proof is tried with lies within the copies, the noise of a corner aside, and
// no farther than it may.
func TestCopiesWithin(t *testing.T) {
	copies := toDensify(t)
	rapid.Check(t, func(r *rapid.T) {
		p := copies[rapid.IntRange(0, len(copies)-1).Draw(r, "piece")]
		off, noise := insideMM, rapid.SampledFrom([]float64{0, 0.02, 0.05}).Draw(r, "noise")
		if noise == 0 {
			off = rapid.SampledFrom([]float64{insideMM, withinMM}).Draw(r, "within")
		}
		dense := drawDensified(r, p, 2000, noise)
		inner := copiesWithin([]*piece.Piece{dense}, off)[0]
		line, err := split.CutLine(dense, dense.Outline)
		require.NoError(r, err)
		less, err := split.CutLine(inner, inner.Outline)
		require.NoError(r, err)
		b := newBands(line)
		for _, q := range less {
			if !b.contains(q) {
				require.LessOrEqual(r, planar.DistanceFrom(orb.LineString(plane.Close(line)), q), insideMM+noise)
			}
		}
		for i, e := range dense.Outline {
			given := e.AllowanceMM - inner.Outline[i].AllowanceMM
			require.LessOrEqual(r, given+farOff(e.Line, inner.Outline[i].Line), off+1e-9)
		}
	})
}
