package wish

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece/scraps"
	"eke/split/plan"
)

// Stripes puts the garment in level stripes of these looks in turn. Without
// depths, the cloth decides how deep they are.
type Stripes struct{ sequence string } // "navy 60mm, cream 40mm"

var stripes = form{written: "stripes navy 60mm, cream 40mm", means: "level stripes over the body and the sleeves, so deep; without lengths eke chooses how deep", read: readStripes,
	within: fmt.Sprintf("with two looks or more, and for all of them a depth from %d mm to %d mm or for none", leastDeepMM, mostDeepMM)}

func readStripes(words []string) (Wish, bool) {
	if len(words) < 2 || words[0] != "stripes" {
		return nil, false
	}
	looks, depths, ok := sequenceOf(strings.Join(words[1:], " "))
	if !ok || len(looks) < 2 {
		return nil, false
	}
	var out []string
	for k, l := range looks {
		if depths != nil {
			l += fmt.Sprintf(" %gmm", depths[k])
		}
		out = append(out, l)
	}
	return Stripes{strings.Join(out, ", ")}, true
}

// mostDeepMM is deeper than any stripe; leastDeepMM is the least that can be sewn.
const leastDeepMM, mostDeepMM = 20, 1000

// sequenceOf reads looks and how deep they are: all of them say it, or none.
func sequenceOf(s string) (looks []string, depthsMM []float64, ok bool) {
	for _, one := range strings.Split(s, ",") {
		words := strings.Fields(one)
		for last := 1; last <= 2 && last < len(words); last++ { // "60mm" or "60 mm"
			if mm, err := scraps.ParseLength(strings.Join(words[len(words)-last:], "")); err == nil {
				if !(mm >= leastDeepMM && mm <= mostDeepMM) {
					return nil, nil, false
				}
				words, depthsMM = words[:len(words)-last], append(depthsMM, mm)
				break
			}
		}
		if len(words) == 0 {
			return nil, nil, false
		}
		looks = append(looks, strings.Join(words, " "))
	}
	return looks, depthsMM, len(depthsMM) == 0 || len(depthsMM) == len(looks)
}

// Sequence is the looks in turn, and how deep each is; no depths where the cloth
// decides.
func (s Stripes) Sequence() (looks []string, depthsMM []float64) {
	looks, depthsMM, _ = sequenceOf(s.sequence)
	return looks, depthsMM
}

// NewStripes is the wish for such stripes.
func NewStripes(looks []string, depthsMM []float64) Stripes {
	words := strings.Fields("stripes")
	for k, l := range looks {
		if depthsMM != nil {
			l += fmt.Sprintf(" %gmm", depthsMM[k])
		}
		if k < len(looks)-1 {
			l += ","
		}
		words = append(words, strings.Fields(l)...)
	}
	w, _ := readStripes(words)
	s, _ := w.(Stripes)
	return s
}

// Names are its looks.
func (s Stripes) Names() (pieces, looks []string) {
	looks, _ = s.Sequence()
	return nil, looks
}

func (s Stripes) String() string { return "stripes " + s.sequence }

func (s Stripes) Kept(_ *plan.Document, o *plan.Option) (kept bool, how string) {
	looks, depths := s.Sequence()
	is := o.Stripes
	if is == nil || !slices.EqualFunc(looks, is.Looks, strings.EqualFold) || depths != nil && !slices.Equal(depths, is.DepthsMM) {
		return false, "the plan is not in these stripes"
	}
	return true, is.Words()
}
