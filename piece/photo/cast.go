package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A lamp or the sun throws a shadow with an edge of its own beside thick cloth, as unlike the ground as the
// cloth is, and the outline goes round it. It has the ground's colour in less light, so what part of a colour
// is no light of the ground's tells where the cloth begins; beside grey cloth on a grey ground a dark line
// does. A print may have such a band at its edge too, but on any side of a scrap: shadows lie on the one
// side of all of them. Lengths are in points of the field.
const (
	castStep  = 0.5  // of the samples across an outline
	castIn    = 16.0 // inside the outline that the picture is looked at
	castOut   = 6.0  // and outside; the ground is seen in the outer half of that
	castEvery = 2    // nodes from one line across the outline to the next
	castReach = 4    // such lines each side that a stretch takes in
	leastCast = 1.0  // wide: narrower shadows are fitted (shade.go)
	mostCast  = 8.0  // wide, for an outline to be moved by that; wider ones are said
	castDark  = 0.1  // of the ground's light that a shadow leaves, at least
	castLight = 0.8  // and at most
	leastLit  = 0.01 // of light on the ground: less is the picture's noise, and has no hue

	castHue   = 0.07 // of the ground's light: by how much the cloth's is off it in any light, at least: less may be noise, or light of another colour
	beforeIn  = 0.5  // before the place where the cloth's colour is taken that a shadow ends, at least: that is no shadow's
	lineDark  = 0.7  // of the ground's light that is left in a dark line, at most: less dark may be the ground's grain
	lineStep  = 0.15 // of it that the cloth is lighter by, at least,
	lineTimes = 1.3  // and times as light, which is more where the line is hardly dark
	lineIn    = 7.0  // inside the outline that the line lies, at most
	lineFrom  = 1.5  // from the line on, into the cloth, that the cloth's light is taken: what lies nearer is blurred
	lineTo    = 4.0
	shadeFrom = 2.0 // inside the outline that cloth which tells nothing is still in shadow, if any lies there: the blur of the shadow's own edge is over
	shadeTo   = 3.0
	castBelow = 0.6 // of the light that shadows leave, at most, that is left of the ground's by cloth that tells nothing but that: the place half-way between is clear of both then

	castNear    = 2    // stretches each side that say whether one is right
	castAgree   = 3    // of those, itself among them, that have a shadow as wide, or
	castAgain   = 2    // where the side that shadows lie on is known: sides of small scraps are short
	castAlike   = 0.35 // of its width by which that may differ, or
	castAlikeBy = 1.0

	castScraps  = 3    // that have a shadow, at least
	castPart    = 0.04 // of the stretches of all outlines that do, at least: a print has bands here and there
	castOneSide = 0.4  // length of the mean of the ways that they face: 0.64 where a half turn is full of them, and 0 where they face all ways
	castAside   = -0.1 // cosine of the angle to that mean, at least, of a stretch with a shadow,
	castFacing  = 0.3  // and of one that is taken to have one as dark as the others'
	castWidest  = 2.0  // times the usual width, and
	castWiderBy = 1.0  // more: shadows in one light are about as wide, and what is wider by far is a print's

	castOff = 0.25 // that outlines are off by where there are such shadows, a standard deviation: what ray-traced pictures show

	// Fewer scraps than castScraps say so of themselves, and no outline is moved, where
	sureCasts   = 10   // stretches of one have a shadow, at least: prints in even light had 8 on one side
	sureFacing  = 0.5  // of the stretches that face it have one, at least,
	mostAway    = 0.25 // and of those that face away at most
	leastUnsure = 0.5  // of the stretches that face the shadows whose outline may go round one, for it to be said of a scrap
)

// castDeep is how far inside the outline the cloth's colour is taken: as near as it can be, for a print has another soon.
// Beyond, at overDeep, it is taken for shadows that are too wide to be moved by.
var (
	castDeep = [...]float64{4, 6, 8}
	overDeep = [...]float64{10, 12, 14}
)

// cast is the shadow beside a stretch of an outline: how wide it is, in points of the field, what part of the
// ground's light it leaves, and the way out of the cloth. Of dark cloth of the ground's hue, which tells nothing of it by
// itself, it is how bright the picture is across the outline, and how wide a shadow may be that is not to be moved by.
type cast struct {
	wide, left float64
	over       float64
	way        orb.Point
	untold     []float64
}

// casts is how wide the cast shadows beside the stretches of each outline of some scraps are, 0 where
// none is seen; nil where too few scraps bear each other out. It notes whether there is such light, and where the outline of
// a scrap may go round a shadow.
func (t *tracer) casts(found []candidate) [][][]cast {
	out := make([][][]cast, len(found))
	var mean, sureMean orb.Point
	var widths, left, sureLeft []float64
	stretches, scraps := 0, 0
	for i, c := range found {
		before := len(widths)
		for _, o := range c.outlines {
			all := t.p.bands(o.at, t.f.by)
			out[i] = append(out[i], all)
			stretches += len(all)
			for _, one := range agreed(all, castAgree) {
				if one.wide > 0 {
					mean, widths, left = plane.Add(mean, one.way), append(widths, one.wide), append(left, one.left)
				}
			}
		}
		if len(widths) > before {
			scraps++
		}
		if way, some, ok := oneSided(out[i]); ok {
			sureMean, sureLeft = plane.Add(sureMean, way), append(sureLeft, some...)
		}
	}
	n := float64(len(widths))
	move := scraps >= castScraps && n >= castPart*float64(stretches) && plane.Length(mean) >= castOneSide*n
	if !move && len(sureLeft) == 0 {
		return nil
	}
	t.harsh = true
	if !move {
		t.unsure(found, out, nil, plane.Unit(sureMean))
		return nil
	}
	toward, most, usual := plane.Unit(mean), castWidest*median(widths)+castWiderBy, median(left)
	moved := make([][][]cast, len(out))
	for i, outlines := range out {
		for _, bands := range outlines {
			all := slices.Clone(bands)
			for k, one := range all {
				facing := plane.Dot(one.way, toward)
				switch {
				case one.untold != nil && facing > castFacing:
					all[k].wide = below(one.untold, usual)
				case facing < castAside:
					all[k].wide = 0
				}
				if all[k].wide > most {
					all[k].wide = 0
				}
			}
			moved[i] = append(moved[i], agreed(all, castAgain))
		}
	}
	t.unsure(found, out, moved, toward)
	return moved
}

// seen is stretches with the shadows, too, that are not to be moved by.
func seen(all []cast) []cast {
	out := slices.Clone(all)
	for i := range out {
		out[i].wide = max(out[i].wide, out[i].over)
	}
	return out
}

// oneSided is the way that shadows lie beside one scrap, and what light they leave, where that scrap is sure of them by itself.
func oneSided(outlines [][]cast) (toward orb.Point, left []float64, ok bool) {
	var mean orb.Point
	for _, bands := range outlines {
		for _, one := range agreed(seen(bands), castAgree) {
			if one.wide > 0 {
				mean, left = plane.Add(mean, one.way), append(left, one.left)
			}
		}
	}
	n := float64(len(left))
	if n < sureCasts || plane.Length(mean) < castOneSide*n {
		return toward, nil, false
	}
	toward = plane.Unit(mean)
	var facing, have, away, astray float64
	for _, bands := range outlines {
		all := seen(bands)
		for k, one := range agreed(all, castAgree) {
			switch dot := plane.Dot(one.way, toward); {
			case dot > castFacing:
				facing++
				if one.wide > 0 {
					have++
				}
			case dot < castAside:
				away++
				if all[k].wide > 0 {
					astray++
				}
			}
		}
	}
	return toward, left, have >= sureFacing*facing && astray <= mostAway*away
}

// unsure notes where outlines of scraps that were not moved there may go round a shadow, of those of which that is most of the side that
// shadows lie on.
func (t *tracer) unsure(found []candidate, out, moved [][][]cast, toward orb.Point) {
	for i := range found {
		var where []orb.Point
		facing, doubtful := 0.0, 0.0
		for j, bands := range out[i] {
			for k, one := range agreed(seen(bands), castAgree) {
				if plane.Dot(one.way, toward) <= castFacing {
					continue
				}
				facing++
				if (one.wide > 0 || one.untold != nil) && (moved == nil || moved[i][j][k].wide == 0) {
					doubtful++
					at := found[i].outlines[j].at
					where = append(where, at[k*rimEvery:min((k+1)*rimEvery, len(at))]...)
				}
			}
		}
		if where != nil && doubtful >= leastUnsure*facing {
			found[i].shadowed = where
		}
	}
}

// agreed is stretches without the shadows that too few of those beside them bear out.
func agreed(all []cast, least int) []cast {
	out := slices.Clone(all)
	n := len(all)
	for i, c := range all {
		if c.wide == 0 {
			continue
		}
		var near []float64
		for d := -min(castNear, (n-1)/2); d <= min(castNear, (n-1)/2); d++ {
			if wide := all[round(i+d, n)].wide; wide > 0 && math.Abs(wide-c.wide) <= max(castAlikeBy, castAlike*c.wide) {
				near = append(near, wide)
			}
		}
		out[i].wide = 0
		if len(near) >= least {
			out[i].wide = median(near)
		}
	}
	return out
}

// bands is what may be shadows beside the stretches of an outline, in a field with so many points of the picture to one.
func (p *Picture) bands(ring []orb.Point, by int) []cast {
	n := len(ring)
	normals := outward(ring, 3)
	lines := make([][][3]float32, (n+castEvery-1)/castEvery)
	rows(len(lines), func(i int) {
		for u := castOut; u >= -castIn; u -= castStep {
			q := plane.Along(ring[castEvery*i], normals[castEvery*i], u*float64(by))
			lines[i] = append(lines[i], p.linearAt(q[0], q[1]))
		}
	})
	out := make([]cast, (n+rimEvery-1)/rimEvery)
	if len(lines) <= 2*castReach {
		return out
	}
	rows(len(out), func(i int) {
		light := make([][3]float32, len(lines[0]))
		v := make([]float64, 2*castReach+1)
		for k := range light {
			for ch := range 3 {
				for d := range v {
					v[d] = float64(lines[round(i*rimEvery/castEvery+d-castReach, len(lines))][k][ch])
				}
				light[k][ch] = float32(median(v))
			}
		}
		out[i] = band(light)
		out[i].way = normals[i*rimEvery]
	})
	return out
}

// sampleAt is the sample of a line across an outline that is so far inside it.
func sampleAt(in float64) int { return int(math.Round((in + castOut) / castStep)) }

func dot(a, b [3]float32) float64 { return float64(a[0]*b[0] + a[1]*b[1] + a[2]*b[2]) }

// band is the shadow of which there is the light along a line from the ground into the cloth, with the outline's own
// place castOut from its beginning.
func band(light [][3]float32) (c cast) {
	mean := func(from, to float64) (sum [3]float32) {
		for _, l := range light[sampleAt(from) : sampleAt(to)+1] {
			add(&sum, l)
		}
		for ch := range sum {
			sum[ch] /= float32(sampleAt(to) - sampleAt(from) + 1)
		}
		return sum
	}
	ground := mean(-castOut, -castOut/2)
	lit := float64(luminance(ground))
	if lit < leastLit {
		return c
	}
	bright := make([]float64, len(light))
	for k, l := range light {
		bright[k] = float64(luminance(l)) / lit
	}
	// Where it is the cloth's by half, from outside, with the cloth's colour seen at some depth.
	told := func(deeps []float64) (wide, left float64, ok bool) {
		for _, deep := range deeps {
			own := mean(deep, deep+1)
			by := float32(dot(own, ground) / dot(ground, ground))
			for ch := range own {
				own[ch] -= by * ground[ch]
			}
			if dot(own, own) < castHue*castHue*dot(ground, ground) {
				continue
			}
			whole := dot(own, mean(deep, deep+1))
			wide, ok = rise(light, sampleAt(-1), len(light)-1, func(l [3]float32) float64 { return dot(own, l) / whole })
			if !ok || wide > deep-beforeIn {
				continue
			}
			left = median(bright[sampleAt(0.5) : max(sampleAt(0.5), sampleAt(wide-1))+1])
			if wide < leastCast || left <= castDark || left >= castLight {
				wide = 0
			}
			return wide, left, true
		}
		return 0, 0, false
	}
	if wide, left, ok := told(castDeep[:]); ok {
		if wide > 0 {
			c.wide, c.left = wide, left
		}
		return c
	}
	dark := sampleAt(0)
	for k := range bright[:sampleAt(lineIn)+1] {
		if k > dark && bright[k] < bright[dark] {
			dark = k
		}
	}
	cloth, left := median(bright[dark+int(lineFrom/castStep):dark+int(lineTo/castStep)+1]), bright[dark]
	if left > lineDark || cloth < left+lineStep || cloth < lineTimes*left {
		c.untold = bright
		wide, left, ok := told(overDeep[:])
		if !ok {
			left = median(bright[sampleAt(shadeFrom) : sampleAt(shadeTo)+1])
			if left > castDark && left < castLight {
				wide = below(bright, left)
			}
		}
		if wide >= leastCast {
			c.over, c.left = wide, left
		}
		return c
	}
	if wide, ok := rise(bright, dark, sampleAt(lineIn), func(b float64) float64 { return (b - left) / (cloth - left) }); ok && wide >= leastCast {
		c.wide, c.left = wide, left
	}
	return c
}

// below is how wide a shadow that leaves a part of the ground's light is beside cloth that is darker than that;
// 0 where it is not.
func below(bright []float64, left float64) float64 {
	cloth := median(bright[sampleAt(mostCast-1) : sampleAt(mostCast+1)+1])
	if cloth > castBelow*left {
		return 0
	}
	wide, ok := rise(bright, sampleAt(-1), sampleAt(mostCast), func(b float64) float64 { return (left - b) / (left - cloth) })
	if !ok {
		return 0
	}
	return max(wide, 0)
}

// rise is how far inside an outline values along a line across it first rise through a half, from one of them on.
func rise[T any](values []T, from, to int, part func(T) float64) (in float64, ok bool) {
	for k := from; k < to; k++ {
		if a, b := part(values[k]), part(values[k+1]); a < 0.5 && b >= 0.5 {
			return castStep*(float64(k)+(0.5-a)/(b-a)) - castOut, true
		}
	}
	return 0, false
}
