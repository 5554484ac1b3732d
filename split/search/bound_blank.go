package search

import (
	"fmt"
	"math"
	"sync"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"
)

// blank is a part made ready for placing. Its key tells it from every other.
type blank struct {
	*split.Body
	key        string
	piece      *piece.Piece
	cut        orb.Ring
	simplified orb.Ring // the same with few vertices; of a part, the lower-bound part
	shape      *fit.Shape
	area       float64
	length     float64 // extents of the cutting line along and across the grain
	width      float64
	spans      memo[split.Way, []split.Span]
	traced     func() []tracedPoint // of the corners of cut
	overlaps   memo[split.Way, [2][]overlap]

	parent *blank // what it was cut from, nil for a whole piece
	by     split.Way
	near   bool
}

// newBlank prepares an outline. It returns nil for one that has no sound
// cutting line.
func newBlank(p *piece.Piece, o piece.Outline, key string) *blank {
	cut, err := split.CutLine(p, o)
	if err != nil {
		return nil
	}
	return blankOf(p, o, cut, key)
}

// blankOf prepares an outline whose cutting line is known.
func blankOf(p *piece.Piece, o piece.Outline, cut orb.Ring, key string) *blank {
	b := &blank{Body: split.NewBody(p, o), key: key, piece: p, cut: cut, simplified: simplifiedRing(cut), shape: fit.NewShape(cut), area: plane.SignedArea(cut)}
	b.traced = sync.OnceValue(b.trace)
	lo, hi := b.Frame.Box(cut)
	b.width, b.length = hi[0]-lo[0], hi[1]-lo[1]
	return b
}

// simplifiedRing is a ring with few vertices.
func simplifiedRing(r orb.Ring) orb.Ring {
	closed := plane.Close(r)
	out := simplify.DouglasPeucker(simplifyMM).Ring(closed)
	return out[:len(out)-1]
}

// simplifyMM is how far a simplified outline may be off.
const simplifyMM = 0.7

func (b *blank) spansOf(w split.Way) []split.Span {
	s, ok := b.spans.get(w)
	if !ok {
		s = w.Spans(b.Body)
		b.spans.set(w, s)
	}
	return s
}

// cutBefore reports whether a blank is the near part of a cut made the same way.
// Cuts of one way are made from the near end towards the far one only, or each
// tree would be found in several orders.
func (b *blank) cutBefore(w split.Way) bool { return b.parent != nil && b.by == w && b.near }

// sameLine reports whether two blanks have the same cutting line along the same
// grain, to within the chords of its curves. Where they lie does not matter.
func (b *blank) sameLine(o *blank) bool {
	const toleranceMM = 0.1
	if math.Abs(b.length-o.length) > toleranceMM || math.Abs(b.width-o.width) > toleranceMM {
		return false
	}
	return b.within(o, toleranceMM) && o.within(b, toleranceMM)
}

// within reports whether no corner of a blank's cutting line lies further than
// that from another's.
func (b *blank) within(o *blank, mm float64) bool {
	from, _ := b.Frame.Box(b.cut)
	to, _ := o.Frame.Box(o.cut)
	line := orb.LineString(plane.Close(o.cut))
	for _, p := range b.cut {
		x, y := b.Frame.Place(p)
		if planar.DistanceFrom(line, o.Frame.At(x-from[0]+to[0], y-from[1]+to[1])) > mm {
			return false
		}
	}
	return true
}

// twinOf is the index of the last blank with the same cutting line: another copy
// of the piece, or its mirror image where the piece is symmetric. It is -1 where
// there is none.
func twinOf(b *blank, blanks []*blank) int {
	for i := len(blanks) - 1; i >= 0; i-- {
		if blanks[i].piece.Name == b.piece.Name && blanks[i].sameLine(b) && sameStripes(blanks[i].piece.Stripes, b.piece.Stripes) {
			return i
		}
	}
	return -1
}

// sameStripes reports whether stripes have the same place on two copies.
func sameStripes(a, b *piece.StripePlace) bool {
	if a == nil || b == nil || a.Loose && b.Loose {
		return a == b || a != nil && b != nil
	}
	return a.Loose == b.Loose && math.Abs(math.Remainder(a.AtMM-b.AtMM, a.RepeatMM)) < 1e-6
}

// cutAt cuts a blank and remembers it. Both parts are nil where the line does
// not cut it in two sound parts.
func (t *table) cutAt(b *blank, w split.Way, level float64) (near, far *blank) {
	question := cutQuestion{b.key, w, int64(math.Round(level * 1e4))}
	r, ok := t.cuts.get(question)
	if !ok {
		if c, ok := t.cut(b, w, level); ok {
			if r.near = c.part(true); r.near != nil {
				r.far = c.part(false)
			}
			if r.far == nil {
				r = cutResult{}
			}
		}
		t.cuts.set(question, r)
	}
	return r.near, r.far
}

// cutPart cuts a blank and prepares one of its two parts. It is nil where the
// line does not cut off a sound part.
func (t *table) cutPart(b *blank, w split.Way, level float64, near bool) *blank {
	c, ok := t.cut(b, w, level)
	if !ok {
		return nil
	}
	return c.part(near)
}

// halved is a blank that was cut in two.
type halved struct {
	of                  *blank
	way                 split.Way
	level, allowanceMM  float64
	nearPiece, farPiece *piece.Piece
	near, far           piece.Outline
}

// cut is false where the line does not cut a blank in two.
func (t *table) cut(b *blank, w split.Way, level float64) (c halved, ok bool) {
	near, far, seam, err := split.Cut(b.Outline, w.Line(b.Body, level), split.Seam{Name: "?", AllowanceMM: t.options.AllowanceMM})
	if err != nil {
		return halved{}, false
	}
	c = halved{of: b, way: w, level: level, allowanceMM: t.options.AllowanceMM, near: near, far: far}
	c.nearPiece, c.farPiece = split.Divide(b.piece, b.Outline, seam, "?")
	return c, true
}

// part prepares a part, or is nil where it is not sound.
func (c *halved) part(near bool) *blank {
	p, outline, side := c.nearPiece, c.near, "n"
	if !near {
		p, outline, side = c.farPiece, c.far, "f"
	}
	part := newBlank(p.Tied(), outline, fmt.Sprintf("%s|%s@%.4f%s", c.of.key, wayID(c.way), c.level, side))
	if part != nil {
		part.parent, part.by, part.near = c.of, c.way, near
		// Where this cut slides on, the corners of its allowance are others.
		end := c.of.lowerBoundLevel(c.way, near, c.level, c.allowanceMM/2)
		part.simplified = split.Half(c.of.simplified, c.way.Line(c.of.Body, end), near)
	}
	return part
}

// wayID tells one way to split from every other.
func wayID(w split.Way) string { return fmt.Sprintf("%s%v", w.Kind(), w) }

// cutQuestion names a cut of a blank, cutResult the parts it makes.
type cutQuestion struct {
	part  string // the blank's key
	way   split.Way
	level int64 // in ten-thousandths of a millimetre
}

type cutResult struct{ near, far *blank }
