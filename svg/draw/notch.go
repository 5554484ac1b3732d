package draw

import (
	"math"
	"slices"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// How a notch is marked. The widths are common practice, no source.
const (
	snipMM    = 4.0 // the longest mark: enough to be found
	snipShare = 0.4 // of the allowance: a snip along the mark leaves more than half of it whole
	pitchMM   = 4.0 // between the marks of a double or triple notch, along the cutting line
	bareMM    = 1.0 // an allowance too narrow to be snipped: there the mark goes outwards, to be cut as a tab
	tabMM     = 2.5
	cornerMM  = 0.1 // a mark starts at a corner of the cutting line where it starts this near to one
)

// marker draws the notches of a part where the shears come by: from its
// cutting line inward.
type marker struct {
	cut, seam           curve.Path // closed, clockwise on the page
	cutRuler, seamRuler curve.Ruler
	edges               []edge
	starts              []float64 // of the edges along the seam line
	ring                []orb.Point
}

func newMarker(cut curve.Path, edges []edge) *marker {
	k := &marker{cut: cut, edges: edges, ring: cut.Flatten(curve.FlattenMM)}
	if plane.SignedArea(k.ring) < 0 {
		k.cut = cut.Reverse()
	}
	along := 0.0
	for _, e := range edges {
		k.starts = append(k.starts, along)
		for _, s := range e.path {
			k.seam = append(k.seam, s)
			along += s.Length()
		}
	}
	k.cutRuler, k.seamRuler = k.cut.Ruler(), k.seam.Ruler()
	return k
}

// marks draws a notch as one, two or three short lines. at is the notch's place
// on the seam line, out its direction out of the part, both as they lie on the
// page. Each line starts on the cutting line and points at its own place on the
// seam line, so that a reader of the drawing finds that place again; it ends
// well before it. At a corner that could take the line along the cutting line.
// There it takes the shortest way to the seam line, or goes square into the
// allowance.
func (k *marker) marks(at, out orb.Point, count int) []curve.Path {
	middle, least := k.outFrom(at, out), k.leastAt(at)
	places := k.places(at, count)
	next := middle - float64(len(places)-1)/2*pitchMM
	var all []curve.Path
	for n, aim := range places {
		// Beside a step of the cutting line a place further along it may still
		// lie close to the mark before: go on until it does not.
		for range 40 {
			if n == 0 || plane.Distance(k.onCut(next), all[n-1].Start()) >= pitchMM/2 {
				break
			}
			next++
		}
		all = append(all, k.mark(next, aim, least))
		next += pitchMM
	}
	return all
}

// places are those on the seam line that the marks of a notch point at. They
// stay on the notch's own edge, alike on both sides of it.
func (k *marker) places(at orb.Point, count int) []orb.Point {
	count = max(1, min(3, count))
	on, _ := k.seamRuler.Nearest(at)
	i := k.edgeAt(on)
	room := math.Min(on-k.starts[i], k.starts[i]+k.edges[i].path.Length()-on)
	pitch := pitchMM
	if count > 1 {
		pitch = math.Max(0, math.Min(pitchMM, 2*room/float64(count-1)))
	}
	var out []orb.Point
	for n := range count {
		q := at
		if step := float64(n) - float64(count-1)/2; step != 0 {
			q, _ = k.seam.At(on + step*pitch)
		}
		out = append(out, q)
	}
	return out
}

// across is a short line over the seam line at each place of a notch. It is
// not seen: it is there for a reader, as exact as a mark from the cutting line
// cannot be where that turns a corner.
func (k *marker) across(at orb.Point, count int) []curve.Path {
	const reachMM = 1.0
	var out []curve.Path
	for _, q := range k.places(at, count) {
		on, _ := k.seamRuler.Nearest(q)
		_, dir := k.seam.At(on)
		square := orb.Point{-dir[1], dir[0]}
		out = append(out, curve.Polyline(plane.Along(q, square, reachMM), plane.Along(q, square, -reachMM)))
	}
	return out
}

// onCut is the place so far along the cutting line, which goes round and round.
func (k *marker) onCut(mm float64) orb.Point {
	q, _ := k.cut.At(k.round(mm))
	return q
}

// wayAt is where the cutting line runs to at that place.
func (k *marker) wayAt(mm float64) orb.Point {
	_, dir := k.cut.At(k.round(mm))
	return dir
}

func (k *marker) round(mm float64) float64 {
	length := k.cutRuler.Length()
	return math.Mod(math.Mod(mm, length)+length, length)
}

// outFrom is where the mark of a point of the seam line starts, in mm along the
// cutting line: straight out from the point, or, where nothing lies there, the
// nearest place.
func (k *marker) outFrom(at, out orb.Point) float64 {
	const behindMM, mostTimes = 0.02, 2.5
	on, away := k.cutRuler.Nearest(at)
	if l := math.Hypot(out[0], out[1]); l > 1e-6 {
		out = plane.Scale(out, 1/l)
		ray := curve.Polyline(plane.Along(at, out, -behindMM), plane.Along(at, out, mostTimes*away+behindMM))
		if hits := curve.Crossings(k.cut, ray); len(hits) > 0 {
			return hits[0].OnP
		}
	}
	return on
}

// leastAt is the least allowance in mm of the edges at a place; at a corner two
// edges meet. Edges with hardly any allowance do not count.
func (k *marker) leastAt(at orb.Point) float64 {
	const onMM = 0.1
	least := math.Inf(1)
	for _, e := range k.edges {
		if e.AllowanceMM < bareMM || e.AllowanceMM >= least {
			continue
		}
		if _, away := e.path.Nearest(at); away < onMM {
			least = e.AllowanceMM
		}
	}
	return least
}

// mark is one line of a notch. It starts mm along the cutting line and points at
// aim; least is the least allowance of the notch's edges.
func (k *marker) mark(mm float64, aim orb.Point, least float64) curve.Path {
	from, dir := k.cut.At(k.round(mm))
	if u, v := k.wayAt(mm-cornerMM), k.wayAt(mm+cornerMM); plane.Dot(u, v) < 0 {
		dir = plane.Unit(plane.Add(u, v)) // at the point of a slit: straight on into the cloth
	}
	near, room := k.seamRuler.Nearest(from)
	if room < bareMM {
		return curve.Polyline(from, plane.Along(from, orb.Point{dir[1], -dir[0]}, tabMM))
	}
	if e := k.edges[k.edgeAt(near)]; e.AllowanceMM >= bareMM {
		room = math.Min(room, e.AllowanceMM)
	}
	room = math.Min(room, least)
	straight, _ := k.seam.At(near)
	ways := []orb.Point{plane.Unit(plane.Sub(aim, from)), plane.Unit(plane.Sub(straight, from))}
	ways = slices.DeleteFunc(ways, func(in orb.Point) bool { return in[1]*dir[0]-in[0]*dir[1] < leastCos })
	for turn := 0; turn < 180; turn += 15 { // at the tip of a step of the cutting line square to it may be outside
		sin, cos := math.Sincos(float64(turn) * math.Pi / 180)
		ways = append(ways, orb.Point{-dir[1]*cos + dir[0]*sin, dir[0]*cos + dir[1]*sin}, orb.Point{-dir[1]*cos - dir[0]*sin, dir[0]*cos - dir[1]*sin})
	}
	length := math.Min(snipMM, snipShare*room)
	in := slices.IndexFunc(ways, func(in orb.Point) bool {
		return plane.Holds(k.ring, plane.Along(from, in, length/2)) && plane.Holds(k.ring, plane.Along(from, in, length))
	})
	return curve.Polyline(from, plane.Along(from, ways[max(0, in)], length))
}

// leastCos is the cosine of 60 degrees, the most that a mark may lean from
// square to the cutting line.
const leastCos = 0.5

// edgeAt is the edge at a place along the seam line.
func (k *marker) edgeAt(mm float64) int {
	i, found := slices.BinarySearch(k.starts, mm)
	if found {
		return i
	}
	return max(0, i-1)
}

// pageWay is a direction of the part's as it lies on the page.
func pageWay(d plan.Point, m curve.Matrix) orb.Point {
	return orb.Point{m[0]*d[0] + m[2]*d[1], m[1]*d[0] + m[3]*d[1]}
}
