package photo

import (
	"fmt"
	"image"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// On cloth of one colour a few spots of another are taken for stains. Many are
// a print.
const (
	stainUnits    = 8    // CIELAB units from the cloth's colour, at least
	leastStainMM2 = 12.0 // 4 mm across: smaller ones are knots and dust
	leastPlainMM2 = 9000 // of a scrap: on a smaller one a print may have so few spots
	mostStains    = 4
	mostStained   = 0.2 // of the scrap
	faintStain    = 0.7 // of what a stain differs by: many spots that differ by as much are a print
	mostFaint     = 12
)

// stains is the outlines, in the picture, of the spots on a patch of cloth of
// one colour.
func (t *tracer) stains(r region, ids []int32) [][]orb.Point {
	f := t.f
	points := t.inner(r, ids, 3)
	perPoint := t.mmPerFieldPoint()
	if float64(len(points))*perPoint*perPoint < leastPlainMM2 {
		return nil
	}
	even := make([]lab, len(points))
	var off [3][]float64
	for i, k := range points {
		// In one light: that of the ground beside.
		_, g := t.ground.at(float64(k%f.w), float64(k/f.w))
		c, by := f.light[k], min(max(t.lit/max(g[1], 1e-3), 0.5), 2)
		even[i] = toLab([3]float32{c[0] * by, c[1] * by, c[2] * by})
		for ch, v := range even[i] {
			off[ch] = append(off[ch], float64(v))
		}
	}
	var usual lab
	for ch := range off {
		usual[ch] = float32(median(off[ch]))
	}
	away := make([]float64, len(points))
	for i, c := range even {
		c[0] = usual[0] + 0.6*(c[0]-usual[0]) // folds and waves change the light
		away[i] = c.apart(usual)
	}
	told := max(stainUnits, 6*median(away))
	w, h := r.box.Dx(), r.box.Dy()
	spot, faint := make([]bool, w*h), make([]bool, w*h)
	count := 0
	for i, k := range points {
		at := (k/f.w-r.box.Min.Y)*w + k%f.w - r.box.Min.X
		faint[at] = away[i] > faintStain*told
		if away[i] > told {
			spot[at] = true
			count++
		}
	}
	if count == 0 || float64(count) > mostStained*float64(len(points)) {
		return nil
	}
	spot = dilated(eroded(spot, w, h, 1), w, h, 1)
	least := max(9, int(leastStainMM2/(perPoint*perPoint)))
	few, patches := components(sizeable(spot, w, h, least), w, h)
	if patches == 0 || patches > mostStains {
		return nil
	}
	if _, n := components(sizeable(faint, w, h, max(4, least/3)), w, h); n > mostFaint {
		return nil
	}
	local := &field{w: w, h: h, by: 1}
	var out [][]orb.Point
	for id := int32(1); id <= patches; id++ {
		ring := local.trace(few, region{id: id, box: image.Rect(0, 0, w, h)})[0]
		for i, q := range ring {
			ring[i] = orb.Point{(q[0] + float64(r.box.Min.X)) * float64(f.by), (q[1] + float64(r.box.Min.Y)) * float64(f.by)}
		}
		out = append(out, smoothed(ring, 1.5))
	}
	return out
}

// spoil takes the spots on a scrap for holes, drawn outward as those are, and
// says so.
func (t *tracer) spoil(s *Scrap, r region, ids []int32) {
	spots := t.stains(r, ids)
	taken := 0
	problem := Problem{Number: s.Number, Where: t.place(r.rings[0]), seen: [][]orb.Point{r.rings[0]}}
	for _, spot := range spots {
		ring := make([]orb.Point, len(spot))
		for i, q := range spot {
			ring[i] = t.view.ground(q)
		}
		// Its edge is soft, and was sought in the field alone.
		grown := inward(ring, -s.UncertainMM-t.mmPerFieldPoint(), orb.Point{})
		if !liesIn(s, grown) {
			continue
		}
		s.Holes = append(s.Holes, grown)
		s.seen = append(s.seen, spot)
		problem.seen = append(problem.seen, spot)
		taken++
	}
	if taken == 0 {
		return
	}
	problem.What = fmt.Sprintf("%d of its holes are spots of another colour, taken for stains", taken)
	if taken == 1 {
		problem.What = "one of its holes is a spot of another colour, taken for a stain"
	}
	problem.Cure = "delete it in the file where the cloth is good"
	t.out.Problems = append(t.out.Problems, problem)
}

// liesIn is whether a spot lies in a scrap, clear of its outline and holes.
func liesIn(s *Scrap, spot orb.Ring) bool {
	if len(spot) < 3 || plane.SignedArea(spot) <= 0 {
		return false
	}
	return !slices.ContainsFunc(spot, func(q orb.Point) bool {
		if !plane.Holds(s.Outline, q) || plane.ToRing(s.Outline, q) < 0.5 {
			return true
		}
		return slices.ContainsFunc(s.Holes, func(h orb.Ring) bool { return plane.Holds(h, q) || plane.ToRing(h, q) < 0.5 })
	})
}
