package fit

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// cutRectangle cuts a rectangle across at the level: what is above it goes to
// the first cloth, beside other items there, what is below it to the second.
func cutRectangle(width, length float64, beside []Item) Cutter {
	return func(levels []float64) ([][]Item, bool) {
		at := levels[0]
		if at <= 0 || at >= length {
			return nil, false
		}
		upper := Item{NewShape(rectangle(width, at)), []Turn{{}}}
		lower := Item{NewShape(rectangle(width, length-at)), []Turn{{}}}
		return [][]Item{append([]Item{upper}, beside...), {lower}}, true
	}
}

// requireFeasible requires that all items lie on their cloths as a solution says.
func requireFeasible(t require.TestingT, j *Joint, found *Solution) {
	items, ok := j.Cut(found.Levels)
	require.True(t, ok)
	for k, on := range items {
		var poses []pose
		for i, it := range on {
			poses = append(poses, it.Shape.pose(found.At[k][i]))
		}
		require.True(t, feasible(j.Cloths[k], on, poses, j.GapMM, new(scratch)), "cloth %d", k)
	}
}

// twoCloths are rectangles of one width, so long.
func twoCloths(width, first, second float64) []*Cloth {
	return []*Cloth{NewCloth(rectangle(width, first), nil), NewCloth(rectangle(width, second), nil)}
}

func rectangle(w, h float64) orb.Ring { return orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}} }

// Two cloths that hold a rectangle only where it is cut at one level, to
// within a tenth of a millimetre, and only if what shares the first cloth
// moves out of the way.
func TestJointFindsTheOneLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(200, 700).Draw(t, "length")
		level := length * rapid.Float64Range(0.15, 0.85).Draw(t, "share")
		first := rapid.IntRange(0, 6).Draw(t, "first start")
		const width, spare, gap = 150.0, 0.1, 3.0
		small := Item{NewShape(rectangle(width-40, 60)), []Turn{{}}}
		j := &Joint{
			Cloths: twoCloths(width+spare, level+60+gap+spare, length-level+spare),
			GapMM:  gap, Lo: []float64{1}, Hi: []float64{length - 1},
			Start: func(k int) []float64 {
				return []float64{length * (0.5 + float64((k+first)%7)) / 7}
			}, Starts: 7, Least: 14,
			Cut: cutRectangle(width, length, []Item{small}),
		}
		var trail Trail
		found, ok := j.Pack(context.Background(), &trail, 20, 1)
		require.True(t, ok, "%+v", trail)
		require.InDelta(t, level, found.Levels[0], spare+1e-6)
		requireFeasible(t, j, found)
	})
}

// What no level can do is given up, and taking up the trail asks nothing twice.
func TestJointGivesUp(t *testing.T) {
	j := &Joint{
		Cloths: []*Cloth{NewCloth(rectangle(100, 100), nil), NewCloth(rectangle(100, 90), nil)},
		Lo:     []float64{1}, Hi: []float64{199},
		Start: func(int) []float64 { return []float64{100} }, Starts: 1,
		Cut: cutRectangle(100, 200, nil),
	}
	var trail Trail
	_, ok := j.Pack(context.Background(), &trail, 3, 1)
	require.False(t, ok)
	require.Positive(t, trail.Attempts)
	require.InDelta(t, 2.5, trail.ShortMM, 0.1, "10 mm are missing, shared by both ends of both parts")
	was := trail
	_, ok = j.Pack(context.Background(), &trail, 3, 1)
	require.False(t, ok)
	require.Equal(t, was.Attempts, trail.Attempts)
}

// The same level is found cloth by cloth, and what none can hold is not.
func TestJointInTurnFindsTheOneLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(200, 700).Draw(t, "length")
		level := length * rapid.Float64Range(0.15, 0.85).Draw(t, "share")
		const width, spare, gap = 150.0, 2.0, 3.0
		small := Item{NewShape(rectangle(width-40, 60)), []Turn{{}}}
		j := &Joint{
			Cloths: twoCloths(width+spare, level+60+gap+spare, length-level+spare),
			GapMM:  gap, Lo: []float64{1}, Hi: []float64{length - 1},
			Start: func(int) []float64 { return []float64{length / 2} }, Starts: 1,
			Cut: cutRectangle(width, length, []Item{small}),
		}
		found, ok := j.PackInTurn(context.Background(), 2000, 1)
		require.True(t, ok)
		require.InDelta(t, level, found.Levels[0], spare+1e-6)
		requireFeasible(t, j, found)
		j.Cloths[1] = NewCloth(rectangle(width+spare, length-level-spare), nil)
		_, ok = j.PackInTurn(context.Background(), 2000, 1)
		require.False(t, ok, "%.0f mm are missing", 2*spare)
	})
}

// A rectangle cut twice and shared by three cloths has one cloth in the middle that
// waits for both others; two parts on one cloth wait for each other.
func TestJointInTurnGoesInwards(t *testing.T) {
	const width, spare = 100.0, 0.5
	part := func(h float64) Item { return Item{NewShape(rectangle(width, h)), []Turn{{}}} }
	thirds := func(levels []float64) ([]Item, bool) {
		if levels[0] <= 0 || levels[1] <= levels[0] || levels[1] >= 300 {
			return nil, false
		}
		return []Item{part(levels[0]), part(levels[1] - levels[0]), part(300 - levels[1])}, true
	}
	j := &Joint{
		Cloths: []*Cloth{NewCloth(rectangle(width, 130+spare), nil), NewCloth(rectangle(width, 60+spare), nil), NewCloth(rectangle(width, 110+spare), nil)},
		GapMM:  3, Lo: []float64{1, 1}, Hi: []float64{299, 299},
		Start: func(int) []float64 { return []float64{100, 200} }, Starts: 1,
		Cut: func(levels []float64) ([][]Item, bool) {
			parts, ok := thirds(levels)
			if !ok {
				return nil, false
			}
			return [][]Item{parts[1:2], parts[:1], parts[2:]}, true
		},
	}
	found, ok := j.PackInTurn(context.Background(), 2000, 1)
	require.True(t, ok)
	require.InDelta(t, 60, found.Levels[0], 2)
	require.InDelta(t, 190, found.Levels[1], 2)

	j.Cloths = j.Cloths[:2]
	j.Cut = func(levels []float64) ([][]Item, bool) {
		parts, ok := thirds(levels)
		if !ok {
			return nil, false
		}
		return [][]Item{parts[:2], parts[2:]}, true
	}
	_, ok = j.PackInTurn(context.Background(), 2000, 1)
	require.False(t, ok, "the first level is never the only one that is open")
}
