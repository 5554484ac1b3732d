package job

import (
	"fmt"
	"math"
	"strings"

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
