package search

import (
	"fmt"
	"strings"

	"eke/piece"
	"eke/split"
	"eke/split/fit"
)

// knife cuts the copies of a trade, and only those anew whose levels changed.
type knife struct {
	d    *dealing
	g    *trade
	last map[int]carved
}

type carved struct {
	levels string
	parts  map[*split.Tree]*fit.Shape
}

func (k *knife) cut(levels []float64) ([][]fit.Item, bool) {
	at := map[*split.Tree]float64{}
	for i, c := range k.g.cuts {
		at[c.tree] = levels[i]
	}
	shapes := map[*split.Tree]*fit.Shape{}
	for _, t := range k.g.turns {
		of := k.d.order[t]
		parts, ok := k.carve(t, k.d.job.blanks[of], k.d.trees[of], at)
		if !ok {
			return nil, false
		}
		for leaf, s := range parts {
			shapes[leaf] = s
		}
	}
	var out [][]fit.Item
	for _, s := range k.g.scraps {
		var items []fit.Item
		site := &k.d.table.sites[s]
		for _, l := range k.d.content[s] {
			items = append(items, fit.Item{Shape: shapes[l.leaf], Turns: turns(l.part.piece, site.scrap, k.d.table.options.GrainToleranceDeg)})
		}
		out = append(out, items)
	}
	return out, true
}

func (k *knife) carve(turn int, b *blank, t *split.Tree, at map[*split.Tree]float64) (map[*split.Tree]*fit.Shape, bool) {
	var key strings.Builder
	for _, c := range cutsOf(t) {
		fmt.Fprintf(&key, "%v,", at[c])
	}
	if was, ok := k.last[turn]; ok && was.levels == key.String() {
		return was.parts, true
	}
	parts := map[*split.Tree]*fit.Shape{}
	if t.Way == nil {
		parts[t] = b.shape
	} else if !k.pieces(b.Body, b.spansOf(t.Way), t, at, parts) {
		return nil, false
	}
	k.last[turn] = carved{key.String(), parts}
	return parts, true
}

func (k *knife) pieces(b *split.Body, spans []split.Span, t *split.Tree, at map[*split.Tree]float64, parts map[*split.Tree]*fit.Shape) bool {
	if !split.In(spans, at[t]) {
		return false
	}
	near, far, seam, err := split.Cut(b.Outline, t.Way.Line(b, at[t]), split.Seam{Name: "?", AllowanceMM: k.d.table.options.AllowanceMM})
	if err != nil {
		return false
	}
	nearly, farther := split.Divide(b.Piece, b.Outline, seam, "?")
	return k.side(nearly, near, t.Near, at, parts) && k.side(farther, far, t.Far, at, parts)
}

func (k *knife) side(p *piece.Piece, o piece.Outline, t *split.Tree, at map[*split.Tree]float64, parts map[*split.Tree]*fit.Shape) bool {
	if t.Way != nil {
		b := split.NewBody(p, o)
		return k.pieces(b, t.Way.Spans(b), t, at, parts)
	}
	cut, err := split.CutLine(p, o)
	if err != nil {
		return false
	}
	parts[t] = fit.NewShape(cut)
	return true
}
