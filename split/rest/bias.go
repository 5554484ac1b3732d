package rest

import (
	"math"
	"sort"

	"eke/piece"

	"github.com/paulmach/orb"
)

const (
	// joinMM is the allowance of a seam that joins two strips of bias tape: a
	// quarter of an inch. (From memory.)
	joinMM = 6.35
	// shortestMM is the shortest strip that is worth a join, in widths of the
	// tape and in mm. (Common practice, no source.)
	shortestWidths = 3
	shortestMM     = 100
	// phases is how many places are tried for the first of a scrap's strips.
	phases = 12
	// LeastTapeMM and MostTapeMM are the widths that tape is cut in.
	LeastTapeMM, MostTapeMM = 10, 200
)

// joinLossMM is how much of the tape a join takes: the ends of strips are cut
// along the grain or across it, at 45 degrees to the tape, and so the allowances
// of both are longer along the tape by the square root of 2.
const joinLossMM = 2 * joinMM * math.Sqrt2

// Strip is a strip of bias tape as it lies on its scrap: a parallelogram whose
// ends run along the grain or across it.
type Strip struct {
	Scrap    *piece.Scrap
	Copy     int
	Corners  [4]orb.Point // on the scrap
	LengthMM float64
}

// Tape is strips that are joined end to end.
type Tape struct{ Strips []Strip }

// Joins is how many seams join the strips.
func (t Tape) Joins() int { return max(0, len(t.Strips)-1) }

// LengthMM is how long the tape is once it is joined.
func (t Tape) LengthMM() float64 {
	sum := -joinLossMM * float64(t.Joins())
	for _, s := range t.Strips {
		sum += s.LengthMM
	}
	return math.Max(0, sum)
}

// LongestMM is the longest strip.
func (t Tape) LongestMM() float64 {
	longest := 0.0
	for _, s := range t.Strips {
		longest = math.Max(longest, s.LengthMM)
	}
	return longest
}

// tapes are the strips of one scrap, with their ends slanting the one way and
// the other, seen along the strip. Strips can be joined only where their ends
// slant alike, but for cloth that may be turned over.
func (c *cloth) tapes(widthMM float64) (slants [2][]Strip) {
	for slant := range slants {
		longest := 0.0
		for _, deg := range []float64{45, -45} {
			strips, sum := c.strips(widthMM, deg, float64(2*slant-1))
			if sum > longest+1e-6 {
				longest, slants[slant] = sum, strips
			}
		}
	}
	return slants
}

// strips are those along one of the two diagonals of the cloth: lanes side by
// side, the first where most comes of it. So that their ends are square to the
// lane, the cloth is turned until the lanes run down the page, and sheared.
func (c *cloth) strips(widthMM, deg, slant float64) (best []Strip, longest float64) {
	var rings []orb.Ring
	box := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, r := range c.rings {
		r = turned(r, deg)
		for i, q := range r {
			r[i][1] = q[1] - slant*q[0]
			box = box.Extend(r[i])
		}
		rings = append(rings, r)
	}
	sides := sidesOf(rings)
	shortest := math.Max(shortestMM, shortestWidths*widthMM)
	for phase := range phases {
		var strips []Strip
		sum := 0.0
		for left := box.Min[0] + widthMM*float64(phase)/phases; left+widthMM <= box.Max[0]+1e-9; left += widthMM {
			for _, f := range free(rings, sides, left, left+widthMM) {
				if f.to-f.from < shortest {
					continue
				}
				s := Strip{Scrap: c.scrap, Copy: 1, LengthMM: f.to - f.from}
				for i, q := range [4]orb.Point{{left, f.from}, {left + widthMM, f.from}, {left + widthMM, f.to}, {left, f.to}} {
					q[1] += slant * q[0]
					s.Corners[i] = turned(orb.Ring{q}, -deg-c.turn)[0]
				}
				strips = append(strips, s)
				sum += s.LengthMM - joinLossMM
			}
		}
		if sum > longest+1e-6 {
			best, longest = strips, sum
		}
	}
	return best, longest
}

// best is the longest tape of several scraps, the longest strips first.
func best(all []*Measured) Tape {
	sum := func(strips []Strip) (mm float64) {
		for _, s := range strips {
			mm += s.LengthMM - joinLossMM
		}
		return mm
	}
	var each [2]Tape
	var length [2]float64
	for slant := range each {
		for _, s := range all {
			strips := s.slants[slant]
			if other := s.slants[1-slant]; s.scrap.BothFaces && sum(other) > sum(strips) {
				strips = other // turned over
			}
			for copy := range max(1, s.scrap.Count) {
				for _, one := range strips {
					one.Copy = copy + 1
					each[slant].Strips = append(each[slant].Strips, one)
				}
				length[slant] += sum(strips)
			}
		}
	}
	t := each[0]
	if length[1] > length[0]+1e-6 {
		t = each[1]
	}
	sort.SliceStable(t.Strips, func(i, j int) bool { return t.Strips[i].LengthMM > t.Strips[j].LengthMM+1e-6 })
	return t
}

// continuousMM is how much tape a square gives in one strip: it is cut along its
// diagonal, its halves are sewn together along one straight side and then, one
// width off, along the other to a tube, and the tube is cut round and round. Two
// seams, and no other join. It is nothing where the square is too small to be
// worth it.
func continuousMM(sideMM, widthMM float64) float64 {
	const leastWidths = 6
	lanes := math.Floor((sideMM/math.Sqrt2 - math.Sqrt2*joinMM) / widthMM)
	if sideMM < leastWidths*widthMM || lanes < 2 {
		return 0
	}
	return lanes * math.Sqrt2 * (sideMM - 2*joinMM)
}
