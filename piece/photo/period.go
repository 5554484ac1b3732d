package photo

import (
	"cmp"
	"image"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// A print whose colours are partly the ground's is seen in pieces, and nothing there
// tells cloth from ground but the print itself: shifted by its repeat it lies on
// itself. The repeat is found from what is seen of it (the autocorrelation of its
// colours), and what lies a repeat away then says of each gap whether the print has
// the ground's colour there, and it is cloth as far as the outline about it goes
// straight on, or another, and it is the ground or a hole.
const (
	rasterMM      = 1.0
	finest        = 2.0 // steps for each point of the field
	leastRepeatMM = 5.0
	mostRepeatMM  = 45.0
	mostRepeats   = 16
	leastPrint    = 8.0  // CIELAB units that a print differs from itself by, shifted anyhow
	sameShifted   = 0.4  // of that, shifted by its repeat, at most
	otherHalfWay  = 0.75 // and by half of it, at least
	repeatSample  = 1200
	leastHit      = 0.2   // of the sample that falls on the print again
	leastPrintMM2 = 600.0 // that its repeat is sought in
	joinMM        = 3.0   // pieces of a print that lie so near are one
	shoreMM       = 12.5  // the open ground is what discs of this radius reach, at least
	shoreRepeats  = 0.7   // the same, in repeats of the print
	deepMM        = 4.0   // from there, what is not seen as cloth may be a print
	roomSteps     = 36    // about a print: more than discs are wide
	leastGaps     = 0.01  // of what they do not reach
	agreeUnits    = 12.0  // CIELAB units that a piece of a print differs from it by, at most
	agreePart     = 0.7   // of its points
	leastVotes    = 2
	fillRounds    = 4
	likelyBlind   = 3.0  // the same, for a part of the print to be looked for there
	leastBlind    = 0.03 // of a print that has the ground's colour
	nearer        = 0.7  // of how far the ground's colour is: the print's then is
	openTimes     = 2    // as much in the open as at the print, at most
	blindTimes    = 2.0  // what two colours are told by: a print and the ground that are less apart are not told
)

// raster is the ground in steps of rasterMM.
type raster struct {
	w, h  int
	field []int // the point of the field that each step is at; -1 where there is none
	group []int32
}

// raster is the ground that the picture shows, or nothing where that is so far away
// that steps are much finer than points.
func (t *tracer) raster() *raster {
	f := t.f
	var b orb.Bound
	for i, q := range [4]orb.Point{{}, {1, 0}, {1, 1}, {0, 1}} {
		at := t.view.ground(orb.Point{q[0] * float64(f.w*f.by), q[1] * float64(f.h*f.by)})
		if i == 0 {
			b = at.Bound()
		}
		b = b.Extend(at)
	}
	if size := (b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1]) / (rasterMM * rasterMM); !(size < finest*float64(len(t.labels))) {
		return nil
	}
	r := &raster{w: int((b.Max[0] - b.Min[0]) / rasterMM), h: int((b.Max[1] - b.Min[1]) / rasterMM)}
	r.field = make([]int, r.w*r.h)
	rows(r.h, func(y int) {
		for x := range r.w {
			q := t.view.point(orb.Point{b.Min[0] + (float64(x)+0.5)*rasterMM, b.Min[1] + (float64(y)+0.5)*rasterMM})
			u, v := int(q[0])/f.by, int(q[1])/f.by
			r.field[y*r.w+x] = -1
			if q[0] >= 0 && q[1] >= 0 && u < f.w && v < f.h {
				r.field[y*r.w+x] = v*f.w + u
			}
		}
	})
	return r
}

// periods gives those gaps to the cloth that its print says are its own.
func (t *tracer) periods() {
	t.blind = make([]bool, len(t.labels))
	r := t.raster()
	if r == nil {
		return
	}
	cloth := make([]bool, r.w*r.h)
	for i, k := range r.field {
		cloth[i] = k >= 0 && t.labels[k] == onCloth
	}
	near := make([]bool, len(cloth))
	for i, d := range squaresOff(cloth, r.w, r.h) {
		near[i] = d <= joinMM*joinMM/(4*rasterMM*rasterMM)
	}
	var count int32
	r.group, count = components(near, r.w, r.h)
	boxes, area := make([]image.Rectangle, count+1), make([]int, count+1)
	for i, id := range r.group {
		if !cloth[i] {
			r.group[i] = 0
			continue
		}
		boxes[id] = boxes[id].Union(image.Rect(i%r.w, i/r.w, i%r.w+1, i/r.w+1))
		area[id]++
	}
	order := make([]int32, 0, count)
	for id := int32(1); id <= count; id++ {
		order = append(order, id)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return area[b] - area[a] })
	for _, id := range order {
		if float64(area[id])*rasterMM*rasterMM < leastPrintMM2 || boxes[id].Empty() {
			continue
		}
		p := &motif{raster: r, id: id, box: boxes[id]}
		if p.cut(); !p.gaping() || !p.repeated(t.f.colour) {
			continue
		}
		for round := range fillRounds { // from the middle outward
			p.gather(boxes, t.f.colour)
			if !p.gaping() || round == 0 && t.blindPart(p) < leastBlind || !t.fill(p) {
				break
			}
		}
	}
}

// motif is a print on some pieces of cloth.
type motif struct {
	*raster
	id          int32
	box         image.Rectangle // of the raster
	is          []bool          // within the box
	shore, deep []bool          // what discs on the open ground do not reach
	repeats     [][2]int
}

// at is the step of the raster that the box's i-th is.
func (p *motif) at(i int) int { return (p.box.Min.Y+i/p.box.Dx())*p.w + p.box.Min.X + i%p.box.Dx() }

// cut takes what is within the box, with room about it, from the raster.
func (p *motif) cut() {
	p.box = p.box.Inset(-roomSteps).Intersect(image.Rect(0, 0, p.w, p.h))
	p.is = make([]bool, p.box.Dx()*p.box.Dy())
	for i := range p.is {
		p.is[i] = p.group[p.at(i)] == p.id
	}
}

// gaping is whether there are gaps in it that are narrower than discs on the ground.
func (p *motif) gaping() bool {
	w, h := p.box.Dx(), p.box.Dy()
	reach := shoreMM / rasterMM
	if len(p.repeats) > 0 {
		shortest := slices.MinFunc(p.repeats, func(a, b [2]int) int { return a[0]*a[0] + a[1]*a[1] - b[0]*b[0] - b[1]*b[1] })
		reach = max(reach, shoreRepeats*math.Hypot(float64(shortest[0]), float64(shortest[1])))
	}
	far, deep := reach*reach, (reach+deepMM/rasterMM)*(reach+deepMM/rasterMM)
	open := make([]bool, len(p.is))
	for i, d := range squaresOff(p.is, w, h) {
		open[i] = d > far
	}
	p.shore, p.deep = make([]bool, len(p.is)), make([]bool, len(p.is))
	gaps, all := 0, 0
	for i, d := range squaresOff(open, w, h) {
		p.shore[i] = d > far && p.field[p.at(i)] >= 0
		p.deep[i] = p.shore[i] && d > deep
		if p.shore[i] {
			all++
			if !p.is[i] {
				gaps++
			}
		}
	}
	return float64(gaps) > leastGaps*float64(all)
}

// some is so many of the steps that are of a group, which lies within bounds, and
// within the box.
func (p *motif) some(id int32, bounds image.Rectangle, most int) []image.Point {
	var all []image.Point
	bounds = bounds.Intersect(p.box)
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			if p.group[y*p.w+x] == id {
				all = append(all, image.Pt(x, y).Sub(p.box.Min))
			}
		}
	}
	return scattered(all, most)
}

// repeated finds the shifts by which the print lies on itself. It is whether there
// are any.
func (p *motif) repeated(colour []lab) bool {
	const most = int(mostRepeatMM / rasterMM)
	const least = int(leastRepeatMM / rasterMM)
	const across = 2*most + 1
	w, h := p.box.Dx(), p.box.Dy()
	some := p.some(p.id, p.box, repeatSample)
	none := math.Inf(1)
	apart := make([]float64, across*(most+1)) // of half the shifts, for the others are the same
	rows(most+1, func(dy int) {
		for dx := -most; dx <= most; dx++ {
			sum, n := 0.0, 0
			for _, q := range some {
				x, y := q.X+dx, q.Y+dy
				if x >= 0 && x < w && y < h && p.is[y*w+x] {
					sum += colour[p.field[p.at(q.Y*w+q.X)]].apart(colour[p.field[p.at(y*w+x)]])
					n++
				}
			}
			apart[dy*across+dx+most] = none
			if float64(n) >= leastHit*float64(len(some)) {
				apart[dy*across+dx+most] = sum / float64(n)
			}
		}
	})
	at := func(x, y int) float64 {
		if y < 0 {
			x, y = -x, -y
		}
		return apart[y*across+x+most]
	}
	var seen []float64
	for i, v := range apart {
		if dx, dy := i%across-most, i/across; dx*dx+dy*dy >= least*least && v < none {
			seen = append(seen, v)
		}
	}
	if len(seen) == 0 {
		return false
	}
	usual := median(seen)
	if usual < leastPrint {
		return false
	}
	var out [][2]int
	for dy := range most {
		for dx := 1 - most; dx < most; dx++ {
			v := at(dx, dy)
			if dx*dx+dy*dy < least*least || v > sameShifted*usual || at(dx/2, dy/2) < otherHalfWay*usual {
				continue
			}
			lowest := true
			for i := range 9 {
				lowest = lowest && v <= at(dx+i%3-1, dy+i/3-1)
			}
			if lowest {
				out = append(out, [2]int{dx, dy})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b [2]int) int {
		return cmp.Compare(at(a[0], a[1]), at(b[0], b[1]))
	})
	for _, d := range out[:min(len(out), mostRepeats)] {
		p.repeats = append(p.repeats, d, [2]int{-d[0], -d[1]})
	}
	return len(out) > 0
}

// says is the colour that the print has at a step within the box, as what lies a
// repeat away has it; is says what there is of the print.
func (p *motif) says(x, y int, is func(i int) bool, colour []lab) (c lab, ok bool) {
	w, h := p.box.Dx(), p.box.Dy()
	var votes [2 * mostRepeats]lab
	n := 0
	for _, d := range p.repeats {
		if u, v := x+d[0], y+d[1]; u >= 0 && v >= 0 && u < w && v < h && is(v*w+u) {
			votes[n] = colour[p.field[p.at(v*w+u)]]
			n++
		}
	}
	if n < leastVotes {
		return c, false
	}
	for ch := range c {
		var values [2 * mostRepeats]float32
		for i, v := range votes[:n] {
			values[i] = v[ch]
		}
		slices.Sort(values[:n])
		c[ch] = (values[(n-1)/2] + values[n/2]) / 2
	}
	return c, true
}

// gather takes the groups beside it that the print goes on in, of those in boxes. The
// box is then about all of it.
func (p *motif) gather(boxes []image.Rectangle, colour []lab) {
	for more := true; more; {
		more = false
		p.box = boxes[p.id].Inset(-int(mostRepeatMM / rasterMM))
		p.cut()
		for i, box := range boxes {
			if id := int32(i); id > 0 && id != p.id && !box.Empty() && box.Overlaps(p.box) && p.goesOn(id, box, colour) {
				p.take(id, box)
				boxes[p.id] = boxes[p.id].Union(box)
				boxes[id] = image.Rectangle{}
				more = true
			}
		}
	}
	p.box = boxes[p.id]
	p.cut()
}

// goesOn is whether the print goes on in another group.
func (p *motif) goesOn(id int32, bounds image.Rectangle, colour []lab) bool {
	some := p.some(id, bounds, 200)
	if len(some) == 0 {
		return false
	}
	told, same := 0, 0
	for _, q := range some {
		if c, ok := p.says(q.X, q.Y, func(i int) bool { return p.is[i] }, colour); ok {
			told++
			if c.apart(colour[p.field[p.at(q.Y*p.box.Dx()+q.X)]]) < agreeUnits {
				same++
			}
		}
	}
	return 5*told > len(some) && float64(same) > agreePart*float64(told)
}

// take makes a group one with the print's.
func (p *motif) take(id int32, box image.Rectangle) {
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			if p.group[y*p.w+x] == id {
				p.group[y*p.w+x] = p.id
			}
		}
	}
}

// isPrint is what there is of a print: what is seen of it, and all that lies deep
// within it.
func (p *motif) isPrint(i int) bool { return p.is[i] || p.deep[i] }

// blindPart is how much of a print has the ground's colour.
func (t *tracer) blindPart(p *motif) float64 {
	told, blind := 0, 0
	for i, deep := range p.deep {
		if i%7 != 0 || !deep {
			continue
		}
		if c, ok := p.says(i%p.box.Dx(), i/p.box.Dx(), p.isPrint, t.f.colour); ok {
			told++
			k := p.field[p.at(i)]
			if g, _ := t.ground.at(float64(k%t.f.w), float64(k/t.f.w)); c.apart(g) < likelyBlind*float64(t.ground.told()) {
				blind++
			}
		}
	}
	return float64(blind) / max(1, float64(told))
}

// fill gives the gaps of a print that have the ground's colour to the cloth, and
// those that have its own. It is whether there were any.
func (t *tracer) fill(p *motif) bool {
	f := t.f
	w := p.box.Dx()
	fill := make([]bool, len(p.is))
	told := float64(t.ground.told())
	rows(p.box.Dy(), func(y int) {
		for x := range w {
			i := y*w + x
			if !p.shore[i] || t.labels[p.field[p.at(i)]] != onGround {
				continue
			}
			c, ok := p.says(x, y, p.isPrint, f.colour)
			if !ok {
				continue
			}
			k := p.field[p.at(i)]
			seen := f.mean(k)
			off := toLab(seen).apart(c)
			fill[i] = off < nearer*float64(t.awayFromGround(seen, k)) || off < 3*told && float64(t.awayFromGround(c.light(), k)) < blindTimes*told
		}
	})
	p.hangOn(fill)
	filled := false
	reach := int(math.Ceil(rasterMM / t.mmPerFieldPoint() / 2))
	for i, is := range fill {
		if !is {
			continue
		}
		k := p.field[p.at(i)]
		p.is[i], p.group[p.at(i)], filled = true, p.id, true
		for y := max(0, k/f.w-reach); y <= min(f.h-1, k/f.w+reach); y++ {
			for x := max(0, k%f.w-reach); x <= min(f.w-1, k%f.w+reach); x++ {
				if q := y*f.w + x; t.labels[q] == onGround {
					t.labels[q], t.blind[q] = onCloth, true
				}
			}
		}
	}
	return filled
}

// hangOn takes thin lines that do not lie at the print out of some steps of the raster. Where
// the print goes from one colour to another it has the ground's somewhere between, and a line of
// that lies across a hole, too.
func (p *motif) hangOn(some []bool) {
	w, h := p.box.Dx(), p.box.Dy()
	ids, count := components(some, w, h)
	shut, open, wide := make([]int, count+1), make([]int, count+1), make([]bool, count+1)
	core := eroded(bordered(slices.Clone(some), w, h), w, h, 1)
	for i, id := range ids {
		if id == 0 {
			continue
		}
		wide[id] = wide[id] || core[i]
		x, y := i%w, i/w
		for _, d := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			switch u, v := x+d[0], y+d[1]; {
			case u < 0 || v < 0 || u >= w || v >= h:
				open[id]++
			case p.is[v*w+u]:
				shut[id]++
			case !some[v*w+u]:
				open[id]++
			}
		}
	}
	for i, id := range ids {
		some[i] = id > 0 && (wide[id] || openTimes*shut[id] >= open[id])
	}
}

// completed is whether a part of a patch is cloth by the repeat of its print alone.
func (t *tracer) completed(r region, ids []int32) bool {
	for i := range r.box.Dx() * r.box.Dy() {
		if k := t.f.at(r.box, i); t.blind[k] && ids[k] == r.id {
			return true
		}
	}
	return false
}
