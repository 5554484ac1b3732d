package check

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"eke/split/plan"
)

// levelsMM is how far apart the levels of like seams of two copies may be for the
// copies to be split alike.
const levelsMM = 3.0

// lookWishes proves that each wish about looks which is said to be kept is, and
// that no option is there that breaks one which is not merely preferred.
func (o *optionProof) lookWishes() {
	for _, w := range o.Wishes {
		words := strings.Fields(strings.ToLower(w.Text))
		preferred := len(words) > 0 && words[0] == "prefer"
		if preferred {
			words = words[1:]
		}
		why, understood := o.lookWish(words)
		switch {
		case !understood:
		case w.Kept && why != "":
			o.fail(Fault{Rule: Wish}, "the wish %q is said to be kept, and %s", w.Text, why)
		case !w.Kept && !preferred:
			o.fail(Fault{Rule: Wish}, "the wish %q is not kept", w.Text)
		}
	}
}

// lookWish says why a wish is not kept, empty where it is. Wishes of other forms
// are not understood here.
func (o *optionProof) lookWish(words []string) (why string, understood bool) {
	text := strings.Join(words, " ")
	if name, ok := strings.CutSuffix(text, " alike"); ok {
		return o.alike(name), true
	}
	if look, names, ok := strings.Cut(text, " only for "); ok {
		return o.onlyFor(look, strings.Split(names, ",")), true
	}
	if a, b, ok := strings.Cut(text, " unlike "); ok {
		if why := o.unknownLook(a, b); why != "" {
			return why, true
		}
		for _, l := range o.looksOf(a) {
			if slices.Contains(o.looksOf(b), l) {
				return "both have parts from " + l, true
			}
		}
		return "", true
	}
	if a, b, ok := strings.Cut(text, " like "); ok {
		if why := o.unknownLook(a, b); why != "" {
			return why, true
		}
		if o.leftOut(a) || o.leftOut(b) {
			return "", true
		}
		if all := append(o.looksOf(a), o.looksOf(b)...); len(slices.Compact(sorted(all))) != 1 {
			return "they are from " + strings.Join(all, ", "), true
		}
		return "", true
	}
	if name, looks, ok := strings.Cut(text, " upper "); ok {
		if upper, lower, ok := strings.Cut(looks, ", lower "); ok {
			return o.block(name, upper, lower), true
		}
	}
	return "", false
}

// unknownLook says which of some pieces is cut already: from what, no plan says.
func (o *optionProof) unknownLook(names ...string) string {
	for _, at := range o.common.order {
		for _, name := range names {
			if o.pieces[at].Ready && strings.EqualFold(at.name, name) {
				return at.String() + " is cut already, from a look that is not known"
			}
		}
	}
	return ""
}

// leftOut reports whether a piece is optional and no copy of it is cut.
func (o *optionProof) leftOut(name string) bool {
	found := false
	for _, at := range o.common.order {
		if strings.EqualFold(at.name, name) {
			if !o.pieces[at].Optional || len(o.of[at]) > 0 {
				return false
			}
			found = true
		}
	}
	return found
}

// looksOf are the looks of the scraps that a piece's parts lie on.
func (o *optionProof) looksOf(name string) (out []string) {
	for _, p := range o.parts {
		if p.scrap != nil && strings.EqualFold(p.Piece, name) {
			out = append(out, strings.ToLower(lookOf(p.scrap.Scrap)))
		}
	}
	return slices.Compact(sorted(out))
}

func sorted(s []string) []string {
	s = slices.Clone(s)
	slices.Sort(s)
	return s
}

func (o *optionProof) onlyFor(look string, names []string) string {
	for _, p := range o.parts {
		if p.scrap != nil && otherThan(look, names, p.Piece, p.scrap) {
			return "part " + p.label + " is cut from " + look
		}
	}
	return ""
}

// otherThan reports whether a scrap has a look that is only for some pieces, and a
// piece is none of them.
func otherThan(look string, names []string, piece string, s *scrapProof) bool {
	return strings.EqualFold(lookOf(s.Scrap), look) &&
		!slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(strings.TrimSpace(n), piece) })
}

// keptFrom reports whether a wish that must be kept has a scrap's look only for
// other pieces.
func (o *optionProof) keptFrom(piece string, s *scrapProof) bool {
	for _, w := range o.Wishes {
		text := strings.Join(strings.Fields(strings.ToLower(w.Text)), " ")
		look, names, ok := strings.Cut(text, " only for ")
		if ok && !strings.HasPrefix(text, "prefer ") && otherThan(look, strings.Split(names, ","), piece, s) {
			return true
		}
	}
	return false
}

// alike says what differs between the copies of a piece.
func (o *optionProof) alike(name string) string {
	if why := o.unknownLook(name); why != "" {
		return why
	}
	if looks := o.looksOf(name); len(looks) > 1 {
		return "its copies are from " + strings.Join(looks, ", ")
	}
	var copies []id
	for _, at := range o.order {
		if strings.EqualFold(at.name, name) {
			copies = append(copies, at)
		}
	}
	for _, at := range copies {
		kinds, levels := o.cutsOf(at)
		wantKinds, wantLevels := o.cutsOf(copies[0])
		if len(o.of[at]) != len(o.of[copies[0]]) || !slices.Equal(kinds, wantKinds) ||
			!slices.EqualFunc(levels, wantLevels, func(a, b float64) bool { return math.Abs(a-b) <= levelsMM }) {
			return at.String() + " is split otherwise than " + copies[0].String()
		}
	}
	return ""
}

// cutsOf are the kinds of the seams of a copy, and the levels of those that are
// square to its grain.
func (o *optionProof) cutsOf(at id) (kinds []string, levels []float64) {
	for _, s := range o.seams {
		if s.piece == nil || s.piece.id != at || len(s.Line) < 2 {
			continue
		}
		kinds = append(kinds, s.Kind)
		if a, b := downOf(s.piece.GrainDeg, s.Line[0]), downOf(s.piece.GrainDeg, s.Line[len(s.Line)-1]); math.Abs(a-b) < 1 {
			levels = append(levels, (a+b)/2)
		}
	}
	slices.Sort(kinds)
	slices.Sort(levels)
	return kinds, levels
}

// block says why no seam of some copy has one look above it and another below.
func (o *optionProof) block(name, upper, lower string) string {
	for _, at := range o.order {
		if strings.EqualFold(at.name, name) && !slices.ContainsFunc(o.seams, func(s *seamProof) bool {
			return s.piece != nil && s.piece.id == at && o.dividesLooks(s, upper, lower)
		}) {
			return "no seam of " + at.String() + " has all of " + upper + " above it, and all of " + lower + " below"
		}
	}
	return ""
}

// dividesLooks reports whether a seam parts its copy in what lies above it, of one look,
// and what lies below, of another. It runs level, but for where a dart is taken into it.
func (o *optionProof) dividesLooks(s *seamProof, upper, lower string) bool {
	levels, lo, hi := levelsOf(s)
	if levels == nil {
		return false
	}
	takesIn := slices.ContainsFunc(o.Moved, func(t plan.MovedPiece) bool {
		return t.Piece == s.Piece && t.Copy == s.Copy && slices.ContainsFunc(t.Darts, func(d plan.TakenDart) bool { return d.Seam == s.Name })
	})
	if !takesIn && hi-lo > 1 {
		return false
	}
	for _, p := range o.of[s.piece.id] {
		above, below := true, true
		for _, q := range p.SeamLine {
			off := downOf(s.piece.GrainDeg, q) - levels(q)
			above, below = above && off <= 1, below && off >= -1
		}
		want := upper
		switch {
		case above == below:
			return false // the seam does not run all across
		case below:
			want = lower
		}
		if p.scrap == nil || !strings.EqualFold(lookOf(p.scrap.Scrap), want) {
			return false
		}
	}
	return true
}

// levelsOf is how far down the grain a seam runs at a point across it, and the least and
// most of that; nil where it turns back.
func levelsOf(s *seamProof) (at func(point) float64, lo, hi float64) {
	across := func(q point) float64 { return downOf(s.piece.GrainDeg+90, q) }
	line := slices.Clone(s.Line)
	if len(line) < 2 {
		return nil, 0, 0
	}
	if across(line[0]) > across(line[len(line)-1]) {
		slices.Reverse(line)
	}
	lo, hi = extentDown(s.piece.GrainDeg, line)
	for i := range line[1:] {
		if across(line[i+1]) <= across(line[i]) {
			return nil, 0, 0
		}
	}
	return func(q point) float64 {
		x := across(q)
		i, _ := slices.BinarySearchFunc(line, x, func(p point, x float64) int { return cmp.Compare(across(p), x) })
		switch {
		case i == 0:
			return downOf(s.piece.GrainDeg, line[0])
		case i == len(line):
			return downOf(s.piece.GrainDeg, line[i-1])
		}
		a, b := line[i-1], line[i]
		t := (x - across(a)) / (across(b) - across(a))
		return (1-t)*downOf(s.piece.GrainDeg, a) + t*downOf(s.piece.GrainDeg, b)
	}, lo, hi
}
