package job

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
)

// SeamKinds is what a seam that is added may be.
func SeamKinds() []string {
	var out []string
	for _, w := range split.Ways() {
		if !slices.Contains(out, w.Kind()) {
			out = append(out, w.Kind())
		}
	}
	return out
}

// ValidSeamKinds refuses a kind of seam that names nothing.
func ValidSeamKinds(kinds []string, pieces []*piece.Piece) error {
	known := map[string]bool{}
	for _, k := range SeamKinds() {
		known[k] = true
	}
	for _, p := range pieces {
		for _, e := range p.Outline {
			known[strings.ToLower(e.Name)] = len(e.Joins) > 0 || known[strings.ToLower(e.Name)]
		}
	}
	for _, k := range kinds {
		if !known[strings.ToLower(k)] {
			return fmt.Errorf("--seams %s: no such kind of seam and no edge of that name; give %s or a joined edge such as shoulder", k, strings.Join(SeamKinds(), ", "))
		}
	}
	return nil
}

// besideNote warns a maker who allows a kind of seam that is tried in some
// places only, and not the kind that serves everywhere else. It says which
// places these are, and is empty where there is no such kind.
func besideNote(kinds []string) string {
	allowed := func(kind string) bool {
		return slices.ContainsFunc(kinds, func(k string) bool { return strings.EqualFold(k, kind) })
	}
	for _, w := range split.Ways() {
		if t := w.Traits(); t.Beside != "" && allowed(w.Kind()) && !allowed(t.Beside) {
			return fmt.Sprintf("a %s is tried only %s; for seams elsewhere too, give --seams %q", w.Kind(), t.Where, strings.Join(append(slices.Clone(kinds), t.Beside), ","))
		}
	}
	return ""
}
