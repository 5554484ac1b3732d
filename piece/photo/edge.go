package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// edge is a straight bit of a sheet's known edge, from dark to light.
type edge struct {
	at     orb.Point // its middle, in mm on the sheet
	light  orb.Point // unit vector to its light side
	halfMM float64   // of its length
	side   paperSide
}

// sighting is an edge as it was found in the picture.
type sighting struct {
	sheet  int
	ground orb.Point // on its sheet, mm
	at     orb.Point // in the picture
	normal orb.Point // unit vector in the picture, to the light side
	side   paperSide
}

// seek looks for an edge across its normal, no further than reachMM from where
// it should be: the place where the light changes most (J. Canny, A
// computational approach to edge detection, 1986). ok is false where it is not
// clearly there.
func (p *Picture) seek(e edge, place func(orb.Point) orb.Point, reachMM, contrast float64) (at, normal orb.Point, ok bool) {
	mid := place(e.at)
	ahead := place(plane.Along(e.at, e.light, e.halfMM))
	along := orb.Point{-e.light[1], e.light[0]}
	a, b := place(plane.Along(e.at, along, -0.6*e.halfMM)), place(plane.Along(e.at, along, 0.6*e.halfMM))
	tangent := plane.Sub(b, a)
	if plane.Length(tangent) == 0 {
		return mid, normal, false
	}
	normal = plane.Unit(orb.Point{-tangent[1], tangent[0]})
	if plane.Dot(normal, plane.Sub(ahead, mid)) < 0 {
		normal = plane.Scale(normal, -1)
	}
	reach := plane.Distance(mid, ahead) / e.halfMM * reachMM
	const step = 0.5
	n := int(reach/step) + 2
	lines := min(max(int(plane.Length(tangent)/1.5), 3), 12)
	profile := make([]float64, 2*n+1)
	for i := range lines {
		base := plane.Lerp(a, b, (float64(i)+0.5)/float64(lines))
		for k := range profile {
			q := plane.Along(base, normal, float64(k-n)*step)
			profile[k] += p.lightAt(q[0], q[1]) / float64(lines)
		}
	}
	off, rise := steepest(profile)
	if rise <= 0 || !(rise >= 0.25*contrast && math.Abs(off-float64(n)) <= float64(n)-1.5) {
		return mid, normal, false
	}
	return plane.Along(mid, normal, (off-float64(n))*step), normal, true
}

// steepest is where a profile rises most, between its samples, and by how much
// in two of their steps.
func steepest(profile []float64) (at, rise float64) {
	best := 1
	slope := func(k int) float64 {
		if k < 1 || k > len(profile)-2 {
			return 0
		}
		return profile[k+1] - profile[k-1]
	}
	for k := 1; k < len(profile)-1; k++ {
		if slope(k) > slope(best) {
			best = k
		}
	}
	rise = slope(best)
	// The middle of the rise, from the slopes about its peak.
	var sum, moment float64
	for k := best - 3; k <= best+3; k++ {
		if s := slope(k); s > 0.2*rise {
			sum += s
			moment += s * float64(k)
		}
	}
	return moment / sum, rise
}
