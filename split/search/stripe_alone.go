package search

import (
	"cmp"
	"context"
	"slices"
)

// coverAlone finds cloth for the pieces that are in no stripes, all copies of one
// piece of one look.
func (s *striper) coverAlone(ctx context.Context, st *stripeState, l *stripeLayout) bool {
	var names []string
	size := map[string]float64{}
	of := map[string][]int{}
	for _, i := range l.Unstriped() {
		n := s.copies[i].Name
		if of[n] == nil {
			names = append(names, n)
		}
		of[n] = append(of[n], i)
		size[n] += s.whole[i].area
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(size[b], size[a]) })
	var looks []string
	room := map[string]float64{}
	for i := range s.table.bins {
		look := s.table.bins[i].scrap.TheLook()
		if !slices.Contains(looks, look) {
			looks = append(looks, look)
		}
		room[look] += st.free[i]
	}
	for _, name := range names {
		// A look of the stripes before another, and of these that of which most is left.
		slices.SortStableFunc(looks, func(a, b string) int {
			return cmp.Or(-cmp.Compare(btoi(slices.Contains(s.looks, a)), btoi(slices.Contains(s.looks, b))), cmp.Compare(room[b], room[a]))
		})
		if !s.coverOfOneLook(ctx, st, l, of[name], looks) {
			s.alone = append(s.alone, name)
			return false
		}
	}
	return true
}

// coverOfOneLook covers the copies of a piece that is in no stripes from the first of some
// looks that does, on bins for each part, or where none does so with several parts on one.
func (s *striper) coverOfOneLook(ctx context.Context, st *stripeState, l *stripeLayout, copies []int, looks []string) bool {
	defer func() { st.shared = false }()
	for _, st.shared = range []bool{false, true} {
		for _, look := range looks {
			var put []*stripeCover
			for _, i := range copies {
				c := st.cover(ctx, s.whole[i], -1-i, look, false)
				if c == nil {
					break
				}
				st.put(c, -1-i)
				put = append(put, c)
			}
			if len(put) < len(copies) {
				st.takeBack(put)
				continue
			}
			for k, i := range copies {
				for p := range put[k].parts {
					if put[k].parts[p].leaf == put[k].tree {
						st.relink(put[k].tree, l.trees[i])
					}
				}
				*l.trees[i] = *put[k].tree
			}
			return true
		}
	}
	return false
}
