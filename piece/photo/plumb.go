package photo

import (
	"cmp"
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A sheet in the middle of a picture says nearly nothing of how the lens bends
// lines at its rim. The straight edges of scraps do, of those that are left out too, and the
// joints of the floor (plumb lines: D. C. Brown, Close-range camera calibration, 1971). Which
// edges are straight is not known: each counts as far as it is even along its length, and as
// far as others bear it out. Where few do, the bend stays as unsure as any phone's.
const (
	plumbPx      = 90   // long at least
	plumbTrim    = 8    // nodes at each end that are left out: corners may be worn
	plumbBins    = 8    // parts of its length that its evenness is judged by
	plumbNoisePx = 0.07 // of the bow of any edge at least
	mostBow      = 0.02 // of the length: what bows more is a curve
	mostBend     = 0.12
	bendSteps    = 240 // each way that bends up to that are tried in
	plumbTails   = 2.0 // degrees of freedom: fewer than the 4 usual for measurements with slips (from memory), for many edges were never cut to be straight; chosen, not measured
)

// unevenCuts is how far an edge that is cut to be straight may bow, as parts of its length: from 0.1 mm on half a metre, of a
// floor's joint or a selvedge, to 5 mm, of shears led by eye (from memory), each about twice the one before.
var unevenCuts = [...]float64{0.0002, 0.0005, 0.001, 0.002, 0.005, 0.01}

// plumb is an edge that is taken to be straight on the ground: both its ends and
// its middle in the picture, as a parabola through all of it has them.
type plumb struct {
	from, mid, to orb.Point
	noisePx       float64 // of the bow, a standard deviation
	cutPx         float64 // its length, if it was cut by hand
}

// bowPx is how far the middle would be off the line through the ends if the
// lens did not bend, in points of the picture.
func (l plumb) bowPx(v *view) float64 {
	a, m, b := v.straight(l.from), v.straight(l.mid), v.straight(l.to)
	return v.half * plane.Cross(plane.Unit(plane.Sub(b, a)), plane.Sub(m, a))
}

// plumb refines the view by the straight edges of scraps and lines of the floor.
func (t *tracer) plumb(found []candidate) {
	var all []plumb
	for _, c := range found {
		all = append(all, plumbs(c.outlines[0].at, t.p.clear())...)
	}
	lines := t.floorLines()
	all = append(all, lines...)
	all = append(all, t.straight...)
	f := *t.view
	f.told, f.unsure = bendBy(all, t.view.view)
	f.sheets, f.sides = slices.Clone(t.view.sheets), slices.Clone(t.view.sides)
	f.turn = newView(1, 1).turn // sightings are on the first sheet
	if f.solve(f.seen) != nil {
		return
	}
	if f.sides != nil {
		f.byJoints(lines)
	}
	f.upright()
	t.view = &f
}

// plumbs is the edges of an outline between its corners that may be straight, as far as they lie in
// a part of the picture.
func plumbs(ring []orb.Point, in orb.Bound) (out []plumb) {
	n := len(ring)
	corners := cornersOf(ring)
	for k, from := range corners {
		to := corners[(k+1)%len(corners)]
		if to <= from {
			to += n
		}
		var edge []orb.Point
		for i := from + plumbTrim; i <= to-plumbTrim; i++ {
			if q := ring[i%n]; in.Contains(q) {
				edge = append(edge, q)
			}
		}
		if len(edge) < plumbPx/2 || plane.Distance(edge[0], edge[len(edge)-1]) < plumbPx {
			continue
		}
		if l, ok := straightened(edge); ok {
			l.cutPx = plane.Distance(l.from, l.to)
			out = append(out, l)
		}
	}
	return out
}

// straightened fits a parabola to an edge.
func straightened(edge []orb.Point) (plumb, bool) {
	a, b := edge[0], edge[len(edge)-1]
	long := plane.Distance(a, b)
	along := plane.Unit(plane.Sub(b, a))
	across := orb.Point{-along[1], along[0]}
	// By Legendre's polynomials, which are independent on evenly spread points:
	// the sums over bins make them even.
	var off, count [plumbBins]float64
	for _, q := range edge {
		d := plane.Sub(q, a)
		s := plane.Dot(d, along) / long
		if s < 0 || s > 1 {
			continue
		}
		i := min(int(s*plumbBins), plumbBins-1)
		off[i] += plane.Dot(d, across)
		count[i]++
	}
	var c [3]float64
	for i := range off {
		if count[i] == 0 {
			return plumb{}, false
		}
		off[i] /= count[i]
	}
	const evenly = float64(plumbBins*plumbBins-1) / (3 * plumbBins * plumbBins) // the mean of x² over bins
	polynomials := func(x float64) [3]float64 { return [3]float64{1, x, x*x - evenly} }
	middle := func(i int) float64 { return (2*float64(i) + 1 - plumbBins) / plumbBins } // of a bin, from -1 to 1
	value := func(x float64) float64 {
		p := polynomials(x)
		return c[0]*p[0] + c[1]*p[1] + c[2]*p[2]
	}
	for k := range c {
		sum, norm := 0.0, 0.0
		for i := range off {
			p := polynomials(middle(i))[k]
			sum += p * off[i]
			norm += p * p
		}
		c[k] = sum / norm
	}
	uneven := 0.0
	for i := range off {
		d := off[i] - value(middle(i))
		uneven += d * d / (plumbBins - 3)
	}
	if math.Abs(c[2]) > mostBow*long {
		return plumb{}, false
	}
	place := func(x float64) orb.Point {
		return plane.Along(plane.Along(a, along, long*(x+1)/2), across, value(x))
	}
	// An edge that wanders by so much over an eighth of its length bows by more
	// over the whole.
	return plumb{from: place(-1), mid: place(0), to: place(1), noisePx: math.Hypot(plumbNoisePx, 2*math.Sqrt(uneven))}, true
}

// bendBy is the bend of the lens that edges tell, and how unsure that is: the mean and the standard
// deviation of all bends, each as likely as the usual lens has it and as it explains how
// the edges bow, however unevenly they were cut. By Student's distribution what is no straight edge
// says little (K. Lange, R. Little, J. Taylor, Robust statistical modeling using the t distribution, 1989).
func bendBy(all []plumb, v view) (bend, unsure float64) {
	const step = mostBend / bendSteps
	type chance struct{ bend, log float64 }
	var chances []chance
	for k := -bendSteps; k <= bendSteps; k++ {
		v.bend = step * float64(k)
		bows := make([]float64, len(all))
		for i, l := range all {
			bows[i] = l.bowPx(&v)
		}
		for _, uneven := range unevenCuts {
			d := v.bend / usualBend
			log := -d * d / 2
			for i, l := range all {
				noise := math.Hypot(l.noisePx, uneven*l.cutPx)
				d := bows[i] / noise
				log -= math.Log(noise) + (plumbTails+1)/2*math.Log1p(d*d/plumbTails)
			}
			chances = append(chances, chance{v.bend, log})
		}
	}
	most := slices.MaxFunc(chances, func(a, b chance) int { return cmp.Compare(a.log, b.log) }).log
	var sum, mean, square float64
	for _, c := range chances {
		p := math.Exp(c.log - most)
		sum += p
		mean += p * c.bend
		square += p * c.bend * c.bend
	}
	bend = mean / sum
	return bend, math.Sqrt(square/sum - bend*bend + step*step)
}

// keepStraight keeps the edges of a patch that is left out, which tell of the lens all the same.
func (t *tracer) keepStraight(r region) {
	o := t.p.outline(r.rings[0], t.f, t.ground, t.labels)
	t.straight = append(t.straight, plumbs(o.at, t.p.clear())...)
}

// clear is what of the picture is so far from its edge that there is ground beyond cloth to tell it by.
func (p *Picture) clear() orb.Bound {
	const px = 8 // in a picture of the field's own size an edge is sought within 4 points of where the field has it, and ground looked at for 4 more
	return orb.Bound{Min: orb.Point{px, px}, Max: orb.Point{float64(p.Width - px), float64(p.Height - px)}}
}
