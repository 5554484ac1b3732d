package allowance

import (
	"errors"
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// cutOutline is an outline's cutting line as an outline with the same edges.
func cutOutline(t require.TestingT, o piece.Outline) piece.Outline {
	runs, err := cutRuns(o, Corners{PiecingEnd: Mitre, Hem: Mitre})
	require.NoError(t, err)
	for i, j := 0, len(runs)-1; i < j; i, j = i+1, j-1 {
		runs[i], runs[j] = runs[j], runs[i]
	}
	for i := range runs {
		runs[i].line = runs[i].line.Reverse()
	}
	out, lost := regroup(o, runs)
	require.Negative(t, lost)
	return out
}

// apart is how far two closed paths stray from each other: the Hausdorff
// distance, sampled.
func apart(p, q curve.Path) float64 {
	worst := 0.0
	for _, pq := range [][2]curve.Path{{p, q}, {q, p}} {
		other := orb.Ring(pq[1].Flatten(fineMM))
		other = other[:len(other)-1]
		for _, a := range pq[0].Flatten(fineMM) {
			worst = math.Max(worst, plane.ToRing(other, a))
		}
	}
	return worst
}

func TestSeamLineUndoesCutLine(t *testing.T) {
	o := bodice()
	o[0].Notches = []piece.Notch{{AtMM: 50, Count: 2}}
	p := &piece.Piece{Name: "front", Outline: cutOutline(t, o)}
	p.Outline[0].Notches = []piece.Notch{{AtMM: 60, Count: 2}}
	p.Darts = []piece.Dart{{Leg1: orb.Point{-100, 690}, Apex: orb.Point{-90, 400}, Leg2: orb.Point{-80, 690}}}
	require.NoError(t, SeamLine(p))
	require.Less(t, apart(o.Path(), p.Outline.Path()), 0.1)
	require.Len(t, p.Outline, len(o))
	curved := 0
	for i, e := range p.Outline {
		require.Equal(t, o[i].Name, e.Name)
		require.InDelta(t, o[i].Line.Length(), e.Line.Length(), 0.2, e.Name)
		require.Less(t, plane.Distance(o[i].Line.Start(), e.Line.Start()), 0.1, e.Name)
		require.Less(t, len(e.Line), 12, "%s: curves stay curves", e.Name)
		for _, s := range e.Line {
			if s.Curved {
				curved++
			}
		}
	}
	require.GreaterOrEqual(t, curved, 8)
	require.Len(t, p.Outline[0].Notches, 1)
	_, away := o.Path().Nearest(p.Darts[0].Leg1)
	require.Less(t, away, 0.1)
}

// A side that is drawn a little longer than the allowance beside it is wide,
// before it bends, leaves the seam line no hair of it.
func TestSeamLineHasNoHairs(t *testing.T) {
	for _, over := range []float64{-0.07, -0.0014, 0, 1e-5, 0.0014, 0.0096, 0.03, 0.0599, 0.07} {
		o := piece.Outline{
			{Name: "neck", AllowanceMM: 10, Line: curve.Polyline(orb.Point{0, 0}, orb.Point{200, 0})},
			{AllowanceMM: 10, Line: curve.Path{
				curve.Line(orb.Point{200, 0}, orb.Point{200, 10 + over}),
				curve.Cubic(orb.Point{200, 10 + over}, orb.Point{200, 40}, orb.Point{204, 70}, orb.Point{208, 100}),
			}},
			{Name: "waist", AllowanceMM: 10, Line: curve.Path{
				curve.Cubic(orb.Point{208, 100}, orb.Point{140, 100}, orb.Point{70, 105}, orb.Point{10 + over, 105}),
				curve.Line(orb.Point{10 + over, 105}, orb.Point{0, 105}),
			}},
			{AllowanceMM: 10, Line: curve.Polyline(orb.Point{0, 105}, orb.Point{0, 0})},
		}
		p := &piece.Piece{Name: "facing", Outline: o}
		require.NoError(t, SeamLine(p))
		require.Len(t, p.Outline, len(o))
		for i, e := range p.Outline {
			require.Equal(t, o[i].Name, e.Name)
			for _, s := range e.Line {
				require.GreaterOrEqual(t, s.Length(), curve.StubMM, "%g mm over: edge %d", over, i)
			}
		}
		// The corners are where they would be with no hair.
		require.InDelta(t, 180, p.Outline[0].Line.Length(), 0.02, "%g mm over", over)
		require.InDelta(t, 85, p.Outline[3].Line.Length(), 0.02, "%g mm over", over)
	}
}

func TestSeamLineUndoesCutLineOfAnyPiece(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := gentleOutline(t)
		p := &piece.Piece{Name: "front", Outline: cutOutline(t, o)}
		require.NoError(t, SeamLine(p))
		// A corner that points into the piece hides the last few mm of its two
		// curves from the cutting line, which can only be run on straight.
		within := 0.1
		for i, e := range o {
			before := o[(i+len(o)-1)%len(o)]
			if plane.Cross(before.Line[0].Tangent(1), e.Line[0].Tangent(0)) < -0.1 && (e.Line[0].Curved || before.Line[0].Curved) {
				within = 1
			}
		}
		require.Less(t, apart(o.Path(), p.Outline.Path()), within)
		_, crossed := piece.SelfCrossing(p.Outline.Ring())
		require.False(t, crossed)
	})
}

func TestSeamLineRefuses(t *testing.T) {
	for name, o := range map[string]piece.Outline{
		"nothing left": polygon(60, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 100}, orb.Point{0, 100}),
		"in two":       polygon(15, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 40}, orb.Point{200, 40}, orb.Point{200, 0}, orb.Point{300, 0}, orb.Point{300, 100}, orb.Point{200, 100}, orb.Point{200, 60}, orb.Point{100, 60}, orb.Point{100, 100}, orb.Point{0, 100}),
		"too narrow":   polygon(15, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 40}, orb.Point{300, 40}, orb.Point{300, 60}, orb.Point{100, 60}, orb.Point{100, 100}, orb.Point{0, 100}),
	} {
		p := &piece.Piece{Name: "front", File: "a.svg", Outline: o}
		err := SeamLine(p)
		var e *piece.Error
		require.True(t, errors.As(err, &e), "%s: %v", name, err)
		require.Equal(t, "a.svg", e.File)
		require.Equal(t, "front", e.Piece)
		require.Contains(t, e.Cure, "allowance")
		require.Equal(t, o, p.Outline, "left as it was")
		t.Log(err)
	}
}
