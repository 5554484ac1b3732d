package curve

import (
	"math"
	"sort"
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
			return i, s.paramAt(mm, l)
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
func (p Path) Between(from, to float64) Path { return p.Ruler().Between(from, to) }

// Flatten is the path as points, its chords within tol mm of it. The ends of
// the segments are kept.
func (p Path) Flatten(tol float64) orb.LineString {
	if len(p) == 0 {
		return nil
	}
	out := append(make(orb.LineString, 0, p.FlattenedLen(tol)), p[0].P0)
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

// Ruler measures along one path many times.
type Ruler struct {
	path    Path
	lengths []float64 // of each segment
	starts  []float64 // of each segment, and the path's end
}

// Ruler is the path with the lengths of its segments at hand.
func (p Path) Ruler() Ruler {
	r := Ruler{p, make([]float64, len(p)), make([]float64, len(p)+1)}
	for i, s := range p {
		r.lengths[i] = s.Length()
		r.starts[i+1] = r.starts[i] + r.lengths[i]
	}
	return r
}

// At is as the path's own.
func (r Ruler) At(mm float64) (at, direction orb.Point) {
	i := 0
	for ; i < len(r.path)-1 && mm > r.lengths[i]; i++ {
		mm -= r.lengths[i]
	}
	t := r.path[i].paramAt(mm, r.lengths[i])
	return r.path[i].At(t), r.path[i].Tangent(t)
}

// Length is the path's length in mm.
func (r Ruler) Length() float64 { return r.starts[len(r.path)] }

// Nearest is as the path's own.
func (r Ruler) Nearest(q orb.Point) (along, away float64) {
	if len(r.path) == 0 {
		return 0, math.Inf(1)
	}
	i, t, away := r.path.nearest(q)
	return r.starts[i] + r.path[i].lengthTo(t), away
}

// Between is as the path's own.
func (r Ruler) Between(from, to float64) Path {
	const hair = 1e-7
	var out Path
	first := sort.Search(len(r.path), func(i int) bool { return r.starts[i+1] > from+hair })
	for i := first; i < len(r.path) && r.starts[i] < to-hair; i++ {
		s := r.path[i]
		lo, hi := from-r.starts[i], to-r.starts[i]
		l := r.starts[i+1] - r.starts[i]
		if l <= hair {
			continue
		}
		t0, t1 := 0.0, 1.0
		if lo > hair {
			t0 = s.paramAt(lo, r.lengths[i])
		}
		if hi < l-hair {
			t1 = s.paramAt(hi, r.lengths[i])
		}
		out = append(out, s.Between(t0, t1))
	}
	return out
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
