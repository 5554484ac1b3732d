package photo

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Distances are those that looking at every point gives.
func TestSquaresOff(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 40).Draw(t, "w"), rapid.IntRange(1, 12).Draw(t, "h")
		part := rapid.SampledFrom([]int{0, 1, 5, 50, 99}).Draw(t, "of 100")
		m := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) bool { return rapid.IntRange(0, 99).Draw(t, "is") < part }), w*h, w*h).Draw(t, "m")
		for k, got := range squaresOff(m, w, h) {
			least := math.Inf(1)
			for i, is := range m {
				if dx, dy := float64(i%w-k%w), float64(i/w-k/w); is {
					least = min(least, dx*dx+dy*dy)
				}
			}
			if math.IsInf(least, 1) {
				require.Greater(t, got, 1e9)
			} else {
				require.Equal(t, least, got)
			}
		}
	})
}

func BenchmarkSquaresOff(b *testing.B) {
	const w, h = 2000, 1500
	m := make([]bool, w*h)
	for k := range m {
		m[k] = (k%w/100+k/w/100)%5 == 0
	}
	for b.Loop() {
		squaresOff(m, w, h)
	}
}

// A point is dilated where a square about it has such a point.
func TestDilated(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 80).Draw(t, "w"), rapid.IntRange(1, 9).Draw(t, "h")
		reach := rapid.IntRange(0, 4).Draw(t, "reach")
		m := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) bool { return rapid.IntRange(0, 19).Draw(t, "is") == 0 }), w*h, w*h).Draw(t, "m")
		for k, got := range dilated(m, w, h, reach) {
			want := false
			for y := max(0, k/w-reach); y <= min(h-1, k/w+reach); y++ {
				for x := max(0, k%w-reach); x <= min(w-1, k%w+reach); x++ {
					want = want || m[y*w+x]
				}
			}
			require.Equal(t, want, got)
		}
	})
}

func BenchmarkDilated(b *testing.B) {
	const w, h = 2000, 1500
	m := make([]bool, w*h)
	for k := range m {
		m[k] = (k%w/100+k/w/100)%5 == 0
	}
	for b.Loop() {
		dilated(m, w, h, 5)
	}
}
