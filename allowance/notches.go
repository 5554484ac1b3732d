package allowance

import (
	"math"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
)

// Where the notches of a piecing seam go. (Common practice, no source: few,
// clear of the seam's ends, and never the same seen from both ends.)
const (
	oneNotchMM  = 60.0 // a shorter seam gets one notch
	apartMM     = 15.0 // no two notches are nearer, or they read as one
	fromEndMM   = 10.0 // none is nearer to the seam's end, in a seam of 30 mm or more
	mostTurnDeg = 30.0 // a curve does not turn more than this from notch to notch
)

// notchCounts are how many marks each of a seam's two notches has, and
// notchPlaces where along the seam they are. The notch with more marks is the
// only one of its kind and stands off the middle, so a seam is never the
// same from its other end; and the two kinds together are never those of the
// seam before or after.
var (
	notchCounts = [...][2]int{{1, 2}, {1, 3}, {2, 3}}
	notchPlaces = [...][2]float64{{0.30, 0.75}, {0.40, 0.80}, {0.22, 0.62}}
)

// SeamNotches places the notches of a straight piecing seam that is lengthMM
// long and is number index, from 0, of its piece. The two parts get the same
// ones, measured from the same end of the seam. No part can match them upside
// down or the wrong way round, nor with the notches of another of the first
// nine seams of the piece (the first three, if they are shorter than 60 mm).
// The caller says what each is For.
func SeamNotches(lengthMM float64, index int) []piece.Notch {
	index = max(index, 0)
	counts := notchCounts[index%len(notchCounts)]
	places := notchPlaces[index/len(notchCounts)%len(notchPlaces)]
	switch {
	case !(lengthMM > 0):
		return nil
	case lengthMM < oneNotchMM:
		return []piece.Notch{{AtMM: lengthMM / 3, Count: index%len(notchCounts) + 1}}
	}
	return []piece.Notch{
		{AtMM: math.Round(places[0] * lengthMM), Count: counts[0]},
		{AtMM: math.Round(places[1] * lengthMM), Count: counts[1]},
	}
}

// CurveNotches is SeamNotches for a seam of any shape: where it curves, single
// notches stand between, the closer the tighter the curve.
func CurveNotches(line curve.Path, index int) []piece.Notch {
	ruler := line.Ruler()
	length := ruler.Length()
	notches := SeamNotches(length, index)
	if length < oneNotchMM {
		return notches
	}
	const stepMM = 1.0
	steps := int(math.Ceil(length / stepMM))
	turn := make([]float64, steps+1) // up to each step, in degrees
	_, before := ruler.At(0)
	for i := 1; i <= steps; i++ {
		_, now := ruler.At(length * float64(i) / float64(steps))
		turn[i] = turn[i-1] + math.Abs(plane.TurnDeg(before, now))
		before = now
	}
	turned := func(mm float64) float64 {
		i := int(mm / length * float64(steps))
		return turn[min(max(i, 0), steps)]
	}
	stops := []float64{0, notches[0].AtMM, notches[1].AtMM, length}
	for k, from := range stops[:3] {
		to := stops[k+1]
		low, high := turned(from), turned(to)
		want := int(math.Ceil((high-low)/mostTurnDeg)) - 1
		last := from
		for i := 1; i <= want; i++ {
			mark := low + (high-low)*float64(i)/float64(want+1)
			at, _ := slices.BinarySearch(turn, mark)
			mm := math.Round(length * float64(at) / float64(steps))
			gap := apartMM
			if last == 0 {
				gap = fromEndMM
			}
			after := apartMM
			if to == length {
				after = fromEndMM
			}
			if mm-last >= gap && to-mm >= after {
				notches = append(notches, piece.Notch{AtMM: mm, Count: 1})
				last = mm
			}
		}
	}
	slices.SortFunc(notches, func(a, b piece.Notch) int { return int(math.Copysign(1, a.AtMM-b.AtMM)) })
	return notches
}
