package draw

import (
	"math"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// endShownMM is how near a notch shows the place already.
const endShownMM = 3.0

// edgeEnds are the places on the seam line, and the ways out of the part there, at
// which an edge that is sewn to another piece ends and no corner shows it: where the
// shoulder seam meets a collar, or a bib ends on its band. The edges run clockwise on the
// page.
func edgeEnds(edges []edge, notched []orb.Point) (at, out []orb.Point) {
	for i, e := range edges {
		next := edges[(i+1)%len(edges)]
		if e.Seam != "" || next.Seam != "" || e.Name == next.Name && e.From == next.From || len(e.Joins) == 0 && len(next.Joins) == 0 || len(e.path) == 0 || len(next.path) == 0 {
			continue
		}
		u, v := e.path[len(e.path)-1].Tangent(1), next.path[0].Tangent(0)
		if math.Abs(plane.TurnDeg(u, v)) > piece.MidLineDeg {
			continue
		}
		q, shown := e.path.End(), false
		for _, n := range notched {
			shown = shown || plane.Distance(n, q) < endShownMM
		}
		if !shown {
			along := plane.Unit(plane.Add(u, v))
			at, out = append(at, q), append(out, orb.Point{along[1], -along[0]})
		}
	}
	return at, out
}
