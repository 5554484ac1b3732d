package search

import (
	"context"
	"math"
	"slices"
)

// placedShape is a shape that has its bins. A whole copy has family -1.
type placedShape struct {
	shape, family  int
	before, beyond int
	only           partsOf
	lo, hi         float64  // levels of the line
	by             [2]*fact // what they are known by
	also           []*fact  // and of parts beside each other
	areas          [2]float64
}

// partsOf says that only one part has a bin, and the other is to be cut again.
type partsOf int

const (
	both partsOf = iota
	onlyBefore
	onlyBeyond
)

// side is the bin of what lies on one side of the line, and its least level.
func (p *placedShape) side(before bool) (bin int, level float64, ok bool) {
	if before {
		return p.before, p.lo, p.only != onlyBeyond
	}
	return p.beyond, p.hi, p.only != onlyBefore
}

// wanting is a shape that is to be cut so often.
type wanting struct{ shape, seams int }

// sharing gives copies bins by backtracking, by all that is known to lie nowhere and
// by areas.
type sharing struct {
	*exhaustion
	use    bool    // mark the facts that leave choices out
	learn  bool    // ask on the way where each part lies by itself
	discs  bool    // ask whether discs find room
	loose  float64 // how much further on things lie nowhere beside others than it seems
	free   []float64
	placed []placedShape
	open   [][]lain // what lies on each bin where they find bins
	least  [][]lain // of that, what lies there at all levels
	tried  int
	gaveUp bool
}

// run reports whether the copies find bins.
func (s *sharing) run(ctx context.Context, of []seamsOf) bool {
	s.free, s.placed, s.tried = nil, nil, 0
	s.free = slices.Clone(s.binRoom)
	var left []wanting
	for _, c := range of {
		left = append(left, wanting{c.copy, c.seams})
	}
	return s.place(ctx, left)
}

func (s *sharing) place(ctx context.Context, left []wanting) bool {
	const most = 200_000
	if len(left) == 0 {
		return s.levelsFound()
	}
	best := -1
	var choices []placedShape
	for i, w := range left {
		if all := s.choices(w); best < 0 || len(all) < len(choices) {
			best, choices = i, all
		}
	}
	rest := slices.Delete(slices.Clone(left), best, best+1)
	for _, c := range choices {
		if s.tried++; s.tried > most || ctx.Err() != nil {
			s.gaveUp = true
			return false
		}
		if !s.fits(&c) || s.learn && !s.asked(ctx, &c) {
			continue
		}
		s.placed = append(s.placed, c)
		s.free[c.before] -= c.areas[0]
		s.free[c.beyond] -= c.areas[1]
		next := rest
		switch c.only {
		case onlyBefore:
			next = append(slices.Clone(rest), wanting{s.shapeBeyond(c.shape, c.family, false, c.hi), 1})
		case onlyBeyond:
			next = append(slices.Clone(rest), wanting{s.shapeBeyond(c.shape, c.family, true, c.lo), 1})
		}
		if s.holds() && s.place(ctx, next) {
			return true
		}
		s.free[c.before] += c.areas[0]
		s.free[c.beyond] += c.areas[1]
		s.placed = s.placed[:len(s.placed)-1]
	}
	return false
}

// asked learns where a choice lies by itself, and what is to be cut again beside whole
// copies too. It reports whether the choice still fits.
func (s *sharing) asked(ctx context.Context, c *placedShape) bool {
	fits := true
	ask := func(q factOf) {
		if _, known := s.facts[q.key()]; !known && fits && ctx.Err() == nil {
			fits = !s.exhaustion.ask(ctx, q) || s.fits(c)
		}
	}
	s.eachAlone(*c, ask)
	if c.only == both {
		return fits
	}
	s.eachAlone(*c, func(q factOf) {
		for _, o := range s.placed {
			if o.family < 0 && o.before == q.bin {
				q.beside = o.shape
				ask(q)
			}
		}
	})
	return fits
}

// nowhere is a fact that is known, or nil.
func (s *sharing) nowhere(q factOf) *fact {
	f := s.facts[q.key()]
	if f == nil || !f.nowhere {
		return nil
	}
	return f
}

// levelOf is the level from which on something lies nowhere: where it seems so, or beside
// another so far further on; or where it is proved to.
func (s *sharing) levelOf(f *fact) float64 {
	level := f.level
	if f.family >= 0 && f.beside >= 0 {
		level = further(f.before, level, s.loose)
	}
	if f.proved && (level > f.surely) == f.before {
		return f.surely
	}
	return level
}

// mark marks what it is that leaves a choice out.
func (s *sharing) mark(by ...*fact) {
	for _, f := range by {
		if f != nil && s.use {
			f.used = true
		}
	}
}

// markCut marks what the levels of a choice are known by, and if it is a part that is
// cut again, those of the cut before.
func (s *sharing) markCut(p placedShape) {
	s.mark(p.by[:]...)
	if s.mark(p.also...); len(p.also) > 0 {
		s.markAreas()
	}
	if s.shapes[p.shape].first == nil {
		return
	}
	for _, o := range s.placed {
		if o.only != both && o.shape == s.shapes[p.shape].copy {
			s.mark(o.by[:]...)
		}
	}
}

// markAreas marks what the areas of all that is placed are known by.
func (s *sharing) markAreas() {
	for _, o := range s.placed {
		s.mark(o.by[:]...)
	}
}

// choices are the bins that a shape may go on.
func (s *sharing) choices(w wanting) (out []placedShape) {
	at := &s.shapes[w.shape]
	add := func(p placedShape) {
		if s.fits(&p) {
			out = append(out, p)
		}
	}
	if w.seams == 0 {
		for k := range s.table.bins {
			add(placedShape{shape: w.shape, family: -1, before: k, beyond: k})
		}
		return out
	}
	for l := range at.families {
		f := &at.families[l]
		// Of two lines alike the first one cut is the one before.
		if f.hidden || at.first != nil && f.loose == 0 && at.first.Side == "before" && at.first.Way == f.is.Way && at.first.TurnDeg == f.is.TurnDeg {
			continue
		}
		if w.seams == 2 {
			for _, k := range s.largest {
				add(placedShape{shape: w.shape, family: l, before: k, beyond: k, only: onlyBefore})
				add(placedShape{shape: w.shape, family: l, before: k, beyond: k, only: onlyBeyond})
			}
			continue
		}
		// How far the one part goes on its bin has nothing to do with the other's.
		alone := make([]placedShape, len(s.table.bins))
		for k := range alone {
			alone[k] = placedShape{shape: w.shape, family: l, before: k, beyond: k}
			alone[k].lo, alone[k].hi, alone[k].by = s.levels(alone[k], -1, -1)
		}
		for _, one := range s.largest {
			for other := range alone {
				if at.first == nil && !s.reachesAcross(w.shape, one, other) {
					continue
				}
				p := alone[one]
				p.beyond, p.lo, p.by[0] = other, alone[other].lo, alone[other].by[0]
				if s.fitsWithin(&p) {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// reachesAcross is a certain bound: two parts of a copy reach from end to end of it, each as
// far as its bin does.
func (s *sharing) reachesAcross(copy, one, other int) bool {
	ring := s.sure[copy].ring
	if len(ring) < 3 {
		return true
	}
	lo, hi := s.blanks[copy].Frame.Box(ring)
	turn := math.Sin(s.table.options.GrainToleranceDeg * math.Pi / 180)
	round := 2 * (s.sureAllowance(copy, &family{}) - sayOffMM)
	reach := func(wide, other float64) float64 { return math.Max(0, wide+other*turn-round) }
	a, b := &s.table.bins[one], &s.table.bins[other]
	const clearMM = 2
	return hi[0]-lo[0] <= reach(a.width, a.length)+reach(b.width, b.length)+clearMM &&
		hi[1]-lo[1] <= reach(a.length, a.width)+reach(b.length, b.width)+clearMM
}

// fits reports whether a shape may go on its bins, by itself and by the area that is
// left, and finds its levels and areas.
func (s *sharing) fits(p *placedShape) bool {
	if p.family >= 0 {
		p.lo, p.hi, p.by = s.levels(*p, -1, -1)
	}
	return s.fitsWithin(p)
}

// fitsWithin is the same where the levels are known at which each part lies by itself.
func (s *sharing) fitsWithin(p *placedShape) bool {
	copy := s.shapes[p.shape].copy
	for _, k := range []int{p.before, p.beyond} {
		if !s.table.allowed(s.blanks[copy].piece, s.table.bins[k].scrap) {
			return false
		}
	}
	if p.family < 0 {
		p.areas[0] = s.room[copy]
		if f := s.nowhere(factOf{p.shape, -1, true, p.before, -1}); f != nil {
			s.mark(f)
			return false
		}
		if p.areas[0] > s.free[p.before] {
			s.markAreas()
			return false
		}
		return true
	}
	if p.lo >= p.hi {
		s.markCut(*p)
		return false
	}
	if p.only != both {
		for _, o := range s.placed {
			if o.family < 0 && o.before == p.before {
				s.narrow(p, o.shape, o.shape)
			}
		}
		if p.lo >= p.hi {
			s.markCut(*p)
			return false
		}
	}
	switch {
	case p.only == onlyBefore:
		p.areas[0] = s.areaOf(p.shape, p.family, true, p.lo)
	case p.only == onlyBeyond:
		p.areas[0] = s.areaOf(p.shape, p.family, false, p.hi)
	case p.before == p.beyond:
		p.areas[0] = s.areaOfBoth(p.shape, p.family, p.lo, p.hi, s.free[p.before])
	default:
		p.areas = [2]float64{s.areaOf(p.shape, p.family, true, p.lo), s.areaOf(p.shape, p.family, false, p.hi)}
	}
	if p.areas[0] > s.free[p.before] || p.areas[1] > s.free[p.beyond] {
		s.markCut(*p)
		s.markAreas()
		return false
	}
	return true
}

// narrow leaves those levels at which the parts lie beside some copies.
func (s *sharing) narrow(p *placedShape, besideBefore, besideBeyond int) {
	lo, hi, by := s.levels(*p, besideBefore, besideBeyond)
	if lo > p.lo {
		p.lo, p.by[0] = lo, by[0]
	}
	if hi < p.hi {
		p.hi, p.by[1] = hi, by[1]
	}
}

// levels are those at which a line may cut a shape so that its parts lie on their
// bins, beside some copies there, and what they are known by.
func (s *sharing) levels(p placedShape, besideBefore, besideBeyond int) (lo, hi float64, by [2]*fact) {
	f := &s.shapes[p.shape].families[p.family]
	lo, hi = f.lo, f.hi
	for _, of := range s.shapes[p.shape].holds {
		for _, beside := range [2]int{-1, besideBeyond} {
			if p.only == onlyBefore {
				break
			}
			if k := s.nowhere(factOf{of, f.asked, false, p.beyond, beside}); k != nil && s.levelOf(k)-f.loose > lo {
				lo, by[0] = s.levelOf(k)-f.loose, k
			}
		}
		for _, beside := range [2]int{-1, besideBefore} {
			if p.only == onlyBeyond {
				break
			}
			if k := s.nowhere(factOf{of, f.asked, true, p.before, beside}); k != nil && s.levelOf(k) < hi {
				hi, by[1] = s.levelOf(k), k
			}
		}
	}
	return lo, hi, by
}

// holds reports whether no copies are known to be too large to lie where they are,
// beside those that are whole.
func (s *sharing) holds() bool {
	var cut []placedShape
	for i, p := range s.placed {
		if p.family < 0 {
			for _, o := range s.placed[:i] {
				if o.family < 0 && o.before == p.before {
					if f := s.nowhere(factOf{min(p.shape, o.shape), -1, true, p.before, max(p.shape, o.shape)}); f != nil {
						s.mark(f)
						return false
					}
				}
			}
			continue
		}
		if s.beside(&p); p.lo >= p.hi {
			s.markCut(p)
			return false
		}
		cut = append(cut, p)
	}
	if len(s.crowds) == 0 {
		return true
	}
	for bin, parts := range s.laid(cut, func(p placedShape) int { return p.shape }) {
		if c := s.overfull(bin, parts); c != nil {
			s.markCrowd(c)
			s.markLevels(cut)
			return false
		}
	}
	return true
}

// markCrowd marks a crowd that leaves a choice out.
func (s *sharing) markCrowd(c *crowd) { c.used = c.used || s.use }

// markLevels marks what all levels are known by.
func (s *sharing) markLevels(cut []placedShape) {
	s.markAreas()
	for _, p := range cut {
		s.mark(p.by[:]...)
		s.mark(p.also...)
	}
}

// beside leaves those levels at which the parts lie beside all whole copies.
func (s *sharing) beside(p *placedShape) {
	s.narrow(p, -1, -1)
	for _, o := range s.placed {
		if o.family >= 0 {
			continue
		}
		if o.before == p.before {
			s.narrow(p, o.shape, -1)
		}
		if o.before == p.beyond {
			s.narrow(p, -1, o.shape)
		}
	}
	s.besideParts(p)
}

// meetsItself reports whether both parts of a copy that is cut once are on one bin.
func (s *sharing) meetsItself(p placedShape) bool {
	return p.shape < len(s.blanks) && p.family >= 0 && p.only == both && p.before == p.beyond
}

// levelsOf leaves those levels that are known of a part beside the other part.
func (s *sharing) levelsOf(p *placedShape) {
	if !s.meetsItself(*p) {
		return
	}
	// The less may lie beyond, the more is there beside what lies before, so that less
	// of that does.
	for was := math.Inf(1); p.hi < was; {
		was = p.hi
		s.narrowBy(p, p.before, true, s.within(p.shape, p.family, false, *p))
	}
}

// besideParts leaves those levels at which the parts lie beside those of other copies,
// and beside each other.
func (s *sharing) besideParts(p *placedShape) {
	if p.shape < len(s.blanks) {
		for _, o := range s.placed {
			if o.family < 0 || o.shape == p.shape || o.shape >= len(s.blanks) {
				continue
			}
			for _, before := range []bool{true, false} {
				on, _, ok := o.side(before)
				if !ok {
					continue
				}
				shapes := s.within(o.shape, o.family, before, o)
				if on == p.before && p.only != onlyBeyond {
					s.narrowBy(p, on, true, shapes)
				}
				if on == p.beyond && p.only != onlyBefore {
					s.narrowBy(p, on, false, shapes)
				}
			}
		}
	}
	s.levelsOf(p)
}

// within is the shapes within what is on a side of a copy's line at each of its levels.
func (s *sharing) within(copy, family int, before bool, p placedShape) (out []int) {
	of := *s.families[copy][family].side(before, 0)
	for k := len(s.blanks); k < len(s.shapes); k++ {
		if s.shapes[k].copy != copy {
			continue
		}
		first := *s.shapes[k].first
		level := first.LevelMM
		if first.LevelMM = 0; first == of && (before && level <= p.lo || !before && level >= p.hi) {
			out = append(out, k)
		}
	}
	return out
}

// narrowBy leaves those levels at which one part lies beside some shapes on a bin.
func (s *sharing) narrowBy(p *placedShape, bin int, before bool, beside []int) {
	f := &s.shapes[p.shape].families[p.family]
	for _, k := range beside {
		known := s.nowhere(factOf{p.shape, f.asked, before, bin, k})
		switch {
		case known == nil:
		case before && s.levelOf(known) < p.hi:
			p.hi, p.also = s.levelOf(known), append(slices.Clone(p.also), known)
		case !before && s.levelOf(known) > p.lo:
			p.lo, p.also = s.levelOf(known), append(slices.Clone(p.also), known)
		}
	}
}

// wholeRoom is the area of a shape with half the gap round it.
func (a *exhaustion) wholeRoom(shape int) float64 {
	key, areas := areaKey{family: -1}, a.shapes[shape].areas
	if _, ok := areas[key]; !ok {
		areas[key] = a.sayableOf(shape, nil, true, 0, 2*sayCoarseMM-a.table.options.GapMM/2).area
	}
	return areas[key]
}

// levelsFound reports whether there are levels for all lines at once, by area, or may
// be: boxes of levels are halved until each is ruled out.
func (s *sharing) levelsFound() bool {
	const (
		gridMM = 8
		most   = 400 // boxes
	)
	var cut []placedShape
	free := slices.Clone(s.binRoom)
	for _, p := range s.placed {
		if p.family < 0 {
			free[p.before] -= p.areas[0]
			continue
		}
		s.beside(&p)
		cut = append(cut, p)
	}
	stack, tried := [][]placedShape{cut}, 0
	for len(stack) > 0 {
		box := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if !s.roomFor(box, free) {
			continue
		}
		widest := -1
		for i := range box {
			if wide := box[i].hi - box[i].lo; wide > gridMM && (widest < 0 || wide > box[widest].hi-box[widest].lo) {
				widest = i
			}
		}
		if tried++; widest < 0 || tried > most {
			s.least = s.laid(cut, func(p placedShape) int { return p.shape })
			return true
		}
		mid := math.Round((box[widest].lo+box[widest].hi)/2/gridMM) * gridMM
		lower, upper := slices.Clone(box), slices.Clone(box)
		lower[widest].hi, upper[widest].lo = mid, mid
		stack = append(stack, lower, upper)
	}
	s.markLevels(cut)
	return false
}

// roomFor reports whether the bins have the area for all parts of lines at the levels of
// a box.
func (s *sharing) roomFor(box []placedShape, free []float64) bool {
	used := make([]float64, len(free))
	for _, p := range box {
		at, one, other := s.shapeAt(box, p), 0.0, 0.0
		if p.only != onlyBeyond {
			one = s.areaOf(at, p.family, true, p.lo)
		}
		if p.only != onlyBefore {
			other = s.areaOf(at, p.family, false, p.hi)
		}
		if s.meetsItself(p) {
			one, other = math.Max(one+other, s.inParts[p.shape]), 0
		}
		used[p.before] += one
		used[p.beyond] += other
	}
	for k := range used {
		if used[k] > free[k] {
			return false
		}
	}
	on := s.laid(box, func(p placedShape) int { return s.shapeAt(box, p) })
	for k := range on {
		if len(on[k]) < 2 {
			continue
		}
		if c := s.overfull(k, on[k]); c != nil {
			s.markCrowd(c)
			return false
		}
		if s.discs && !s.discsFit(k, on[k]) {
			return false
		}
	}
	s.open = on
	return true
}

// shapeAt is the shape that a line cuts, of a copy cut before as of the levels of that cut.
func (s *sharing) shapeAt(box []placedShape, p placedShape) int {
	if s.shapes[p.shape].first == nil {
		return p.shape
	}
	for i := range box {
		o := &box[i]
		if o.only == both || o.shape != s.shapes[p.shape].copy {
			continue
		}
		if o.only == onlyBefore {
			return s.shapeBeyond(o.shape, o.family, false, o.hi)
		}
		return s.shapeBeyond(o.shape, o.family, true, o.lo)
	}
	return p.shape
}

// laid is what lies on each bin for certain, with lines at the levels of a box, and
// what they cut.
func (s *sharing) laid(box []placedShape, shapeOf func(placedShape) int) [][]lain {
	on := make([][]lain, len(s.table.bins))
	for _, p := range s.placed {
		if p.family < 0 {
			on[p.before] = append(on[p.before], lain{p.shape, -1, true, 0})
		}
	}
	for _, p := range box {
		at := shapeOf(p)
		if p.only != onlyBeyond {
			on[p.before] = append(on[p.before], lain{at, p.family, true, p.lo})
		}
		if p.only != onlyBefore {
			on[p.beyond] = append(on[p.beyond], lain{at, p.family, false, p.hi})
		}
	}
	return on
}

// areaOf is the least area of a part with half the gap round it, a little less to be sure
// of it. Parts that lie on one bin have a gap between them.
func (s *sharing) areaOf(shape, family int, before bool, level float64) float64 {
	f := &s.shapes[shape].families[family]
	if !before {
		level += f.loose
	}
	key := areaKey{f.asked, before, level}
	a, ok := s.shapes[shape].areas[key]
	if !ok {
		a = math.Max(0, s.sayableOf(shape, f, before, further(before, level, -areaClearMM), -s.table.options.GapMM/2-areaSureMM).area)
		s.shapes[shape].areas[key] = a
	}
	return a
}

// areaOfBoth is the least area of both parts together, of a line between some levels.
// Where there is room for any, it is that of the whole, which is less.
func (s *sharing) areaOfBoth(shape, family int, lo, hi, free float64) float64 {
	const stepMM, manyAllowances = 4, 4
	copy := s.shapes[shape].copy
	b := s.blanks[copy]
	if s.shapes[shape].first != nil {
		return s.wholeRoom(shape)
	}
	whole := s.inParts[copy]
	if most := whole + manyAllowances*s.allow[copy]*math.Max(b.width, b.length); whole > free || most < free {
		return whole
	}
	least := math.Inf(1)
	for at := math.Floor(lo/stepMM) * stepMM; at < hi; at += stepMM {
		least = math.Min(least, s.areaOf(shape, family, true, at)+s.areaOf(shape, family, false, at+stepMM))
	}
	return math.Max(whole, least)
}

const (
	// areaClearMM is by how much levels may be off, more than enough.
	areaClearMM = 0.3
	// areaSureMM is how much more round a shape is certain where only its area counts: that
	// is proved of the shape itself, and not of points some way apart.
	areaSureMM = 0.13
)

type areaKey struct {
	family int
	before bool
	level  float64
}
