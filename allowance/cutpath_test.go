package allowance

import (
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The drawn curve keeps to the true one: each point of it is its edge's
// allowance from the edge's own curve.
func TestCutPathKeepsTheAllowance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := gentleOutline(t)
		runs, err := cutRuns(o, Corners{})
		require.NoError(t, err)
		for i, r := range runs {
			require.Less(t, plane.Distance(r.line.End(), runs[(i+1)%len(runs)].line.Start()), 1e-9)
			if r.edge == cornerSide {
				continue
			}
			length := r.line.Length()
			for k := range 21 {
				q, _ := r.line.At(length * float64(k) / 20)
				along, away := o[r.edge].Line.Nearest(q)
				if along > 0.01 && along < o[r.edge].Line.Length()-0.01 {
					require.InDelta(t, o[r.edge].AllowanceMM, away, 0.05)
				}
			}
		}
	})
}

// On pieces of any shape, folds and slots and all, the fitted curves keep to
// the line that is proved.
func TestCutPathKeepsToTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := randomOutline(t)
		path, err := CutPath(o)
		require.NoError(t, err)
		ring, err := CutLine(o)
		require.NoError(t, err)
		require.Less(t, apart(path, curve.Polyline(append(ring, ring[0])...)), 0.09)
		require.Positive(t, plane.SignedArea(orb.Ring(path.Flatten(curve.FlattenMM))))
	})
}

// Where a curve is tighter than its allowance is wide its true offset runs back
// before it runs on; the line that is drawn does not. The neck of a back, tight
// beside the shoulder, and a large allowance for it.
func TestCutPathDoesNotTurnBack(t *testing.T) {
	neck := curve.Path{curve.Cubic(orb.Point{1.3, 0}, orb.Point{7, 9.1}, orb.Point{27, 15.2}, orb.Point{58.5, 15.2})}
	for _, allowance := range []float64{10, 15, 20, 30} {
		o := piece.Outline{
			{Name: "neck", AllowanceMM: allowance, Line: neck},
			{Name: "centre", AllowanceMM: 10, Line: curve.Polyline(orb.Point{58.5, 15.2}, orb.Point{58.5, 300}, orb.Point{-120, 300}, orb.Point{-81, 29})},
			{Name: "shoulder", AllowanceMM: 10, Line: curve.Polyline(orb.Point{-81, 29}, orb.Point{1.3, 0})},
		}
		path, err := CutPath(o)
		require.NoError(t, err)
		ring := orb.Ring(path.Flatten(fineMM))
		at, crosses := piece.SelfCrossing(ring[:len(ring)-1])
		require.False(t, crosses, "%g mm: at %v", allowance, at)
		line, err := CutLine(o)
		require.NoError(t, err)
		require.Less(t, apart(path, curve.Polyline(append(line, line[0])...)), 0.09)
	}
}

// A piece that is all straight lines has a cutting line that is too, and
// exactly CutLine's.
func TestCutPathOfStraightEdges(t *testing.T) {
	o := flared("hem")
	path, err := CutPath(o)
	require.NoError(t, err)
	ring, err := CutLine(o)
	require.NoError(t, err)
	for _, s := range path {
		require.False(t, s.Curved)
	}
	require.Less(t, apart(path, curve.Polyline(append(ring, ring[0])...)), 1e-9)
}
