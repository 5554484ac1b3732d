package split

import (
	"eke/piece"

	"github.com/paulmach/orb"
)

// Underarms are the points where an armhole, a sleeve cap or a raglan seam
// meets a side seam or a sleeve's underarm seam.
func Underarms(o piece.Outline) []orb.Point {
	isSide := func(name string) bool { return hasWord(name, "side") || hasWord(name, "underarm") }
	var out []orb.Point
	for i, e := range o {
		next := o[(i+1)%len(o)]
		if isArmhole(e.Name) && isSide(next.Name) || isSide(e.Name) && isArmhole(next.Name) {
			out = append(out, e.Line.End())
		}
	}
	return out
}
