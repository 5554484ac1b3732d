package split_test

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A curved yoke rises by at most a tenth of its width, both parts share the
// very same curve, and every level of its spans cuts every sample in exactly
// two sound parts.
func TestCurvedYoke(t *testing.T) {
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		for _, p := range sample(t, name) {
			b := split.NewBody(p, p.Outline)
			for _, w := range []split.CurvedYoke{{}, {Up: true}} {
				for _, s := range w.Spans(b) {
					for f := 0.0; f <= 1; f += 0.25 {
						level := s.Lo + f*(s.Hi-s.Lo)
						near, far, seam, err := split.Cut(p.Outline, w.Line(b, level), split.Seam{Name: "A", AllowanceMM: 10})
						require.NoError(t, err, "%s at %.1f", p.ID(), level)
						width := math.Hypot(seam.End()[0]-seam.Start()[0], seam.End()[1]-seam.Start()[1])
						ring := seam.Flatten(0.01)
						var rise float64
						for _, q := range ring {
							off := (seam.End()[0]-seam.Start()[0])*(q[1]-seam.Start()[1]) - (seam.End()[1]-seam.Start()[1])*(q[0]-seam.Start()[0])
							rise = math.Max(rise, math.Abs(off)/width)
						}
						require.LessOrEqual(t, rise, width/10)
						require.Equal(t, seam.D(), edgeOf(far, "A").Line.D())
						require.Equal(t, seam.Reverse().D(), edgeOf(near, "A").Line.D())
						require.InDelta(t, plane.SignedArea(p.Outline.Ring()), plane.SignedArea(near.Ring())+plane.SignedArea(far.Ring()), 2)
						mid, _ := seam.At(seam.Length() / 2)
						require.InDelta(t, level, w.LevelOf(b, mid), 0.01)
					}
				}
			}
		}
	}
}

func edgeOf(o piece.Outline, seam string) piece.Edge {
	for _, e := range o {
		if e.Seam == seam {
			return e
		}
	}
	return piece.Edge{}
}

// The ends of a curved yoke that is welcome keep clear of the underarm where
// its middle does not, and it is proved with notches that stand closer.
func TestCurvedYokeClearsTheUnderarm(t *testing.T) {
	front := only(sample(t, "tshirt.svg"), "front")
	b := split.NewBody(front[0], front[0].Outline)
	arm := split.Underarms(b.Outline)
	require.Len(t, arm, 2)
	level := split.CurvedYoke{}.Welcome(b)
	require.Len(t, level, 1)
	_, down := b.Frame.Place(arm[0])
	require.Less(t, level[0], down)
	made, _ := proved(t, cutting(front, "front", byHand(t, split.CurvedYoke{}, func(*split.Body) float64 { return level[0] })), front)
	require.Equal(t, "curved yoke", made.Seams[0].Kind)
	require.Zero(t, pointsFor(made, "bulk"))
	require.InDelta(t, 0.5, pointsFor(made, "curve"), 1e-9)
	straight, _ := proved(t, cutting(front, "front", byHand(t, split.Yoke{}, func(*split.Body) float64 { return level[0] + 30 })), front)
	require.NotZero(t, pointsFor(straight, "bulk")+pointsFor(straight, "ends in a curve"))
}

// No line of a span crosses a keep zone, straight or curved, nor leaves a part
// under 20 mm.
func TestSpansKeepOffZones(t *testing.T) {
	front := only(sample(t, "blouse.svg"), "front")[0]
	require.NotEmpty(t, front.Keeps)
	b := split.NewBody(front, front.Outline)
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SampledFrom([]split.Way{split.Yoke{}, split.Panel{}, split.CurvedYoke{}, split.CurvedYoke{Up: true}, split.Corner{Deg: 30}}).Draw(t, "way")
		spans := w.Spans(b)
		require.NotEmpty(t, spans)
		s := rapid.SampledFrom(spans).Draw(t, "span")
		level := s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
		line := w.Line(b, level)
		for _, k := range front.Keeps {
			for _, q := range k.Line.Flatten(0.05) {
				_, away := line.Nearest(q)
				require.Positive(t, away)
			}
			require.Empty(t, curve.Crossings(k.Line, line))
		}
		near, far, _, err := split.Cut(front.Outline, line, split.Seam{Name: "A"})
		require.NoError(t, err)
		for _, part := range []piece.Outline{near, far} {
			require.Greater(t, plane.SignedArea(part.Ring()), 8.0*8)
		}
	})
}

// stretched is a piece made wider across its grain and longer along it by random
// factors, fold and all.
func stretched(t *rapid.T, p *piece.Piece) *piece.Piece {
	q := *p
	wider, longer := rapid.Float64Range(0.7, 1.4).Draw(t, "wider"), rapid.Float64Range(0.7, 1.4).Draw(t, "longer")
	f := split.FrameOf(p.GrainDeg)
	entry := func(i, k int) float64 { return wider*f.Right[i]*f.Right[k] + longer*f.Down[i]*f.Down[k] }
	m := curve.Matrix{entry(0, 0), entry(0, 1), entry(1, 0), entry(1, 1), 0, 0}
	q.Outline = p.Outline.Transform(m)
	if c := p.Centre; c != nil {
		q.Centre = &piece.Axis{A: m.Apply(c.A), B: m.Apply(c.B)}
	}
	q.Darts, q.Keeps, q.Levels = nil, nil, nil
	return &q
}

// On pieces of any width, the two parts of a curved yoke tile the piece and
// share the same Béziers, the near one grows with the level, and on a piece
// that was cut on the fold the seam is its own mirror image.
func TestCurvedYokesOfAnyPiece(t *testing.T) {
	var pieces []*piece.Piece
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		pieces = append(pieces, sample(t, name)...)
	}
	rapid.Check(t, func(t *rapid.T) {
		p := stretched(t, rapid.SampledFrom(pieces).Draw(t, "piece"))
		b := split.NewBody(p, p.Outline)
		w := split.CurvedYoke{Up: rapid.Bool().Draw(t, "up")}
		spans := w.Spans(b)
		if len(spans) == 0 {
			return
		}
		s := rapid.SampledFrom(spans).Draw(t, "span")
		level := s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
		near, far, seam, err := split.Cut(p.Outline, w.Line(b, level), split.Seam{Name: "A"})
		require.NoError(t, err)
		require.Equal(t, seam, edgeOf(far, "A").Line)
		require.Equal(t, seam.Reverse(), edgeOf(near, "A").Line)
		require.InDelta(t, plane.SignedArea(b.Ring), plane.SignedArea(near.Ring())+plane.SignedArea(far.Ring()), 0.05*seam.Length())
		// An end that would leave a stub of 0.06 mm is moved to the corner.
		const offMM = 0.06*1.1 + 0.01
		for _, q := range near.Ring() {
			require.LessOrEqual(t, w.LevelOf(b, q), level+offMM)
		}
		for _, q := range far.Ring() {
			require.GreaterOrEqual(t, w.LevelOf(b, q), level-offMM)
		}
		if c := p.Centre; c != nil {
			left, _ := b.Frame.Place(c.A)
			right, _ := b.Frame.Place(c.B)
			if math.Abs(left-right) > 1e-6 {
				return // the fold runs across the grain
			}
			mirror := curve.Mirror(p.Centre.A, p.Centre.B)
			for _, q := range seam.Flatten(1) {
				_, away := seam.Nearest(mirror.Apply(q))
				require.Less(t, away, 1e-6)
			}
		}
	})
}

// A curved yoke that is offered runs near the underarm, from just above it to as far
// below as a seam still lies by it, nowhere else, and on no piece that has none. That
// is so of both ways to bend.
func TestCurvedYokesAreOfferedAtTheUnderarm(t *testing.T) {
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		for _, p := range sample(t, name) {
			b := split.NewBody(p, p.Outline)
			arms := split.Underarms(p.Outline)
			for _, w := range []split.CurvedYoke{{AtUnderarm: true}, {AtUnderarm: true, Up: true}} {
				spans := w.Spans(b)
				if len(arms) == 0 {
					require.Empty(t, spans)
					continue
				}
				require.NotEmpty(t, spans, p.ID())
				any := split.CurvedYoke{Up: w.Up}
				for _, s := range spans {
					require.True(t, split.In(any.Spans(b), s.Lo) && split.In(any.Spans(b), s.Hi))
					for _, level := range []float64{s.Lo, (s.Lo + s.Hi) / 2, s.Hi} {
						_, _, seam, err := split.Cut(p.Outline, w.Line(b, level), split.Seam{Name: "A"})
						require.NoError(t, err)
						above, below := math.Inf(1), math.Inf(1)
						for _, u := range arms {
							_, down := b.Frame.Place(u)
							lo, hi := level, level+down-w.LevelOf(b, u)
							if lo > hi {
								lo, hi = hi, lo
							}
							above, below = math.Min(above, down-hi), math.Min(below, lo-down)
						}
						require.LessOrEqual(t, above, 15.0+1e-9, "%s: seam %s", p.ID(), seam.D())
						require.LessOrEqual(t, below, 60.0+1e-9, "%s: seam %s", p.ID(), seam.D())
					}
				}
			}
		}
	}
}

// Where a straight yoke is welcome, a curved one is offered too, its middle as far
// below the underarm (20 mm) or its ends.
func TestCurvedYokesAreOfferedWhereAStraightOneIsWelcome(t *testing.T) {
	front := only(sample(t, "tshirt.svg"), "front")
	b := split.NewBody(front[0], front[0].Outline)
	arm := split.Underarms(front[0].Outline)[0]
	_, down := b.Frame.Place(arm)
	offered := 0
	for _, w := range split.Ways() {
		c, ok := w.(split.CurvedYoke)
		if !ok {
			continue
		}
		offered++
		require.True(t, split.In(c.Spans(b), down+20), "middle, up %v", c.Up)
		require.True(t, split.In(c.Spans(b), c.LevelOf(b, arm)+20), "ends, up %v", c.Up)
	}
	require.Equal(t, 2, offered)
}

// A curved yoke costs more than a straight one that ends at the same places,
// unless those are at an underarm or above it.
func TestCurvedYokeCostsMoreAwayFromTheUnderarm(t *testing.T) {
	front := only(sample(t, "tshirt.svg"), "front")
	b := split.NewBody(front[0], front[0].Outline)
	_, arm := b.Frame.Place(split.Underarms(front[0].Outline)[0])
	cost := func(w split.Way, level float64) float64 {
		made, err := split.Make(cutting(front, "front", byHand(t, w, func(*split.Body) float64 { return level })), 10)
		require.NoError(t, err)
		return split.Intrusion(split.Cost(made))
	}
	for _, below := range []float64{20, 60, 120, 180} {
		require.Greater(t, cost(split.CurvedYoke{}, arm+below), cost(split.Yoke{}, arm+below), "%g mm below", below)
	}
	for _, below := range []float64{-12, -5, 0, 10} {
		require.Less(t, cost(split.CurvedYoke{}, arm+below), cost(split.Yoke{}, arm+below), "%g mm below", below)
	}
}
