package replan

import (
	"context"
	"slices"
	"strings"
	"time"

	"eke/piece"
	"eke/split/plan"
	"eke/split/search"
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
