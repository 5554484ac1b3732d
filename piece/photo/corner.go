package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Filtering wears corners off an outline. Where two straight runs of its nodes,
// which are about as far apart as points of the picture, meet at an angle, they
// are led on to where they cross.
const (
	cornerDeg  = 20  // turn of the outline, at least
	cornerNear = 5   // nodes each side that may be worn
	cornerFar  = 13  // nodes each side that are looked at
	straightPx = 0.2 // how far nodes of a straight run are off it: standard deviation
	mostWornPx = 2.5 // across the runs; a sharp corner is worn off by more
)

func cornered(ring []orb.Point) []orb.Point {
	n := len(ring)
	at := func(i int) orb.Point { return ring[((i%n)+n)%n] }
	out := append([]orb.Point{}, ring...)
	for _, i := range cornersOf(ring) {
		before, okB := straightRun(ring, i-cornerFar, i-cornerNear)
		after, okA := straightRun(ring, i+cornerNear, i+cornerFar)
		if !okB || !okA {
			continue
		}
		det := plane.Cross(before.way, after.way)
		if math.Abs(det) < math.Sin(cornerDeg/2*math.Pi/180) {
			continue
		}
		tip := plane.Along(before.mid, before.way, plane.Cross(plane.Sub(after.mid, before.mid), after.way)/det)
		if plane.Distance(tip, ring[i])*math.Sqrt((1+plane.Dot(before.way, after.way))/2) > mostWornPx {
			continue
		}
		from, to := at(i-cornerNear), at(i+cornerNear)
		for d := 0; d <= cornerNear; d++ {
			f := float64(d) / cornerNear
			out[((i-cornerNear+d)%n+n)%n] = plane.Lerp(before.foot(from), tip, f)
			out[(i+d)%n] = plane.Lerp(tip, after.foot(to), f)
		}
	}
	return out
}

// cornersOf is the nodes at which a ring turns most, in their order.
func cornersOf(ring []orb.Point) (out []int) {
	n := len(ring)
	if n < 4*cornerFar {
		return nil
	}
	at := func(i int) orb.Point { return ring[((i%n)+n)%n] }
	turn := make([]float64, n)
	for i := range turn {
		u, v := plane.Sub(at(i-cornerNear), at(i-cornerFar)), plane.Sub(at(i+cornerFar), at(i+cornerNear))
		turn[i] = math.Abs(math.Atan2(plane.Cross(u, v), plane.Dot(u, v))) * 180 / math.Pi
	}
	for i := range ring {
		peak := turn[i] > cornerDeg
		for d := 1; peak && d <= cornerNear; d++ {
			peak = turn[i] >= turn[(i+d)%n] && turn[i] > turn[(i-d+n)%n]
		}
		if peak {
			out = append(out, i)
		}
	}
	return out
}

// run is a straight line through nodes.
type run struct{ mid, way orb.Point }

func (r run) foot(q orb.Point) orb.Point {
	return plane.Along(r.mid, r.way, plane.Dot(plane.Sub(q, r.mid), r.way))
}

// straightRun is the line through the nodes of a ring from one to another, by
// total least squares, if they are straight.
func straightRun(ring []orb.Point, from, to int) (run, bool) {
	n := len(ring)
	var r run
	k := 1 / float64(to-from+1)
	for i := from; i <= to; i++ {
		r.mid = plane.Along(r.mid, ring[(i%n+n)%n], k)
	}
	var xx, xy, yy float64
	for i := from; i <= to; i++ {
		d := plane.Sub(ring[(i%n+n)%n], r.mid)
		xx, xy, yy = xx+d[0]*d[0], xy+d[0]*d[1], yy+d[1]*d[1]
	}
	s, c := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	r.way = orb.Point{c, s}
	if plane.Dot(r.way, plane.Sub(ring[(to%n+n)%n], ring[(from%n+n)%n])) < 0 {
		r.way = orb.Point{-c, -s}
	}
	across := (xx+yy)/2 - math.Hypot((xx-yy)/2, xy)
	return r, across*k < straightPx*straightPx
}
