package wish

import (
	"fmt"
	"strings"

	"eke/piece/scraps"
	"eke/split/plan"
)

// Blocks puts the garment in a grid of blocks as wide as they are high, each of
// them from one scrap.
type Blocks struct{ SizeMM float64 }

var blocks = form{written: "blocks 120mm", means: "a grid of blocks of that size over the body and the sleeves, no two of one look side by side where that can be helped", read: readBlocks,
	within: fmt.Sprintf("with one size from %d mm to %d mm", leastBlockMM, mostDeepMM)}

// leastBlockMM is smaller than any block that is worth its allowances.
const leastBlockMM = 40

func readBlocks(words []string) (Wish, bool) {
	if len(words) < 2 || words[0] != "blocks" {
		return nil, false
	}
	mm, err := scraps.ParseLength(strings.Join(words[1:], ""))
	if err != nil || !(mm >= leastBlockMM && mm <= mostDeepMM) {
		return nil, false
	}
	return Blocks{mm}, true
}

func (w Blocks) String() string { return fmt.Sprintf("blocks %gmm", w.SizeMM) }

func (w Blocks) Kept(_ *plan.Document, o *plan.Option) (kept bool, how string) {
	if o.Blocks == nil || o.Blocks.SizeMM != w.SizeMM {
		return false, "the plan is not in these blocks"
	}
	return true, o.Blocks.Words(o)
}
