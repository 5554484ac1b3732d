package svg

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// drawing is a file as a viewer would paint it.
type drawing struct {
	file     string
	byID     map[string]*element
	rules    []rule // lightest first, as later ones prevail
	drawn    int    // elements painted so far
	segments int    // line segments read so far
	page     page
	hidden   []*node // what is out of sight: each where that begins
}

// node is an element in the place where it is painted. An element that is
// used twice is two nodes.
type node struct {
	el       *element
	parent   *node
	children []*node
	order    int          // in which it is painted
	toMM     curve.Matrix // from its user units to the page
	viewport orb.Point    // the nearest viewport's size, in user units
	visible  bool
	unnamed  bool // painted by a `use` with a name of its own
}

// group reports whether n holds other elements rather than drawing itself.
func (n *node) group() bool { return !shapes[n.el.name] }

// open reads a file and paints it: the root's node.
func open(root *element, file string) (*drawing, *node, error) {
	d := &drawing{file: file, byID: map[string]*element{}}
	d.index(root)
	if len(d.rules) > maxRules {
		return nil, nil, d.errorf(root, fmt.Sprintf("its style sheets have more than %d rules that place or hide things", maxRules), "save it from the drawing program as plain SVG")
	}
	sort.SliceStable(d.rules, func(i, j int) bool { return d.rules[i].weight < d.rules[j].weight })
	page, problem, cure := pageOf(root)
	if problem != "" {
		return nil, nil, &piece.Error{File: file, Problem: problem, Cure: cure}
	}
	if t := d.property(root, "transform"); t != "" && t != "none" {
		return nil, nil, &piece.Error{File: file, Problem: "the whole page is transformed", Cure: "transform its groups instead"}
	}
	d.page = page
	top := &node{el: root, toMM: page.toMM, viewport: page.viewport, visible: true}
	return d, top, d.paintChildren(top, root.children, nil)
}

// pageNotes say what was assumed about the page. Where a transform scales an outline, its
// px are no longer those that a missing viewBox leaves in doubt.
func (d *drawing) pageNotes(all []found, outlines words) []string {
	note := d.page.note
	area := func(m curve.Matrix) float64 { return math.Abs(m[0]*m[3] - m[1]*m[2]) }
	scaled := func(m mark) bool {
		return outlines.has(m.word) && math.Abs(area(m.n.toMM)/area(d.page.toMM)-1) > 1e-6
	}
	if note == "" && !slices.ContainsFunc(all, func(f found) bool { return slices.ContainsFunc(f.marks, scaled) }) {
		note = d.page.pxNote
	}
	if note == "" {
		return nil
	}
	return []string{d.file + ": " + note}
}

func (d *drawing) errorf(e *element, problem, cure string) error {
	return &piece.Error{File: d.file, Element: e.String(), Problem: problem, Cure: cure}
}

// index notes every id, the first of each, and every style rule.
func (d *drawing) index(e *element) {
	if id := e.get("id"); id != "" && d.byID[id] == nil {
		d.byID[id] = e
	}
	if e.name == "style" {
		d.rules = append(d.rules, styleRules(string(e.text))...)
	}
	for _, c := range e.children {
		d.index(c)
	}
}

func (d *drawing) paintChildren(n *node, children []*element, uses []*element) error {
	for _, c := range children {
		if err := d.paint(n, c, uses); err != nil {
			return err
		}
	}
	return nil
}

// paint adds e to its parent's children, unless it is hidden or nothing that
// is painted in place. uses are the `use` elements being followed.
func (d *drawing) paint(parent *node, e *element, uses []*element) error {
	switch e.name {
	case "g", "a", "svg", "switch", "use":
	default:
		if !shapes[e.name] {
			return nil
		}
	}
	if d.drawn++; d.drawn > maxDrawn {
		return d.errorf(e, fmt.Sprintf("the drawing has more than %d elements once every use is followed", maxDrawn), "keep only the pattern pieces in it")
	}
	if d.property(e, "display") == "none" {
		d.hidden = append(d.hidden, &node{el: e, parent: parent})
		return nil
	}
	n := &node{el: e, parent: parent, order: d.drawn, toMM: parent.toMM, viewport: parent.viewport, visible: parent.visible}
	switch d.property(e, "visibility") {
	case "hidden", "collapse":
		n.visible = false
	case "visible":
		n.visible = true
	}
	if err := d.place(n); err != nil {
		return d.errorf(e, err.Error(), "simplify it in the drawing program")
	}
	if n.group() || n.visible {
		parent.children = append(parent.children, n)
	} else {
		d.hidden = append(d.hidden, n)
	}
	switch e.name {
	case "g", "a":
		return d.paintChildren(n, e.children, uses)
	case "switch":
		for _, c := range e.children {
			if c.get("requiredExtensions") == "" && c.name != "foreignObject" {
				return d.paint(n, c, uses)
			}
		}
	case "svg":
		sized := e
		if parent.el.name == "use" {
			sized = parent.el
		}
		if err := d.enter(n, e, sized); err != nil {
			return d.errorf(e, err.Error(), "simplify it in the drawing program")
		}
		return d.paintChildren(n, e.children, uses)
	case "use":
		return d.follow(n, uses)
	}
	return nil
}

// place applies an element's transform.
func (d *drawing) place(n *node) error {
	s := d.property(n.el, "transform")
	if s == "" {
		return nil
	}
	m, err := transforms(s, n.viewport)
	if err != nil {
		return err
	}
	at, err := origin(d.property(n.el, "transform-origin"), n.viewport)
	if err != nil {
		return err
	}
	n.toMM = curve.Shift(-at[0], -at[1]).Then(m).Then(curve.Shift(at[0], at[1])).Then(n.toMM)
	return nil
}

// enter makes n the viewport that the svg or symbol element e sets up. Its
// size is what sized gives, else e's own, else all of the outer one.
func (d *drawing) enter(n *node, e, sized *element) error {
	get := func(name string, whole float64, from ...*element) (float64, error) {
		for _, el := range from {
			if s := d.property(el, name); s != "" && s != "auto" {
				x, err := length(s, whole)
				if err != nil {
					return 0, fmt.Errorf("%s: %v", name, err)
				}
				return x, nil
			}
		}
		return whole, nil
	}
	w, err := get("width", n.viewport[0], sized, e)
	if err != nil {
		return err
	}
	h, err := get("height", n.viewport[1], sized, e)
	if err != nil {
		return err
	}
	if e.name == "svg" {
		if err := d.shift(n, e); err != nil {
			return err
		}
	}
	box, err := viewBox(e.get("viewBox"))
	if err != nil {
		return err
	}
	n.viewport = orb.Point{w, h}
	if box != nil {
		n.toMM = fitViewBox(*box, e.get("preserveAspectRatio"), w, h).Then(n.toMM)
		n.viewport = orb.Point{box.Max[0] - box.Min[0], box.Max[1] - box.Min[1]}
	}
	return nil
}

// shift moves n by e's x and y.
func (d *drawing) shift(n *node, e *element) error {
	get := lengths{d: d, n: &node{el: e, viewport: n.viewport}}
	n.toMM = curve.Shift(get.x("x"), get.y("y")).Then(n.toMM)
	return get.err
}

// follow paints what a `use` refers to.
func (d *drawing) follow(n *node, uses []*element) error {
	e := n.el
	href, given := e.lookup("href")
	if !given {
		href = e.get("xlink:href")
	}
	if href == "" {
		return nil
	}
	id, local := strings.CutPrefix(strings.TrimSpace(href), "#")
	if !local {
		return d.errorf(e, fmt.Sprintf("it uses %q from another file", start(href)), "copy what it shows into this drawing")
	}
	to := d.byID[id]
	if to == nil {
		return d.errorf(e, fmt.Sprintf("it uses %q, which is not in the drawing", start(id)), "unlink the clone, or remove it")
	}
	for _, u := range uses {
		if u == e {
			return d.errorf(e, "it uses itself", "unlink the clone")
		}
	}
	uses = append(uses[:len(uses):len(uses)], e)
	if len(uses) > maxUses {
		return d.errorf(e, fmt.Sprintf("uses follow one another more than %d deep", maxUses), "unlink the clones")
	}
	if err := d.shift(n, e); err != nil {
		return d.errorf(e, err.Error(), "simplify it in the drawing program")
	}
	before := len(n.children)
	switch to.name {
	case "symbol":
		inner := &node{el: to, parent: n, order: n.order, toMM: n.toMM, viewport: n.viewport, visible: n.visible}
		if err := d.enter(inner, to, e); err != nil {
			return d.errorf(to, err.Error(), "simplify it in the drawing program")
		}
		n.children = append(n.children, inner)
		if err := d.paintChildren(inner, to.children, uses); err != nil {
			return err
		}
	default:
		if err := d.paint(n, to, uses); err != nil {
			return err
		}
	}
	for _, c := range n.children[before:] {
		c.unnamed = c.unnamed || realName(n) != "" || namesItsOnly(n.parent)
	}
	return nil
}

// namesItsOnly reports whether a group has a name that is meant for the only thing in
// it that may be more than a shape, as for a `use`. A layer's name is its own.
func namesItsOnly(n *node) bool {
	if n == nil || n.el.name != "g" || realName(n) == "" || n.el.get("inkscape:groupmode") == "layer" {
		return false
	}
	more := 0
	for _, c := range n.el.children {
		switch c.name {
		case "g", "a", "svg", "switch", "use":
			more++
		}
	}
	return more == 1
}

// lines is what a shape draws, in mm on the page.
func (d *drawing) lines(n *node) ([]subpath, error) {
	drawn, err := d.outlineOf(n, maxSegments-d.segments)
	if err != nil {
		return nil, err
	}
	subs := slices.Clone(drawn)
	for i := range subs {
		s := &subs[i]
		if d.segments += 1 + len(s.line); d.segments > maxSegments {
			return nil, errTooManySegments
		}
		s.at, s.line = n.toMM.Apply(s.at), s.line.Transform(n.toMM)
		if !within(s.at) {
			return nil, errTooFar
		}
		for _, seg := range s.line {
			if !within(seg.P0) || !within(seg.C0) || !within(seg.C1) || !within(seg.P1) {
				return nil, errTooFar
			}
		}
	}
	return subs, nil
}

var errTooFar = fmt.Errorf("a point lies beyond %.0f m or is not a number", maxMM/1000)

func within(q orb.Point) bool {
	return math.Abs(q[0]) <= maxMM && math.Abs(q[1]) <= maxMM // false for NaN
}
