package byhand

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/fit"
)

// Plan is a plan as far as it has come. It does not change.
type Plan struct {
	given  *Given
	moves  []move
	pieces []*piece.Piece // with the moves
	copies []*cutCopy
	on     map[*node]lying
	last   int // number of the last line drawn
}

// lying is where a part was laid.
type lying struct {
	scrap int
	at    fit.Placement
}

// Line is a seam that was drawn, or one of the pattern that was moved.
type Line struct {
	ID           string
	Copy         int
	Way          Way
	Paths        []curve.Path // a seam that was moved may be there on either side of a copy
	AtMM         float64      // from the piece's top, or from its left
	FromMM, ToMM float64      // where it may lie; there may be places between where it may not
	Called       string       // what people call it where it lies
	Letter       string       // of the seam, within its copy
}

// Choice is a way to add a seam to a part, and where.
type Choice struct {
	Way
	Part         string
	FromMM, ToMM float64
	WelcomeMM    []float64 // where it would look or sew best
}

// Given is what the plan is made from.
func (p *Plan) Given() *Given { return p.given }

// Copies are the copies with the seams that were moved.
func (p *Plan) Copies() []*piece.Piece { return p.pieces }

// Parts are those of all copies, in order.
func (p *Plan) Parts() (out []*Part) {
	for _, c := range p.copies {
		out = append(out, c.parts...)
	}
	return out
}

// PartsOf are those of one copy.
func (p *Plan) PartsOf(copy int) []*Part { return p.copies[copy].parts }

func (p *Plan) part(name string) (*Part, error) {
	for _, c := range p.copies {
		for _, part := range c.parts {
			if part.Name == name {
				return part, nil
			}
		}
	}
	return nil, fmt.Errorf("there is no part %q now", short(name))
}

// short keeps a sentence short, whatever is quoted in it.
func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

func (p *Plan) copyOf(copy int) (*cutCopy, error) {
	if copy < 0 || copy >= len(p.copies) {
		return nil, fmt.Errorf("there is no copy %d; they are counted from 0 to %d", copy, len(p.copies)-1)
	}
	return p.copies[copy], nil
}

// Lines are those of a copy: those that were drawn, and then seams that were moved.
func (p *Plan) Lines(copy int) (out []Line) {
	c := p.copies[copy]
	for i := range c.cuts {
		out = append(out, c.line(p.given, i))
	}
	return append(out, p.movedLines(copy)...)
}

func (c *cutCopy) line(g *Given, i int) Line {
	n, s := c.cuts[i], &c.made.Seams[i]
	zero := n.way.origin(g.bodies[c.copy])
	l := Line{ID: n.line, Copy: c.copy, Way: n.way, Paths: []curve.Path{s.Line}, AtMM: n.level - zero, Called: s.Way.Called(s.Kind, s.Line, c.piece), Letter: s.Name}
	spans := n.way.split.Spans(s.Body)
	l.FromMM, l.ToMM = spans[0].Lo-zero, spans[len(spans)-1].Hi-zero
	return l
}

// Choices are the ways to add a seam to a copy's parts.
func (p *Plan) Choices(copy int) (out []Choice) {
	c := p.copies[copy]
	for _, part := range c.parts {
		for _, w := range Ways() {
			spans := w.split.Spans(part.body)
			if len(spans) == 0 {
				continue
			}
			zero := w.origin(p.given.bodies[copy])
			one := Choice{Way: w, Part: part.Name, FromMM: spans[0].Lo - zero, ToMM: spans[len(spans)-1].Hi - zero}
			for _, l := range w.split.Welcome(part.body) {
				if split.In(spans, l) {
					one.WelcomeMM = append(one.WelcomeMM, l-zero)
				}
			}
			out = append(out, one)
		}
	}
	return out
}

// WithLine adds a seam to a part, at the place where it may run that is nearest to
// the one given. It gives the line's name too.
func (p *Plan) WithLine(partName, way string, atMM float64) (*Plan, string, error) {
	part, err := p.part(partName)
	if err != nil {
		return nil, "", err
	}
	w, ok := wayOf(way)
	if !ok {
		return nil, "", fmt.Errorf("there is no way to add a seam named %q", short(way))
	}
	if err := finite("at", atMM); err != nil {
		return nil, "", err
	}
	c := p.copies[part.Copy]
	level, ok := nearestIn(w.split.Spans(part.body), w.origin(p.given.bodies[part.Copy])+atMM)
	if !ok {
		return nil, "", fmt.Errorf("%s has no room for a %s", part.Name, w.Name)
	}
	now := &node{line: fmt.Sprint("l", p.last+1), way: w, level: level, near: new(node), far: new(node)}
	out, err := p.recut(c, c.root.with(part.node, now))
	if err != nil {
		return nil, "", err
	}
	out.last++
	return out, now.line, nil
}

// mostMM is more than any cloth measures.
const mostMM = 1e5

func finite(what string, x float64) error {
	if !(math.Abs(x) <= mostMM) {
		return fmt.Errorf("%s: give a number of millimetres, or of degrees, as cloth has it", what)
	}
	return nil
}

// find is the cut that a line is.
func (p *Plan) find(line string) (*cutCopy, int, error) {
	for _, c := range p.copies {
		for i, n := range c.cuts {
			if n.line == line {
				return c, i, nil
			}
		}
	}
	return nil, 0, fmt.Errorf("there is no line %q now", short(line))
}

// Moved moves a line, as near to a place as it may run. What lies on either side
// stays where it was laid, whatever it has become.
func (p *Plan) Moved(line string, atMM float64) (*Plan, error) {
	if err := finite("at", atMM); err != nil {
		return nil, err
	}
	if m, ok := p.movedBy(line); ok {
		return p.withMove(m.from, atMM)
	}
	c, i, err := p.find(line)
	if err != nil {
		return nil, err
	}
	n := c.cuts[i]
	level, ok := nearestIn(n.way.split.Spans(c.made.Seams[i].Body), n.way.origin(p.given.bodies[c.copy])+atMM)
	if !ok {
		return nil, fmt.Errorf("there is no room for the line any more; remove it")
	}
	now := *n
	now.level = level
	return p.recut(c, c.root.with(n, &now))
}

// Removed takes a line out. Lines that ended on it go on through what was on its
// other side, where they can; parts beside it are one, and lie nowhere.
func (p *Plan) Removed(line string) (*Plan, error) {
	if m, ok := p.movedBy(line); ok {
		return p.withMove(m.from, 0)
	}
	c, i, err := p.find(line)
	if err != nil {
		return nil, err
	}
	n := c.cuts[i]
	now := new(node)
	root := c.root.with(n, now)
	whole, err := p.given.cut(c.copy, c.piece, root)
	if err != nil {
		return nil, err
	}
	for _, l := range append(n.near.cuts(), n.far.cuts()...) {
		// The parts that what is left of the line's body has by now.
		for _, part := range whole.parts {
			if !slices.Contains(now.parts(), part.node) || !split.In(l.way.split.Spans(part.body), l.level) {
				continue
			}
			again := now.with(part.node, &node{line: l.line, way: l.way, level: l.level, near: new(node), far: new(node)})
			next, err := p.given.cut(c.copy, c.piece, root.with(now, again))
			if err != nil {
				continue
			}
			root, now, whole = next.root, again, next
			break
		}
	}
	return p.withCopy(whole), nil
}

// recut is the plan with a copy cut otherwise.
func (p *Plan) recut(c *cutCopy, root *node) (*Plan, error) {
	now, err := p.given.cut(c.copy, c.piece, root)
	if err != nil {
		return nil, err
	}
	return p.withCopy(now), nil
}

// withCopy is the plan with a copy as it is cut now, and only what is still there
// lying on cloth.
func (p *Plan) withCopy(now *cutCopy) *Plan {
	out := *p
	out.copies = slices.Clone(p.copies)
	out.copies[now.copy] = now
	there := map[*node]bool{}
	for _, part := range out.Parts() {
		there[part.node] = true
	}
	out.on = maps.Clone(p.on)
	maps.DeleteFunc(out.on, func(n *node, _ lying) bool { return !there[n] })
	return &out
}

// Lifted takes a part off its scrap.
func (p *Plan) Lifted(partName string) (*Plan, error) {
	part, err := p.part(partName)
	if err != nil {
		return nil, err
	}
	if _, ok := p.on[part.node]; !ok {
		return nil, fmt.Errorf("%s lies on no scrap", part.Name)
	}
	out := *p
	out.on = maps.Clone(p.on)
	delete(out.on, part.node)
	return &out, nil
}

// laid is the plan with a part on a scrap.
func (p *Plan) laid(part *Part, scrap int, at fit.Placement) *Plan {
	out := *p
	out.on = maps.Clone(p.on)
	out.on[part.node] = lying{scrap, at}
	return &out
}

// Same reports whether two plans are cut alike and lie alike.
func (p *Plan) Same(o *Plan) bool { return p.told() == o.told() }

// told is all that a plan is, in words of its own.
func (p *Plan) told() string {
	var s strings.Builder
	for _, m := range p.moves {
		fmt.Fprintf(&s, "%s %v %v\n", m.id, m.from, m.byMM)
	}
	var tell func(n *node)
	tell = func(n *node) {
		if n.isPart() {
			l, ok := p.on[n]
			fmt.Fprint(&s, ok, l)
			return
		}
		fmt.Fprintf(&s, "(%s %s %v ", n.line, n.way.Key, n.level)
		tell(n.near)
		tell(n.far)
		fmt.Fprint(&s, ")")
	}
	for _, c := range p.copies {
		tell(c.root)
		fmt.Fprintln(&s)
	}
	return s.String()
}

// Changed are the parts that are others than in an earlier plan.
func (p *Plan) Changed(was *Plan) (out []*Part) {
	for i, c := range p.copies {
		if c != was.copies[i] {
			out = append(out, c.parts...)
		}
	}
	return out
}
