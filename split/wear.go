package split

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// When seams that lie against the skin are worth a word: as many in one piece,
// or in all, or one that ends within bulkMM of an underarm, where cloth rubs.
// (Common practice, no source.)
const (
	manyInPiece   = 3
	manyInGarment = 5
)

// wear is what to know of how the piecing seams feel when the garment is worn,
// a sentence each: where many lie against the skin, or one where cloth rubs.
// Those of bands, cuffs and collars are inside a fold, and those of a lining
// turned to the garment.
func (m *Made) wear() []string {
	var out []string
	all := 0
	for i, p := range m.Plan.Pieces {
		if _, trim := trimStage(p); trim || p.Use == piece.UseLining {
			continue
		}
		underarms := Underarms(p.Outline)
		var letters, rub []string
		for _, k := range m.inSewingOrder() {
			s := &m.Seams[k]
			if s.Piece != i {
				continue
			}
			letters = append(letters, s.Name)
			if slices.ContainsFunc(s.Ends[:], func(end End) bool {
				return slices.ContainsFunc(underarms, func(u orb.Point) bool { return plane.Distance(u, end.At) < bulkMM })
			}) {
				rub = append(rub, s.Name)
			}
		}
		all += len(letters)
		if len(letters) >= manyInPiece {
			out = append(out, fmt.Sprintf("%d piecing seams of %s lie against the skin: %s", len(letters), p.ID(), strings.Join(letters, ", ")))
		}
		if len(rub) > 0 {
			lie := "lies"
			if len(rub) > 1 {
				lie = "lie"
			}
			out = append(out, fmt.Sprintf("in %s, %s %s at the underarm, where cloth rubs", p.ID(), plan.And(rub), lie))
		}
	}
	if all >= manyInGarment {
		out = append(out, fmt.Sprintf("the garment has %d piecing seams against the skin", all))
	}
	return out
}
