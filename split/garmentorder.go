package split

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// The stages in which a garment is sewn: while it lies flat as long as it can,
// what closes it late, and what finishes it last. (Common practice, no source.)
const (
	stageFlat     = 1.0 // pockets and plackets
	stageWithin   = 2.0 // seams within front or back: yokes, panels, centres
	stageShoulder = 3.0
	stageRaglan   = 4.0
	stageNeck     = 5.0
	stageFacing   = 5.5 // after the collar that it covers
	stageSleeve   = 6.0
	stageSide     = 7.0
	stageRound    = 7.2 // sleeves whose seam does not meet the side's
	stageCrotch   = 7.5
	stageCuff     = 8.0
	stageBinding  = 8.5
	stageWaist    = 9.0
	stageHem      = 10.0
	stageLast     = 10.5 // a band down an open front, which covers the hem's end

	beforeThat = 0.1 // the ends of a band, before the band is sewn on
)

// garmentStep is one step of sewing the pieces together.
type garmentStep struct {
	stage float64
	seams []allowance.Walked
	trim  string // the band, collar or facing that it sews on, or to a ring
	ring  bool   // it is sewn to a ring
	text  string // of a step that no join speaks of
	needs []int  // the steps that must come before
}

// garmentOrder is how the pieces of a pattern are sewn together, a sentence a
// step, in an order that the joins allow: what an edge runs across is sewn
// before the edge is. It is empty where nothing is joined. Now are the pieces with
// the seams moved.
func garmentOrder(pieces, now []*piece.Piece, moves []Move) []string {
	g := &garment{pieces: pieces, now: now, moves: moves}
	walked := allowance.Walk(pieces)
	if len(walked) == 0 {
		return nil
	}
	for _, w := range walked {
		g.add(w)
	}
	g.inTheRound()
	g.loose()
	g.hems()
	g.constrain()
	var out []string
	for _, i := range g.sorted() {
		out = append(out, g.say(&g.steps[i]))
	}
	return out
}

type garment struct {
	pieces []*piece.Piece
	now    []*piece.Piece // the same with the seams moved
	moves  []Move
	steps  []garmentStep
}

// add puts a seam into a step, with others that are sewn at the same stage.
func (g *garment) add(w allowance.Walked) {
	s := garmentStep{seams: []allowance.Walked{w}}
	s.trim, s.ring = g.trimOf(w)
	s.stage = g.stageOf(w, s.trim, s.ring)
	for i := range g.steps {
		o := &g.steps[i]
		same := s.trim == o.trim && s.ring == o.ring
		if s.trim == "" {
			same = same && s.stage == o.stage && slices.Contains([]float64{stageShoulder, stageRaglan, stageSleeve, stageSide}, s.stage)
		}
		if same {
			o.seams = append(o.seams, w)
			o.stage = math.Max(o.stage, s.stage)
			return
		}
	}
	g.steps = append(g.steps, s)
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
	{"facing", stageFacing}, {"collar", stageNeck}, {"cuff", stageCuff}, {"binding", stageBinding}, {"waistband", stageWaist}, {"band", stageNeck},
}

// trimStage is when a piece is sewn on that finishes an edge; false for one that
// is a part of the body of the garment.
func trimStage(p *piece.Piece) (stage float64, ok bool) {
	for _, t := range trims {
		if hasWord(p.Name, t.word) {
			return t.stage, true
		}
	}
	return 0, false
}

func isTrim(name string) bool {
	_, ok := trimStage(&piece.Piece{Name: name})
	return ok
}

// trimOf is the piece that a seam sews on to finish an edge, and whether the
// seam makes a ring of it; empty where it sews the garment's body.
func (g *garment) trimOf(w allowance.Walked) (name string, ring bool) {
	refs := append(slices.Clone(w.A), w.B...)
	itself := !slices.ContainsFunc(refs, func(r piece.Ref) bool { return r.Piece != refs[0].Piece })
	for _, r := range refs {
		p := g.named(r.Piece)
		if _, ok := trimStage(p); ok {
			return p.Name, itself
		}
	}
	return "", false
}

// stageOf is when a seam is sewn: by the words of its edges' names, or else by
// how they lie to the grain.
func (g *garment) stageOf(w allowance.Walked, trim string, ring bool) float64 {
	refs := append(slices.Clone(w.A), w.B...)
	says := func(words ...string) bool {
		return slices.ContainsFunc(refs, func(r piece.Ref) bool {
			return r.Piece != trim && slices.ContainsFunc(words, func(word string) bool { return hasWord(r.Edge, word) })
		})
	}
	if trim != "" {
		stage, _ := trimStage(g.named(trim))
		switch {
		case ring:
			stage -= beforeThat
		case says("armhole"):
			stage = stageBinding
		case says("wrist"):
			stage = stageCuff
		case says("waist"):
			stage = stageWaist
		case says("hem"):
			stage = stageHem
		case stage == stageNeck && g.reachesHem(refs, trim):
			stage = stageLast
		}
		return stage
	}
	for _, k := range []struct {
		stage float64
		words []string
	}{
		{stageShoulder, []string{"shoulder"}}, {stageRaglan, []string{"raglan"}}, {stageSleeve, []string{"armhole", "cap"}},
		{stageSide, []string{"side", "underarm", "inseam", "outseam"}}, {stageCrotch, []string{"crotch"}},
		{stageNeck, []string{"neck"}}, {stageWaist, []string{"waist"}}, {stageWithin, []string{"yoke", "princess", "panel", "centre", "center"}},
	} {
		if says(k.words...) {
			return k.stage
		}
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
	}
	return stageSleeve
}

// reachesHem reports whether an edge that a band is sewn to ends at a hem.
func (g *garment) reachesHem(refs []piece.Ref, trim string) bool {
	for _, r := range refs {
		p := g.named(r.Piece)
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
		if !ok || slices.ContainsFunc(g.steps, func(s garmentStep) bool { return s.trim == p.Name && !s.ring }) {
			continue
		}
		var at []string
		for _, e := range p.Outline {
			for _, q := range g.pieces {
				if _, trim := trimStage(q); trim || e.Name == "" || hasWord(e.Name, "end") || len(q.Outline.Edge(e.Name)) == 0 {
					continue
				}
				if where := q.Name + "/" + e.Name; !slices.Contains(at, where) {
					at = append(at, where)
				}
			}
		}
		where := "; the pattern does not say to what"
		if len(at) > 0 {
			where = ", to " + list(at) + ": the pattern joins them by their names alone, so stretch or ease it evenly"
		}
		g.steps = append(g.steps, garmentStep{stage: stage, trim: p.Name, text: fmt.Sprintf("Sew %s on%s.", p.Name, where)})
	}
}

// hems adds the step for all hems.
func (g *garment) hems() {
	var found []string
	for _, p := range g.pieces {
		for _, e := range p.Outline {
			if hasWord(e.Name, "hem") && len(e.Joins) == 0 {
				if one := fmt.Sprintf("%s/%s (%.4g mm)", p.Name, e.Name, e.AllowanceMM); !slices.Contains(found, one) {
					found = append(found, one)
				}
			}
		}
	}
	if len(found) > 0 {
		g.steps = append(g.steps, garmentStep{stage: stageHem, text: "Turn up the hems and sew them: " + list(found) + "."})
	}
}

// constrain finds what must be sewn before what. An edge that runs over a seam
// needs that seam: edges sewn in a row, as the necks of front and back are to a
// band, need the seams between them; and a ring sewn round a tube needs the
// tube closed. Sleeves that are set in flat do not need the side seams.
func (g *garment) constrain() {
	for i := range g.steps {
		s := &g.steps[i]
		if s.ring {
			continue
		}
		onto := map[string]bool{} // the pieces that it is sewn to
		for _, w := range s.seams {
			for _, r := range append(slices.Clone(w.A), w.B...) {
				if r.Piece != s.trim {
					onto[r.Piece] = true
				}
			}
		}
		closed := slices.ContainsFunc(g.steps, func(o garmentStep) bool { return o.trim != "" && o.trim == s.trim && o.ring })
		for k := range g.steps {
			o := &g.steps[k]
			switch {
			case k == i:
			case o.ring:
				if o.trim == s.trim {
					s.needs = append(s.needs, k)
				}
			case o.trim != "" || o.stage > s.stage && !closed:
			case g.between(s, o, onto):
				s.needs = append(s.needs, k)
			}
		}
	}
}

// between reports whether a step's edges run over a seam of another: an edge of
// that seam meets one of them, and both pieces it joins are sewn to.
func (g *garment) between(s, o *garmentStep, onto map[string]bool) bool {
	for _, w := range s.seams {
		for _, r := range append(slices.Clone(w.A), w.B...) {
			if r.Piece == s.trim {
				continue
			}
			p := g.named(r.Piece)
			for _, i := range p.Outline.Edge(r.Edge) {
				for _, step := range []int{-1, 1} {
					beside := p.Outline[(i+step+len(p.Outline))%len(p.Outline)]
					for _, v := range o.seams {
						refs := append(slices.Clone(v.A), v.B...)
						if slices.Contains(refs, piece.Ref{Piece: p.Name, Edge: beside.Name}) && !slices.ContainsFunc(refs, func(r piece.Ref) bool { return !onto[r.Piece] }) {
							return true
						}
					}
				}
			}
		}
	}
	return false
}

// sorted is the steps by stage, each after all that it needs.
func (g *garment) sorted() []int {
	byStage := make([]int, len(g.steps))
	for i := range byStage {
		byStage[i] = i
	}
	sort.SliceStable(byStage, func(i, j int) bool { return g.steps[byStage[i]].stage < g.steps[byStage[j]].stage })
	var out []int
	for len(out) < len(byStage) {
		next := -1
		for _, i := range byStage {
			if slices.Contains(out, i) {
				continue
			}
			if next < 0 {
				next = i // where steps need each other
			}
			if !slices.ContainsFunc(g.steps[i].needs, func(k int) bool { return !slices.Contains(out, k) }) {
				next = i
				break
			}
		}
		out = append(out, next)
	}
	return out
}

// say is a step as a sentence.
func (g *garment) say(s *garmentStep) string {
	if s.text != "" {
		return s.text
	}
	var pairs, more []string
	times := 0
	for _, w := range s.seams {
		a, b := w.A, w.B
		if s.trim != "" && slices.ContainsFunc(b, func(r piece.Ref) bool { return r.Piece == s.trim }) && !s.ring {
			a, b = b, a
		}
		if (s.stage == stageSleeve || s.stage == stageRound) && slices.ContainsFunc(b, func(r piece.Ref) bool { return hasWord(r.Edge, "cap") || hasWord(r.Piece, "sleeve") }) {
			a, b = b, a
		}
		pairs = append(pairs, inRow(a)+" to "+inRow(b))
		times = max(times, w.Seams)
		more = append(more, g.said(w)...)
	}
	what := "Sew " + list(pairs)
	switch {
	case s.ring:
		what = fmt.Sprintf("Sew the ends of %s together: %s", s.trim, list(pairs))
	case s.trim != "":
		what = fmt.Sprintf("Sew %s on: %s", s.trim, list(pairs))
	case s.stage == stageShoulder, s.stage == stageRaglan:
		what = "Sew the " + g.seamWord(s, times) + ": " + list(pairs)
	case s.stage == stageSleeve:
		what = "Set in the sleeves while they lie flat: " + list(pairs)
	case s.stage == stageRound:
		what = "Set in the sleeves in the round, by their notches, for their seam does not meet the side's: " + list(pairs)
	case s.stage == stageSide && slices.ContainsFunc(g.steps, func(o garmentStep) bool { return o.stage == stageSleeve || o.stage == stageRaglan }) && len(pairs) > 1:
		what = "Sew side and underarm, each in one go from hem to hem: " + list(pairs)
	case s.stage == stageSide && len(pairs) > 1:
		what = "Sew the long seams: " + list(pairs)
	case s.stage == stageSide:
		what = "Sew the " + g.seamWord(s, times) + ": " + list(pairs)
	}
	return strings.Join(append([]string{what}, more...), "; ") + "."
}

// seamWord is the name that all the edges of a step share, as seams are called.
func (g *garment) seamWord(s *garmentStep, times int) string {
	word := map[float64]string{stageShoulder: "shoulder seam", stageRaglan: "raglan seam", stageSide: "side seam"}[s.stage]
	shared := s.seams[0].A[0].Edge
	for _, w := range s.seams {
		for _, r := range append(slices.Clone(w.A), w.B...) {
			if r.Edge != shared {
				shared = ""
			}
		}
	}
	stageName, _, _ := strings.Cut(word, " ")
	if shared != "" && !hasWord(shared, stageName) {
		word = shared + " seam"
	} else if shared == "" && !slices.ContainsFunc(s.seams, func(w allowance.Walked) bool { return hasWord(w.A[0].Edge, stageName) }) {
		word = "seam"
	}
	if times > 1 || len(s.seams) > 1 {
		word += "s"
	}
	return word
}

// said is what else there is to say of a seam: ease, gathers, and that it was
// moved.
func (g *garment) said(w allowance.Walked) []string {
	const leastMM = 1.0 // less eases in by itself
	long, over := w.A, w.DifferenceMM()
	if over < 0 {
		long, over = w.B, -over
	}
	var out []string
	switch {
	case over < leastMM:
	case w.EasesIn():
		out = append(out, fmt.Sprintf("ease in %.0f mm of %s", over, inRow(long)))
	default:
		out = append(out, fmt.Sprintf("gather, or stretch the other side, over %.0f mm of %s", over, inRow(long)))
	}
	for _, mv := range g.moves {
		if slices.Contains(w.A, mv.From) && slices.Contains(w.B, mv.To) || slices.Contains(w.A, mv.To) && slices.Contains(w.B, mv.From) {
			out = append(out, fmt.Sprintf("the seam lies %.0f mm over on the side of %s", mv.ByMM, mv.From.Piece))
			out = append(out, g.ranOn(mv)...)
		}
	}
	return out
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
			for _, s := range g.sewing(stageSleeve, piece.Ref{Piece: mv.From.Piece, Edge: e.Name}) {
				s.stage = stageRound
			}
		}
	}
}

// sewing are the steps of a stage that sew an edge of the garment's body.
func (g *garment) sewing(stage float64, r piece.Ref) (out []*garmentStep) {
	for i := range g.steps {
		s := &g.steps[i]
		if s.trim == "" && s.stage == stage && slices.ContainsFunc(s.seams, func(w allowance.Walked) bool { return slices.Contains(w.A, r) || slices.Contains(w.B, r) }) {
			out = append(out, s)
		}
	}
	return out
}

// inRow is edges that are sewn in a row.
func inRow(refs []piece.Ref) string {
	var out []string
	for _, r := range refs {
		out = append(out, r.String())
	}
	return strings.Join(slices.Compact(out), " + ")
}

// list is things as a sentence has them.
func list(things []string) string {
	if n := len(things); n > 1 {
		return strings.Join(things[:n-1], ", ") + " and " + things[n-1]
	}
	return strings.Join(things, "")
}
