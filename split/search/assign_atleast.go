package search

import (
	"context"
	"math"
	"slices"

	"eke/piece"
	"eke/split/plan"
	"eke/split/wish"
)

// AtLeast tries to say why no plan has fewer added seams than that, where bounds on
// single copies do not settle it. What it says is a conjecture until split/check has
// proved it: this looks for what to say, and that is quick, for it may err.
//
// Every way to share out fewer seams among the copies is gone through. For each,
// the copies are given scraps by backtracking, whole or in two parts. Where they find
// some, it is asked whether one of these cannot lie where it is put, or two not beside
// each other. What is learnt so is kept, and the search goes on, until the copies find
// none, or nothing is left to be learnt: then nothing is said (E. Clarke, O. Grumberg,
// S. Jha, Y. Lu and H. Veith, "Counterexample-guided abstraction refinement", 2000).
//
// It is nil where it cannot say so.
func AtLeast(ctx context.Context, copies []*piece.Piece, scraps []piece.Scrap, o Options, seams int) *plan.AtLeast {
	if seams < 1 || seams > mostAtLeast || len(scraps) == 0 || !TellsAtLeast(copies, o) {
		return nil
	}
	// Other rules and wishes only leave fewer plans.
	o.Wishes, o.Rules = nil, []piece.Rule{piece.FabricRule{}, piece.KindRule{}, piece.UseRule{}}
	a := &exhaustion{table: newTable(scraps, o.withDefaults()), facts: map[factOf]*fact{}, areas: map[areaKey]float64{}}
	for _, p := range copies {
		b := newBlank(p, p.Outline, p.ID())
		if b == nil {
			return nil
		}
		f, ok := familiesOf(b, a.table.ways)
		if !ok {
			return nil
		}
		if len(p.Darts)+len(p.FishEyes) > 0 { // a cut may take them in, and nothing is known of its parts
			f = nil
		}
		a.blanks, a.families, a.allow = append(a.blanks, b), append(a.families, f), append(a.allow, leastAllowance(p))
		i := len(a.blanks) - 1
		a.whole = append(a.whole, a.sayableOf(i, nil, true, 0, 0))
		less := math.Max(0, a.allow[i]-a.table.options.AllowanceMM)
		a.inParts = append(a.inParts, math.Min(a.whole[i].area, a.sayableOf(i, nil, true, 0, less).area))
	}
	if !a.exhaust(ctx, seams-1) {
		return nil
	}
	return a.said(seams, o.Kinds)
}

// mostAtLeast is for how many seams it is asked whether fewer would do.
const mostAtLeast = 3

// TellsAtLeast reports whether AtLeast knows enough of such copies and options: seams
// that may be moved, lines that are carried, stripes and blocks it does not know.
func TellsAtLeast(copies []*piece.Piece, o Options) bool {
	if _, striped, err := stripesWished(o); err != nil || striped || len(copies) == 0 || o.blocks() != nil || wish.Has[wish.Carry](o.Wishes) || wish.Has[wish.MatchStripes](o.Wishes) {
		return false
	}
	for _, p := range slices.Concat(copies, o.Ready) {
		for _, e := range p.Outline {
			if slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return o.allows(e.Name) || o.allows(r.Edge) }) {
				return false // it may be moved
			}
		}
	}
	return true
}

// exhaustion goes through all plans with few seams.
type exhaustion struct {
	table    *table
	blanks   []*blank
	families [][]family // by copy; none for a copy of whose parts nothing is known
	allow    []float64  // the least allowance of each copy's edges
	whole    []sayable
	inParts  []float64 // the area of each copy as of its parts, which have the allowance of a seam round them where that is less
	facts    map[factOf]*fact
	order    []*fact
	cases    [][]seamsOf
	areas    map[areaKey]float64
}

// factOf is what may be asked: whether a copy, or the part of it on a side of some
// lines, lies on a bin, alone or beside another copy.
type factOf struct {
	copy, family int // family is -1 for the whole
	before       bool
	bin, beside  int // beside is -1 for alone
}

// fact is the answer, where that is that it lies nowhere from a level on.
type fact struct {
	factOf
	nowhere bool
	level   float64
	used    bool
}

// seamsOf is how often a copy is cut.
type seamsOf struct{ copy, seams int }

// exhaust makes cases of all ways to share out no more than so many seams.
func (a *exhaustion) exhaust(ctx context.Context, most int) bool {
	seams := make([]int, len(a.blanks))
	var share func(i, left int) bool
	share = func(i, left int) bool {
		if i < len(seams) {
			for n := 0; n <= left; n++ {
				seams[i] = n
				if !share(i+1, left-n) {
					return false
				}
			}
			seams[i] = 0
			return true
		}
		for _, c := range a.cases {
			if !slices.ContainsFunc(c, func(s seamsOf) bool { return seams[s.copy] != s.seams }) {
				return true
			}
		}
		return a.noPlaces(ctx, seams)
	}
	return share(0, most)
}

// noPlaces makes a case of some copies that find no places: of those left whole if
// that is enough, else of those cut once too.
func (a *exhaustion) noPlaces(ctx context.Context, seams []int) bool {
	for _, cut := range []int{0, 1} {
		var of []seamsOf
		for i, n := range seams {
			if n == 0 || n == 1 && cut == 1 && len(a.families[i]) > 0 {
				of = append(of, seamsOf{i, n})
			}
		}
		if !a.refuted(ctx, of, true) {
			continue
		}
		// Fewer copies make a case of more.
		for i := len(of) - 1; i >= 0; i-- {
			if fewer := slices.Delete(slices.Clone(of), i, i+1); a.refuted(ctx, fewer, false) {
				of = fewer
			}
		}
		a.use(ctx, of)
		a.cases = append(a.cases, of)
		return true
	}
	return false
}

// refuted reports whether copies find no places. It may learn more on the way.
func (a *exhaustion) refuted(ctx context.Context, of []seamsOf, learn bool) bool {
	for ctx.Err() == nil {
		s := sharing{exhaustion: a}
		if found := s.run(ctx, of); !found {
			return !s.gaveUp
		}
		if !learn || !a.learn(ctx, s.placed) {
			return false
		}
	}
	return false
}

// use marks what a case is closed by.
func (a *exhaustion) use(ctx context.Context, of []seamsOf) {
	s := sharing{exhaustion: a, use: true}
	s.run(ctx, of)
}

// learn asks whether all that is placed can lie there, and reports whether it was
// told no for the first time.
func (a *exhaustion) learn(ctx context.Context, placed []placedCopy) bool {
	new := false
	ask := func(q factOf) {
		if _, known := a.facts[q]; !known && ctx.Err() == nil {
			new = a.ask(ctx, q) || new
		}
	}
	for _, p := range placed {
		if p.family < 0 {
			ask(factOf{p.copy, -1, true, p.before, -1})
			continue
		}
		ask(factOf{p.copy, p.family, true, p.before, -1})
		ask(factOf{p.copy, p.family, false, p.beyond, -1})
	}
	if new {
		return true
	}
	for _, p := range placed {
		for _, o := range placed {
			if o.copy == p.copy || o.family >= 0 {
				continue
			}
			if p.family < 0 {
				if p.copy < o.copy && p.before == o.before {
					ask(factOf{p.copy, -1, true, p.before, o.copy})
				}
				continue
			}
			if p.before == o.before {
				ask(factOf{p.copy, p.family, true, p.before, o.copy})
			}
			if p.beyond == o.before {
				ask(factOf{p.copy, p.family, false, p.beyond, o.copy})
			}
		}
		if new {
			return true
		}
	}
	return new
}

// ask answers a question, keeps the answer, and reports whether it is that
// something lies nowhere.
func (a *exhaustion) ask(ctx context.Context, q factOf) bool {
	s := &a.table.bins[q.bin]
	f := &fact{factOf: q}
	lies := func(part func(lessMM float64) sayable) bool {
		if q.beside < 0 {
			return a.lies(ctx, q.copy, part(sayAloneMM), s)
		}
		return a.lieTogether(ctx, q.copy, part(sayBesideMM), q.beside, a.sayableOf(q.beside, nil, true, 0, sayBesideMM), s)
	}
	if q.family < 0 {
		f.nowhere = !lies(func(less float64) sayable { return a.sayableOf(q.copy, nil, true, 0, less) })
	} else {
		fam := &a.families[q.copy][q.family]
		f.level, f.nowhere = fam.critical(q.before, func(level float64) bool {
			return lies(func(less float64) sayable { return a.sayableOf(q.copy, fam, q.before, level, less) })
		})
	}
	if ctx.Err() != nil {
		return false
	}
	a.facts[q], a.order = f, append(a.order, f)
	return f.nowhere
}

// said is what was found, as plan.json has it.
func (a *exhaustion) said(seams int, kinds []string) *plan.AtLeast {
	out := &plan.AtLeast{Seams: seams, Kinds: kinds, Cannot: []plan.Cannot{}}
	for _, f := range a.order {
		if f.used {
			out.Cannot = append(out.Cannot, a.cannot(f))
		}
	}
	for _, of := range a.cases {
		var c plan.SeamCase
		for _, s := range of {
			at := a.copyOf(s.copy)
			c.Copies = append(c.Copies, plan.SeamsOf{Piece: at.Piece, Copy: at.Copy, Seams: s.seams})
		}
		out.Cases = append(out.Cases, c)
	}
	return out
}

func (a *exhaustion) copyOf(i int) plan.CopyOf {
	p := a.blanks[i].piece
	return plan.CopyOf{Piece: p.Name, Copy: p.Copy}
}

func (a *exhaustion) cannot(f *fact) plan.Cannot {
	s := &a.table.bins[f.bin]
	at := a.copyOf(f.copy)
	c := plan.Cannot{Piece: at.Piece, Copy: at.Copy, Scrap: s.scrap.Name, ScrapCopy: max(1, s.scrap.Copy)}
	part := a.sayableOf(f.copy, nil, true, 0, -sayCoarseMM)
	if f.family >= 0 {
		fam := &a.families[f.copy][f.family]
		side := fam.is
		side.Side, side.LevelMM = "beyond", f.level
		if f.before {
			side.Side = "before"
		}
		c.Cut = &side
		part = a.sayableOf(f.copy, fam, f.before, f.level, -sayCoarseMM)
	}
	needs := part.area
	if f.beside >= 0 {
		other := a.copyOf(f.beside)
		c.Beside = &other
		needs += a.whole[f.beside].area
	}
	const clear = 1.01
	if needs > clear*s.area {
		c.By, c.NeedsMM2, c.HasMM2 = "area", math.Round(needs), math.Round(s.area)
	} else {
		c.By, c.OffMM = "placing", sayOffMM
	}
	return c
}
