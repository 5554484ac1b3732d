package draw

import (
	"math"
	"sort"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// freeSpace is the free space inside an outline: walls are lines that nothing
// may cross, boxes and discs are taken.
type freeSpace struct {
	ring   []orb.Point
	holes  [][]orb.Point
	walls  [][2]orb.Point
	around []orb.Bound // each wall, which most questions need no closer look than
	boxes  []orb.Bound
	last   int // the wall that decided last, which is likely to decide again
}

// flattenMM is how far the lines that labels keep clear of may stray from
// the curves they stand for; labels keep twice as far away.
const (
	flattenMM = 0.3
	clearMM   = 1.2
)

func newFreeSpace(outline curve.Path) *freeSpace {
	r := new(freeSpace)
	// Fewer points make every later question quicker.
	points := []orb.Point(simplify.DouglasPeucker(flattenMM / 6).LineString(orb.LineString(outline.Flatten(flattenMM))))
	r.ring = points[:len(points)-1]
	r.addWall(points)
	return r
}

func (r *freeSpace) addWall(points []orb.Point) {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		r.walls = append(r.walls, [2]orb.Point{a, b})
		r.around = append(r.around, orb.Bound{
			Min: orb.Point{min(a[0], b[0]), min(a[1], b[1])}, Max: orb.Point{max(a[0], b[0]), max(a[1], b[1])},
		})
	}
}

func (r *freeSpace) inside(q orb.Point) bool {
	for _, h := range r.holes {
		if plane.Holds(h, q) {
			return false
		}
	}
	return plane.Holds(r.ring, q)
}

// free reports whether the box lies inside, clear of walls and boxes.
func (r *freeSpace) free(box orb.Bound) bool {
	if !r.inside(box.Center()) {
		return false
	}
	for _, b := range r.boxes {
		if box.Intersects(b) {
			return false
		}
	}
	wide := box.Pad(1e-6) // more than rounding makes of a wall that is only near
	for k := range r.walls {
		i := r.last + k
		if i >= len(r.walls) {
			i -= len(r.walls)
		}
		if wide.Intersects(r.around[i]) && meets(box, r.walls[i]) {
			r.last = i
			return false
		}
	}
	return true
}

// meets reports whether a line enters a box (clipping by Liang and Barsky,
// "A New Concept and Method for Line Clipping", 1984).
func meets(box orb.Bound, w [2]orb.Point) bool {
	t0, t1 := 0.0, 1.0
	for k := range 2 {
		d := w[1][k] - w[0][k]
		lo, hi := box.Min[k]-w[0][k], box.Max[k]-w[0][k]
		if d == 0 {
			if lo > 0 || hi < 0 {
				return false
			}
			continue
		}
		a, b := lo/d, hi/d
		if a > b {
			a, b = b, a
		}
		t0, t1 = max(t0, a), min(t1, b)
		if t0 > t1 {
			return false
		}
	}
	return true
}

// place finds where a box of that size lies clear of everything, as far from
// the walls as can be.
func (r *freeSpace) place(width, height float64) (orb.Point, bool) {
	const grid = 36
	all := orb.MultiPoint(r.ring).Bound()
	best, bestRoom, found := orb.Point{}, -1.0, false
	half := orb.Point{width/2 + clearMM, height/2 + clearMM}
	for j := range grid {
		for i := range grid {
			q := orb.Point{
				all.Min[0] + (float64(i)+0.5)/grid*(all.Max[0]-all.Min[0]),
				all.Min[1] + (float64(j)+0.5)/grid*(all.Max[1]-all.Min[1]),
			}
			box := orb.Bound{Min: plane.Sub(q, half), Max: plane.Add(q, half)}
			if !r.free(box) {
				continue
			}
			if room := r.room(box, bestRoom+1e-9); room > bestRoom+1e-9 {
				best, bestRoom, found = q, room, true
			}
		}
	}
	return best, found
}

// room is the distance in mm from a box to the nearest wall, if that is more
// than enough. If not, the answer is only some number no larger than enough:
// the search for the nearest wall ends with the first that is so near.
func (r *freeSpace) room(box orb.Bound, enough float64) float64 {
	return r.toWall(box, enough, func(w [2]orb.Point) float64 { return boxDistance(box, w) })
}

// toWall is the distance in mm to the nearest wall of something that lies within
// a box; away measures it to one wall. Like room it gives up at enough.
func (r *freeSpace) toWall(box orb.Bound, enough float64, away func(wall [2]orb.Point) float64) float64 {
	least, nearest := math.Inf(1), r.last
	for k := range r.walls {
		i := r.last + k
		if i >= len(r.walls) {
			i -= len(r.walls)
		}
		// A wall is at least as far away as the box round it is.
		a := &r.around[i]
		dx := max(a.Min[0]-box.Max[0], box.Min[0]-a.Max[0])
		dy := max(a.Min[1]-box.Max[1], box.Min[1]-a.Max[1])
		if max(dx, dy) >= least {
			continue
		}
		if d := away(r.walls[i]); d < least {
			if least, nearest = d, i; least <= enough {
				break
			}
		}
	}
	r.last = nearest
	return least
}

func boxDistance(box orb.Bound, w [2]orb.Point) float64 {
	least := math.Inf(1)
	for _, c := range [4]orb.Point{box.Min, {box.Max[0], box.Min[1]}, box.Max, {box.Min[0], box.Max[1]}} {
		least = min(least, plane.ToSegment(c, w[0], w[1]))
	}
	for _, q := range w {
		least = min(least, toBox(q, box))
	}
	return least
}

// toBox is how far q is from a box, 0 within.
func toBox(q orb.Point, b orb.Bound) float64 {
	dx := max(0, max(b.Min[0]-q[0], q[0]-b.Max[0]))
	dy := max(0, max(b.Min[1]-q[1], q[1]-b.Max[1]))
	return math.Hypot(dx, dy)
}

// clearance is how far q is in mm from the nearest wall or box, and 0 outside.
// Like room it gives up at enough.
func (r *freeSpace) clearance(q orb.Point, enough float64) float64 {
	least := r.toWall(orb.Bound{Min: q, Max: q}, enough, func(w [2]orb.Point) float64 { return plane.ToSegment(q, w[0], w[1]) })
	for _, b := range r.boxes {
		least = math.Min(least, toBox(q, b))
	}
	if least > enough && !r.inside(q) {
		return 0
	}
	return least
}

// pole is the place inside that is farthest from the walls, to a grid, and
// nearest to the middle where many are as far.
func (r *freeSpace) pole() orb.Point {
	const grid, toMiddle = 48, 0.02
	all := orb.MultiPoint(r.ring).Bound()
	best, room := r.ring[0], math.Inf(-1)
	for j := range grid {
		for i := range grid {
			q := orb.Point{
				all.Min[0] + (float64(i)+0.5)/grid*(all.Max[0]-all.Min[0]),
				all.Min[1] + (float64(j)+0.5)/grid*(all.Max[1]-all.Min[1]),
			}
			off := toMiddle * plane.Distance(q, all.Center())
			if c := r.clearance(q, math.Max(0, room+off)); c > 0 && c-off > room {
				best, room = q, c-off
			}
		}
	}
	return best
}

// chord is a long line along the direction dir that lies inside, clear of
// walls and boxes: the longest, but rather near the middle than at the side,
// and rather with some room to its left and right.
func (r *freeSpace) chord(dir orb.Point) (a, b orb.Point) {
	const offsets, samples, roomMM = 25, 8, 5.0
	across := orb.Point{-dir[1], dir[0]}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range r.ring {
		k := q[0]*across[0] + q[1]*across[1]
		lo, hi = math.Min(lo, k), math.Max(hi, k)
	}
	best := 0.0
	for i := range offsets {
		f := (float64(i) + 0.5) / offsets
		base := plane.Scale(across, lo+f*(hi-lo))
		for _, run := range r.runs(base, dir) {
			score := (run[1] - run[0]) * (1 - 0.35*math.Abs(2*f-1))
			if score <= best {
				continue
			}
			room := math.Min(roomMM, (run[1]-run[0])/4)
			least := room
			for k := range samples {
				q := plane.Along(base, dir, run[0]+(run[1]-run[0])*(0.15+0.7*float64(k)/(samples-1)))
				least = math.Min(least, r.clearance(q, 0))
			}
			if score *= least / room; score > best {
				best, a, b = score, plane.Along(base, dir, run[0]), plane.Along(base, dir, run[1])
			}
		}
	}
	return a, b
}

// runs is where the line through base along dir is inside and free: from and
// to, as distances from base in mm.
func (r *freeSpace) runs(base, dir orb.Point) [][2]float64 {
	var stops []float64
	across := orb.Point{-dir[1], dir[0]}
	cross := func(p, q orb.Point) {
		hp := (p[0]-base[0])*across[0] + (p[1]-base[1])*across[1]
		hq := (q[0]-base[0])*across[0] + (q[1]-base[1])*across[1]
		if (hp > 0) == (hq > 0) {
			return
		}
		at := plane.Along(p, plane.Sub(q, p), hp/(hp-hq))
		stops = append(stops, (at[0]-base[0])*dir[0]+(at[1]-base[1])*dir[1])
	}
	for _, w := range r.walls {
		cross(w[0], w[1])
	}
	for _, b := range r.boxes {
		tr, bl := orb.Point{b.Max[0], b.Min[1]}, orb.Point{b.Min[0], b.Max[1]}
		cross(b.Min, tr)
		cross(tr, b.Max)
		cross(b.Max, bl)
		cross(bl, b.Min)
	}
	sort.Float64s(stops)
	var out [][2]float64
	for i := 1; i < len(stops); i++ {
		mid := plane.Along(base, dir, (stops[i-1]+stops[i])/2)
		taken := false
		for _, b := range r.boxes {
			taken = taken || b.Contains(mid)
		}
		if !taken && r.inside(mid) {
			out = append(out, [2]float64{stops[i-1], stops[i]})
		}
	}
	return out
}
