package replan

import (
	"context"
	"slices"
	"strings"
	"time"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"

	"github.com/paulmach/orb"
)

// stage is one go at planning: some parts stay where they lie, and the others are
// planned.
type stage struct {
	freed []string // parts that are planned, those that are spoilt too
}

func (g stage) stays(part string) bool { return !slices.Contains(g.freed, part) }

// stages free ever more of what is not cut: only what is spoilt; what shares a scrap
// with that too; what lies on any scrap that it might be cut from; all. Each frees more
// than the one before.
func (s *State) stages(o search.Options) (out []stage) {
	lay := map[string]bool{} // scraps from which something is spoilt now
	var spoilt []*piece.Piece
	for _, p := range s.made.Parts {
		if name := p.Leaf.Was.Name; s.gone[name] {
			if p.Leaf.Scrap < len(s.scraps) {
				lay[s.scraps[p.Leaf.Scrap].ID()] = true
			}
			spoilt = append(spoilt, s.drawn[p.Piece])
		}
	}
	beside := func(c *piece.Scrap) bool { return lay[c.ID()] }
	suits := func(c *piece.Scrap) bool {
		return beside(c) || slices.ContainsFunc(spoilt, func(p *piece.Piece) bool { return o.MayCut(p, c) })
	}
	for _, frees := range []func(*piece.Scrap) bool{
		func(*piece.Scrap) bool { return false }, beside, suits, func(*piece.Scrap) bool { return true },
	} {
		var g stage
		for _, p := range s.made.Parts {
			name := p.Leaf.Was.Name
			if s.gone[name] || !s.cut[name] && frees(s.scraps[p.Leaf.Scrap]) {
				g.freed = append(g.freed, name)
			}
		}
		if len(out) == 0 || len(g.freed) > len(out[len(out)-1].freed) {
			out = append(out, g)
		}
	}
	return out
}

// shareOf is a context with the share of the time that is left of one for the first of
// so many stages. The last, in which there is most to be planned, has two shares.
func shareOf(ctx context.Context, stages int) (context.Context, context.CancelFunc) {
	end, ok := ctx.Deadline()
	if !ok || stages == 1 {
		return context.WithCancel(ctx)
	}
	return context.WithTimeout(ctx, time.Until(end)/time.Duration(stages+1))
}

// moved is how many parts that are neither cut nor spoilt do not lie as they lay, or are
// there no more.
func (s *State) moved(now *plan.Option) (n int) {
	for i := range s.option.Parts {
		was := &s.option.Parts[i]
		if s.cut[was.Name] || s.gone[was.Name] {
			continue
		}
		k := slices.IndexFunc(now.Parts, func(p plan.Part) bool { return strings.EqualFold(p.Name, was.Name) })
		if k < 0 || !liesAsItLay(was, &now.Parts[k]) {
			n++
		}
	}
	return n
}

func liesAsItLay(was, now *plan.Part) bool {
	return was.Scrap == now.Scrap && was.ScrapCopy == now.ScrapCopy && was.Placement == now.Placement && slices.Equal(was.CutLine, now.CutLine)
}

// putBack is a plan with parts where they lay before, one after another, as far as they
// find their old places free, until a time: a search lays all that it plans, and knows of
// no place where something lay.
func (s *State) putBack(f Found, o search.Options, until time.Time) Found {
	w := &work{State: s, o: o}
	leaves := map[string]*split.Tree{}
	for i := range w.made.Parts {
		if l := w.made.Parts[i].Leaf; !w.gone[l.Was.Name] {
			leaves[l.Was.Name] = l
		}
	}
	for moved := f.moved + 1; f.moved > 0 && f.moved < moved; {
		moved = f.moved
		for i := range f.Plans[0].Parts {
			p := &f.Plans[0].Parts[i]
			l := leaves[p.Name]
			if l == nil || p.Leaf.Was != nil || isTaken(f.Plans[0], p, l) {
				continue
			}
			if time.Now().After(until) {
				return f
			}
			if back, ok := w.withLeaf(f, p.Leaf, l); ok && back.moved < f.moved {
				f = back
			}
		}
	}
	return f
}

// isTaken reports whether another part plainly lies where one is to lie: a corner of
// either is on the other. What else there is to prove is left to the proof.
func isTaken(m *split.Made, p *split.Part, where *split.Tree) bool {
	ring := where.Lies(p.Cut)
	for i := range m.Parts {
		q := &m.Parts[i]
		if q.Leaf == p.Leaf || q.Leaf.Scrap != where.Scrap {
			continue
		}
		other := q.Leaf.Lies(q.Cut)
		on := func(of orb.Ring) func(orb.Point) bool {
			return func(at orb.Point) bool { return plane.Holds(of, at) }
		}
		if slices.ContainsFunc(ring, on(other)) || slices.ContainsFunc(other, on(ring)) {
			return true
		}
	}
	return false
}

// withLeaf is a plan with a part where it lay; not ok where that fails its proof.
func (w *work) withLeaf(f Found, now, was *split.Tree) (Found, bool) {
	p := *f.Plans[0].Plan
	p.Unkept = nil
	p.Trees = nil
	for _, t := range f.Plans[0].Plan.Trees {
		p.Trees = append(p.Trees, graft(t, map[*split.Tree]*split.Tree{now: was}))
	}
	back, err := w.found(&p, f.Drawn)
	if err != nil || back.seams != f.seams {
		return Found{}, false
	}
	d := back.Document()
	return back, len(check.Option(d, 0)) == 0 && len(check.After(w.old, w.at, d, 0, w.Pile()...)) == 0
}
