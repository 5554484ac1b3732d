package replan

import (
	"context"
	"maps"
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

// putBack is a plan with parts where they lay before, as far as they find their old places
// free, until a time: a search lays all that it plans, and knows of no place where something
// lay. All go back at once if they can, for they may lie in each other's places; else those of
// one scrap, or one after another. A part that lies elsewhere keeps its name.
func (s *State) putBack(f Found, o search.Options, until time.Time) Found {
	w := &work{State: s, o: o}
	for moved := f.moved + 1; f.moved > 0 && f.moved < moved; {
		moved = f.moved
		for _, group := range groups(w.elsewhere(f)) {
			group = free(f.Plans[0], group)
			if len(group) == 0 {
				continue
			}
			if time.Now().After(until) {
				break
			}
			if back, ok := w.withLeaves(f, group); ok && back.moved < f.moved {
				f = back
				break
			}
		}
	}
	return w.withNames(f)
}

// place is a part of a plan that is one of the old plan's, and lies elsewhere.
type place struct {
	part *split.Part
	was  *split.Tree
}

// elsewhere are the parts of a plan with the shape of one of the old plan's, cut from the
// same copy, that is not spoilt and does not stay.
func (w *work) elsewhere(f Found) (out []place) {
	m := f.Plans[0]
	stay := map[*split.Was]bool{}
	for i := range m.Parts {
		if was := m.Parts[i].Leaf.Was; was != nil {
			stay[was] = true
		}
	}
	for i := range m.Parts {
		p := &m.Parts[i]
		if p.Leaf.Was != nil {
			continue
		}
		for k := range w.made.Parts {
			q := &w.made.Parts[k]
			if !stay[q.Leaf.Was] && !w.gone[q.Leaf.Was.Name] && m.Plan.Pieces[p.Piece].ID() == w.made.Plan.Pieces[q.Piece].ID() && slices.Equal(p.Cut, q.Cut) {
				out = append(out, place{p, q.Leaf})
				break
			}
		}
	}
	return out
}

// groups are all of some places, those on each scrap, and each.
func groups(all []place) [][]place {
	out := [][]place{all}
	onScrap := map[int][]place{}
	for _, p := range all {
		onScrap[p.was.Scrap] = append(onScrap[p.was.Scrap], p)
	}
	for _, s := range slices.Sorted(maps.Keys(onScrap)) {
		if n := len(onScrap[s]); n > 1 && n < len(all) {
			out = append(out, onScrap[s])
		}
	}
	for k := range all {
		if len(all) > 1 {
			out = append(out, all[k:k+1])
		}
	}
	return out
}

// free are those of some places that no part plainly takes which does not go back itself.
func free(m *split.Made, group []place) []place {
	for {
		goes := map[*split.Tree]bool{}
		for _, p := range group {
			goes[p.part.Leaf] = true
		}
		left := slices.DeleteFunc(slices.Clone(group), func(p place) bool { return isTaken(m, p, goes) })
		if len(left) == len(group) {
			return left
		}
		group = left
	}
}

// isTaken reports whether another part plainly lies where one is to lie, and does not go
// elsewhere: a corner of either is on the other. What else there is to prove is left to the
// proof.
func isTaken(m *split.Made, p place, goes map[*split.Tree]bool) bool {
	ring := p.was.Lies(p.part.Cut)
	for i := range m.Parts {
		q := &m.Parts[i]
		if goes[q.Leaf] || q.Leaf.Scrap != p.was.Scrap {
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

// withNames is a plan in which the parts that are of the old plan's shapes have its names:
// one may have been planned anew with others, and come out as it was.
func (w *work) withNames(f Found) Found {
	grafts := map[*split.Tree]*split.Tree{}
	for _, p := range w.elsewhere(f) {
		if p.part.Name != p.was.Was.Name {
			c := *p.part.Leaf
			c.Was = &split.Was{Name: p.was.Was.Name, Placement: c.Placement.Matrix()}
			grafts[p.part.Leaf] = &c
		}
	}
	if len(grafts) == 0 {
		return f
	}
	if named, ok := w.withGrafts(f, grafts); ok {
		return named
	}
	return f
}

// withLeaves is a plan with parts where they lay; not ok where that fails its proof.
func (w *work) withLeaves(f Found, back []place) (Found, bool) {
	grafts := map[*split.Tree]*split.Tree{}
	for _, p := range back {
		grafts[p.part.Leaf] = p.was
	}
	return w.withGrafts(f, grafts)
}

// withGrafts is a plan with some leaves for others; not ok where that fails its proof.
func (w *work) withGrafts(f Found, grafts map[*split.Tree]*split.Tree) (Found, bool) {
	p := *f.Plans[0].Plan
	p.Unkept = nil
	p.Trees = nil
	for _, t := range f.Plans[0].Plan.Trees {
		p.Trees = append(p.Trees, graft(t, grafts))
	}
	back, err := w.found(&p, f.Drawn)
	if err != nil || back.seams != f.seams {
		return Found{}, false
	}
	d := back.Document()
	return back, len(check.Option(d, 0)) == 0 && len(check.After(w.old, w.at, d, 0, w.Pile()...)) == 0
}
