package measure

import (
	"fmt"
	"math"
)

// AtLeast is the size of a rectangle of cloth to look for, never rounded down:
// whole centimetres, or inches.
func (u Unit) AtLeast(lengthMM, widthMM float64) string {
	one, name := 10.0, "cm"
	if u == Inches {
		one, name = inchMM, "in"
	}
	whole := func(mm float64) int { return int(math.Ceil(mm/one - 1e-9)) }
	return fmt.Sprintf("%d x %d %s", whole(lengthMM), whole(widthMM), name)
}
