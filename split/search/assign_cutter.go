package search

import (
	"slices"

	"eke/piece"
	"eke/split"
	"eke/split/fit"
)

// cutter cuts the copies of a component, and anew only those whose levels changed.
type cutter struct {
	a    *assignment
	comp *component
	last map[int]lastCut
}

// lastCut is the parts of a copy as it was last cut.
type lastCut struct {
	levels []float64
	parts  map[*split.Tree]*fit.Shape
}

// cut is the parts on each bin of the component, with its cuts at those levels.
func (c *cutter) cut(levels []float64) ([][]fit.Item, bool) {
	at := map[*split.Tree]float64{}
	for i, c := range c.comp.cuts {
		at[c.tree] = levels[i]
	}
	shapes := map[*split.Tree]*fit.Shape{}
	for _, i := range c.comp.depths {
		of := c.a.order[i]
		parts, ok := c.cutOne(i, c.a.instance.blanks[of], c.a.trees[of], at)
		if !ok {
			return nil, false
		}
		for leaf, s := range parts {
			shapes[leaf] = s
		}
	}
	var out [][]fit.Item
	for _, s := range c.comp.bins {
		var items []fit.Item
		bin := &c.a.table.bins[s]
		for _, l := range c.a.on[s] {
			items = append(items, fit.Item{Shape: shapes[l.leaf], Turns: rotations(l.part.piece, bin.scrap, c.a.table.options.GrainToleranceDeg)})
		}
		out = append(out, items)
	}
	return out, true
}

func (c *cutter) cutOne(depth int, b *blank, t *split.Tree, at map[*split.Tree]float64) (map[*split.Tree]*fit.Shape, bool) {
	var levels []float64
	for _, cut := range cutsOf(t) {
		levels = append(levels, at[cut])
	}
	if was, ok := c.last[depth]; ok && slices.Equal(was.levels, levels) {
		return was.parts, true
	}
	parts := map[*split.Tree]*fit.Shape{}
	if t.Way == nil {
		parts[t] = b.shape
	} else if !c.cutTree(b.Body, b.spansOf(t.Way), t, at, parts) {
		return nil, false
	}
	c.last[depth] = lastCut{levels, parts}
	return parts, true
}

func (c *cutter) cutTree(b *split.Body, spans []split.Span, t *split.Tree, at map[*split.Tree]float64, parts map[*split.Tree]*fit.Shape) bool {
	if !split.In(spans, at[t]) {
		return false
	}
	near, far, seam, err := split.Cut(b.Outline, t.Way.Line(b, at[t]), split.Seam{Name: "?", AllowanceMM: c.a.table.options.AllowanceMM})
	if err != nil {
		return false
	}
	nearly, farther := split.Divide(b.Piece, b.Outline, seam, "?")
	return c.cutSide(nearly, near, t.Near, at, parts) && c.cutSide(farther, far, t.Far, at, parts)
}

func (c *cutter) cutSide(p *piece.Piece, o piece.Outline, t *split.Tree, at map[*split.Tree]float64, parts map[*split.Tree]*fit.Shape) bool {
	if t.Way != nil {
		b := split.NewBody(p, o)
		return c.cutTree(b, t.Way.Spans(b), t, at, parts)
	}
	cut, err := split.CutLine(p, o)
	if err != nil {
		return false
	}
	parts[t] = fit.NewShape(cut)
	return true
}
