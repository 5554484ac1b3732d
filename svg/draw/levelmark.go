package draw

import (
	"math"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// meetsSeam reports whether a level mark is at the end of its own seam on the
// part, which has the letter already.
func meetsSeam(n plan.Notch, edges []edge, m curve.Matrix) bool {
	const atMM = 0.1
	for _, e := range edges {
		if e.Seam == n.Level && math.Min(plane.Distance(e.path.Start(), m.Apply(n.At)), plane.Distance(e.path.End(), m.Apply(n.At))) < atMM {
			return true
		}
	}
	return false
}

// nameLevel writes the letter of the seam that meets the part at a level mark
// beside it, inside the part, where there is room.
func (s *Shape) nameLevel(space *freeSpace, n plan.Notch, m curve.Matrix, text string) {
	at := m.Apply(n.At)
	in := plane.Sub(m.Apply(plane.Sub(n.At, n.Toward)), at)
	if l := math.Hypot(in[0], in[1]); l > 0 {
		in = plane.Scale(in, 1/l)
	}
	side := orb.Point{-in[1], in[0]}
	for size := levelMM; size >= leastMM; size *= 0.85 {
		r := ringRadius(text, size)
		for _, away := range []float64{3.5, 6, 9} {
			for _, aside := range []float64{0, 2, -2, 5, -5} {
				q := plane.Along(plane.Along(at, in, away+r), side, aside)
				if space.clearance(q, 0) < r+clearMM*0.6 {
					continue
				}
				s.Labels = append(s.Labels, Label{Text: text, At: q, SizeMM: size, Ringed: true})
				space.boxes = append(space.boxes, orb.Bound{Min: q, Max: q}.Pad(r))
				return
			}
		}
	}
}
