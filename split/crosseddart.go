package split

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// CrossedDart is a dart that a piecing seam crosses and does not take in: its
// legs lie on the parts of both sides, and it is sewn across the seam.
type CrossedDart struct {
	Drawn piece.Dart // as the piece has it
	// StepMM is how far apart along the sewn dart the seam comes out of its
	// two legs; 0 where it crosses only one of them.
	StepMM float64
}

// tipMM is how far from its ends a dart's legs may meet a seam, and the dart
// count as clear of it: nobody sees so much of a tip beyond the seam.
const tipMM = 0.15

// leastStepMM is how far a seam line may step at a dart before anyone sees it.
const leastStepMM = 2

// crosses are the darts of a body that the seam crosses. Each side has them
// where they lie on it once what was taken in has turned it.
func (h *halves) crosses() []CrossedDart {
	var out []CrossedDart
	for k, d := range h.near.Piece.Darts {
		if d.Seam != "" { // half of one with two points, which is counted as such
			continue
		}
		c := CrossedDart{Drawn: h.near.drawn[k]}
		_, edge := offSeam(h.near.Outline, h.name)
		on := through(edge, d.Leg1, d.Apex, d.Leg2)
		if on {
			c.StepMM = stepAt(edge, d)
		} else {
			_, edge = offSeam(h.far.Outline, h.name)
			d = h.far.Piece.Darts[k]
			on = through(edge, d.Leg1, d.Apex, d.Leg2)
			c.StepMM = stepAt(edge, d)
		}
		if on {
			out = append(out, c)
		}
	}
	return out
}

// through reports whether a line runs through a dart for more than a hair, or
// crosses a leg further than tipMM from its ends.
func through(line curve.Path, leg1, apex, leg2 orb.Point) bool {
	const hairMM = 0.1
	corners := []orb.Point{leg1, apex, leg2}
	if !line.Bound().Intersects(orb.MultiPoint(corners).Bound()) {
		return false
	}
	ring := append(orb.Ring(corners), corners[0])
	stops := []float64{0}
	for _, c := range curve.Crossings(curve.Polyline(ring...), line) {
		if min(plane.Distance(c.At, leg1), plane.Distance(c.At, apex), plane.Distance(c.At, leg2)) > tipMM && c.OnP < plane.Distance(leg1, apex)+plane.Distance(apex, leg2) {
			return true
		}
		stops = append(stops, c.OnQ)
	}
	stops = append(stops, line.Length())
	var inside float64
	for i := 1; i < len(stops); i++ {
		if mid, _ := line.At((stops[i-1] + stops[i]) / 2); planar.RingContains(ring, mid) {
			inside += stops[i] - stops[i-1]
		}
	}
	return inside > hairMM
}

// stepAt is how far apart along a dart's legs a line crosses them.
func stepAt(line curve.Path, d piece.Dart) float64 {
	var at [2]float64
	for k, leg := range []orb.Point{d.Leg1, d.Leg2} {
		c := curve.Crossings(curve.Polyline(d.Apex, leg), line)
		if len(c) != 1 {
			return 0
		}
		at[k] = c[0].OnP
	}
	return math.Abs(at[0] - at[1])
}

// dartName says in words which dart of a piece it is, by the edge that it
// starts from: "dart from the side of front 1".
func dartName(p *piece.Piece, d piece.Dart) string {
	mouth := orb.Point{(d.Leg1[0] + d.Leg2[0]) / 2, (d.Leg1[1] + d.Leg2[1]) / 2}
	name, least := "", math.Inf(1)
	for _, e := range p.Outline {
		if _, away := e.Line.Nearest(mouth); away < least {
			name, least = e.Name, away
		}
	}
	return fmt.Sprintf("dart from the %s of %s", named(name), p.ID())
}

// crossing is the darts of one name that the same seams cross.
type crossing struct {
	name   string
	seams  string
	count  int
	stepMM float64 // the greatest
}

// darts are their words, long and short: "the dart from the side of front 1",
// "the dart".
func (c crossing) darts() (long, short string) {
	if c.count > 1 {
		return fmt.Sprintf("the %d %s", c.count, strings.Replace(c.name, "dart", "darts", 1)), "the darts"
	}
	return "the " + c.name, "the dart"
}

// step says where a seam comes out of a dart's two legs.
func (c crossing) step() string {
	if c.stepMM < leastStepMM {
		return ""
	}
	return fmt.Sprintf("; where the legs meet, the seam's two ends come %.0f mm apart", c.stepMM)
}

// crossings are the darts that seam i crosses, those of one name together;
// sewn tells of the seams, and a dart counts once all seams across it are.
func (m *Made) crossings(i int, sewn func(seam int) bool) []crossing {
	var out []crossing
	for _, c := range m.Seams[i].Crossed {
		var seams []string
		ready := true
		for _, k := range m.inSewingOrder() {
			if s := &m.Seams[k]; s.Piece == m.Seams[i].Piece && s.crosses(c.Drawn) {
				seams = append(seams, s.Name)
				ready = ready && sewn(k)
			}
		}
		if !ready {
			continue
		}
		next := crossing{dartName(m.Plan.Pieces[m.Seams[i].Piece], c.Drawn), strings.Join(seams, " and "), 1, c.StepMM}
		at := slices.IndexFunc(out, func(o crossing) bool { return o.name == next.name && o.seams == next.seams })
		if at < 0 {
			out = append(out, next)
			continue
		}
		out[at].count++
		out[at].stepMM = math.Max(out[at].stepMM, c.StepMM)
	}
	return out
}

// crossedNotes warn of the darts that the seams cross.
func (m *Made) crossedNotes() []string {
	var out []string
	for _, i := range m.inSewingOrder() {
		name := m.Seams[i].Name
		for _, c := range m.crossings(i, func(int) bool { return true }) {
			long, short := c.darts()
			out = append(out, fmt.Sprintf("seam %s crosses %s: sew %s first, then %s across it%s", name, long, name, short, c.step()))
		}
	}
	return out
}

// dartsAcross are the sewing steps for the darts that can be sewn once seam i
// is.
func (m *Made) dartsAcross(i int, sewn map[int]bool) []string {
	var out []string
	for _, c := range m.crossings(i, func(k int) bool { return sewn[k] }) {
		long, _ := c.darts()
		out = append(out, fmt.Sprintf("Now sew %s, across %s: the legs run on through the parts on both sides%s.", long, c.seams, c.step()))
	}
	return out
}

func (s *PiecingSeam) crosses(d piece.Dart) bool {
	return slices.ContainsFunc(s.Crossed, func(c CrossedDart) bool { return c.Drawn == d })
}

// crossedOn are the darts of which a part has some and not all.
func crossedOn(part Part) [][3]plan.Point {
	var out [][3]plan.Point
	for _, d := range part.Of.Darts {
		if isWhole(part.Outline, d) {
			continue
		}
		for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
			if len(insideOf(part.Outline, curve.Polyline(leg, d.Apex))) > 0 {
				out = append(out, dart(d))
				break
			}
		}
	}
	return out
}
