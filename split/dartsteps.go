package split

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// dartsFirst is the sewing step for the darts that lie whole on a part and
// open on an edge that was drawn. They come before every seam, since a seam
// may cross them, or be the edge that they open on. Those that open on a
// piecing seam, or lie across one, are sewn beside it. Upright darts are
// pressed toward the centre, others down (common practice, no source).
func (m *Made) dartsFirst() []string {
	var found []string
	for _, part := range m.Parts {
		n := 0
		var on []string
		for _, d := range part.Of.Darts {
			if !isWhole(part.Outline, d) || opensOnSeam(part.Outline, d) {
				continue
			}
			n++
			if name := theEdge(mouthOf(part.Outline, d)); !slices.Contains(on, name) {
				on = append(on, name)
			}
		}
		path := part.Outline.Path()
		for _, f := range part.Of.FishEyes {
			if f.Inside(path) {
				n++
				if !slices.Contains(on, twoPoints) {
					on = append(on, twoPoints)
				}
			}
		}
		if n > 0 {
			found = append(found, fmt.Sprintf("%d of %s (%s)", n, part.Name, strings.Join(on, ", ")))
		}
	}
	if len(found) == 0 {
		return nil
	}
	if !slices.ContainsFunc(m.Plan.Pieces, func(p *piece.Piece) bool { return p.Use != piece.UseLining }) {
		return []string{"Fold the darts and press them as pleats, sewn only where they open, so that the lining has room: " + strings.Join(found, "; ") + "."}
	}
	return []string{"Sew the darts first, and press upright ones toward the centre, others down, before a seam crosses them or the edge they open on is sewn: " + strings.Join(found, "; ") + "."}
}

// twoPoints is said in place of the edge that a dart opens on.
const twoPoints = "with two points"

// takes names the darts that a seam takes in, and says where they went: a seam that runs down
// a dart follows its legs, one across its point has it closed beside it.
func (m *Made) takes(s *PiecingSeam) string {
	var on []string
	o := m.Plan.Pieces[s.Piece].Outline
	for _, t := range s.Taken {
		if name := theEdge(mouthOf(o, t.Drawn)); !slices.Contains(on, name) {
			on = append(on, name)
		}
	}
	if len(s.TakenEyes) > 0 {
		on = append(on, twoPoints)
	}
	closed := 0
	for _, t := range s.Taken {
		if t.Closed {
			closed++
		}
	}
	switch n := len(s.Taken) + len(s.TakenEyes); {
	case n == 0:
		return ""
	case n == 1 && closed == 1:
		return fmt.Sprintf(" It takes in a dart (%s), which is closed in the paper: an edge of the seam is bent there, and no dart is left to sew.", on[0])
	case n == 1:
		return fmt.Sprintf(" It takes in a dart (%s): its legs are the seam's edges there, and no dart is left to sew.", on[0])
	case closed == n:
		return fmt.Sprintf(" It takes in %d darts (%s), which are closed in the paper: the seam's edges are bent there, and none of them is left to sew.", n, strings.Join(on, ", "))
	case closed > 0:
		return fmt.Sprintf(" It takes in %d darts (%s): the legs of %d are the seam's edges there, the rest are closed in the paper, where its edges are bent; none of them is left to sew.", n, strings.Join(on, ", "), n-closed)
	default:
		return fmt.Sprintf(" It takes in %d darts (%s): their legs are the seam's edges there, and none of them is left to sew.", n, strings.Join(on, ", "))
	}
}

// theEdge is an edge's name in a sentence.
func theEdge(name string) string {
	if name == "" {
		return "the outline"
	}
	return name
}

// mouthOf is the name of the edge that a dart opens on.
func mouthOf(o piece.Outline, d piece.Dart) string {
	for _, e := range o {
		if e.Name != "" && endsOn(e.Line, d) {
			return e.Name
		}
	}
	return ""
}

// opensOnSeam reports whether a dart opens on a piecing seam.
func opensOnSeam(o piece.Outline, d piece.Dart) bool {
	return slices.ContainsFunc(o, func(e piece.Edge) bool { return e.Seam != "" && endsOn(e.Line, d) })
}

// endsOn reports whether both legs of a dart end on a line.
func endsOn(line curve.Path, d piece.Dart) bool {
	const nearMM = 0.1
	for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
		if _, away := line.Nearest(leg); away > nearMM {
			return false
		}
	}
	return true
}
