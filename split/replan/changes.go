package replan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/split/plan"
)

// Changes is what an option changes against the one that it goes on from, a
// sentence a change: cloth that is gone, seams, parts, and marks on what is cut.
func Changes(old *plan.Document, was *plan.Option, d *plan.Document, now *plan.Option) []string {
	c := changes{old: old, was: was, d: d, now: now}
	c.cloth()
	c.movedSeams()
	c.seams()
	c.parts()
	c.marks()
	if len(c.out) == 0 {
		c.say("nothing: every part that is not cut yet lies where it lay")
	}
	return c.out
}

type changes struct {
	old, d   *plan.Document
	was, now *plan.Option
	out      []string
}

func (c *changes) say(format string, args ...any) {
	c.out = append(c.out, fmt.Sprintf(format, args...))
}

func (c *changes) cloth() {
	for i := len(c.was.Spoilt); i < len(c.now.Spoilt); i++ {
		s := &c.now.Spoilt[i]
		saved := ""
		for _, scrap := range c.d.Scraps[len(c.old.Scraps):] {
			if scrap.SavedOf == s.Name {
				saved = fmt.Sprintf(", but for %q", scrap.Name)
			}
		}
		c.say("%s is spoilt: its cloth is gone from %s%s", plan.Plain(s.Name), c.d.ScrapName(s.Scrap, s.ScrapCopy), saved)
	}
}

func (c *changes) movedSeams() {
	name := func(m *plan.MovedSeam) string { return m.Join + m.From + m.Stays }
	find := func(in []plan.MovedSeam, m *plan.MovedSeam) int {
		return slices.IndexFunc(in, func(o plan.MovedSeam) bool { return name(&o) == name(m) })
	}
	for i := range c.was.MovedSeams {
		m := &c.was.MovedSeams[i]
		switch k := find(c.now.MovedSeams, m); {
		case k < 0:
			c.say("the seam %s is where the pattern has it, and no longer %.0f mm over on %s", m.Words(), m.ByMM, m.To)
		case c.now.MovedSeams[k].ByMM != m.ByMM:
			c.say("the seam %s moves by %.0f mm, and no longer by %.0f mm", m.Words(), c.now.MovedSeams[k].ByMM, m.ByMM)
		}
	}
	for i := range c.now.MovedSeams {
		if m := &c.now.MovedSeams[i]; find(c.was.MovedSeams, m) < 0 {
			c.say("the seam %s moves: %.0f mm go from %s to %s", m.Words(), m.ByMM, m.From, m.To)
		}
	}
}

func (c *changes) seams() {
	same := func(a, b *plan.PiecingSeam) bool {
		return a.Piece == b.Piece && a.Copy == b.Copy && slices.Equal(a.Line, b.Line)
	}
	find := func(in []plan.PiecingSeam, s *plan.PiecingSeam) int {
		return slices.IndexFunc(in, func(o plan.PiecingSeam) bool { return same(&o, s) })
	}
	for i := range c.was.PiecingSeams {
		s := &c.was.PiecingSeams[i]
		switch k := find(c.now.PiecingSeams, s); {
		case k < 0:
			c.say("seam %s, the %s in %s, is not sewn", s.Name, s.Called, c.old.CopyName(s.Piece, s.Copy))
		case c.now.PiecingSeams[k].Name != s.Name:
			c.say("seam %s is called %s now", s.Name, c.now.PiecingSeams[k].Name)
		}
	}
	for i := range c.now.PiecingSeams {
		if s := &c.now.PiecingSeams[i]; find(c.was.PiecingSeams, s) < 0 {
			c.say("seam %s is new: a %s in %s, %.0f mm", s.Name, s.Called, c.d.CopyName(s.Piece, s.Copy), s.LengthMM)
		}
	}
}

func (c *changes) parts() {
	find := func(in []plan.Part, name string) *plan.Part {
		for i := range in {
			if in[i].Name == name {
				return &in[i]
			}
		}
		return nil
	}
	for i := range c.was.Parts {
		p := &c.was.Parts[i]
		if find(c.now.Parts, p.Name) == nil {
			c.say("%s is no longer a part", plan.Plain(p.Name))
		}
	}
	for i := range c.now.Parts {
		q := &c.now.Parts[i]
		p := find(c.was.Parts, q.Name)
		from := c.d.ScrapName(q.Scrap, q.ScrapCopy)
		switch {
		case p == nil:
			c.say("%s is new: cut it from %s", plan.Plain(q.Name), from)
		case !slices.Equal(p.CutLine, q.CutLine):
			c.say("%s has another shape, and is cut from %s", plan.Plain(q.Name), from)
		case p.Scrap != q.Scrap || p.ScrapCopy != q.ScrapCopy:
			c.say("%s is cut from %s, and not from %s", plan.Plain(q.Name), from, c.old.ScrapName(p.Scrap, p.ScrapCopy))
		case p.Placement != q.Placement:
			c.say("%s lies elsewhere on %s", plan.Plain(q.Name), from)
		}
	}
}

// marks are notches that parts which are cut are to have and have not, and those
// that they have and should not.
func (c *changes) marks() {
	for i := range c.now.Parts {
		q := &c.now.Parts[i]
		if !q.IsCut {
			continue
		}
		for j := range c.was.Parts {
			p := &c.was.Parts[j]
			if p.Name != q.Name {
				continue
			}
			if more := without(q.Notches, p.Notches); len(more) > 0 {
				c.say("%s is cut, and wants marks that it has not: %s; its drawing shows where", plan.Plain(q.Name), told(more))
			}
			if less := without(p.Notches, q.Notches); len(less) > 0 {
				c.say("%s is cut, and has marks that mean nothing now: %s", plan.Plain(q.Name), told(less))
			}
		}
	}
}

// without are the notches that others have not.
func without(notches, others []plan.Notch) (out []plan.Notch) {
	for _, n := range notches {
		if !slices.ContainsFunc(others, func(o plan.Notch) bool {
			return math.Hypot(o.At[0]-n.At[0], o.At[1]-n.At[1]) < sameMM && o.Level == n.Level
		}) {
			out = append(out, n)
		}
	}
	return out
}

// told is which seams some notches are for.
func told(notches []plan.Notch) string {
	var out []string
	for _, n := range notches {
		name := "the " + n.For
		switch {
		case n.Level != "":
			name = "the end of seam " + n.Level
		case n.For == "":
			name = "an edge"
		case n.For == strings.ToUpper(n.For):
			name = "seam " + n.For
		}
		out = append(out, name)
	}
	slices.Sort(out)
	return plan.And(slices.Compact(out))
}
