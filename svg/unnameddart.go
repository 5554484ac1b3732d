package svg

import (
	"fmt"
	"math"
	"slices"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// unnamedDarts notes what looks like a dart of a piece and has no known name: a V that
// opens on the outline, or a slender closed line of four corners inside it. others are
// the shapes without a name that do not. A V that is less deep is a notch.
func (r *markReader) unnamedDarts(f found, outline curve.Path) (others []*node, notes []string) {
	ring := orb.Ring(outline.Flatten(curve.FlattenMM))
	inside := func(q orb.Point) bool { return planar.RingContains(plane.Close(ring), q) }
	onOutline := func(q orb.Point) bool {
		const onMM = 1.0
		_, away := outline.Nearest(q)
		return away <= onMM
	}
	const leastDeepMM = 15.0 // common practice, no source
	for _, n := range f.plain {
		others = append(others, n)
		subs, err := r.d.lines(n)
		if err != nil || len(subs) != 1 || slices.ContainsFunc(subs[0].line, func(s curve.Segment) bool { return s.Curved }) {
			continue
		}
		var corners []orb.Point
		for _, s := range subs[0].line {
			corners = append(corners, s.P0)
		}
		looks := false
		switch {
		case len(corners) == 4 && subs[0].looped():
			looks = slender(corners) && !slices.ContainsFunc(corners, func(q orb.Point) bool { return !inside(q) })
		case len(corners) == 2:
			a, apex, b := corners[0], corners[1], subs[0].line.End()
			turn := math.Abs(plane.TurnDeg(plane.Sub(a, apex), plane.Sub(b, apex)))
			deep := planar.DistanceFromSegment(a, b, apex) >= leastDeepMM
			looks = onOutline(a) && onOutline(b) && inside(apex) && !onOutline(apex) && deep && turn > 1 && turn < 60
		}
		if meant, _ := patternWords.meant(n.el); looks && meant == "" {
			others = others[:len(others)-1]
			notes = append(notes, fmt.Sprintf("%s: %s looks like a dart and has no known name, so it is not read; name it dart if it is one", f.name, n.el))
		}
	}
	return others, notes
}

// slender reports whether four corners are those of a dart with two points: about as
// long again as wide at least, and no rectangle.
func slender(c []orb.Point) bool {
	long, wide := plane.Distance(c[0], c[2]), plane.Distance(c[1], c[3])
	if long < wide {
		long, wide = wide, long
	}
	return long > 2*wide && wide > 1
}
