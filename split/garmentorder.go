package split

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"eke/allowance"
	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// The stages in which a garment is sewn: while it lies flat as long as it can,
// what closes it late, and what finishes it last. (Common practice, no source.)
const (
	stageFlat     = 1.0 // pockets and plackets
	stageWithin   = 2.0 // seams within front or back: yokes, panels, centres
	stageShoulder = 3.0
	stageRaglan   = 4.0
	stageBand     = 4.9 // a collar goes over the band's end
	stageNeck     = 5.0
	stageFacing   = 5.5 // after the collar that it covers
	stageSleeve   = 6.0
	stageInset    = 6.1 // a gusset, or what else is set in between other pieces
	stageSide     = 7.0
	stageRound    = 7.2 // sleeves whose seam does not meet the side's
	stageCrotch   = 7.5
	stageCuff     = 8.0
	stageBinding  = 8.5
	stageWaist    = 9.0
	stageHem      = 10.0
	stageLast     = 10.5 // a band down an open front, which covers the hem's end
	stageLining   = 11.0

	stageUnknown = 0.0 // what the pattern does not say is to be thought of first

	beforeThat = 0.1  // the ends of a band, before the band is sewn on
	afterThat  = 0.05 // the bag of a pocket, after the seam that it sits in
)

// garmentStep is one step of sewing the pieces together.
type garmentStep struct {
	stage float64
	does  doing
	seams []allowance.Walked
	trims []string // the bands, collars or facings that it makes or sews on
	text  string   // of a step that no join speaks of
	needs []int    // the steps that must come before
	oneGo bool     // it sews one line over what crosses it

	turned []piece.Ref // the edges that it turns up or in
}

// doing is what a step is for.
type doing int

const (
	sewsBody   doing = iota
	makes            // it sews pieces of a collar, or the bits of a facing, to each other
	closesRing       // it sews the ends of a band to each other
	turns            // it sews the copies of a collar to each other, which are its layers
	sewsOn           // it sews a band, collar or facing on
	closesBag        // it sews the halves of a pocket to each other, once they are sewn on
)

// goesAfter reports whether a step that does this to a trim comes after one that does
// the other.
func (d doing) goesAfter(o doing) bool {
	switch o {
	case turns:
		return d == makes || d == sewsOn
	case closesRing:
		return d == turns || d == sewsOn
	case sewsOn:
		return d == closesBag
	}
	return o == makes && d == sewsOn
}

// garmentOrder is how the pieces of a pattern are sewn together, a sentence a
// step, in an order that the joins allow: what an edge runs across is sewn
// before the edge is. It is empty where nothing is joined. Now are the first copies with
// the seams moved. Waist is the step that takes in the waist, from 1; 0 for none.
func garmentOrder(copies, now []*piece.Piece, moves []Move) (out []string, waist int) {
	g := &garment{pieces: firsts(copies), copies: copies, now: now, moves: moves, next: map[piece.Ref][]piece.Ref{}}
	g.walked = allowance.Walk(g.pieces)
	if len(g.walked) == 0 {
		return nil, 0
	}
	g.findLayers()
	for _, w := range g.walked {
		if trims, does := g.trimsOf(w); does == makes {
			g.madeOne(trims)
		}
	}
	for _, w := range g.walked {
		g.add(w)
	}
	g.inTheRound()
	g.loose()
	g.unknown()
	g.hems()
	g.liningIn()
	g.constrain()
	g.inOrder = g.merged(g.sorted())
	for i := range g.inOrder {
		out = append(out, g.say(&g.inOrder[i]))
		if waist == 0 && g.takesInWaist(&g.inOrder[i]) {
			waist = i + 1
		}
	}
	return out, waist
}

type garment struct {
	pieces []*piece.Piece // the first copy of each
	copies []*piece.Piece
	now    []*piece.Piece // the pieces with the seams moved
	moves  []Move
	walked []allowance.Walked
	layers map[string]int  // how many copies of a piece lie on one another, where more than one
	turned map[string]bool // of those, which are sewn to each other all round and turned
	made   [][]string      // bands, collars and facings that are sewn to each other first
	steps  []garmentStep

	inOrder []garmentStep // the steps, once they are sorted

	seams []seamOf
	next  map[piece.Ref][]piece.Ref // what lies beside an edge, once asked for
	ends  map[[2]int]bool           // of which steps the first sews a seam that ends on the second's
	oneGo []int                     // of each step: alike for those that sew one line
}

// madeOne notes that some trims are made into one before that is sewn on.
func (g *garment) madeOne(trims []string) {
	all := slices.Clone(trims)
	g.made = slices.DeleteFunc(g.made, func(set []string) bool {
		meet := slices.ContainsFunc(set, func(name string) bool { return slices.Contains(trims, name) })
		if meet {
			all = append(all, set...)
		}
		return meet
	})
	slices.Sort(all)
	g.made = append(g.made, slices.Compact(all))
}

// with is a trim and all that it is made into one with.
func (g *garment) with(trim string) []string {
	for _, set := range g.made {
		if slices.Contains(set, trim) {
			return set
		}
	}
	return []string{trim}
}

// add puts a seam into a step. All by which a band, collar or facing is sewn on are
// one step.
func (g *garment) add(w allowance.Walked) {
	s := garmentStep{seams: []allowance.Walked{w}}
	s.trims, s.does = g.trimsOf(w)
	s.stage = g.stageOf(w, s.trims, s.does)
	if s.does == sewsOn || s.does == makes {
		s.trims = g.with(s.trims[0])
	}
	for i := range g.steps {
		if o := &g.steps[i]; s.does != sewsBody && o.does == s.does && slices.Equal(o.trims, s.trims) {
			o.seams = append(o.seams, w)
			o.stage = math.Max(o.stage, s.stage)
			return
		}
	}
	g.steps = append(g.steps, s)
}

// merged puts steps that follow one another into one, where they sew one line or
// are seams of a kind.
func (g *garment) merged(order []int) (out []garmentStep) {
	for k, i := range order {
		s := g.steps[i]
		if k > 0 && g.together(order[k-1], i) {
			o := &out[len(out)-1]
			o.seams = append(slices.Clone(o.seams), s.seams...)
			continue
		}
		s.oneGo = !g.alone(i)
		out = append(out, s)
	}
	return out
}

// together reports whether a step is said in one sentence with the one before it.
func (g *garment) together(before, i int) bool {
	s, o := &g.steps[before], &g.steps[i]
	if s.does != sewsBody || o.does != sewsBody || s.text != "" || o.text != "" || s.stage != o.stage {
		return false
	}
	if in := g.insets(o); s.stage == stageInset && len(in) > 0 && slices.Equal(g.insets(s), in) {
		return true // all round it, whichever of its seams ends on another
	}
	if slices.Contains(o.needs, before) {
		return false
	}
	switch s.stage {
	case stageShoulder, stageRaglan, stageSleeve, stageRound:
		return true
	case stageSide:
		return g.oneGo[before] == g.oneGo[i] || g.alone(before) && g.alone(i)
	}
	return g.oneGo[before] == g.oneGo[i]
}

// alone reports whether a step is sewn in one go with no other of its stage.
func (g *garment) alone(i int) bool {
	for k := range g.steps {
		if k != i && g.oneGo[k] == g.oneGo[i] && g.steps[k].stage == g.steps[i].stage {
			return false
		}
	}
	return true
}

func (g *garment) named(name string) *piece.Piece {
	for _, p := range g.pieces {
		if p.Name == name {
			return p
		}
	}
	return nil
}

// trims are what is sewn on to finish an edge, by a word of its name, and when.
var trims = []struct {
	word  string
	stage float64
}{
	{"pocket", stageFlat}, {"placket", stageFlat}, {"welt", stageFlat}, {"flap", stageFlat},
	{"facing", stageFacing}, {"collar", stageNeck}, {"stand", stageNeck}, {"cuff", stageCuff}, {"binding", stageBinding}, {"waistband", stageWaist}, {"band", stageBand},
}

// trimStage is when a piece is sewn on that finishes an edge; false for one that
// is a part of the body of the garment.
func trimStage(p *piece.Piece) (stage float64, ok bool) {
	if piece.HasTrimWord(p.Name, "stand") && hasWord(p.Name, "button") {
		return stageBand, true // down an open front, not at the neck
	}
	for _, t := range trims {
		if piece.HasTrimWord(p.Name, t.word) {
			return t.stage, true
		}
	}
	return 0, false
}

func isTrim(name string) bool {
	_, ok := trimStage(&piece.Piece{Name: name})
	return ok
}

// trimsOf is what a seam does, and the pieces that it makes or sews on to finish an
// edge, what comes later first; none where it sews the garment's body.
func (g *garment) trimsOf(w allowance.Walked) (names []string, does doing) {
	body := false
	for _, r := range slices.Concat(w.A, w.B) {
		if !isTrim(r.Piece) {
			body = true
		} else if !slices.Contains(names, r.Piece) {
			names = append(names, r.Piece)
		}
	}
	stage := func(name string) float64 {
		stage, _ := trimStage(g.named(name))
		return stage
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(stage(b), stage(a)) })
	switch {
	case len(names) == 0:
		if r := w.A[0]; r == w.B[0] && g.allSewn(r.Piece) && g.sewnOnInLayers(r.Piece) && g.layeredRound(r.Piece, false) {
			return []string{r.Piece}, turns
		}
		return nil, sewsBody
	case body || stage(names[0]) != stage(names[len(names)-1]):
		return names[:1], sewsOn
	case len(names) > 1:
		return names, makes
	case w.A[0] == w.B[0] && !g.sideBySide(w.A[0]) && g.layeredRound(names[0], false):
		return names, turns
	case g.setInOrOn(g.named(names[0])):
		return names, closesBag
	}
	return names, closesRing
}

// allSewn reports whether all edges of a piece that is no left and right are sewn, and
// none is a hem, an opening or without a name, as those of a bib that is cut twice.
func (g *garment) allSewn(name string) bool {
	p := g.named(name)
	return !p.Mirrored && !slices.ContainsFunc(p.Outline, func(e piece.Edge) bool { return len(e.Joins) == 0 })
}

// seamWords are the words by which the names of edges say what seam they are of.
var seamWords = []struct {
	stage float64
	words []string
}{
	{stageShoulder, []string{"shoulder"}}, {stageRaglan, []string{"raglan"}}, {stageSleeve, []string{"armhole", "cap"}},
	{stageSide, []string{"side", "underarm", "under-sleeve", "under sleeve", "undersleeve", "inseam", "outseam"}}, {stageCrotch, []string{"crotch"}},
	{stageNeck, []string{"neck"}}, {stageWaist, []string{"waist"}}, {stageWithin, []string{"yoke", "princess", "panel", "centre", "center"}},
}

// stageOf is when a seam is sewn: by the words of its edges' names, or else by
// how they lie to the grain.
func (g *garment) stageOf(w allowance.Walked, trims []string, does doing) float64 {
	refs := append(slices.Clone(w.A), w.B...)
	says := func(words ...string) bool {
		return slices.ContainsFunc(refs, func(r piece.Ref) bool {
			return !slices.Contains(trims, r.Piece) && slices.ContainsFunc(words, func(word string) bool { return hasWord(r.Edge, word) })
		})
	}
	if does != sewsBody {
		stage, known := trimStage(g.named(trims[0]))
		switch {
		case does == closesBag:
			stage = g.seamAround(trims[0]) + afterThat
		case !known:
			stage = stageFlat
		case does != sewsOn:
			stage -= beforeThat
		case says("armhole"):
			stage = stageBinding
		case says("wrist"):
			stage = stageCuff
		case says("waist"):
			stage = stageWaist
		case says("hem"):
			stage = stageHem
		case (stage == stageNeck || stage == stageBand) && g.reachesHem(refs, trims[0]):
			if stage = stageLast; g.hemmedWith(g.named(trims[0])) {
				stage = stageWithin
			}
		}
		return stage
	}
	for _, k := range seamWords {
		if says(k.words...) {
			if k.stage == stageSleeve && slices.ContainsFunc(refs, func(r piece.Ref) bool { return isGusset(r.Piece) }) {
				return stageInset
			}
			return k.stage
		}
	}
	if slices.ContainsFunc(refs, func(r piece.Ref) bool { return isGusset(r.Piece) }) {
		return stageInset
	}
	along, across := 0, 0
	for _, r := range refs {
		if p := g.named(r.Piece); lengthwise(p, r.Edge) {
			along++
		} else {
			across++
		}
	}
	switch {
	case along == 0:
		return stageShoulder
	case across == 0:
		return stageSide
	case !g.setsInSleeve(refs):
		return stageInset
	}
	return stageSleeve
}

// seamAround is when the seam is sewn in which a pocket sits, or, of one that sits in
// none, when pockets are.
func (g *garment) seamAround(pocket string) float64 {
	for _, w := range g.walked {
		if g.opensInto(w, pocket) {
			return g.stageOf(w, nil, sewsBody)
		}
	}
	return stageFlat
}

// opensInto reports whether a pocket opens into a seam of the garment's body: one edge of
// it is sewn to an edge on either side. In a level seam, such as the waist's, the edge may
// only be caught as well, by which a pocket hangs: there its bag closes at both ends of it.
// In one of an edge to its like, a patch pocket's side may be caught: there it has a bag.
func (g *garment) opensInto(w allowance.Walked, pocket string) bool {
	if !isPocket(pocket) {
		return false
	}
	stage := g.stageOf(w, nil, sewsBody)
	level := stage == stageWaist || stage == stageShoulder || stage == stageNeck
	if w.A[0] == w.B[0] && !slices.ContainsFunc(g.walked, func(v allowance.Walked) bool { return slices.Equal(piecesOf(v), []string{pocket}) }) {
		return false
	}
	far := g.sewnTo(w.B, pocket)
	return slices.ContainsFunc(g.sewnTo(w.A, pocket), func(edge piece.Ref) bool {
		return slices.Contains(far, edge) && (!level || g.amidBag(edge))
	})
}

// sewnTo are the edges of a pocket that are sewn to edges of a row of the garment's body.
func (g *garment) sewnTo(row []piece.Ref, pocket string) (out []piece.Ref) {
	for _, r := range row {
		for _, v := range g.walked {
			for k, side := range [][]piece.Ref{v.A, v.B} {
				for _, to := range [][]piece.Ref{v.B, v.A}[k] {
					if !isTrim(r.Piece) && slices.Contains(side, r) && to.Piece == pocket {
						out = append(out, to)
					}
				}
			}
		}
	}
	return out
}

// amidBag reports whether the edges at both ends of a pocket's edge are sewn to their like
// of the other half.
func (g *garment) amidBag(edge piece.Ref) bool {
	p := g.named(edge.Piece)
	n := len(p.Outline)
	at := p.Outline.Edge(edge.Edge)
	return !slices.ContainsFunc(at, func(i int) bool {
		return slices.ContainsFunc([]int{(i + 1) % n, (i + n - 1) % n}, func(k int) bool {
			e := p.Outline[k]
			return e.Name != edge.Edge && !slices.ContainsFunc(e.Joins, func(to piece.Ref) bool { return to.Piece == p.Name })
		})
	})
}

// reachesHem reports whether an edge that a band is sewn to ends at a hem.
func (g *garment) reachesHem(refs []piece.Ref, trim string) bool {
	for _, r := range refs {
		p := g.named(r.Piece)
		if p == nil { // it is left out
			continue
		}
		for _, i := range p.Outline.Edge(r.Edge) {
			n := len(p.Outline)
			if r.Piece != trim && (hasWord(p.Outline[(i+1)%n].Name, "hem") || hasWord(p.Outline[(i+n-1)%n].Name, "hem")) {
				return true
			}
		}
	}
	return false
}

// lengthwise reports whether an edge of a piece runs along the grain more than
// across it.
func lengthwise(p *piece.Piece, edge string) bool {
	sin, cos := math.Sincos(p.GrainDeg * math.Pi / 180)
	for _, i := range p.Outline.Edge(edge) {
		chord := plane.Sub(p.Outline[i].Line.End(), p.Outline[i].Line.Start())
		return math.Abs(plane.Dot(chord, orb.Point{cos, sin})) >= math.Abs(plane.Cross(chord, orb.Point{cos, sin}))
	}
	return false
}

// loose adds a step for each band, collar or facing that no join sews to
// anything but itself, as one that is stretched on.
func (g *garment) loose() {
	for _, p := range g.pieces {
		stage, ok := trimStage(p)
		if !ok || slices.ContainsFunc(g.steps, func(s garmentStep) bool { return s.does == sewsOn && slices.Contains(s.trims, p.Name) }) {
			continue
		}
		s := garmentStep{stage: stage, does: sewsOn, trims: g.with(p.Name)}
		var at []string
		for _, e := range p.Outline {
			if e.Name == "" || len(e.Joins) > 0 {
				continue
			}
			w := allowance.Walked{A: []piece.Ref{{Piece: p.Name, Edge: e.Name}}}
			if slices.ContainsFunc(s.seams, func(o allowance.Walked) bool { return o.A[0] == w.A[0] }) {
				continue
			}
			for _, q := range g.pieces {
				r := piece.Ref{Piece: q.Name, Edge: e.Name}
				if !isTrim(q.Name) && g.isSewn(q.Name) && len(q.Outline.Edge(e.Name)) > 0 {
					w.B = append(w.B, r)
				}
			}
			if len(w.B) > 0 && g.goesRound(w.A[0], w.B) {
				s.seams = append(s.seams, w)
				if s.stage == stageBand && s.says("waist") {
					s.stage = stageWaist
				}
				for _, r := range w.B {
					at = append(at, r.String())
				}
			}
		}
		where := "; the pattern does not say to what"
		if len(at) > 0 {
			where = ", to " + plan.And(at) + ": the pattern joins them by their names alone, so stretch or ease it evenly"
		}
		s.text = fmt.Sprintf("Sew %s on%s.", plan.And(withoutFacings(s.trims)), where)
		g.steps = append(g.steps, s)
	}
}

// takesInWaist reports whether a step closes a band, a binding or a casing over the
// garment's waist, and over a lining's that lies in it.
func (g *garment) takesInWaist(s *garmentStep) bool {
	if s.stage != stageWaist {
		return false
	}
	if s.does == sewsOn {
		return slices.ContainsFunc(s.trims, func(trim string) bool {
			stage, _ := trimStage(g.named(trim))
			return stage == stageBand || stage == stageBinding || stage == stageWaist
		})
	}
	return slices.ContainsFunc(s.turned, func(r piece.Ref) bool { return takenInAtWaist(r.Edge) })
}

// takenInAtWaist reports whether an edge that is joined to nothing in a lining goes into
// the garment's waistband or casing.
func takenInAtWaist(edge string) bool { return hasWord(edge, "waist") || hasWord(edge, "casing") }

// withoutFacings are the trims of some that are made into one that are sewn on by
// themselves: not a facing, as that of a pocket's opening, where there are others.
func withoutFacings(trims []string) []string {
	if on := slices.DeleteFunc(slices.Clone(trims), func(t string) bool { return hasWord(t, "facing") }); len(on) > 0 {
		return on
	}
	return trims
}

// How much shorter or longer than an edge a band or facing may be that is taken to be
// sewn to it by its name alone: rib is cut up to a third shorter than the neck that it
// is stretched round, and laps over by a little. (Common practice, no source.)
const (
	leastOfEdge = 0.6
	mostOfEdge  = 1.15
)

// goesRound reports whether an edge of a trim is about as long as the edges of its
// name on the garment: of either one may be meant, all of that name, or those of all
// copies.
func (g *garment) goesRound(trim piece.Ref, to []piece.Ref) bool {
	var sums [3]float64
	for _, r := range to {
		for i, mm := range g.lengths(r) {
			sums[i] += mm
		}
	}
	for _, mm := range g.lengths(trim) {
		for _, sum := range sums {
			if mm >= leastOfEdge*sum && mm <= mostOfEdge*sum {
				return true
			}
		}
	}
	return false
}

// lengths are those of one edge of that name, of all of a piece, and of all copies.
func (g *garment) lengths(r piece.Ref) (mm [3]float64) {
	p := g.named(r.Piece)
	for i, k := range p.Outline.Edge(r.Edge) {
		length := allowance.ClosedMM(p.Outline[k], p.Darts)
		if i == 0 {
			mm[0] = length
		}
		mm[1] += length
	}
	mm[2] = mm[1] * float64(max(1, p.Count))
	return mm
}

// isSewn reports whether a piece is in a seam.
func (g *garment) isSewn(name string) bool {
	return slices.ContainsFunc(g.steps, func(s garmentStep) bool {
		return s.text == "" && s.sews(func(r piece.Ref) bool { return r.Piece == name })
	})
}

// unknown adds a step for the pieces that no other step is about.
func (g *garment) unknown() {
	var names []string
	for _, p := range g.pieces {
		if !isTrim(p.Name) && !g.isSewn(p.Name) {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return
	}
	them := "it goes, and sew it"
	if len(names) > 1 {
		them = "they go, and sew them"
	}
	g.steps = append(g.steps, garmentStep{stage: stageUnknown, text: fmt.Sprintf("The pattern does not say to what %s is sewn: see first where %s before a later step closes that place.", plan.And(names), them)})
}

// ranOn says which ends of a giver's edges, that others are sewn to, lie on the taker
// of a moved seam, up to the notch where the seam was.
func (g *garment) ranOn(mv Move) []string {
	var out []string
	for _, e := range g.strips(mv) {
		one := fmt.Sprintf("%.0f mm of %s/%s lie on %s, up to the notch", e.Line.Length(), mv.From.Piece, e.Name, mv.To.Piece)
		if !slices.Contains(out, one) {
			out = append(out, one)
		}
	}
	return out
}

// strips are the edges that a moved seam brought its taker, and that others are
// sewn to.
func (g *garment) strips(mv Move) []piece.Edge {
	sewn := sewnEdges(g.pieces)
	var out []piece.Edge
	for _, p := range g.now {
		for _, e := range p.Outline {
			if p.Name == mv.To.Piece && e.From == mv.From.Piece && sewn[piece.Ref{Piece: e.From, Edge: e.Name}] {
				out = append(out, e)
			}
		}
	}
	return out
}

// inTheRound puts the sleeves last of what closes the garment, and says so, where a
// moved seam no longer meets the sleeve's own.
func (g *garment) inTheRound() {
	for _, mv := range g.moves {
		if len(g.sewing(stageSide, mv.From)) == 0 {
			continue
		}
		for _, e := range g.strips(mv) {
			if len(g.sewing(stageSleeve, piece.Ref{Piece: mv.From.Piece, Edge: e.Name})) == 0 {
				continue
			}
			for i := range g.steps {
				if g.steps[i].stage == stageSleeve {
					g.steps[i].stage = stageRound
				}
			}
		}
	}
}

// sewing are the steps of a stage that sew an edge of the garment's body.
func (g *garment) sewing(stage float64, r piece.Ref) (out []*garmentStep) {
	for i := range g.steps {
		s := &g.steps[i]
		if s.does == sewsBody && s.stage == stage && s.sews(func(other piece.Ref) bool { return other == r }) {
			out = append(out, s)
		}
	}
	return out
}
