package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Filtering wears corners off an outline. Where two straight runs of its nodes,
// which are about as far apart as points of the picture, meet at an angle, they
// are led on to where they cross. Where the runs themselves turn the same way,
// it is no corner but a round place.
const (
	cornerDeg  = 20  // turn of the outline, at least
	cornerNear = 5   // nodes each side that may be worn
	cornerFar  = 13  // nodes each side that are looked at to find one
	mostLedPx  = 7.0 // along the runs: blur wears off no more
	mostRound  = 0.2 // of the turn, that each run has; on a circle's arc it is 0.44
)

// cornerRuns is what the runs beside a corner may be, the longest first: the longer
// they are, the less it matters that each node of them is unsure, and the more may be
// worn off where they meet.
var cornerRuns = [...]struct {
	nodes      int     // from the corner to their ends
	straightPx float64 // how far nodes of a straight run are off it: standard deviation
	mostTurn   float64 // radians, from one end to the other
	mostWornPx float64 // across the runs; a sharp corner is worn off by more
}{{40, 0.4, 0.1, 3.2}, {26, 0.3, 0.1, 2.8}, {cornerFar, 0.2, math.Pi, 2.5}}

func cornered(ring []orb.Point) []orb.Point {
	out := append([]orb.Point{}, ring...)
	for _, i := range cornersOf(ring) {
		for _, r := range cornerRuns {
			before, okB := straightRun(ring, i-r.nodes, i-cornerNear, r.straightPx)
			after, okA := straightRun(ring, i+cornerNear, i+r.nodes, r.straightPx)
			if okB && okA && max(math.Abs(before.turn), math.Abs(after.turn)) < r.mostTurn && lead(out, ring, i, before, after, r.mostWornPx) {
				break
			}
		}
	}
	return out
}

// lead draws a corner of a ring where its runs meet, if it is one.
func lead(out, ring []orb.Point, i int, before, after run, mostWornPx float64) bool {
	n := len(ring)
	det := plane.Cross(before.way, after.way)
	if math.Abs(det) < math.Sin(cornerDeg/2*math.Pi/180) {
		return false
	}
	if turn := math.Atan2(det, plane.Dot(before.way, after.way)); (before.turn+after.turn)/2/turn > mostRound {
		return false
	}
	tip := plane.Along(before.mid, before.way, plane.Cross(plane.Sub(after.mid, before.mid), after.way)/det)
	far := plane.Distance(tip, ring[i])
	if far*math.Sqrt((1+plane.Dot(before.way, after.way))/2) > mostWornPx {
		return false
	}
	if far > mostLedPx {
		tip = plane.Lerp(ring[i], tip, mostLedPx/far)
	}
	from, to := before.foot(ring[round(i-cornerNear, n)]), after.foot(ring[round(i+cornerNear, n)])
	for d := 0; d <= cornerNear; d++ {
		f := float64(d) / cornerNear
		out[round(i-cornerNear+d, n)] = plane.Lerp(from, tip, f)
		out[round(i+d, n)] = plane.Lerp(tip, to, f)
	}
	return true
}

// cornersOf is the nodes at which a ring turns most, in their order.
func cornersOf(ring []orb.Point) (out []int) {
	n := len(ring)
	if n < 4*cornerFar {
		return nil
	}
	at := func(i int) orb.Point { return ring[round(i, n)] }
	turn := make([]float64, n)
	for i := range turn {
		u, v := plane.Sub(at(i-cornerNear), at(i-cornerFar)), plane.Sub(at(i+cornerFar), at(i+cornerNear))
		turn[i] = math.Abs(math.Atan2(plane.Cross(u, v), plane.Dot(u, v))) * 180 / math.Pi
	}
	for i := range ring {
		peak := turn[i] > cornerDeg
		for d := 1; peak && d <= cornerNear; d++ {
			peak = turn[i] >= turn[round(i+d, n)] && turn[i] > turn[round(i-d, n)]
		}
		if peak {
			out = append(out, i)
		}
	}
	return out
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
