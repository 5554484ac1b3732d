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
// was, for its black and white squares are of one size.

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

// By how much better the edges of sheets are borne out by another scale than by light, at least, for the picture to be one that
// mixed values: of rendered ones that did, a scale sheet's were off by 0.03 to 0.3 of what they are by light.
const valuesBetter = 0.75

// mixes finds out on which scale the picture mixed light, and measures the sheets again if it is another.
func (t *tracer) mixes(found []sheetSeen) []sheetSeen {
	if t.out.Plain != "" {
		return found // beside paper a shadow may lie, which looks much the same
	}
	s := t.codesMix(found)
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
		off := map[orb.Point][2]float64{} // from an edge, by light and by values; and how often it was seen
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
