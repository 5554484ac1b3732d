package draw

import (
	"math"
	"slices"

	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// gaps are where a piece that lies flat has no cloth, for a piecing seam takes in a dart
// there: what lies between its parts as they are cut, in the piece's own coordinates. On
// the body no gap is seen, for the dart is closed.
func (g *garment) gaps(p placed) (out [][]orb.Point) {
	if p.keep != nil {
		return nil
	}
	for _, m := range g.Moved {
		if m.Piece != p.piece.Name || m.Copy != p.piece.Copy {
			continue
		}
		for _, d := range m.Darts {
			if gap := notchAt(m.SeamLine, p.piece.ring(), d.Sewn[1]); len(gap) > 2 {
				out = append(out, gap)
			}
		}
		for _, f := range m.FishEyes {
			out = append(out, []orb.Point{orb.Point(f.Sewn[0]), orb.Point(f.Sewn[1]), orb.Point(f.Sewn[2]), orb.Point(f.Sewn[3])})
		}
	}
	return out
}

// notchAt is the stretch of an outline that lies inside a ring and comes nearest to a
// point, with its neighbours on either side: the gap of a dart, up to its mouth.
func notchAt(outline []plan.Point, ring []orb.Point, apex plan.Point) (gap []orb.Point) {
	const onMM = 1.0
	n := len(outline)
	inside := func(i int) bool {
		q := orb.Point(outline[i%n])
		return plane.Holds(ring, q) && plane.ToRing(ring, q) > onMM
	}
	first := slices.IndexFunc(outline, func(q plan.Point) bool { return plane.ToRing(ring, q) <= onMM })
	least := math.Inf(1)
	for i := max(0, first); i < n+max(0, first); i++ {
		if !inside(i) || inside(i+n-1) {
			continue
		}
		run, away := []orb.Point{orb.Point(outline[(i+n-1)%n])}, math.Inf(1)
		for k := i; k < i+n; k++ {
			q := orb.Point(outline[k%n])
			run = append(run, q)
			if !inside(k) {
				break
			}
			away = math.Min(away, plane.Distance(q, apex))
		}
		if away < least {
			gap, least = run, away
		}
	}
	return gap
}

// givesStrip reports whether a piece gave a strip away along a seam that was moved.
func (g *garment) givesStrip(p *whole) bool {
	return slices.ContainsFunc(g.MovedSeams, func(m plan.MovedSeam) bool { return m.From == p.Name })
}
