package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Where a joint of the ground meets a scrap's edge, or a shadow runs into it, the outline may have been led out
// along that: it has a spur, the reverse of a dent. If what a spur holds has the ground's colour in some shade, the
// joint's or one between, it is no cloth, unless the scrap has that colour too. Short ones first: a long one may
// hold them.
var spurs = [...]bayShape{
	{mouthMM: 14, aroundMM: 60, detour: 1.1, deepMM: 0.4, leastMM2: 1.5},
	{mouthMM: 30, aroundMM: 100, detour: 1.1, deepMM: 0.7, leastMM2: 4, deepest: true},
	{mouthMM: 20, aroundMM: 250, detour: 2, deepMM: 1, leastMM2: 4, deepest: true},
}

const (
	wider     = 6 // nodes on either side
	mostWider = 3 // times
)

// docked leads an outline, in the picture, straight across spurs of the ground.
func (t *tracer) docked(at []orb.Point, own func() *ownColours) {
	mm := make([]orb.Point, len(at))
	for _, shape := range spurs {
		for i, q := range at {
			mm[i] = t.view.ground(q)
		}
		for _, b := range shape.outside(mm) {
			if !t.onlyGround(b.shore(at), own) {
				continue
			}
			widened := 0 // the foot of a spur is rounded: the edge goes straight on a little beyond it
			for ; b.from >= 0 && b.to-b.from < len(at)/2; b.from, b.to = b.from-wider, b.to+wider {
				if goesStraight(at, b, acrossMM/plane.Distance(mm[b.from], mm[b.to%len(mm)])) {
					b.cross(at)
					break
				}
				if widened++; widened > mostWider {
					break
				}
			}
		}
	}
}

// onlyGround is whether what lies within a ring, in the picture, is of the ground, and of no colour that the scrap has.
func (t *tracer) onlyGround(ring []orb.Point, own func() *ownColours) bool {
	light, ok := t.p.within(ring)
	o := own()
	if !ok || o == nil {
		return false
	}
	inside, away := toLab(light), math.Inf(1)
	if beside, ok := o.groundNear(orb.Ring(ring).Bound().Center()); ok {
		away = float64(shadedFrom(light, beside, darkest))
	}
	if joint, ground, ok := t.jointNear(ring); ok {
		away = min(away, inside.between(ground, joint))
	}
	return away < likeUnits && o.shares.within(inside, max(ownUnits, away)) < ownShare
}

// jointNear is the colours of a joint of the ground near a ring, in the picture, and of the ground there.
func (t *tracer) jointNear(ring []orb.Point) (joint, ground lab, ok bool) {
	const (
		near = 12 // points of the field about the ring that joints are looked for in
		few  = 6  // of such points
	)
	f := t.f
	by := float64(f.by)
	b := orb.Ring(ring).Bound()
	var joints, grounds [3][]float64
	for y := max(0, int(b.Min[1]/by)-near); y <= min(f.h-1, int(b.Max[1]/by)+near); y++ {
		for x := max(0, int(b.Min[0]/by)-near); x <= min(f.w-1, int(b.Max[0]/by)+near); x++ {
			k := y*f.w + x
			of := &joints
			switch t.labels[k] {
			case onGround:
				of = &grounds
			case onJoint:
			default:
				continue
			}
			for ch, v := range f.colour[k] {
				of[ch] = append(of[ch], float64(v))
			}
		}
	}
	if len(joints[0]) < few || len(grounds[0]) < few {
		return joint, ground, false
	}
	for ch := range joint {
		joint[ch], ground[ch] = float32(median(joints[ch])), float32(median(grounds[ch]))
	}
	return joint, ground, true
}

// within is the mean light of what lies within a ring, clear of it by half of what its midst is.
func (p *Picture) within(ring []orb.Point) (light [3]float32, ok bool) {
	type place struct {
		at  orb.Point
		off float64
	}
	var in []place
	deepest := 0.0
	b := orb.Ring(ring).Bound()
	for y := max(0, int(b.Min[1])); y <= min(p.Height-1, int(b.Max[1])); y++ {
		for x := max(0, int(b.Min[0])); x <= min(p.Width-1, int(b.Max[0])); x++ {
			if q := (orb.Point{float64(x) + 0.5, float64(y) + 0.5}); plane.Holds(ring, q) {
				at := place{q, plane.ToRing(ring, q)}
				in, deepest = append(in, at), max(deepest, at.off)
			}
		}
	}
	var sum [3]float32
	n := float32(0)
	for _, q := range in {
		if q.off > deepest/2 {
			add(&sum, p.linearAt(q.at[0], q.at[1]))
			n++
		}
	}
	if n == 0 {
		return light, false
	}
	return [3]float32{sum[0] / n, sum[1] / n, sum[2] / n}, true
}
