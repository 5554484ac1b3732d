package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/cmd/words"
	"eke/piece"
)

// napNote warns of grainlines drawn against one another where some cloth has a
// nap: the pile follows the grainline, so it would run up one piece and down
// the next. It is empty where there is nothing to say.
func napNote(pieces []*piece.Piece, cloth []piece.Scrap) string {
	const opposite = 135 // degrees; less is a bias or a crossways piece
	nap := false
	for _, s := range cloth {
		nap = nap || s.Nap
	}
	if !nap || len(pieces) == 0 {
		return ""
	}
	var against []string
	for _, p := range pieces[1:] {
		if turn := math.Abs(math.Remainder(p.GrainDeg-pieces[0].GrainDeg, 360)); turn > opposite {
			against = append(against, p.Name)
		}
	}
	if len(against) == 0 {
		return ""
	}
	return fmt.Sprintf("some cloth has a nap, and the grainline is drawn the other way on %s than on %s: unless a piece is drawn upside down, the pile will run the other way there too; to mend that turn its line end for end",
		strings.Join(against, ", "), pieces[0].Name)
}

// unsaidNapNote names the cloth of which no nap is said, where other cloth of the same
// fabric and look has one: parts may lie on it upside down, and would shade otherwise.
func unsaidNapNote(cloth []piece.Scrap) string {
	var out []string
	same := func(s, o piece.Scrap) bool {
		return strings.EqualFold(o.Fabric, s.Fabric) && (s.Look == "" || strings.EqualFold(s.Look, o.TheLook()))
	}
	for _, s := range cloth {
		if s.Fabric != "" && !s.Nap && !s.NoNap && slices.ContainsFunc(cloth, func(o piece.Scrap) bool { return o.Nap && same(s, o) }) {
			out = append(out, s.Name)
		}
	}
	if len(out) == 0 {
		return ""
	}
	return fmt.Sprintf("taken to have no nap, though other cloth of the same fabric has one: %s; if it has, say nap yes of it, in a table of scraps or a drawing, or parts on it may lie upside down and shade otherwise", words.List(out))
}
