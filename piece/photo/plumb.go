package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A sheet in the middle of a picture says nearly nothing of how the lens bends
// lines at its rim. The straight edges of scraps do, and the joints of the floor (plumb
// lines: D. C. Brown, Close-range camera calibration, 1971). Which edges are straight is not known:
// each counts as far as it is even along its length, those are used that agree
// on one bend, and where few do none is.
const (
	plumbPx        = 90   // long at least
	plumbTrim      = 8    // nodes at each end that are left out: corners may be worn
	plumbBins      = 8    // parts of its length that its evenness is judged by
	plumbNoisePx   = 0.07 // of the bow of any edge at least
	mostBow        = 0.02 // of the length: what bows more is a curve
	mostBend       = 0.12
	bendSteps      = 240   // each way that bends up to that are tried in
	bendNoise      = 0.004 // by which the bends that edges want differ at best: few are wholly straight
	mostPlumbNoise = 0.02  // of the bend, by one edge: what tells less is not counted
	leastPlumbs    = 3
)

// plumb is an edge that is taken to be straight on the ground: both its ends and
// its middle in the picture, as a parabola through all of it has them.
type plumb struct {
	from, mid, to orb.Point
	noisePx       float64 // of the bow, a standard deviation
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
		all = append(all, plumbs(c.outlines[0].at)...)
	}
	all = append(all, t.floorLines()...)
	used := agreeing(all, t.view.view)
	if len(used) < leastPlumbs {
		return
	}
	f := *t.view
	f.plumbs = used
	f.sheets = append([]laid{}, t.view.sheets...)
	f.turn = newView(1, 1).turn // sightings are on the first sheet
	if f.solve(f.seen) != nil {
		return
	}
	f.upright()
	t.view = &f
}

// plumbs is the edges of an outline between its corners that may be straight.
func plumbs(ring []orb.Point) (out []plumb) {
	n := len(ring)
	corners := cornersOf(ring)
	for k, from := range corners {
		to := corners[(k+1)%len(corners)]
		if to <= from {
			to += n
		}
		var edge []orb.Point
		for i := from + plumbTrim; i <= to-plumbTrim; i++ {
			edge = append(edge, ring[i%n])
		}
		if len(edge) < plumbPx/2 || plane.Distance(edge[0], edge[len(edge)-1]) < plumbPx {
			continue
		}
		if l, ok := straightened(edge); ok {
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

// agreeing is the edges that one bend of the lens makes straight: that which
// most of them want, each by what it can tell.
func agreeing(all []plumb, v view) []plumb {
	type wish struct{ bend, noise float64 }
	wishes := make([]wish, len(all))
	for i, l := range all {
		const h = 1e-3
		low, high := v, v
		low.bend, high.bend = v.bend-h, v.bend+h
		slope := (l.bowPx(&high) - l.bowPx(&low)) / (2 * h)
		wishes[i] = wish{v.bend - l.bowPx(&v)/slope, math.Abs(l.noisePx / slope)}
	}
	best, most := 0.0, math.Inf(-1)
	const step = mostBend / bendSteps
	for k := -bendSteps; k <= bendSteps; k++ {
		bend := step * float64(k)
		sum := -math.Log1p(bend * bend / (4 * usualBend * usualBend)) // the usual lens counts for one edge
		for _, w := range wishes {
			d := (bend - w.bend) / w.noise
			sum -= math.Log1p(d * d / 4) // Cauchy's distribution: what is no straight edge says little
		}
		if sum > most {
			best, most = bend, sum
		}
	}
	var used []plumb
	telling, agreed := 0.0, 0.0
	for i, w := range wishes {
		weight := 1 / (w.noise*w.noise + bendNoise*bendNoise)
		telling += weight
		if math.Abs(w.bend-best) < 3*w.noise+step/2 && w.noise < mostPlumbNoise {
			used = append(used, all[i])
			agreed += weight
		}
	}
	if agreed < 0.5*telling {
		return nil
	}
	return used
}
