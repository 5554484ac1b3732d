package check

import (
	"context"
	"fmt"
	"math"
	"slices"

	"eke/split/plan"
)

// wanting is a copy for which scraps are to be found, or what a first cut leaves of it:
// one for the whole of it, or one for each part that seams make.
type wanting struct {
	at    id
	seams int
	first *choice // nil for a copy
}

// choice is where a copy may go. A whole one is all on the first scrap. Of one that is
// cut twice, one side of the first line is a part, and the other is cut again.
type choice struct {
	before, beyond id
	lines          lines
	loose          float64 // how much further on than its level the part beyond may begin
	only           onlyPart
	bounds         bounds // of the line's level
	areas          [2]float64
}

type onlyPart int

const (
	bothParts onlyPart = iota
	partBefore
	partBeyond
)

// rest is the side of a first line that is cut again, as small as it may be.
func (c *choice) rest() sideOf {
	if c.only == partBefore {
		return sideOf{c.lines, false, c.bounds.hi}
	}
	return sideOf{c.lines, true, c.bounds.lo}
}

// sharing is copies on scraps.
type sharing struct {
	*leastProof
	free  map[id]float64
	on    []wanting
	at    []*choice
	tried int
}

// sound refuses a case of copies of which nothing is known.
func (p *leastProof) sound(copies []plan.SeamsOf) error {
	for i, c := range copies {
		at := id{c.Piece, c.Copy}
		if p.clouds[at] == nil {
			return fmt.Errorf("there is no piece %s to cut", at)
		}
		if c.Seams < 0 || c.Seams > 2 {
			return fmt.Errorf("of a copy with %d seams nothing is known", c.Seams)
		}
		if slices.ContainsFunc(copies[:i], func(o plan.SeamsOf) bool { return o.Piece == c.Piece && o.Copy == c.Copy }) {
			return fmt.Errorf("piece %s is listed twice", at)
		}
		if c.Seams > 0 && p.clouds[at].dartsIn() {
			return fmt.Errorf("piece %s is cut and has darts", at)
		}
	}
	return nil
}

// noPlaces proves that some copies, cut so often, find no scraps: every choice of
// scraps has one that is too small for what it is to hold.
func (p *leastProof) noPlaces(ctx context.Context, copies []plan.SeamsOf) error {
	s := &sharing{leastProof: p, free: map[id]float64{}}
	for _, at := range p.scrapAt {
		s.free[at] = p.room[at]
	}
	var left []wanting
	for _, c := range copies {
		left = append(left, wanting{at: id{c.Piece, c.Copy}, seams: c.Seams})
	}
	found, err := s.found(ctx, left)
	if err != nil {
		return err
	}
	if found {
		where := ""
		for i, w := range s.on {
			where += fmt.Sprintf("; %s on %s", w.at, s.at[i].before)
			if w.seams > 0 {
				where += fmt.Sprintf(" and %s, cut by a %s", s.at[i].beyond, s.at[i].lines.way)
			}
		}
		return fmt.Errorf("it is not ruled out that these copies find places%s", where)
	}
	return nil
}

// mostTried is how many choices, and boxes of levels, are looked at in a case.
const mostTried = 1_000_000

// found looks for scraps for what is left, by backtracking: first for the copy
// that has the fewest choices.
func (s *sharing) found(ctx context.Context, left []wanting) (bool, error) {
	if ctx.Err() != nil {
		return false, fmt.Errorf("there was no time to go through all choices of scraps")
	}
	if len(left) == 0 {
		return s.levelsFound()
	}
	best := -1
	var choices []*choice
	for i, w := range left {
		all, err := s.choices(w)
		if err != nil {
			return false, err
		}
		if best < 0 || len(all) < len(choices) {
			best, choices = i, all
		}
	}
	rest := append(slices.Clone(left[:best]), left[best+1:]...)
	for _, c := range choices {
		if s.tried++; s.tried > mostTried {
			return false, fmt.Errorf("there are too many choices of scraps to go through")
		}
		s.on, s.at = append(s.on, left[best]), append(s.at, c)
		s.free[c.before] -= c.areas[0]
		s.free[c.beyond] -= c.areas[1]
		next := rest
		if c.only != bothParts {
			next = append(slices.Clone(rest), wanting{at: left[best].at, seams: 1, first: c})
		}
		found := s.holds()
		var err error
		if found {
			found, err = s.found(ctx, next)
		}
		if found || err != nil {
			return found, err
		}
		s.free[c.before] += c.areas[0]
		s.free[c.beyond] += c.areas[1]
		s.on, s.at = s.on[:len(s.on)-1], s.at[:len(s.at)-1]
	}
	return false, nil
}

const roundMM2 = 1 // by which areas may be off

// choices are where a copy may go by itself, and by the area that is left.
func (s *sharing) choices(w wanting) (out []*choice, err error) {
	cloud := s.clouds[w.at]
	if w.seams == 0 {
		for _, on := range s.scrapAt {
			if s.allowed(w.at, on) && !s.whole[pair{w.at, on}] && cloud.wholeRoom <= s.free[on]+roundMM2 {
				out = append(out, &choice{before: on, beyond: on, areas: [2]float64{cloud.wholeRoom, 0}})
			}
		}
		return out, nil
	}
	for _, c := range s.linesFor(w) {
		for _, one := range s.scrapAt {
			if !s.allowed(w.at, one) {
				continue
			}
			others := s.scrapAt
			if c.only != bothParts {
				others = []id{one}
			}
			for _, other := range others {
				if !s.allowed(w.at, other) {
					continue
				}
				if w.seams == 1 && w.first == nil && !s.reachesAcross(w.at, one, other) {
					continue
				}
				at := c
				at.before, at.beyond = one, other
				fits, err := s.fits(w, &at)
				if err != nil {
					return nil, err
				}
				if fits {
					out = append(out, &at)
				}
			}
		}
	}
	return out, nil
}

// reachesAcross reports whether two parts of a copy, on two scraps, can reach from end to
// end of it, along the grain and across: each reaches as far as its scrap does, less its
// allowance.
func (s *sharing) reachesAcross(at, one, other id) bool {
	c := s.clouds[at]
	const roundMM = 1.0
	for k := range 2 {
		reach := roundMM
		for _, on := range []id{one, other} {
			wide := s.reach[on]
			reach += math.Max(0, wide[k]+wide[1-k]*s.turnSin-2*(c.allowMM-leewayMM))
		}
		if c.bodyReach[k] > reach {
			return false
		}
	}
	return true
}

// linesFor is along which lines a copy may be cut, or for the second time.
func (s *sharing) linesFor(w wanting) (out []choice) {
	curved := false
	for _, l := range families {
		switch {
		case !l.tried(s.Kinds):
		case w.seams == 2:
			out = append(out, choice{lines: l, only: partBefore}, choice{lines: l, only: partBeyond})
		case w.first == nil:
			out = append(out, choice{lines: l})
		case l.bend != 0:
			curved = true
		case l == w.first.lines && w.first.only == partBeyond:
			// Of two such lines one comes before the other, and is taken for the first.
		default:
			out = append(out, choice{lines: l})
		}
	}
	if curved { // anywhere in a band across the piece
		out = append(out, choice{lines: yoke, loose: s.clouds[w.at].looseMM()})
	}
	return out
}

// fits reports whether a copy may go where a choice says by itself, and by the area
// that is left. It finds the choice's levels and areas.
func (s *sharing) fits(w wanting, c *choice) (bool, error) {
	c.bounds = s.levels(w, c, id{}, id{})
	if c.only != bothParts {
		s.narrow(w, c)
	}
	if c.bounds.lo >= c.bounds.hi {
		return false, nil
	}
	var first sideOf
	if w.first != nil {
		first = w.first.rest()
	}
	var err error
	if c.areas, err = s.parts(w, c, first, c.bounds); err != nil {
		return false, err
	}
	return c.areas[0] <= s.free[c.before]+roundMM2 && c.areas[1] <= s.free[c.beyond]+roundMM2, nil
}

// parts is the least area of the parts that a line makes which runs between some
// levels: of each, or where they lie on one scrap of both together, told as the
// first's. First is what is cut, if that is not the whole copy.
func (s *sharing) parts(w wanting, c *choice, first sideOf, b bounds) (areas [2]float64, err error) {
	cloud := s.clouds[w.at]
	before := func(levelMM float64) (float64, error) {
		return s.roomMM2(cloud, part{sideOf{c.lines, true, levelMM}, first})
	}
	beyond := func(levelMM float64) (float64, error) {
		return s.roomMM2(cloud, part{sideOf{c.lines, false, levelMM + c.loose}, first})
	}
	if c.only == partBefore {
		areas[0], err = before(b.lo)
		return areas, err
	}
	if c.only == partBeyond {
		areas[0], err = beyond(b.hi)
		return areas, err
	}
	if c.before != c.beyond {
		if areas[0], err = before(b.lo); err != nil {
			return areas, err
		}
		areas[1], err = beyond(b.hi)
		return areas, err
	}
	// Together they need what the whole needs, and more along the line between them.
	free := s.free[c.before]
	if w.first != nil {
		areas[0], err = s.roomMM2(cloud, part{cut: first})
		return areas, err
	}
	areas[0] = cloud.partsRoom
	const manyAllowances = 4
	if areas[0]+manyAllowances*cloud.allowMM*math.Max(cloud.hi[0]-cloud.lo[0], cloud.hi[1]-cloud.lo[1]) < free || areas[0] > free {
		return areas, nil
	}
	// From one level of a grid to the next, so that levels are looked at once.
	const grid = 4.0
	least := math.Inf(1)
	for at := math.Floor(b.lo/grid) * grid; at < b.hi; at += grid {
		near, err := before(at)
		if err != nil {
			return areas, err
		}
		far, err := beyond(at + grid)
		if err != nil {
			return areas, err
		}
		least = math.Min(least, near+far)
	}
	areas[0] = math.Max(areas[0], least)
	return areas, nil
}

// mostAreas is how many parts are measured.
const mostAreas = 20_000

// roomMM2 measures a part, but not too many.
func (s *sharing) roomMM2(c *cloud, q part) (float64, error) {
	if _, known := c.rooms[q]; !known {
		if s.areas++; s.areas > mostAreas {
			return 0, fmt.Errorf("there are too many parts to measure")
		}
	}
	return c.roomMM2(q)
}

// levels are those at which a line may cut a copy so that what lies before it goes
// on one scrap, beside some copy there, and what lies beyond it on another. What is
// known of less than what is cut counts too.
func (s *sharing) levels(w wanting, c *choice, besideBefore, besideBeyond id) bounds {
	b := s.clouds[w.at].leastMM[c.lines]
	if c.loose > 0 {
		b.lo, b.hi = b.lo-2*c.loose, b.hi+2*c.loose
	}
	firsts := []sideOf{{}}
	if w.first != nil {
		rest := w.first.rest()
		of := rest
		of.levelMM = 0
		firsts = nil
		for _, l := range s.firsts[of] {
			if rest.before && l <= rest.levelMM || !rest.before && l >= rest.levelMM {
				firsts = append(firsts, sideOf{rest.lines, rest.before, l})
			}
		}
	}
	for _, first := range firsts {
		for _, beside := range []id{{}, besideBefore} {
			s.learnt(&b, c, sideOn{trio{w.at, c.before, beside}, c.lines, first, sideOf{}}, true)
		}
		for _, beside := range []id{{}, besideBeyond} {
			s.learnt(&b, c, sideOn{trio{w.at, c.beyond, beside}, c.lines, first, sideOf{}}, false)
		}
	}
	return b
}

// learnt leaves the levels at which what lies before a line, or beyond it, is not known
// to lie nowhere.
func (s *sharing) learnt(b *bounds, c *choice, of sideOn, before bool) {
	ends, ok := s.ends[of]
	switch {
	case !ok:
	case before && c.only != partBeyond:
		b.hi = math.Min(b.hi, ends[1])
	case !before && c.only != partBefore:
		b.lo = math.Max(b.lo, ends[0]-c.loose)
	}
}

// narrow leaves those levels of a choice at which its parts lie beside the whole copies
// that have places, beside parts of others, and beside each other.
func (s *sharing) narrow(w wanting, c *choice) {
	for k, o := range s.on {
		switch {
		case o.at == w.at:
		case o.seams == 0:
			if s.at[k].before == c.before {
				c.bounds.hi = math.Min(c.bounds.hi, s.levels(w, c, o.at, id{}).hi)
			}
			if s.at[k].before == c.beyond {
				c.bounds.lo = math.Max(c.bounds.lo, s.levels(w, c, id{}, o.at).lo)
			}
		case w.first == nil && o.first == nil:
			at := s.at[k]
			for _, before := range []bool{true, false} {
				if at.only == partBeyond && before || at.only == partBefore && !before {
					continue
				}
				on := at.beyond
				if before {
					on = at.before
				}
				for _, beside := range s.within(o.at, at.lines, before, at.bounds) {
					if on == c.before {
						s.learnt(&c.bounds, c, sideOn{trio{w.at, on, o.at}, c.lines, sideOf{}, beside}, true)
					}
					if on == c.beyond {
						s.learnt(&c.bounds, c, sideOn{trio{w.at, on, o.at}, c.lines, sideOf{}, beside}, false)
					}
				}
			}
		}
	}
	if w.first != nil || c.only != bothParts || c.before != c.beyond {
		return
	}
	// The less may lie beyond, the more is there beside what lies before, so that less of
	// that does.
	for was := math.Inf(1); c.bounds.hi < was; {
		was = c.bounds.hi
		for _, beside := range s.within(w.at, c.lines, false, c.bounds) {
			s.learnt(&c.bounds, c, sideOn{trio{w.at, c.before, w.at}, c.lines, sideOf{}, beside}, true)
		}
	}
}

// within is the parts of a copy of which something is known, and that lie within what
// is on a side of its line at every level.
func (s *sharing) within(at id, l lines, before bool, b bounds) (out []sideOf) {
	for _, level := range s.besides[sideLevels{at, l, before}] {
		if before && level <= b.lo || !before && level >= b.hi {
			out = append(out, sideOf{l, before, level})
		}
	}
	return out
}

// holds reports whether none of the copies that have places are known to be too large
// to share a scrap.
func (s *sharing) holds() bool {
	box := make([]bounds, len(s.on))
	for i, w := range s.on {
		if w.seams == 0 {
			for k, o := range s.on[:i] {
				if o.seams == 0 && s.at[i].before == s.at[k].before && s.beside[trio{w.at, s.at[i].before, o.at}] {
					return false
				}
			}
			continue
		}
		c := *s.at[i]
		if s.narrow(w, &c); c.bounds.lo >= c.bounds.hi {
			return false
		}
		box[i] = c.bounds
	}
	if len(s.crowds) == 0 {
		return true
	}
	for on, parts := range s.laid(box) {
		if s.overfull(on, parts) {
			return false
		}
	}
	return true
}

// levelsFound reports whether there are levels for all lines at once for which the
// scraps have the area: boxes of levels are halved until each has too little.
func (s *sharing) levelsFound() (bool, error) {
	const gridMM = 8.0
	free := map[id]float64{}
	for _, at := range s.scrapAt {
		free[at] = s.room[at]
	}
	box := make([]bounds, len(s.on))
	for i, w := range s.on {
		c := *s.at[i]
		if w.seams == 0 {
			free[c.before] -= c.areas[0]
			continue
		}
		s.narrow(w, &c)
		box[i] = c.bounds
	}
	stack := [][]bounds{box}
	for len(stack) > 0 {
		box := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if s.tried++; s.tried > mostTried {
			return false, fmt.Errorf("there are too many levels to go through")
		}
		room, err := s.roomFor(box, free)
		if err != nil {
			return false, err
		}
		if !room {
			continue
		}
		widest := 0
		for i := range box {
			if box[i].hi-box[i].lo > box[widest].hi-box[widest].lo {
				widest = i
			}
		}
		if len(box) == 0 || box[widest].hi-box[widest].lo <= gridMM {
			return true, nil
		}
		mid := math.Round((box[widest].lo+box[widest].hi)/2/gridMM) * gridMM
		lower, upper := slices.Clone(box), slices.Clone(box)
		lower[widest].hi, upper[widest].lo = mid, mid
		stack = append(stack, lower, upper)
	}
	return false, nil
}

// roomFor reports whether the scraps have the area for all parts of lines at the
// levels of a box.
func (s *sharing) roomFor(box []bounds, free map[id]float64) (bool, error) {
	used := map[id]float64{}
	for i, w := range s.on {
		if w.seams == 0 {
			continue
		}
		c := *s.at[i]
		apart := c // both parts of one copy may lie on one scrap: each counts
		apart.beyond = id{}
		areas, err := s.parts(w, &apart, s.firstOf(w, box), box[i])
		if err != nil {
			return false, err
		}
		if c.only == bothParts && w.first == nil && c.before == c.beyond {
			areas[0], areas[1] = math.Max(areas[0]+areas[1], s.clouds[w.at].partsRoom), 0
		}
		used[c.before] += areas[0]
		used[c.beyond] += areas[1]
	}
	for at, mm2 := range used {
		if mm2 > free[at]+roundMM2 {
			return false, nil
		}
	}
	on := s.laid(box)
	for _, at := range s.scrapAt {
		if len(on[at]) < 2 {
			continue
		}
		if s.overfull(at, on[at]) {
			return false, nil
		}
		if fits, err := s.discsFit(at, on[at]); err != nil || !fits {
			return false, err
		}
	}
	return true, nil
}

// firstOf is what a first cut leaves, as small as it may be with levels of a box, of a copy
// that is cut again.
func (s *sharing) firstOf(w wanting, box []bounds) sideOf {
	if w.first == nil {
		return sideOf{}
	}
	of := *w.first
	of.bounds = box[slices.Index(s.at, w.first)]
	return of.rest()
}

// laid is what lies on each scrap for certain, with lines at the levels of a box.
func (s *sharing) laid(box []bounds) map[id][]lain {
	on := map[id][]lain{}
	for i, w := range s.on {
		c := s.at[i]
		lay := func(at id, q part) { on[at] = append(on[at], lain{w.at, s.clouds[w.at], q}) }
		if w.seams == 0 {
			lay(c.before, part{})
			continue
		}
		first := s.firstOf(w, box)
		if c.only != partBeyond {
			lay(c.before, part{sideOf{c.lines, true, box[i].lo}, first})
		}
		if c.only != partBefore {
			lay(c.beyond, part{sideOf{c.lines, false, box[i].hi + c.loose}, first})
		}
	}
	return on
}
