package piece

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

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
// names none may come from any scrap. A scrap that has no fabric but its name
// is of every fabric whose words are among those of its name: `navy rib 2` is
// navy, rib, and navy rib.
type FabricRule struct{}

func (FabricRule) MayCut(p *Piece, s *Scrap) bool {
	return len(p.Fabrics) == 0 || slices.ContainsFunc(p.Fabrics, s.Of)
}

func (FabricRule) String() string { return "fabric" }

// Of reports whether the scrap counts as of a fabric.
func (s *Scrap) Of(fabric string) bool {
	if strings.EqualFold(strings.TrimSpace(fabric), strings.TrimSpace(s.Fabric)) {
		return true
	}
	if s.Fabric != "" && !strings.EqualFold(s.Fabric, FabricOfName(s.Name)) {
		return false
	}
	has := words(s.Name)
	asked := words(fabric)
	for _, w := range asked {
		if !slices.Contains(has, w) {
			return false
		}
	}
	return len(asked) > 0
}

func words(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) })
}

var (
	endNumber  = regexp.MustCompile(`[ #-]*[0-9]+$`)
	bitNumbers = regexp.MustCompile(`(?:, [0-9]+)+$`)
)

// FabricOfName is what a scrap's name says of its fabric when nothing else
// does: the name without a number at its end, and without those that bits left
// of one scrap have.
func FabricOfName(name string) string {
	name = bitNumbers.ReplaceAllString(name, "")
	if fabric := endNumber.ReplaceAllString(name, ""); fabric != "" {
		return fabric
	}
	return name
}

// KindRule keeps a piece that is to be knit, or woven, to cloth of that kind
// or of a kind that is not known.
type KindRule struct{}

func (KindRule) MayCut(p *Piece, s *Scrap) bool {
	return p.Kind == "" || s.Kind == "" || p.Kind == s.Kind
}

func (KindRule) String() string { return "kind" }

// LookRule keeps a part that is to be of one look to scraps of it.
type LookRule struct{}

func (LookRule) MayCut(p *Piece, s *Scrap) bool {
	return p.Look == "" || strings.EqualFold(p.Look, s.TheLook())
}

func (LookRule) String() string { return "look" }

// UseRule keeps cloth that is set apart for the lining to pieces of the lining.
// Where LiningOnly is set, these are cut from such cloth and from no other.
type UseRule struct{ LiningOnly bool }

func (r UseRule) MayCut(p *Piece, s *Scrap) bool {
	if r.LiningOnly {
		return s.Use == p.Use
	}
	return s.Use == "" || s.Use == p.Use
}

func (UseRule) String() string { return "use" }

// Rules are the rules for cutting from a pile.
func Rules(pile []Scrap) []Rule { return []Rule{FabricRule{}, KindRule{}, UseRuleFor(pile)} }

// UseRuleFor is the rule for a pile: where some of it is set apart for the
// lining, the lining is cut from that.
func UseRuleFor(pile []Scrap) UseRule {
	return UseRule{LiningOnly: slices.ContainsFunc(pile, func(s Scrap) bool { return s.Use == UseLining })}
}

// UseLining is the use of cloth that is set apart for the lining, and of the
// pieces of one.
const UseLining = "lining"

// HemSeamSuffix ends the name of an edge of a lining at a hem that the garment has sewn to
// a band or the like: nothing is turned up there, and the lining is sewn to that seam.
const HemSeamSuffix = "-seam"

var eitherOf = regexp.MustCompile(`(?i)\s+or\s+|[,;]`)

// ParseFabrics reads `navy or cream`, or `navy, cream`, as either of two
// fabrics.
func ParseFabrics(s string) []string {
	var out []string
	for _, f := range eitherOf.Split(s, -1) {
		if f = strings.TrimSpace(f); f != "" {
			out = append(out, f)
		}
	}
	return out
}
