package split

import (
	"fmt"
	"math"

	"eke/piece"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// Again is a plan as it was made, from what plan.json holds of it: o is an option
// of a plan for these copies, as they were drawn, and scraps. Its seams and parts
// keep their names, their notches and their places.
func Again(o *plan.Option, drawn []*piece.Piece, scraps []*piece.Scrap) (*Plan, error) {
	p := &Plan{Pieces: drawn, Scraps: scraps}
	for i := range o.MovedSeams {
		mv, err := moveOf(&o.MovedSeams[i], drawn)
		if err != nil {
			return nil, err
		}
		if p.Pieces, err = mv.Apply(p.Pieces); err != nil {
			return nil, err
		}
		p.Moves = append(p.Moves, mv)
	}
	r := rebuilder{option: o, scraps: scraps, used: map[string]bool{}}
	var err error
	for _, c := range drawn {
		var t *Tree
		if t, err = r.tree(c); err != nil {
			return nil, fmt.Errorf("%s: %w", c.ID(), err)
		}
		p.Trees = append(p.Trees, t)
	}
	if p.Carry, err = carryOf(o, p); err != nil {
		return nil, err
	}
	p.Striped, err = stripesOf(o, drawn)
	return p, err
}

// carryOf is the carried line of an option, whose trees are there.
func carryOf(o *plan.Option, p *Plan) (*CarriedLine, error) {
	if len(o.Carried) == 0 {
		return nil, nil
	}
	line := &CarriedLine{Piece: o.Carried[0].Piece, To: o.Carried[0].To}
	of := map[string]int{} // the copy of each of its seams
	for i, t := range p.Trees {
		if !t.Carried {
			continue
		}
		of[t.Was.Name] = i
		for k := range o.PiecingSeams {
			if s := &o.PiecingSeams[k]; s.Name == t.Was.Name {
				line.Cuts = append(line.Cuts, CarriedCut{Copy: i, Way: t.Way, LevelMM: t.LevelMM, AboveNear: s.Cut.AboveNear})
			}
		}
	}
	for _, c := range o.Carried {
		for _, m := range c.Meets {
			meet := CarriedMeet{OffMM: m.OffMM, TurnDeg: m.TurnDeg}
			var known [4]bool
			meet.From, known[0] = of[m.From]
			meet.To, known[1] = of[m.To]
			for k := range m.Join {
				meet.Join[k], known[2+k] = refOf(p.Pieces, m.Join[k])
			}
			if known != [4]bool{true, true, true, true} {
				return nil, fmt.Errorf("where the carried line goes from seam %q to %q, at %s and %s, there is no such seam or edge", m.From, m.To, m.Join[0], m.Join[1])
			}
			line.Meets = append(line.Meets, meet)
		}
	}
	return line, nil
}

// refOf is the edge of that name.
func refOf(copies []*piece.Piece, name string) (piece.Ref, bool) {
	for _, p := range copies {
		for _, e := range p.Outline {
			if r := (piece.Ref{Piece: p.Name, Edge: e.Name}); r.String() == name {
				return r, true
			}
		}
	}
	return piece.Ref{}, false
}

// stripesOf is the stripes of an option.
func stripesOf(o *plan.Option, drawn []*piece.Piece) (*Striping, error) {
	if o.Stripes == nil {
		return nil, nil
	}
	s, err := NewStriping(drawn)
	if err != nil {
		return nil, err
	}
	s.Lead, s.Sequence = o.Stripes.Lead, StripeSequence{o.Stripes.Looks, o.Stripes.DepthsMM}
	for _, p := range o.Stripes.Pieces {
		c := StripedCopy{Copy: -1, Tops: p.Tops}
		for i, q := range drawn {
			if q.Name == p.Piece && q.Copy == p.Copy {
				c.Copy = i
			}
		}
		if c.Copy < 0 {
			return nil, fmt.Errorf("there are stripes on %s, and no such piece", p.Piece)
		}
		for _, b := range p.Bands {
			c.Bands = append(c.Bands, StripeBand{Number: b.Stripe, FromMM: b.FromMM, ToMM: b.ToMM, Look: b.Look, Wanted: b.Wanted})
		}
		s.Copies = append(s.Copies, c)
	}
	return s, nil
}

// moveOf is the move that was written so.
func moveOf(m *plan.MovedSeam, copies []*piece.Piece) (Move, error) {
	for _, p := range copies {
		if p.Name != m.From {
			continue
		}
		for _, e := range p.Outline {
			for _, j := range e.Joins {
				mv := Move{From: piece.Ref{Piece: p.Name, Edge: e.Name}, To: j, ByMM: m.ByMM, Stays: m.Stays}
				if j.Piece == m.To && mv.From.String()+" "+mv.To.String() == m.Join {
					return mv, nil
				}
			}
		}
	}
	return Move{}, fmt.Errorf("the pattern has no join %q, whose seam was moved", m.Join)
}

// rebuilder makes trees of cuts of what an option says of its seams.
type rebuilder struct {
	option *plan.Option
	scraps []*piece.Scrap
	used   map[string]bool // seams that are in a tree
}

// tree is how a copy was cut. Its first seam is no side of another.
func (r *rebuilder) tree(c *piece.Piece) (*Tree, error) {
	inner := map[string]bool{}
	var own []string
	for i := range r.option.PiecingSeams {
		s := &r.option.PiecingSeams[i]
		if s.Piece != c.Name || s.Copy != c.Copy {
			continue
		}
		if s.Cut == nil {
			return nil, fmt.Errorf("plan.json does not say how seam %s was made; write it again with eke plan", s.Name)
		}
		own = append(own, s.Name)
		inner[s.Cut.Near.Seam], inner[s.Cut.Far.Seam] = true, true
	}
	for _, name := range own {
		if !inner[name] {
			return r.side(c, plan.Side{Seam: name})
		}
	}
	for i := range r.option.Parts {
		if q := &r.option.Parts[i]; q.Piece == c.Name && q.Copy == c.Copy {
			return r.side(c, plan.Side{Part: q.Name})
		}
	}
	return nil, fmt.Errorf("the plan has no parts of it")
}

func (r *rebuilder) side(c *piece.Piece, of plan.Side) (*Tree, error) {
	if of.Seam != "" {
		return r.cut(c, of.Seam)
	}
	for i := range r.option.Parts {
		q := &r.option.Parts[i]
		if q.Name != of.Part || q.Piece != c.Name || q.Copy != c.Copy {
			continue
		}
		for k, s := range r.scraps {
			if s.Name == q.Scrap && max(1, s.Copy) == q.ScrapCopy {
				return &Tree{Scrap: k, Was: &Was{Name: q.Name, Placement: q.Placement}}, nil
			}
		}
		return nil, fmt.Errorf("%s is cut from scrap %q, and there is none", q.Name, q.Scrap)
	}
	return nil, fmt.Errorf("a seam has part %q on one side, and there is none", of.Part)
}

func (r *rebuilder) cut(c *piece.Piece, name string) (*Tree, error) {
	for i := range r.option.PiecingSeams {
		s := &r.option.PiecingSeams[i]
		if s.Name != name || s.Piece != c.Name || s.Copy != c.Copy || s.Cut == nil {
			continue
		}
		if r.used[name] {
			return nil, fmt.Errorf("seam %s is made twice", name)
		}
		r.used[name] = true
		way, err := readWay(s.Cut.Way, s.Cut.Of)
		if err != nil {
			return nil, err
		}
		t := &Tree{Way: way, LevelMM: s.Cut.LevelMM, TakeInMM: s.Cut.TakeInMM, Carried: s.Cut.Carried, Was: &Was{Name: name}}
		if len(s.NotchesMM) != len(s.Cut.Counts) {
			return nil, fmt.Errorf("seam %s has %d notches and says how many marks %d of them have", name, len(s.NotchesMM), len(s.Cut.Counts))
		}
		for k, mm := range s.NotchesMM {
			t.Was.Notches = append(t.Was.Notches, piece.Notch{AtMM: mm, Count: s.Cut.Counts[k], For: name})
		}
		if t.Near, err = r.side(c, s.Cut.Near); err != nil {
			return nil, err
		}
		t.Far, err = r.side(c, s.Cut.Far)
		return t, err
	}
	return nil, fmt.Errorf("there is no seam %q", name)
}

// SameCut tells what of a part that is made again differs from what it was, and
// is empty where nothing does: where it is sewn, where it is cut, where it lies.
func SameCut(was, now *plan.Part) string {
	if was.Scrap != now.Scrap || was.ScrapCopy != now.ScrapCopy {
		return "the scrap that it is cut from"
	}
	if was.Placement != now.Placement {
		return "the place where it lies"
	}
	for _, l := range []struct {
		what     string
		was, now []plan.Point
	}{{"seam line", was.SeamLine, now.SeamLine}, {"cutting line", was.CutLine, now.CutLine}} {
		if len(l.was) != len(l.now) {
			return "its " + l.what
		}
		for i := range l.was {
			if l.was[i] != l.now[i] {
				return fmt.Sprintf("its %s, by %.4f mm", l.what, math.Hypot(l.was[i][0]-l.now[i][0], l.was[i][1]-l.now[i][1]))
			}
		}
	}
	return ""
}

// Body is what a part or a cut of a plan is made of: what it is cut from, or it
// itself. It is nil for a tree that the plan does not have.
func (m *Made) Body(t *Tree) *Body {
	first := 0
	for _, root := range m.Plan.Trees {
		for k, cut := range root.Cuts() {
			if cut == t {
				return m.Seams[first+k].Body
			}
		}
		first += root.Seams()
	}
	for _, p := range m.Parts {
		if p.Leaf == t {
			return NewBody(p.Of, p.Outline)
		}
	}
	return nil
}

// Lies is a ring of a leaf's part where that lies on its scrap.
func (t *Tree) Lies(r orb.Ring) orb.Ring {
	m := t.placement()
	out := make(orb.Ring, len(r))
	for i, q := range r {
		out[i] = orb.Point{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	}
	return out
}
