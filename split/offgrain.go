package split

import (
	"fmt"
	"math"
	"strings"

	"eke/split/plan"
)

// noticedDeg is how far a part may lie off the grain without a word: a millimetre on
// 20 cm, which is less than a grainline is drawn and laid by (common practice, no
// source).
const noticedDeg = 0.3

// offGrainNote says which parts lie off the grain of their scraps: laid true, as a maker
// would by their grainlines, they may not fit. It is empty where none does.
func (r *Record) offGrainNote(o *plan.Option, parts []Part) string {
	var off []string
	most := 0.0
	for k, part := range parts {
		s := part.Leaf.Scrap
		if o.Parts[k].IsCut || s >= len(r.Scraps) { // a split by hand has no scrap
			continue
		}
		at := o.Parts[k].Placement
		turned := math.Atan2(at[1], at[0])*180/math.Pi + o.Parts[k].GrainDeg - r.Scraps[s].GrainDeg
		if deg := math.Abs(math.Remainder(turned, 180)); deg > noticedDeg {
			off = append(off, part.Name)
			most = max(most, deg)
		}
	}
	if len(off) == 0 {
		return ""
	}
	return fmt.Sprintf("off the grain by up to %.1f°, within what is allowed: %s; lay them as the layout shows, for there they fit", most, strings.Join(off, ", "))
}
