package photo

import (
	"math"
	"runtime"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"golang.org/x/sync/errgroup"
)

// Filtering wears corners off an outline. Where two runs of its nodes, which are
// about as far apart as points of the picture, meet at an angle, they are led on to
// where they cross. Which runs say best where that is, the picture decides: what the outline would
// look like with each corner, through a lens that blurs as this one does, is held against
// what is seen. Where the runs themselves turn the same way, it is no corner but
// a round place.
const (
	cornerDeg    = 20   // turn of the outline, at least
	cornerNear   = 5    // nodes each side that may be worn
	cornerFar    = 13   // nodes each side that are looked at to find one
	mostLedPx    = 12.0 // from the outline as it was
	mostRound    = 0.2  // of the turn, that each run has; on a circle's arc it is 0.44
	smallRing    = 200  // nodes of a small one
	smallNear    = 3    // nodes each side, of a small one and of a narrow part's end
	smallFar     = 8
	endDeg       = 100 // that such an end turns by
	mostApartDeg = 20  // that corners about one node may differ in how they turn
)

// cornerRuns is the runs beside a corner that are tried: the longer they are, the
// less it matters that each node of them is unsure, and the more may be worn off where
// they meet. The first ones may be straight; others say where a corner is that
// straight ones say there is.
var cornerRuns = [...]struct {
	near, far  int     // nodes from the corner to their ends
	straightPx float64 // how far nodes of a straight run are off it: standard deviation
	mostTurn   float64 // radians, from one end to the other
}{
	{near: cornerNear, far: 40, straightPx: 0.4, mostTurn: 0.1},
	{near: cornerNear, far: 26, straightPx: 0.3, mostTurn: 0.1},
	{near: cornerNear, far: cornerFar, straightPx: 0.2, mostTurn: math.Pi},
	{near: 8, far: 20},
	{near: 3, far: 9},
}

// corner is one as it may be drawn in place of the nodes of a ring about one of
// them.
type corner struct {
	at       orb.Point
	from, to orb.Point // where its sides begin and end
	nodes    int       // each side of it that it takes the place of
	turn     float64   // radians
	straight bool      // its sides are
}

// draw puts a corner into a ring about a node.
func (c corner) draw(ring []orb.Point, i int) {
	n := len(ring)
	for d := range c.nodes {
		f := float64(d) / float64(c.nodes)
		ring[round(i-c.nodes+d, n)] = plane.Lerp(c.from, c.at, f)
		ring[round(i+c.nodes-d, n)] = plane.Lerp(c.to, c.at, f)
	}
	ring[i] = c.at
}

// cornersAt is the corners that a ring may have about a node.
func cornersAt(ring []orb.Point, i int) (all []corner) {
	n := len(ring)
	for _, r := range cornerRuns {
		if 2*r.far >= n {
			continue
		}
		before, okB := straightRun(ring, i-r.far, i-r.near, r.straightPx)
		after, okA := straightRun(ring, i+r.near, i+r.far, r.straightPx)
		det := plane.Cross(before.way, after.way)
		if math.Abs(det) < math.Sin(cornerDeg/2*math.Pi/180) {
			continue
		}
		c := corner{nodes: r.near, turn: math.Atan2(det, plane.Dot(before.way, after.way))}
		c.at = plane.Along(before.mid, before.way, plane.Cross(plane.Sub(after.mid, before.mid), after.way)/det)
		c.from, c.to = before.foot(ring[round(i-r.near, n)]), after.foot(ring[round(i+r.near, n)])
		beyond := plane.Dot(plane.Sub(c.at, c.from), before.way) > 0 && plane.Dot(plane.Sub(c.to, c.at), after.way) > 0
		if !beyond || plane.Distance(c.at, ring[i]) > mostLedPx {
			continue
		}
		c.straight = okB && okA && max(math.Abs(before.turn), math.Abs(after.turn)) < r.mostTurn && (before.turn+after.turn)/2/c.turn <= mostRound
		all = append(all, c)
	}
	// Where straight ones say how the outline turns, others that turn otherwise are none.
	if slices.ContainsFunc(all, func(c corner) bool { return c.straight }) {
		all = slices.DeleteFunc(slices.Clone(all), func(c corner) bool {
			return !slices.ContainsFunc(all, func(d corner) bool {
				return d.straight && math.Abs(d.turn-c.turn) < mostApartDeg*math.Pi/180
			})
		})
	}
	return all
}

// leastGain is how much more of what is seen an outline must explain with a corner
// than without it, as a part of what it does not explain. Corners in staged
// pictures turn by more than the jumps of an outline do: where straight sides meet like
// that, it may even explain less, for there is much in a picture that is not in an outline.
func leastGain(turnDeg float64, straight bool) float64 {
	switch {
	case straight && turnDeg > 120:
		return -0.5
	case straight && turnDeg > 60:
		return -0.35
	case straight && turnDeg > hardDeg:
		return 0
	case straight:
		return 0.2
	case turnDeg > 60:
		return 0
	}
	return math.Inf(1)
}

// sharpened is a ring with its corners where the picture has them.
func (p *Picture) sharpened(ring []orb.Point, blurPx float64, free func(x, y int) bool) []orb.Point {
	out := slices.Clone(ring)
	for _, i := range cornersOf(ring) {
		all := cornersAt(ring, i)
		if len(all) == 0 {
			continue
		}
		s, ok := p.closeupOf(out, i, blurPx, free)
		if !ok {
			continue
		}
		least, best, straight := math.Inf(1), corner{}, false
		for _, c := range all {
			if u := s.unlike(&c); u < least {
				best, least = c, u
			}
			straight = straight || c.straight
		}
		const noise = 5 // of what no outline explains
		if was := s.unlike(nil); (was-least)/(was+noise) > leastGain(turnDeg(ring, i), straight) {
			best.draw(out, i)
		}
	}
	return out
}

// sharpen makes the outlines of scraps fair, and draws their corners.
func (t *tracer) sharpen(found []candidate, ids []int32, blurPx float64) {
	// An edge as it was measured is blurred by sampling between points, too, and by their
	// own width.
	lens := math.Sqrt(max(blurPx*blurPx-0.25, 0.25))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range found {
		c := &found[i]
		free := func(x, y int) bool { return t.free(x/t.f.by, y/t.f.by, ids, c.id) }
		g.Go(func() error {
			for k := range c.outlines {
				o := &c.outlines[k]
				o.at = unlooped(o.at)
				if k == 0 {
					t.docked(o.at, c.own)
					c.across = t.evenOut(o.at, c.own)
				}
				fair := faired(o.at, hardCorners(o.at))
				o.bitePx = unevenly(o.at, fair)
				o.at = t.p.sharpened(fair, lens, free)
			}
			return nil
		})
	}
	_ = g.Wait() // none fails
}

// free is whether a point of the field and those near it are of a patch or the ground.
func (t *tracer) free(x, y int, ids []int32, id int32) bool {
	const near = 2
	f := t.f
	for _, d := range [5][2]int{{}, {-near, 0}, {near, 0}, {0, -near}, {0, near}} {
		if u, v := x+d[0], y+d[1]; u >= 0 && v >= 0 && u < f.w && v < f.h {
			if k := v*f.w + u; t.labels[k] == onSheet || ids[k] != 0 && ids[k] != id {
				return false
			}
		}
	}
	return true
}

// cornersOf is the nodes at which a ring turns most, in their order.
func cornersOf(ring []orb.Point) (out []int) {
	n := len(ring)
	if n < 4*cornerFar {
		return nil
	}
	near, far := cornerReach(ring)
	for _, i := range peaks(ring, near, far) {
		// The end of a narrow part has two corners.
		if ends := endsAt(ring, i); turnBy(ring, i, near, far) > endDeg && len(ends) == 2 {
			out = append(out, ends...)
		} else {
			out = append(out, i)
		}
	}
	return out
}

// endsAt is the nodes about one at which a ring turns most if it is looked at from near by.
func endsAt(ring []orb.Point, i int) (out []int) {
	n := len(ring)
	about := make([]orb.Point, 0, 4*cornerFar+1)
	for d := -2 * cornerFar; d <= 2*cornerFar; d++ {
		about = append(about, ring[round(i+d, n)])
	}
	for _, k := range peaks(about, smallNear, smallFar) {
		if d := k - 2*cornerFar; d >= -cornerFar && d <= cornerFar && turnBy(about, k, smallNear, smallFar) > hardDeg {
			out = append(out, round(i+d, n))
		}
	}
	return out
}

// peaks is the nodes at which a ring turns more than at those so near.
func peaks(ring []orb.Point, near, far int) (out []int) {
	n := len(ring)
	turn := make([]float64, n)
	for i := range turn {
		turn[i] = turnBy(ring, i, near, far)
	}
	for i := range ring {
		peak := turn[i] > cornerDeg
		for d := 1; peak && d <= near; d++ {
			peak = turn[i] >= turn[round(i+d, n)] && turn[i] > turn[round(i-d, n)]
		}
		if peak {
			out = append(out, i)
		}
	}
	return out
}

// turnDeg is by how much a ring turns about a node.
func turnDeg(ring []orb.Point, i int) float64 {
	near, far := cornerReach(ring)
	return turnBy(ring, i, near, far)
}

// turnBy is the same between nodes so near and so far on either side.
func turnBy(ring []orb.Point, i, near, far int) float64 {
	at := func(d int) orb.Point { return ring[round(i+d, len(ring))] }
	return apartDeg(plane.Sub(at(-near), at(-far)), plane.Sub(at(far), at(near)))
}

// cornerReach is from which node to which, each side, a ring is looked at to find a corner:
// those of a small scrap lie near each other.
func cornerReach(ring []orb.Point) (near, far int) {
	if len(ring) < smallRing {
		return smallNear, smallFar
	}
	return cornerNear, cornerFar
}

// round is the place of a node in a ring of n, from any number of them before its
// first or after its last.
func round(i, n int) int { return (i%n + n) % n }

// run is a straight line through nodes.
type run struct {
	mid, way orb.Point
	turn     float64 // radians that the nodes turn by from one end to the other
}

func (r run) foot(q orb.Point) orb.Point {
	return plane.Along(r.mid, r.way, plane.Dot(plane.Sub(q, r.mid), r.way))
}

// straightRun is the line through the nodes of a ring from one to another, by
// total least squares, if they are straight.
func straightRun(ring []orb.Point, from, to int, mostPx float64) (run, bool) {
	n := len(ring)
	var r run
	k := 1 / float64(to-from+1)
	for i := from; i <= to; i++ {
		r.mid = plane.Along(r.mid, ring[round(i, n)], k)
	}
	var xx, xy, yy float64
	for i := from; i <= to; i++ {
		d := plane.Sub(ring[round(i, n)], r.mid)
		xx, xy, yy = xx+d[0]*d[0], xy+d[0]*d[1], yy+d[1]*d[1]
	}
	s, c := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	r.way = orb.Point{c, s}
	if plane.Dot(r.way, plane.Sub(ring[round(to, n)], ring[round(from, n)])) < 0 {
		r.way = orb.Point{-c, -s}
	}
	// How they bow, by Legendre's second polynomial: from one end to the other its
	// slope changes by 12 times its weight over the length.
	var bow, norm float64
	for i := from; i <= to; i++ {
		d := plane.Sub(ring[round(i, n)], r.mid)
		x := 2*float64(i-from)/float64(to-from) - 1
		p := 1.5*x*x - 0.5
		bow, norm = bow+p*plane.Cross(r.way, d), norm+p*p
	}
	r.turn = 12 * bow / norm / plane.Distance(ring[round(from, n)], ring[round(to, n)])
	across := (xx+yy)/2 - math.Hypot((xx-yy)/2, xy)
	return r, across*k < mostPx*mostPx
}
