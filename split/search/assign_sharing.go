package search

import (
	"context"
	"math"
	"slices"
)

// placedCopy is a copy that has its bins. A whole one has family -1.
type placedCopy struct {
	copy, family   int
	before, beyond int
	areas          [2]float64
}

// sharing gives copies bins by backtracking, by all that is known to lie nowhere and
// by areas.
type sharing struct {
	*exhaustion
	use    bool // mark the facts that leave choices out
	free   []float64
	placed []placedCopy
	tried  int
	gaveUp bool
}

// run reports whether the copies find bins.
func (s *sharing) run(ctx context.Context, of []seamsOf) bool {
	s.free, s.placed, s.tried = nil, nil, 0
	for k := range s.table.bins {
		s.free = append(s.free, s.table.bins[k].area)
	}
	return s.place(ctx, of)
}

func (s *sharing) place(ctx context.Context, left []seamsOf) bool {
	const most = 200_000
	if len(left) == 0 {
		return true
	}
	if ctx.Err() != nil {
		s.gaveUp = true
		return false
	}
	best := -1
	var choices []placedCopy
	for i, c := range left {
		if all := s.choices(c); best < 0 || len(all) < len(choices) {
			best, choices = i, all
		}
	}
	rest := slices.Delete(slices.Clone(left), best, best+1)
	for _, c := range choices {
		if s.tried++; s.tried > most {
			s.gaveUp = true
			return false
		}
		s.placed = append(s.placed, c)
		s.free[c.before] -= c.areas[0]
		s.free[c.beyond] -= c.areas[1]
		if s.holds() && s.place(ctx, rest) {
			return true
		}
		s.free[c.before] += c.areas[0]
		s.free[c.beyond] += c.areas[1]
		s.placed = s.placed[:len(s.placed)-1]
	}
	return false
}

// nowhere is a fact that is known, or nil.
func (s *sharing) nowhere(q factOf) *fact {
	f := s.facts[q]
	if f == nil || !f.nowhere {
		return nil
	}
	return f
}

// drop reports true, and marks what it is that leaves a choice out.
func (s *sharing) drop(by ...*fact) bool {
	for _, f := range by {
		if f != nil && s.use {
			f.used = true
		}
	}
	return true
}

// choices are the bins that a copy may go on.
func (s *sharing) choices(c seamsOf) (out []placedCopy) {
	allowed := func(k int) bool { return s.table.allowed(s.blanks[c.copy].piece, s.table.bins[k].scrap) }
	if c.seams == 0 {
		area := s.whole[c.copy].area
		for k := range s.table.bins {
			if !allowed(k) || area > s.free[k] {
				continue
			}
			if f := s.nowhere(factOf{c.copy, -1, true, k, -1}); f != nil && s.drop(f) {
				continue
			}
			out = append(out, placedCopy{c.copy, -1, k, k, [2]float64{area, 0}})
		}
		return out
	}
	for l := range s.families[c.copy] {
		for one := range s.table.bins {
			if !allowed(one) {
				continue
			}
			for other := range s.table.bins {
				if !allowed(other) {
					continue
				}
				p := placedCopy{copy: c.copy, family: l, before: one, beyond: other}
				lo, hi, by := s.levels(p, -1, -1)
				if lo >= hi && s.drop(by[:]...) {
					continue
				}
				if one == other {
					p.areas[0] = s.areaOfBoth(c.copy, l, lo, hi, s.free[one])
				} else {
					p.areas = [2]float64{s.areaOf(c.copy, l, true, lo), s.areaOf(c.copy, l, false, hi)}
				}
				if p.areas[0] > s.free[one] || p.areas[1] > s.free[other] {
					s.drop(by[:]...)
					continue
				}
				out = append(out, p)
			}
		}
	}
	return out
}

// levels are those at which a line may cut a copy so that its parts lie on their
// bins, beside some copies there, and what they are known by.
func (s *sharing) levels(p placedCopy, besideBefore, besideBeyond int) (lo, hi float64, by [2]*fact) {
	f := &s.families[p.copy][p.family]
	lo, hi = f.lo, f.hi
	for _, beside := range []int{-1, besideBeyond} {
		if k := s.nowhere(factOf{p.copy, p.family, false, p.beyond, beside}); k != nil && k.level > lo {
			lo, by[0] = k.level, k
		}
	}
	for _, beside := range []int{-1, besideBefore} {
		if k := s.nowhere(factOf{p.copy, p.family, true, p.before, beside}); k != nil && k.level < hi {
			hi, by[1] = k.level, k
		}
	}
	return lo, hi, by
}

// holds reports whether no copies are known to be too large to lie where they are,
// beside those that are whole.
func (s *sharing) holds() bool {
	for i, p := range s.placed {
		if p.family < 0 {
			for _, o := range s.placed[:i] {
				if o.family < 0 && o.before == p.before {
					if f := s.nowhere(factOf{min(p.copy, o.copy), -1, true, p.before, max(p.copy, o.copy)}); f != nil && s.drop(f) {
						return false
					}
				}
			}
			continue
		}
		lo, hi, by := s.levels(p, -1, -1)
		for _, o := range s.placed {
			if o.family >= 0 || o.copy == p.copy {
				continue
			}
			if o.before == p.before {
				if _, h, b := s.levels(p, o.copy, -1); h < hi {
					hi, by[1] = h, b[1]
				}
			}
			if o.before == p.beyond {
				if l, _, b := s.levels(p, -1, o.copy); l > lo {
					lo, by[0] = l, b[0]
				}
			}
		}
		if lo >= hi && s.drop(by[:]...) {
			return false
		}
	}
	return true
}

// areaOf is the least area of a part, a little less to be sure of it.
func (s *sharing) areaOf(copy, family int, before bool, level float64) float64 {
	key := areaKey{copy, family, before, level}
	a, ok := s.areas[key]
	if !ok {
		f := &s.families[copy][family]
		a = math.Max(0, s.sayableOf(copy, f, before, further(before, level, -areaClearMM), 0).area)
		s.areas[key] = a
	}
	return a
}

// areaOfBoth is the least area of both parts together, of a line between some levels.
// Where there is room for any, it is that of the whole, which is less.
func (s *sharing) areaOfBoth(copy, family int, lo, hi, free float64) float64 {
	const stepMM, manyAllowances = 4, 4
	b := s.blanks[copy]
	whole := s.inParts[copy]
	if most := whole + manyAllowances*s.allow[copy]*math.Max(b.width, b.length); whole > free || most < free {
		return whole
	}
	least := math.Inf(1)
	for at := math.Floor(lo/stepMM) * stepMM; at < hi; at += stepMM {
		least = math.Min(least, s.areaOf(copy, family, true, at)+s.areaOf(copy, family, false, at+stepMM))
	}
	return math.Max(whole, least)
}

// areaClearMM is by how much levels may be off, more than enough.
const areaClearMM = 0.6

type areaKey struct {
	copy, family int
	before       bool
	level        float64
}
