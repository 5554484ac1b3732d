package photo

import (
	"cmp"
	"image"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A place that was taken for ground, at a scrap's edge or within it, is cloth where its colour
// is one of the scrap's and not the ground's. What is between both is left to the ground.
const (
	ownUnits = 4.0   // CIELAB units from the ground's colour in the shade that suits it best, at least
	ownTimes = 0.75  // of that, to a colour of the scrap at most
	ownShare = 0.003 // of the scrap that is so near to it
	ownPart  = 0.6   // of a place's points that are such, if they are not by their mean
)

// ownColours is what is the scrap's own in a patch of cloth.
type ownColours struct {
	*tracer
	shares *shares
	beside []lit // ground about the patch
	like   []int // points clear of its edge that have the ground's colour
}

// lit is the light at a place in the picture.
type lit struct {
	at    orb.Point
	light [3]float32
}

// ownColours is those of a patch; nil where it is too small to say.
func (t *tracer) ownColours(r region, ids []int32) *ownColours {
	const enough = 100
	o := &ownColours{tracer: t}
	for reach := 3; reach > 0 && o.shares == nil; reach-- { // as clear of the edge as may be
		if points := t.inner(r, ids, reach); len(points) >= enough {
			o.shares = t.sharesOf(points)
		}
	}
	if o.shares == nil {
		return nil
	}
	for _, k := range t.inner(r, ids, rimSteps) {
		if t.awayFromGround(t.f.mean(k), k) < t.ground.told() {
			o.like = append(o.like, k)
		}
	}
	// The ground that lies in a place was learned from the place itself.
	const every, near, far = 3, 10.0, 20.0 // nodes, and points of the field
	f := t.f
	ring := smoothed(r.rings[0], 2)
	for i, out := range outward(ring, 4) {
		if i%every != 0 {
			continue
		}
		for _, d := range [2]float64{near, far} {
			q := plane.Along(ring[i], out, d*float64(f.by))
			if x, y := int(q[0])/f.by, int(q[1])/f.by; q[0] >= 0 && q[1] >= 0 && x < f.w && y < f.h && t.labels[y*f.w+x] == onGround {
				o.beside = append(o.beside, lit{q, f.mean(y*f.w + x)})
			}
		}
	}
	return o
}

// groundNear is the ground's light beside the patch, as it is nearest to a place.
func (o *ownColours) groundNear(at orb.Point) (light [3]float32, ok bool) {
	const most = 60
	if len(o.beside) < most {
		return light, false
	}
	type near struct {
		off float64
		i   int
	}
	all := make([]near, len(o.beside))
	for i, l := range o.beside {
		all[i] = near{plane.Distance(l.at, at), i}
	}
	slices.SortFunc(all, func(a, b near) int { return cmp.Or(cmp.Compare(a.off, b.off), a.i-b.i) })
	for ch := range light {
		var v []float64
		for _, n := range all[:most] {
			v = append(v, float64(o.beside[n.i].light[ch]))
		}
		light[ch] = float32(median(v))
	}
	return light, true
}

// fills is whether what lies within a ring, in the picture, clear of it, is the scrap's own; never
// where nothing is known of that.
func (o *ownColours) fills(ring []orb.Point) bool {
	if o == nil {
		return false
	}
	f := o.f
	b := orb.Ring(ring).Bound()
	by := float64(f.by)
	type place struct {
		k   int
		off float64
	}
	const most = 400
	var in []place
	deepest := 0.0
	for y := max(0, int(b.Min[1]/by)); y <= min(f.h-1, int(b.Max[1]/by)); y++ {
		for x := max(0, int(b.Min[0]/by)); x <= min(f.w-1, int(b.Max[0]/by)); x++ {
			if q := f.middle(y*f.w + x); plane.Holds(ring, q) {
				p := place{y*f.w + x, plane.ToRing(ring, q)}
				in, deepest = append(in, p), max(deepest, p.off)
			}
		}
	}
	beside, ok := o.groundNear(b.Center())
	is := func(light [3]float32, k int) bool {
		away := o.awayInShade(light, k, darkest)
		if ok {
			away = max(away, shadedFrom(light, beside, darkest))
		}
		return away > ownUnits && o.shares.within(toLab(light), ownTimes*float64(away)) > ownShare
	}
	var sum [3]float32
	own, count, core := 0, 0, float32(0)
	for _, p := range scattered(in, most) {
		if p.off > deepest/4 {
			if count++; is(f.mean(p.k), p.k) {
				own++
			}
		}
		if p.off > deepest/2 {
			core++
			add(&sum, f.light[p.k])
		}
	}
	if core == 0 {
		return false
	}
	mean := [3]float32{sum[0] / core, sum[1] / core, sum[2] / core}
	return float64(own) > ownPart*float64(count) || is(mean, in[len(in)/2].k)
}

// often is whether what lies in the midst of a ring, in the picture, is as common in the scrap as a
// print is, and no hole.
func (o *ownColours) often(ring []orb.Point) bool {
	if o == nil {
		return false
	}
	f := o.f
	b, by := orb.Ring(ring).Bound(), float64(f.by)
	s := spot{box: image.Rect(int(b.Min[0]/by), int(b.Min[1]/by), int(b.Max[0]/by)+1, int(b.Max[1]/by)+1)}
	size, deepest := 0, 0.0
	for y := s.box.Min.Y; y < s.box.Max.Y; y++ {
		for x := s.box.Min.X; x < s.box.Max.X; x++ {
			q := f.middle(y*f.w + x)
			if !plane.Holds(ring, q) {
				continue
			}
			if size++; plane.ToRing(ring, q) > deepest {
				s.best, deepest = y*f.w+x, plane.ToRing(ring, q)
			}
		}
	}
	return size > 0 && f.common(s, o.like, o.ground.told()) > mostHoles*size
}

// within is how much of a scrap is so near to a colour.
func (s *shares) within(c lab, units float64) float64 {
	n := 0
	for _, o := range s.sample {
		if o.apart(c) < units {
			n++
		}
	}
	return float64(n) / float64(len(s.sample))
}
