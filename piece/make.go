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

// What a drawing is forgiven, in mm. A hand-drawn mark is seldom on its line
// to a hair; more than this and it is likelier a mistake.
const (
	closeMM = 0.1   // a gap in an outline that is closed silently
	snapMM  = 3.0   // an end this near a corner is meant to be at the corner
	onMM    = 2.0   // how far an edge or fold line may stray from the outline
	hairMM  = 0.01  // an outline that comes nearer to itself touches itself
	notchMM = 6.0   // how far off the outline a notch may be drawn
	pairMM  = 10.0  // notches nearer than this are one double or triple notch
	longMM  = 100.0 // a notch is drawn across an allowance or two; of a longer line an end has slipped (common practice, no source)
	leastMM = 1.0   // nothing smaller is a drawn thing
	sameMM  = 1e-6  // points nearer than this are one point
)

// A piece is refused beyond these: they are far outside sewing, and keep
// hostile files from exhausting the machine.
const (
	maxPoints = 6000  // after flattening
	maxCurves = 1000  // of one outline
	maxMM     = 20000 // from the page's origin
)

// Make checks a draft and gives the whole piece, its outline the seam line. The
// error is an *Error.
func Make(d Draft) (*Piece, error) {
	if d.Name == "" {
		return nil, d.errorf("", "a piece has no name", "give its group an id, a label or a title")
	}
	outline, err := d.closedOutline()
	if err != nil {
		return nil, err
	}
	grain, notes, err := d.grain()
	if err != nil {
		return nil, err
	}
	count := max(1, d.Count)
	if d.Mirrored && count%2 != 0 {
		return nil, d.errorf("", fmt.Sprintf("mirrored: yes with cut: %d", count), "a mirrored piece is cut an even number of times, such as cut: 2")
	}
	p := &Piece{
		Name: d.Name, File: d.File, GrainDeg: grain,
		Count: count, Copy: 1, Mirrored: d.Mirrored, Side: d.Side, Fabrics: d.Fabrics, Kind: d.Kind, Use: d.Use, Lining: d.Lining, Optional: d.Optional, Ready: d.Ready, Notes: slices.Concat(d.Notes, notes),
	}
	stretches, err := d.stretches(outline)
	if err != nil {
		return nil, err
	}
	p.Outline = cutIntoEdges(outline, stretches, d.allowance())
	if notes, err = d.placeNotches(p.Outline); err != nil {
		return nil, err
	}
	p.Notes = append(p.Notes, notes...)
	for _, n := range d.Notches {
		if long := n.Line.Length(); long > longMM {
			p.Notes = append(p.Notes, fmt.Sprintf("%s: a notch, %s, is a line of %.0f mm; it counts where the line first meets the outline: check both its ends", d.Name, n.Element, long))
		}
	}
	if p.Darts, err = d.darts(outline); err != nil {
		return nil, err
	}
	if p.FishEyes, notes, err = d.fishEyes(outline, p.Darts); err != nil {
		return nil, err
	}
	p.Notes = append(p.Notes, notes...)
	for _, l := range d.Levels {
		if len(l.Line) == 0 {
			return nil, d.errorf(l.Element, "a level is a line, and this is a point", "draw it across the piece")
		}
		if !meets(l, outline) {
			return nil, d.errorf(l.Element, "the level lies outside the piece", "draw it across the piece, or group it with its own")
		}
		p.Levels = append(p.Levels, l.Line)
	}
	for _, k := range d.Keeps {
		if len(k.Line) == 0 {
			return nil, d.errorf(k.Element, "a keep zone is an outline or a line, and this is a point", "draw it round what no seam may cross")
		}
		if !meets(k, outline) {
			return nil, d.errorf(k.Element, "the keep zone lies outside the piece", "draw it on the piece, or group it with its own")
		}
		p.Keeps = append(p.Keeps, Keep{k.Line, k.Closed})
	}
	if err := p.unfold(d); err != nil {
		return nil, err
	}
	if d.TakeOff != nil {
		if err := d.TakeOff(p); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// meets reports whether a mark lies on the piece at least in part.
func meets(mark DraftLine, outline curve.Path) bool {
	from := mark.Line.Start()
	if _, away := outline.Nearest(from); away <= onMM || plane.Holds(outline.Flatten(curve.FlattenMM), from) {
		return true
	}
	return len(curve.Crossings(outline, mark.Line)) > 0 || mark.Closed && plane.Holds(mark.Line.Flatten(curve.FlattenMM), outline.Start())
}

func (d *Draft) allowance() float64 {
	if d.AllowanceMM < 0 {
		return DefaultAllowanceMM
	}
	return d.AllowanceMM
}

func (d *Draft) closedOutline() (curve.Path, error) {
	el := d.Outline.Element
	var path curve.Path
	curves := 0
	for _, s := range d.Outline.Line {
		for _, q := range []orb.Point{s.P0, s.C0, s.C1, s.P1} {
			if !finite(q) || math.Abs(q[0]) > maxMM || math.Abs(q[1]) > maxMM {
				return nil, d.errorf(el, fmt.Sprintf("a coordinate is not a number or beyond %d m", maxMM/1000), "check the drawing's units and scale")
			}
		}
		if s.Length() <= sameMM {
			continue
		}
		if len(path) > 0 {
			s.P0 = path.End()
		}
		path = append(path, s)
		if s.Curved {
			curves++
		}
	}
	if len(path) == 0 {
		return nil, d.errorf(el, "the outline has no length", "draw a closed outline")
	}
	gap := plane.Distance(path.End(), path.Start())
	if gap > closeMM && !d.Outline.Closed {
		return nil, d.errorf(el, fmt.Sprintf("the outline is open: its ends are %.1f mm apart", gap), "close the path in the drawing")
	}
	if gap > closeMM {
		path = append(path, curve.Line(path.End(), path.Start()))
	} else {
		path[len(path)-1].P1 = path.Start()
	}
	if n := path.FlattenedLen(curve.FlattenMM); n > maxPoints {
		return nil, d.errorf(el, fmt.Sprintf("the outline has %d points", n), fmt.Sprintf("simplify the path to under %d", maxPoints))
	}
	if curves > maxCurves {
		return nil, d.errorf(el, fmt.Sprintf("the outline has %d curves", curves), fmt.Sprintf("simplify the path to under %d", maxCurves))
	}
	path = path.WithoutHairs(curve.HairMM)
	ring := orb.Ring(path.Flatten(curve.FlattenMM))
	ring = ring[:len(ring)-1]
	area := plane.SignedArea(ring)
	if math.Abs(area) < leastMM*leastMM && Flat(ring, leastMM) {
		return nil, d.errorf(el, "the outline encloses no area", "draw the outline of the whole piece, and check the drawing's units")
	}
	if at, spiked := Spike(ring); spiked {
		return nil, d.errorf(el, fmt.Sprintf("the outline has a hairline spike at x %.1f mm, y %.1f mm", at[0], at[1]), "delete that point in the drawing")
	}
	at, crossed := SelfCrossing(ring)
	if !crossed {
		at, crossed = Neck(ring, hairMM)
	}
	if crossed {
		return nil, d.errorf(el, fmt.Sprintf("the outline crosses or touches itself near x %.1f mm, y %.1f mm", at[0], at[1]), "redraw it as one line that never crosses itself")
	}
	if area < 0 {
		path = path.Reverse()
	}
	return path, nil
}

func (d *Draft) grain() (deg float64, notes []string, err error) {
	switch {
	case len(d.Grains) > 1:
		return 0, nil, d.errorf(d.Grains[1].Element, "a second grainline", "keep one")
	case len(d.Grains) == 1:
		g := d.Grains[0]
		if len(g.Line) == 0 || plane.Distance(g.Line.Start(), g.Line.End()) < leastMM {
			return 0, nil, d.errorf(g.Element, "the grainline has no length", "draw it at least 1 mm long, along the grain")
		}
		a, b := g.Line.Start(), g.Line.End()
		return math.Atan2(b[1]-a[1], b[0]-a[0]) * 180 / math.Pi, nil, nil
	case d.Bare:
		return 90, []string{fmt.Sprintf("%s: a bare outline: its grain is taken as vertical, and it is cut %s", d.Name, times(d.Count))}, nil
	}
	return 0, nil, d.errorf("", "the piece has no grainline", "draw a straight line along the grain and name it grain")
}

func times(count int) string {
	if count <= 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", count)
}

func (d *Draft) darts(outline curve.Path) ([]Dart, error) {
	ring := orb.Ring(outline.Flatten(curve.FlattenMM))
	var out []Dart
	for _, l := range d.Darts {
		if l.isLoop() {
			continue // it has two points
		}
		l.Line = slices.DeleteFunc(slices.Clone(l.Line), func(s curve.Segment) bool { return s.Length() <= sameMM })
		if len(l.Line) != 2 {
			return nil, d.errorf(l.Element, "a dart is an open path of three points, or a closed path of four", "draw it from the leg's end to the apex to the other leg's end; one with two points inside the piece is a closed path: apex, widest place, apex, widest place")
		}
		dart := Dart{Leg1: l.Line[0].P0, Apex: l.Line[0].P1, Leg2: l.Line[1].P1}
		for _, end := range []*orb.Point{&dart.Leg1, &dart.Leg2} {
			along, away := outline.Nearest(*end)
			if away > snapMM {
				return nil, d.errorf(l.Element, fmt.Sprintf("a dart leg ends %.1f mm off the outline", away), "end both legs on the outline")
			}
			*end, _ = outline.At(along)
		}
		if plane.Distance(dart.Leg1, dart.Leg2) < leastMM || plane.Distance(dart.Leg1, dart.Apex) < leastMM || plane.Distance(dart.Leg2, dart.Apex) < leastMM {
			return nil, d.errorf(l.Element, "the dart has no width or no length", "draw leg, apex and leg at three different places")
		}
		if !planar.RingContains(ring, dart.Apex) {
			if _, away := outline.Nearest(dart.Apex); away > onMM {
				return nil, d.errorf(l.Element, fmt.Sprintf("the dart's apex is %.1f mm outside the outline", away), "draw leg, apex and leg in this order")
			}
		}
		for _, o := range out {
			if segmentsCross(o.Leg1, o.Apex, dart.Leg1, dart.Apex) || segmentsCross(o.Leg1, o.Apex, dart.Leg2, dart.Apex) ||
				segmentsCross(o.Leg2, o.Apex, dart.Leg1, dart.Apex) || segmentsCross(o.Leg2, o.Apex, dart.Leg2, dart.Apex) {
				return nil, d.errorf(l.Element, "two darts cross", "move one so that their legs do not meet")
			}
			if planar.RingContains(o.ring(), dart.Apex) || planar.RingContains(dart.ring(), o.Apex) {
				return nil, d.errorf(l.Element, "a dart lies within another", "keep one of the two")
			}
		}
		out = append(out, dart)
	}
	return out, nil
}

func finite(q orb.Point) bool {
	return !math.IsNaN(q[0]) && !math.IsInf(q[0], 0) && !math.IsNaN(q[1]) && !math.IsInf(q[1], 0)
}
