package photo

import (
	"image"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A print has each of its colours again and again. A spot whose colour a patch of cloth has nowhere
// else, and which the ground's colour in some shade explains, with as much of the cloth's as blur would
// mix in, is a hole.
const (
	loneUnits  = 3.0  // CIELAB units of a step in which colours are counted; a colour and its noise are within one of it
	loneClear  = 4    // points of the field from the patch's edge
	loneMM2    = 30.0 // of a colour, at most: larger holes have clear ground in them
	likelyHole = 0.5  // of how far the cloth about it is from the ground: what is nearer but not explained is said
	elsewhere  = 0.15 // times as many points of its colour elsewhere as in the spot, at most
)

const lightSteps, hueSteps = 36, 96

// tally is how many points have each colour.
type tally [lightSteps * hueSteps * hueSteps]int32

// step is where a colour is counted, one step clear of the ends.
func (*tally) step(c lab) [3]int {
	at := func(v float32, n int) int { return min(max(int(v/loneUnits), 1), n-2) }
	const half = loneUnits * hueSteps / 2
	return [3]int{at(c[0]+loneUnits, lightSteps), at(c[1]+half, hueSteps), at(c[2]+half, hueSteps)}
}

func (t *tally) of(s [3]int) *int32 { return &t[(s[0]*hueSteps+s[1])*hueSteps+s[2]] }

// near is how many points have a colour, to a step.
func (t *tally) near(s [3]int) (n int) {
	for l := -1; l <= 1; l++ {
		for a := -1; a <= 1; a++ {
			for b := -1; b <= 1; b++ {
				n += int(*t.of([3]int{s[0] + l, s[1] + a, s[2] + b}))
			}
		}
	}
	return n
}

// lone takes holes out of a patch of cloth whose colour it has nowhere else. It is whether there
// were any.
func (t *tracer) lone(r region, ids []int32) (any bool) {
	f := t.f
	w, h := r.box.Dx(), r.box.Dy()
	cloth := make([]bool, w*h)
	for i := range cloth {
		cloth[i] = ids[f.at(r.box, i)] == r.id
	}
	in := eroded(bordered(slices.Clone(cloth), w, h), w, h, loneClear)
	var count tally
	steps := make([][3]int, w*h)
	rows(h, func(y int) {
		for i := y * w; i < (y+1)*w; i++ {
			if in[i] {
				steps[i] = count.step(toLab(f.mean(f.at(r.box, i))))
			}
		}
	})
	for i, is := range in {
		if is {
			*count.of(steps[i])++
		}
	}
	perPoint := t.mmPerFieldPoint()
	rare := make([]bool, w*h)
	rows(h, func(y int) {
		for i := y * w; i < (y+1)*w; i++ {
			rare[i] = in[i] && float64(count.near(steps[i]))*perPoint*perPoint < loneMM2
		}
	})
	own := func(s *spot) (n int) { // points of its colour in and about it
		b, best := s.box.Inset(-rimSteps).Intersect(r.box), steps[r.in(s.best, f.w)]
		for y := b.Min.Y; y < b.Max.Y; y++ {
			for x := b.Min.X; x < b.Max.X; x++ {
				if i := r.in(y*f.w+x, f.w); in[i] && max(abs(steps[i][0]-best[0]), abs(steps[i][1]-best[1]), abs(steps[i][2]-best[2])) <= 1 {
					n++
				}
			}
		}
		return n
	}
	away := make([]float32, w*h)
	for i, is := range rare {
		if is {
			away[i] = t.awayFromGround(f.mean(f.at(r.box, i)), f.at(r.box, i))
		}
	}
	within := func(k int) bool { return image.Pt(k%f.w, k/f.w).In(r.box) && cloth[r.in(k, f.w)] }
	for _, s := range f.spots(r.box, in, rare, away) {
		if !s.inside {
			continue
		}
		if n := own(&s); float64(count.near(steps[r.in(s.best, f.w)])-n) > elsewhere*float64(n) {
			continue
		}
		lost := f.lost(s.best%f.w, s.best/f.w) // of colour, over squares of points
		cloth, ok := t.about(s, within)
		if !ok {
			continue
		}
		if t.explained(s, cloth, true) >= t.ground.told()+sqrt32(lost[1]+lost[2]) {
			if s.away < likelyHole*t.awayFromGround(cloth, s.best) {
				t.spots = append(t.spots, s.best)
			}
			continue
		}
		hole := t.flooded(s, cloth, within)
		if hole == nil {
			hole = s.points // colours of the print about it are half-way, too
		}
		if float64(len(hole))*perPoint*perPoint < leastHoleMM2 {
			continue
		}
		t.sure = append(t.sure, f.middle(s.best))
		for _, k := range hole {
			t.labels[k], any = onGround, true
		}
	}
	return any
}

// isSure is whether a ring, in the picture, is about a hole whose colour is nowhere else.
func (t *tracer) isSure(ring []orb.Point) bool {
	return slices.ContainsFunc(t.sure, func(q orb.Point) bool { return plane.Holds(ring, q) })
}

// in is the point of its box that a point of the field is, in a field so wide.
func (r *region) in(k, wide int) int {
	return (k/wide-r.box.Min.Y)*r.box.Dx() + k%wide - r.box.Min.X
}

func abs(n int) int { return max(n, -n) }
