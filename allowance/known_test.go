package allowance

import (
	"math"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

// Steiner's formula (J. Steiner, "Über parallele Flächen", 1840), with mitred
// corners in place of round ones: a convex piece of area A and perimeter L
// grows by w to A + wL + w² times the sum of tan(turn/2) over its corners.
func TestCutLineOfConvexPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 30).Draw(t, "n")
		w := rapid.Float64Range(1, 40).Draw(t, "w")
		a, b := rapid.Float64Range(50, 300).Draw(t, "a"), rapid.Float64Range(50, 300).Draw(t, "b")
		points := make([]orb.Point, n)
		for i := range points {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + rapid.Float64Range(-0.2, 0.2).Draw(t, "s")) / float64(n))
			points[i] = orb.Point{a * cos, b * sin}
		}
		o := polygon(w, points...)
		want := plane.SignedArea(o.Ring()) + w*o.Length()
		for i := range o {
			half := turnDeg(o[(i+n-1)%n].Line, o[i].Line) / 2 * math.Pi / 180
			if half > math.Pi/3 {
				t.Skip("a corner that is blunted")
			}
			want += w * w * math.Tan(half)
		}
		ring, err := CutLine(o)
		require.NoError(t, err)
		require.InEpsilon(t, want, plane.SignedArea(ring), 1e-9)
	})
}

// The line beside a curve, where the curve is nowhere tighter than it, is
// longer by the distance times the curve's whole turn; and Bézier lengths
// agree with gonum's quadrature of the speed.
func TestLengthsAgainstQuadrature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string) float64 { return rapid.Float64Range(-60, 60).Draw(t, name) }
		s := curve.Cubic(orb.Point{0, 0}, orb.Point{100, f("a")}, orb.Point{200, f("b")}, orb.Point{300, f("c")})
		length := quad.Fixed(func(u float64) float64 { return plane.Length(s.Velocity(u)) }, 0, 1, 400, nil, 0)
		require.InEpsilon(t, length, s.Length(), 1e-9)
		const w = 10
		var turn float64
		for k := range 1000 {
			u, v := s.Tangent(float64(k)/1000), s.Tangent(float64(k+1)/1000)
			angle := math.Atan2(plane.Cross(u, v), plane.Dot(u, v))
			if step := plane.Distance(s.At(float64(k)/1000), s.At(float64(k+1)/1000)); math.Abs(angle) > step/(1.5*w) {
				t.Skip("too tight")
			}
			turn += angle
		}
		require.InDelta(t, length+w*turn, offsetCurve(s, w, 0, 1).Length(), 0.02)
	})
}
