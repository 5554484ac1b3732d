package search

import (
	"cmp"
	"context"
	"eke/split/wish"
	"math"
	"slices"
	"strings"

	"eke/split"

	"golang.org/x/sync/errgroup"
)

// stretch is levels at which a line ends on the same edges: there it slides.
type stretch struct {
	split.Span
	way    split.Way
	manner split.Manner
	seams  int
	turns  int // how sharply the line turns at a join, in steps that anyone sees
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
func (c *carrier) stretches(ctx context.Context) (out []*stretch, why error) {
	const (
		stepMM, leastMM = 4.0, 0.25
		seenDeg         = 30.0
	)
	for _, way := range carriedWays(c.table.options) {
		for _, manner := range []split.Manner{split.Square, split.Round} {
			if manner == split.Round && !way.Traits().Plain {
				continue
			}
			place := func(level float64) string {
				if ctx.Err() != nil {
					return ""
				}
				l, err := c.line(way, level, manner)
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
						l, _ := c.line(way, at(k), manner)
						last = &stretch{Span: split.Span{Lo: at(k), Hi: at(k)}, way: way, manner: manner, seams: len(l.Cuts), turns: int(l.Sharpest().TurnDeg / seenDeg)}
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
	square, err := c.line(split.Yoke{}, level, split.Square)
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
	line, err := c.line(s.way, level, s.manner)
	if err != nil {
		return false
	}
	part := c.part(line, k, above)
	if part == nil {
		return false
	}
	for i := range c.table.bins {
		b := &c.table.bins[i]
		if b.scrap.Copy > 1 || !strings.EqualFold(b.scrap.TheLook(), look) {
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

// carriedPlace is a line that may be carried there, with a look above and one
// below.
type carriedPlace struct {
	*stretch
	level        float64
	above, below string
	round        int     // of the levels of its stretch and looks, which it is
	room         float64 // by how much the level may vary
}

// places are the levels worth trying, the likeliest first: of each stretch and
// pair of looks the welcome level or else the middle one, and then ever more
// between. Where every level leaves a part that no scrap of its look holds, they
// are those at which it is one, which must be cut again.
func (c *carrier) places(ctx context.Context, stretches []*stretch) (out []carriedPlace, whole bool) {
	const apartMM, most, mostAsked = 1.5, 64, 1000
	var all []carriedPlace
	for whole = true; ; whole = false {
		for _, s := range stretches {
			last := -1
			if !whole {
				last = 2*s.seams - 1
			}
			for _, above := range c.looks {
				for _, below := range c.looks {
					if !c.mayPart(above, below) {
						continue
					}
					for leftOut := min(0, last); leftOut <= last; leftOut++ {
						window := s.window(above, below, leftOut)
						if window.Lo > window.Hi {
							continue
						}
						for k, level := range levelsIn(window, s.way.Welcome(c.Body()), apartMM) {
							all = append(all, carriedPlace{s, level, above, below, k, window.Hi - window.Lo})
						}
					}
				}
			}
		}
		if len(all) > 0 || !whole {
			break
		}
	}
	slices.SortStableFunc(all, func(a, b carriedPlace) int {
		return cmp.Or(a.round-b.round, a.seams-b.seams, a.turns-b.turns, cmp.Compare(b.room, a.room))
	})
	for k, p := range all {
		if len(out) == most || k == mostAsked || ctx.Err() != nil {
			break
		}
		if c.mayHold(ctx, p) {
			out = append(out, p)
		}
	}
	if len(out) == 0 { // some part must be cut again
		out = all[:min(len(all), mostCarried)]
	}
	return out, whole && len(all) > 0
}

// mayHold reports whether the scraps of the two looks have area enough for the
// parts, each part on a scrap that holds it by itself, if there is one. That they
// have not is certain.
func (c *carrier) mayHold(ctx context.Context, p carriedPlace) bool {
	line, err := c.line(p.way, p.level, p.manner)
	if err != nil {
		return false
	}
	type choice struct {
		area float64
		bins []int
	}
	var parts []choice
	for k := range line.Cuts {
		for _, above := range []bool{true, false} {
			part, look := c.part(line, k, above), p.below
			if above {
				look = p.above
			}
			if part == nil {
				return false
			}
			one := choice{area: part.area}
			for i := range c.table.bins {
				if !strings.EqualFold(c.table.bins[i].scrap.TheLook(), look) {
					continue
				}
				if _, ok := c.table.fitsOn(ctx, part, &c.table.bins[i]); ok {
					one.bins = append(one.bins, i)
				}
			}
			if len(one.bins) > 0 { // else it is cut again
				parts = append(parts, one)
			}
		}
	}
	slices.SortStableFunc(parts, func(a, b choice) int { return len(a.bins) - len(b.bins) })
	left := map[int]float64{}
	asked := 0
	var lay func(k int) bool
	lay = func(k int) bool {
		const mostAsked = 2000
		if asked++; k == len(parts) || asked > mostAsked {
			return true
		}
		for _, b := range parts[k].bins {
			was, used := left[b]
			if !used {
				was = c.table.bins[b].area
			}
			if was < parts[k].area {
				continue
			}
			left[b] = was - parts[k].area
			if lay(k + 1) {
				return true
			}
			left[b] = was
		}
		return false
	}
	return lay(0)
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
				if !c.mayPart(above, below) {
					continue
				}
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
	const most = 24
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
		if (s.Hi-s.Lo)/parts < apartMM || len(out) >= most {
			return out
		}
	}
}

// mayPart reports whether the looks above and below a line are those that are
// wished for in the piece that leads.
func (c *carrier) mayPart(above, below string) bool {
	for _, w := range c.table.options.Wishes {
		if b, ok := w.(wish.Block); ok && strings.EqualFold(b.Piece, c.Piece) {
			return strings.EqualFold(above, b.Upper) && strings.EqualFold(below, b.Lower)
		}
	}
	return true
}
