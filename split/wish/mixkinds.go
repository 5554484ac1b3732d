package wish

import (
	"fmt"
	"slices"
	"strings"

	"eke/split/plan"
)

// MixKinds lets knit and woven meet: in the parts of one piece, and where
// pieces are sewn together. It allows and asks for nothing, so it is always
// kept.
type MixKinds struct{}

var mixKinds = form{written: "mix kinds", means: "knit and woven may meet", read: func(words []string) (Wish, bool) {
	return MixKinds{}, slices.Equal(words, []string{"mix", "kinds"})
}}

func (MixKinds) String() string { return "mix kinds" }

func (MixKinds) Kept(d *plan.Document, o *plan.Option) (kept bool, how string) {
	var within, of []string // pieces cut from both kinds; pieces and their kinds
	for _, p := range d.Pieces {
		if slices.Contains(of, p.Name) {
			continue
		}
		of = append(of, p.Name)
	}
	kinds := map[string][]string{}
	for _, name := range of {
		kinds[name] = kindsOf(d, o, name)
		if len(kinds[name]) > 1 {
			within = append(within, name)
		}
	}
	var between []string
	for _, p := range d.Pieces {
		for _, e := range p.Edges {
			for _, j := range e.Joins {
				to := pieceOf(j)
				pair := p.Name + " and " + to
				if to < p.Name {
					pair = to + " and " + p.Name
				}
				if to != p.Name && differ(kinds[p.Name], kinds[to]) && !slices.Contains(between, pair) {
					between = append(between, pair)
				}
			}
		}
	}
	switch {
	case len(within)+len(between) == 0:
		return true, "no knit meets woven here"
	case len(between) == 0:
		return true, fmt.Sprintf("knit and woven meet in %s", strings.Join(within, ", "))
	case len(within) == 0:
		return true, fmt.Sprintf("knit and woven meet between %s", strings.Join(between, ", "))
	}
	return true, fmt.Sprintf("knit and woven meet in %s, and between %s", strings.Join(within, ", "), strings.Join(between, ", "))
}

// kindsOf are the kinds of cloth that copies of a piece are cut from, in order.
func kindsOf(d *plan.Document, o *plan.Option, piece string) []string {
	var out []string
	for _, p := range o.Parts {
		for _, s := range d.Scraps {
			if p.Piece == piece && p.Scrap == s.Name && p.ScrapCopy == s.Copy && s.Kind != "" {
				out = append(out, s.Kind)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func differ(a, b []string) bool {
	return len(a) > 0 && len(b) > 0 && (len(a) > 1 || len(b) > 1 || a[0] != b[0])
}

// pieceOf is the piece of an edge's name, `back/shoulder`.
func pieceOf(edge string) string {
	if i := strings.LastIndexByte(edge, '/'); i >= 0 {
		return edge[:i]
	}
	return edge
}
