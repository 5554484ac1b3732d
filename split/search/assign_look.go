package search

import (
	"context"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
	"eke/split/wish"
)

// Wishes about looks bind copies to each other: all copies of some pieces come
// from one look, or from none that another piece has. As with knit and woven, the
// first part that is assigned decides, and a clash is seen at once.

// lookBonds is what the wishes ask of the looks of copies. Pieces are told apart
// by name, and parts of a carried line by their look too.
type lookBonds struct {
	of     []int   // by copy: which piece it is of, as an index into the others
	same   [][]int // by piece: those that have the same one look, itself among them; nil where it may have many
	unlike [][]int // by piece: those that share no look with it
}

// bondsOf is nil where no wish binds a look. Tidy are pieces of which all copies are bound.
func bondsOf(blanks []*blank, wishes []wish.Wish, tidy []string) *lookBonds {
	b := &lookBonds{}
	var names, looks []string
	for _, c := range blanks {
		name, look := strings.ToLower(c.piece.Name), c.piece.Look
		at := -1
		for k := range names {
			if names[k] == name && looks[k] == look {
				at = k
			}
		}
		if at < 0 {
			at, names, looks = len(names), append(names, name), append(looks, look)
		}
		b.of = append(b.of, at)
	}
	b.same, b.unlike = make([][]int, len(names)), make([][]int, len(names))
	named := func(name string) (out []int) {
		for k, n := range names {
			if strings.EqualFold(n, name) {
				out = append(out, k)
			}
		}
		return out
	}
	bound := len(tidy) > 0
	one := func(pieces []int) {
		// Whatever was bound to one of them is bound to all.
		all := slices.Clone(pieces)
		for _, k := range pieces {
			all = append(all, b.same[k]...)
		}
		slices.Sort(all)
		all = slices.Compact(all)
		for _, k := range all {
			b.same[k] = all
		}
		bound = true
	}
	for _, name := range tidy {
		for _, k := range named(name) {
			one([]int{k})
		}
	}
	for _, w := range wishes {
		switch w := w.(type) {
		case wish.Alike:
			for _, k := range named(w.Piece) {
				one([]int{k})
			}
		case wish.Like:
			one(append(named(w.Piece), named(w.Other)...))
		case wish.Unlike:
			for _, k := range named(w.Piece) {
				for _, l := range named(w.Other) {
					b.unlike[k], b.unlike[l] = append(b.unlike[k], l), append(b.unlike[l], k)
				}
			}
			bound = true
		}
	}
	if !bound {
		return nil
	}
	return b
}

// lookClashes reports whether a bin's look is one that the copy k may not have
// beside what is assigned.
func (a *assignment) lookClashes(k, s int) bool {
	b := a.instance.bonds
	if b == nil {
		return false
	}
	look, of := a.table.bins[s].look, b.of[k]
	for _, other := range b.same[of] {
		for l, n := range a.looks[other] {
			if n > 0 && l != look {
				return true
			}
		}
	}
	for _, other := range b.unlike[of] {
		if a.looks[other][look] > 0 {
			return true
		}
	}
	return false
}

// countLook adds a part of the copy on a bin, or takes it away.
func (a *assignment) countLook(k, s, more int) {
	if b := a.instance.bonds; b != nil {
		a.looks[b.of[k]][a.table.bins[s].look] += more
	}
}

// clashes reports whether a bin is not among those of the copy k, or of the wrong
// kind or look for it beside what is assigned.
func (a *assignment) clashes(k, s int) bool {
	return a.only != nil && !a.only[k][s] || a.kindClashes(k, s) || a.lookClashes(k, s)
}

// blockOf is the wish that a piece is cut in an upper and a lower block.
func (o Options) blockOf(p *piece.Piece) *wish.Block {
	if p.Look != "" { // it is a part of one already
		return nil
	}
	for _, w := range o.Wishes {
		if b, ok := w.(wish.Block); ok && strings.EqualFold(b.Piece, p.Name) {
			return &b
		}
	}
	return nil
}

// blocks names the pieces that are wished to be in two looks.
func (o Options) blocks() (out []string) {
	for _, w := range o.Wishes {
		if b, ok := w.(wish.Block); ok {
			out = append(out, b.Piece)
		}
	}
	return out
}

// assignBlock is assign for a blank that is cut in an upper and a lower block, by
// one seam across the grain, and each block perhaps again.
func (a *assignment) assignBlock(ctx context.Context, b *blank, w *wish.Block, k int, cont func(*split.Tree) bool) bool {
	for _, way := range a.table.ways {
		if !way.Traits().Plain || way.Traits().Runs != split.Across {
			continue
		}
		levels, only := a.blockLevelsOfLike(b, way)
		if !only {
			levels = append(levels, a.blockLevels(ctx, b, way, w)...)
		}
		for _, level := range levels {
			near, far := a.inBlocks(b, way, level, w)
			if near == nil {
				continue
			}
			for inNear := range k {
				stop := a.cutBlock(ctx, b, way, level, near, far, inNear, k-1-inNear, cont)
				if stop || a.backjumping {
					return stop
				}
			}
		}
	}
	return false
}

// inBlocks cuts a blank in its upper and its lower block; nil where it cannot.
func (a *assignment) inBlocks(b *blank, way split.Way, level float64, w *wish.Block) (near, far *blank) {
	near, far = a.table.cutAt(b, way, level)
	if near == nil {
		return nil, nil
	}
	if near, far = near.ofLook(w.Upper), far.ofLook(w.Lower); near == nil || far == nil {
		return nil, nil
	}
	return near, far
}

// cutBlock is assign for a blank whose blocks are known, and cut again by so many
// seams. The seam between them keeps its level, but for how coarsely levels are known.
func (a *assignment) cutBlock(ctx context.Context, b *blank, way split.Way, level float64, near, far *blank, inNear, inFar int, cont func(*split.Tree) bool) bool {
	tree := &split.Tree{Way: way, LevelMM: level}
	defer a.addSliding(b, tree, split.Span{Lo: level - coarseLevelMM, Hi: level + coarseLevelMM}, false)()
	a.sliding[len(a.sliding)-1].fixed = true
	return a.assign(ctx, near, inNear, func(n *split.Tree) bool {
		return a.assign(ctx, far, inFar, func(f *split.Tree) bool {
			tree.Near, tree.Far = n, f
			return cont(tree)
		})
	})
}

// ofLook is a blank that is to come from one look.
func (b *blank) ofLook(look string) *blank {
	p := *b.piece
	p.Look = look
	return newBlank(&p, b.Outline, b.key+"/"+look)
}

// blockLevels are levels at which some scrap of the one look holds the upper block,
// and one of the other the lower: the welcome ones among them, then where the
// blocks are as large as may be, and between. Where no scrap does, either block may
// still be cut again.
func (a *assignment) blockLevels(ctx context.Context, b *blank, way split.Way, w *wish.Block) []float64 {
	const most = 9
	spans := b.spansOf(way)
	if len(spans) == 0 {
		return nil
	}
	hi, lo := spans[0].Lo, spans[len(spans)-1].Hi
	for s := range a.table.bins {
		bin := &a.table.bins[s]
		if strings.EqualFold(bin.scrap.TheLook(), w.Upper) {
			if l, ok := a.table.furthest(ctx, b, way, true, bin); ok {
				hi = max(hi, l)
			}
		}
		if strings.EqualFold(bin.scrap.TheLook(), w.Lower) {
			if l, ok := a.table.furthest(ctx, b, way, false, bin); ok {
				lo = min(lo, l)
			}
		}
	}
	var out []float64
	add := func(l float64) {
		if split.In(spans, l) && !slices.Contains(out, l) && len(out) < most {
			out = append(out, l)
		}
	}
	if lo > hi { // one of them is cut again
		lo, hi = spans[0].Lo, spans[len(spans)-1].Hi
	}
	for _, l := range way.Welcome(b.Body) {
		if l >= lo && l <= hi {
			add(l)
		}
	}
	for _, f := range []float64{0.5, 0, 1, 0.25, 0.75} {
		if l, ok := split.Down(spans, lo+f*(hi-lo)); ok {
			add(l)
		}
	}
	return out
}

// blockLevelsOfLike is the level of the line between the blocks of another copy of a piece
// that is assigned already, if there is one: both are to have it at one height. Only says
// that no other level will do.
func (a *assignment) blockLevelsOfLike(b *blank, way split.Way) (levels []float64, only bool) {
	for _, k := range a.order[:a.depth] {
		if t := a.trees[k]; a.instance.blanks[k].piece.Name == b.piece.Name && t != nil && t.Way == way {
			return []float64{t.LevelMM}, a.table.options.linedUp
		}
	}
	return nil, false
}

// cutAlike reports whether a composition gives all copies of a piece that is to be
// alike as many seams.
func (in *instance) cutAlike(cuts []int) bool {
	for _, w := range in.table.options.Wishes {
		alike, ok := w.(wish.Alike)
		if !ok || in.carried != nil {
			continue
		}
		first := -1
		for i, b := range in.blanks {
			if !strings.EqualFold(b.piece.Name, alike.Piece) {
				continue
			}
			if first < 0 {
				first = i
			}
			if cuts[i] != cuts[first] {
				return false
			}
		}
	}
	return true
}

// splitAlike is a plan whose copies are split alike where the wishes say so: the
// plan itself, or one with the levels of one copy in the others. It is nil where
// that does not fit.
func (t *table) splitAlike(ctx context.Context, m *split.Made) *split.Made {
	for _, w := range t.options.Wishes {
		alike, ok := w.(wish.Alike)
		if !ok {
			continue
		}
		if m = t.levelled(ctx, m, copiesNamed(m, alike.Piece)); m == nil {
			return nil
		}
	}
	return m
}

// levelled is a plan with the seams across the grain of some copies on the same
// levels.
func (t *table) levelled(ctx context.Context, m *split.Made, copies []int) *split.Made {
	if len(copies) == 0 || split.CutAlike(m, copies) {
		return m
	}
	for _, i := range copies {
		if treeShape(m.Plan.Trees[i]) != treeShape(m.Plan.Trees[copies[0]]) {
			return nil
		}
	}
	for _, lead := range copies {
		p := *m.Plan
		p.Trees = split.CloneTrees(m.Plan.Trees)
		from := cutsOf(p.Trees[lead])
		for _, i := range copies {
			for k, cut := range cutsOf(p.Trees[i]) {
				if cut.Way.Traits().Runs == split.Across {
					cut.LevelMM = from[k].LevelMM
				}
			}
		}
		next, err := split.Make(&p, t.options.AllowanceMM)
		if err == nil && split.CutAlike(next, copies) && t.repack(ctx, next, copies) {
			return next
		}
	}
	return nil
}

// stillAlike reports whether copies are split alike where the wishes say so.
func (t *table) stillAlike(m *split.Made) bool {
	for _, w := range t.options.Wishes {
		if alike, ok := w.(wish.Alike); ok && !split.CutAlike(m, copiesNamed(m, alike.Piece)) {
			return false
		}
	}
	return true
}

func copiesNamed(m *split.Made, name string) (out []int) {
	for i, p := range m.Plan.Pieces {
		if strings.EqualFold(p.Name, name) {
			out = append(out, i)
		}
	}
	return out
}
