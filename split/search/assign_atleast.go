package search

import (
	"cmp"
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
// the copies are given scraps by backtracking, whole, in two parts or in three. Where
// they find some, it is asked whether one of these cannot lie where it is put, or two
// not beside each other. What is learnt so is kept, and the search goes on, until the
// copies find none, or nothing is left to be learnt: then nothing is said (E. Clarke,
// O. Grumberg, S. Jha, Y. Lu and H. Veith, "Counterexample-guided abstraction
// refinement", 2000).
//
// Where seams may be moved, all that is done for ranges of how far. Ranges in which the
// copies find places are parted, those of the seam that leaves most of them open first,
// until in each part the copies find none.
//
// The proof is asked of all that is said to lie nowhere, and what it cannot prove is said
// of less, or not at all; where it is nil, nothing is asked, and no seam may be moved.
//
// It is nil where it cannot say so.
func AtLeast(ctx context.Context, copies []*piece.Piece, scraps []piece.Scrap, o Options, seams int, proof Proof) *plan.AtLeast {
	if seams < 1 || seams > mostAtLeast || len(scraps) == 0 || !TellsAtLeast(copies, o) {
		return nil
	}
	// Other rules and wishes only leave fewer plans.
	o.Wishes, o.Rules = nil, []piece.Rule{piece.FabricRule{}, piece.KindRule{}, piece.UseRule{}}
	a := &exhaustion{table: newTable(scraps, o.withDefaults()), proof: proof, kept: map[keptOf]*keptShape{}, answers: map[askedOf]*answer{}, onBins: map[binDiscs]float64{}}
	if len(a.table.bins) > mostBins {
		return nil
	}
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
	}
	for k := range a.table.bins {
		room, ok := a.table.bins[k].room(a.table.options.GapMM / 2)
		if !ok {
			return nil
		}
		a.binRoom = append(a.binRoom, room)
	}
	for k := range a.table.bins {
		a.largest = append(a.largest, k)
	}
	slices.SortStableFunc(a.largest, func(k, l int) int { return cmp.Compare(a.table.bins[l].area, a.table.bins[k].area) })
	out := &plan.AtLeast{Seams: seams, Kinds: o.Kinds}
	if proof != nil {
		a.joints = proof.Moves()
	}
	if len(a.joints) == 0 {
		one := a.within(nil)
		if !one.exhaust(ctx, seams-1) {
			return nil
		}
		in := one.said()
		out.Cannot, out.Crowds, out.Cases = in.Cannot, in.Crowds, in.Cases
		return out
	}
	if !a.settleMoved(ctx, out) {
		return nil
	}
	return out
}

// Proof is what a proof says while it is looked for.
type Proof interface {
	// Nowhere reports whether it is proved that something lies nowhere, where seams are
	// moved within some ranges.
	Nowhere(ctx context.Context, moved []plan.MoveRange, what *plan.Cannot) bool
	// Crowded reports whether it is proved that some parts do not all lie on a scrap.
	Crowded(ctx context.Context, moved []plan.MoveRange, what *plan.Crowd) bool
	// Moves are the seams that may be moved, each way, as far as they may.
	Moves() []plan.MoveRange
	// Sure is the outline of what is certain of a copy within some ranges, and points as
	// far as the copy may reach. The key is the same for ranges in which it is. It is nil
	// where nothing is certain.
	Sure(moved []plan.MoveRange, of plan.CopyOf) (outline, reach []plan.Point, key string)
}

// mostAtLeast is for how many seams it is asked whether fewer would do.
const mostAtLeast = 3

// TellsAtLeast reports whether AtLeast knows enough of such copies and options: lines
// that are carried, stripes and blocks it does not know.
func TellsAtLeast(copies []*piece.Piece, o Options) bool {
	if _, striped, err := stripesWished(o); err != nil || striped || len(copies) == 0 || o.blocks() != nil || wish.Has[wish.Carry](o.Wishes) || wish.Has[wish.MatchStripes](o.Wishes) {
		return false
	}
	ready := map[string]bool{}
	for _, p := range o.Ready {
		ready[p.Name] = true
	}
	for _, p := range slices.Concat(copies, o.Ready) {
		for _, e := range p.Outline {
			if slices.ContainsFunc(e.Joins, func(r piece.Ref) bool {
				return (ready[p.Name] || ready[r.Piece]) && (o.allows(e.Name) || o.allows(r.Edge))
			}) {
				return false // of pieces that are cut already it is not known which may be moved
			}
		}
	}
	return true
}

// exhaustion goes through all plans with few seams, where seams of the pattern are moved
// within some ranges.
type exhaustion struct {
	table       *table
	proof       Proof
	joints      []plan.MoveRange // seams that may be moved, each way
	ranges      []plan.MoveRange
	blanks      []*blank
	families    [][]family       // by copy; none for a copy of whose parts nothing is known
	sure        []sureShape      // what is certain of each copy
	allow       []float64        // the least allowance of each copy's edges
	room        []float64        // the area of each copy with half the gap round it
	inParts     []float64        // that as of its parts, which have the allowance of a seam round them where that is less
	binRoom     []float64        // the area of each bin with half the gap round it
	shapes      []shape          // the copies first
	largest     []int            // the bins, the largest first
	facts       map[uint64]*fact // by what they are of
	order       []*fact
	crowds      []*crowd
	crowdsAsked map[string]bool
	cases       [][]seamsOf
	stuck       []int // copies that find places, as it seems
	discs       bool  // it is asked whether discs find room
	onBins      map[binDiscs]float64
	kept        map[keptOf]*keptShape
	answers     map[askedOf]*answer
}

// factOf is what may be asked: whether a shape, or the part of it on a side of some
// lines, lies on a bin, alone or beside another shape.
type factOf struct {
	shape, family int // family is -1 for the whole
	before        bool
	bin, beside   int // beside is -1 for alone
}

// key is all of it as one number, for it is looked up very often.
func (q factOf) key() uint64 {
	key := uint64(q.shape)<<44 | uint64(q.beside+1)<<24 | uint64(q.bin)<<8 | uint64(q.family+1)<<1
	if q.before {
		key |= 1
	}
	return key
}

// mostBins is for how many a fact's key has room.
const mostBins = 1 << 16

// fact is the answer.
type fact struct {
	factOf
	*answer
	used   bool // by the case that is looked at
	needed bool // by some case
}

// answer is that something lies nowhere from a level on, or may lie somewhere. Where
// seams are moved otherwise and the copies have the same for certain, it is the same.
type answer struct {
	nowhere bool
	level   float64 // as it seems
	proved  bool
	surely  float64 // the level that is proved
	by      string  // how
	loose   int     // how often the level was moved to where more is said to lie
}

// askedOf is what an answer is of, whatever the ranges.
type askedOf struct {
	of, beside keptOf
	factOf
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
// that is enough, else of those cut once too, or twice.
func (a *exhaustion) noPlaces(ctx context.Context, seams []int) bool {
	for cuts := range 3 {
		var of []seamsOf
		for i, n := range seams {
			if n == 0 || n <= cuts && len(a.families[i]) > 0 {
				of = append(of, seamsOf{i, n})
			}
		}
		if cuts > 0 && !slices.Contains(seams, cuts) || !a.refuted(ctx, of, true) {
			continue
		}
		a.stuck = nil
		for _, c := range of {
			a.stuck = append(a.stuck, c.copy)
		}
		// Fewer copies make a case of more, if that can be proved.
		fewer := of
		for i := len(of) - 1; i >= 0; i-- {
			if without := slices.Delete(slices.Clone(fewer), i, i+1); a.refuted(ctx, without, false) {
				fewer = without
			}
		}
		if a.proveCase(ctx, fewer) {
			of = fewer
		} else if len(fewer) == len(of) || !a.refuted(ctx, of, true) || !a.proveCase(ctx, of) {
			continue
		}
		a.cases = append(a.cases, of)
		return true
	}
	return false
}

// proveCase reports whether it is proved that some copies find no places.
func (a *exhaustion) proveCase(ctx context.Context, of []seamsOf) bool {
	const most = 100 // times that something is not proved
	for n := 0; !a.holdsUp(ctx, of); n++ {
		if n == most || !a.refuted(ctx, of, true) {
			return false
		}
	}
	return true
}

// refuted reports whether copies find no places. It may learn more on the way.
func (a *exhaustion) refuted(ctx context.Context, of []seamsOf, learn bool) bool {
	for ctx.Err() == nil {
		s := sharing{exhaustion: a, learn: learn, discs: a.discs}
		if found := s.run(ctx, of); !found {
			return !s.gaveUp && ctx.Err() == nil
		}
		if !learn {
			return false
		}
		if !a.learn(ctx, s.placed) {
			if !a.discs { // nothing quicker is left
				a.discs = true
				continue
			}
			if a.learnCrowd(ctx, s.open, s.least) {
				continue
			}
			a.stuck = nil
			for _, p := range s.placed {
				a.stuck = append(a.stuck, a.shapes[p.shape].copy)
			}
			return false
		}
	}
	return false
}

// holdsUp marks what a case is closed by, and reports whether all that is proved. It
// says less of what is not. What is said with room to spare is proved sooner, so it asks
// for no more than the case needs.
func (a *exhaustion) holdsUp(ctx context.Context, of []seamsOf) bool {
	var s sharing
	for _, loose := range []float64{20, 10, 4, 0} {
		for _, f := range a.order {
			f.used = false
		}
		for _, c := range a.crowds {
			c.used = false
		}
		s = sharing{exhaustion: a, use: true, discs: a.discs, loose: loose}
		if found := s.run(ctx, of); !found && !s.gaveUp {
			break
		} else if loose == 0 {
			return false
		}
	}
	for _, f := range a.order {
		if f.used && (ctx.Err() != nil || !a.prove(ctx, f, s.levelOf(f))) {
			return false
		}
	}
	for _, f := range a.order {
		f.needed = f.needed || f.used
	}
	for _, c := range a.crowds {
		c.needed = c.needed || c.used
	}
	return true
}

// prove asks whether a fact can be proved from a level on. If not, it says less.
func (a *exhaustion) prove(ctx context.Context, f *fact, level float64) bool {
	if f.proved && (level == f.surely || f.family < 0) {
		return true
	}
	if a.proof == nil {
		f.proved, f.surely = true, level
		return true
	}
	const nearly = 0.9
	for _, by := range []string{"area", "placing"} {
		if by == "area" && a.needsMM2(f, level, a.roughOf) < nearly*a.table.bins[f.bin].area {
			continue
		}
		c := a.cannot(f, level, by)
		if by == "area" && c.NeedsMM2 <= c.HasMM2 {
			continue
		}
		if a.proof.Nowhere(ctx, a.ranges, &c) {
			f.proved, f.surely, f.by = true, level, by
			return true
		}
	}
	less := []float64{3, 8, 20, 45, 90} // parts may lie beside each other where packing found no place
	if f.family < 0 || f.loose == len(less) {
		f.nowhere, f.level = f.proved, f.surely
		return false
	}
	f.level = further(f.before, level, less[f.loose])
	f.loose++
	return false
}

// learn asks whether all that is placed can lie there, and reports whether it was
// told no for the first time.
func (a *exhaustion) learn(ctx context.Context, placed []placedShape) bool {
	new := false
	ask := func(q factOf) {
		if _, known := a.facts[q.key()]; !known && ctx.Err() == nil {
			new = a.ask(ctx, q) || new
		}
	}
	for _, p := range placed {
		a.eachAlone(p, ask)
	}
	if new {
		return true
	}
	for _, p := range placed {
		for _, o := range placed {
			if o.family >= 0 || o.shape == p.shape || a.shapes[p.shape].copy == o.shape {
				continue
			}
			a.eachAlone(p, func(q factOf) {
				if q.bin == o.before && (p.family >= 0 || p.shape < o.shape) {
					q.beside = o.shape
					ask(q)
				}
			})
		}
		if new {
			return true
		}
	}
	for _, p := range placed {
		for _, o := range placed {
			if p.family < 0 || o.family < 0 {
				continue
			}
			a.eachBeside(p, o, ask)
		}
		if new {
			return true
		}
	}
	return new
}

// eachBeside are the questions whether a part that is placed lies beside what is certain
// of one of another copy, or of the same, if it is likely that it does not.
func (a *exhaustion) eachBeside(p, o placedShape, ask func(factOf)) {
	const full = 0.75
	s := sharing{exhaustion: a}
	copy, other := a.shapes[p.shape].copy, a.shapes[o.shape].copy
	s.levelsOf(&o)
	if copy == other {
		if p.shape == o.shape && s.meetsItself(p) && a.room[copy] > full*a.table.bins[p.before].area {
			ask(factOf{p.shape, p.family, true, p.before, a.shapeBeyond(copy, o.family, false, o.hi)})
		}
		return
	}
	if p.shape >= len(a.blanks) || o.shape >= len(a.blanks) {
		return
	}
	a.eachAlone(p, func(q factOf) {
		for _, before := range []bool{true, false} {
			if on, level, ok := o.side(before); ok && on == q.bin {
				q.beside = a.shapeBeyond(other, o.family, before, level)
				if a.room[copy]+a.wholeRoom(q.beside) > full*a.table.bins[on].area {
					ask(q)
				}
			}
		}
	})
}

// eachAlone are the questions whether what is placed lies there by itself.
func (a *exhaustion) eachAlone(p placedShape, ask func(factOf)) {
	if p.family < 0 {
		ask(factOf{p.shape, -1, true, p.before, -1})
		return
	}
	family := a.shapes[p.shape].families[p.family].asked
	if p.only != onlyBeyond {
		ask(factOf{p.shape, family, true, p.before, -1})
	}
	if p.only != onlyBefore {
		ask(factOf{p.shape, family, false, p.beyond, -1})
	}
}

// ask answers a question, keeps the answer, and reports whether it is that
// something lies nowhere.
func (a *exhaustion) ask(ctx context.Context, q factOf) bool {
	s := &a.table.bins[q.bin]
	asked := a.askedOf(q)
	if known := a.answers[asked]; known != nil {
		f := &fact{factOf: q, answer: known}
		a.facts[q.key()], a.order = f, append(a.order, f)
		return f.nowhere
	}
	f := &fact{factOf: q, answer: &answer{}}
	lies := func(part func(lessMM float64) sayable) bool {
		if q.beside < 0 {
			return a.lies(ctx, a.shapes[q.shape].copy, part(sayAloneMM), s)
		}
		return a.lieTogether(ctx, a.shapes[q.shape].copy, part(sayBesideMM), a.shapes[q.beside].copy, a.roughOf(q.beside, nil, true, 0, sayBesideMM), s)
	}
	if q.family < 0 {
		f.nowhere = !lies(func(less float64) sayable { return a.roughOf(q.shape, nil, true, 0, less) })
	} else {
		fam := &a.shapes[q.shape].families[q.family]
		f.level, f.nowhere = fam.critical(q.before, func(level float64) bool {
			return lies(func(less float64) sayable { return a.roughOf(q.shape, fam, q.before, level, less) })
		})
		surely := func(level float64) bool {
			return !lies(func(less float64) sayable { return a.sayableOf(q.shape, fam, q.before, level, less) })
		}
		for step := 2.0; f.nowhere && !surely(f.level); step *= 2 {
			if f.level = further(q.before, f.level, step); f.level < fam.lo || f.level > fam.hi {
				f.nowhere = false
			}
		}
	}
	if ctx.Err() != nil {
		return false
	}
	a.facts[q.key()], a.order, a.answers[asked] = f, append(a.order, f), f.answer
	return f.nowhere
}

// askedOf is the same for what is the same.
func (a *exhaustion) askedOf(q factOf) askedOf {
	out := askedOf{of: a.shapes[q.shape].of, factOf: q}
	if q.beside >= 0 {
		out.beside = a.shapes[q.beside].of
		out.factOf.beside = 0
	}
	out.factOf.shape = 0
	return out
}

// said is what was found, as plan.json has it.
func (a *exhaustion) said() plan.Moved {
	out := plan.Moved{Ranges: a.ranges, Cannot: []plan.Cannot{}}
	for _, f := range a.order {
		if f.needed {
			out.Cannot = append(out.Cannot, a.cannot(f, f.surely, f.by))
		}
	}
	for _, c := range a.crowds {
		if c.needed {
			out.Crowds = append(out.Crowds, *a.toldCrowd(c.bin, c.parts))
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

// cannot is a fact as plan.json has it, from a level on, proved by area or by placing; where
// that is not said, by area if that is clear.
func (a *exhaustion) cannot(f *fact, level float64, by string) plan.Cannot {
	s := &a.table.bins[f.bin]
	at := a.copyOf(a.shapes[f.shape].copy)
	c := plan.Cannot{Piece: at.Piece, Copy: at.Copy, Scrap: s.scrap.Name, ScrapCopy: max(1, s.scrap.Copy)}
	if f.family >= 0 {
		c.Cut, c.First = a.shapes[f.shape].families[f.family].side(f.before, level), a.shapes[f.shape].first
	}
	if f.beside >= 0 {
		other := a.copyOf(a.shapes[f.beside].copy)
		c.Beside, c.BesideCut = &other, a.shapes[f.beside].first
	}
	needs := 0.0
	if by != "placing" {
		needs = a.needsMM2(f, level, a.sayableOf)
	}
	const clear = 1.01
	if by == "" && needs > clear*s.area {
		by = "area"
	}
	if by == "area" {
		c.By, c.NeedsMM2, c.HasMM2 = by, math.Round(needs), math.Round(s.area)
	} else {
		c.By, c.OffMM = "placing", sayOffMM
	}
	return c
}

// needsMM2 is the area of what a fact is of, from a level on.
func (a *exhaustion) needsMM2(f *fact, level float64, of func(shape int, f *family, before bool, level, lessMM float64) sayable) float64 {
	var fam *family
	if f.family >= 0 {
		fam = &a.shapes[f.shape].families[f.family]
	}
	needs := of(f.shape, fam, f.before, level, -sayCoarseMM).area
	if f.beside >= 0 {
		needs += of(f.beside, nil, true, 0, 0).area
	}
	return needs
}
