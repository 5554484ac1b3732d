package search

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"eke/split"
	"eke/split/wish"
)

// Two wishes say how a copy is cut, and not only from which looks: an upper and a
// lower block, and copies that are split alike.

// coverCopy is cover for a whole copy, which is cut in an upper and a lower block
// first where a wish says so.
func (g *grid) coverCopy(ctx context.Context, b *blank, most int) *cover {
	w := g.table.options.blockOf(b.piece)
	if w == nil {
		return g.cover(ctx, b, taken{}, most)
	}
	var best *cover
	for _, way := range g.plain() {
		if way.Traits().Runs != split.Across {
			continue
		}
		for _, level := range g.blockLevels(ctx, b, way, w) {
			near, far := g.inBlocks(b, way, level, w)
			if near == nil {
				continue
			}
			upper := g.cover(ctx, near, taken{}, most-1)
			if upper == nil {
				continue
			}
			cut := &gridCut{way: way, level: level, near: true, off: upper}
			if c := cut.with(g.cover(ctx, far, cut.using(taken{}), most-len(upper.parts))); c != nil {
				best, most = c, len(c.parts)-1
			}
		}
	}
	return best
}

// likeAt is where in the order the copies come that are split as the one at i is,
// by a wish: that one first.
func (g *grid) likeAt(i int) []int {
	out := []int{i}
	name := g.instance.blanks[g.order[i]].piece.Name
	if slices.ContainsFunc(g.table.options.Wishes, func(w wish.Wish) bool {
		alike, ok := w.(wish.Alike)
		return ok && strings.EqualFold(alike.Piece, name)
	}) {
		for k := i + 1; k < len(g.order); k++ {
			if g.instance.blanks[g.order[k]].piece.Name == name {
				out = append(out, k)
			}
		}
	}
	return out
}

// coverTogether covers the copies at some places of the order: the first with as
// few parts as lets all others be cut like it. It reports whether it could.
func (g *grid) coverTogether(ctx context.Context, places []int) bool {
	first := g.order[places[0]]
	g.depth, g.twins = places[0], len(places)-1
	all := g.covers(ctx, first, g.twins > 0)
	g.twins = 0
	for _, c := range all {
		g.lay(places[0], c)
		laid := 1
		for _, i := range places[1:] {
			g.depth, g.look = i, -1
			other := g.likewise(ctx, g.order[i], c.tree, first)
			if other == nil || g.mixesKinds(other) || !g.makes(g.order[i], other) {
				break
			}
			g.lay(i, other)
			laid++
		}
		if laid == len(places) {
			return true
		}
		for ; laid > 0; laid-- {
			g.lift(places[laid-1])
		}
		g.depth = places[0]
	}
	return false
}

// singleOfTwins is single for a copy with others that are cut like it: the cut goes
// as far as there are bins for all of them.
func (g *grid) singleOfTwins(ctx context.Context, b *blank, w split.Way, used taken, tries []reach) *gridCut {
	type cut struct {
		reach
		level float64
	}
	var best *gridCut
	for _, near := range []bool{true, false} {
		var cuts []cut
		for _, try := range tries {
			if try.near != near || len(cuts) >= gridLooks*(g.twins+1) {
				continue
			}
			if level, ok := g.table.furthestPlaced(ctx, b, w, near, &g.table.bins[try.bin], gridLevel, gridLevelMM); ok {
				cuts = append(cuts, cut{try, level})
			}
		}
		slices.SortStableFunc(cuts, func(c, d cut) int {
			if near {
				c, d = d, c
			}
			return cmp.Compare(c.level, d.level)
		})
		var bins []int // that go at least as far
		for _, c := range cuts {
			if bins = append(bins, g.alike(c.bin, used)...); len(bins) <= g.twins {
				continue
			}
			part, rest, level := g.table.soundCut(b, w, c.level, near)
			if part != nil && (best == nil || part.area > best.area) {
				leaf := &split.Tree{Scrap: c.bin}
				kept := slices.DeleteFunc(slices.Clone(bins), func(s int) bool { return s == c.bin })[:g.twins]
				best = &gridCut{w, level, near, &cover{leaf, []gridPart{{c.bin, part, leaf}}, kept}, part.area, rest}
			}
			break
		}
	}
	return best
}

// alike are the empty bins of the class of one, that one first.
func (g *grid) alike(bin int, used taken) []int {
	out := []int{bin}
	for s := range g.table.bins {
		if s != bin && g.table.bins[s].class == g.table.bins[bin].class && len(g.on[s]) == 0 && !used.has(s) && !g.offLimits(s) {
			out = append(out, s)
		}
	}
	return out
}

// lay puts the parts of a cover on their bins.
func (g *grid) lay(place int, c *cover) {
	for _, p := range c.parts {
		g.put(p.bin, placed{p.part, p.leaf, place, p.part.area})
	}
	g.trees[g.order[place]] = c.tree
}

// lift takes them off again, as long as nothing was laid since.
func (g *grid) lift(place int) {
	for s := range g.on {
		for n := len(g.on[s]); n > 0 && g.on[s][n-1].depth == place; n-- {
			g.pop(s)
		}
	}
	g.trees[g.order[place]] = nil
}

// likewise is the cover of a copy that is cut as another of its piece is: across
// the grain at the same levels, and along it at the same ones or, of a mirror
// image, mirrored. It is nil where its parts find no bins.
func (g *grid) likewise(ctx context.Context, k int, tree *split.Tree, other int) *cover {
	b, of := g.instance.blanks[k], g.instance.blanks[other]
	l := &likeness{g, taken{}}
	if b.piece.Flipped != of.piece.Flipped {
		tree = mirrored(tree, b.Hi[0]+of.Lo[0])
	}
	if w := g.table.options.blockOf(b.piece); w != nil && tree.Way != nil {
		near, far := g.inBlocks(b, tree.Way, tree.LevelMM, w)
		if near == nil {
			return nil
		}
		upper := l.cover(ctx, near, tree.Near)
		if upper == nil {
			return nil
		}
		return (&gridCut{way: tree.Way, level: tree.LevelMM, near: true, off: upper}).with(l.cover(ctx, far, tree.Far))
	}
	return l.cover(ctx, b, tree)
}

// likeness is the bins that one copy takes that is cut like another.
type likeness struct {
	*grid
	used taken
}

func (l *likeness) cover(ctx context.Context, b *blank, tree *split.Tree) *cover {
	if tree.Way == nil {
		c := l.whole(ctx, b, l.used)
		if c != nil {
			p := c.parts[0]
			l.used[p.bin] = append(l.used[p.bin], p.part)
		}
		return c
	}
	near, far := l.table.cutAt(b, tree.Way, tree.LevelMM)
	if near == nil {
		return nil
	}
	c := l.cover(ctx, near, tree.Near)
	if c == nil {
		return nil
	}
	return (&gridCut{way: tree.Way, level: tree.LevelMM, near: true, off: c}).with(l.cover(ctx, far, tree.Far))
}

// mirrored is how the mirror image of a copy is cut, whose levels across the grain
// are those of the copy taken from a sum. Of cuts along the grain side by side the
// first stays the first from left to right, so that the copies are cut in the same
// order; what lay on the left lies on the right.
func mirrored(tree *split.Tree, sum float64) *split.Tree {
	if tree.Way == nil {
		return tree.Clone()
	}
	if tree.Way.Traits().Runs != split.Along {
		return &split.Tree{Way: tree.Way, LevelMM: tree.LevelMM, Near: mirrored(tree.Near, sum), Far: mirrored(tree.Far, sum)}
	}
	var levels []float64
	var parts []*split.Tree
	var visit func(t *split.Tree)
	visit = func(t *split.Tree) { // from right to left
		if t.Way != tree.Way {
			parts = append(parts, mirrored(t, sum))
			return
		}
		visit(t.Far)
		levels = append(levels, sum-t.LevelMM)
		visit(t.Near)
	}
	visit(tree)
	var build func(t *split.Tree) *split.Tree
	build = func(t *split.Tree) *split.Tree { // from left to right
		if t.Way != tree.Way {
			p := parts[0]
			parts = parts[1:]
			return p
		}
		near := build(t.Near)
		level := levels[0]
		levels = levels[1:]
		return &split.Tree{Way: t.Way, LevelMM: level, Near: near, Far: build(t.Far)}
	}
	return build(tree)
}
