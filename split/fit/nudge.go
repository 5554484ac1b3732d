package fit

import (
	"math"
	"slices"
)

// An attempt that misses less than nudgedMM of clearance is made again at nudged
// levels, up to mostNudges times.
const (
	nudgedMM   = 4
	mostNudges = 2
)

// lackingMM is how much clearance a cloth lacks that a level is nudged for.
const lackingMM = 0.2

// packedCloths is how the cloths lay when each was last packed by itself.
type packedCloths struct {
	levels    []float64
	clearance []float64 // of each cloth beyond the gap, mm
}

func (g *jointSearch) notePacked() {
	g.rows()
	g.packed.levels = append(g.packed.levels[:0], g.levels...)
	g.packed.clearance = g.packed.clearance[:0]
	for _, a := range g.separators {
		g.packed.clearance = append(g.packed.clearance, a.margin)
	}
}

// goTo cuts the items at other levels. It says whether they can be.
func (g *jointSearch) goTo(levels []float64) bool {
	copy(g.levels, levels)
	g.forgetDerivatives()
	return g.cut()
}

// nudge goes back to the levels at which the cloths were packed by themselves, and
// moves each level by what the worst cloth that it cuts for lacked there, so that the
// parts on it shrink. Separation may not find that way: it weighs all cloths at once,
// and a corner that a part must slip past holds it where it is. It says whether some
// level was moved.
func (g *jointSearch) nudge() bool {
	from := slices.Clone(g.packed.levels)
	if !g.goTo(from) {
		return false
	}
	to, before := slices.Clone(from), g.areas()
	for l := range from {
		off := slices.Clone(from)
		off[l] += differenceMM
		if !g.goTo(off) {
			continue
		}
		worst, way := -lackingMM, 0.0
		for k, area := range g.areas() {
			if area != before[k] && g.packed.clearance[k] < worst {
				worst, way = g.packed.clearance[k], math.Copysign(1, before[k]-area)
			}
		}
		to[l] = max(g.Lo[l], min(g.Hi[l], to[l]-way*worst))
	}
	return g.goTo(to) && !slices.Equal(to, from)
}

// areas is the area of the items of each cloth, mm².
func (g *jointSearch) areas() []float64 {
	out := make([]float64, len(g.items))
	for k, items := range g.items {
		for _, it := range items {
			out[k] += it.Shape.area
		}
	}
	return out
}
