// Package search finds piecing plans: which part of which piece comes from
// which scrap, with the fewest added seams and, among those, the least
// intrusive.
//
// Run takes the pieces of a pattern, the scraps and Options, and gives a
// Result: plans carried out (split.Made), the best first. It always ends: when
// the search is done, or when its context does, and then with the best plans
// found so far. Pieces and scraps come once each, and Run makes the copies that
// they ask for. That no plan was found is an empty Result and no error, and does
// not say that there is none; an error is bad input. The plans are not proved
// here: split/check does that. Fit says which whole pieces fit which scraps, and
// Short what is lacking for those that fit none. Lengths are in mm, angles in
// degrees clockwise.
//
// The files stand in four rooms, told by the first word of their names.
//
// # bound: how far a part can go
//
// A part of a part fits wherever the larger part fits. So for one piece, one
// scrap and one way to split, how far the part can go is a monotone question,
// and the critical level is found by bisection. The answers are kept in the
// table of bins, in memos.
//
// There are two bounds that say that a part is too big. A certain bound is
// proof: area, extent, rules of what may be cut from what, or the placing of a
// lower-bound part, which lies within every part that the question allows. Such
// functions are named RuledOut, or are said to be certain. A heuristic bound is
// a guess from experience: how full a scrap gets with odd shapes, or a packing
// that gave up. Such functions are named Unlikely or heuristic. What a heuristic
// bound drops may exist, so nothing is claimed to be impossible because of one.
//
// # assign: which part comes from which bin
//
// An assignment is found by backtracking, depth first, with the seams of each copy
// given by a composition. A tree of cuts is built from its first cut on: the largest
// part that one bin can hold is cut off, and what remains is asked the same
// question. The largest may leave no level for the next cut, and where the bin is
// shared it is larger than it can be in the end. So budgets after the first divide the
// levels of such a first cut into ranges, and ask in each (domain splitting; K. Apt,
// "Principles of Constraint Programming", 2003). Symmetry breaking leaves out what
// differs only by like copies or like bins. What differs by copies that are nearly
// each other's mirror image, as two sleeves are, is put off. Where bins share the parts of one piece,
// how far one part goes says how far the others must: such bins are a coupled
// component, and it is solved as a whole. First come the cheap bounds, an area
// relaxation and a quick packing of lower-bound parts. Then fit.Joint moves the
// levels of the cuts and the places of the parts together until nothing overlaps.
// Where that fails, the search goes back to the last copy in the component, past all
// that have no part in it (conflict-directed backjumping, P. Prosser, "Hybrid
// algorithms for the constraint satisfaction problem", 1993).
//
// # drive: how long, and in which order
//
// Iterative deepening runs over the number of added seams, so the first plan found has
// the fewest that the kinds of seam allow (R. Korf, "Depth-first iterative-deepening: an
// optimal admissible tree search", 1985). Each number of seams is tried with one budget
// after another. How full the bins of a component get says best whether it can be
// packed, and areas tell that a thousand times faster than packing. So the first budgets
// take only loose components, however many there are to look through; then one lets bins
// get full and is thorough in nothing else, for more plans are lost by that bound than by
// all others. Some budgets try the bins with most cloth left first, the others those with
// least: where one order goes wrong early, a depth-first search stays there until its tries
// run out.
// Against that the middle budgets begin with some short searches in an order by chance
// (restarts: C. Gomes et al., 2000, see assign_restart.go). Beside them are wide
// budgets, for what is seldom needed and takes long: a part between two cuts that lies
// before where the first of them was made, and lower-bound parts that not every start of
// a packing finds places for. Of all numbers of seams, the iteration that promises the
// least work is always next. What it promises is a guess: one that has done twice as
// much pauses, and goes on when the others promise no less than it has taken so far. The
// first budgets are preferred, for they find most plans that are found, and the third
// takes little, for the second has found out most of what it asks. Seams are moved
// across joins where that alone saves an added one: by the least that lets a bin hold a
// piece whole. By how much a pair of bins needs them moved to hold a piece in two parts
// is dearer to ask, so that has a lane of its own and waits until the first budgets have
// found nothing. So have compositions with more seams of one copy than the usual budgets
// give it. Then pieces make way for seams that are not where they are welcome. Last,
// refinement slides each seam to the level that costs least, and parts are laid true to
// the grain where they can.
//
// Where no plan was found for long, near misses are mended: a plan with a seam more
// is better than none. With that many seams there are far more trees of cuts, so
// only the neighbourhood of the near misses is searched (large neighbourhood search;
// P. Shaw, "Using constraint programming and local search methods to solve vehicle
// routing problems", 1998). The search then goes on as before.
//
// Where a line is to be carried across joins, its level on the leading piece is
// one more thing to choose, before all others: each level worth trying is an
// instance of its own, in which the parts beside the line stand for the copies.
//
// Work is counted in tries, not in seconds. So the same input and seed give the
// same plan on any number of cores, as long as time does not run out.
//
// That no plan has fewer seams is proved by bounds where they do. Else AtLeast
// looks for what would prove it: cases that together are all plans with fewer
// seams, in each of which some copies find no bins. Where seams may be moved, it parts
// how far they are into ranges, and asks that in each. split/check proves that.
//
// # stripe: a garment in level stripes
//
// Where stripes are wished for, what is above does not apply. The lines are laid
// over the garment first, and each copy is cut along them in rows. Each row comes
// from bins of its look: whole, or cut along in as many parts as it takes. A row
// without a place puts others elsewhere where that costs least (ejection chains);
// the cost of a row grows each time that it has found no room. Layouts are tried
// one after the other, in rounds that are counted in moves.
//
// # Words
//
//   - added seam: a piecing seam, which the pattern as drawn does not have.
//   - allowance overlap: what the allowance beyond a cut covers on this side.
//   - assignment: a bin for every part. Its depth is the number of copies that
//     have one.
//   - bin: a copy of a scrap. Copies of one scrap are of one class.
//   - blank (our own word): a part with its cutting line and shape, ready to be
//     placed.
//   - budget: how much an iteration may do. Budgets come in tiers.
//   - component: bins that are coupled by copies with parts in several of them.
//   - composition: how many seams each copy gets; they add up to the seams added.
//   - first cut: a cut whose rest is cut again.
//   - half: of the assignments of a composition, those in which of two copies that
//     mirror each other the earlier has the scraps that come first, or the others.
//   - instance: one pattern to cut, as drawn or with seams moved; a variant for
//     each kind of cloth it may come from.
//   - iteration: one search for plans with a given number of seams, with one
//     budget.
//   - lane: budgets that come beside the others, at each number of seams.
//   - level: where a cut runs, in mm. The near part grows with it, the far part
//     shrinks.
//   - lower-bound part: what a part has at least, wherever its cuts slide.
//   - near miss (our own word): an assignment whose parts could not all be placed.
//   - pose (of split/fit): a shift and a turn at which a part is weighed.
//   - relaxation: a component with its shapes forgotten, only areas count.
//   - restart: a short search of an assignment, in an order by chance.
//   - stage: the search of one instance in an iteration.
//   - straight (a way's trait Plain): yokes, panels and the like. Non-straight
//     cuts, corners and curves, are put off, for they rarely help.
//   - task: an assignment search that works in time slices, beside others.
//   - try (our own word): a part looked at in one place, the unit of work.
//   - twin: an earlier copy with the same cutting line.
package search

import (
	"context"
	"errors"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
	"eke/split/plan"
	"eke/split/wish"
)

// Options steer a search. The zero value of a field takes the default named.
type Options struct {
	Keep              int      // how many plans to keep; 3
	Kinds             []string // kinds of seam allowed; all
	MaxSeams          int      // most added seams; negative for as many as it takes
	AllowanceMM       float64  // of a piecing seam
	GapMM             float64  // between cutting lines on one scrap
	GrainToleranceDeg float64
	DartReachMM       float64 // how far a dart may be moved for a seam to take it in; 0 for none
	Seed              uint64
	Workers           int // 1
	Rules             []piece.Rule
	Ready             []*piece.Piece // copies that are cut already, and that those to be cut are sewn to
	Optional          []*piece.Piece // likewise that are cut whole of what a plan leaves, where they fit
	Wishes            []wish.Wish
	Progress          func(Progress)  // called from one goroutine at a time
	First             bool            // stop at the first plan, and leave its seams as they were found
	Enough            context.Context // once it is done, the search ends and finishes what it has; nil for never
	Budgets           int             // how many budgets each number of seams gets, the smallest first; all

	tidy []string // pieces of which all parts of all copies come from one look
	// Whether the lines between two looks that were wished for lie at one height on all copies.
	linedUp bool
}

// Settings are the options that a plan document tells.
func (o Options) Settings() plan.Settings {
	return plan.Settings{GapMM: o.GapMM, GrainToleranceDeg: o.GrainToleranceDeg, AllowanceMM: o.AllowanceMM, DartReachMM: o.DartReachMM, Seed: o.Seed}
}

// MayCut reports whether every rule lets a piece be cut from a scrap.
func (o Options) MayCut(p *piece.Piece, s *piece.Scrap) bool {
	for _, r := range o.withDefaults().Rules {
		if !r.MayCut(p, s) {
			return false
		}
	}
	return true
}

// mostDeepened is up to how many added seams iterative deepening goes, where at
// least first are needed. With no limit of the user's a piece may need more: then
// that many, and a few.
func (o Options) mostDeepened(first int) int {
	const usual, more = 8, 2
	if o.MaxSeams >= 0 {
		return o.MaxSeams
	}
	return max(usual, first+more)
}

// Progress is the best plan so far.
type Progress struct {
	Found    bool
	Seams    int
	LengthMM float64
	Plan     *split.Made // not proved
}

// Result is what a search found. Plans are in order: fewest seams, then
// least intrusive. It is empty when nothing fits.
type Result struct {
	Plans    []*split.Made
	Drawn    []*piece.Piece // every copy, before any seam moved
	Fewest   bool           // no plan with fewer added seams exists in the kinds of seam tried
	Reason   string         // why it is the fewest, or how far the search got
	Settled  bool           // the search ended by itself, not by time
	Unkept   *Unkept        // the wish that stands in the way, where no plan keeps it
	Foregone []Unkept       // preferred wishes that need a search of their own, and that no plan keeps
}

// Unkept is a wish that was not kept, and why.
type Unkept struct {
	Wish wish.Wish
	Why  string
}

// ErrNoScraps and ErrNoPieces are bad use.
var (
	ErrNoScraps = errors.New("there are no scraps to cut from; name a scrap file or use --scrap")
	ErrNoPieces = errors.New("there are no pieces to cut")
)

// Run searches until it is done or ctx ends, and keeps the best it has. Its
// error is bad input; that nothing fits is not an error.
func Run(ctx context.Context, pieces []*piece.Piece, scraps []piece.Scrap, o Options) (*Result, error) {
	return RunCopies(ctx, split.Copies(pieces), scraps, o)
}

// RunCopies is Run for copies of pieces, which need not be all copies.
func RunCopies(ctx context.Context, copies []*piece.Piece, scraps []piece.Scrap, o Options) (*Result, error) {
	if len(copies) == 0 {
		return nil, ErrNoPieces
	}
	if len(scraps) == 0 {
		return nil, ErrNoScraps
	}
	o = o.withDefaults()
	if w, without, ok := o.preferredShape(); ok && o.First {
		return RunCopies(ctx, copies, scraps, without)
	} else if ok {
		return runPreferring(ctx, copies, scraps, o, w, without)
	}
	if err := checkMatch(copies, scraps, o); err != nil {
		return nil, err
	}
	if w, striped, err := stripesWished(o); err != nil {
		return nil, err
	} else if striped {
		s, err := newStriper(newTable(scraps, o), copies, w)
		if err != nil {
			return nil, err
		}
		return s.run(ctx), nil
	}
	searched, simplified := copies, false
	if !wish.Has[wish.Carry](o.Wishes) && !wish.Has[wish.MatchStripes](o.Wishes) {
		searched, simplified = simplifiedCopies(copies)
	}
	d, err := newDriver(searched, scraps, o)
	if err != nil {
		return nil, err
	}
	if simplified {
		return d.runSimplified(ctx, copies)
	}
	return d.run(ctx), nil
}

// newDriver prepares a search with options that have their defaults.
func newDriver(copies []*piece.Piece, scraps []piece.Scrap, o Options) (*driver, error) {
	w, carries, err := carryWished(o)
	if err != nil {
		return nil, err
	}
	t := newTable(scraps, o)
	d := &driver{table: t, options: o, copies: copies, pile: scraps, variants: t.variants(copies, nil), paired: map[*instance][]pairMove{}}
	if carries {
		if d.carry, err = newCarrier(t, copies, w); err != nil {
			return nil, err
		}
	}
	d.base = d.variants[0]
	if wishes := matchWished(o.Wishes); len(wishes) > 0 {
		if d.match, err = newMatcher(t, copies, wishes); err != nil {
			return nil, err
		}
	}
	return d, nil
}

func (o Options) withDefaults() Options {
	if o.Keep <= 0 {
		o.Keep = 3
	}
	o.Workers = max(1, o.Workers)
	if o.Budgets <= 0 || o.Budgets > len(budgets) {
		o.Budgets = len(budgets)
	}
	if o.Rules == nil {
		o.Rules = []piece.Rule{piece.FabricRule{}, piece.KindRule{}, piece.UseRule{}}
	}
	rules := slices.Clone(o.Rules)
	for _, r := range wish.Rules(o.Wishes) {
		if !slices.Contains(rules, r) {
			rules = append(rules, r)
		}
	}
	o.Rules = rules
	return o
}

// allows reports whether seams of a kind, or at a joined edge of that name, are
// allowed.
func (o Options) allows(kind string) bool {
	return len(o.Kinds) == 0 || slices.ContainsFunc(o.Kinds, func(k string) bool { return strings.EqualFold(k, kind) })
}
