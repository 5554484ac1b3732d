package piece

import "strings"

// Rule says which pieces may come from which scraps. The search asks every
// rule and needs to know nothing else about it.
type Rule interface {
	// MayCut reports whether p, or a part of it, may be cut from s.
	MayCut(p *Piece, s *Scrap) bool
	// String names the rule as the report does.
	String() string
}

// FabricRule keeps a piece that names fabrics to scraps of those fabrics.
// Names are compared without regard to case or outer space; a piece that
// names none may come from any scrap.
type FabricRule struct{}

func (FabricRule) MayCut(p *Piece, s *Scrap) bool {
	if len(p.Fabrics) == 0 {
		return true
	}
	for _, f := range p.Fabrics {
		if strings.EqualFold(strings.TrimSpace(f), strings.TrimSpace(s.Fabric)) {
			return true
		}
	}
	return false
}

func (FabricRule) String() string { return "fabric" }

// ParseFabrics reads `navy or cream` as either of two fabrics.
func ParseFabrics(s string) []string {
	var out []string
	for _, f := range strings.Split(s, " or ") {
		if f = strings.TrimSpace(f); f != "" {
			out = append(out, f)
		}
	}
	return out
}
