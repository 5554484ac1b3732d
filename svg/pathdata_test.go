package svg

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/svg/viewer"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// pathOf is path data of all subpaths, with the cubic of every curve.
func pathOf(subs []subpath) string {
	var out []string
	for _, s := range subs {
		d := s.line.D()
		if d == "" {
			d = fmt.Sprintf("M%g,%g", s.at[0], s.at[1])
		}
		if s.closed {
			d += " Z"
		}
		out = append(out, d)
	}
	return strings.Join(out, " ")
}

func TestPathGrammar(t *testing.T) {
	tests := []struct{ name, in, want string }{
		// SVG 1.1, 8.1, 8.3.1 and 8.3.2.
		{"triangle01", "M 100 100 L 300 100 L 200 300 z", "M100,100 L300,100 L200,300 L100,100 Z"},
		{"a letter not repeated", "M 100 200 L 200 100 -100 -200", "M100,200 L200,100 L-100,-200"},
		{"a letter repeated", "M 100 200 L 200 100 L -100 -200", "M100,200 L200,100 L-100,-200"},
		// SVG 1.1, 8.3.9: the grammar's two notes.
		{"a sign parts numbers", "M 100-200", "M100,-200"},
		{"a second point parts numbers", "M 0.6.5", "M0.6,0.5"},
		// SVG 1.1, 8.3.2: pairs after a move are lines, relative where it is.
		{"lines after M", "M1 2 3 4 5 6", "M1,2 L3,4 L5,6"},
		{"lines after m", "m1 2 3 4 5 6", "M1,2 L4,6 L9,12"},
		{"a first m is absolute", "m 10 20 z m 1 1 h1", "M10,20 Z M11,21 L12,21"},
		// SVG 1.1, 8.3.3: after Z without a move, the next subpath starts there too.
		{"a line after Z", "M1 1H5V5ZL0 9", "M1,1 L5,1 L5,5 L1,1 Z M1,1 L0,9"},
		{"relative after z", "M1 1h4v4zl-1 8", "M1,1 L5,1 L5,5 L1,1 Z M1,1 L0,9"},
		{"H and V", "M1 2H3 4V5 6h1 1v1 1", "M1,2 L3,2 L4,2 L4,5 L4,6 L5,6 L6,6 L6,7 L6,8"},
		// SVG 1.1, 8.3.6, cubic01 and cubic02.
		{"cubic01", "M100,200 C100,100 250,100 250,200 S400,300 400,200", "M100,200 C100,100 250,100 250,200 C250,300 400,300 400,200"},
		{"cubic02", "M600,800 C625,700 725,700 750,800 S875,900 900,800", "M600,800 C625,700 725,700 750,800 C775,900 875,900 900,800"},
		{"S after a line", "M0 0L1 1S2 2 3 0", "M0,0 L1,1 C1,1 2,2 3,0"},
		{"S after Q does not reflect it", "M0 0Q1 1 2 0S3 1 4 0", "M0,0 C0.6667,0.6667 1.3333,0.6667 2,0 C2,0 3,1 4,0"},
		{"s relative", "M1 1c0 1 1 2 2 2s2-1 2-2", "M1,1 C1,2 2,3 3,3 C4,3 5,2 5,1"},
		// SVG 1.1, 8.3.7, quad01.
		{"quad01", "M200,300 Q400,50 600,300 T1000,300", "M200,300 C333.3333,133.3333 466.6667,133.3333 600,300 C733.3333,466.6667 866.6667,466.6667 1000,300"},
		{"T after a line", "M0 0L3 3T6 0", "M0,0 L3,3 C3,3 4,2 6,0"},
		{"T after T goes on reflecting", "M0 0Q3 3 6 0T12 0T18 0", "M0,0 C2,2 4,2 6,0 C8,-2 10,-2 12,0 C14,2 16,2 18,0"},
		{"t relative", "M1 0q3 3 6 0t6 0", "M1,0 C3,2 5,2 7,0 C9,-2 11,-2 13,0"},
		// Compact numbers.
		{"compact", "M1.5.5-3e1.25", "M1.5,0.5 L-30,0.25"},
		{"signs and exponents", "M+1e1-2E-1L.5e+1,5.", "M10,-0.2 L5,5"},
		{"commas", "M1,2,3,4", "M1,2 L3,4"},
		{"white space everywhere", "\n M\t1\r\n2 \fL 3 , 4 \n", "M1,2 L3,4"},
		// An arc's radius of zero is a line (F.6.6), its flags need no space (SVG 2, 9.3.9).
		{"flat arc", "M0 0A0 5 0 1 1 7 8", "M0,0 L7,8"},
		{"flags without spaces", "M0 0A0 5 0 117 8", "M0,0 L7,8"},
		{"an arc to where it is", "M3 3A5 5 0 1 1 3 3L4 4", "M3,3 L4,4"},
		{"several arcs, one letter", "M0 0a0 1 0 011 2 0 1 0 00-3 4", "M0,0 L1,2 L-2,6"},
		// SVG 2, 9.3.2: path data may be empty; `none` is CSS's word for it.
		{"empty", " \n", ""},
		{"none", "none", ""},
		{"a point", "M7 8", "M7,8"},
		{"a point, closed", "M7 8z", "M7,8 Z"},
		{"points that lie on a straight run are kept", "M0 0L1 0L2 0L3 0", "M0,0 L1,0 L2,0 L3,0"},
		{"no line of no length is added", "M0 0L5 0L5 5L0 0Z", "M0,0 L5,0 L5,5 L0,0 Z"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := parsePath(tt.in, maxSegments)
			require.NoError(t, err)
			assert.Equal(t, tt.want, pathOf(got))
		})
	}
}

func TestBrokenPath(t *testing.T) {
	tests := []struct{ in, problem string }{
		{"L 1 1", "path data starts with a move"},
		{"1 1", "expected a command"},
		{"Z", "path data starts with a move"},
		{"M1", `broken at character 3, the end: expected a number`},
		{"M1 1 L", "broken at character 7, the end: expected a number"},
		{"M1 1 L2", "broken at character 8, the end: expected a number"},
		{"M1 1 L 2 2 X 3 3", `broken at character 12, "X 3 3": expected a command`},
		{"M1 1 L2,,2", "expected a number"},
		{"M1 1,", "expected a command"},
		{"M,1 1", "expected a number"},
		{"M1 1 L2 2 3", "expected a number"},
		{"M1 1 C1 1 2 2", "expected a number"},
		{"M0 0 A5 5 0 2 0 9 9", "an arc's flag is 0 or 1"},
		{"M0 0 A5 5 0 0", "an arc's flag is 0 or 1"},
		{"M0 0 Z 5 5", "expected a command"},
		{"M 1e L2 2", "expected a number"},
		{"M1e999 0", "the number is too large"},
		{"M0 0 L NaN 1", "expected a number"},
		{"M0 0 L Infinity 1", "expected a number"},
		{"M20 40 H40#90", "expected a command"}, // the W3C SVG 1.1 test suite, paths-data-18-f, from memory
		{"M0 0[L1 1", "expected a command"},
	}
	for _, tt := range tests {
		t.Run(tt.in, func(t *testing.T) {
			_, err := parsePath(tt.in, maxSegments)
			assert.ErrorContains(t, err, tt.problem)
		})
	}
}

func TestTooManySegments(t *testing.T) {
	for _, d := range []string{"M0 0" + strings.Repeat("h1", 11), "M0 0h" + strings.Repeat(" 1", 11), strings.Repeat("M1 1", 11), "M0 0A5 5 0 0 0 9 9"} {
		_, err := parsePath(d, 4)
		assert.ErrorIs(t, err, errTooManySegments)
	}
}

// w3cArcs are all the arcs of SVG 1.1, 8.3.8: arcs01 and arcs02.
var w3cArcs = []string{
	"M300,200 h-150 a150,150 0 1,0 150,-150 z",
	"M275,175 v-150 a150,150 0 0,0 -150,150 z",
	"M600,350 l 50,-25 a25,25 -30 0,1 50,-25 l 50,-25 a25,50 -30 0,1 50,-25 l 50,-25 a25,75 -30 0,1 50,-25 l 50,-25 a25,100 -30 0,1 50,-25 l 50,-25",
	"M 125,75 a100,50 0 0,0 100,50",
	"M 125,75 a100,50 0 0,1 100,50",
	"M 125,75 a100,50 0 1,0 100,50",
	"M 125,75 a100,50 0 1,1 100,50",
}

// The pie slices of arcs01 are three quarters and one quarter of a disc.
func TestArcArea(t *testing.T) {
	for i, want := range []float64{0.75, 0.25} {
		subs, err := parsePath(w3cArcs[i], maxSegments)
		require.NoError(t, err)
		want *= math.Pi * 150 * 150
		assert.InDelta(t, want, math.Abs(areaOf(subs[0].line)), 1e-4*want)
	}
}

// areaOf is exact: Green's theorem over each cubic.
func areaOf(p curve.Path) float64 {
	var sum float64
	for _, s := range p {
		const n = 8 // Gauss-Legendre would do; Simpson on a polynomial of degree 5 needs few panels
		f := func(t float64) float64 { q, v := s.At(t), s.Velocity(t); return (q[0]*v[1] - q[1]*v[0]) / 2 }
		for k := range n {
			a, b := float64(k)/n, float64(k+1)/n
			sum += (f(a) + 4*f((a+b)/2) + f(b)) / 6 / n
		}
	}
	return sum
}

// Endpoints and flags made from a centre by SVG 1.1, F.6.4 must give back
// the arc that F.6.3 draws about that centre.
func TestArcFromCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		cx, cy, rx, ry := f("cx", -500, 500), f("cy", -500, 500), f("rx", 1, 2000), f("ry", 1, 2000)
		phi, first := f("phi", -360, 360), f("first", 0, 360)
		turn := f("turn", 5, 355)
		if rapid.Bool().Draw(t, "back") {
			turn = -turn
		}
		if math.Abs(math.Abs(turn)-180) < 0.1 {
			t.Skip("the large flag of a half turn rests on rounding")
		}
		at := func(theta float64) orb.Point { // F.6.3.1
			sp, cp := math.Sincos(phi * math.Pi / 180)
			s, c := math.Sincos(theta * math.Pi / 180)
			return orb.Point{cp*rx*c - sp*ry*s + cx, sp*rx*c + cp*ry*s + cy}
		}
		from, to := at(first), at(first+turn)
		got := arc(from, rx, ry, phi, math.Abs(turn) > 180, turn > 0, to)
		n := float64(len(got))
		for i, s := range got {
			for _, u := range []float64{0, 0.25, 0.5, 0.75, 1} {
				want := at(first + turn*(float64(i)+u)/n)
				q := s.At(u)
				off := plane.Length(orb.Point{q[0] - want[0], q[1] - want[1]})
				// A cubic keeps to the arc, but runs along it unevenly.
				if off > 2e-4*math.Max(rx, ry) {
					t.Fatalf("segment %d at %g: %v, want %v, off by %g", i, u, q, want, off)
				}
				sp, cp := math.Sincos(phi * math.Pi / 180)
				x, y := (cp*(q[0]-cx)+sp*(q[1]-cy))/rx, (cp*(q[1]-cy)-sp*(q[0]-cx))/ry
				if r := math.Hypot(x, y); math.Abs(r-1) > 1e-7*math.Max(rx/ry, ry/rx) {
					t.Fatalf("segment %d at %g lies off the ellipse: %g of its radius", i, u, r)
				}
			}
		}
	})
}

// A cubic's radius is off by less than 7e-8 of the true one.
func TestArcRadius(t *testing.T) {
	for _, s := range round(0, 0, 1, 1).line {
		for k := range 101 {
			assert.InDelta(t, 1, plane.Length(s.At(float64(k)/100)), 7e-8)
		}
	}
	assert.InDelta(t, 2*math.Pi*1000, round(0, 0, 1000, 1000).line.Length(), 1e-3)
	// The perimeter of an ellipse with semi-axes 2 and 1, from a table of complete elliptic integrals: 4·2·E(m=3/4) = 9.688448220547676.
	assert.InDelta(t, 968.8448220547676, round(0, 0, 200, 100).line.Length(), 1e-4)
}

// SVG 1.1, F.6.6: radii out of range.
func TestArcRadiiOutOfRange(t *testing.T) {
	from, to := orb.Point{0, 0}, orb.Point{10, 0}
	half := curve.Path(arc(from, 1, 1, 0, false, true, to))
	assert.InDelta(t, 5*math.Pi, half.Length(), 1e-5, "too small a radius is scaled up until it just reaches")
	negative := curve.Path(arc(from, -5, -5, 0, false, true, to))
	assert.InDelta(t, 5*math.Pi, negative.Length(), 1e-5, "a sign is dropped")
	assert.Less(t, half.Bound().Min[1], -4.99, "sweep 1 turns clockwise on the page")
	flat := arc(from, 0, 5, 0, false, true, to)
	require.Len(t, flat, 1)
	assert.False(t, flat[0].Curved)
}

// browsed holds paths against a browser's: their lengths, and seventeen points
// along each. It halves curves until they are within half a unit of a chord,
// so the points may lie so far apart (from memory), and where a path turns
// sharply the lengths so far carry a point round the corner.
func browsed(t *testing.T, data ...string) {
	t.Helper()
	const count = 16
	for i, theirs := range viewer.Measure(t, count, data...) {
		subs, err := parsePath(data[i], maxSegments)
		require.NoError(t, err, data[i])
		var mine curve.Path
		for _, s := range subs {
			mine = append(mine, s.line...)
		}
		length := mine.Length()
		assert.InDelta(t, theirs.Length, length, 0.05+1e-3*length, data[i])
		for k, q := range theirs.Points {
			at, _ := mine.At(length * float64(k) / count)
			assert.Less(t, math.Hypot(at[0]-q[0], at[1]-q[1]), 1+2e-3*length, "point %d of %s", k, data[i])
		}
	}
}

func TestPathAgainstABrowser(t *testing.T) {
	browsed(t, append([]string{
		"M100,200 C100,100 250,100 250,200 S400,300 400,200",
		"M100,200 C100,100 400,100 400,200", "M600,200 C675,100 975,100 900,200",
		"M100,500 C25,400 475,400 400,500", "M600,500 C600,350 900,650 900,500",
		"M200,300 Q400,50 600,300 T1000,300",
		"M120,120 h25 a25,25 0 10 -25,25z", "M120,120 h25 a25,25 0 1025,25z", // paths-data-20-f of the W3C SVG 1.1 test suite, from memory
	}, w3cArcs...)...)
}

// All commands in all orders, from a seed, with curves, arcs and paths that
// close.
func TestRandomPathsAgainstABrowser(t *testing.T) {
	random := rand.New(rand.NewPCG(20, 1))
	num := func() string { return fmt.Sprintf("%.4f", (1+299*random.Float64())*float64(1-2*random.IntN(2))) }
	var data []string
	for range 300 {
		d := "M" + num() + " " + num() + "L" + num() + " " + num()
		for range 1 + random.IntN(12) {
			c := string("MmLlHhVvCcSsQqTtAa"[random.IntN(18)])
			d += c
			if strings.ContainsAny(c, "Aa") {
				d += fmt.Sprintf("%.3f %.3f %.2f %d %d %s %s", 1+200*random.Float64(), 1+200*random.Float64(), 360*random.Float64(), random.IntN(2), random.IntN(2), num(), num())
				continue
			}
			for k := range arguments[strings.ToUpper(c)[0]] {
				if k > 0 {
					d += " "
				}
				d += num()
			}
			if random.IntN(5) == 0 {
				d += "z"
			}
		}
		data = append(data, d)
	}
	browsed(t, data...)
}
