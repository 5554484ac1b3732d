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
	"eke/split/plan"
	"eke/split/wish"

	"golang.org/x/sync/errgroup"
)

// striper plans a garment in stripes.

type striper struct {
	table    *table
	options  Options
	wish     wish.Wish
	copies   []*piece.Piece
	whole    []*blank
	striping *split.Striping
	looks    []string // of the sequence, as the scraps spell them
	depths   []float64
	sizeMM   float64 // of blocks; 0 for stripes

	cuts    memo[string, []stripeCut] // of rows along sets of bins
	besides memo[string, bracket]     // how far a part of a row can go on a bin beside others

	lacking map[string]float64 // by look, the area of rows that found no cloth in the best attempt
	best    float64            // all of it
	alone   []string           // pieces in no stripes that found none
}

// stripesWished is the wish for stripes or for blocks, if there is one.
func stripesWished(o Options) (w wish.Wish, ok bool, err error) {
	for _, one := range o.Wishes {
		switch one.(type) {
		case wish.Stripes, wish.Blocks:
		default:
			continue
		}
		if ok && one != w {
			return w, false, fmt.Errorf("the wishes %q and %q: a garment is in stripes of one sequence or in blocks of one size; wish for one of them", w, one)
		}
		w, ok = one, true
	}
	if !ok {
		return w, false, nil
	}
	for _, other := range o.Wishes {
		switch other.(type) {
		case wish.Stripes, wish.Blocks, wish.MixKinds, wish.OnlyFor, wish.Prefer:
		default:
			return w, false, fmt.Errorf("the wishes %q and %q: stripes and blocks say of every piece which looks it has and where its lines run; leave the other out", w, other)
		}
	}
	for _, way := range []split.Way{split.Yoke{}, split.Panel{}} {
		if !o.allows(way.Kind()) {
			return w, false, fmt.Errorf("the wish %q needs seams of the kinds yoke and panel, and --seams %s does not allow both", w, strings.Join(o.Kinds, ","))
		}
	}
	return w, true, nil
}

func newStriper(t *table, copies []*piece.Piece, w wish.Wish) (*striper, error) {
	s := &striper{table: t, options: t.options, wish: w, copies: copies, best: math.Inf(1)}
	var err error
	if s.striping, err = split.NewStriping(copies); err != nil {
		return nil, fmt.Errorf("the wish %q: %w", w, err)
	}
	switch w := w.(type) {
	case wish.Blocks:
		s.sizeMM = w.SizeMM
		s.blockLooks()
	case wish.Stripes:
		if err := s.sequence(w); err != nil {
			return nil, err
		}
	}
	s.whole = newInstanceOfKinds(t, copies, nil, nil).blanks
	if len(s.whole) < len(copies) {
		return nil, fmt.Errorf("the wish %q: a piece has no sound cutting line", w)
	}
	return s, nil
}

// sequence finds the looks of the wish among those of the scraps.
func (s *striper) sequence(w wish.Stripes) error {
	var known []string
	for i := range s.table.bins {
		if l := s.table.bins[i].scrap.TheLook(); !slices.Contains(known, l) {
			known = append(known, l)
		}
	}
	looks, depths := w.Sequence()
	for _, l := range looks {
		at := slices.IndexFunc(known, func(k string) bool { return strings.EqualFold(strings.Join(strings.Fields(k), " "), l) })
		if at < 0 {
			return fmt.Errorf("the wish %q: no scrap looks like %q; the looks at hand are %s", w, l, strings.Join(known, ", "))
		}
		s.looks = append(s.looks, known[at])
	}
	s.depths = depths
	return nil
}

// The work of a search for stripes: how many layouts of one sequence are tried, how
// many sequences where the cloth decides, and how often each is begun anew, in
// rounds.
const (
	stripeLayouts   = 5
	stripeSequences = 10
)

var stripeRounds = []struct {
	seeds, moves, layouts int
	breaks                bool // whether the sequence may break
}{{1, 120, 2, false}, {2, 300, 2, false}, {1, 150, stripeLayouts, false}, {1, 200, 2, true}, {3, 1000, stripeSequences, true}}

// run looks for plans in stripes.
func (s *striper) run(ctx context.Context) *Result {
	res := &Result{Drawn: s.copies, Reason: "the seams that part stripes or blocks are wished for, and are not counted against a plan"}
	layouts := s.allLayouts()
	kinds := s.kinds()
	done := map[int]bool{}
	var found []stripePlan
	for round := range stripeRounds {
		for k, l := range layouts {
			if done[k] || k >= stripeRounds[round].layouts || ctx.Err() != nil || len(found) >= s.options.Keep {
				continue
			}
			for _, kind := range kinds {
				solve := s.solve
				if s.sizeMM > 0 {
					solve = s.solveBlocks
				}
				if p := solve(ctx, l, kind, round); p != nil {
					found, done[k] = append(found, *p), true
					if s.options.Progress != nil {
						s.options.Progress(Progress{true, len(p.made.Seams), p.made.LengthMM(), p.made})
					}
					break
				}
			}
		}
		if len(found) > 0 {
			break
		}
	}
	slices.SortStableFunc(found, func(a, b stripePlan) int {
		return cmp.Or(a.breaks-b.breaks, a.skipped-b.skipped, cmp.Compare(math.Round(a.wasteMM2/2e4), math.Round(b.wasteMM2/2e4)), a.uprights-b.uprights)
	})
	late, cancel := outlasting(ctx, timeToLayTrue)
	defer cancel()
	for _, p := range found {
		s.table.layTrue(late, p.made)
		res.Plans = append(res.Plans, p.made)
	}
	if len(found) == 0 {
		res.Unkept = &Unkept{s.wish, s.why(layouts)}
	}
	res.Settled = ctx.Err() == nil
	return res
}

// kinds are the kinds of cloth that all may come from, one after the other, where
// it might be knit and might be woven; else any.
func (s *striper) kinds() []string {
	if wish.Has[wish.MixKinds](s.options.Wishes) {
		return []string{""}
	}
	all := make([]int, len(s.copies))
	for i := range all {
		all[i] = i
	}
	if !s.table.mayMix(s.copies, all) {
		return []string{""}
	}
	return []string{knit, woven}
}

// allLayouts are the layouts to try, the likeliest first.
func (s *striper) allLayouts() []*stripeLayout {
	if s.sizeMM > 0 {
		return s.layouts(split.StripeSequence{Looks: []string{""}, DepthsMM: []float64{s.sizeMM}}, stripeLayouts)
	}
	if s.depths != nil {
		return s.layouts(split.StripeSequence{Looks: s.looks, DepthsMM: s.depths}, stripeLayouts)
	}
	var out []*stripeLayout
	for _, d := range s.depthsToTry() {
		out = append(out, s.layouts(split.StripeSequence{Looks: s.looks, DepthsMM: d}, 1)...)
	}
	return out
}

// depthsToTry are depths that the cloth allows, the likeliest first: in shares like
// those of the cloth there is of each look or alike, and as deep as most of its
// scraps hold.
func (s *striper) depthsToTry() [][]float64 {
	const stepMM, leastMM, mostMM = 5.0, 30.0, 160.0
	area := make([]float64, len(s.looks))
	var deep [][]float64
	var sum float64
	for k, l := range s.looks {
		var lengths []float64
		for i := range s.table.bins {
			if b := &s.table.bins[i]; b.scrap.TheLook() == l {
				area[k] += b.area
				lengths = append(lengths, b.length-2*s.options.AllowanceMM)
			}
		}
		slices.Sort(lengths)
		deep = append(deep, lengths)
		sum += area[k]
	}
	type depths struct {
		mm   []float64
		cost float64
	}
	var all []depths
	seen := map[string]bool{}
	for period := leastMM * float64(len(s.looks)); period <= mostMM*float64(len(s.looks)); period += 2 * stepMM {
		for _, even := range []float64{0, 0.5, 1} { // how far the cloth's own shares are evened out
			var d []float64
			cost := 0.0
			for k := range s.looks {
				share := (1-even)*area[k]/sum + even/float64(len(s.looks))
				mm := math.Round(period*share/stepMM) * stepMM
				d = append(d, mm)
				if mm < leastMM || mm > mostMM {
					cost = math.Inf(1)
				}
				// Scraps that are too shallow are lost; allowances eat what is cut narrow.
				lost := 0
				for _, l := range deep[k] {
					if l < mm {
						lost++
					}
				}
				cost += float64(lost)/float64(max(1, len(deep[k]))) + 0.6*2*s.options.AllowanceMM/mm
				cost += math.Max(0, share*sum/area[k]-1.2)
			}
			if key := fmt.Sprint(d); !math.IsInf(cost, 1) && !seen[key] {
				seen[key] = true
				all = append(all, depths{d, cost})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b depths) int { return cmp.Compare(a.cost, b.cost) })
	var out [][]float64
	for _, a := range all {
		// Not only neighbours of the likeliest.
		if len(out) < stripeSequences && !slices.ContainsFunc(out, func(o []float64) bool { return math.Abs(o[0]-a.mm[0])+math.Abs(o[len(o)-1]-a.mm[len(o)-1]) < 2*stepMM }) {
			out = append(out, a.mm)
		}
	}
	return out
}

// stripePlan is a plan and what tells it from others.
type stripePlan struct {
	made                      *split.Made
	breaks, skipped, uprights int
	wasteMM2                  float64 // left over of scraps that were begun
}

// solve covers the rows of a layout, begun anew with other seeds.
func (s *striper) solve(ctx context.Context, l *stripeLayout, kind string, round int) *stripePlan {
	r := stripeRounds[round]
	rows := slices.Clone(l.rows)
	broken := map[int]string{}
	s.breakShort(rows, broken, kind)
	for seed := range r.seeds {
		for {
			st, left := s.settled(ctx, rows, uint64(seed+10*round), kind, r.moves)
			if ctx.Err() != nil {
				return nil
			}
			if len(left) == 0 {
				if p := s.made(ctx, l, st, rows, broken); p != nil {
					return p
				}
				break
			}
			s.note(rows, left)
			if s.relook(rows, s.mostMissing(rows, left), broken, kind) {
				continue
			}
			if !r.breaks || !s.breakOne(rows, left, broken, kind) {
				break
			}
		}
	}
	return nil
}

// settled places every row, the hardest first. A row that finds no room takes the
// place of others where that costs least, and they look for another one; each time
// it grows harder to put a row elsewhere (ejection chains, with weights as in
// guided local search: C. Voudouris, E. Tsang, 1999). Left are the rows that have
// no place when the moves run out.
func (s *striper) settled(ctx context.Context, rows []stripeRow, seed uint64, kind string, moves int) (st *stripeState, left []int) {
	st = s.emptyState(kind)
	st.seed, st.whole = seed, s.sizeMM > 0
	st.hard = make([]float64, len(rows))
	for r := range rows {
		st.hard[r] = 1
	}
	lefts := make([][]int, len(s.looks)) // looks share no bin, and so each goes by itself
	g := new(errgroup.Group)
	g.SetLimit(s.options.Workers)
	for k, look := range s.looks {
		if slices.Contains(s.looks[:k], look) {
			continue
		}
		g.Go(func() error {
			lefts[k] = st.settle(ctx, rows, look, moves)
			return nil
		})
	}
	_ = g.Wait()
	return st, slices.Concat(lefts...)
}

// settle places the rows of one look.
func (st *stripeState) settle(ctx context.Context, rows []stripeRow, look string, moves int) (left []int) {
	places := map[int]int{}
	for r := range rows {
		if rows[r].look != look {
			continue
		}
		for i := range st.table.bins {
			if st.may(rows[r].part, i, look) {
				if _, ok := st.table.fitsOn(ctx, rows[r].part, &st.table.bins[i]); ok {
					places[r]++
				}
			}
		}
		left = append(left, r)
	}
	// What lies on its bin alone with the least to choose from goes first; what lies
	// on none is pieced from what is left.
	slices.SortStableFunc(left, func(a, b int) int {
		if (places[a] == 0) != (places[b] == 0) {
			return places[b] - places[a]
		}
		return cmp.Or(places[a]-places[b], cmp.Compare(rows[b].part.area, rows[a].part.area))
	})
	for moves += len(left); moves > 0 && len(left) > 0 && ctx.Err() == nil; moves-- {
		r := left[0]
		c := st.cover(ctx, rows[r].part, r, look, true)
		if c == nil || math.IsInf(c.cost, 1) {
			return left
		}
		left = left[1:]
		for _, e := range c.evicted {
			if !slices.Contains(left, e) {
				st.take(e, look)
				left = append(left, e)
			}
		}
		if len(c.evicted) > 0 {
			st.hard[r]++
		}
		for k := range c.parts {
			if c.parts[k].leaf == c.tree { // the row itself
				c.parts[k].leaf = rows[r].at
			}
		}
		*rows[r].at = *c.tree
		st.put(c, r)
	}
	return left
}

// note remembers the attempt that left the least over.
func (s *striper) note(rows []stripeRow, failed []int) {
	by, sum := map[string]float64{}, 0.0
	for _, r := range failed {
		by[rows[r].look] += rows[r].part.area
		sum += rows[r].part.area
	}
	if sum < s.best && len(failed) > 0 {
		s.best, s.lacking = sum, by
	}
}

// held is the cloth of each look of the sequence, and needed what the rows take.
func (s *striper) held(look, kind string) (sum float64) {
	for i := range s.table.bins {
		if b := &s.table.bins[i]; b.scrap.TheLook() == look && (kind == "" || b.scrap.Kind == "" || b.scrap.Kind == kind) {
			sum += b.area
		}
	}
	return sum
}

func needed(rows []stripeRow, look string) (sum float64) {
	for _, r := range rows {
		if r.look == look {
			sum += r.part.area
		}
	}
	return sum
}

// breakShort breaks the sequence at the back as long as the rows of a look take
// more cloth than there is.
func (s *striper) breakShort(rows []stripeRow, broken map[int]string, kind string) {
	for _, look := range s.looks {
		for needed(rows, look) > s.held(look, kind) {
			if !s.relook(rows, look, broken, kind) && !s.breakRow(rows, look, broken, kind) {
				return
			}
		}
	}
}

// relook gives a band of several stripes the look of another one of them, where
// there is too little of that which it has.
func (s *striper) relook(rows []stripeRow, look string, broken map[int]string, kind string) bool {
	for at := range rows {
		if rows[at].look != look || broken[at] != "" {
			continue
		}
		for _, other := range rows[at].also {
			if s.held(other, kind)-needed(rows, other) < rows[at].part.area {
				continue
			}
			name, band := s.copies[rows[at].copy].Name, rows[at].band
			for r := range rows {
				if s.copies[rows[r].copy].Name == name && rows[r].band == band && rows[r].look == look {
					rows[r].look, rows[r].also = other, nil
				}
			}
			return true
		}
	}
	return false
}

// breakOne breaks it for the look of which most rows found no cloth.
func (s *striper) breakOne(rows []stripeRow, failed []int, broken map[int]string, kind string) bool {
	look := s.mostMissing(rows, failed)
	return look != "" && s.breakRow(rows, look, broken, kind)
}

// mostMissing is the look of which most rows found no cloth.
func (s *striper) mostMissing(rows []stripeRow, failed []int) (look string) {
	most := 0.0
	for _, l := range s.looks {
		var sum float64
		for _, r := range failed {
			if rows[r].look == l {
				sum += rows[r].part.area
			}
		}
		if sum > most {
			most, look = sum, l
		}
	}
	return look
}

// breakRow gives one stripe of a look at the back another look of the sequence: the
// lowest, and the look of which most is left. All rows of one stripe go together,
// on both halves of the back.
func (s *striper) breakRow(rows []stripeRow, look string, broken map[int]string, kind string) bool {
	at := -1
	for r := range rows {
		if rows[r].look == look && isBack(s.copies[rows[r].copy]) && broken[r] == "" && (at < 0 || rows[r].band > rows[at].band) {
			at = r
		}
	}
	if at < 0 {
		return false
	}
	other, most := "", 0.0
	for _, l := range s.looks {
		swapped := false // a stripe that would be of this look has been given the other already
		for r, wanted := range broken {
			swapped = swapped || wanted == l && rows[r].look == look
		}
		if spare := s.held(l, kind) - needed(rows, l); l != look && !swapped && spare > most {
			other, most = l, spare
		}
	}
	if other == "" {
		return false
	}
	name, band := s.copies[rows[at].copy].Name, rows[at].band
	for r := range rows {
		if s.copies[rows[r].copy].Name == name && rows[r].band == band && rows[r].look == look {
			broken[r], rows[r].look = look, other
		}
	}
	return true
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// relink puts another leaf in the place of one.
func (s *stripeState) relink(from, to *split.Tree) {
	for i := range s.on {
		for k := range s.on[i] {
			if s.on[i][k].leaf == from {
				s.on[i][k].leaf = to
			}
		}
	}
}

func (s *stripeState) takeBack(covers []*stripeCover) {
	for _, c := range covers {
		for _, p := range c.parts {
			s.free[p.bin] += p.part.area
			s.on[p.bin] = slices.DeleteFunc(s.on[p.bin], func(q stripePart) bool { return q.leaf == p.leaf })
		}
	}
}

// made is the plan of a state in which all rows are covered, nil where the other
// pieces find no cloth or the parts cannot be sewn.
func (s *striper) made(ctx context.Context, l *stripeLayout, st *stripeState, rows []stripeRow, broken map[int]string) *stripePlan {
	s.alone = nil
	if !s.coverAlone(ctx, st, l) {
		return nil
	}
	s.stagger(ctx, l, st, rows)
	out := &stripePlan{breaks: 0, skipped: l.skipped}
	for i, on := range st.on {
		if len(on) == 0 {
			continue
		}
		at, ok := s.table.packTogether(ctx, st.with(i), &s.table.bins[i], stripePoses)
		if !ok {
			return nil
		}
		for k := range on {
			on[k].leaf.Scrap, on[k].leaf.Placement = i, at[k]
		}
		out.wasteMM2 += st.free[i]
	}
	striping := *l.Striping
	striping.Copies = slices.Clone(l.Copies)
	for k := range striping.Copies {
		striping.Copies[k].Bands = slices.Clone(l.Copies[k].Bands)
	}
	for r := range rows {
		if s.sizeMM == 0 {
			striping.Copies[rows[r].place].Bands[rows[r].band].Look = rows[r].look
			continue
		}
		for _, k := range l.blocks[r].beside {
			if k > r && rows[k].look == rows[r].look {
				out.breaks++
			}
		}
	}
	for r, wanted := range broken {
		b := &striping.Copies[rows[r].place].Bands[rows[r].band]
		b.Look, b.Wanted = rows[r].look, wanted
		out.breaks++
	}
	p := &split.Plan{Pieces: s.copies, Scraps: s.table.scraps, Striped: &striping, Trees: split.CloneTrees(l.trees)}
	m, err := split.Make(p, s.options.AllowanceMM)
	if err != nil {
		return nil
	}
	out.made = m
	for i := range m.Seams {
		out.uprights += btoi(s.sizeMM == 0 && m.Seams[i].Way.Traits().Runs == split.Along)
	}
	return out
}

// why is what is missing, of the attempt that left the least over.
func (s *striper) why(layouts []*stripeLayout) string {
	if len(layouts) == 0 {
		return "no depths were found that the scraps allow"
	}
	if len(s.lacking) == 0 && len(s.alone) > 0 {
		what := "stripes"
		if s.sizeMM > 0 {
			what = "blocks"
		}
		return fmt.Sprintf("all %s find cloth, and then none is left for %s", what, plan.And(s.alone))
	}
	if s.sizeMM > 0 {
		return s.whyNoBlocks(layouts)
	}
	rows := layouts[0].rows
	var out []string
	for _, l := range s.looks {
		need, has := needed(rows, l), s.held(l, "")
		switch {
		case need > has:
			out = append(out, fmt.Sprintf("%s: the stripes need %.2f m² and there are %.2f m²", l, need/1e6, has/1e6))
		case s.lacking[l] > 0:
			out = append(out, fmt.Sprintf("%s: of %.2f m² of stripes, %.2f m² found no place on %.2f m² of scraps", l, need/1e6, s.lacking[l]/1e6, has/1e6))
		}
	}
	if len(out) == 0 {
		return "no way was found to cut all stripes together"
	}
	return strings.Join(out, "; ")
}
