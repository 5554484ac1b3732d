package job

import (
	"fmt"

	"eke/allowance"
	"eke/piece"
	"eke/piece/plane"
	"eke/split"
)

const (
	// widestLoomMM is as wide as cloth is woven or knit for sewing at home; sheeting and
	// curtains are the widest. (Common practice, no source.)
	widestLoomMM = 3200.0
	// leastShare is the share of what the pieces need that is doubted to be the pile. In
	// a unit ten times too small a pile has a hundredth of its area, so one of up to
	// five times what is needed falls below this.
	leastShare = 0.05
)

// ScrapSizeNote doubts scraps that no loom is wide enough for, and a pile that is next
// to nothing beside the pieces: their sizes are in another unit than is said.
func ScrapSizeNote(pieces []*piece.Piece, pile []piece.Scrap) string {
	if len(pile) == 0 {
		return ""
	}
	size := func(s *piece.Scrap) (across, along float64) {
		lo, hi := split.FrameOf(s.GrainDeg).Box(s.Outline)
		return hi[0] - lo[0], hi[1] - lo[1]
	}
	held, largest := 0.0, &pile[0]
	for i := range pile {
		s := &pile[i]
		if across, along := size(s); across > widestLoomMM {
			return fmt.Sprintf("%s is %s cm across the grain by %s cm along it, and hardly any cloth is wider than %.0f cm; if you measured otherwise, check the unit that its size is given in", s.Name, figures(across/10), figures(along/10), widestLoomMM/10)
		}
		held += s.AreaMM2() * float64(max(1, s.Count))
		if s.AreaMM2() > largest.AreaMM2() {
			largest = s
		}
	}
	need := 0.0
	for _, p := range pieces {
		if p.Ready || p.Optional {
			continue
		}
		if cut, err := allowance.CutLine(p.Outline); err == nil {
			need += plane.Area(cut) * float64(max(1, p.Count))
		}
	}
	if held >= leastShare*need {
		return ""
	}
	across, along := size(largest)
	return fmt.Sprintf("all scraps together are %s cm², and the pieces are %s cm²; if the largest, %s, is larger than %s cm across the grain by %s cm along it, check the unit that the sizes are given in", figures(held/100), figures(need/100), largest.Name, figures(across/10), figures(along/10))
}

// figures writes a number in three figures, and from a hundred on in whole ones.
func figures(x float64) string {
	if x >= 100 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.3g", x)
}
