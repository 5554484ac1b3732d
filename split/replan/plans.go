package replan

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"eke/piece"
	"eke/split"
	"eke/split/fit"
	"eke/split/plan"
	"eke/split/remnant"
	"eke/split/search"
	"eke/split/wish"

	"github.com/paulmach/orb"
)

// Found is a plan to go on by, and its place among others.
type Found struct {
	split.Record
	seams int
	moved int // how many parts that are neither cut nor spoilt
	cost  float64
}

// Options are what the old plan was asked for with: what is cut has its allowances
// and gaps.
func (s *State) Options(o search.Options) search.Options {
	was := s.old.Settings
	o.GapMM, o.GrainToleranceDeg, o.AllowanceMM, o.DartReachMM, o.Ready = was.GapMM, was.GrainToleranceDeg, was.AllowanceMM, was.DartReachMM, s.ready
	if o.Rules == nil {
		o.Rules = piece.Rules(s.Cloth())
	}
	return o
}

// Plans are plans for the whole garment, the best first, at most o.Keep: of those with
// as many seams the one in which the fewest parts move. It frees ever more parts, stage
// by stage, and what time a stage leaves goes to those after it. There is none
// where what is to be cut found no room.
func (s *State) Plans(ctx context.Context, o search.Options) ([]Found, error) {
	o = s.Options(o)
	if o.Keep <= 0 {
		o.Keep = 3
	}
	s.settled = true
	var found []Found
	tell := o.Progress
	stages := s.stages(o)
	for k, g := range stages {
		if tell != nil && len(found) > 0 {
			fewest := slices.MinFunc(found, func(a, b Found) int { return a.seams - b.seams }).seams
			o.Progress = func(p search.Progress) { // what moves more parts has to save a seam
				if p.Seams < fewest {
					tell(p)
				}
			}
		}
		part, cancel := shareOf(ctx, len(stages)-k)
		more, err := s.with(part, g.stays, o)
		cancel()
		if err != nil {
			return nil, err
		}
		found = append(found, more...)
		if o.First && len(found) > 0 {
			break
		}
	}
	found = different(ranked(found))
	found = found[:min(len(found), o.Keep)]
	const most = time.Second
	until := time.Now().Add(most)
	for i := range found {
		found[i] = s.putBack(found[i], o, until)
	}
	return different(ranked(found)), nil
}

// ranked are plans, the best first.
func ranked(found []Found) []Found {
	sort.SliceStable(found, func(i, j int) bool {
		a, b := found[i], found[j]
		switch {
		case a.seams != b.seams:
			return a.seams < b.seams
		case a.moved != b.moved:
			return a.moved < b.moved
		}
		return a.cost < b.cost-1e-9
	})
	return found
}

// Settled reports whether the searches for the last Plans ended by themselves.
func (s *State) Settled() bool { return s.settled }

// different leaves out plans with each part where an earlier one has it.
func different(all []Found) (out []Found) {
	seen := map[string]bool{}
	for _, f := range all {
		if key := lies(f.Plans[0]); !seen[key] {
			seen[key], out = true, append(out, f)
		}
	}
	return out
}

// lies is where every part of a plan lies, to a millimetre.
func lies(m *split.Made) string {
	var out []string
	for _, p := range m.Parts {
		r := p.Leaf.Lies(p.Cut)
		out = append(out, fmt.Sprintf("%s %d %.0f", m.Plan.Pieces[p.Piece].ID(), p.Leaf.Scrap, r.Bound().Center()))
	}
	sort.Strings(out)
	return strings.Join(out, ";")
}

// rest is what is to be planned: a copy that is whole, or what a cut left of one.
type rest struct {
	piece *piece.Piece // as a search takes it
	copy  int          // among the old plan's
	at    *split.Tree  // where in the old tree; nil for all of a copy
}

// with are plans in which some parts stay where they lie.
func (s *State) with(ctx context.Context, stays func(part string) bool, o search.Options) ([]Found, error) {
	w := &work{State: s, stays: stays, o: o}
	if err := w.look(); err != nil {
		return nil, err
	}
	if o.MaxSeams >= 0 {
		if o.MaxSeams -= w.seamsThatStay(); o.MaxSeams < 0 {
			return nil, nil
		}
	}
	if len(w.rests) == 0 {
		f, err := w.grafted(nil)
		if err != nil {
			return nil, nil // nothing to be planned, and what stays does not stay
		}
		return []Found{f}, nil
	}
	if len(w.free) == 0 || ctx.Err() != nil {
		s.settled = s.settled && ctx.Err() == nil
		return nil, nil
	}
	var pieces []*piece.Piece
	for _, r := range w.rests {
		pieces = append(pieces, r.piece)
	}
	o.Wishes, o.Rules = w.wishes(), append(slices.Clone(o.Rules), piece.LookRule{})
	if tell := o.Progress; tell != nil {
		o.Progress = func(p search.Progress) {
			if f, err := w.grafted(p.Plan); err == nil {
				m := f.Plans[0]
				tell(search.Progress{Found: true, Seams: len(m.Seams), LengthMM: m.LengthMM(), Plan: m})
			}
		}
	}
	res, err := search.RunCopies(ctx, pieces, w.free, o)
	if err != nil {
		return nil, err
	}
	s.settled = s.settled && res.Settled
	var out []Found
	for _, m := range res.Plans {
		// What holds for the rests by themselves may not for the whole: then that
		// plan is none.
		if f, err := w.grafted(m); err == nil {
			out = append(out, f)
		}
	}
	return out, nil
}

// work is one way of telling what stays from what is planned.
type work struct {
	*State
	stays func(part string) bool
	o     search.Options

	moves  []split.Move   // that stay
	copies []int          // of the old plan's, those that there will be
	pieces []*piece.Piece // of the old plan's, with the moves that stay
	rests  []rest
	free   []piece.Scrap // bits of cloth that are clear of what stays
	of     []int         // which scrap each is of
}

// look finds what there is to be planned, and the cloth for it.
func (w *work) look() error {
	staying := make([]bool, len(w.drawn)) // copies with a part, or a line, that stays
	for i, t := range w.made.Plan.Trees {
		staying[i] = w.isFixed(t) || slices.ContainsFunc(t.Leaves(), func(l *split.Tree) bool { return w.stays(l.Was.Name) })
	}
	w.moves = w.movesThatStay(staying)
	w.pieces = w.drawn
	for _, mv := range w.moves {
		var err error
		if w.pieces, err = mv.Apply(w.pieces); err != nil {
			return err
		}
	}
	fixed := map[string]bool{} // pieces with a copy that stays, if only in part
	for i, p := range w.drawn {
		if staying[i] {
			fixed[strings.ToLower(p.Name)] = true
		}
	}
	if w.begun { // a seam that is moved by hand is moved once
		for _, mv := range w.moves {
			fixed[strings.ToLower(mv.From.Piece)], fixed[strings.ToLower(mv.To.Piece)] = true, true
		}
	}
	kinds, err := w.kindsOfCloth()
	if err != nil {
		return err
	}
	looks := w.looksWished()
	for i, p := range w.pieces {
		if p.Optional && !staying[i] {
			continue // it is cut from what is left, when all else is planned
		}
		w.copies = append(w.copies, i)
		var found []rest
		if !staying[i] {
			found = []rest{{piece: withoutJoins(p, fixed), copy: i}}
		} else {
			found = w.restsOf(i, w.made.Plan.Trees[i])
		}
		for _, r := range found {
			r.piece.Kind, r.piece.Look = kinds[i], looks[strings.ToLower(p.Name)]
			if w.lined() && r.at != nil { // on its side of a line all is of one look
				r.piece.Look = w.scraps[r.at.Leaves()[0].Scrap].TheLook()
			}
			if r.piece.Look != p.Look || r.piece.Kind != p.Kind || r.at != nil {
				r.piece.Rest += fmt.Sprintf("%s %s", r.piece.Kind, r.piece.Look)
			}
			w.rests = append(w.rests, r)
		}
	}
	return w.cloth()
}

// movesThatStay are the moved seams of the old plan with a part that stays on
// either side, and those that have to do with them: where one was moved, the next
// was moved from there.
func (w *work) movesThatStay(staying []bool) (out []split.Move) {
	named := map[string]bool{}
	for i, p := range w.drawn {
		named[p.Name] = named[p.Name] || staying[i]
	}
	moves := w.made.Plan.Moves
	if w.begun {
		return moves
	}
	for range moves {
		for _, mv := range moves {
			if named[mv.From.Piece] || named[mv.To.Piece] {
				named[mv.From.Piece], named[mv.To.Piece] = true, true
			}
		}
	}
	for _, mv := range moves {
		if named[mv.From.Piece] {
			out = append(out, mv)
		}
	}
	return out
}

// restsOf are what is left of a copy: what hangs together of it with no part that
// stays.
func (w *work) restsOf(copy int, t *split.Tree) []rest {
	if w.isFixed(t) || slices.ContainsFunc(t.Leaves(), func(l *split.Tree) bool { return w.stays(l.Was.Name) }) {
		if t.Way == nil {
			return nil
		}
		return append(w.restsOf(copy, t.Near), w.restsOf(copy, t.Far)...)
	}
	b := w.made.Body(t)
	p := *b.Piece
	p.Outline = nil
	var names []string
	for _, l := range t.Leaves() {
		names = append(names, l.Was.Name)
	}
	p.Rest = strings.Join(names, " and ")
	for _, e := range b.Outline {
		e.Joins = nil // what it is sewn to stays, or has no say here
		if e.Seam != "" {
			e.Seam = "old " + e.Seam // and is no seam of the search's
		}
		p.Outline = append(p.Outline, e)
	}
	return []rest{{piece: &p, copy: copy, at: t}}
}

// lined reports whether the garment is cut along lines that stay, whatever becomes
// of what lies between them: a carried line, or level stripes.
func (w *work) lined() bool { return w.made.Plan.Carry != nil || w.made.Plan.Striped != nil }

// isFixed reports whether a tree has such a line in it, or any line where all stay.
func (w *work) isFixed(t *split.Tree) bool {
	if w.begun {
		return t.Way != nil
	}
	return slices.ContainsFunc(t.Cuts(), func(c *split.Tree) bool {
		return c.Carried || w.made.Plan.Striped != nil && c.Way.Traits().Runs == split.Across
	})
}

// withoutJoins is a copy of a piece for a search that may move no seam to, or of,
// a piece that stays.
func withoutJoins(p *piece.Piece, fixed map[string]bool) *piece.Piece {
	c := *p
	c.Outline = slices.Clone(p.Outline)
	for i := range c.Outline {
		e := &c.Outline[i]
		e.Joins = slices.DeleteFunc(slices.Clone(e.Joins), func(r piece.Ref) bool {
			return fixed[strings.ToLower(p.Name)] || fixed[strings.ToLower(r.Piece)]
		})
	}
	return &c
}

// kindsOfCloth are the kinds that the copies are to be cut from: those of what
// stays hold for what is sewn to it.
func (w *work) kindsOfCloth() ([]string, error) {
	all := slices.Concat(w.drawn, w.ready)
	out := make([]string, len(w.drawn))
	for i, p := range w.drawn {
		out[i] = p.Kind
	}
	if wish.Has[wish.MixKinds](w.o.Wishes) {
		return out, nil
	}
	group := piece.SewnTogether(all)
	kind := map[int]string{}
	for _, p := range w.made.Parts {
		if !w.stays(p.Name) {
			continue
		}
		if k := w.scraps[p.Leaf.Scrap].Kind; k != "" {
			kind[group[p.Piece]] = k
		}
	}
	for i := range w.drawn {
		if k := kind[group[i]]; k != "" && out[i] == "" {
			out[i] = k
		}
	}
	return out, nil
}

// looksWished are the looks that wishes bind pieces to, for something of them, or
// of what they are to be like, stays. Of two looks none is taken: such a wish is
// not kept, whatever is cut now.
func (w *work) looksWished() map[string]string {
	out := map[string]string{}
	for _, one := range wish.Musts(w.o.Wishes) {
		var names []string
		switch a := one.(type) {
		case wish.Alike:
			names = []string{a.Piece}
		case wish.Like:
			names = []string{a.Piece, a.Other}
		}
		look, several := "", false
		for _, p := range w.made.Parts {
			if !w.stays(p.Name) || !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, w.drawn[p.Piece].Name) }) {
				continue
			}
			l := w.scraps[p.Leaf.Scrap].TheLook()
			several = several || look != "" && !strings.EqualFold(l, look)
			look = l
		}
		if look == "" || several {
			continue
		}
		for _, n := range names {
			out[strings.ToLower(n)] = look
		}
	}
	return out
}

// wishes are those that a search for the rests can be asked to keep. All are
// looked at once more when the whole is there.
func (w *work) wishes() (out []wish.Wish) {
	planned, parted := map[string]bool{}, map[string]bool{} // pieces, and those of which not all copies are whole
	for _, r := range w.rests {
		name := strings.ToLower(w.drawn[r.copy].Name)
		planned[name] = true
		parted[name] = parted[name] || r.at != nil
	}
	for _, one := range w.o.Wishes {
		if BeforeCutting(one) {
			continue // the lines are there, or are not
		}
		named, ok := wish.Plainly(one).(interface {
			Names() (pieces, looks []string)
		})
		if _, only := wish.Plainly(one).(wish.OnlyFor); ok && !only {
			pieces, _ := named.Names()
			if slices.ContainsFunc(pieces, func(n string) bool { return parted[strings.ToLower(n)] || !planned[strings.ToLower(n)] }) {
				continue // where not all of it is searched for, every plan would be found to break it
			}
		}
		out = append(out, one)
	}
	return out
}

// BeforeCutting reports whether a wish is settled for the whole garment before anything
// is cut.
func BeforeCutting(w wish.Wish) bool {
	switch wish.Plainly(w).(type) {
	case wish.Carry, wish.Stripes, wish.Blocks, wish.MatchStripes:
		return true
	}
	return false
}

// seamsThatStay is how many seams of the old plan stay.
func (w *work) seamsThatStay() int {
	seams := 0
	for _, t := range w.made.Plan.Trees {
		seams += w.staying(t)
	}
	return seams
}

// SeamsCut is how many piecing seams there will be at least, for they have a part
// that is cut on either side.
func (s *State) SeamsCut() int {
	w := &work{State: s, stays: func(name string) bool { return s.cut[name] }}
	return w.seamsThatStay()
}

// staying is how many cuts of a tree have a part that stays on either side.
func (w *work) staying(t *split.Tree) int {
	if t.Way == nil || !w.isFixed(t) && !slices.ContainsFunc(t.Leaves(), func(l *split.Tree) bool { return w.stays(l.Was.Name) }) {
		return 0
	}
	return 1 + w.staying(t.Near) + w.staying(t.Far)
}

// cloth finds the bits that are clear of what stays and of what is spoilt.
func (w *work) cloth() error {
	r := w.record(w.made, w.drawn)
	d := r.Document()
	o := &d.Options[0]
	o.Parts = slices.DeleteFunc(o.Parts, func(p plan.Part) bool { return !w.stays(p.Name) })
	bits, err := remnant.Free(d, 0, w.o.GapMM)
	if err != nil {
		return fmt.Errorf("what is left of the cloth: %w", err)
	}
	w.free, w.of = remnant.Scraps(bits, w.scraps)
	return nil
}

// grafted is the plan for the whole, with what was found for the rests; m is nil
// where there are none.
func (w *work) grafted(m *split.Made) (Found, error) {
	p := &split.Plan{Moves: slices.Clone(w.moves), Scraps: w.scraps, Carry: w.made.Plan.Carry, Striped: w.made.Plan.Striped}
	if m != nil {
		p.Moves, p.Blocks = append(p.Moves, m.Plan.Moves...), m.Plan.Blocks
	}
	var drawn []*piece.Piece
	for _, i := range w.copies {
		drawn = append(drawn, w.drawn[i])
	}
	p.Pieces = drawn
	for _, mv := range p.Moves {
		var err error
		if p.Pieces, err = mv.Apply(p.Pieces); err != nil {
			return Found{}, err
		}
	}
	grafts := map[*split.Tree]*split.Tree{}
	whole := map[int]*split.Tree{}
	for k, r := range w.rests {
		t := m.Plan.Trees[k].Clone()
		for _, leaf := range t.Leaves() {
			leaf.Scrap = w.of[leaf.Scrap]
		}
		if r.at == nil {
			whole[r.copy] = t
		} else {
			grafts[r.at] = t
		}
	}
	for _, i := range w.copies {
		t := whole[i]
		if t == nil {
			t = graft(w.made.Plan.Trees[i], grafts)
		}
		p.Trees = append(p.Trees, t)
	}
	return w.found(p, drawn)
}

// found is a plan carried out, where all that is cut is as it was and wishes are kept.
func (w *work) found(p *split.Plan, drawn []*piece.Piece) (Found, error) {
	made, err := split.Make(p, w.old.AllowanceMM)
	if err != nil {
		return Found{}, err
	}
	f := Found{Record: w.record(made, drawn), seams: len(made.Seams)}
	f.moved = w.moved(&f.Document().Options[0])
	if err := w.same(&f); err != nil {
		return Found{}, err
	}
	if err := w.keeps(made, &f); err != nil {
		return Found{}, err
	}
	f.cost = split.Intrusion(split.Cost(made))
	return f, nil
}

// graft is a tree with some of its branches replaced.
func graft(t *split.Tree, grafts map[*split.Tree]*split.Tree) *split.Tree {
	if g := grafts[t]; g != nil {
		return g
	}
	c := *t
	if t.Way != nil {
		c.Near, c.Far = graft(t.Near, grafts), graft(t.Far, grafts)
	}
	return &c
}

// same refuses a plan in which a part that is cut is not what it was.
func (w *work) same(f *Found) error {
	d := f.Document()
	for i := range w.option.Parts {
		was := &w.option.Parts[i]
		if !w.cut[was.Name] {
			continue
		}
		k := slices.IndexFunc(d.Options[0].Parts, func(p plan.Part) bool { return p.Name == was.Name })
		if k < 0 {
			return fmt.Errorf("there is no part %s any more", was.Name)
		}
		if said := split.SameCut(was, &d.Options[0].Parts[k]); said != "" {
			return fmt.Errorf("of part %s something would change: %s", was.Name, said)
		}
	}
	return nil
}

// keeps refuses a plan that breaks a wish, and notes which preferred ones it does
// not keep.
func (w *work) keeps(made *split.Made, f *Found) error {
	if len(w.o.Wishes) == 0 {
		return nil
	}
	d := f.Document()
	for _, one := range wish.Musts(w.o.Wishes) {
		if kept, how := one.Kept(d, &d.Options[0]); !kept {
			return fmt.Errorf("the wish %q is not kept: %s", one, how)
		}
	}
	for _, one := range wish.Preferred(w.o.Wishes) {
		if kept, _ := one.Kept(d, &d.Options[0]); !kept {
			made.Plan.Unkept = append(made.Plan.Unkept, one.String())
		}
	}
	return nil
}

// Mended is a plan in which only what is spoilt is planned, and all else lies where it
// lay; ok where one was found.
func (s *State) Mended(ctx context.Context, o search.Options) (r split.Record, ok bool) {
	found, err := s.with(ctx, func(name string) bool { return !s.gone[name] }, s.Options(o))
	if err != nil || len(found) == 0 {
		return split.Record{}, false
	}
	return found[0].Record, true
}

// Rests are the pieces, or what is left of them, that Mended looks for cloth for.
func (s *State) Rests(o search.Options) ([]*piece.Piece, error) {
	w := &work{State: s, stays: func(name string) bool { return !s.gone[name] }, o: s.Options(o)}
	if err := w.look(); err != nil {
		return nil, err
	}
	var out []*piece.Piece
	for _, r := range w.rests {
		out = append(out, r.piece)
	}
	return out, nil
}

// Short says by how much the parts that are to be planned miss the cloth that is
// left, where only those that are spoilt are.
func (s *State) Short(ctx context.Context, o search.Options) ([]plan.Short, bool, error) {
	o = s.Options(o)
	w := &work{State: s, stays: func(name string) bool { return !s.gone[name] }, o: o}
	if err := w.look(); err != nil {
		return nil, false, err
	}
	var pieces []*piece.Piece
	for _, r := range w.rests {
		p := *r.piece
		if r.at != nil {
			p.Name = ""
			for i, l := range r.at.Leaves() {
				if i > 0 {
					p.Name += " and "
				}
				p.Name += l.Was.Name
			}
		}
		pieces = append(pieces, &p)
	}
	if len(pieces) == 0 || len(w.free) == 0 {
		return nil, false, nil
	}
	rows, checked := search.Short(ctx, pieces, w.free, o)
	return rows, checked, nil
}

// placeable reports whether a ring can be laid within another along a grain.
func placeable(cloth orb.Ring, grainDeg float64, ring orb.Ring) bool {
	const looselyDeg = 2
	turn := grainDeg - 90
	_, ok := fit.Place(context.Background(), fit.NewCloth(cloth, nil), fit.NewShape(ring), []fit.Turn{{Deg: turn, ToleranceDeg: looselyDeg}, {Deg: turn + 180, ToleranceDeg: looselyDeg}})
	return ok
}
