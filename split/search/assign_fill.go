package search

import (
	"math"

	"eke/piece"
)

// evenFills is, for each bin, how full it and all others would be if the pieces
// that may come from them were shared out evenly. It is never less than what odd
// shapes fill without effort.
//
// Where a piece may come from knit and from woven, its garment comes from one of
// them, and the other is of no use to it. So a bin may get as full as it would with
// the cloth of one kind alone, if that is enough.
func (in *instance) evenFills() []float64 {
	fills := in.fillsOf(func(*piece.Scrap) bool { return true })
	if in.kinds == nil {
		return fills
	}
	for _, other := range []string{knit, woven} {
		for s, fill := range in.fillsOf(func(s *piece.Scrap) bool { return s.Kind != other }) {
			if fill <= 1 {
				fills[s] = math.Max(fills[s], fill)
			}
		}
	}
	return fills
}

// fillsOf is evenFills where only some scraps are used.
func (in *instance) fillsOf(uses func(*piece.Scrap) bool) []float64 {
	const loose = 0.74
	group := make([]int, len(in.table.bins)) // bins that share a piece that may come from them
	for s := range group {
		group[s] = s
	}
	home := make([]int, len(in.blanks)) // a bin of each copy
	for i, b := range in.blanks {
		home[i] = -1
		for s := range in.table.bins {
			if scrap := in.table.bins[s].scrap; !uses(scrap) || !in.table.allowed(b.piece, scrap) {
				continue
			}
			if home[i] < 0 {
				home[i] = s
				continue
			}
			from, to := group[s], group[home[i]]
			for k := range group {
				if group[k] == from {
					group[k] = to
				}
			}
		}
	}
	pieces, cloth := make([]float64, len(group)), make([]float64, len(group))
	for i, b := range in.blanks {
		if home[i] >= 0 {
			pieces[group[home[i]]] += b.area
		}
	}
	for s, g := range group {
		cloth[g] += in.table.bins[s].area
	}
	fills := make([]float64, len(group))
	for s, g := range group {
		fills[s] = math.Max(loose, pieces[g]/cloth[g])
	}
	return fills
}

// evenFill is the share of a bin's area that several parts may take, once the cuts
// have slid to where all bins are about equally full. It is heuristic.
func (a *assignment) evenFill(s int) float64 {
	return math.Min(1+simplifiedFill, a.instance.fills[s]+a.fillMargin)
}

// maxLowerFill is the share that several lower-bound parts may take: evenFill with
// a margin, for it is asked before any cut has slid. It is heuristic.
func (a *assignment) maxLowerFill(s int) float64 { return math.Min(1, a.evenFill(s)+0.08) }

// heuristicSpare is the area that one part more may take beside others. It is less
// than what is left, for odd shapes leave gaps.
func (a *assignment) heuristicSpare(s int) float64 {
	return a.freeArea[s] - (1-a.maxLowerFill(s))*a.table.bins[s].area
}
