package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A lens blurs light, and so does a point of the sensor. What makes a picture smaller, takes noise out of it or
// sharpens it afterwards mostly mixes its sRGB values as if they were light. Half-way between dark and bright is then
// another place: edges seem to lie off by up to half of the blur, to the bright side. A scale sheet tells which it
// was, for its black and white squares are of one size; and the edge of plain paper is as sharp on its dark side as on its
// bright one, if it says less, for a shadow beside it looks much as if values had been mixed.

// scale is what each sRGB value counts for, from 0 to 1.
type scale struct {
	values float64 // the part of it that is the value itself; the rest is the light that the value stands for
	table  [256]float32
}

func newScale(values float64) *scale {
	s := &scale{values: values}
	for i := range s.table {
		s.table[i] = float32(values)*float32(i)/255 + float32(1-values)*linear[i]
	}
	return s
}

// byLight and byValues are the scales of pictures that mixed nothing but light, and nothing but values.
var byLight, byValues = newScale(0), newScale(1)

// of is the place of light on a scale.
func (s *scale) of(light float64) float64 {
	if s.values == 0 {
		return light
	}
	return s.values*encoded(light) + (1-s.values)*light
}

// ofAll is the same of a colour.
func (s *scale) ofAll(light [3]float32) [3]float32 {
	for ch, v := range light {
		light[ch] = float32(s.of(float64(v)))
	}
	return light
}

// light is the light that a place on a scale stands for.
func (s *scale) light(x float64) float64 {
	if s.values == 0 {
		return x
	}
	k, _ := slices.BinarySearch(s.table[1:255], float32(x))
	low, high := float64(s.table[k]), float64(s.table[k+1])
	return decoded(min(max((float64(k)+(x-low)/(high-low))/255, 0), 1))
}

// apart is by how much two places on a scale differ in light.
func (s *scale) apart(a, b float64) float64 { return s.light(a) - s.light(b) }

// By how much better the edges of sheets are borne out by another scale than by light, at least, for the picture to be one that
// mixed values: of rendered ones that did, a scale sheet's were off by 0.03 to 0.3 of what they are by light.
// A plain one's are asked twice, for a shadow makes the one or the other: how far they are off what blur makes, and how unlike
// both their sides are, which tells in pictures that were sharpened too. Of 30
// rendered ones that mixed light the first is 0.76 or more of what it is by light, and in the two whose second is less than 0.5 it is 0.79
// or more. Nine of 26 that mixed values are within both.
const (
	valuesBetter = 0.75
	paperBetter  = 0.7
	sidesBetter  = 0.45
)

// mixes finds out on which scale the picture mixed light, and measures the sheets again if it is another.
func (t *tracer) mixes(found []sheetSeen) []sheetSeen {
	find := t.codesMix
	if t.out.Plain != "" {
		find = t.paperMixes
	}
	s := find(found)
	if s == byLight {
		return found
	}
	t.p.even = s
	again, sheets, err := t.p.register(found)
	if err != nil || len(sheets) < len(t.view.sheets) {
		t.p.even = byLight
		return found
	}
	t.view = again
	return sheets
}

// codesMix is the scale by which the edges of black and white squares are least off where the others have them: what
// light and values make of each, weighed.
func (t *tracer) codesMix(found []sheetSeen) *scale {
	var lights, values []float64
	for i, l := range t.view.sheets {
		place := func(q orb.Point) orb.Point { return t.view.onSheets(l.on(q)) }
		off := map[orb.Point][2]float64{} // from an edge, by light and by values
		for k, s := range [...]*scale{byLight, byValues} {
			t.p.even = s
			for _, x := range t.p.sight(found[i], place, 0.5*found[i].reachMM) {
				d := plane.Dot(x.normal, plane.Sub(x.at, place(x.ground)))
				if k == 0 {
					off[x.ground] = [2]float64{d, math.NaN()}
				} else if was, ok := off[x.ground]; ok {
					off[x.ground] = [2]float64{was[0], d}
				}
			}
		}
		for _, e := range found[i].edges {
			if d, ok := off[e.at]; ok && !math.IsNaN(d[1]) {
				lights, values = append(lights, d[0]), append(values, d[1])
			}
		}
	}
	t.p.even = byLight
	if len(lights) == 0 {
		return byLight
	}
	var dot, norm float64
	for i, d := range lights {
		dot += d * (d - values[i])
		norm += (d - values[i]) * (d - values[i])
	}
	part := min(max(dot/norm, 0), 1)
	var was, is float64
	for i, d := range lights {
		was += d * d
		is += (d + part*(values[i]-d)) * (d + part*(values[i]-d))
	}
	if !(is < valuesBetter*valuesBetter*was) {
		return byLight
	}
	return newScale(part)
}

// What is looked at across the edges of plain paper.
const (
	paperReachPx = 4.0
	paperStepPx  = 0.25
	leastBits    = 24 // of edges
)

// paperMixes is the scale by which the edges of plain sheets rise most evenly.
func (t *tracer) paperMixes(found []sheetSeen) *scale {
	const parts = 4
	var offs, sides [parts + 1]float64
	rows(parts+1, func(i int) {
		offs[i], sides[i] = math.Inf(1), math.Inf(1)
		if rise := t.paperRise(found, newScale(float64(i)/parts)); rise != nil {
			offs[i], sides[i] = lopsided(rise), unlikeSides(rise)
		}
	})
	best := slices.Index(offs[:], slices.Min(offs[:]))
	if math.IsInf(offs[0], 1) || !(offs[best] < paperBetter*offs[0] && sides[best] < sidesBetter*sides[0]) {
		return byLight
	}
	return newScale(float64(best) / parts)
}

// paperRise is how bright it is across the edges of plain sheets on a scale, as the middle of many; nil if too little of them
// is seen.
func (t *tracer) paperRise(found []sheetSeen, s *scale) (rise []float64) {
	var columns [int(2*paperReachPx/paperStepPx) + 1][]float64
	for i, l := range t.view.sheets {
		place := func(q orb.Point) orb.Point { return t.view.onSheets(l.on(q)) }
		for _, e := range found[i].edges {
			if rise, ok := t.p.riseAt(e, place, s); ok {
				for k, v := range rise {
					columns[k] = append(columns[k], v)
				}
			}
		}
	}
	if len(columns[0]) < leastBits {
		return nil
	}
	for _, c := range columns {
		rise = append(rise, median(c))
	}
	return rise
}

// riseAt is how bright it is across an edge of paper on a scale, from the dark side to the light, about the place where it is
// half-way.
func (p *Picture) riseAt(e edge, place func(orb.Point) orb.Point, s *scale) (rise []float64, ok bool) {
	const lines, most = 12, 2.0
	contrast := p.contrast([]edge{e}, place, 5)
	if contrast < leastPaper {
		return nil, false
	}
	at, normal, ok := p.seek(e, place, 3, contrast)
	if !ok {
		return nil, false
	}
	along := plane.Sub(place(plane.Along(e.at, orb.Point{-e.light[1], e.light[0]}, 0.8*e.halfMM)), place(e.at))
	brightAt := func(d float64) (sum float64) {
		for k := range lines {
			q := plane.Along(plane.Along(at, along, float64(2*k+1-lines)/lines), normal, d)
			sum += float64(p.lumaAt(q[0], q[1], s)) / lines
		}
		return sum
	}
	half := (brightAt(-paperReachPx) + brightAt(paperReachPx)) / 2
	for d := -most; d < most; d += paperStepPx {
		if a, b := brightAt(d), brightAt(d+paperStepPx); a < half && b >= half {
			middle := d + paperStepPx*(half-a)/(b-a)
			for k := range int(2*paperReachPx/paperStepPx) + 1 {
				rise = append(rise, brightAt(middle+float64(k)*paperStepPx-paperReachPx))
			}
			return rise, true
		}
	}
	return nil, false
}

// lopsided is how far a rise is off what a Gaussian makes of a step, wherever it may lie, as a part of it: that is the
// same on both its sides.
func lopsided(rise []float64) float64 {
	least := math.Inf(1)
	var at, px float64
	try := func(a, p float64) {
		if left := leftOfRise(rise, a, p); left < least {
			least, at, px = left, a, p
		}
	}
	for p := 0.4; p < 3; p *= 1.2 {
		for a := -1.0; a <= 1; a += 0.2 {
			try(a, p)
		}
	}
	for step := 0.1; step > 0.001; step /= 2 {
		for range 2 {
			a, p := at, px
			for _, d := range [...][2]float64{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
				try(a+step*d[0], p*(1+step*d[1]))
			}
		}
	}
	return math.Sqrt(max(least, 0) / float64(len(rise)))
}

// unlikeSides is how far a rise is off being the same on both sides of its middle, wherever that lies, as a part of it.
func unlikeSides(rise []float64) float64 {
	const reach = 3.0 // points each side
	last := len(rise) - 1
	at := func(x float64) float64 { // of the rise's middle, in points
		k := (x + paperReachPx) / paperStepPx
		i := min(max(int(k), 0), last-1)
		return rise[i] + (k-float64(i))*(rise[i+1]-rise[i])
	}
	least := math.Inf(1)
	for mid := -0.75; mid <= 0.75; mid += 0.01 {
		var one, sum, squares float64
		for d := 0.0; d <= reach; d += paperStepPx {
			both := (at(mid+d) + at(mid-d)) / (rise[last] - rise[0])
			one, sum, squares = one+1, sum+both, squares+both*both
		}
		least = min(least, squares/one-sum*sum/(one*one))
	}
	return math.Sqrt(max(least, 0))
}

// leftOfRise is what is left over, in squares of it, of a rise whose middle is at a place and that is blurred by so much, over
// all levels that it may have on both sides.
func leftOfRise(rise []float64, at, px float64) float64 {
	low, high := rise[0], rise[len(rise)-1]
	var one, x, y, xx, xy, yy float64
	for k, v := range rise {
		u := 0.5 * math.Erfc((paperReachPx+at-float64(k)*paperStepPx)/px/math.Sqrt2)
		w := (v - low) / (high - low)
		one, x, y, xx, xy, yy = one+1, x+u, y+w, xx+u*u, xy+u*w, yy+w*w
	}
	spread := xx - x*x/one
	if spread < 1e-9 {
		return math.Inf(1)
	}
	both := xy - x*y/one
	return yy - y*y/one - both*both/spread
}
