package photo

import (
	"image"
	"math"
)

// Threads and fringes are narrower than this, and so are joints of the ground.
const (
	threadMM = 3.0
	jointMM  = 5.0
)

// onJoint is one of a joint of the ground.
const onJoint uint8 = 4

// unthread takes parts that are narrower than so much out of what is cloth, but
// those that are to be kept. Stubs are joints.
func (t *tracer) unthread(mm float64, what uint8, keep func(thin []part, reach float64) []bool) {
	f := t.f
	reach := int(mm / 2 / t.mmPerFieldPoint())
	if reach < 1 {
		return
	}
	cloth, core, ids, parts := t.thin(reach)
	kept := keep(parts, float64(reach))
	stubs := make([]bool, len(cloth))
	for k, id := range ids {
		if id > 0 && !kept[id] {
			if t.labels[k] = what; parts[id].stub() {
				t.labels[k], stubs[k] = onJoint, true
			}
		}
	}
	// What is left of a stub lies within the body's round.
	bare := dilated(core, f.w, f.h, reach)
	for k, is := range dilated(stubs, f.w, f.h, bodyRound+1) {
		if is && cloth[k] && !bare[k] {
			t.labels[k] = onJoint
		}
	}
}

const bodyRound = 2 // points that the corners of a body are rounded by

// thin is what is cloth; what of it has only cloth within a square that reaches so far each way; and the parts
// that are narrower than such squares, with their numbers at its points.
func (t *tracer) thin(reach int) (cloth, core []bool, ids []int32, parts []part) {
	f := t.f
	cloth = make([]bool, len(t.labels))
	for k, l := range t.labels {
		cloth[k] = l == onCloth
	}
	core = eroded(cloth, f.w, f.h, reach)
	body := dilated(core, f.w, f.h, reach+bodyRound)
	thin := make([]bool, len(cloth))
	for k, is := range cloth {
		thin[k] = is && !body[k]
	}
	ids, parts = f.parts(thin, body)
	return cloth, core, ids, parts
}

// part is some thin points of cloth that hang together.
type part struct {
	box        image.Rectangle
	area, held int // points, and those of them that are next to a body
	colour     lab
}

func (p part) long() float64 { return math.Hypot(float64(p.box.Dx()), float64(p.box.Dy())) }

// stub is whether a thin part is as wide all along as where it hangs on a body. A point
// of a scrap gets narrower; the part of a joint that was taken for cloth does not, and
// such a strap is of no use.
func (p part) stub() bool {
	const (
		full = 0.75 // of its length times its width there: of a point it is a half
		slim = 1.5  // times as long as wide, at least
	)
	held := float64(p.held)
	return p.held > 0 && p.long() > slim*held && float64(p.area) > full*held*p.long()
}

func (f *field) parts(thin, body []bool) ([]int32, []part) {
	ids, count := components(thin, f.w, f.h)
	out := make([]part, count+1)
	for k, id := range ids {
		if id == 0 {
			continue
		}
		p := &out[id]
		x, y := k%f.w, k/f.w
		p.box = p.box.Union(image.Rect(x, y, x+1, y+1))
		p.area++
		for ch, v := range f.colour[k] {
			p.colour[ch] += (v - p.colour[ch]) / float32(p.area)
		}
		for _, q := range [4]int{k - 1, k + 1, k - f.w, k + f.w} {
			if q >= 0 && q < len(body) && body[q] {
				p.held++
				break
			}
		}
	}
	return ids, out
}

// tips is which thin parts are the points of a scrap and not threads: they hang on
// its body by a good part of their length.
func tips(thin []part, reach float64) []bool {
	out := make([]bool, len(thin))
	for i, p := range thin {
		out[i] = p.held > 0 && float64(p.held) >= 0.6*reach && p.long() <= 6*float64(p.held) && !p.stub()
	}
	return out
}

// jointLong is how many times as long as wide thin parts are, one or all together, that
// say what colour joints have.
const jointLong = 15

// noJoints is which thin parts are not the joints of tiles or boards: those are
// long for their width; and where there are enough, what has their colour is one too.
func noJoints(thin []part, reach float64) []bool {
	out := make([]bool, len(thin))
	wide := 2*reach + 1
	var joints part
	for i, p := range thin {
		long := p.long()
		if p.held == 0 {
			out[i] = long*long < jointLong*float64(p.area)
		} else {
			out[i] = long <= wide || long <= 6*float64(p.held) && !p.stub()
		}
		if !out[i] && (long > jointLong*wide || p.stub()) {
			joints.area += p.area
			for ch, v := range p.colour {
				joints.colour[ch] += (v - joints.colour[ch]) * float32(p.area) / float32(joints.area)
			}
		}
	}
	for i, p := range thin {
		out[i] = out[i] && (float64(joints.area) < jointLong*wide || p.colour.apart(joints.colour) > likeUnits)
	}
	return out
}
