package curve

import (
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// Path is a run of segments, each starting where the one before it ends. It
// is closed when its last segment ends where its first starts. Distances
// along a path are arc lengths in mm from its start.
type Path []Segment

// Polyline is the path of straight segments through the points.
func Polyline(points ...orb.Point) Path {
	var p Path
	for i := 1; i < len(points); i++ {
		p = append(p, Line(points[i-1], points[i]))
	}
	return p
}

// Start is the first point of a path that has a segment.
func (p Path) Start() orb.Point { return p[0].P0 }

// End is the last point of a path that has a segment.
func (p Path) End() orb.Point { return p[len(p)-1].P1 }

// Length is the arc length of the whole path in mm.
func (p Path) Length() float64 {
	var sum float64
	for _, s := range p {
		sum += s.Length()
	}
	return sum
}

// Reverse is the same line drawn the other way.
func (p Path) Reverse() Path {
	out := make(Path, len(p))
	for i, s := range p {
		out[len(p)-1-i] = s.Reverse()
	}
	return out
}

// Transform applies m to every segment.
func (p Path) Transform(m Matrix) Path {
	out := make(Path, len(p))
	for i, s := range p {
		out[i] = s.Transform(m)
	}
	return out
}

// locate finds the segment and the parameter at mm along the path.
func (p Path) locate(mm float64) (int, float64) {
	for i, s := range p {
		l := s.Length()
		if mm <= l || i == len(p)-1 {
			return i, s.ParamAt(mm)
		}
		mm -= l
	}
	return 0, 0
}

// At is the point at mm along the path and the unit direction there.
func (p Path) At(mm float64) (at, direction orb.Point) {
	i, t := p.locate(mm)
	return p[i].At(t), p[i].Tangent(t)
}

// Between is the stretch of the path from from to to, both in mm along it,
// from ≤ to. Whole segments are kept as they are; a stretch of no length is
// nil.
func (p Path) Between(from, to float64) Path {
	const hair = 1e-7
	var out Path
	at := 0.0
	for _, s := range p {
		l := s.Length()
		lo, hi := from-at, to-at
		at += l
		if hi <= hair || lo >= l-hair {
			continue
		}
		t0, t1 := 0.0, 1.0
		if lo > hair {
			t0 = s.ParamAt(lo)
		}
		if hi < l-hair {
			t1 = s.ParamAt(hi)
		}
		out = append(out, s.Between(t0, t1))
	}
	return out
}

// Flatten is the path as points, its chords within tol mm of it. The ends of
// the segments are kept.
func (p Path) Flatten(tol float64) orb.LineString {
	if len(p) == 0 {
		return nil
	}
	out := orb.LineString{p[0].P0}
	for _, s := range p {
		n := s.steps(tol)
		for k := 1; k < n; k++ {
			out = append(out, s.At(float64(k)/float64(n)))
		}
		out = append(out, s.P1)
	}
	return out
}

// FlattenedLen is how many points Flatten gives.
func (p Path) FlattenedLen(tol float64) int {
	if len(p) == 0 {
		return 0
	}
	n := 1
	for _, s := range p {
		n += s.steps(tol)
	}
	return n
}

// Bound is the smallest upright box that holds the path to within FlattenMM.
func (p Path) Bound() orb.Bound { return p.Flatten(FlattenMM).Bound() }

// Nearest is the place along the path closest to q: its distance along the
// path and its distance from q, in mm.
func (p Path) Nearest(q orb.Point) (along, away float64) {
	away = math.Inf(1)
	best, at := 0, 0.0
	for i, s := range p {
		if s.fromHull(q) >= away {
			continue
		}
		if t, d := s.nearest(q); d < away {
			best, at, away = i, t, d
		}
	}
	if len(p) == 0 {
		return 0, away
	}
	return p[:best].Length() + p[best].lengthTo(at), away
}

// fromHull is at most the distance from q to the segment.
func (s Segment) fromHull(q orb.Point) float64 {
	dx := math.Max(math.Min(math.Min(s.P0[0], s.P1[0]), math.Min(s.C0[0], s.C1[0]))-q[0], q[0]-math.Max(math.Max(s.P0[0], s.P1[0]), math.Max(s.C0[0], s.C1[0])))
	dy := math.Max(math.Min(math.Min(s.P0[1], s.P1[1]), math.Min(s.C0[1], s.C1[1]))-q[1], q[1]-math.Max(math.Max(s.P0[1], s.P1[1]), math.Max(s.C0[1], s.C1[1])))
	return math.Hypot(math.Max(0, dx), math.Max(0, dy))
}

func (s Segment) nearest(q orb.Point) (t, away float64) {
	if !s.Curved {
		v := sub(s.P1, s.P0)
		if n := dot(v, v); n > 0 {
			t = math.Max(0, math.Min(1, dot(sub(q, s.P0), v)/n))
		}
		return t, dist(s.At(t), q)
	}
	n := max(8, s.steps(0.5))
	best, away := 0, math.Inf(1)
	for k := 0; k <= n; k++ {
		if d := dist(s.At(float64(k)/float64(n)), q); d < away {
			best, away = k, d
		}
	}
	// Golden-section search in the two steps around the best one.
	lo, hi := math.Max(0, float64(best-1)/float64(n)), math.Min(1, float64(best+1)/float64(n))
	const g = 0.6180339887498949
	for range 50 {
		a, b := hi-g*(hi-lo), lo+g*(hi-lo)
		if dist(s.At(a), q) < dist(s.At(b), q) {
			hi = b
		} else {
			lo = a
		}
	}
	t = (lo + hi) / 2
	return t, dist(s.At(t), q)
}

// D is the path as SVG path data with coordinates to a ten-thousandth of a
// millimetre, relative to nothing and without a closing Z.
func (p Path) D() string {
	if len(p) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("M" + coordinates(p[0].P0))
	for _, s := range p {
		if s.Curved {
			b.WriteString(" C" + coordinates(s.C0, s.C1, s.P1))
		} else {
			b.WriteString(" L" + coordinates(s.P1))
		}
	}
	return b.String()
}

func coordinates(points ...orb.Point) string {
	var b strings.Builder
	for i, q := range points {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(number(q[0]) + "," + number(q[1]))
	}
	return b.String()
}

func number(x float64) string {
	x = math.Round(x*1e4) / 1e4
	if x == 0 {
		x = 0 // no negative zero
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}
