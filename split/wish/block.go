package wish

import (
	"fmt"
	"math"
	"strings"

	"eke/split/plan"
)

// Block splits a piece by a cross seam although it may fit whole: what lies above
// the seam has one look, what lies below another.
type Block struct{ Piece, Upper, Lower string }

var block = form{written: "front upper navy, lower cream", means: "a cross seam in the piece, these looks above and below it", read: func(words []string) (Wish, bool) {
	line := strings.Join(words, " ")
	piece, looks, ok := strings.Cut(line, " upper ")
	upper, lower, also := strings.Cut(looks, ", lower ")
	w := Block{strings.TrimSpace(piece), strings.TrimSpace(upper), strings.TrimSpace(lower)}
	return w, ok && also && w.Piece != "" && w.Upper != "" && w.Lower != ""
}}

func (w Block) String() string {
	return fmt.Sprintf("%s upper %s, lower %s", w.Piece, w.Upper, w.Lower)
}
func (w Block) Names() (pieces, looks []string) {
	return []string{w.Piece}, []string{w.Upper, w.Lower}
}

func (w Block) Kept(_ *plan.Document, o *plan.Option) (kept bool, how string) {
	copies := map[int]bool{}
	for _, p := range o.Parts {
		if strings.EqualFold(p.Piece, w.Piece) {
			copies[p.Copy] = false
		}
	}
	var seams []string
	lowest, highest := math.Inf(-1), math.Inf(1) // of the seams, from the piece's top
	for k := range o.PiecingSeams {
		s := &o.PiecingSeams[k]
		if strings.EqualFold(s.Piece, w.Piece) && !copies[s.Copy] && w.keptBy(o, s) {
			copies[s.Copy] = true
			seams = append(seams, s.Name)
			level, _ := o.LevelOf(s)
			lowest, highest = math.Max(lowest, level), math.Min(highest, level)
		}
	}
	for _, done := range copies {
		if !done {
			return false, fmt.Sprintf("no cross seam has all of %s above it from %s, and all below it from %s", w.Piece, w.Upper, w.Lower)
		}
	}
	if len(seams) == 1 {
		return true, fmt.Sprintf("above seam %s all is from %s, below it all from %s", seams[0], w.Upper, w.Lower)
	}
	how = fmt.Sprintf("above seams %s all is from %s, below them all from %s", plan.And(seams), w.Upper, w.Lower)
	const seenMM = 5.0
	if apart := lowest - highest; apart > seenMM {
		how += fmt.Sprintf("; one copy of %s has its line %.0f mm lower than another", w.Piece, apart)
	}
	return len(seams) > 0, how
}

func (w Block) keptBy(o *plan.Option, s *plan.PiecingSeam) bool {
	above, below, ok := o.Beside(s)
	all := func(parts []*plan.Part, look string) bool {
		for _, p := range parts {
			if !strings.EqualFold(p.Look, look) {
				return false
			}
		}
		return len(parts) > 0
	}
	return ok && all(above, w.Upper) && all(below, w.Lower)
}
