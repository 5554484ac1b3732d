package svg

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// What is drawn without a name that is known is drawing only, but for what can hardly
// be anything else: cloth that is not there would be cut, and a dart not sewn.

// mostUnnamed is how many closed lines without a name are taken for holes of a scrap;
// more are its print.
const mostUnnamed = 40

// madeUpClass is a class that drawing programs give for the style of a shape.
var madeUpClass = regexp.MustCompile(`^(cls-|st|fil|str)[0-9]+$`)

// unnamedHoles are the closed lines inside a scrap that have no known name, to be taken
// for holes, and what to say of them. A class of its own says that it is something else,
// as the parts on a layout are. One that fills more than half of the scrap is an
// outline drawn twice, or lies at some distance from it.
func (r *markReader) unnamedHoles(f found, rim orb.Ring) (holes []mark, notes []string) {
	var called []string
	classed := func(n *node) bool {
		for ; n != nil && !slices.Contains(f.groups, n); n = n.parent {
			if slices.ContainsFunc(strings.Fields(n.el.get("class")), func(c string) bool { return !madeUpClass.MatchString(c) }) {
				return true
			}
		}
		return false
	}
	whole := math.Abs(plane.SignedArea(rim))
	for _, p := range f.plain {
		if meant, _ := scrapWords.meant(p.n.el); meant != "" || classed(p.n) {
			continue // of the one a note says that it is not read
		}
		m := mark{meaning: meaning{word: "hole"}, n: p.n}
		subs, err := r.d.lines(p.n)
		if err != nil || len(subs) != 1 || !subs[0].looped() {
			continue
		}
		ring := distinct(subs[0].line.Flatten(scrapFlattenMM))
		if area := math.Abs(plane.SignedArea(ring)); area < 1 || area > whole/2 || !strictlyInside(ring, rim) {
			continue
		}
		if _, _, err := r.ring(m); err != nil {
			continue
		}
		holes, called = append(holes, m), append(called, p.n.el.String())
	}
	switch {
	case len(holes) == 0:
		return nil, nil
	case len(holes) > mostUnnamed:
		return nil, []string{fmt.Sprintf("%s: %d closed lines inside it have no known name, and are not read; name those hole or flaw that are", f.name, len(holes))}
	case len(holes) == 1:
		return holes, []string{fmt.Sprintf("%s: %s, a closed line inside it without a known name, is taken for a hole; name it hole or flaw, or move it out of its group if it is none", f.name, called[0])}
	}
	return holes, []string{fmt.Sprintf("%s: %s, closed lines inside it without a known name, are taken for holes; name them hole or flaw, or move those out of its group that are none", f.name, list(called))}
}

// unnamedDarts notes what looks like a dart of a piece and has no known name: a V that
// opens on the outline, or a slender closed line of four corners inside it.
func (r *markReader) unnamedDarts(f found, outline curve.Path) (notes []string) {
	ring := orb.Ring(outline.Flatten(curve.FlattenMM))
	inside := func(q orb.Point) bool { return planar.RingContains(plane.Close(ring), q) }
	onOutline := func(q orb.Point) bool {
		const onMM = 1.0
		_, away := outline.Nearest(q)
		return away <= onMM
	}
	for _, p := range f.plain {
		subs, err := r.d.lines(p.n)
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
			looks = onOutline(a) && onOutline(b) && inside(apex) && !onOutline(apex) && turn > 1 && turn < 60
		}
		if meant, _ := patternWords.meant(p.n.el); looks && meant == "" {
			notes = append(notes, fmt.Sprintf("%s: %s looks like a dart and has no known name, so it is not read; name it dart if it is one", f.name, p.n.el))
		}
	}
	return notes
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
