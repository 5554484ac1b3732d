package svg

import (
	"fmt"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
)

// More than mostUnnamed closed lines without a name that are less than smallMM wide and
// high are a scrap's print, and none of them is taken for a hole.
const (
	mostUnnamed = 40
	smallMM     = 20.0
)

// unnamed sorts the closed lines on a scrap that have no known name.
type unnamed struct {
	r       *markReader
	outline orb.Ring
	arrows  []arrow
	large   []mark
	small   []mark
	notes   []string
	pairs   int // of sides, looked at for all of them
}

// unnamedHoles are the closed lines on a scrap that have no known name, to be taken
// for holes, and what to say of them; left are those of its shapes without a name that
// are not read and of which nothing is said.
func (r *markReader) unnamedHoles(f found, outline orb.Ring, grains []mark) (holes []mark, left []*node, notes []string, err error) {
	u := unnamed{r: r, outline: outline}
	if u.arrows, err = r.arrows(grains); err != nil {
		return nil, nil, nil, err
	}
	for _, n := range f.plain {
		subs, err := r.d.lines(n)
		if err != nil {
			return nil, nil, nil, r.d.errorf(n.el, err.Error(), "redraw it, or remove it")
		}
		said := false
		for _, sub := range subs {
			one, err := u.line(n, sub)
			if err != nil {
				return nil, nil, nil, err
			}
			said = said || one
		}
		if !said {
			left = append(left, n)
		}
	}
	if len(u.large) > maxMarks {
		return nil, nil, nil, r.errorf(u.large[0], fmt.Sprintf("the scrap has more than %d closed lines without a known name that are %.0f mm or larger", maxMarks, smallMM), "draw what is missing from it as fewer lines")
	}
	if len(u.small) > mostUnnamed {
		names := called(u.small)
		u.notes = append(u.notes, fmt.Sprintf("%s: more than %d closed lines on it that are less than %.0f mm wide and high have no known name, and none of them is read, such as %s; name those hole or flaw that are", r.name, mostUnnamed, smallMM, few(names[:min(3, len(names))])))
		u.small = nil
	}
	// In the order drawn.
	holes = append(u.large, u.small...)
	slices.SortStableFunc(holes, func(a, b mark) int { return a.n.order - b.n.order })
	return holes, left, append(u.notes, f.takenForHoles(holes)...), nil
}

// line sorts one line of a shape, and reports whether anything is said of it.
func (u *unnamed) line(n *node, sub subpath) (said bool, err error) {
	m := mark{meaning: meaning{word: "hole"}, n: n, sub: &sub}
	if !sub.looped() || !hull(sub.line).Intersects(u.outline.Bound()) {
		return false, nil
	}
	if points := sub.line.FlattenedLen(scrapFlattenMM); points > maxScrapPoints {
		return false, u.r.errorf(m, fmt.Sprintf("this closed line has %d points", points), fmt.Sprintf("simplify the path to under %d", maxScrapPoints))
	}
	ring := distinct(sub.line.Flatten(scrapFlattenMM))
	if len(ring) < 3 || piece.Flat(ring, 1) || slices.ContainsFunc(u.arrows, func(a arrow) bool { return a.drawnBy(sub.line, ring) }) {
		return false, nil
	}
	box := ring.Bound()
	small := box.Max[0]-box.Min[0] < smallMM && box.Max[1]-box.Min[1] < smallMM
	if small && len(u.small) > mostUnnamed {
		return true, nil
	}
	if rim, ok := u.outerRim(sub.line, ring); ok {
		ring = rim
		m.sub = &subpath{at: rim[0], line: curve.Polyline(append(slices.Clone(rim), rim[0])...), closed: true}
	}
	on, err := u.on(m, ring)
	if !on || err != nil {
		return false, err
	}
	area, whole := plane.Area(ring), plane.Area(u.outline)
	switch {
	case same(ring.Bound(), u.outline.Bound()) && area > 0.98*whole: // the outline once more, as for its colour
	case area > whole/2:
		note := fmt.Sprintf("%s: %s, a closed line without a known name, takes up more than half of it and is not read; name it hole if there is no cloth within it", u.r.name, n.el.called())
		if !slices.Contains(u.notes, note) {
			u.notes = append(u.notes, note)
		}
	case small:
		u.small = append(u.small, m)
	default:
		u.large = append(u.large, m)
	}
	return true, nil
}

// on reports whether what a ring encloses takes anything of the outline. A side that
// both share takes nothing.
func (u *unnamed) on(m mark, ring orb.Ring) (bool, error) {
	if !ring.Bound().Intersects(u.outline.Bound()) {
		return false, nil
	}
	sides := sidesNear(u.outline, ring.Bound())
	if u.pairs += len(u.outline) + len(ring)*len(sides); u.pairs > maxHolePairs {
		return false, u.r.errorf(m, fmt.Sprintf("the outline has %d points, and with this line the closed lines without a known name have too many", len(u.outline)), "simplify their paths")
	}
	if !anyNearer(ring, sides, 0) {
		return planar.RingContains(u.outline, ring[0]) || planar.RingContains(ring, u.outline[0]), nil
	}
	a, errA := polygon(ring)
	b, errB := polygon(u.outline)
	both, err := geom.Intersection(a, b)
	if errA != nil || errB != nil || err != nil {
		return true, nil // cutHoles says what is wrong with it
	}
	round := orb.LineString(append(slices.Clone(ring), ring[0]))
	return both.Area() > 2*scrapFlattenMM*planar.Length(round), nil
}

// outerRim is the line round all that a line encloses that crosses or touches itself,
// as much wider as it is rougher; not ok where it does not, or would take too long.
func (u *unnamed) outerRim(line curve.Path, fine orb.Ring) (rim orb.Ring, ok bool) {
	const (
		widerMM  = 0.2
		most     = 200 // points
		pairCost = 200 // of a buffer, for each pair of sides that may cross, beside a look at two boxes
	)
	_, spiked := piece.Spike(fine)
	_, crossed := piece.SelfCrossing(fine)
	if !spiked && !crossed || line.FlattenedLen(widerMM) > most {
		return nil, false
	}
	ring := distinct(line.Flatten(widerMM))
	cost := pairCost * len(ring) * len(ring)
	if len(ring) < 3 || u.pairs+cost > maxHolePairs {
		return nil, false
	}
	u.pairs += cost
	xy := make([]float64, 0, 2*len(ring)+2)
	for i := range len(ring) + 1 {
		xy = append(xy, ring[i%len(ring)][0], ring[i%len(ring)][1])
	}
	sides := geom.NewLineString(geom.NewSequence(xy, geom.DimXY))
	round, err := geom.Buffer(sides.AsGeometry(), widerMM, geom.BufferJoinStyleBevel())
	if err != nil {
		return nil, false
	}
	p, isPolygon := round.AsPolygon()
	if !isPolygon || p.IsEmpty() {
		return nil, false
	}
	return ringOf(p.ExteriorRing()), true
}

// arrow is a line of a grainline, which may have its shaft and heads drawn as closed lines.
type arrow struct {
	from, to orb.Point
	longMM   float64
}

func (r *markReader) arrows(grains []mark) ([]arrow, error) {
	var out []arrow
	for _, m := range grains {
		subs, err := r.lines(m)
		if err != nil {
			return nil, err
		}
		for _, sub := range subs {
			if len(sub.line) > 0 {
				out = append(out, arrow{sub.line.Start(), sub.line.End(), sub.line.Length()})
			}
		}
	}
	longest := 0.0
	for _, a := range out {
		longest = max(longest, a.longMM)
	}
	for i := range out {
		out[i].longMM = longest
	}
	return out, nil
}

// drawnBy reports whether a closed line is a head of the arrow or its shaft: a head is
// small and at an end of it, a shaft slender and along it, and both have few corners
// and straight sides.
func (a arrow) drawnBy(line curve.Path, ring orb.Ring) bool {
	const (
		headShare, headMM, headCorners            = 0.2, 30.0, 7
		shaftShare, shaftHalfMM, slender, corners = 0.5, 3.0, 10, 12
		hairMM                                    = 1.0
	)
	if len(ring) > corners || slices.ContainsFunc(line, func(s curve.Segment) bool { return s.Curved }) {
		return false
	}
	b := ring.Bound()
	across := plane.Distance(b.Min, b.Max)
	if at := b.Pad(hairMM); len(ring) <= headCorners && across <= headShare*a.longMM && max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) <= headMM && (at.Contains(a.from) || at.Contains(a.to)) {
		return true
	}
	return across >= shaftShare*a.longMM && plane.Area(ring) <= across*across/slender &&
		!slices.ContainsFunc(ring, func(q orb.Point) bool { return plane.ToSegment(q, a.from, a.to) > shaftHalfMM })
}

// hull is a box that holds a line.
func hull(line curve.Path) orb.Bound {
	b := line[0].P0.Bound()
	for _, s := range line {
		b = b.Extend(s.P0).Extend(s.C0).Extend(s.C1).Extend(s.P1)
	}
	return b
}

// same reports whether two boxes are one but for a millimetre at each side.
func same(a, b orb.Bound) bool {
	const sameMM = 1.0
	return plane.Distance(a.Min, b.Min) <= sameMM && plane.Distance(a.Max, b.Max) <= sameMM
}
