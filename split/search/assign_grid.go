package search

import (
	"context"
	"math"
	"slices"
	"sort"

	"eke/split"
)

// A piece may need more seams than backtracking has time for: trousers from bits
// of a pocket's size, say. The grid is the constructive answer. It cuts a blank
// in two by the cut that covers the most for each part that it costs: a part for
// one bin, or a whole row across the grain or along it that is cut into parts for
// several. What is left is asked the same question (a greedy guillotine cover;
// guillotine cuts: P. Gilmore, R. Gomory, "Multistage cutting stock problems of
// two and more dimensions", 1965). Where that saves parts, or bins run short, parts lie
// beside each other on one bin. It goes back on nothing, so it is quick and often has a
// seam or more too many.

const (
	// mostGridParts is how many parts of one copy the grid makes at most.
	mostGridParts = 60
	// gridLooks is how many cuts of one kind are bisected to the end, the ones
	// that a certain bound lets go furthest.
	gridLooks = 4
	// gridLevelMM is how finely, and besideLevelMM on a bin that others lie on.
	gridLevelMM   = 1
	besideLevelMM = 4
	// gridPoses is how long two parts are packed on one bin.
	gridPoses = 3000
)

// grid covers the copies of an instance one after the other.
type grid struct {
	*assignment
	gridStyle
	look  int         // that all parts of the copy are to have, an index into those of all scraps; negative for any
	twins int         // copies that are cut like it: each of its parts is kept a bin for in theirs
	pause func() bool // called now and then where besideStyles are wanted, false stops these; nil where they are not
}

// gridStyle is a way to go about a cover. Which is best depends on the piece, so
// each copy takes the one that makes the fewest parts of it.
type gridStyle struct {
	rows    bool // a row of several parts may be cut off as one
	shallow bool // rows are as deep as more bins are, and not as the deepest few
	beside  bool // parts may lie beside others, though there are empty bins
}

// Packing parts beside each other takes long, so besideStyles come where there is time for them.
var (
	gridStyles   = []gridStyle{{}, {rows: true}, {rows: true, shallow: true}}
	besideStyles = []gridStyle{{beside: true}, {rows: true, beside: true}}
)

// cover is how a blank is cut, and where its parts go.
type cover struct {
	tree  *split.Tree
	parts []gridPart
	kept  []int // bins for the same parts of copies that are cut like it
}

type gridPart struct {
	bin  int
	part *blank
	leaf *split.Tree
}

// taken is the bins in use, beside those of the assignment, and what lies there. A bin that
// is kept for copies cut alike has nothing on it, and takes nothing.
type taken map[int][]*blank

func (u taken) has(s int) bool {
	_, ok := u[s]
	return ok
}

// grid is a plan by greedy covers, or nil where they find none. Pause is as for a grid.
func (in *instance) grid(ctx context.Context, pause func() bool) *split.Made {
	in.measure(ctx)
	if in.unsound || ctx.Err() != nil || in.area > in.table.cloth {
		return nil
	}
	g := &grid{assignment: newAssignment(in, in.minCuts, true, budget{poses: gridPoses}, 1), pause: pause}
	for _, many := range []bool{true, false} { // copies that are to be alike find it harder
		for i := range g.order {
			if like := g.likeAt(i); g.trees[g.order[i]] == nil && (len(like) > 1) == many && !g.coverTogether(ctx, like) {
				return nil
			}
		}
	}
	for s := range g.on {
		if !g.placeOn(ctx, s) {
			return nil
		}
	}
	m, err := split.Make(in.plan(g.trees), in.table.options.AllowanceMM)
	if err != nil {
		return nil
	}
	return m
}

// placeOn places the parts on a bin, if they all find room.
func (g *grid) placeOn(ctx context.Context, s int) bool {
	if len(g.on[s]) == 0 {
		return true
	}
	at, ok := g.table.packTogether(ctx, g.with(s), &g.table.bins[s], gridPoses)
	for i := range at {
		g.on[s][i].leaf.Placement = at[i]
	}
	return ok
}

// covers are covers of a copy that can be sewn, of all styles, the one with the
// fewest parts first. Where all are not asked for, others may be left out.
func (g *grid) covers(ctx context.Context, k int, all bool) []*cover {
	var out []*cover
	most := mostGridParts
	styles := gridStyles
	if g.pause != nil {
		styles = slices.Concat(styles, besideStyles)
	}
	for _, g.look = range g.looksFor(k) {
		for _, g.gridStyle = range styles {
			if most < 1 {
				break
			}
			c := g.coverCopy(ctx, g.instance.blanks[k], most)
			if c == nil || g.mixesKinds(c) || !g.makes(k, c) {
				continue
			}
			out = append(out, c)
			if !all {
				most = len(c.parts) - 1
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return len(out[i].parts) < len(out[j].parts) })
	return out
}

// looksFor is the looks that the parts of a copy may all have; any, as one, where
// no wish binds them.
func (g *grid) looksFor(k int) []int {
	if b := g.instance.bonds; b == nil || b.same[b.of[k]] == nil {
		return []int{-1}
	}
	out := make([]int, len(g.table.looks))
	for l := range out {
		out[l] = l
	}
	return out
}

// makes reports whether a cover of a copy can be made by itself.
func (g *grid) makes(k int, c *cover) bool {
	one := &split.Plan{Pieces: g.instance.pieces[k : k+1], Trees: []*split.Tree{c.tree}}
	_, err := split.Make(one, g.table.options.AllowanceMM)
	return err == nil
}

// offLimits reports whether a bin has not the look that the parts are to have, or
// clashes with what is laid.
func (g *grid) offLimits(s int) bool {
	return g.look >= 0 && g.table.bins[s].look != g.look || g.clashes(g.order[g.depth], s)
}

// mixesKinds reports whether the parts of a cover come from knit and woven.
func (g *grid) mixesKinds(c *cover) bool {
	if g.instance.group == nil {
		return false
	}
	has := map[string]bool{}
	for _, p := range c.parts {
		has[g.table.bins[p.bin].scrap.Kind] = true
	}
	return has[knit] && has[woven]
}

// cover cuts a blank into parts that fit, no more than most of them. It is nil
// where it finds no cover.
func (g *grid) cover(ctx context.Context, b *blank, used taken, most int) *cover {
	if most < 1 || ctx.Err() != nil {
		return nil
	}
	if c := g.whole(ctx, b, used); c != nil {
		return c
	}
	var best *gridCut
	better := func(c *gridCut) {
		if c != nil && (best == nil || c.worth() > best.worth()+1e-9) {
			best = c
		}
	}
	for _, w := range g.plain() {
		better(g.single(ctx, b, w, used))
		if g.rows {
			for _, near := range []bool{true, false} {
				better(g.row(ctx, b, w, near, used, most))
			}
		}
	}
	if best == nil {
		return nil
	}
	return best.with(g.cover(ctx, best.rest, best.using(used), most-len(best.off.parts)))
}

// plain is the ways that a grid is made with.
func (g *grid) plain() []split.Way {
	var out []split.Way
	for _, w := range g.table.ways {
		if w.Traits().Plain && w.Traits().Runs != split.Slanting {
			out = append(out, w)
		}
	}
	return out
}

// gridCut is a part or a row that is cut off a blank.
type gridCut struct {
	way   split.Way
	level float64
	near  bool // whether the near side is cut off
	off   *cover
	area  float64 // cut off
	rest  *blank
}

// worth is the area covered for each part.
func (c *gridCut) worth() float64 { return c.area / float64(len(c.off.parts)) }

// using is the bins in use with those of the cut.
func (c *gridCut) using(used taken) taken {
	out := taken{}
	for s, parts := range used {
		out[s] = slices.Clip(parts)
	}
	for _, p := range c.off.parts {
		out[p.bin] = append(out[p.bin], p.part)
	}
	for _, s := range c.off.kept {
		out[s] = nil
	}
	return out
}

// with is the cover of the blank, given that of the rest.
func (c *gridCut) with(rest *cover) *cover {
	if rest == nil {
		return nil
	}
	tree := &split.Tree{Way: c.way, LevelMM: c.level, Near: c.off.tree, Far: rest.tree}
	if !c.near {
		tree.Near, tree.Far = tree.Far, tree.Near
	}
	return &cover{tree, slices.Concat(c.off.parts, rest.parts), slices.Concat(c.off.kept, rest.kept)}
}

// whole is the cover of a blank by the smallest bin that holds it: an empty one,
// or where there is none one with room beside what lies there.
func (g *grid) whole(ctx context.Context, b *blank, used taken) *cover {
	on := func(s int, kept ...int) *cover {
		leaf := &split.Tree{Scrap: s}
		return &cover{leaf, []gridPart{{s, b, leaf}}, kept}
	}
	var holding []int
	for _, s := range g.empty(used) {
		if _, ok := g.table.fitsOn(ctx, b, &g.table.bins[s]); ok {
			if holding = append(holding, g.alike(s, used)...); len(holding) > g.twins {
				return on(holding[0], holding[1:g.twins+1]...)
			}
		}
	}
	if g.twins > 0 {
		return nil
	}
	if !g.beside && len(g.empty(used)) > 0 && b.parent != nil {
		return nil
	}
	for _, s := range g.roomy(used) {
		if !g.table.ruledOut(b, &g.table.bins[s]) && g.goesBeside(ctx, b, s, used) {
			return on(s)
		}
	}
	return nil
}

// roomy is the bins that something lies on, of this copy only where parts may lie beside
// each other.
func (g *grid) roomy(used taken) []int {
	var out []int
	for s := range g.table.bins {
		if (len(used[s]) > 0 && g.beside || len(g.on[s]) > 0 && !used.has(s)) && !g.offLimits(s) {
			out = append(out, s)
		}
	}
	return out
}

// goesBeside reports whether a part finds room beside what lies on a bin.
func (g *grid) goesBeside(ctx context.Context, b *blank, s int, used taken) bool {
	if b.area > g.free(s, used) || g.beside && !g.pause() {
		return false
	}
	_, ok := g.table.packTogether(ctx, append(g.with(s, used[s]...), b), &g.table.bins[s], gridPoses)
	return ok
}

// free is the area of a bin that nothing lies on.
func (g *grid) free(s int, used taken) float64 {
	mm2 := g.freeArea[s]
	for _, b := range used[s] {
		mm2 -= b.area
	}
	return mm2
}

// empty is one empty bin of each class, the smallest first.
func (g *grid) empty(used taken) []int {
	var out []int
	known := map[string]bool{}
	for s := range g.table.bins {
		class := g.table.bins[s].class
		if len(g.on[s]) > 0 || used.has(s) || known[class] || g.offLimits(s) {
			continue
		}
		known[class] = true
		out = append(out, s)
	}
	sort.SliceStable(out, func(i, k int) bool { return g.table.bins[out[i]].area < g.table.bins[out[k]].area })
	return out
}

// single is the cut of one way that puts the most on one bin.
func (g *grid) single(ctx context.Context, b *blank, w split.Way, used taken) *gridCut {
	tries := g.reaches(b, w, g.empty(used), used)
	if g.twins > 0 {
		return g.singleOfTwins(ctx, b, w, used, tries)
	}
	tries = tries[:min(len(tries), gridLooks)]
	if g.beside {
		others := g.reaches(b, w, g.roomy(used), used)
		tries = append(tries, others[:min(len(others), gridLooks)]...)
	}
	var best *gridCut
	for _, try := range tries {
		if best != nil && try.area <= best.area {
			continue
		}
		level, ok := g.furthest(ctx, b, w, try, used)
		if !ok {
			continue
		}
		part, rest, level := g.table.soundCut(b, w, level, try.near)
		if part == nil || best != nil && part.area <= best.area {
			continue
		}
		leaf := &split.Tree{Scrap: try.bin}
		best = &gridCut{w, level, try.near, &cover{leaf, []gridPart{{try.bin, part, leaf}}, nil}, part.area, rest}
	}
	return best
}

// reaches is how much of a blank some bins may take at most, the most first.
func (g *grid) reaches(b *blank, w split.Way, bins []int, used taken) []reach {
	var out []reach
	for _, near := range []bool{true, false} {
		for _, s := range bins {
			if level, ok := g.cutBound(b, w, near, s, used); ok {
				out = append(out, reach{s, near, split.HalfArea(b.cut, w.Line(b.Body, level), near)})
			}
		}
	}
	sort.SliceStable(out, func(i, k int) bool { return out[i].area > out[k].area })
	return out
}

// furthest is the furthest level at which the part fits on a bin, beside what lies there.
func (g *grid) furthest(ctx context.Context, b *blank, w split.Way, r reach, used taken) (float64, bool) {
	if len(g.on[r.bin])+len(used[r.bin]) == 0 {
		return g.table.furthestPlaced(ctx, b, w, r.near, &g.table.bins[r.bin], gridLevel, gridLevelMM)
	}
	return g.furthestWhere(b, w, r.near, besideLevelMM, func(level float64) bool {
		part := g.table.cutPart(b, w, level, r.near)
		return part != nil && !g.table.ruledOut(part, &g.table.bins[r.bin]) && g.goesBeside(ctx, part, r.bin, used)
	})
}

// soundCut cuts a part off a blank at a level, or at the nearest one further back
// that leaves two parts that can be sewn, and a rest that is no strip if there is
// such a level. The part is nil where there is none.
func (t *table) soundCut(b *blank, w split.Way, level float64, near bool) (part, rest *blank, at float64) {
	const stripMM = 60 // with its allowances; a strip beside a seam looks like a slip
	for _, back := range []float64{0, 5, 12, 25, 40, 60} {
		l, ok := toward(b.spansOf(w), near, further(near, level, -back))
		if !ok {
			break
		}
		p, r := t.cutAt(b, w, l)
		if !near {
			p, r = r, p
		}
		if p == nil || split.Sound(p.Outline) != nil || split.Sound(r.Outline) != nil {
			continue
		}
		wide, left := p.length, r.length
		if w.Traits().Runs == split.Along {
			wide, left = p.width, r.width
		}
		if part == nil {
			part, rest, at = p, r, l
		}
		if left >= stripMM || wide < left {
			return p, r, l
		}
	}
	return part, rest, at
}

// reach is how much of a blank a bin may take at most.
type reach struct {
	bin  int
	near bool
	area float64
}

// row cuts off a row as deep as some bins are, and covers it by cuts the other
// way.
func (g *grid) row(ctx context.Context, b *blank, w split.Way, near bool, used taken, most int) *gridCut {
	var best *gridCut
	known := map[float64]bool{}
	for _, s := range g.depths(b, w, used) {
		level, ok := g.depthBound(b, w, near, s)
		if !ok || known[math.Round(level)] {
			continue
		}
		known[math.Round(level)] = true
		row, rest, level := g.table.soundCut(b, w, level, near)
		if row == nil {
			continue
		}
		c := &gridCut{w, level, near, g.line(ctx, row, w, used, most-1), row.area, rest}
		if c.off != nil && (best == nil || c.worth() > best.worth()) {
			best = c
		}
	}
	return best
}

// line covers a row by cuts of the ways that do not run along it.
func (g *grid) line(ctx context.Context, b *blank, along split.Way, used taken, most int) *cover {
	if most < 1 || ctx.Err() != nil {
		return nil
	}
	if c := g.whole(ctx, b, used); c != nil {
		return c
	}
	var best *gridCut
	for _, w := range g.plain() {
		if w.Traits().Runs == along.Traits().Runs {
			continue
		}
		if c := g.single(ctx, b, w, used); c != nil && (best == nil || c.area > best.area) {
			best = c
		}
	}
	if best == nil {
		return nil
	}
	return best.with(g.line(ctx, best.rest, along, best.using(used), most-1))
}

// depths is some of the empty bins by how deep a row may be on them: the deepest,
// and ones than which a few are deeper, or many.
func (g *grid) depths(b *blank, w split.Way, used taken) []int {
	var all []int
	for s := range g.table.bins {
		if len(g.on[s]) == 0 && !used.has(s) && !g.offLimits(s) && g.table.allowed(b.piece, g.table.bins[s].scrap) {
			all = append(all, s)
		}
	}
	sort.SliceStable(all, func(i, k int) bool { return g.depthOfBin(w, all[i]) > g.depthOfBin(w, all[k]) })
	picks := []int{0, 1, 3}
	if g.shallow {
		picks = []int{2, 6, len(all) / 4, len(all) / 2}
	}
	var out []int
	for _, k := range picks {
		if k < len(all) {
			out = append(out, all[k])
		}
	}
	return out
}

func (g *grid) depthOfBin(w split.Way, s int) float64 {
	if w.Traits().Runs == split.Across {
		return g.table.bins[s].length
	}
	return g.table.bins[s].width
}

// depthBound is the level at which a row is as deep as a bin.
func (g *grid) depthBound(b *blank, w split.Way, near bool, s int) (float64, bool) {
	return g.furthestWhere(b, w, near, coarseLevelMM, func(level float64) bool {
		row := g.table.cutPart(b, w, level, near)
		if row == nil {
			return false
		}
		if w.Traits().Runs == split.Across {
			return row.length <= g.table.bins[s].length
		}
		return row.width <= g.table.bins[s].width
	})
}

// cutBound is the furthest level at which the extents and the area of a part's
// cutting line, up to the cut, do not keep it off a bin, given what lies there.
func (g *grid) cutBound(b *blank, w split.Way, near bool, s int, used taken) (float64, bool) {
	if !g.table.allowed(b.piece, g.table.bins[s].scrap) {
		return 0, false
	}
	left := g.table.bins[s]
	left.area = g.free(s, used)
	return g.furthestWhere(b, w, near, coarseLevelMM, func(level float64) bool {
		ring := split.Half(b.cut, w.Line(b.Body, level), near)
		return len(ring) < 3 || !g.table.ringRuledOut(b, ring, &left)
	})
}

func (g *grid) furthestWhere(b *blank, w split.Way, near bool, fineMM float64, fits func(level float64) bool) (float64, bool) {
	r := bracketOf(b.spansOf(w), near, fits)
	if r.ok {
		r = bisect(r, b.spansOf(w), near, fineMM, fits)
	}
	return r.good, r.ok
}
