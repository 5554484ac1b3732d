package photo

import (
	"image"
	"math"
	"slices"
)

// A print's colours at a scrap's edge may be such as the ground has in the
// shade; the outline then has a bite in it, or lacks a stripe. A bite is given back to the cloth
// where its colour is found all over the scrap, and its edge against the ground
// is too sharp for a shadow's.
const (
	biteMM     = 12.0  // deep, at most: such as large dots and stripes make
	likeUnits  = 9     // CIELAB units within which a colour is one of the scrap's
	leastShare = 0.006 // of the scrap that has the colour
	wholeShare = 0.05  // the same, of what lies within the scrap: a hole in shade may look so
)

// What has the ground's colour in no shade is no ground, however few places on the
// scrap have its colour.
const (
	noGround      = 10.0 // CIELAB units from the ground's colour in the shade that suits it best, at least
	noGroundShade = 0.25 // of the ground's light in a shade, at least
	noGroundPart  = 0.35 // of how far the cloth beside it is: a JPEG's colours run over an edge
	noGroundNear  = 4    // points to the cloth beside it
	leastBite     = 12   // points
)

// restore gives bites back to a patch of cloth. It is whether there were any.
func (t *tracer) restore(r region, ids []int32) bool {
	f := t.f
	reach := max(2, biteMM/t.mmPerFieldPoint())
	x0, y0 := max(0, r.box.Min.X-int(reach)), max(0, r.box.Min.Y-int(reach))
	w, h := min(f.w, r.box.Max.X+int(reach))-x0, min(f.h, r.box.Max.Y+int(reach))-y0
	cloth := make([]bool, w*h)
	at := func(i int) int { return (y0+i/w)*f.w + x0 + i%w }
	for i := range cloth {
		cloth[i] = ids[at(i)] == r.id
	}
	off := squaresOff(cloth, w, h)
	any := t.regain(image.Rect(x0, y0, x0+w, y0+h), cloth, off, reach)
	shares := t.shares(r, ids)
	if shares == nil {
		return any
	}
	maybe, common := make([]bool, w*h), make([]bool, w*h)
	for i, d := range off {
		if d > reach*reach || cloth[i] {
			continue
		}
		k := at(i)
		if t.labels[k] != onGround {
			continue
		}
		lit, _, _, _ := t.ground.off(f, k%f.w, k/f.w)
		share := shares.of(f.colour[k])
		maybe[i], common[i] = lit > clearlyGround+1 && share > leastShare, share > wholeShare
	}
	bites, count := components(maybe, w, h)
	wide := eroded(maybe, w, h, max(1, int(jointMM/2/t.mmPerFieldPoint())))
	type tally struct {
		sharp, soft, size, open, common int
		goesOn, wide                    bool
	}
	votes := make([]tally, count+1)
	for i, id := range bites {
		if id == 0 {
			continue
		}
		votes[id].size++
		votes[id].wide = votes[id].wide || wide[i]
		if common[i] {
			votes[id].common++
		}
		for _, d := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			x, y := i%w+d[0], i/w+d[1]
			if x < 0 || y < 0 || x >= w || y >= h {
				votes[id].goesOn = true
				continue
			}
			if maybe[y*w+x] || cloth[y*w+x] {
				continue
			}
			votes[id].open++
			if off[y*w+x] > reach*reach {
				votes[id].soft++ // it goes on: no bite, but a shadow or another thing
				votes[id].goesOn = true
				continue
			}
			// From the bite outward to the ground, if it lies there.
			change, whole := f.step(at(i), d, 4)
			gc, _ := t.ground.at(float64(x0+x), float64(y0+y))
			if whole < 0.6*f.colour[at(i)].apart(gc) {
				continue
			}
			if change > 0.35*whole {
				votes[id].sharp++
			} else {
				votes[id].soft++
			}
		}
	}
	given := make([]bool, w*h)
	for i, id := range bites {
		v := votes[id]
		joint := v.goesOn && !v.wide
		given[i] = id > 0 && !joint && (v.size >= 6 && v.sharp > v.soft || v.open == 0 && 4*v.common > 3*v.size)
	}
	straps := t.straps(cloth, given, off, w, h)
	for i, is := range given {
		if is && !straps[i] {
			t.labels[at(i)], any = onCloth, true
		}
	}
	return any
}

// straps is what sticks out of cloth and what may be given to it, narrower than a thread and farther from the
// cloth than that: a joint of the ground that a bite ends at. Off is the squares of how far points are from the cloth.
func (t *tracer) straps(cloth, given []bool, off []float64, w, h int) []bool {
	wide := threadMM / t.mmPerFieldPoint()
	reach := int(wide / 2)
	all := slices.Clone(cloth)
	for i, is := range given {
		all[i] = all[i] || is
	}
	body := dilated(eroded(all, w, h, reach), w, h, reach+bodyRound)
	thin := make([]bool, len(all))
	for i, is := range given {
		thin[i] = is && !body[i]
	}
	ids, count := components(thin, w, h)
	far := make([]float64, count+1)
	for i, id := range ids {
		far[id] = max(far[id], off[i])
	}
	for i, id := range ids {
		thin[i] = id > 0 && far[id] > wide*wide
	}
	return thin
}

// regain gives what has the ground's colour in no shade back to a patch of cloth that it lies
// at, but not what lies within the patch: that is a hole. Cloth is the patch within a box, off the
// squares of how far points are from it, and reach how far a bite reaches at most. It is whether
// there was any.
func (t *tracer) regain(box image.Rectangle, cloth []bool, off []float64, reach float64) bool {
	f := t.f
	w, h := box.Dx(), box.Dy()
	is := make([]bool, w*h)
	rows(h, func(y int) {
		for i := y * w; i < (y+1)*w; i++ {
			if k := f.at(box, i); off[i] > 0 && off[i] <= reach*reach && t.labels[k] == onGround {
				g, _ := t.ground.at(float64(k%f.w), float64(k/f.w))
				is[i] = f.colour[k].apart(g) > noGround && t.awayInShade(f.mean(k), k, noGroundShade) > noGround
			}
		}
	})
	bites, count := components(dilated(eroded(is, w, h, 1), w, h, 1), w, h)
	if count == 0 {
		return false
	}
	holes, _ := components(opposite(cloth), w, h)
	open := map[int32]bool{}
	for i, id := range holes {
		if x, y := i%w, i/w; x == 0 || y == 0 || x == w-1 || y == h-1 {
			open[id] = true
		}
	}
	type tally struct {
		size         int
		near, goesOn bool
		away, cloth  float32
		box          image.Rectangle
	}
	all := make([]tally, count+1)
	for i, id := range bites {
		if id == 0 || !open[holes[i]] {
			continue
		}
		b, k := &all[id], f.at(box, i)
		b.size++
		b.near, b.goesOn = b.near || off[i] <= 4, b.goesOn || off[i] > (reach-2)*(reach-2)
		b.away = max(b.away, t.awayInShade(f.mean(k), k, noGroundShade))
		b.box = b.box.Union(image.Rect(i%w, i/w, i%w+1, i/w+1))
	}
	any := false
	given := make([]bool, count+1)
	for id := range all {
		b := &all[id]
		if b.size < leastBite || !b.near || b.goesOn {
			continue
		}
		in := b.box.Inset(-noGroundNear).Intersect(image.Rect(0, 0, w, h))
		for y := in.Min.Y; y < in.Max.Y; y++ {
			for i := y*w + in.Min.X; i < y*w+in.Max.X; i++ {
				if k := f.at(box, i); cloth[i] {
					b.cloth = max(b.cloth, t.awayInShade(f.mean(k), k, noGroundShade))
				}
			}
		}
		given[id] = b.away > noGroundPart*b.cloth
	}
	for i, id := range bites {
		if given[id] && !cloth[i] {
			t.labels[f.at(box, i)], any = onCloth, true
		}
	}
	return any
}

// step is the largest change of colour over two points along a way, and how
// much it changes from one end to the other.
func (f *field) step(k int, d [2]int, n int) (most, whole float64) {
	x, y := k%f.w, k/f.w
	colour := func(s int) lab {
		return f.colour[min(max(y+s*d[1], 0), f.h-1)*f.w+min(max(x+s*d[0], 0), f.w-1)]
	}
	for s := -1; s+2 <= n; s++ {
		most = math.Max(most, colour(s).apart(colour(s+2)))
	}
	return most, colour(-1).apart(colour(n))
}

// shares is how common colours are in a scrap.
type shares struct {
	sample []lab
	known  map[[3]int8]float64
}

func (t *tracer) shares(r region, ids []int32) *shares {
	points := t.inner(r, ids, 3)
	if len(points) < 100 {
		return nil
	}
	return t.sharesOf(points)
}

func (t *tracer) sharesOf(points []int) *shares {
	s := &shares{known: map[[3]int8]float64{}}
	for _, k := range scattered(points, 1200) {
		s.sample = append(s.sample, t.f.colour[k])
	}
	return s
}

// of is how much of the scrap has a colour, to two units.
func (s *shares) of(c lab) float64 {
	key := [3]int8{int8(c[0] / 2), int8(c[1] / 2), int8(c[2] / 2)}
	share, ok := s.known[key]
	if !ok {
		for _, o := range s.sample {
			if o.apart(c) < likeUnits {
				share += 1 / float64(len(s.sample))
			}
		}
		s.known[key] = share
	}
	return share
}
