package allowance

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
)

// How far the two sides of a seam may differ and still be sewn flat: the
// longer is eased in up to there, and beyond either of the first two it
// puckers. Of very short sides the share is less than a drawing is good for.
// (Common practice, no source.)
const (
	mostEaseShare = 0.08 // of the shorter side
	mostEaseMM    = 25.0
	anyEaseMM     = 3.0
)

// Sewable reports whether the longer side can be eased into the shorter, is meant to be
// gathered, or is longer than what is sewn along a stretch of it.
func (w Walked) Sewable() bool {
	return w.Stretch || w.EasesIn() || math.Abs(w.DifferenceMM()) <= w.EaseMM+onLineMM
}

// EasesIn reports whether the longer side can be eased into the shorter with
// nothing gathered.
func (w Walked) EasesIn() bool {
	usual := math.Min(mostEaseMM, math.Max(anyEaseMM, mostEaseShare*math.Min(w.AMM, w.BMM)))
	return math.Abs(w.DifferenceMM()) <= usual+onLineMM
}

// ease is by how much a side of that many edges, so long together, may differ
// from the other side. A share of one edge counts for its share of the side.
func (w Walked) ease(side []*walkedEdge, times func(*walkedEdge) int, sideMM float64) float64 {
	var sum float64
	for _, e := range side {
		n := float64(times(e) / w.Seams)
		sum += n * (e.ease.MM + e.ease.Share*e.mean()/sideMM*math.Min(w.AMM, w.BMM))
	}
	return sum
}

// Warnings is what of a pattern cannot be sewn well as it was drawn: joins
// whose sides are too far from equal, or whose notches do not meet, and what is known of
// each piece.
func Warnings(pieces []*piece.Piece) []string {
	var out []string
	for _, w := range Walk(pieces) {
		if !w.Sewable() {
			out = append(out, w.warning())
		} else {
			for _, m := range w.Apart {
				out = append(out, fmt.Sprintf("a notch of %s, %.0f mm along it, and one of %s, %.0f mm from the same end of the seam, do not meet: where they are to, move one of them; the seam is sewn from end to end",
					sideName(w.A), m.AMM, sideName(w.B), m.BMM))
			}
		}
	}
	for _, p := range pieces {
		out = append(out, p.Warnings...)
	}
	return out
}

func (w Walked) warning() string {
	long, short, longMM, shortMM := w.A, w.B, w.AMM, w.BMM
	if longMM < shortMM {
		long, short, longMM, shortMM = short, long, shortMM, longMM
	}
	over := longMM - shortMM
	return fmt.Sprintf("%s, %.0f mm long, is sewn to %s, %.0f mm long: %.0f mm (%.0f %%) more than it, too much to ease in; check the two, or, where the cloth is gathered or stretched there, write ease: %.0fmm on the edge",
		sideName(long), longMM, sideName(short), shortMM, over, over/shortMM*100, math.Ceil(over))
}

// sideName is the edges of one side, joined as they are sewn.
func sideName(side []piece.Ref) string {
	var out []string
	for _, r := range side {
		out = append(out, r.String())
	}
	return strings.Join(slices.Compact(out), " + ")
}
