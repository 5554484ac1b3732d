package curve

import (
	"math"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestWithoutHairs(t *testing.T) {
	bend := Cubic(orb.Point{0, 0}, orb.Point{3, 0}, orb.Point{6, 1}, orb.Point{9, 3})
	tests := []struct {
		name     string
		in, want Path
	}{
		{"nothing", nil, nil},
		{"no hair", Polyline(orb.Point{0, 0}, orb.Point{1, 0}), Polyline(orb.Point{0, 0}, orb.Point{1, 0})},
		{"all there is", Polyline(orb.Point{0, 0}, orb.Point{0.01, 0}), Polyline(orb.Point{0, 0}, orb.Point{0.01, 0})},
		{"at the start", Polyline(orb.Point{0, 0}, orb.Point{0, 0.01}, orb.Point{9, 0}), Polyline(orb.Point{0, 0}, orb.Point{9, 0})},
		{"at the end", Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9, 0.01}), Polyline(orb.Point{0, 0}, orb.Point{9, 0.01})},
		{"to the side that it carries on", Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9.01, 0}, orb.Point{9.01, 9}), Polyline(orb.Point{0, 0}, orb.Point{9.01, 0}, orb.Point{9.01, 9})},
		{"to the side that carries it on", Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9, 0.01}, orb.Point{9, 9}), Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9, 9})},
		{"small steps", Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9.02, 0}, orb.Point{9.04, 0}, orb.Point{9.06, 0}, orb.Point{9.06, 9}), Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9.06, 0}, orb.Point{9.06, 9})},
		{"steps on both sides of a corner", Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9.04, 0}, orb.Point{9.04, 0.04}, orb.Point{9.04, 9}), Polyline(orb.Point{0, 0}, orb.Point{9.04, 0}, orb.Point{9.04, 9})},
		{"there and back", Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9, 0.01}, orb.Point{9, 0}, orb.Point{9, 9}), Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9, 9})},
		{"before a curve, whose shape stays", Path{Line(orb.Point{-0.02, 0}, orb.Point{0, 0}), bend}, Path{Cubic(orb.Point{-0.02, 0}, orb.Point{2.98, 0}, bend.C1, bend.P1)}},
		{
			"where a closed path starts",
			Polyline(orb.Point{0, 0}, orb.Point{0.01, 0}, orb.Point{9, 0}, orb.Point{9, 9}, orb.Point{0, 9}, orb.Point{0, 0}),
			Polyline(orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{9, 9}, orb.Point{0, 9}, orb.Point{0, 0}),
		},
		{
			"round where a closed path starts",
			Polyline(orb.Point{0, 0}, orb.Point{0.03, 0}, orb.Point{9, 0}, orb.Point{9, 9}, orb.Point{-0.03, 0}, orb.Point{0, 0}),
			Polyline(orb.Point{-0.03, 0}, orb.Point{0.03, 0}, orb.Point{9, 0}, orb.Point{9, 9}, orb.Point{-0.03, 0}),
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			before := append(Path{}, tt.in...)
			require.Equal(t, tt.want, tt.in.WithoutHairs(HairMM))
			require.Equal(t, before, append(Path{}, tt.in...), "what it was made from stays")
		})
	}
}

// Whatever hairs part the lines of a path, none is left, its ends are where
// they were, and it runs where it ran and is as long.
func TestNoHairIsLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Sides that are straight, or bend a little.
		points := []orb.Point{drawPoint(t, "point"), drawPoint(t, "point")}
		for range rapid.IntRange(0, 4).Draw(t, "more") {
			points = append(points, drawPoint(t, "point"))
		}
		if len(points) > 2 && rapid.Bool().Draw(t, "closed") {
			points = append(points, points[0])
		}
		var whole Path
		for i, s := range Polyline(points...) {
			if s.Length() < 5 || i > 0 && whole[i-1].TurnDeg(s) > 2.5*180/math.Pi {
				t.Skip("a side is a spike")
			}
			bow := rapid.Float64Range(-0.1, 0.1).Draw(t, "bow")
			if side := plane.Sub(s.P1, s.P0); math.Abs(bow) > 0.02 {
				off := orb.Point{-bow * side[1], bow * side[0]}
				s = Cubic(s.P0, plane.Add(s.C0, off), plane.Add(s.C1, off), s.P1)
			}
			whole = append(whole, s)
		}
		var in Path
		for _, s := range whole {
			at := 0.0
			for range rapid.IntRange(0, 4).Draw(t, "hairs") {
				from := at
				at += rapid.Float64Range(0.0001, 0.08).Draw(t, "hair")
				in = append(in, Path{s}.Between(from, at)...)
			}
			in = append(in, Path{s}.Between(at, s.Length())...)
		}
		for i := 1; i < len(in); i++ {
			in[i] = in[i].WithEnds(in[i-1].P1, in[i].P1)
		}
		out := in.WithoutHairs(HairMM)
		if out.hasHair(HairMM) && len(out) > 1 {
			t.Fatalf("a hair is left: %v", out)
		}
		if closed := in.Start() == in.End(); closed != (out.Start() == out.End()) || !closed && (out.Start() != in.Start() || out.End() != in.End()) {
			t.Fatal("an end has moved")
		}
		for i := 1; i < len(out); i++ {
			if out[i].P0 != out[i-1].P1 {
				t.Fatal("it has a gap")
			}
		}
		for _, pq := range [][2]Path{{in, out}, {out, in}} {
			for _, s := range pq[0] {
				for k := range 8 {
					if _, away := pq[1].Nearest(s.At(float64(k) / 8)); away > HairMM {
						t.Fatalf("it has moved by %g mm", away)
					}
				}
			}
		}
		if math.Abs(in.Length()-out.Length()) > 0.01 {
			t.Fatalf("%.4f mm, and then %.4f", in.Length(), out.Length())
		}
	})
}

// A curve drawn in steps that are hairs, straight from one to the next or up
// and along like stairs, is the same curve without them.
func TestStepsStayACurve(t *testing.T) {
	for _, stairs := range []bool{false, true} {
		var points []orb.Point
		for i := range 1000 {
			sin, cos := math.Sincos(float64(i) / 1000 * math.Pi / 2)
			if q := (orb.Point{10 * cos, 10 * sin}); stairs && i > 0 {
				points = append(points, orb.Point{points[len(points)-1][0], q[1]}, q)
			} else {
				points = append(points, q)
			}
		}
		in := Polyline(points...)
		out := in.WithoutHairs(HairMM)
		require.False(t, out.hasHair(HairMM))
		require.Greater(t, len(out), 50)
		for _, q := range points {
			_, away := out.Nearest(q)
			require.Less(t, away, HairMM)
		}
		for _, s := range out {
			require.InDelta(t, 10, plane.Length(s.At(0.5)), HairMM)
		}
	}
}
