package job

import (
	"fmt"
	"slices"
	"strings"

	"eke/cmd/words"
	"eke/piece"
	"eke/piece/spelling"
)

// fabricNote names the fabrics that pieces ask for and no scrap is of, where scraps are
// of one that has those words in it, or nearly their letters: a fabric that is given
// counts as it is written, and "navy rib" is not rib.
func fabricNote(pieces []*piece.Piece, cloth []piece.Scrap) string {
	var said, asked []string
	for _, p := range pieces {
		for _, f := range p.Fabrics {
			if p.Ready || slices.ContainsFunc(asked, func(a string) bool { return strings.EqualFold(a, f) }) {
				continue
			}
			asked = append(asked, f)
			if near := nearFabrics(f, cloth); len(near) > 0 {
				said = append(said, fmt.Sprintf("no scrap is of %s, but there is %s", f, words.List(near)))
			}
		}
	}
	if len(said) == 0 {
		return ""
	}
	return strings.Join(said, "; ") + ": if that will do, write it as the fabric in the pattern; a fabric counts as it is written"
}

// nearFabrics are the fabrics of scraps that were perhaps meant by one that no scrap
// is of.
func nearFabrics(asked string, cloth []piece.Scrap) []string {
	var near []string
	for i := range cloth {
		s := &cloth[i]
		if s.Of(asked) {
			return nil
		}
		has := (&piece.Scrap{Name: s.Fabric}).Of(asked) || spelling.Nearest(strings.ToLower(asked), []string{strings.ToLower(s.Fabric)}) != ""
		if s.Fabric != "" && has && !slices.Contains(near, s.Fabric) {
			near = append(near, s.Fabric)
		}
	}
	return near
}
