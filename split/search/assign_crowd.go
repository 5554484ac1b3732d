package search

import (
	"cmp"
	"context"
	"encoding/json"
	"math"
	"slices"

	"eke/split/fit"
	"eke/split/plan"
)

// crowd is parts that do not all lie on a bin, as is proved.
type crowd struct {
	bin    int
	parts  []plan.CrowdPart
	used   bool // by the case that is looked at
	needed bool // by some case
}

// crowdPart is a part as plan.json has it.
func (a *exhaustion) crowdPart(l lain) plan.CrowdPart {
	s := &a.shapes[l.shape]
	at := a.copyOf(s.copy)
	out := plan.CrowdPart{Piece: at.Piece, Copy: at.Copy}
	if l.family < 0 {
		return out
	}
	f := &s.families[l.family]
	if !l.before {
		l.level += f.loose
	}
	out.Cut, out.First = s.families[f.asked].side(l.before, l.level), s.first
	return out
}

// hasPart reports whether a part has all of another.
func hasPart(has, of plan.CrowdPart) bool {
	return has.Piece == of.Piece && has.Copy == of.Copy && hasSide(has.Cut, of.Cut) && hasSide(has.First, of.First)
}

func hasSide(has, of *plan.CutSide) bool {
	if has == nil || of == nil {
		return has == of
	}
	same := *has
	same.LevelMM = of.LevelMM
	if has.Side == "before" {
		return same == *of && has.LevelMM >= of.LevelMM
	}
	return same == *of && has.LevelMM <= of.LevelMM
}

// overfull is a crowd that is among parts on a bin, or nil.
func (s *sharing) overfull(bin int, parts []lain) *crowd {
	var told []plan.CrowdPart
	for _, c := range s.crowds {
		if c.bin != bin {
			continue
		}
		for _, l := range parts[len(told):] {
			told = append(told, s.crowdPart(l))
		}
		if !slices.ContainsFunc(c.parts, func(of plan.CrowdPart) bool {
			return !slices.ContainsFunc(told, func(has plan.CrowdPart) bool { return hasPart(has, of) })
		}) {
			return c
		}
	}
	return nil
}

// crowding is a part of what may be a crowd.
type crowding struct {
	lain
	sayable
	least lain // what lies there at all levels that are asked about
}

// learnCrowd asks of each bin whether the parts on it all lie there together, and reports
// whether it is proved of one that they do not. Least is what lies there at all levels.
func (a *exhaustion) learnCrowd(ctx context.Context, on, least [][]lain) bool {
	const (
		full = 0.7
		most = 200 // crowds
	)
	if len(a.crowds) >= most {
		return false
	}
	for bin, parts := range on {
		var all []crowding
		area, cut := 0.0, false
		for k, l := range parts {
			if c := (crowding{l, a.sayableAt(l), least[bin][k]}); len(c.ring) >= 3 {
				all, area, cut = append(all, c), area+c.area, cut || l.family >= 0
			}
		}
		if len(all) < 2 || len(all) == 2 && !cut || area < full*a.table.bins[bin].area {
			continue
		}
		slices.SortStableFunc(all, func(b, c crowding) int { return cmp.Compare(c.area, b.area) })
		if a.crowdFrom(ctx, bin, all[:min(len(all), mostCrowd)]) {
			return true
		}
	}
	return false
}

// mostCrowd is how many parts make a crowd.
const mostCrowd = 5

// sayableAt is what is said of a part.
func (a *exhaustion) sayableAt(l lain) sayable {
	if l.family < 0 {
		return a.roughOf(l.shape, nil, true, 0, sayBesideMM)
	}
	s := &a.shapes[l.shape]
	f := &s.families[l.family]
	level := l.level
	if !l.before {
		level += f.loose
	}
	return a.sayableOf(l.shape, &s.families[f.asked], l.before, level, sayBesideMM)
}

// crowdFrom reports whether it is proved that some parts do not all lie on a bin, and keeps
// that, of as little of them as will do.
func (a *exhaustion) crowdFrom(ctx context.Context, bin int, all []crowding) bool {
	key, err := json.Marshal(a.toldCrowd(bin, a.crowdParts(all)))
	if err != nil || a.crowdsAsked[string(key)] {
		return false
	}
	a.crowdsAsked[string(key)] = true
	for i, c := range all {
		if c.family >= 0 {
			all[i].lain = c.onGrid()
			all[i].sayable = a.sayableAt(all[i].lain)
		}
	}
	if a.likeCrowd(ctx, bin, all) {
		return true
	}
	if !a.proveCrowd(ctx, bin, all) {
		return false
	}
	for i := len(all) - 1; i >= 0 && len(all) > 2; i-- {
		if fewer := slices.Delete(slices.Clone(all), i, i+1); a.proveCrowd(ctx, bin, fewer) {
			all = fewer
		}
	}
	for i := range all {
		all[i] = a.loosened(all[i], func(c crowding) bool {
			was := all[i]
			all[i] = c
			proved := a.proveCrowd(ctx, bin, all)
			all[i] = was
			return proved
		})
	}
	a.crowds = append(a.crowds, &crowd{bin: bin, parts: a.crowdParts(all)})
	return true
}

// likeCrowd reports whether it is proved that parts are one of the crowds known on a bin,
// but for which copies of the pieces they are of.
func (a *exhaustion) likeCrowd(ctx context.Context, bin int, all []crowding) bool {
	for _, c := range a.crowds {
		if c.bin != bin {
			continue
		}
		var parts []plan.CrowdPart
		taken := make([]bool, len(all))
		for _, of := range c.parts {
			for k, l := range all {
				like := of
				has := a.crowdPart(l.lain)
				if like.Copy = has.Copy; !taken[k] && hasPart(has, like) {
					parts, taken[k] = append(parts, like), true
					break
				}
			}
		}
		if len(parts) == len(c.parts) && a.crowded(ctx, bin, parts) {
			a.crowds = append(a.crowds, &crowd{bin: bin, parts: parts})
			return true
		}
	}
	return false
}

// crowded reports whether it is proved that parts do not all lie on a bin.
func (a *exhaustion) crowded(ctx context.Context, bin int, parts []plan.CrowdPart) bool {
	return ctx.Err() == nil && (a.proof == nil || a.proof.Crowded(ctx, a.ranges, a.toldCrowd(bin, parts)))
}

// proveCrowd reports whether it is proved that parts do not all lie on a bin, and asks only
// where they seem not to.
func (a *exhaustion) proveCrowd(ctx context.Context, bin int, all []crowding) bool {
	return !a.lieTogetherAll(ctx, bin, all) && a.crowded(ctx, bin, a.crowdParts(all))
}

// crowdGridMM is of levels at which parts are said to be a crowd.
const crowdGridMM = 8.0

// onGrid is a part that ends at a level of the grid, as those in boxes of levels do. At the
// ends of boxes it is a little less, for in the proof these may lie a little off.
func (l lain) onGrid() lain {
	const offMM = 1
	if math.Mod(l.level, crowdGridMM) == 0 {
		return l
	}
	if l.before {
		l.level = math.Floor((l.level-offMM)/crowdGridMM) * crowdGridMM
	} else {
		l.level = math.Ceil((l.level+offMM)/crowdGridMM) * crowdGridMM
	}
	return l
}

// loosened is as little of a part as will do, but no less than it has at all levels that
// were asked about: first of what a first cut leaves of it, if there is one, and then by its
// own level.
func (a *exhaustion) loosened(c crowding, do func(crowding) bool) crowding {
	to := func(from, target float64, at func(level float64) lain) {
		next := target
		for {
			l := at(next).onGrid()
			if l == c.lain || math.Abs(next-from) < crowdGridMM/2 {
				return
			}
			if less := (crowding{l, a.sayableAt(l), c.least}); len(less.ring) >= 3 && do(less) {
				c = less
				if next == target {
					return
				}
				from = next
			} else {
				target = next
			}
			next = (from + target) / 2
		}
	}
	if s := &a.shapes[c.shape]; s.first != nil {
		before := s.first.Side == "before"
		for k := range a.families[s.copy] {
			if *a.families[s.copy][k].side(before, s.first.LevelMM) == *s.first {
				copy, l := s.copy, c.lain
				to(s.first.LevelMM, a.shapes[c.least.shape].first.LevelMM, func(level float64) lain {
					l.shape = a.shapeBeyond(copy, k, before, level)
					return l
				})
				break
			}
		}
	}
	if l := c.lain; c.family >= 0 {
		to(c.level, c.least.level, func(level float64) lain {
			l.level = level
			return l
		})
	}
	return c
}

// crowdParts are parts as plan.json has them.
func (a *exhaustion) crowdParts(all []crowding) (out []plan.CrowdPart) {
	for _, c := range all {
		out = append(out, a.crowdPart(c.lain))
	}
	return out
}

// toldCrowd is parts that do not all lie on a bin, as plan.json has it.
func (a *exhaustion) toldCrowd(bin int, parts []plan.CrowdPart) *plan.Crowd {
	s := a.table.bins[bin].scrap
	return &plan.Crowd{Parts: parts, Scrap: s.Name, ScrapCopy: max(1, s.Copy), OffMM: sayOffMM}
}

// lieTogetherAll reports whether parts lie on a bin all together, or may do so. That they do
// not is heuristic.
func (a *exhaustion) lieTogetherAll(ctx context.Context, bin int, all []crowding) bool {
	s := &a.table.bins[bin]
	area := 0.0
	for _, c := range all {
		area += c.area
	}
	if area > s.area {
		return false
	}
	var lie func(items []fit.Item) bool
	lie = func(items []fit.Item) bool {
		if ctx.Err() != nil {
			return true
		}
		if k := len(items); k < len(all) {
			return slices.ContainsFunc(a.items(a.shapes[all[k].shape].copy, all[k].ring, s), func(of fit.Item) bool {
				return lie(append(slices.Clip(items), of))
			})
		}
		_, ok := fit.Pack(ctx, s.cloth, items, a.table.options.GapMM, sayPoses*(len(items)-1), a.table.options.Seed)
		return ok
	}
	return lie(nil) || ctx.Err() != nil
}
