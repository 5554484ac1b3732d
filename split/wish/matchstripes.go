package wish

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/split/plan"
)

// MatchStripes has the stripes of the cloth itself meet at seams: at those of one
// edge, or wherever stripes cross a seam. Several are kept together.
type MatchStripes struct{ At string }

var matchStripes = form{written: "match stripes at side", means: "the cloth's own stripes meet at the seams of that edge, or of one piece's: match stripes at front/side; without at, side seams first, then the sleeves; several such wishes are kept together", read: func(words []string) (Wish, bool) {
	switch {
	case len(words) < 2 || words[0] != "match" || words[1] != "stripes":
	case len(words) == 2:
		return MatchStripes{}, true
	case len(words) > 3 && words[2] == "at":
		at := between(words, 3, len(words))
		slash := strings.LastIndex(at, "/") + 1
		return MatchStripes{at[:slash] + piece.EdgeName(at[slash:])}, true
	}
	return nil, false
}}

func (w MatchStripes) String() string {
	if w.At == "" {
		return "match stripes"
	}
	return "match stripes at " + w.At
}

func (w MatchStripes) Kept(d *plan.Document, o *plan.Option) (kept bool, how string) {
	if o.StripeMatch == nil {
		return false, "the parts were not laid for it"
	}
	mine := *o.StripeMatch
	if w.At != "" {
		mine.Seams = slices.DeleteFunc(slices.Clone(mine.Seams), func(s plan.StripeSeam) bool { return !w.Musts(s.Edges) })
		mine.Through = nil // piecing seams are none of that edge
	}
	for _, s := range mine.Seams {
		if !s.Meet && w.Musts(s.Edges) {
			return false, fmt.Sprintf("at %s they are %.0f mm off", s.Name(), s.OffMM)
		}
	}
	how = mine.Words()
	if w.At == "" {
		how += notMatched(d, o)
	}
	return len(mine.Seams)+len(mine.Through) > 0, how
}

// Musts reports whether stripes are to meet where two edges are sewn together,
// whatever other seams have settled: at side seams, and at those that are named.
func (w MatchStripes) Musts(edges [2]string) bool {
	return slices.ContainsFunc(edges[:], func(e string) bool {
		edge := e[strings.LastIndex(e, "/")+1:]
		if w.At == "" {
			return strings.Contains(strings.ToLower(edge), "side")
		}
		return strings.EqualFold(w.At, edge) || strings.EqualFold(w.At, e) || strings.EqualFold(w.At, strings.TrimSuffix(e, "/"+edge)+" "+edge)
	})
}

// notMatched says which pieces of striped cloth have no seam among those at which stripes
// were to meet, and how an edge of theirs is named; empty where there are none.
func notMatched(d *plan.Document, o *plan.Option) string {
	if d == nil {
		return ""
	}
	striped := map[string]bool{}
	for _, s := range d.Scraps {
		if s.StripeMM > 0 && s.StripeRuns == o.StripeMatch.Runs {
			striped[d.ScrapName(s.Name, s.Copy)] = true
		}
	}
	var out []string
	example := ""
	for _, p := range d.Pieces {
		of := func(ref string) bool { return strings.EqualFold(ref[:max(0, strings.LastIndex(ref, "/"))], p.Name) }
		if slices.Contains(out, p.Name) || slices.ContainsFunc(o.StripeMatch.Seams, func(s plan.StripeSeam) bool { return of(s.Edges[0]) || of(s.Edges[1]) }) ||
			!slices.ContainsFunc(o.Parts, func(q plan.Part) bool { return q.Piece == p.Name && striped[d.ScrapName(q.Scrap, q.ScrapCopy)] }) {
			continue
		}
		out = append(out, p.Name)
		if at := slices.IndexFunc(p.Edges, func(e plan.Edge) bool { return e.Name != "" && len(e.Joins) > 0 }); at >= 0 && !p.Optional && example == "" {
			example = p.Name + "/" + p.Edges[at].Name
		}
	}
	if len(out) == 0 {
		return ""
	}
	said := "; left out, though of striped cloth: " + plan.And(out)
	if example != "" {
		said += fmt.Sprintf(" (to match an edge too, wish for it as well, as in %q)", MatchStripes{example})
	}
	return said
}
