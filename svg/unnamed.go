package svg

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// What is drawn without a name that is known is drawing only, but for what can hardly
// be anything else: a closed line on a scrap is a hole. To lose a little cloth is less
// than to cut a part across one.

const onlyDrawing = "or hide or remove it, if it is only drawing"

// mostUnnamed is how many closed lines without a name are taken for holes of a scrap;
// more are its print.
const mostUnnamed = 40

// unnamedHoles are the closed lines on a scrap that have no known name, to be taken
// for holes, and what to say of them; left are those of its shapes without a name that
// are not read and of which nothing is said.
func (r *markReader) unnamedHoles(f found, outline orb.Ring, grains []mark) (holes []mark, left []*node, notes []string, err error) {
	var ends []orb.Point // of the grainline
	var longMM float64
	for _, m := range grains {
		subs, err := r.lines(m)
		if err != nil {
			return nil, nil, nil, err
		}
		for _, sub := range subs {
			if len(sub.line) > 0 {
				ends, longMM = append(ends, sub.line.Start(), sub.line.End()), max(longMM, sub.line.Length())
			}
		}
	}
	whole := math.Abs(plane.SignedArea(outline))
	for _, n := range f.plain {
		subs, err := r.d.lines(n)
		if err != nil {
			return nil, nil, nil, r.d.errorf(n.el, err.Error(), "redraw it, or remove it")
		}
		said := false
		for _, sub := range subs {
			ring := distinct(sub.line.Flatten(scrapFlattenMM))
			if !sub.looped() || len(ring) < 3 || piece.Flat(ring, 1) || arrowHead(ring, ends, longMM) || !touches(ring, outline) {
				continue
			}
			area := math.Abs(plane.SignedArea(ring))
			switch {
			case same(ring.Bound(), outline.Bound()) && area > 0.98*whole: // the outline once more, as for its colour
			case area > whole/2:
				notes = append(notes, fmt.Sprintf("%s: %s, a closed line without a known name, takes up more than half of it and is not read; name it hole if there is no cloth within it", f.name, n.el.called()))
			default:
				holes = append(holes, mark{meaning: meaning{word: "hole"}, n: n, sub: &sub})
			}
			said = true
		}
		if !said {
			left = append(left, n)
		}
	}
	if len(holes) > mostUnnamed {
		notes = append(notes, fmt.Sprintf("%s: %d closed lines inside it have no known name, and are not read; name those hole or flaw that are", f.name, len(holes)))
		return nil, left, notes, nil
	}
	return holes, left, append(notes, f.takenForHoles(holes)...), nil
}

// arrowHead reports whether a ring is small beside a grainline and at its end.
func arrowHead(ring orb.Ring, ends []orb.Point, grainMM float64) bool {
	const share, hairMM = 0.2, 1.0
	b := ring.Bound()
	return math.Hypot(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) <= share*grainMM && slices.ContainsFunc(ends, b.Pad(hairMM).Contains)
}

// touches reports whether any of what a ring encloses is within the outline.
func touches(ring, outline orb.Ring) bool {
	if !ring.Bound().Intersects(outline.Bound()) {
		return false
	}
	if planar.RingContains(outline, ring[0]) || planar.RingContains(ring, outline[0]) {
		return true
	}
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		for j, c := range outline {
			if apartBy(a, b, c, outline[(j+1)%len(outline)]) == 0 {
				return true
			}
		}
	}
	return false
}

// same reports whether two boxes are one but for a millimetre at each side.
func same(a, b orb.Bound) bool {
	const sameMM = 1.0
	return plane.Distance(a.Min, b.Min) <= sameMM && plane.Distance(a.Max, b.Max) <= sameMM
}

// in reports whether a node is another or lies within it.
func (n *node) in(other *node) bool {
	for ; n != nil; n = n.parent {
		if n == other {
			return true
		}
	}
	return false
}

// unexplained are those of some shapes of which nothing else is said: neither they
// nor a group of theirs is almost named as a mark is.
func (f found) unexplained(w words, shapes []*node) []*node {
	var out []*node
	for _, n := range shapes {
		said := false
		for a := n; a != nil && (len(f.groups) == 0 || a != f.groups[0]); a = a.parent {
			meant, _ := w.meant(a.el)
			said = said || meant != ""
		}
		if !said {
			out = append(out, n)
		}
	}
	return out
}

// takenForHoles says which shapes of a scrap were taken for holes.
func (f found) takenForHoles(holes []mark) []string {
	var names []string
	for i, m := range holes {
		if i == 0 || m.n != holes[i-1].n {
			names = append(names, m.n.el.called())
		}
	}
	switch len(names) {
	case 0:
		return nil
	case 1:
		return []string{fmt.Sprintf("%s: %s, a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none", f.name, names[0])}
	}
	return []string{fmt.Sprintf("%s: %s, closed lines without a known name, are taken for holes; name them hole or flaw, or hide or remove those that are none", f.name, few(names))}
}

// nested gives a bare shape that lies inside a scrap's outline to that scrap: a
// hole that is drawn beside its group. Of two bare ones neither can be known to
// be cloth.
func (d *drawing) nested(all []found) ([]found, error) {
	if len(all) < 2 || !slices.ContainsFunc(all, func(f found) bool { return f.bare }) {
		return all, nil
	}
	rims := make([]orb.Ring, len(all))
	for i, f := range all {
		r := markReader{d: d, name: f.name}
		k := slices.IndexFunc(f.marks, func(m mark) bool { return m.word == "outline" })
		var err error
		if _, rims[i], err = r.ring(f.marks[k]); err != nil {
			return nil, err
		}
	}
	inside := func(i, j int) bool {
		in, out := rims[i].Bound(), rims[j].Bound()
		return i != j && out.Contains(in.Min) && out.Contains(in.Max) && strictlyInside(rims[i], rims[j])
	}
	holes := map[int]bool{}
	for i, f := range all {
		within := -1
		for j := range all {
			if f.bare && (within < 0 || all[within].bare) && inside(i, j) {
				within = j
			}
		}
		switch {
		case within < 0:
		case all[within].bare:
			return nil, d.errorf(f.marks[0].n.el, fmt.Sprintf("it lies inside the outline of %s, and no word says which of the two is cloth", all[within].marks[0].n.el),
				"name the cloth outline and what is missing from it hole, both in one group; draw scraps beside each other")
		default:
			all[within].plain = append(all[within].plain, f.marks[0].n)
			holes[i] = true
		}
	}
	var out []found
	for i, f := range all {
		if !holes[i] {
			out = append(out, f)
		}
	}
	return out, nil
}

// unknown gathers the shapes of a drawing that no word speaks of and that are not
// read, for one note.
type unknown struct {
	things []string // the pieces or scraps they are in
	shapes [][]string
}

func (u *unknown) add(thing string, shapes []*node) {
	if len(shapes) == 0 {
		return
	}
	var names []string
	for _, n := range shapes {
		names = append(names, n.el.called())
	}
	u.things, u.shapes = append(u.things, thing), append(u.shapes, names)
}

// note names them, the first of each.
func (u *unknown) note(file, cure string) []string {
	const most = 6
	if len(u.things) == 0 {
		return nil
	}
	var said []string
	more := 0
	for i, names := range u.shapes {
		if i < most {
			said = append(said, u.things[i]+": "+few(names))
		} else {
			more += len(names)
		}
	}
	if more > 0 {
		said = append(said, fmt.Sprintf("and %d elsewhere", more))
	}
	return []string{fmt.Sprintf("%s: not read, for they have no known name: %s. %s", file, strings.Join(said, "; "), cure)}
}

// The classes of what is only drawing in the files that eke writes; those of a
// part on a scrap have laid before them.
var ourClasses = words{"outer", "snip", "tip", "ring", "arrow", "leg", "leader", "hatch", "stripe"}

// ourDrawing reports whether an element is drawn as in one of eke's own files, and
// means nothing.
func (n *node) ourDrawing() bool {
	for ; n != nil; n = n.parent {
		if class := n.el.get("class"); ourClasses.has(class) || class == "laid" || strings.HasPrefix(class, "laid-") {
			return true
		}
	}
	return false
}

// called is the element as a note tells it: where nothing else names it, its class.
func (e *element) called() string {
	s, class := e.String(), clean(cut(e.get("class")))
	if class == "" || strings.HasSuffix(s, `"`) {
		return s
	}
	return fmt.Sprintf("%s, %q", s, class)
}

// few are the first of some names, and how many more there are.
func few(names []string) string {
	const most = 3
	if len(names) > most+1 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	if len(names) > 1 {
		return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
	}
	return strings.Join(names, "")
}
