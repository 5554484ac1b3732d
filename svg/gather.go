package svg

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"eke/piece"
)

// mark is a shape and what it was found to be; a shape with no word has a
// zero meaning.
type mark struct {
	meaning
	n      *node
	groups []*node  // the groups that gave it its meaning, innermost first
	sub    *subpath // of a shape without a word, the one of its lines that is meant
}

// found is a thing made of marks: a piece or a scrap.
type found struct {
	name   string
	order  int
	marks  []mark
	plain  []*node // shapes in it without a word
	groups []*node // that make it up, outermost first
	bare   bool
	notes  []string
}

// gatherer sorts the shapes of a drawing into pieces, or scraps.
//
// The nearest group with a real name that holds an outline is the piece.
// Groups that a program made up are looked through, so long as only one of
// them holds an outline; where several do, each is a piece of its own. So
// layers may hold pieces, and pieces may hold layers.
type gatherer struct {
	d        *drawing
	words    words
	outlines words  // those of words that make a piece of a group
	thing    string // "piece" or "scrap"
	out      []found
	meanings map[*element]meaning
}

// meaning is what the words make of an element, worked out once.
func (g *gatherer) meaning(e *element) meaning {
	m, ok := g.meanings[e]
	if !ok {
		if g.meanings == nil {
			g.meanings = map[*element]meaning{}
		}
		m = g.words.of(e)
		g.meanings[e] = m
	}
	return m
}

// loose is what a group holds that no piece has claimed.
type loose struct {
	marks   []mark
	plain   []plainShape // shapes without a word
	groups  []*node      // looked through, outermost first
	outline bool
}

type plainShape struct {
	n     *node
	group *node // the named group it was the only shape in, if any
}

// gather finds everything in the drawing, in the order painted.
func (g *gatherer) gather(root *node) ([]found, error) {
	rest, err := g.group(root, true)
	if err != nil {
		return nil, err
	}
	drawn, err := g.bare(rest.plain)
	if err != nil {
		return nil, err
	}
	if rest.outline {
		rest.plain = drawn
		g.claim("", rest)
	} else if len(rest.marks) > 0 {
		m := rest.marks[0]
		where := ""
		if n := m.n.parent; n != nil && n != root {
			where = anyName(n)
		}
		return nil, &piece.Error{File: g.d.file, Piece: where, Element: m.n.el.String(),
			Problem: fmt.Sprintf("this %s belongs to no %s: its group has no %s", m.word, g.thing, g.outlines.or()),
			Cure:    g.howToOutline(m.n.parent)}
	}
	sort.SliceStable(g.out, func(i, j int) bool { return g.out[i].order < g.out[j].order })
	if len(g.out) > maxPieces {
		return nil, &piece.Error{File: g.d.file, Problem: fmt.Sprintf("it holds %d %ss", len(g.out), g.thing), Cure: fmt.Sprintf("keep to %d in a file", maxPieces)}
	}
	for i, f := range g.out {
		if len(f.marks) > maxMarks {
			return nil, &piece.Error{File: g.d.file, Piece: f.name, Problem: fmt.Sprintf("the %s has more than %d marks", g.thing, maxMarks), Cure: "remove those that are decoration, or take their names off"}
		}
		if f.name == "" {
			g.out[i].name = fmt.Sprintf("%s %d", g.thing, i+1)
		}
	}
	return g.out, nil
}

// howToOutline is what to do about a group without an outline.
func (g *gatherer) howToOutline(n *node) string {
	cure := fmt.Sprintf("group it with an outline named %s", g.outlines[0])
	if n == nil {
		return cure
	}
	for _, c := range n.children {
		if m := patternWords.of(c.el).word; g.thing == "scrap" && (m == "seam" || m == "cut") {
			return "this is a pattern; give it before the scraps"
		}
		if m := scrapWords.of(c.el).word; g.thing == "piece" && m == "outline" {
			return "these are scraps; give a pattern first, and them after it"
		}
		if meant, called := g.words.meant(c.el); g.outlines.has(meant) {
			return fmt.Sprintf("name %s %s if that is its outline", strings.TrimSuffix(called, ","), meant)
		}
	}
	return cure
}

func (w words) or() string {
	s := w[0]
	for _, x := range w[1:] {
		s += " or " + x
	}
	return s
}

// group gathers what n holds.
func (g *gatherer) group(n *node, top bool) (loose, error) {
	var own loose
	var subs []loose
	for _, c := range n.children {
		switch {
		case !c.group():
			if m := g.meaning(c.el); m.word != "" {
				own.add(g, mark{meaning: m, n: c})
			} else {
				own.plain = append(own.plain, plainShape{n: c})
			}
		case g.marks(c):
			g.inherit(&own, c, nil, meaning{})
		default:
			sub, err := g.group(c, false)
			if err != nil {
				return own, err
			}
			subs = append(subs, sub)
		}
	}
	apart := 0
	if own.outline {
		apart++
	}
	for _, s := range subs {
		if s.outline {
			apart++
		}
	}
	for _, s := range subs {
		if s.outline && apart > 1 {
			g.claim("", s)
			continue
		}
		own.marks = append(own.marks, s.marks...)
		own.plain = append(own.plain, s.plain...)
		own.outline = own.outline || s.outline
		if s.outline {
			own.groups = append(own.groups, s.groups...)
		}
	}
	own.groups = append([]*node{n}, own.groups...)
	if top {
		return own, nil
	}
	if name := realName(n); name != "" {
		if own.outline {
			g.claim(name, own)
			return loose{}, nil
		}
		if len(own.plain) == 1 && own.plain[0].group == nil && len(own.marks) == 0 {
			own.plain[0].group = n
		}
	}
	return own, nil
}

func (l *loose) add(g *gatherer, m mark) {
	l.marks = append(l.marks, m)
	l.outline = l.outline || g.outlines.has(m.word)
}

// marks reports whether n is a group that is one mark, such as a grainline
// with its arrow heads: it has a word, and no outline of its own inside.
func (g *gatherer) marks(n *node) bool {
	return !n.unnamed && g.meaning(n.el).word != "" && !g.holdsOutline(n)
}

func (g *gatherer) holdsOutline(n *node) bool {
	for _, c := range n.children {
		if g.outlines.has(g.meaning(c.el).word) || g.holdsOutline(c) {
			return true
		}
	}
	return false
}

// inherit gives the shapes in a marked group its meaning, but for those with
// one of their own.
func (g *gatherer) inherit(to *loose, n *node, groups []*node, m meaning) {
	if own := g.meaning(n.el); own.word != "" {
		m, groups = own, nil
	}
	if n.group() {
		groups = append([]*node{n}, groups...)
		for _, c := range n.children {
			g.inherit(to, c, groups, m)
		}
		return
	}
	to.add(g, mark{meaning: m, n: n, groups: groups})
}

// claim makes a piece of what a group holds. Without a real name it is called
// by what there is: a made-up id, or what its outline's name says.
func (g *gatherer) claim(name string, l loose) {
	f := found{name: name, marks: l.marks, groups: l.groups, order: l.marks[0].n.order}
	for _, p := range l.plain {
		if !p.n.ourDrawing() {
			f.plain = append(f.plain, p.n)
		}
	}
	for _, m := range l.marks {
		if f.name == "" && g.outlines.has(m.word) {
			f.name = m.name
		}
	}
	for _, n := range l.groups {
		if f.name == "" && n.parent != nil {
			f.name = anyName(n)
		}
	}
	g.out = append(g.out, f)
}

// bare makes a piece of each closed shape that belongs to none, and gives those
// that are only drawing.
func (g *gatherer) bare(plain []plainShape) (drawn []plainShape, err error) {
	for _, p := range plain {
		subs, err := g.d.lines(p.n)
		if err != nil {
			return nil, g.d.errorf(p.n.el, err.Error(), "redraw it, or remove it")
		}
		closed := 0
		for i := range subs {
			if subs[i].looped() {
				closed++
			}
		}
		if closed == 0 {
			drawn = append(drawn, p)
			continue
		}
		if closed > 1 {
			return nil, g.d.errorf(p.n.el, fmt.Sprintf("it has %d outlines in one path", closed), fmt.Sprintf("break it apart, or name the %s's outline %s and group it with its marks", g.thing, g.outlines[0]))
		}
		name := realName(p.n)
		layer := p.group != nil && p.group.el.get("inkscape:groupmode") == "layer"
		if p.group != nil && (name == "" || !layer) {
			name = realName(p.group)
		}
		if name == "" {
			name = anyName(p.n)
		}
		f := found{name: name, order: p.n.order, bare: true, marks: []mark{{meaning: meaning{word: g.outlines[0]}, n: p.n}}}
		if meant, called := g.words.meant(p.n.el); meant != "" {
			note := fmt.Sprintf("%s is taken as a %s of its own; if it is a %s, name it so and group it with its %s", called, g.thing, meant, g.thing)
			if name != "" {
				note = name + ": " + note
			}
			f.notes = []string{note}
		}
		if p.group != nil {
			f.groups = []*node{p.group}
		}
		g.out = append(g.out, f)
	}
	return drawn, nil
}

const notAMark = "is not read as a mark"

// unread notes the shapes of a piece or scrap whose names are almost a mark's,
// and the groups in it that have such a name and hold no mark, but for what was
// taken for one all the same.
func (f found) unread(w words, taken []mark) []string {
	var out []string
	var look func(n *node)
	look = func(n *node) {
		if w.of(n.el).word != "" {
			return
		}
		if meant, called := w.meant(n.el); meant != "" && n != f.groups[0] && !w.within(n) && !slices.ContainsFunc(taken, func(m mark) bool { return m.n.in(n) }) {
			out = append(out, fmt.Sprintf("%s: %s %s; name it %s if it is one", f.name, called, notAMark, meant))
			return
		}
		for _, c := range n.children {
			look(c)
		}
	}
	if len(f.groups) > 0 && f.groups[0].parent != nil {
		look(f.groups[0])
	}
	return out
}

// meant is the word that an element's class, id or label was probably meant to
// be, and what to call the element in a message; empty where it has no name that
// is near one.
func (w words) meant(e *element) (meant, called string) {
	for _, s := range append([]string{unescape(cut(e.get("id"))), cut(e.get("inkscape:label"))}, strings.Fields(cut(e.get("class")))...) {
		if p := piece.NameParts(s); len(p) > 0 {
			if meant = w.near(p[0]); meant == "" {
				continue
			}
			if called = e.String(); !strings.Contains(called, s) {
				called += fmt.Sprintf(", %q,", clean(s))
			}
			return meant, called
		}
	}
	return "", ""
}

// within reports whether something in a group has a word.
func (w words) within(n *node) bool {
	for _, c := range n.children {
		if w.of(c.el).word != "" || w.within(c) {
			return true
		}
	}
	return false
}
