package measure

import (
	"fmt"
	"math"
	"strings"
)

// AtMost is the size of what there is on cloth, a side or several, never rounded
// up by more than a thousandth of a millimetre: tenths of a centimetre, or
// sixteenths of an inch.
func (u Unit) AtMost(sidesMM ...float64) string {
	one, unit := Centimetres, " cm"
	if u == Inches {
		one, unit = Inches, " in"
	}
	var out []string
	for _, mm := range sidesMM {
		out = append(out, strings.TrimSuffix(one.tape(mm+1e-3, math.Floor), unit))
	}
	return strings.Join(out, " × ") + unit
}

// Tape is a length of tape or ribbon that there is, never rounded up: tenths of a
// metre, or whole inches.
func (u Unit) Tape(mm float64) string {
	if u == Inches {
		return fmt.Sprintf("%.0f in", math.Floor(mm/inchMM+1e-9))
	}
	return fmt.Sprintf("%.1f m", math.Floor(mm/100+1e-9)/10)
}
