package search

import (
	"slices"

	"eke/piece"
	"eke/split"
	"eke/split/wish"
)

// Knit and woven are not sewn together: the parts of one copy, and all copies
// of pieces that hang together by joins, come from cloth of one kind, or of
// kinds that are not known.
//
// Backtracking does not choose the kind for copies that hang together: where it
// began with the wrong kind, that would use up the tries of both. Each choice is
// a variant of the instance, with bounds of its own. What stands alone is held to
// one kind during the assignment.

// mostChosen is for how many groups of copies each choice of kind becomes a
// variant; further ones are held to one kind during the assignment.
const mostChosen = 2

// The kinds of cloth that are kept apart.
const (
	knit  = "knit"
	woven = "woven"
	// neither is of a piece that is to be the one in a group that is to be the
	// other, so that only cloth whose kind is not known will do.
	neither = "neither"
)

// variants are the instances that together are the pattern, as drawn or with seams
// moved: one for each kind of cloth that the copies of a group may come from. It
// is one instance where there is no choice.
func (t *table) variants(copies []*piece.Piece, moves []split.Move) []*instance {
	return t.variantsOf(copies, func(kinds []string) *instance { return newInstanceOfKinds(t, copies, moves, kinds) })
}

// variantsOf are the instances for each kind of cloth, made from those kinds.
func (t *table) variantsOf(copies []*piece.Piece, make func(kinds []string) *instance) []*instance {
	instanceOf := func(kinds []string) *instance {
		in := make(kinds)
		in.bonds = bondsOf(in.blanks, t.options.Wishes, t.options.tidy)
		return in
	}
	if wish.Has[wish.MixKinds](t.options.Wishes) {
		return []*instance{instanceOf(nil)}
	}
	group := piece.SewnTogether(slices.Concat(copies, t.options.Ready))[:len(copies)]
	members := map[int][]int{}
	var choices [][]int
	for i, g := range group {
		members[g] = append(members[g], i)
	}
	mixes := false
	for i, g := range group {
		if members[g][0] != i || !t.mayMix(copies, members[g]) {
			continue
		}
		mixes = true
		if len(members[g]) > 1 {
			choices = append(choices, members[g])
		}
	}
	if !mixes {
		return []*instance{instanceOf(nil)}
	}
	slices.SortStableFunc(choices, func(a, b []int) int { return len(b) - len(a) })
	choices = choices[:min(len(choices), mostChosen)]
	var out []*instance
	kinds := slices.Repeat([]string{""}, len(copies))
	var choose func(k int)
	choose = func(k int) {
		if k == len(choices) {
			in := instanceOf(kinds)
			in.group = group
			out = append(out, in)
			return
		}
		for _, kind := range []string{knit, woven} {
			for _, i := range choices[k] {
				kinds[i] = kind
			}
			choose(k + 1)
		}
	}
	choose(0)
	return out
}

// mayMix reports whether some of the copies may come from knit, and some from
// woven.
func (t *table) mayMix(copies []*piece.Piece, members []int) bool {
	has := map[string]bool{}
	for _, i := range members {
		for k := range t.bins {
			if s := t.bins[k].scrap; t.allowed(copies[i], s) {
				has[s.Kind] = true
			}
		}
	}
	return has[knit] && has[woven]
}

// ofKind is a piece that is to come from one kind of cloth.
func ofKind(p *piece.Piece, kind string) *piece.Piece {
	if kind == "" || p.Kind == kind {
		return p
	}
	c := *p
	if c.Kind = kind; p.Kind != "" {
		c.Kind = neither
	}
	return &c
}

// kindClashes reports whether a bin is of the other kind than the cloth that the
// copy's group has been assigned.
func (a *assignment) kindClashes(k, s int) bool {
	if a.instance.group == nil {
		return false
	}
	on := a.kinds[a.instance.group[k]]
	switch a.table.bins[s].scrap.Kind {
	case knit:
		return on.woven > 0
	case woven:
		return on.knit > 0
	}
	return false
}

// kindCount is how many parts of a group lie on cloth of each kind.
type kindCount struct{ knit, woven int }

// countKind adds a part of the copy on a bin, or takes it away.
func (a *assignment) countKind(k, s, more int) {
	if a.instance.group == nil {
		return
	}
	on := &a.kinds[a.instance.group[k]]
	switch a.table.bins[s].scrap.Kind {
	case knit:
		on.knit += more
	case woven:
		on.woven += more
	}
}

// KindsChosen names, for each group of pieces that are sewn together and could
// come from knit as well as from woven, its pieces: all of them come from the
// one or from the other. It is empty where the wish is that kinds may mix.
func KindsChosen(pieces []*piece.Piece, scraps []piece.Scrap, o Options) [][]string {
	o = o.withDefaults()
	if wish.Has[wish.MixKinds](o.Wishes) {
		return nil
	}
	group := piece.SewnTogether(pieces)
	var out [][]string
	for g := range group {
		var names []string
		has := map[string]bool{}
		for i, p := range pieces {
			if group[i] != g {
				continue
			}
			names = append(names, p.Name)
			for k := range scraps {
				if o.MayCut(p, &scraps[k]) {
					has[scraps[k].Kind] = true
				}
			}
		}
		if len(names) > 1 && has[knit] && has[woven] {
			out = append(out, names)
		}
	}
	return out
}
