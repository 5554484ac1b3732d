package check

import (
	"slices"
	"strings"
)

// kinds proves that knit and woven are kept apart: each part is cut from the
// kind of cloth that its piece asks for, and the pieces that hang together by
// joins, all their parts, come from one kind. Cloth of a kind that is not known
// goes with either. Where the maker wished so, kinds may mix.
func (o *optionProof) kinds() {
	for _, p := range o.parts {
		if p.piece == nil || p.scrap == nil {
			continue
		}
		if want, got := p.piece.Kind, p.scrap.Kind; want != "" && got != "" && want != got {
			o.fail(Fault{Rule: Kind, Part: p.label, Scrap: p.scrap.id.String()}, "the piece is to be %s and the scrap is %s", want, got)
		}
	}
	if o.mayMix() {
		return
	}
	for _, together := range o.sewnTogether() {
		var first *partProof
		for _, p := range o.parts {
			if p.piece == nil || p.scrap == nil || p.scrap.Kind == "" || !together[p.piece.id] {
				continue
			}
			if first == nil {
				first = p
			}
			if p.scrap.Kind != first.scrap.Kind {
				o.fail(Fault{Rule: Kind, Part: p.label, Scrap: p.scrap.id.String()}, "%s is sewn to %s: part %s, from scrap %s", p.scrap.Kind, first.scrap.Kind, first.label, first.scrap.id)
				break
			}
		}
	}
}

// mayMix reports whether the option says that kinds may mix.
func (o *optionProof) mayMix() bool {
	for _, w := range o.Wishes {
		if w.Kept && slices.Equal(strings.Fields(strings.ToLower(w.Text)), []string{"mix", "kinds"}) {
			return true
		}
	}
	return false
}

// sewnTogether are the sets of pieces that hang together by joins. A join that
// names a piece is to every copy of it.
func (o *optionProof) sewnTogether() []map[id]bool {
	named := map[string][]id{}
	for _, at := range o.order {
		named[strings.ToLower(at.name)] = append(named[strings.ToLower(at.name)], at)
	}
	next := map[id][]id{}
	for _, at := range o.order {
		for _, e := range o.pieces[at].Edges {
			for _, join := range e.Joins {
				for _, other := range named[strings.ToLower(pieceNamed(join))] {
					next[at] = append(next[at], other)
					next[other] = append(next[other], at)
				}
			}
		}
	}
	var sets []map[id]bool
	seen := map[id]bool{}
	for _, at := range o.order {
		if seen[at] {
			continue
		}
		set := map[id]bool{}
		for walk := []id{at}; len(walk) > 0; {
			here := walk[len(walk)-1]
			walk = walk[:len(walk)-1]
			if set[here] {
				continue
			}
			set[here], seen[here] = true, true
			walk = append(walk, next[here]...)
		}
		sets = append(sets, set)
	}
	return sets
}

// pieceNamed is the piece that a join, `back/shoulder`, names.
func pieceNamed(join string) string {
	if i := strings.LastIndexByte(join, '/'); i >= 0 {
		return join[:i]
	}
	return join
}
