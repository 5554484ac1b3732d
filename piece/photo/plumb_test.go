package photo

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"eke/piece/photo/staged"
	"eke/piece/plane"
	"eke/piece/race"
	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// cutEdges is edges of scraps that hands cut so unevenly, as parts of their length, seen through a lens.
func cutEdges(v view, n int, uneven float64, r *rand.Rand) (out []plumb) {
	for len(out) < n {
		from := v.ground(orb.Point{2000 * r.Float64(), 1500 * r.Float64()})
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		to := plane.Add(from, plane.Scale(orb.Point{cos, sin}, 100+400*r.Float64()))
		off := uneven * r.NormFloat64() * plane.Distance(from, to)
		mid := plane.Along(plane.Lerp(from, to, 0.5), orb.Point{-sin, cos}, off)
		l := plumb{from: v.point(from), mid: v.point(mid), to: v.point(to), noisePx: 0.1}
		if l.to[0] < 0 || l.to[0] > 2000 || l.to[1] < 0 || l.to[1] > 1500 {
			continue
		}
		l.cutPx = plane.Distance(l.from, l.to)
		l.mid = plane.Along(l.mid, orb.Point{-sin, cos}, l.noisePx*r.NormFloat64())
		out = append(out, l)
	}
	return out
}

// bendOf is what a sheet in the middle and edges say of the bend of a lens.
func bendOf(t *testing.T, v view, edges []plumb, r *rand.Rand) (bend, unsure float64) {
	flat := v
	flat.bend = 0
	f := fitted{view: flat, sheets: []laid{{}}, rmsPx: 0.3}
	f.told, f.unsure = bendBy(edges, flat)
	for x := -105.0; x <= 105; x += 30 {
		for y := -148.0; y <= 148; y += 37 {
			for _, n := range []orb.Point{{1, 0}, {0, 1}} {
				at := plane.Along(v.point(orb.Point{x, y}), n, 0.3*r.NormFloat64())
				f.seen = append(f.seen, sighting{ground: orb.Point{x, y}, at: at, normal: n})
			}
		}
	}
	require.NoError(t, f.solve(f.seen))
	_, unsure = f.bendErr()
	return f.bend, unsure
}

// Edges tell the bend as surely as they are cut, and it is known how surely: even of slow
// curves no bend is read that the lens has not.
func TestEdgesTellTheBend(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(11, 3))
	for _, c := range []struct {
		uneven, most float64 // most that the bend may be unsure by on average
	}{{0, 0.003}, {0.001, 0.009}, {0.01, usualBend}} {
		const draws = 60
		covered, said := 0, 0.0
		for range draws {
			v := newView(2000, 1500)
			v.h = [8]float64{0.25, 0, 0, 0, 0.25, 0, 0.02, 0.01}
			v.bend = 0.06 * (r.Float64() - 0.6)
			bend, unsure := bendOf(t, v, cutEdges(v, 30, c.uneven, r), r)
			if math.Abs(bend-v.bend) <= 2*math.Hypot(unsure, 0.0005) {
				covered++
			}
			said += unsure / draws
		}
		require.GreaterOrEqual(t, covered, draws*93/100, "%+v", c)
		require.Less(t, said, c.most, "%+v", c)
	}
}

// Where nothing is straight the bend is as unsure as that of any phone.
func TestNothingTellsTheBend(t *testing.T) {
	t.Parallel()
	v := newView(2000, 1500)
	v.h = [8]float64{0.25, 0, 0, 0, 0.25, 0, 0.02, 0.01}
	v.bend = -0.04
	_, unsure := bendOf(t, v, nil, rand.New(rand.NewPCG(11, 5)))
	require.InDelta(t, usualBend, unsure, 0.002)
}

// Discs on a plain floor, seen through a lens that bends: what is said of those far from the
// sheet covers what that does to them, and why it is so much is said; where a long
// scrap that is cut off lies there too, its straight edges tell of the lens, and they are surer.
func TestUnknownBendIsSaid(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	for _, c := range []struct {
		bend     float64
		straight bool
	}{{-0.03, false}, {-0.04, true}} {
		s := staged.Random(3, 1200)
		s.Camera.Bend = [2]float64{c.bend, 0}
		s.Sheets = []staged.Sheet{{Paper: scalesheet.Papers[0], Pose: staged.Pose{At: orb.Point{-105, -148}}}}
		s.Ground.Kind = "plain"
		s.Scraps = nil
		cloth := staged.Cloth{Weave: staged.PlainWeave, Colours: [3][3]float64{{0.3, 0.03, 0.03}}, RepeatMM: 1}
		w, h := float64(s.Width), float64(s.Height)
		for _, at := range []orb.Point{{0.17, 0.2}, {0.83, 0.2}, {0.17, 0.75}, {0.83, 0.75}} {
			mid := s.Camera.Ground(orb.Point{at[0] * w, at[1] * h}, s.Width, s.Height)
			var disc orb.Ring
			for i := range 181 {
				sin, cos := math.Sincos(-2 * math.Pi * float64(i) / 180)
				disc = append(disc, orb.Point{mid[0] + 140*cos, mid[1] + 140*sin})
			}
			s.Scraps = append(s.Scraps, staged.Scrap{Outline: disc, Cloth: cloth})
		}
		if c.straight {
			a, b := s.Camera.Ground(orb.Point{0.35 * w, 0.9 * h}, s.Width, s.Height), s.Camera.Ground(orb.Point{1.1 * w, 0.97 * h}, s.Width, s.Height)
			s.Scraps = append(s.Scraps, staged.Scrap{Outline: orb.Ring{a, {a[0], b[1]}, b, {b[0], a[1]}, a}, Cloth: cloth, Fate: staged.CutOff})
		}
		got, err := trace(t.Context(), newPicture(s.Picture(), 1), Options{})
		require.NoError(t, err)
		require.Len(t, got.out.Scraps, 4)
		said := false
		for _, p := range got.out.Problems {
			said = said || strings.Contains(p.What, "the lens may bend lines")
		}
		require.True(t, said, "%+v: %v", c, got.out.Problems)
		_, worst := got.far(true)
		require.Equal(t, c.straight, worst < 2, "%+v: %v", c, got.out.Problems)
		for _, f := range got.out.Scraps {
			var was, now []orb.Point
			for _, q := range f.seen[0] {
				was, now = append(was, got.view.ground(q)), append(now, s.Camera.Ground(q, s.Width, s.Height))
			}
			off := math.Sqrt(misfit(now, was))
			require.LessOrEqual(t, off, 2.2*f.UncertainMM, "%+v, number %d", c, f.Number)
			if !c.straight {
				require.Greater(t, off, 1.0, "nothing to tell")
			}
		}
	}
}

// The lens is blamed only for what it makes most of.
func TestFarByLens(t *testing.T) {
	t.Parallel()
	tr := &tracer{out: &Result{Scraps: []Scrap{
		{Number: 1, UncertainMM: 0.9, bendMM: 0.9}, {Number: 2, UncertainMM: 2, bendMM: 1.3}, {Number: 3, UncertainMM: 3.8, bendMM: 3.7}, {Number: 4, UncertainMM: 1.2, bendMM: 1},
	}}}
	far, mm := tr.far(false)
	require.Equal(t, []int{2}, far)
	require.InDelta(t, 2, mm, 0)
	far, mm = tr.far(true)
	require.Equal(t, "numbers 3 and 4", named(far))
	require.InDelta(t, 3.8, mm, 0)
}
