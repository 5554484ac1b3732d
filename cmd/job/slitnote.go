package job

import (
	"fmt"
	"math"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// slitNote names a slit, as for a gusset, whose two allowances lap over each other: the
// cutting line then goes straight across it, and the slit is cut once it is sewn.
func slitNote(pieces []*piece.Piece) string {
	// A corner is normally less than twice its allowance inside the cutting line; from
	// this on its sides are so close that the line does not follow them far.
	const times = 3.0
	var slits []string
	for _, p := range pieces {
		if p.Ready {
			continue
		}
		var cut orb.LineString // once it is asked for
		n := len(p.Outline)
		for i, e := range p.Outline {
			next := p.Outline[(i+1)%n]
			into, out := e.Line[len(e.Line)-1].Tangent(1), next.Line[0].Tangent(0)
			widest := math.Max(e.AllowanceMM, next.AllowanceMM)
			if turn := plane.TurnDeg(into, out); math.Abs(turn) < 90 || plane.Cross(into, out) > 0 || widest == 0 {
				continue // it runs on, or is a corner that points outward
			}
			if cut == nil {
				ring, err := allowance.CutLine(p.Outline)
				if err != nil {
					break
				}
				cut = orb.LineString(plane.Close(ring))
			}
			if in := planar.DistanceFrom(cut, e.Line.End()); in > times*widest {
				slits = append(slits, fmt.Sprintf("%s, between %s and %s, %.0f mm", p.Name, called(e), called(next), in))
			}
		}
	}
	if len(slits) == 0 {
		return ""
	}
	return fmt.Sprintf("the allowances of a slit lap over each other, so that the cutting line goes straight across it, this far from its point: %s; draw the slit on the cloth, and cut it in to the point only when it is stayed and sewn", strings.Join(slits, "; "))
}

func called(e piece.Edge) string {
	if e.Name == "" {
		return "an edge without a name"
	}
	return e.Name
}
