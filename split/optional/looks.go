package optional

import (
	"slices"
	"strings"

	"eke/piece"
	"eke/split/wish"
)

// looksBeside are the rules by which copies keep a wish that names their piece
// together with one which the plan has: like it, they come from the look that it is
// cut from, and unlike it, from none of those.
func (a *adder) looksBeside() (out []piece.Rule) {
	main := a.record.Plans[0]
	looks := map[string][]string{}
	for _, part := range main.Parts {
		name := strings.ToLower(main.Plan.Pieces[part.Piece].Name)
		looks[name] = append(looks[name], a.record.Scraps[part.Leaf.Scrap].TheLook())
	}
	for _, w := range a.wishes {
		var like bool
		switch w.(type) {
		case wish.Like:
			like = true
		case wish.Unlike:
		default:
			continue
		}
		of, _ := w.(wish.Named).Names()
		for k, name := range of {
			if there := looks[strings.ToLower(of[1-k])]; len(there) > 0 {
				out = append(out, &lookRule{name, there, like})
			}
		}
	}
	return out
}

// lookRule keeps a piece to some looks, or off them.
type lookRule struct {
	piece string
	looks []string
	like  bool
}

func (r *lookRule) MayCut(p *piece.Piece, s *piece.Scrap) bool {
	if !strings.EqualFold(p.Name, r.piece) {
		return true
	}
	return r.like == slices.ContainsFunc(r.looks, func(l string) bool { return strings.EqualFold(l, s.TheLook()) })
}

func (r *lookRule) String() string { return "look" }

// names reports whether a wish that is to be kept names a piece of the copies.
func names(w wish.Wish, copies []*piece.Piece) bool {
	n, ok := w.(wish.Named)
	if !ok {
		return false
	}
	of, _ := n.Names()
	return slices.ContainsFunc(copies, func(c *piece.Piece) bool {
		return slices.ContainsFunc(of, func(name string) bool { return strings.EqualFold(name, c.Name) })
	})
}
