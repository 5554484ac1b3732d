package search

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
	"eke/split/wish"
)

// A carried line cuts several copies, and its level on the leading piece says
// where it cuts all of them. So this one level is chosen before anything else,
// and the parts on either side of the line stand for the copies: they are
// assigned and packed as whole pieces are, and may be cut again.
//
// What lies above the line grows with its level and what lies below shrinks. So
// for each look there is a critical level up to which it holds every part above,
// each by itself, and one from which it holds every part below; both are found
// by bisection. For a look above and a look below, the levels worth trying lie
// between the two.

// carriedParts is the copies that were cut by a carried line before.
type carriedParts struct {
	line *split.CarriedLine
	of   []int // which copy each blank is of, near before far
}

// joined is the trees of the copies, from those of the parts.
func (c *carriedParts) joined(trees []*split.Tree) []*split.Tree {
	var out []*split.Tree
	for k := 0; k < len(trees); k++ {
		t := trees[k].Clone()
		if cut := c.line.Cut(c.of[k]); cut != nil {
			k++
			t = &split.Tree{Way: cut.Way, LevelMM: cut.LevelMM, Carried: true, Near: t, Far: trees[k].Clone()}
		}
		out = append(out, t)
	}
	return out
}

// carrier looks for the places where a line may be carried.
type carrier struct {
	*split.Carry
	table  *table
	copies []*piece.Piece
	whole  []*blank
	looks  []string
	wish   wish.Carry
	why    string // why no plan was found, if none is
	lines  memo[lineQuestion, lineAnswer]
}

// lineQuestion names a line, lineAnswer is it.
type lineQuestion struct {
	way    split.Way
	level  float64
	manner split.Manner
}

type lineAnswer struct {
	line *split.CarriedLine
	err  error
}

// line is the line at a level, remembered.
func (c *carrier) line(way split.Way, level float64, manner split.Manner) (*split.CarriedLine, error) {
	question := lineQuestion{way, level, manner}
	a, ok := c.lines.get(question)
	if !ok {
		a.line, a.err = c.At(way, level, manner)
		c.lines.set(question, a)
	}
	return a.line, a.err
}

// newCarrier prepares to carry the cross seam that is wished for.
func newCarrier(t *table, copies []*piece.Piece, w wish.Carry) (*carrier, error) {
	carry, err := split.NewCarry(copies, slices.Concat(t.options.Ready, t.options.Optional), w.Piece, w.To)
	if err != nil {
		return nil, fmt.Errorf("the wish %q: %w", w, err)
	}
	c := &carrier{Carry: carry, table: t, copies: copies, wish: w}
	c.whole = newInstanceOfKinds(t, copies, nil, nil).blanks
	if len(c.whole) < len(copies) {
		return nil, fmt.Errorf("the wish %q: a piece has no sound cutting line", w)
	}
	for i := range t.bins {
		if l := t.bins[i].scrap.TheLook(); !slices.ContainsFunc(c.looks, func(o string) bool { return strings.EqualFold(o, l) }) {
			c.looks = append(c.looks, l)
		}
	}
	return c, nil
}

// instances are the parts that the line of a place leaves, with the copies that it
// does not cross, for each kind of cloth that they may come from.
func (c *carrier) instances(at carriedPlace) []*instance {
	line, err := c.line(at.way, at.level, at.manner)
	if err != nil {
		return nil
	}
	var pieces []*piece.Piece
	var outlines []piece.Outline
	var keys []string
	carried := &carriedParts{line: line}
	add := func(i int, b *blank, look string) {
		p, key := b.piece, b.key
		if look != "" {
			q := *p
			q.Look, p, key = look, &q, key+"/"+look
		}
		pieces, outlines, keys, carried.of = append(pieces, p), append(outlines, b.Outline), append(keys, key), append(carried.of, i)
	}
	for i, b := range c.whole {
		cut := line.Cut(i)
		if cut == nil {
			add(i, b, "")
			continue
		}
		near, far := c.table.cutAt(b, cut.Way, cut.LevelMM)
		if near == nil {
			return nil
		}
		looks := [2]string{at.above, at.below}
		if !cut.AboveNear {
			looks[0], looks[1] = looks[1], looks[0]
		}
		add(i, near, looks[0])
		add(i, far, looks[1])
	}
	return c.table.variantsOf(pieces, func(kinds []string) *instance {
		in := &instance{table: c.table, pieces: c.copies, kinds: slices.Clone(kinds), carried: carried}
		for k, p := range pieces {
			key := keys[k]
			if kind := in.kindOf(k); kind != "" {
				p, key = ofKind(p, kind), key+"/"+kind
			}
			if !in.add(newBlank(p, outlines[k], key)) {
				return in
			}
		}
		in.fills = in.evenFills()
		return in
	})
}

// variants are the instances of a driver for which the line is carried. There are
// none where it cannot be carried, and why says so.
func (c *carrier) variants(ctx context.Context) (out []*instance, why string) {
	stretches, err := c.stretches(ctx)
	switch {
	case ctx.Err() != nil:
		return nil, "the time was up before it was known where the line may run"
	case len(stretches) == 0 && err == nil:
		return nil, fmt.Sprintf("no cross seam cuts %s in two sound parts", c.Piece)
	case len(stretches) == 0:
		return nil, err.Error()
	}
	for _, s := range stretches {
		c.bound(ctx, s)
	}
	places, whole := c.places(ctx, stretches)
	c.why = "there is cloth of one look for all that lies above the line, and of one for all that lies below, each part by itself, but no way was found to cut all of it together"
	if len(places) == 0 {
		places = c.anywhere(stretches)
	}
	if !whole {
		c.why = "wherever the line runs, some part beside it fits no scrap by itself, where all that lies above it is to be of one look and all that lies below of one"
	}
	for _, p := range places {
		if ctx.Err() == nil {
			out = append(out, c.instances(p)...)
		}
	}
	switch {
	case len(out) == 0 && ctx.Err() != nil:
		return nil, "the time was up before it was known where the line may run"
	case len(out) == 0:
		return nil, "at no level does the line leave sound parts"
	}
	return out, ""
}

// carryWished is the wish that a line is carried, if there is one.
func carryWished(o Options) (w wish.Carry, ok bool, err error) {
	for _, one := range o.Wishes {
		c, is := one.(wish.Carry)
		if !is {
			continue
		}
		if ok && c != w {
			return w, false, fmt.Errorf("the wishes %q and %q: eke carries one line; wish for one of them", w, c)
		}
		w, ok = c, true
	}
	if ok && len(carriedWays(o)) == 0 {
		return w, false, fmt.Errorf("the wish %q needs a yoke or a curved yoke, and --seams %s allows neither", w, strings.Join(o.Kinds, ","))
	}
	return w, ok, nil
}

// mostCarried is for how many levels of a carried line alternatives are looked
// for, where no piece that it leaves is cut again.
const mostCarried = 8
