//go:build geos

package soak

import (
	"fmt"

	"eke/split/plan"
	"eke/split/search"

	"github.com/twpayne/go-geos"
)

// What the design allows a plan to be off by, and by how much more the
// flattening of an arc may be.
const (
	slackMM = 0.05
	hairMM  = 0.005
)

// secondJudge holds what can be said in overlays, buffers and distances
// against GEOS, with none of eke's own geometry.
func secondJudge(_ setting, d *plan.Document, _ *search.Result) error {
	scraps := map[string]plan.Scrap{}
	for _, s := range d.Scraps {
		scraps[fmt.Sprint(s.Name, s.Copy)] = s
	}
	for k, o := range d.Options {
		laid := map[string][]*geos.Geom{}
		parts := map[string][]*geos.Geom{}
		for _, p := range o.Parts {
			on := fmt.Sprint(p.Scrap, p.ScrapCopy)
			s, ok := scraps[on]
			if !ok {
				return fault("GEOS", "option %d: no scrap %s", k+1, on)
			}
			cut := polygon(placed(p.Placement, p.CutLine))
			if !polygon(s.Outline).Buffer(slackMM+hairMM, 16).Covers(cut) {
				return fault("GEOS", "option %d: %s hangs off %s", k+1, p.Name, p.Scrap)
			}
			for _, h := range s.Holes {
				if thick(polygon(h).IntersectionPrec(cut, gridMM), 2*slackMM) {
					return fault("GEOS", "option %d: %s lies over a hole of %s", k+1, p.Name, p.Scrap)
				}
			}
			for _, other := range laid[on] {
				if d.GapMM > slackMM && cut.Distance(other) < d.GapMM-slackMM-hairMM ||
					d.GapMM <= slackMM && thick(cut.IntersectionPrec(other, gridMM), slackMM+hairMM) {
					return fault("GEOS", "option %d: %s is too near another part on %s", k+1, p.Name, p.Scrap)
				}
			}
			laid[on] = append(laid[on], cut)
			seam, of := polygon(p.SeamLine), fmt.Sprint(p.Piece, p.Copy)
			for _, other := range parts[of] {
				if thick(seam.IntersectionPrec(other, gridMM), slackMM+hairMM) {
					return fault("GEOS", "option %d: parts of %s overlap", k+1, p.Piece)
				}
			}
			parts[of] = append(parts[of], seam)
			if thick(seam.DifferencePrec(polygon(p.CutLine), gridMM), slackMM+hairMM) {
				return fault("GEOS", "option %d: %s is cut inside its seam line", k+1, p.Name)
			}
		}
		whole := map[string][]plan.Point{}
		for _, p := range d.Pieces {
			whole[fmt.Sprint(p.Name, p.Copy)] = p.SeamLine
		}
		before, after := area(whole), 0.0
		for _, m := range o.Moved {
			whole[fmt.Sprint(m.Piece, m.Copy)] = m.SeamLine
		}
		after = area(whole)
		if o.DartsTakenIn == 0 && len(o.MovedSeams) == 0 && (after-before > 1 || before-after > 1) {
			return fault("GEOS", "option %d: the pieces were %.1f mm² and are %.1f", k+1, before, after)
		}
		eyes := map[string][][]plan.Point{} // gone with a seam
		for _, m := range o.Moved {
			for _, e := range m.FishEyes {
				of := fmt.Sprint(m.Piece, m.Copy)
				eyes[of] = append(eyes[of], e.Sewn[:])
			}
		}
		for of, outline := range whole {
			if len(parts[of]) == 0 {
				return fault("GEOS", "option %d: no part of %s", k+1, of)
			}
			union := parts[of][0]
			for _, g := range parts[of][1:] {
				union = union.UnionPrec(g, gridMM)
			}
			piece := polygon(outline)
			for _, e := range eyes[of] {
				piece = piece.DifferencePrec(polygon(e), gridMM)
			}
			if thick(piece.SymDifferencePrec(union, gridMM), slackMM+hairMM) {
				return fault("GEOS", "option %d: the parts of %s are not the piece", k+1, of)
			}
		}
	}
	return nil
}

func area(outlines map[string][]plan.Point) (sum float64) {
	for _, o := range outlines {
		sum += polygon(o).Area()
	}
	return sum
}

func placed(m [6]float64, ring []plan.Point) []plan.Point {
	out := make([]plan.Point, len(ring))
	for i, q := range ring {
		out[i] = plan.Point{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	}
	return out
}

func polygon(ring []plan.Point) *geos.Geom {
	var coords [][]float64
	for _, q := range append(ring[:len(ring):len(ring)], ring[0]) {
		coords = append(coords, []float64{q[0], q[1]})
	}
	return geos.NewPolygon([][][]float64{coords})
}

// thick reports whether a disc of that diameter fits in g.
func thick(g *geos.Geom, mm float64) bool { return !g.Buffer(-mm/2, 8).IsEmpty() }

// gridMM is the grid that outlines are overlaid on. Without one, lines that run
// along each other but for the last digit turn an overlay inside out.
const gridMM = 1e-5
