package photo

import (
	"image"
	"math"
)

// A small hole has no clear ground in it: the picture's blur, a JPEG's blocks and
// the shadow of its rim reach all over it. A spot within a patch of cloth is taken
// for a hole where its colour is that of the ground in some shade, with as much of
// the cloth's about it as blur would mix in. A print of such a colour comes again
// and again: its spots are left to the cloth.
const (
	holeLike   = 0.25 // of the way from the ground's colour to the farthest near by, at most
	tinyLike   = 0.5  // the same of what is tiny
	tinyMM2    = 30.0 // of what is
	tinySpot   = 45   // points, the same
	mostMixed  = 0.35 // of a tiny hole's light that may be the cloth's
	holeShade  = 0.5  // of the ground's light in a hole, at least
	rimLike    = 0.5  // of the way from a hole's colour to the cloth's, to where it reaches
	rimSteps   = 5    // points of the field from a spot to clear cloth
	mostHoles  = 3    // of a patch; more are a print
	unlikeSpot = 10   // times as large as a hole is no spot like it: a spot has its blurred rim, too
)

// spot is some points in a patch of cloth that have the ground's colour.
type spot struct {
	points []int
	box    image.Rectangle
	inside bool // clear of the patch's edge
	best   int  // the point that is most like the ground
	away   float32
}

// pierce takes small holes that the ground did not flood out of a patch of cloth.
// It is whether there were any.
func (t *tracer) pierce(r region, ids []int32) bool {
	f := t.f
	in := t.filled(r, ids)
	w, h := r.box.Dx(), r.box.Dy()
	within := func(k int) bool {
		x, y := k%f.w-r.box.Min.X, k/f.w-r.box.Min.Y
		return x >= 0 && y >= 0 && x < w && y < h && in[y*w+x]
	}
	away := make([]float32, w*h)
	rows(h, func(y int) {
		for i := y * w; i < (y+1)*w; i++ {
			if in[i] {
				away[i] = t.awayFromGround(f.mean(f.at(r.box, i)), f.at(r.box, i))
			}
		}
	})
	most := (&field{w: w, h: h, by: 1}).highest(away, 2*ringing/f.by)
	told := t.ground.told()
	perPoint := t.mmPerFieldPoint()
	taken := map[int]bool{}
	found := 0
	spots := func(tiny bool) []spot {
		like := make([]bool, w*h)
		for i := range like {
			top := most.of(i)
			if tiny {
				like[i] = in[i] && away[i] < tinyLike*top
			} else {
				like[i] = in[i] && away[i] < min(holeLike*top, told)
			}
		}
		return f.spots(r.box, in, like, away)
	}
	small := spots(true)
	var deep []int // that have the ground's colour, clear of the patch's edge
	for i, is := range eroded(bordered(append([]bool{}, in...), w, h), w, h, rimSteps) {
		if is && away[i] < told {
			deep = append(deep, f.at(r.box, i))
		}
	}
	for _, tiny := range []bool{false, true} {
		some := small
		if !tiny {
			some = spots(false)
		}
		for _, s := range some {
			if !s.inside || taken[s.best] || tiny && (len(s.points) > tinySpot || float64(len(s.points))*perPoint*perPoint > tinyMM2) {
				continue
			}
			hole := t.hole(s, within)
			if float64(len(hole))*perPoint*perPoint < leastHoleMM2 || f.comesOften(s, len(hole), small, told) || f.common(s, deep, told) > mostHoles*len(hole) {
				continue
			}
			found++
			for _, k := range hole {
				taken[k] = true
			}
		}
	}
	if found > mostHoles {
		return false
	}
	for k := range taken {
		t.labels[k] = onGround
	}
	return found > 0
}

// comesOften is whether there are more spots in a patch that look like one, which may be a hole
// of so many points: they are a print then.
func (f *field) comesOften(s spot, points int, all []spot, told float32) bool {
	n := 0
	for _, o := range all {
		if o.inside && o.best != s.best && o.away < told && len(o.points) < unlikeSpot*points && f.colour[o.best].apart(f.colour[s.best]) < likeUnits {
			n++
		}
	}
	return n > mostHoles
}

// common is how many of some points look like a spot and are not near it: where two colours of a
// print meet there may be the ground's between them, all along.
func (f *field) common(s spot, points []int, told float32) (n int) {
	near := s.box.Inset(-rimSteps)
	for _, k := range points {
		if !(image.Point{k % f.w, k / f.w}.In(near)) && f.colour[k].apart(f.colour[s.best]) < float64(told) {
			n++
		}
	}
	return n
}

// at is the point of the field that a box's own i-th is.
func (f *field) at(box image.Rectangle, i int) int {
	return (box.Min.Y+i/box.Dx())*f.w + box.Min.X + i%box.Dx()
}

// mean is the light of a point and of those about it.
func (f *field) mean(k int) [3]float32 {
	x, y := k%f.w, k/f.w
	var c [3]float32
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			add(&c, f.light[min(max(y+dy, 0), f.h-1)*f.w+min(max(x+dx, 0), f.w-1)])
		}
	}
	return [3]float32{c[0] / 9, c[1] / 9, c[2] / 9}
}

// filled is the points of a patch's box that it covers, tiny holes that were found
// with it.
func (t *tracer) filled(r region, ids []int32) []bool {
	f := t.f
	w, h := r.box.Dx(), r.box.Dy()
	in, out := make([]bool, w*h), make([]bool, w*h)
	for i := range in {
		in[i] = ids[f.at(r.box, i)] == r.id
		out[i] = !in[i]
	}
	gaps, count := components(out, w, h)
	size, rim := make([]int, count+1), make([]bool, count+1)
	for i, id := range gaps {
		size[id]++
		rim[id] = rim[id] || i < w || i >= w*(h-1) || i%w == 0 || i%w == w-1
	}
	perPoint := t.mmPerFieldPoint()
	for i, id := range gaps {
		in[i] = in[i] || !rim[id] && float64(size[id])*perPoint*perPoint < tinyMM2
	}
	return in
}

// spots is the patches of points that are like the ground, within a box.
func (f *field) spots(box image.Rectangle, in, like []bool, away []float32) []spot {
	w, h := box.Dx(), box.Dy()
	deep := eroded(bordered(append([]bool{}, in...), w, h), w, h, 1)
	patches, count := components(like, w, h)
	all := make([]spot, count)
	for i, id := range patches {
		if id == 0 {
			continue
		}
		s, k := &all[id-1], f.at(box, i)
		if s.points == nil || away[i] < s.away {
			s.inside = s.inside || s.points == nil
			s.best, s.away = k, away[i]
		}
		s.points = append(s.points, k)
		s.box = s.box.Union(image.Rect(k%f.w, k/f.w, k%f.w+1, k/f.w+1))
		s.inside = s.inside && deep[i]
	}
	var out []spot
	for _, s := range all {
		if len(s.points) > 1 {
			out = append(out, s)
		}
	}
	return out
}

// awayFromGround is how far light is from the ground's at a point, in the shade of
// a hole that suits it best, in CIELAB units.
func (t *tracer) awayFromGround(c [3]float32, k int) float32 { return t.awayInShade(c, k, holeShade) }

// awayInShade is the same in any shade that has so much of the ground's light or more.
func (t *tracer) awayInShade(c [3]float32, k int, least float32) float32 {
	_, g := t.ground.at(float64(k%t.f.w), float64(k/t.f.w))
	return shadedFrom(c, g, least)
}

// shadedFrom is how far light is from another in the shade that suits it best, of so much of
// its light or more.
func shadedFrom(c, g [3]float32, least float32) float32 {
	shade := min(max((c[0]+2*c[1]+c[2])/max(g[0]+2*g[1]+g[2], 1e-4), least), lightest)
	return float32(toLab(c).apart(toLab([3]float32{g[0] * shade, g[1] * shade, g[2] * shade})))
}

// hole is the points of a hole round a spot, if it may be one.
func (t *tracer) hole(s spot, within func(k int) bool) []int {
	told := t.ground.told()
	cloth, ok := t.about(s, within)
	if !ok || t.explained(s, cloth, len(s.points) <= tinySpot) >= told {
		return nil
	}
	return t.flooded(s, cloth, within)
}

// about is the cloth about a spot: the middle of what lies round it. It is ok if it is told from the spot.
func (t *tracer) about(s spot, within func(k int) bool) (cloth [3]float32, ok bool) {
	f := t.f
	box := s.box.Inset(-rimSteps).Intersect(image.Rect(0, 0, f.w, f.h))
	var round [3][]float64
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			if x > box.Min.X && x < box.Max.X-1 && y > box.Min.Y && y < box.Max.Y-1 || !within(y*f.w+x) {
				continue
			}
			for ch, v := range f.light[y*f.w+x] {
				round[ch] = append(round[ch], float64(v))
			}
		}
	}
	if len(round[0]) < 8 {
		return cloth, false
	}
	for ch := range cloth {
		cloth[ch] = float32(median(round[ch]))
	}
	return cloth, toLab(cloth).apart(toLab(f.mean(s.best))) >= 1.5*float64(t.ground.told())
}

// explained is how far a spot's colour is from the ground's in the shade that suits it best, and, if it may be, with
// as much of the cloth's about it as suits it best, in CIELAB units.
func (t *tracer) explained(s spot, cloth [3]float32, mixed bool) float32 {
	middle := t.f.mean(s.best)
	least := float32(math.Inf(1))
	for part := float32(0); part <= mostMixed && (part == 0 || mixed); part += 0.05 {
		var c [3]float32
		for ch := range c {
			c[ch] = max(0, (middle[ch]-part*cloth[ch])/(1-part))
		}
		least = min(least, t.awayFromGround(c, s.best))
	}
	return least
}

// flooded is the points of a hole round a spot, to half-way to the cloth about it; none if it goes on.
func (t *tracer) flooded(s spot, cloth [3]float32, within func(k int) bool) []int {
	f := t.f
	box := s.box.Inset(-rimSteps).Intersect(image.Rect(0, 0, f.w, f.h))
	mid, about := toLab(f.mean(s.best)), toLab(cloth)
	whole := about.apart(mid)
	part := func(k int) float64 { // of the way from the spot's colour to the cloth's
		sum := 0.0
		for ch, v := range f.colour[k] {
			sum += float64((v - mid[ch]) * (about[ch] - mid[ch]))
		}
		return sum / (whole * whole)
	}
	known := map[int]bool{}
	stack := append([]int{}, s.points...)
	var out []int
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if known[k] {
			continue
		}
		known[k] = true
		if !(image.Point{k % f.w, k / f.w}.In(box)) || !within(k) {
			return nil // it goes on
		}
		if math.Abs(part(k)) > rimLike {
			continue
		}
		out = append(out, k)
		stack = append(stack, k-1, k+1, k-f.w, k+f.w)
	}
	return out
}
