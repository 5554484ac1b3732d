package draw

import (
	"slices"
	"strings"

	"eke/split/plan"
)

const sewnOn = "to be sewn onto or into it"

// apart are pieces that lie on or inside the garment, or stand off it: they
// are drawn beside it, whatever their joins. The words are of their names.
var apart = []struct {
	words []string
	why   string
}{
	{[]string{"facing", "lining"}, "inside it"},
	{[]string{"pocket", "placket"}, sewnOn},
	{[]string{"hood"}, "standing off it"},
	{[]string{"gusset"}, "set in where it folds, under an arm or between the legs"},
}

// isApart reports whether a piece of that name is drawn beside the garment.
func isApart(name string) bool {
	for _, a := range apart {
		if says(name, a.words...) {
			return true
		}
	}
	return false
}

// besideNote says which pieces are drawn beside the garment, and why.
func (o *outfit) besideNote(rest []*whole) string {
	var whys []string
	names := map[string][]string{}
	for _, p := range rest {
		why := "for which the joins tell no place"
		if to := o.sewnTo(p); len(to) > 0 {
			why = "sewn to the " + plan.And(to) + ", where the picture does not show it"
		}
		if slices.ContainsFunc(o.pieces, func(q *whole) bool { return q.Name == p.Name && !slices.Contains(rest, q) }) {
			why = "the same as one that is drawn on it"
		}
		if o.under[p] {
			why = "a layer under one that is drawn on it"
		}
		if over := o.collarOver(p, rest); over != "" {
			why = "under the " + plan.Plain(over)
		}
		for _, a := range apart {
			if says(p.Name, a.words...) {
				why = a.why
				break
			}
		}
		if why == sewnOn && !o.joined(p) {
			why += ", where no join tells"
		}
		if !slices.Contains(whys, why) {
			whys = append(whys, why)
		}
		if name := plan.Plain(p.Name); !slices.Contains(names[why], name) {
			names[why] = append(names[why], name)
		}
	}
	var groups []string
	for _, why := range whys {
		groups = append(groups, strings.Join(names[why], ", ")+" ("+why+")")
	}
	return "Drawn beside the garment: " + strings.Join(groups, "; ") + "."
}

// collarOver names the collar on the garment that a layer of it is sewn to; empty for
// what is none.
func (o *outfit) collarOver(p *whole, rest []*whole) string {
	if p.role != collar {
		return ""
	}
	for i := range p.edges {
		for _, q := range o.partners(ref{p, i}) {
			if q.piece.role == collar && !slices.Contains(rest, q.piece) {
				return q.piece.Name
			}
		}
	}
	return ""
}

// sewnTo names the other pieces that a piece is sewn to by its joins.
func (o *outfit) sewnTo(p *whole) (names []string) {
	for i := range p.edges {
		for _, q := range o.partners(ref{p, i}) {
			if name := plan.Plain(q.piece.Name); q.piece.Name != p.Name && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

// joined reports whether the piece is sewn to another by a join.
func (o *outfit) joined(p *whole) bool {
	for i := range p.edges {
		if len(o.partners(ref{p, i})) > 0 {
			return true
		}
	}
	return false
}
