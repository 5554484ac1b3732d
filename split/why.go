package split

import (
	"fmt"
	"math"
	"strings"

	"eke/piece/curve"
)

// nearUnderarmMM is how far below an underarm a seam still lies by it.
const nearUnderarmMM = 60.0

// why says what speaks for a seam to lie where it does, each measured on the
// plan as it was made. It is empty where only the cloth does.
func (m *Made) why(seam int) string {
	s := &m.Seams[seam]
	p := m.Plan.Pieces[s.Piece]
	var out []string
	if onLevel(s, p) {
		out = append(out, "at a level drawn on the piece")
	}
	if seam := meetsSeam(s, p); seam != "" {
		out = append(out, "join at the "+seam)
	}
	if belowUnderarm(s) {
		out = append(out, "just below the underarm, clear of it")
	}
	for _, pair := range meetings(m) {
		switch s.Name {
		case pair[0]:
			out = append(out, fmt.Sprintf("meets %s across a join", pair[1]))
		case pair[1]:
			out = append(out, fmt.Sprintf("meets %s across a join", pair[0]))
		}
	}
	switch n := len(s.Taken) + len(s.TakenEyes); {
	case n == 1:
		out = append(out, "takes in a dart")
	case n > 1:
		out = append(out, fmt.Sprintf("takes in %d darts", n))
	}
	for _, d := range s.Divided {
		if d.Widest {
			out = append(out, "divides a dart with two points where it is widest")
			break
		}
	}
	return strings.Join(out, "; ")
}

// belowUnderarm reports whether all of a seam across the grain lies below the
// underarms of what it cut, by enough to keep bulk out of them, and near the
// lowest.
func belowUnderarm(s *PiecingSeam) bool {
	underarms := Underarms(s.Body.Outline)
	if len(underarms) == 0 || s.Way.Traits().Runs != Across {
		return false
	}
	lowest, top := math.Inf(-1), math.Inf(1)
	for _, u := range underarms {
		_, down := s.Body.Frame.Place(u)
		lowest = math.Max(lowest, down)
	}
	for _, q := range s.Line.Flatten(curve.FlattenMM) {
		_, down := s.Body.Frame.Place(q)
		top = math.Min(top, down)
	}
	return top-lowest >= bulkMM && top-lowest <= nearUnderarmMM
}
