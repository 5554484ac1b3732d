package wish

import (
	"fmt"
	"strings"
)

// Against refuses wishes of which no plan can keep both: one look for two pieces and
// none that both have, or one look for a piece and two. Of those that are preferred any
// may go unkept, and a piece that may be left out keeps all; optional says which may.
func Against(wishes []Wish, optional func(piece string) bool) error {
	oneLook := map[string]Wish{} // of a piece, and the wish that says so
	like := map[string]string{}  // of a piece, another that shares its look
	root := func(name string) string {
		for like[name] != "" {
			name = like[name]
		}
		return name
	}
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
			if a, b := root(key(w.Piece)), root(key(w.Other)); must(w.Piece, w.Other) {
				oneLook[key(w.Piece)], oneLook[key(w.Other)] = w, w
				if a != b {
					like[a] = b
				}
			}
		}
	}
	for _, w := range wishes {
		switch w := w.(type) {
		case Unlike:
			a, b := key(w.Piece), key(w.Other)
			if must(w.Piece, w.Other) && oneLook[a] != nil && root(a) == root(b) && (a != b || oneLook[b] != nil) {
				return fmt.Errorf("the wishes %q and %q cannot both be kept: leave one out, or write prefer before it", oneLook[a], w)
			}
		case Block:
			if one := oneLook[key(w.Piece)]; one != nil && must(w.Piece) && !strings.EqualFold(w.Upper, w.Lower) {
				return fmt.Errorf("the wishes %q and %q cannot both be kept: %s is to have one look by the first, and two by the other; leave one out, or write prefer before it", one, w, w.Piece)
			}
		}
	}
	return nil
}
