package check

import "strings"

// looks proves that a part which says what it looks like has the look of the
// scrap it lies on.
func (o *optionProof) looks() {
	for _, p := range o.parts {
		if p.scrap == nil || p.Look == "" {
			continue
		}
		if said, is := p.Look, lookOf(p.scrap.Scrap); !strings.EqualFold(said, is) {
			o.fail(Fault{Rule: Look, Part: p.label, Scrap: p.scrap.id.String()}, "the part is said to look like %q and its scrap looks like %q", said, is)
		}
	}
}
