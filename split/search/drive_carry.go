package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
	"eke/split/wish"

	"golang.org/x/sync/errgroup"
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
}

// newCarrier prepares to carry the cross seam that is wished for.
func newCarrier(t *table, copies []*piece.Piece, w wish.Carry) (*carrier, error) {
	carry, err := split.NewCarry(copies, w.Piece, w.To)
	if err != nil {
		return nil, fmt.Errorf("the wish %q: %w", w, err)
	}
	c := &carrier{Carry: carry, table: t, copies: copies, wish: w}
	for _, in := range newInstanceOfKinds(t, copies, nil, nil).blanks {
		c.whole = append(c.whole, in)
	}
	if len(c.whole) < len(copies) {
		return nil, fmt.Errorf("the wish %q: a piece has no sound cutting line", w)
	}
	for i := range t.bins {
		if l := t.bins[i].scrap.TheLook(); !slices.Contains(c.looks, l) {
			c.looks = append(c.looks, l)
		}
	}
	return c, nil
}

// stretch is levels at which a line ends on the same edges: there it slides.
type stretch struct {
	split.Span
	way    split.Way
	manner split.Manner
	seams  int
	// By look and part, first those above the line and then those below: as far
	// as which level, or from which on, a scrap of the look holds the part by
	// itself. Not a number where it holds it at none.
	critical map[string][]float64
}

// window is the levels at which a look holds every part above and another every
// part below, each by itself, but for one part that may be left out; -1 for none.
// It is empty where Lo is more than Hi.
func (s *stretch) window(above, below string, leftOut int) split.Span {
	out := s.Span
	for k := range s.seams {
		if hi := s.critical[above][k]; k != leftOut {
			out.Hi = min(out.Hi, hi)
		}
		if lo := s.critical[below][s.seams+k]; s.seams+k != leftOut {
			out.Lo = max(out.Lo, lo)
		}
	}
	if !(out.Lo <= out.Hi) { // or not a number
		return split.Span{Lo: 1, Hi: 0}
	}
	return out
}

// stretches are where the line may run, those with the fewest seams first, and of
// these the plainest. Where there is none, why is the reason at the level that
// the pattern welcomes most.
func (c *carrier) stretches() (out []*stretch, why error) {
	const stepMM, leastMM = 4.0, 0.25
	for _, way := range carriedWays(c.table.options) {
		for _, manner := range []split.Manner{split.Square, split.Round} {
			if manner == split.Round && !way.Traits().Plain {
				continue
			}
			place := func(level float64) string {
				l, err := c.At(way, level, manner)
				if err != nil {
					if why == nil {
						why = err
					}
					return ""
				}
				return l.Place()
			}
			for _, l := range way.Welcome(c.Body()) {
				if split.In(way.Spans(c.Body()), l) {
					place(l)
				}
			}
			for _, span := range way.Spans(c.Body()) {
				n := int(math.Ceil((span.Hi - span.Lo) / stepMM))
				at := func(k int) float64 { return span.Lo + (span.Hi-span.Lo)*float64(k)/float64(n) }
				// edge is where a place ends between two levels, one at it and one not.
				edge := func(in, out float64, here string) float64 {
					for math.Abs(in-out) > leastMM {
						if mid := (in + out) / 2; place(mid) == here {
							in = mid
						} else {
							out = mid
						}
					}
					return in
				}
				var last *stretch
				was := ""
				for k := 0; k <= n; k++ {
					here := place(at(k))
					if here != was && last != nil {
						last.Hi, last = edge(at(k-1), at(k), was), nil
					}
					if here != "" && last == nil {
						l, _ := c.At(way, at(k), manner)
						last = &stretch{Span: split.Span{Lo: at(k), Hi: at(k)}, way: way, manner: manner, seams: len(l.Cuts)}
						if k > 0 {
							last.Lo = edge(at(k), at(k-1), here)
						}
						if manner == split.Square || !c.sameAs(l, at(k)) {
							out = append(out, last)
						}
					}
					if last != nil {
						last.Hi = at(k)
					}
					was = here
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b *stretch) int { return a.seams - b.seams })
	return out, why
}

// sameAs reports whether a line that runs round the body is no other than the one
// that is square to the grain.
func (c *carrier) sameAs(l *split.CarriedLine, level float64) bool {
	square, err := c.At(split.Yoke{}, level, split.Square)
	if err != nil || square.Place() != l.Place() {
		return false
	}
	for k, cut := range l.Cuts {
		if cut.Way != square.Cuts[k].Way || math.Abs(cut.LevelMM-square.Cuts[k].LevelMM) > 0.1 {
			return false
		}
	}
	return true
}

// carriedWays are the ways in which the leading piece may be cut.
func carriedWays(o Options) []split.Way {
	var out []split.Way
	for _, w := range []split.Way{split.Yoke{}, split.CurvedYoke{}, split.CurvedYoke{Up: true}} {
		if o.allows(w.Kind()) {
			out = append(out, w)
		}
	}
	return out
}

// part is a part of the line's k-th cut; nil where it leaves no two sound ones.
func (c *carrier) part(l *split.CarriedLine, k int, above bool) *blank {
	cut := l.Cuts[k]
	near, far := c.table.cutAt(c.whole[cut.Copy], cut.Way, cut.LevelMM)
	if cut.AboveNear == above {
		return near
	}
	return far
}

// holds reports whether a scrap of a look holds the part of the k-th cut by itself.
func (c *carrier) holds(ctx context.Context, s *stretch, level float64, k int, above bool, look string) bool {
	line, err := c.At(s.way, level, s.manner)
	if err != nil {
		return false
	}
	part := c.part(line, k, above)
	if part == nil {
		return false
	}
	for i := range c.table.bins {
		b := &c.table.bins[i]
		if b.scrap.Copy > 1 || b.scrap.TheLook() != look {
			continue
		}
		if _, ok := c.table.fitsOn(ctx, part, b); ok {
			return true
		}
	}
	return false
}

// bound finds the critical levels of a stretch, by bisection.
func (c *carrier) bound(ctx context.Context, s *stretch) {
	const toMM = 0.5
	critical := func(k int, above bool, look string) float64 {
		good, bad := s.Lo, s.Hi
		if !above {
			good, bad = bad, good
		}
		if !c.holds(ctx, s, good, k, above, look) {
			return math.NaN()
		}
		if c.holds(ctx, s, bad, k, above, look) {
			return bad
		}
		for math.Abs(good-bad) > toMM && ctx.Err() == nil {
			if mid := (good + bad) / 2; c.holds(ctx, s, mid, k, above, look) {
				good = mid
			} else {
				bad = mid
			}
		}
		return good
	}
	s.critical = map[string][]float64{}
	g := new(errgroup.Group)
	g.SetLimit(c.table.options.Workers)
	for _, look := range c.looks {
		levels := make([]float64, 2*s.seams)
		s.critical[look] = levels
		for k := range levels {
			g.Go(func() error {
				levels[k] = critical(k%s.seams, k < s.seams, look)
				return nil
			})
		}
	}
	_ = g.Wait()
}

// place is a line that may be carried there, with a look above and one below.
type carriedPlace struct {
	*stretch
	level        float64
	above, below string
	round        int // of the levels of its stretch and looks, which it is
	turns        int // how sharply it turns at a join, roughly
}

// turns is how sharply the line turns at a join, in steps that anyone sees.
func (c *carrier) turns(s *stretch, level float64) int {
	const seenDeg = 30.0
	line, err := c.At(s.way, level, s.manner)
	if err != nil {
		return math.MaxInt32
	}
	return int(line.Sharpest().TurnDeg / seenDeg)
}

// places are the levels worth trying, the likeliest first: of each stretch and
// pair of looks the welcome level or else the middle one, and then ever more
// between. Where every level leaves a part that no scrap of its look holds, they
// are those at which it is one, which must be cut again.
func (c *carrier) places(stretches []*stretch) (out []carriedPlace, whole bool) {
	const apartMM, most = 1.5, 64
	for whole = true; ; whole = false {
		for _, s := range stretches {
			last := -1
			if !whole {
				last = 2*s.seams - 1
			}
			for _, above := range c.looks {
				for _, below := range c.looks {
					for leftOut := min(0, last); leftOut <= last; leftOut++ {
						window := s.window(above, below, leftOut)
						if window.Lo > window.Hi {
							continue
						}
						for k, level := range levelsIn(window, s.way.Welcome(c.Body()), apartMM) {
							out = append(out, carriedPlace{s, level, above, below, k, c.turns(s, level)})
						}
					}
				}
			}
		}
		if len(out) > 0 || !whole {
			break
		}
	}
	slices.SortStableFunc(out, func(a, b carriedPlace) int {
		return cmp.Or(a.round-b.round, a.seams-b.seams, a.turns-b.turns)
	})
	return out[:min(len(out), most)], whole && len(out) > 0
}

// anywhere are a few levels to try where every one leaves several parts that no
// scrap of their look holds: the welcome one of each stretch and pair of looks,
// or else the middle one.
func (c *carrier) anywhere(stretches []*stretch) []carriedPlace {
	const most = 12
	var out []carriedPlace
	for _, s := range stretches {
		level := levelsIn(s.Span, s.way.Welcome(c.Body()), s.Hi-s.Lo)[0]
		for _, above := range c.looks {
			for _, below := range c.looks {
				out = append(out, carriedPlace{stretch: s, level: level, above: above, below: below})
			}
		}
	}
	return out[:min(len(out), most)]
}

// levelsIn are the levels of a span to try: the welcome ones, then the middle,
// then the middles of what is left on either side, until they lie closer than
// that.
func levelsIn(s split.Span, welcome []float64, apartMM float64) []float64 {
	var out []float64
	for _, l := range welcome {
		if l >= s.Lo && l <= s.Hi && !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	for parts := 2.0; ; parts *= 2 {
		for k := 1.0; k < parts; k += 2 {
			out = append(out, s.Lo+(s.Hi-s.Lo)*k/parts)
		}
		if (s.Hi-s.Lo)/parts < apartMM {
			return out
		}
	}
}

// instances are the parts that the line of a place leaves, with the copies that it
// does not cross, for each kind of cloth that they may come from.
func (c *carrier) instances(at carriedPlace) []*instance {
	line, err := c.At(at.way, at.level, at.manner)
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
	stretches, err := c.stretches()
	switch {
	case len(stretches) == 0 && err == nil:
		return nil, fmt.Sprintf("no cross seam cuts %s in two sound parts", c.Piece)
	case len(stretches) == 0:
		return nil, err.Error()
	}
	for _, s := range stretches {
		c.bound(ctx, s)
	}
	places, whole := c.places(stretches)
	c.why = "there is cloth of one look for all that lies above the line, and of one for all that lies below, each part by itself, but no way was found to cut all of it together"
	if len(places) == 0 {
		places = c.anywhere(stretches)
	}
	if !whole {
		c.why = "wherever the line runs, some part beside it fits no scrap by itself, where all that lies above it is to be of one look and all that lies below of one"
	}
	for _, p := range places {
		out = append(out, c.instances(p)...)
	}
	if len(out) == 0 {
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

// lookRule keeps a part that is to be of one look to scraps of it.
type lookRule struct{}

func (lookRule) MayCut(p *piece.Piece, s *piece.Scrap) bool {
	return p.Look == "" || p.Look == s.TheLook()
}
func (lookRule) String() string { return "look" }
