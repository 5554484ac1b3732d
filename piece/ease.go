package piece

import (
	"fmt"
	"strconv"
)

// Ease is by how much an edge may differ in length from what it is sewn to:
// a length, or a share of the shorter side, as where it is gathered or
// stretched. The zero value says nothing.
type Ease struct{ MM, Share float64 }

// String is the ease as a pattern says it: `60mm`, `12%`, or nothing.
func (e Ease) String() string {
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	switch {
	case e.MM > 0:
		return number(e.MM) + "mm"
	case e.Share > 0:
		return fmt.Sprintf("%.4g%%", e.Share*100)
	}
	return ""
}
