package check

// uses proves that cloth which is set apart for a use, the lining, is cut for
// pieces of that use alone.
func (o *optionProof) uses() {
	for _, p := range o.parts {
		if p.piece == nil || p.scrap == nil {
			continue
		}
		if kept := p.scrap.Use; kept != "" && kept != p.piece.Use {
			o.fail(Fault{Rule: Use, Part: p.label, Scrap: p.scrap.id.String()}, "the scrap is kept for the %s", kept)
		}
	}
}
