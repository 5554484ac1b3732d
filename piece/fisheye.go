package piece

import (
	"fmt"
	"math"
	"slices"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// FishEye is a dart with two points: both apexes lie inside the piece, and
// between them it is widest, as at the waist of a bodice that reaches the hip.
// Round it come Apex[0], Wide[0], Apex[1], Wide[1].
type FishEye struct{ Apex, Wide [2]orb.Point }

// Corners are the dart's corners in order round it.
func (f FishEye) Corners() [4]orb.Point {
	return [4]orb.Point{f.Apex[0], f.Wide[0], f.Apex[1], f.Wide[1]}
}

// Side is what is sewn to the other side: from one apex by a wide corner to
// the other apex.
func (f FishEye) Side(k int) curve.Path { return curve.Polyline(f.Apex[0], f.Wide[k], f.Apex[1]) }

// Widest is the middle between the wide corners.
func (f FishEye) Widest() orb.Point {
	return orb.Point{(f.Wide[0][0] + f.Wide[1][0]) / 2, (f.Wide[0][1] + f.Wide[1][1]) / 2}
}

// Bends reports whether both wide corners lie to one side of the line between the
// apexes: such a dart has no middle line that it closes on.
func (f FishEye) Bends() bool {
	axis := plane.Sub(f.Apex[1], f.Apex[0])
	return plane.Cross(axis, plane.Sub(f.Wide[0], f.Apex[0]))*plane.Cross(axis, plane.Sub(f.Wide[1], f.Apex[0])) >= 0
}

// Line goes once round the dart.
func (f FishEye) Line() curve.Path {
	return curve.Polyline(f.Apex[0], f.Wide[0], f.Apex[1], f.Wide[1], f.Apex[0])
}

// Transform applies m.
func (f FishEye) Transform(m curve.Matrix) FishEye {
	for k := range 2 {
		f.Apex[k], f.Wide[k] = m.Apply(f.Apex[k]), m.Apply(f.Wide[k])
	}
	return f
}

// Ring is the dart's corners with a closing repeat.
func (f FishEye) Ring() orb.Ring {
	return orb.Ring{f.Apex[0], f.Wide[0], f.Apex[1], f.Wide[1], f.Apex[0]}
}

// Inside reports whether the whole dart lies within an outline, and a little
// off it.
func (f FishEye) Inside(outline curve.Path) bool {
	if len(curve.Crossings(outline, f.Line())) > 0 {
		return false
	}
	ring := orb.Ring(outline.Flatten(curve.FlattenMM))
	for _, q := range f.Corners() {
		if _, away := outline.Nearest(q); away < clearMM || !planar.RingContains(ring, q) {
			return false
		}
	}
	return true
}

// clearMM is how far from the outline a dart with two points stays.
const clearMM = 0.05

// maxFishEyes is how many darts with two points a piece may be drawn with.
const maxFishEyes = 16

// slenderness is how many times as long as wide a dart with two points is at
// least, so that its points can be told from its wide corners. (Common
// practice, no source.)
const slenderness = 1.5

// sidesMM is how much the two sides of a dart may differ in length without a
// word. (Common practice, no source.)
const sidesMM = 1.0

// isLoop reports whether a line comes back to where it starts.
func (l DraftLine) isLoop() bool {
	return l.Closed || len(l.Line) > 2 && plane.Distance(l.Line.Start(), l.Line.End()) <= closeMM
}

// fishEyes are the darts that were drawn as closed paths. open are the others.
func (d *Draft) fishEyes(outline curve.Path, open []Dart) (out []FishEye, notes []string, err error) {
	for _, l := range d.Darts {
		if !l.isLoop() {
			continue
		}
		f, err := d.fishEye(l)
		if err != nil {
			return nil, nil, err
		}
		if !f.Inside(outline) {
			return nil, nil, d.errorf(l.Element, "a dart with two points is not wholly inside the outline", "move it in; a dart that opens on the outline is an open path of leg, apex, leg")
		}
		overlaps := slices.ContainsFunc(out, func(o FishEye) bool { return ringsOverlap(o.Ring(), f.Ring()) }) ||
			slices.ContainsFunc(open, func(o Dart) bool { return ringsOverlap(o.ring(), f.Ring()) })
		if len(out) == maxFishEyes {
			return nil, nil, d.errorf(l.Element, fmt.Sprintf("the piece has more than %d darts with two points", maxFishEyes), "keep those that shape it")
		}
		if overlaps {
			return nil, nil, d.errorf(l.Element, "two darts overlap", "move one so that they lie apart")
		}
		if one, two := f.Side(0).Length(), f.Side(1).Length(); math.Abs(one-two) > sidesMM {
			notes = append(notes, fmt.Sprintf("%s: the two sides of %s, which are sewn together, are %.1f and %.1f mm long; draw them alike, or ease the longer on", d.Name, l.Element, one, two))
		}
		out = append(out, f)
	}
	return out, notes, nil
}

// fishEye reads a closed path: of its four corners the two that are farther
// apart are the apexes.
func (d *Draft) fishEye(l DraftLine) (FishEye, error) {
	var corners []orb.Point
	for _, s := range l.Line {
		if s.Length() <= sameMM {
			continue
		}
		if bend := bowMM(s); bend > onMM {
			return FishEye{}, d.errorf(l.Element, fmt.Sprintf("a dart's leg bends by %.1f mm", bend), "draw the dart with straight legs")
		}
		corners = append(corners, s.P0)
	}
	if n := len(corners); n != 4 {
		return FishEye{}, d.errorf(l.Element, fmt.Sprintf("a dart drawn as a closed path has %d corners", n), "give it four for a dart with two points: apex, widest place, apex, widest place; a dart that opens on the outline is an open path of leg, apex, leg")
	}
	if plane.Distance(corners[0], corners[2]) < plane.Distance(corners[1], corners[3]) {
		corners = append(corners[1:], corners[0])
	}
	f := FishEye{Apex: [2]orb.Point{corners[0], corners[2]}, Wide: [2]orb.Point{corners[1], corners[3]}}
	long, wide := plane.Distance(f.Apex[0], f.Apex[1]), plane.Distance(f.Wide[0], f.Wide[1])
	switch {
	case segmentsCross(f.Apex[0], f.Wide[0], f.Apex[1], f.Wide[1]) || segmentsCross(f.Wide[0], f.Apex[1], f.Wide[1], f.Apex[0]):
		return f, d.errorf(l.Element, "the dart crosses itself", "draw its corners in order round it: apex, widest place, apex, widest place")
	case long < leastMM || wide < leastMM || math.Abs(planar.Area(f.Ring())) < leastMM*leastMM:
		return f, d.errorf(l.Element, "the dart has no width or no length", "draw its four corners at four different places")
	case long < slenderness*wide:
		return f, d.errorf(l.Element, fmt.Sprintf("the dart is %.0f mm one way and %.0f mm the other, so that its points cannot be told from its wide corners", long, wide), "draw it longer than wide")
	case side(f.Apex[0], f.Apex[1], f.Wide[0])*side(f.Apex[0], f.Apex[1], f.Wide[1]) >= 0:
		return f, d.errorf(l.Element, "both wide corners of the dart lie on one side of the line through its points", "draw one on each side")
	}
	return f, nil
}

// bowMM is how far a segment bends away from the line between its ends.
func bowMM(s curve.Segment) float64 {
	if !s.Curved {
		return 0
	}
	chord := curve.Polyline(s.P0, s.P1)
	most := 0.0
	for _, q := range (curve.Path{s}).Flatten(curve.FlattenMM) {
		_, away := chord.Nearest(q)
		most = math.Max(most, away)
	}
	return most
}

// ringsOverlap reports whether two closed rings cross or hold one another.
func ringsOverlap(a, b orb.Ring) bool {
	for i := 1; i < len(a); i++ {
		for j := 1; j < len(b); j++ {
			if segmentsCross(a[i-1], a[i], b[j-1], b[j]) {
				return true
			}
		}
	}
	return planar.RingContains(a, b[0]) || planar.RingContains(b, a[0])
}

func transformFishEyes(all []FishEye, m curve.Matrix) []FishEye {
	var out []FishEye
	for _, f := range all {
		out = append(out, f.Transform(m))
	}
	return out
}
