package search

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"

	"eke/piece"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
)

// sliding is a cut that may move: what one of its sides gives up the other
// takes, between levels that are known bounds.
type sliding struct {
	tree *split.Tree
	turn int // the copy's place in the order of dealing
	room split.Span
	// The levels at which it may run.
	spans []split.Span
	// Whether the rest of the piece is cut again.
	bite  bool
	limit float64 // where it was dealt
}

// trade is scraps that depend on each other: pieces are cut between them.
type trade struct {
	scraps []int
	cuts   []sliding
	turns  []int // of the copies that have parts here
}

// trades groups the scraps in use, those first whose parts were dealt
// earliest, for what is wrong with them rules out the most.
func (d *dealing) trades() []*trade {
	of := make([]int, len(d.content)) // scraps point to a scrap of their group
	for s := range of {
		of[s] = s
	}
	var root func(int) int
	root = func(s int) int {
		if of[s] != s {
			of[s] = root(of[s])
		}
		return of[s]
	}
	home := make([]int, len(d.order)) // a scrap of each copy
	for t := range home {
		home[t] = -1
	}
	for s, parts := range d.content {
		for _, l := range parts {
			if home[l.turn] < 0 {
				home[l.turn] = s
			}
			a, b := root(s), root(home[l.turn])
			of[max(a, b)] = min(a, b)
		}
	}
	groups := map[int]*trade{}
	var out []*trade
	for t, s := range home {
		if s < 0 {
			continue // not dealt yet
		}
		g := groups[root(s)]
		if g == nil {
			g = &trade{}
			groups[root(s)] = g
			out = append(out, g)
		}
		g.turns = append(g.turns, t)
	}
	for s, parts := range d.content {
		if len(parts) > 0 {
			g := groups[root(s)]
			g.scraps = append(g.scraps, s)
		}
	}
	for _, c := range d.cuts {
		g := groups[root(home[c.turn])]
		g.cuts = append(g.cuts, c)
	}
	sort.SliceStable(out, func(a, b int) bool {
		x, y := out[a].turns, out[b].turns
		return x[len(x)-1] < y[len(y)-1]
	})
	return out
}

// settle finds levels and places for everything dealt. It sets the leaves'
// placements and gives nil, or the turns of the copies that had a say in the
// failure.
func (d *dealing) settle(ctx context.Context) []int {
	for _, g := range d.trades() {
		if ctx.Err() != nil || !d.settleTrade(ctx, g) {
			return g.turns
		}
	}
	return nil
}

func (d *dealing) settleTrade(ctx context.Context, g *trade) bool {
	if len(g.cuts) == 0 {
		return d.packWhole(ctx, g.scraps[0])
	}
	if d.allAlone(ctx, g) {
		return true
	}
	if d.exclusive {
		return false
	}
	w := d.weigh(ctx, g)
	if w == nil || d.spend(max(1, d.poses/300)) {
		return false
	}
	return d.slideAndPack(ctx, g, w)
}

// weigh is the areas of a trade, or nil when they or the least that its parts
// can be are too much for some scrap.
func (d *dealing) weigh(ctx context.Context, g *trade) *weighing {
	least := d.leastParts(g)
	if d.overfull(g, least) {
		return nil
	}
	w := newWeighing(d, g)
	w.balance(sharedFills[0])
	if w.fullestShared() > d.fill+0.02 || !d.leastFit(ctx, g, least) {
		return nil
	}
	return w
}

// promises reports whether what has been dealt so far may come to something:
// the scraps of the copy dealt last are not too full already.
func (d *dealing) promises(ctx context.Context) bool {
	if d.exclusive {
		return true
	}
	for _, g := range d.trades() {
		if g.turns[len(g.turns)-1] != d.dealt {
			continue
		}
		if len(g.cuts) > 0 {
			return d.weigh(ctx, g) != nil
		}
		return d.packWhole(ctx, g.scraps[0])
	}
	return true
}

// packWhole packs whole pieces on a scrap.
func (d *dealing) packWhole(ctx context.Context, s int) bool {
	if len(d.content[s]) > 1 && d.spend(max(1, d.poses/300)) {
		return false
	}
	at, ok := d.table.together(ctx, d.with(s), &d.table.sites[s], d.poses)
	if !ok {
		return false
	}
	for i, l := range d.content[s] {
		l.leaf.Placement = at[i]
	}
	return true
}

// allAlone reports whether every part of a trade has its scrap for itself, and
// lies on it as it was dealt.
func (d *dealing) allAlone(ctx context.Context, g *trade) bool {
	for _, s := range g.scraps {
		if len(d.content[s]) > 1 {
			return false
		}
	}
	for _, s := range g.scraps {
		l := d.content[s][0]
		at, ok := d.table.fitsOn(ctx, l.part, &d.table.sites[s])
		if !ok {
			return false
		}
		l.leaf.Placement = at
	}
	return true
}


// leastParts are the cores of a trade's parts when every cut gives each the
// least that it may.
func (d *dealing) leastParts(g *trade) map[*split.Tree]leastPart {
	cuts := map[*split.Tree]*sliding{}
	for i := range g.cuts {
		cuts[g.cuts[i].tree] = &g.cuts[i]
	}
	least := map[*split.Tree]leastPart{}
	for _, t := range g.turns {
		b := d.job.blanks[d.order[t]]
		d.leastOf(b, d.trees[d.order[t]], cuts, leastPart{b.key, b.coarse}, least)
	}
	return least
}

// overfull reports whether a scrap has not the area for the least of its parts.
func (d *dealing) overfull(g *trade, least map[*split.Tree]leastPart) bool {
	for _, s := range g.scraps {
		sum := 0.0
		for _, l := range d.content[s] {
			sum += math.Abs(piece.Area(least[l.leaf].ring))
		}
		if len(d.content[s]) > 1 && sum > (d.fill+0.02)*d.table.sites[s].area {
			return true
		}
	}
	return false
}

// leastPoses is how hard two parts are packed at least to see whether a scrap
// holds them.
const leastPoses = 1500

// leastFit reports whether each scrap of a trade holds the least of its parts.
func (d *dealing) leastFit(ctx context.Context, g *trade, least map[*split.Tree]leastPart) bool {
	for _, s := range g.scraps {
		if len(d.content[s]) < 2 {
			continue
		}
		var parts []leastPart
		var of []*blank
		for _, l := range d.content[s] {
			parts = append(parts, least[l.leaf])
			of = append(of, l.part)
		}
		if !d.table.holds(ctx, parts, of, &d.table.sites[s], max(leastPoses, d.poses/8)) {
			return false
		}
	}
	return true
}

// leastPart is the core of a part, and its name.
type leastPart struct {
	key  string
	ring orb.Ring
}

func (d *dealing) leastOf(b *blank, t *split.Tree, cuts map[*split.Tree]*sliding, p leastPart, out map[*split.Tree]leastPart) {
	c := cuts[t]
	if c == nil {
		out[t] = p
		return
	}
	side := func(level, allowance float64, near bool) leastPart {
		return leastPart{fmt.Sprintf("%s|%s%t%.0f", p.key, id(t.Way), near, level), halfOf(p.ring, t.Way.Line(b.Body, level+allowance), near)}
	}
	half := d.table.options.AllowanceMM / 2
	d.leastOf(b, t.Near, cuts, side(c.room.Lo, half, true), out)
	d.leastOf(b, t.Far, cuts, side(c.room.Hi, -half, false), out)
}

// holds reports whether a scrap holds some cores, as far as a quick packing
// of two by so many poses can tell, and of more by more. It remembers.
func (t *table) holds(ctx context.Context, parts []leastPart, of []*blank, s *site, poses int) bool {
	var keys []string
	var items []fit.Item
	for i, p := range parts {
		if len(p.ring) < 3 {
			continue
		}
		keys = append(keys, p.key)
		items = append(items, fit.Item{Shape: fit.NewShape(p.ring), Turns: turns(of[i].piece, s.scrap, t.options.GrainToleranceDeg)})
	}
	if len(items) == 0 {
		return true
	}
	sort.Strings(keys)
	key := strings.Join(keys, "&") + "#" + s.class
	t.mu.Lock()
	was := t.held[key]
	t.mu.Unlock()
	if was.ok || was.poses >= poses {
		return was.ok
	}
	_, ok := fit.Pack(ctx, s.cloth, items, t.options.GapMM, poses*len(items)*len(items)/4, t.options.Seed)
	if ctx.Err() == nil {
		t.mu.Lock()
		if !t.held[key].ok {
			t.held[key] = held{ok, max(poses, t.held[key].poses)}
		}
		t.mu.Unlock()
	}
	return ok
}

// held is whether a scrap held some cores, and the poses that were weighed.
type held struct {
	ok    bool
	poses int
}

// trial is how far the search for the levels of a trade has come.
type trial struct {
	mu    sync.Mutex
	trail fit.Trail
	found *fit.Solution
}

// slideAndPack looks for levels and places, and remembers how far it came.
func (d *dealing) slideAndPack(ctx context.Context, g *trade, w *weighing) bool {
	key := d.tradeKey(g)
	d.table.mu.Lock()
	t := d.table.trials[key]
	if t == nil {
		t = new(trial)
		d.table.trials[key] = t
	}
	d.table.mu.Unlock()
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.found == nil && t.trail.Attempts < d.attempts {
		trail := t.trail
		found, ok := d.jointOf(g, w).Pack(ctx, &trail, d.attempts, d.table.options.Seed)
		switch {
		case ok:
			t.found = found
		case ctx.Err() == nil:
			t.trail = trail
		}
	}
	if t.found == nil {
		return false
	}
	for k, c := range g.cuts {
		c.tree.LevelMM = t.found.Levels[k]
	}
	for k, s := range g.scraps {
		for i, l := range d.content[s] {
			l.leaf.Placement = t.found.At[k][i]
		}
	}
	return true
}

// tradeKey names the question: which parts of what lie where.
func (d *dealing) tradeKey(g *trade) string {
	var b strings.Builder
	for _, t := range g.turns {
		k := d.order[t]
		fmt.Fprintf(&b, "%s:%s", d.job.blanks[k].key, shape(d.trees[k]))
		for _, leaf := range d.trees[k].Leaves() {
			fmt.Fprintf(&b, ",%d", leaf.Scrap)
		}
		b.WriteByte(';')
	}
	return b.String()
}

func (d *dealing) jointOf(g *trade, w *weighing) *fit.Joint {
	j := &fit.Joint{GapMM: d.table.options.GapMM, Start: w.start, Starts: mostStarts, Least: w.least()}
	for _, s := range g.scraps {
		j.Cloths = append(j.Cloths, d.table.sites[s].cloth)
	}
	for _, c := range g.cuts {
		r := d.reach(c)
		j.Lo, j.Hi = append(j.Lo, r.Lo), append(j.Hi, r.Hi)
	}
	k := &knife{d: d, g: g, last: map[int]carved{}}
	j.Cut = k.cut
	return j
}

// reach is where a cut may slide: its room, which is known roughly, as far as
// the piece reaches.
func (d *dealing) reach(c sliding) split.Span {
	lo, hi := c.spans[0].Lo, c.spans[len(c.spans)-1].Hi
	if whole := d.job.blanks[d.order[c.turn]].spansOf(c.tree.Way); len(whole) > 0 {
		// What is cut before it may slide too, and leave it more.
		lo, hi = math.Min(lo, whole[0].Lo), math.Max(hi, whole[len(whole)-1].Hi)
	}
	return split.Span{Lo: math.Max(lo, c.room.Lo-roughMM), Hi: math.Min(hi, c.room.Hi+roughMM)}
}

// knife cuts the copies of a trade, and only those anew whose levels changed.
type knife struct {
	d    *dealing
	g    *trade
	last map[int]carved
}

type carved struct {
	levels string
	parts  map[*split.Tree]*fit.Shape
}

func (k *knife) cut(levels []float64) ([][]fit.Item, bool) {
	at := map[*split.Tree]float64{}
	for i, c := range k.g.cuts {
		at[c.tree] = levels[i]
	}
	shapes := map[*split.Tree]*fit.Shape{}
	for _, t := range k.g.turns {
		of := k.d.order[t]
		parts, ok := k.carve(t, k.d.job.blanks[of], k.d.trees[of], at)
		if !ok {
			return nil, false
		}
		for leaf, s := range parts {
			shapes[leaf] = s
		}
	}
	var out [][]fit.Item
	for _, s := range k.g.scraps {
		var items []fit.Item
		site := &k.d.table.sites[s]
		for _, l := range k.d.content[s] {
			items = append(items, fit.Item{Shape: shapes[l.leaf], Turns: turns(l.part.piece, site.scrap, k.d.table.options.GrainToleranceDeg)})
		}
		out = append(out, items)
	}
	return out, true
}

func (k *knife) carve(turn int, b *blank, t *split.Tree, at map[*split.Tree]float64) (map[*split.Tree]*fit.Shape, bool) {
	var key strings.Builder
	for _, c := range cutsOf(t) {
		fmt.Fprintf(&key, "%v,", at[c])
	}
	if was, ok := k.last[turn]; ok && was.levels == key.String() {
		return was.parts, true
	}
	parts := map[*split.Tree]*fit.Shape{}
	if t.Way == nil {
		parts[t] = b.shape
	} else if !k.pieces(b.Body, b.spansOf(t.Way), t, at, parts) {
		return nil, false
	}
	k.last[turn] = carved{key.String(), parts}
	return parts, true
}

func (k *knife) pieces(b *split.Body, spans []split.Span, t *split.Tree, at map[*split.Tree]float64, parts map[*split.Tree]*fit.Shape) bool {
	if !split.In(spans, at[t]) {
		return false
	}
	near, far, _, err := split.Cut(b.Outline, t.Way.Line(b, at[t]), split.Seam{Name: "?", AllowanceMM: k.d.table.options.AllowanceMM})
	if err != nil {
		return false
	}
	return k.side(b.Piece, near, t.Near, at, parts) && k.side(b.Piece, far, t.Far, at, parts)
}

func (k *knife) side(p *piece.Piece, o piece.Outline, t *split.Tree, at map[*split.Tree]float64, parts map[*split.Tree]*fit.Shape) bool {
	if t.Way != nil {
		b := split.NewBody(p, o)
		return k.pieces(b, t.Way.Spans(b), t, at, parts)
	}
	cut, err := split.CutLine(p, o)
	if err != nil {
		return false
	}
	parts[t] = fit.NewShape(cut)
	return true
}

// sharedFills are how full by area a scrap that parts share may be taken to
// get, one start after another: odd shapes leave gaps.
var sharedFills = []float64{0.87, 0.92, 0.82}

// start gives levels from which to look for those of a trade: as it was dealt
// and then from all over the cuts' reach, balanced. There are as a rule more
// cuts than the areas of the scraps can tell the levels of.
func (w *weighing) start(k int) []float64 {
	copy(w.levels, w.dealt)
	if k > 0 {
		for i, r := range w.reach {
			// Spread evenly over the reaches of all cuts (Roberts 2018).
			_, f := math.Modf(0.5 + float64(k)*math.Pow(spreadBase, -float64(i+1)))
			w.levels[i] = r.Lo + f*(r.Hi-r.Lo)
		}
		for i := range w.levels {
			lo, hi := w.between(i)
			w.levels[i] = math.Max(lo, math.Min(hi, w.levels[i]))
		}
	}
	return w.balance(sharedFills[k%len(sharedFills)])
}

// least is how many starts say whether a trade is hopeless: more where areas
// tell nothing of some level.
func (w *weighing) least() int {
	for _, on := range w.onSide {
		if len(without(on[0], on[1]))+len(without(on[1], on[0])) == 0 {
			return 4
		}
	}
	return 0
}

const (
	mostStarts = 9
	spreadBase = 1.3247179572447460 // the plastic number
)

// balance gives the levels at which all scraps are about equally full, by
// area: against that share of the scrap's area where parts share it, against
// the largest part that it holds where one has it for itself.
func (w *weighing) balance(share float64) []float64 {
	for i, parts := range w.parts {
		if len(parts) > 1 {
			w.holds[i] = share * w.area[i]
		}
	}
	for range 6 {
		most := 0.0
		for k := range w.cuts {
			most = math.Max(most, w.even(k))
		}
		if most < 0.5 {
			break
		}
	}
	return append([]float64(nil), w.levels...)
}

// fullestShared is how full the fullest scrap is that parts share.
func (w *weighing) fullestShared() float64 {
	most := 0.0
	for i, parts := range w.parts {
		if len(parts) > 1 {
			most = math.Max(most, w.fill(i)*w.holds[i]/w.area[i])
		}
	}
	return most
}

// weighing is the areas of a trade's parts as functions of the levels.
type weighing struct {
	levels []float64
	dealt  []float64
	cuts   []sliding
	reach  []split.Span
	area   []float64 // of each scrap
	holds  []float64 // the area of parts that it holds
	parts  [][]leafArea
	onSide [][2][]int // scraps with parts on the near and the far side of each cut
}

// leafArea is a part: a piece's outline, and the cuts between it and the part.
type leafArea struct {
	ring orb.Ring
	body *split.Body
	cuts []cutSide
	grow float64 // allowance
}

type cutSide struct {
	cut  int
	near bool
}

func newWeighing(d *dealing, g *trade) *weighing {
	w := &weighing{cuts: g.cuts, onSide: make([][2][]int, len(g.cuts))}
	index := map[*split.Tree]int{}
	for k, c := range g.cuts {
		w.levels = append(w.levels, c.tree.LevelMM)
		w.dealt = append(w.dealt, c.tree.LevelMM)
		w.reach = append(w.reach, d.reach(c))
		index[c.tree] = k
	}
	paths := map[*split.Tree][]cutSide{}
	var walk func(t *split.Tree, path []cutSide)
	walk = func(t *split.Tree, path []cutSide) {
		if t.Way == nil {
			paths[t] = path
			return
		}
		path = path[:len(path):len(path)]
		walk(t.Near, append(path, cutSide{index[t], true}))
		walk(t.Far, append(path, cutSide{index[t], false}))
	}
	rings := map[int]orb.Ring{}
	for _, t := range g.turns {
		walk(d.trees[d.order[t]], nil)
		rings[t] = d.job.blanks[d.order[t]].coarse
	}
	for i, s := range g.scraps {
		var parts []leafArea
		for _, l := range d.content[s] {
			b := d.job.blanks[d.order[l.turn]]
			path := paths[l.leaf]
			parts = append(parts, leafArea{rings[l.turn], b.Body, path, d.table.options.AllowanceMM})
			for _, c := range path {
				side := 1
				if c.near {
					side = 0
				}
				on := w.onSide[c.cut][side]
				if n := len(on); n == 0 || on[n-1] != i {
					w.onSide[c.cut][side] = append(on, i)
				}
			}
		}
		w.parts = append(w.parts, parts)
		w.area = append(w.area, d.table.sites[s].area)
		w.holds = append(w.holds, d.table.sites[s].area)
	}
	for i, s := range g.scraps {
		if len(d.content[s]) > 1 {
			continue
		}
		was := append([]float64(nil), w.levels...)
		for _, c := range w.parts[i][0].cuts {
			switch room := w.cuts[c.cut].room; {
			case w.cuts[c.cut].bite:
			case c.near:
				w.levels[c.cut] = room.Hi
			default:
				w.levels[c.cut] = room.Lo
			}
		}
		w.holds[i] = math.Max(1, w.areaOf(w.parts[i][0]))
		w.levels = was
	}
	return w
}

func (w *weighing) areaOf(p leafArea) float64 {
	ring := p.ring
	for _, c := range p.cuts {
		way, level := w.cuts[c.cut].tree.Way, w.levels[c.cut]
		if c.near {
			level += p.grow
		} else {
			level -= p.grow
		}
		if ring = halfOf(ring, way.Line(p.body, level), c.near); len(ring) < 3 {
			return 0
		}
	}
	return math.Abs(piece.Area(ring))
}

func (w *weighing) fill(i int) float64 {
	sum := 0.0
	for _, p := range w.parts[i] {
		sum += w.areaOf(p)
	}
	return sum / w.holds[i]
}

func (w *weighing) fullest(on []int) float64 {
	most := 0.0
	for _, i := range on {
		most = math.Max(most, w.fill(i))
	}
	return most
}

// even slides one cut to where both its sides are equally full, and gives by
// how much it went. Scraps with parts of both sides have no say. Where that
// leaves nothing to weigh, the cut stays where it is; where it leaves one side,
// that gets as much as it holds.
func (w *weighing) even(k int) float64 {
	near, far := without(w.onSide[k][0], w.onSide[k][1]), without(w.onSide[k][1], w.onSide[k][0])
	if len(near)+len(far) == 0 {
		return 0
	}
	lo, hi := w.between(k)
	was := w.levels[k]
	for hi-lo > 0.25 {
		w.levels[k] = (lo + hi) / 2
		a, b := 1.0, 1.0
		if len(near) > 0 {
			a = w.fullest(near)
		}
		if len(far) > 0 {
			b = w.fullest(far)
		}
		if a > b {
			hi = w.levels[k]
		} else {
			lo = w.levels[k]
		}
	}
	return math.Abs(w.levels[k] - was)
}

// between is the reach of a cut as far as those that run beside it let it.
func (w *weighing) between(k int) (lo, hi float64) {
	lo, hi = w.reach[k].Lo, w.reach[k].Hi
	for i, c := range w.cuts {
		if c.turn != w.cuts[k].turn || c.tree.Way != w.cuts[k].tree.Way || i == k {
			continue
		}
		if above(c.tree, w.cuts[k].tree) {
			lo = math.Max(lo, w.levels[i]+split.LeastPartMM)
		} else {
			hi = math.Min(hi, w.levels[i]-split.LeastPartMM)
		}
	}
	return lo, math.Max(lo, hi)
}

// above reports whether a cut runs on the near side of another of its piece.
func above(a, b *split.Tree) bool {
	under := func(t, in *split.Tree) bool {
		for _, c := range cutsOf(in) {
			if c == t {
				return true
			}
		}
		return false
	}
	return under(b, a.Far) || under(a, b.Near)
}

// without is the numbers of a sorted list that another does not hold.
func without(all, but []int) []int {
	var out []int
	for _, i := range all {
		if k := sort.SearchInts(but, i); k == len(but) || but[k] != i {
			out = append(out, i)
		}
	}
	return out
}
