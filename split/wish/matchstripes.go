package wish

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/split/plan"
)

// MatchStripes has the stripes of the cloth itself meet at seams: at those of one
// edge, or wherever stripes cross a seam.
type MatchStripes struct{ At string }

var matchStripes = form{written: "match stripes at side", means: "the cloth's own stripes meet at the seams of that edge; without at, side seams first, then the sleeves", read: func(words []string) (Wish, bool) {
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

func (w MatchStripes) Kept(_ *plan.Document, o *plan.Option) (kept bool, how string) {
	if o.StripeMatch == nil {
		return false, "the parts were not laid for it"
	}
	for _, s := range o.StripeMatch.Seams {
		if !s.Meet && w.Musts(s.Edges) {
			return false, fmt.Sprintf("at %s they are %.0f mm off", s.Name(), s.OffMM)
		}
	}
	return len(o.StripeMatch.Seams)+len(o.StripeMatch.Through) > 0, o.StripeMatch.Words()
}

// Musts reports whether stripes are to meet where two edges are sewn together,
// whatever other seams have settled: at side seams, and at those that are named.
func (w MatchStripes) Musts(edges [2]string) bool {
	return w.At != "" || slices.ContainsFunc(edges[:], func(e string) bool {
		return strings.Contains(strings.ToLower(e[strings.LastIndex(e, "/")+1:]), "side")
	})
}
