package piece

import "strings"

// SewnTogether tells for each copy which group it is in: those that hang together
// by joins.
func SewnTogether(copies []*Piece) []int {
	group := make([]int, len(copies))
	for i := range group {
		group[i] = i
	}
	for i, p := range copies {
		for _, e := range p.Outline {
			for _, ref := range e.Joins {
				for k, q := range copies {
					if from, to := group[k], group[i]; from != to && strings.EqualFold(q.Name, ref.Piece) {
						for g := range group {
							if group[g] == from {
								group[g] = to
							}
						}
					}
				}
			}
		}
	}
	return group
}
