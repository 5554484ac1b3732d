package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A scrap throws a narrow shadow beside its edge, which makes the place where
// the light is half-way from the ground's to the cloth's seem farther out where
// the cloth is darker than the ground, and farther in where it is lighter. The
// edge as a lens of known blur shows it, with a shadow that fades outward from
// it, is fitted to what is seen of it along a stretch of the outline (least
// squares; the shadow's depth and how far it reaches are found with it). How
// blurred the picture is, the same fit says over all of it, and over the edges of the
// sheets' paper, beside which there is no shadow.
const (
	rimEvery  = 12   // nodes from one stretch to the next
	rimReach  = 18   // nodes each side that a stretch takes in
	rimInPx   = 3.0  // how far inside the edge is looked at
	rimOutPx  = 6.0  // and outside
	rimOff    = 0.02 // what the light is off by, of the step from ground to cloth: a standard deviation
	usualDeep = 0.2  // of the ground's light that a shadow takes: a standard deviation
	mostDeep  = 0.6
	mostRimPx = 1.0 // that an edge is moved by
	leastStep = 0.2 // of brightness at an edge, of its brighter side: at less, colours say more

	leastPaper  = 0.1 // of light that paper is lighter by than the ground beside it, for its edge to say how blurred the picture is
	leastPapers = 6   // edges that say it
	softMM      = 0.1 // that cloth's own edge is softer by than paper's
)

// rimReaches is how far shadows reach that are tried out, in points of the
// picture: to where they are e times as light.
var rimReaches = [...]float64{0.6, 1, 1.6, 2.6, 4.2}

// rim is what is seen across a stretch of an outline, as the middle of many
// lines.
type rim struct {
	part  []float64 // from the ground's light, 0, to the cloth's, 1, from inside the edge out
	black float64   // what no light would be on that scale, less what the ground is
	bow   float64   // how far a point that cloth covers by half is off that scale's middle, times 4
}

// rims is what is seen across an outline, stretch by stretch. Edges are where on
// each line the edge is; gap steps from it its blur is over. Even is the scale on which edges are even.
func rims(lines []across, edges []float64, plain []bool, gap int, even *scale) []rim {
	in, out := int(rimInPx/stepPx), int(rimOutPx/stepPx)
	parts, blacks, bows := make([][]float64, len(lines)), make([]float64, len(lines)), make([]float64, len(lines))
	rows(len(lines), func(i int) {
		l, at := &lines[i], edges[i]
		if !plain[i] || at-float64(in) < 0 || at+float64(out) > float64(len(l.light)-1) {
			return
		}
		cloth, ground := even.ofAll(l.lightOn(at-float64(gap))), even.ofAll(l.lightOn(at+float64(gap)))
		var dir [3]float32
		var norm, black float64
		for ch := range dir {
			dir[ch] = cloth[ch] - ground[ch]
			norm += float64(dir[ch] * dir[ch])
			black -= float64(ground[ch] * dir[ch])
		}
		if norm < 1e-4 {
			return
		}
		blacks[i] = black / norm
		bright, dark := l.brightOn(at-float64(gap)), l.brightOn(at+float64(gap))
		if lightC, lightG := even.light(bright), even.light(dark); math.Abs(lightC-lightG) > leastStep*math.Max(lightC, lightG) {
			step := bright - dark
			blacks[i], bows[i] = -dark/step, 4*((even.halfBright(cloth, ground)-dark)/step-0.5)
			for k := -in; k <= out; k++ {
				parts[i] = append(parts[i], (l.brightOn(at+float64(k))-dark)/step)
			}
			return
		}
		for k := -in; k <= out; k++ {
			c, sum := even.ofAll(l.lightOn(at+float64(k))), 0.0
			for ch := range dir {
				sum += float64((c[ch] - ground[ch]) * dir[ch])
			}
			parts[i] = append(parts[i], sum/norm)
		}
	})
	var all []rim
	n := len(lines)
	for from := 0; from < n; from += rimEvery {
		var r rim
		var seen []int
		for d := -min(rimReach, (n-1)/2); d <= min(rimReach, (n-1)/2); d++ {
			if i := round(from+d, n); parts[i] != nil {
				seen = append(seen, i)
			}
		}
		if len(seen) > rimReach/2 {
			v := make([]float64, len(seen))
			for k := range in + out + 1 {
				for j, i := range seen {
					v[j] = parts[i][k]
				}
				r.part = append(r.part, median(v))
			}
			for j, i := range seen {
				v[j] = blacks[i]
			}
			r.black = median(v)
			for j, i := range seen {
				v[j] = bows[i]
			}
			r.bow = median(v)
		}
		all = append(all, r)
	}
	return all
}

// halfBright is how bright a point is, on a scale, that is covered by half by what is so on it.
func (s *scale) halfBright(cloth, ground [3]float32) float64 {
	luma := 0.0
	for ch, weight := range [3]float64{0.299, 0.587, 0.114} { // ITU-T T.871
		luma += weight * encoded(s.light(float64(cloth[ch]+ground[ch])/2))
	}
	return s.of(decoded(luma))
}

// blurred is what an edge and shadows beside it look like through a lens that
// blurs by a Gaussian, at steps of a 20th of a point from the edge.
type blurred struct {
	px     float64
	cloth  []float64
	shades [len(rimReaches)][]float64
}

const (
	fineStep = 0.05
	fineFrom = -rimInPx - mostRimPx - 2*fineStep
)

func newBlurred(px float64) *blurred {
	b := blurred{px: px}
	for u := fineFrom; u < rimOutPx+mostRimPx+2*fineStep; u += fineStep {
		b.cloth = append(b.cloth, 0.5*math.Erfc(u/px/math.Sqrt2))
		for i, reach := range rimReaches {
			// A Gaussian with an exponential on one side.
			b.shades[i] = append(b.shades[i], 0.5*math.Exp(px*px/(2*reach*reach)-u/reach)*math.Erfc((px/reach-u/px)/math.Sqrt2))
		}
	}
	return &b
}

// fit is where the edge is, in points of the picture outward from where it was
// taken to be, and what is left over, in variances.
func (b *blurred) fit(r rim) (px, left float64) {
	left = math.Inf(1)
	try := func(e float64) float64 {
		best := math.Inf(1)
		for i := range b.shades {
			best = min(best, b.leftOver(r, e, b.shades[i]))
		}
		return best
	}
	const step = 0.1
	for k := -10; k <= 10; k++ {
		if l := try(float64(k) * step); l < left {
			px, left = float64(k)*step, l
		}
	}
	if math.Abs(px) > mostRimPx-step {
		return px, left
	}
	// The lowest point of the parabola through three.
	a, c := try(px-step), try(px+step)
	if bend := a + c - 2*left; bend > 0 {
		px += step * (a - c) / (2 * bend)
	}
	return px, left
}

// leftOver is the least sum of squares with the edge at a place, over the levels
// of ground and cloth and the depth of a shadow.
func (b *blurred) leftOver(r rim, edge float64, shade []float64) float64 {
	var m [3][3]float64
	var v [3]float64
	yy := 0.0
	for k, y := range r.part {
		u := (float64(k)*stepPx - rimInPx - edge - fineFrom) / fineStep
		i := int(u)
		f := u - float64(i)
		cloth := b.cloth[i]*(1-f) + b.cloth[i+1]*f
		x := [3]float64{1, cloth + r.bow*cloth*(1-cloth), r.black * (shade[i]*(1-f) + shade[i+1]*f)}
		for p := range x {
			for q := range p + 1 {
				m[p][q] += x[p] * x[q]
			}
			v[p] += x[p] * y
		}
		yy += y * y
	}
	m[2][2] += rimOff * rimOff / (usualDeep * usualDeep)
	// The levels first, and then the depth, which has bounds.
	det := m[0][0]*m[1][1] - m[1][0]*m[1][0]
	levels := func(s, t float64) (float64, float64) {
		return (s*m[1][1] - t*m[1][0]) / det, (t*m[0][0] - s*m[1][0]) / det
	}
	s0, t0 := levels(v[0], v[1])
	s1, t1 := levels(m[2][0], m[2][1])
	pull := v[2] - m[2][0]*s0 - m[2][1]*t0
	stiff := m[2][2] - m[2][0]*s1 - m[2][1]*t1
	deep := min(max(pull/stiff, 0), mostDeep)
	return (yy - v[0]*s0 - v[1]*t0 - 2*deep*pull + deep*deep*stiff) / (rimOff * rimOff)
}

// paperRims is what is seen across the edges of the sheets' paper.
func (t *tracer) paperRims(found []sheetSeen) (all []rim) {
	for i, l := range t.view.sheets {
		place := func(q orb.Point) orb.Point { return t.view.onSheets(l.on(q)) }
		w, h := found[i].size[0], found[i].size[1]
		corners := [4]orb.Point{{0, 0}, {w, 0}, {w, h}, {0, h}}
		for k, c := range corners {
			for _, e := range side(c, corners[(k+1)%4]) {
				if r, ok := t.p.paperRim(e, place); ok {
					all = append(all, r)
				}
			}
		}
	}
	return all
}

// paperRim is what is seen across an edge of a sheet's paper.
func (p *Picture) paperRim(e edge, place func(orb.Point) orb.Point) (r rim, ok bool) {
	const lines, lightMM, darkMM = 12, 8, 6
	in, out := place(plane.Along(e.at, e.light, lightMM)), place(plane.Along(e.at, e.light, -darkMM))
	inside, outside := p.lightAt(in[0], in[1]), p.lightAt(out[0], out[1])
	contrast := inside - outside
	if p.even.apart(inside, outside) < leastPaper {
		return r, false
	}
	at, normal, ok := p.seek(e, place, 3, contrast)
	if !ok {
		return r, false
	}
	along := plane.Sub(place(plane.Along(e.at, orb.Point{-e.light[1], e.light[0]}, 0.8*e.halfMM)), place(e.at))
	for d := -rimInPx; d <= rimOutPx; d += stepPx {
		sum := 0.0
		for k := range lines {
			q := plane.Along(plane.Along(at, along, float64(2*k+1-lines)/lines), normal, -d)
			sum += float64(p.brightAt(q[0], q[1])) / lines
		}
		r.part = append(r.part, sum)
	}
	light, dark := r.part[0], r.part[len(r.part)-1]
	if p.even.apart(light, dark) < leastPaper {
		return r, false
	}
	for k := range r.part {
		r.part[k] = (r.part[k] - dark) / (light - dark)
	}
	return r, true // black is none: what is so thin throws no shadow
}

// lensBlur is how much the picture is blurred: what suits what is seen across
// edges best.
func lensBlur(all []rim) *blurred {
	var some []rim
	const most = 150
	for i := 0; i < len(all); i += 1 + len(all)/most {
		if all[i].part != nil {
			some = append(some, all[i])
		}
	}
	if len(some) == 0 {
		return nil
	}
	var sums []float64
	const least, step = 0.4, 1.12
	for px := least; px < 4; px *= step {
		b := newBlurred(px)
		sum := 0.0
		for _, r := range some {
			_, left := b.fit(r)
			sum += math.Log1p(left / float64(len(r.part))) // what is no plain edge says little
		}
		sums = append(sums, sum)
	}
	k := min(max(slices.Index(sums, slices.Min(sums)), 1), len(sums)-2)
	// The lowest point of the parabola through three.
	at := float64(k)
	if bend := sums[k-1] + sums[k+1] - 2*sums[k]; bend > 0 {
		at += min(max((sums[k-1]-sums[k+1])/(2*bend), -1), 1)
	}
	return newBlurred(least * math.Pow(step, at))
}

// unshade moves the outlines of scraps to where their edges are without the
// shadows beside them, and says how blurred the picture is.
func (t *tracer) unshade(found []candidate) (blurPx float64) {
	var all []rim
	for _, c := range found {
		for _, o := range c.outlines {
			all = append(all, o.rims...)
		}
	}
	b := lensBlur(all)
	if b == nil {
		return 1
	}
	// Where all shadows fall alike they seem to be the lens's blur; those beside paper are thin.
	if len(t.paper) >= leastPapers {
		if px := math.Hypot(lensBlur(t.paper).px, softMM/t.out.MMPerPoint); px < b.px {
			b = newBlurred(px)
		}
	}
	casts := t.casts(found)
	for k, c := range found {
		for i := range c.outlines {
			o := &c.outlines[i]
			moves := b.moves(o.rims)
			if casts != nil {
				o.castPx = castOff * float64(t.f.by)
				for j, shadow := range casts[k][i] {
					if shadow.wide > 0 {
						moves[j] = -shadow.wide * float64(t.f.by)
					}
				}
			}
			o.move(moves)
		}
	}
	return b.px
}

// moves is how far the edge is from where it was taken to be, for each stretch.
func (b *blurred) moves(all []rim) []float64 {
	out := make([]float64, len(all))
	rows(len(all), func(i int) {
		if all[i].part != nil {
			out[i], _ = b.fit(all[i])
		}
	})
	return medians(out, 1)
}

// move moves an outline outward by so many points for each stretch.
func (t *traced) move(px []float64) {
	n := len(t.nodes)
	for i := range t.offs {
		from := i / rimEvery
		next := (from + 1) % len(px)
		long := rimEvery
		if next == 0 {
			long = n - from*rimEvery
		}
		f := float64(i-from*rimEvery) / float64(long)
		t.offs[i] += px[from]*(1-f) + px[next]*f
	}
	t.draw()
}

// draw is the outline by its nodes and how far the edge is from them.
func (t *traced) draw() {
	t.at = make([]orb.Point, len(t.nodes))
	for i, q := range t.nodes {
		t.at[i] = plane.Along(q, t.normals[i], t.offs[i])
	}
	t.at = smoothed(t.at, 0.8)
}
