package plan

import (
	"math"
	"sort"
)

// CuttingOrder is the parts of an option in the order they are best cut, the
// largest first: what is left of a scrap can then still make good a slip with
// a small one. Parts that are cut already come last. The numbers count from 0 in the plan's list of parts.
func (o *Option) CuttingOrder() []int {
	parts := o.Parts
	order := make([]int, len(parts))
	area := make([]float64, len(parts))
	for i, p := range parts {
		order[i] = i
		for k, a := range p.CutLine {
			b := p.CutLine[(k+1)%len(p.CutLine)]
			area[i] += (a[0]*b[1] - b[0]*a[1]) / 2
		}
		area[i] = math.Abs(area[i])
	}
	sort.SliceStable(order, func(i, j int) bool {
		a, b := order[i], order[j]
		if parts[a].IsCut != parts[b].IsCut {
			return parts[b].IsCut
		}
		return area[a] > area[b]+1e-6
	})
	return order
}

// DistinctScraps is the place in d.Scraps of the first scrap of each name.
// Scraps that are alike have one name.
func (d *Document) DistinctScraps() (first []int) {
	seen := map[string]bool{}
	for i, s := range d.Scraps {
		if !seen[s.Name] {
			seen[s.Name] = true
			first = append(first, i)
		}
	}
	return first
}
