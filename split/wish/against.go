package wish

import (
	"fmt"
	"slices"
	"strings"

	"eke/split/plan"
)

// Against refuses wishes of which no plan can keep all: one look for several pieces, one
// by way of another, and none that two of them both have, or one look for a piece and
// two. Of those that are preferred any may go unkept, and a piece that may be left out
// keeps all; optional says which may.
func Against(wishes []Wish, optional func(piece string) bool) error {
	oneLook := map[string]Wish{} // of a piece, and the wish that says so
	likes := map[string][]Like{} // of a piece, those that name it
	must := func(names ...string) bool {
		for _, n := range names {
			if optional(n) {
				return false
			}
		}
		return true
	}
	key := strings.ToLower
	for _, w := range wishes {
		switch w := w.(type) {
		case Alike:
			if must(w.Piece) {
				oneLook[key(w.Piece)] = w
			}
		case Like:
			if a, b := key(w.Piece), key(w.Other); must(w.Piece, w.Other) {
				oneLook[a], oneLook[b] = w, w
				likes[a], likes[b] = append(likes[a], w), append(likes[b], w)
			}
		}
	}
	for _, w := range wishes {
		switch w := w.(type) {
		case Unlike:
			a, b := key(w.Piece), key(w.Other)
			if !must(w.Piece, w.Other) {
				continue
			}
			if a == b && oneLook[a] != nil {
				return notAll(oneLook[a], w)
			}
			if all := chain(likes, a, b); len(all) > 0 {
				return notAll(append(all, w)...)
			}
		case Block:
			if one := oneLook[key(w.Piece)]; one != nil && must(w.Piece) && !strings.EqualFold(w.Upper, w.Lower) {
				return fmt.Errorf("the wishes %q and %q cannot both be kept: %s is to have one look by the first, and two by the other; leave one out, or write prefer before it", one, w, w.Piece)
			}
		}
	}
	return nil
}

// chain is the fewest wishes by which two pieces share a look, one after the other; none
// where they need not.
func chain(likes map[string][]Like, from, to string) []Wish {
	by := map[string][]Wish{from: {}}
	for next := []string{from}; len(next) > 0 && by[to] == nil; next = next[1:] {
		for _, w := range likes[next[0]] {
			for _, other := range []string{strings.ToLower(w.Piece), strings.ToLower(w.Other)} {
				if by[other] == nil {
					by[other] = append(slices.Clone(by[next[0]]), w)
					next = append(next, other)
				}
			}
		}
	}
	return by[to]
}

// notAll says that of some wishes all but one can be kept.
func notAll(all ...Wish) error {
	var names []string
	for _, w := range all {
		names = append(names, fmt.Sprintf("%q", w))
	}
	of := "both"
	if len(names) > 2 {
		of = "all"
	}
	return fmt.Errorf("the wishes %s cannot %s be kept: leave one out, or write prefer before it", plan.And(names), of)
}
