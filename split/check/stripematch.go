package check

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"eke/split/plan"
)

const (
	// meetMM is how far off stripes may be that are said to meet.
	meetMM = 2.0
	// everyMM is how closely a seam is looked along.
	everyMM = 2.0
	// seenCrossing is the sine of the angle, 30 degrees, from which on stripes
	// that cross a seam must be told of. Plans tell of some that cross it flatter.
	seenCrossing = 0.5
	// turnedCos is the cosine of the most by which stripes that meet may be turned
	// on their piece: a quarter of a degree, 2 mm on half a metre.
	turnedCos = 0.99999
)

// stripeMatch proves what is said of the cloth's own stripes: that they lie as far
// off each other as is said at points that are sewn together, and meet for as much
// of the seam; that no seam is passed over that stripes of two parts cross; that
// they run on through piecing seams; and that a wish for it is kept.
func (o *optionProof) stripeMatch() {
	p := &matchProof{carriedProof: &carriedProof{optionProof: o}, StripeMatch: o.Option.StripeMatch}
	for _, w := range o.Wishes {
		words := strings.Fields(strings.ToLower(w.Text))
		preferred := len(words) > 0 && words[0] == "prefer"
		if preferred {
			words = words[1:]
		}
		if len(words) < 2 || words[0] != "match" || words[1] != "stripes" {
			continue
		}
		switch {
		case !w.Kept && !preferred:
			o.fail(Fault{Rule: StripeMatch}, "the wish %q is not kept", w.Text)
		case w.Kept && p.StripeMatch == nil:
			o.fail(Fault{Rule: StripeMatch}, "the wish %q is said to be kept, and nothing is told of stripes", w.Text)
		case w.Kept:
			p.wished(w.Text, strings.Join(words[min(3, len(words)):], " "))
		}
	}
	if p.StripeMatch == nil {
		return
	}
	found := len(o.found)
	for i := range p.Seams {
		p.seamTold(&p.Seams[i])
	}
	if len(o.found) == found {
		p.through()
	}
}

type matchProof struct {
	*carriedProof // for what is sewn to what
	*plan.StripeMatch
}

func (p *matchProof) fault(s *plan.StripeSeam) Fault {
	return Fault{Rule: StripeMatch, Seam: s.Edges[0] + ", " + s.Edges[1]}
}

// edgeAt is the edge of that name on which a point lies.
func (p *matchProof) edgeAt(ref string, copy int, at point) (seamEdge, bool) {
	name, edge := ref[:max(0, strings.LastIndex(ref, "/"))], ref[strings.LastIndex(ref, "/")+1:]
	of := p.pieces[id{name, copy}]
	if of == nil {
		return seamEdge{}, false
	}
	for k, e := range of.edges {
		if strings.EqualFold(e.Name, edge) && away(e.line, at) <= markMM {
			return seamEdge{of, e, k}, true
		}
	}
	return seamEdge{}, false
}

// open is where along an edge a point is that has darts closed before it.
func (e seamEdge) open(mm float64) float64 {
	var mouths [][2]float64
	for _, d := range e.piece.Darts {
		from, off1 := along(e.edge.line, d[0])
		to, off2 := along(e.edge.line, d[2])
		if math.Max(off1, off2) <= markMM {
			mouths = append(mouths, [2]float64{math.Min(from, to), math.Max(from, to)})
		}
	}
	slices.SortFunc(mouths, func(a, b [2]float64) int { return int(math.Copysign(1, a[0]-b[0])) })
	for _, m := range mouths {
		if mm > m[0] {
			mm += m[1] - m[0]
		}
	}
	return mm
}

// counted is the unit vector of a piece along which stripes are counted.
func (p *matchProof) counted(of *pieceProof) point {
	deg := of.GrainDeg
	if p.Runs == "along" {
		deg -= 90
	}
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return point{cos, sin}
}

// beyond is how far a point of a piece, on one of its parts, lies beyond the middle
// of a stripe, and the repeat. It is not ok where the part has no such stripes, as
// often as that goes into the widest repeat, or has them turned.
func (p *matchProof) beyond(part *partProof, q point) (mm, repeatMM float64, ok bool) {
	s := part.scrap
	if s == nil || s.StripeMM <= 0 || s.StripeRuns != p.Runs || p.RepeatMM < s.StripeMM*(1-1e-6) || math.Abs(math.Remainder(p.RepeatMM/s.StripeMM, 1)) > 1e-6 {
		return 0, 0, false
	}
	deg := s.GrainDeg
	if p.Runs == "along" {
		deg += 90
	}
	sin, cos := math.Sincos(deg * math.Pi / 180)
	if math.Abs(sin) >= math.Abs(cos) && sin < 0 || math.Abs(sin) < math.Abs(cos) && cos < 0 {
		sin, cos = -sin, -cos // counted from the top down, or from the left
	}
	top := math.Inf(1)
	for _, r := range s.Outline {
		top = math.Min(top, r[0]*cos+r[1]*sin)
	}
	m := part.Placement
	laid := point{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	c := p.counted(part.piece)
	turned := (m[0]*c[0]+m[2]*c[1])*cos + (m[1]*c[0]+m[3]*c[1])*sin
	if math.Abs(turned) < turnedCos {
		return 0, 0, false
	}
	return math.Copysign(1, turned) * (laid[0]*cos + laid[1]*sin - top - s.FirstMM), s.StripeMM, true
}

// partOf is the part of a copy that has a point of its outline.
func (p *matchProof) partOf(of *pieceProof, q point) *partProof {
	var best *partProof
	off := math.Inf(1)
	for _, part := range p.of[of.id] {
		if d := away(closed(part.SeamLine), q); d < off {
			best, off = part, d
		}
	}
	return best
}

// mate is how stripes meet at a point of an edge, in mm along it with darts closed.
type mate struct {
	at      [2]point
	offMM   float64
	striped bool    // both have stripes
	steep   float64 // the sine of the angle at which they cross the seam, the flatter of the two
}

func (p *matchProof) mateAt(a, b seamEdge, mm, its float64) mate {
	var m mate
	var steep, beyond [2]float64
	repeat := math.Inf(1)
	m.striped = true
	for k, e := range [2]seamEdge{a, b} {
		open := e.open([2]float64{mm, its}[k])
		m.at[k] = atMM(e.edge.line, open)
		lo, hi := math.Max(0, open-0.2), math.Min(e.edge.lengthMM, open+0.2)
		run := sub(atMM(e.edge.line, hi), atMM(e.edge.line, lo))
		steep[k] = dot(run, p.counted(e.piece)) / math.Sqrt(dot(run, run))
		mm, r, ok := 0.0, 0.0, false
		if part := p.partOf(e.piece, m.at[k]); part != nil {
			mm, r, ok = p.beyond(part, m.at[k])
		}
		beyond[k], repeat, m.striped = mm, math.Min(repeat, r), m.striped && ok
	}
	m.steep = math.Min(math.Abs(steep[0]), math.Abs(steep[1]))
	if steep[0]*steep[1] > 0 { // one edge runs against the other: so does the grain here
		beyond[0] = -beyond[0]
	}
	if m.striped {
		m.offMM = math.Abs(math.Remainder(beyond[0]-beyond[1], repeat))
	}
	return m
}

// seamTold proves what is said of one seam.
func (p *matchProof) seamTold(s *plan.StripeSeam) {
	f := p.fault(s)
	var e [2]seamEdge
	for k := range e {
		var ok bool
		if e[k], ok = p.edgeAt(s.Edges[k], s.Copies[k], s.At[k]); !ok {
			p.fail(f, "point %.1f, %.1f is not on %s of copy %d", s.At[k][0], s.At[k][1], s.Edges[k], s.Copies[k])
			return
		}
	}
	if !slices.ContainsFunc(p.partners(e[0].ref()), func(r string) bool { return strings.EqualFold(r, e[1].ref()) }) {
		p.fail(f, "they are not sewn together")
		return
	}
	var mm [2]float64
	for k := range e {
		open, _ := along(e[k].edge.line, s.At[k])
		var ok bool
		if mm[k], ok = shut(e[k].piece, e[k].edge, open); !ok {
			p.fail(f, "a point is in the mouth of a dart")
			return
		}
	}
	sewnMM := 0.5
	if p.notched(e[0], s.At[0]) && p.notched(e[1], s.At[1]) {
		sewnMM = notchesMeetMM
	}
	if !slices.ContainsFunc(p.sewnPlaces(e[0], mm[0], e[1]), func(its float64) bool { return math.Abs(its-mm[1]) <= sewnMM }) {
		p.fail(f, "the points %.1f mm and %.1f mm along them are not sewn to each other", mm[0], mm[1])
		return
	}
	m := p.mateAt(e[0], e[1], mm[0], mm[1])
	switch {
	case !m.striped:
		p.fail(f, "a part there has no stripes that run %s the grain", p.Runs)
		return
	case math.Abs(m.offMM-s.OffMM) > markMM:
		p.fail(f, "the stripes are said to be %.2f mm off, and are %.2f", s.OffMM, m.offMM)
		return
	case s.Meet != (s.OffMM <= meetMM):
		p.fail(f, "%.2f mm off, they are said to meet: %t", s.OffMM, s.Meet)
		return
	}
	// From there as far both ways as they meet.
	lo, hi := mm[0], mm[0]
	whole := p.sewnLength(e[0].ref())
	per := p.perMM(e, whole)
	meets := func(x float64) bool {
		its := mm[1] - (x-mm[0])*per
		if x < 0 || x > whole || its < 0 || its > p.sewnLength(e[1].ref()) {
			return false
		}
		m := p.mateAt(e[0], e[1], x, its)
		return m.striped && m.offMM <= meetMM
	}
	for meets(lo - everyMM/4) {
		lo -= everyMM / 4
	}
	for meets(hi + everyMM/4) {
		hi += everyMM / 4
	}
	if s.Meet && hi-lo < s.HoldsMM-2*everyMM-1 {
		p.fail(f, "they are said to meet for %.0f mm beside the place where they are %.2f mm off, and do for %.0f", s.HoldsMM, s.OffMM, hi-lo)
	}
}

// notchesMeetMM is how far apart two notches may be along a seam that are laid on each other.
const notchesMeetMM = 3.0

// notched reports whether a point of an edge is at a notch of its piece.
func (p *matchProof) notched(e seamEdge, at point) bool {
	return slices.ContainsFunc(e.piece.Notches, func(n plan.Notch) bool { return distance(n.At, at) <= markMM })
}

// perMM is how far the mate goes for each mm along the first edge.
func (p *matchProof) perMM(e [2]seamEdge, whole float64) float64 {
	its := p.sewnLength(e[1].ref())
	if row := p.partners(e[0].ref()); p.inRow(e[0].ref(), row) {
		return p.total(row) / whole
	}
	if row := p.partners(e[1].ref()); p.inRow(e[1].ref(), row) {
		return its / p.total(row)
	}
	return its / whole
}

// wished proves that a wish is kept: that each seam is told of which stripes of
// both sides cross, and that those meet which are to.
func (p *matchProof) wished(text, edge string) {
	names := func(ref string) bool {
		piece, name := pieceNamed(ref), ref[strings.LastIndex(ref, "/")+1:]
		return name != "" && (strings.EqualFold(edge, name) || strings.EqualFold(edge, ref) || strings.EqualFold(edge, piece+" "+name))
	}
	named := func(e seamEdge) bool { return names(e.ref()) }
	if edge == "" && len(p.Seams)+len(p.Through) == 0 || edge != "" && !slices.ContainsFunc(p.Seams, func(s plan.StripeSeam) bool { return names(s.Edges[0]) || names(s.Edges[1]) }) {
		p.fail(Fault{Rule: StripeMatch}, "the wish %q is said to be kept, and stripes meet at no seam", text)
	}
	means := func(a, b seamEdge) bool {
		if p.plain(a) || p.plain(b) {
			return false
		}
		if edge == "" {
			return !turnedIn.MatchString(a.piece.Name) && !turnedIn.MatchString(b.piece.Name)
		}
		return named(a) || named(b)
	}
	for i := range p.Seams {
		s := &p.Seams[i]
		musts := false
		for _, ref := range s.Edges {
			musts = musts || edge == "" && strings.Contains(strings.ToLower(ref[strings.LastIndex(ref, "/")+1:]), "side") || edge != "" && names(ref)
		}
		if !s.Meet && musts {
			p.fail(p.fault(s), "the wish %q is said to be kept, and stripes are %.1f mm off", text, s.OffMM)
		}
	}
	for _, at := range p.order {
		of := p.pieces[at]
		if of.Optional || of.Ready {
			continue
		}
		for k, drawn := range of.edges {
			a := seamEdge{of, drawn, k}
			for _, ref := range p.partners(a.ref()) {
				p.crossed(text, a, ref, means)
			}
		}
	}
}

// crossed proves of an edge and those of a name that it is sewn to that the seam is
// told of, if stripes cross it.
func (p *matchProof) crossed(text string, a seamEdge, ref string, means func(a, b seamEdge) bool) {
	mine, its := p.like(a.ref()), p.like(ref)
	halves := strings.EqualFold(a.ref(), ref)
	if len(its) != len(mine) || halves && (len(its) != 2 || its[0].piece.Flipped == its[1].piece.Flipped) {
		return // which is sewn to which is not known
	}
	if slices.ContainsFunc(its, func(b seamEdge) bool { return !p.placeTold(a, b) }) {
		return
	}
	crossed, plain := false, false
	whole := p.sewnLength(a.ref())
	for _, b := range its {
		ofOne := strings.EqualFold(a.piece.Name, b.piece.Name) // a sleeve's underarm seam, or the two halves of a back
		if b.piece.Optional || b.piece.Ready || !means(a, b) || ofOne && halves == (a.piece == b.piece) {
			continue
		}
		for mm := everyMM; mm < whole-everyMM; mm += everyMM {
			places := p.sewnPlaces(a, mm, b)
			if len(places) != 1 {
				continue
			}
			if m := p.mateAt(a, b, mm, places[0]); m.steep >= seenCrossing {
				crossed, plain = true, plain || !m.striped
			}
		}
		if ofOne && !halves && plain {
			return // a piece by itself, of plain cloth
		}
	}
	if crossed && !p.told(a, ref) {
		f := Fault{Rule: StripeMatch, Seam: a.ref() + ", " + ref}
		if plain {
			p.fail(f, "the wish %q is said to be kept, and a part beside it has no such stripes, or has them turned", text)
		} else {
			p.fail(f, "stripes cross it, and nothing is told of that")
		}
	}
}

// turnedIn are the words for what nobody matches unless it is wished for by name; of
// four letters and more they may end another word.
var turnedIn = regexp.MustCompile(`(?i)(^|\PL)(\pL*(band|cuff|facing|collar|stand|binding|bias|placket|pocket|flap|loop|belt|strap|welt|ruffle|frill|appliqu[eé]|swatch)|tab|tie)s?(\PL|$)|lining`)

// plain reports whether no scrap with stripes may serve a piece, by what it asks for
// and by the wishes that keep a look for others.
func (p *matchProof) plain(e seamEdge) bool {
	kept := false // cloth for what the piece is of
	for _, s := range p.scraps {
		kept = kept || s.Use != "" && s.Use == e.piece.Use
	}
	for _, s := range p.scraps {
		kind := e.piece.Kind == "" || s.Kind == "" || e.piece.Kind == s.Kind
		use := s.Use == e.piece.Use || s.Use == "" && !kept
		if s.StripeMM > 0 && kind && use && s.allows(e.piece.Fabric) && !p.keptFrom(e.piece.Name, s) {
			return false
		}
	}
	return true
}

// told reports whether something is told of the seam between an edge and one of a
// name.
func (p *matchProof) told(a seamEdge, ref string) bool {
	return slices.ContainsFunc(p.Seams, func(s plan.StripeSeam) bool {
		for k := range 2 {
			if e, ok := p.edgeAt(s.Edges[k], s.Copies[k], s.At[k]); ok && e.piece == a.piece && e.k == a.k && strings.EqualFold(s.Edges[1-k], ref) {
				return true
			}
		}
		return false
	})
}

// through proves that stripes run on through the piecing seams that have them on
// both sides, as is said.
func (p *matchProof) through() {
	worst := 0.0
	var names []string
	for _, s := range p.seams {
		if s.piece == nil || s.piece.Optional {
			continue
		}
		off, striped := p.throughOne(s)
		if !striped {
			continue
		}
		if off > meetMM {
			p.fail(Fault{Rule: StripeMatch, Seam: s.Name}, "stripes are %.2f mm off across it", off)
			return
		}
		worst, names = math.Max(worst, off), append(names, s.Name)
	}
	if !slices.Equal(sorted(names), sorted(p.Through)) {
		p.fail(Fault{Rule: StripeMatch}, "stripes are said to run on through %s, and do through %s", strings.Join(sorted(p.Through), ", "), strings.Join(sorted(names), ", "))
		return
	}
	if math.Abs(worst-p.ThroughOffMM) > markMM {
		p.fail(Fault{Rule: StripeMatch}, "they are said to be %.2f mm off across piecing seams at most, and are %.2f", p.ThroughOffMM, worst)
	}
}

// throughOne is by how much stripes are off across a piecing seam. Striped says that
// there are such on both sides of it.
func (p *matchProof) throughOne(s *seamProof) (off float64, striped bool) {
	for _, q := range samples(s.Line) {
		var beyond []float64
		repeat := math.Inf(1)
		for _, part := range s.parts {
			if away(closed(part.SeamLine), q) > SlackMM+hairMM {
				continue
			}
			if part.scrap == nil || part.scrap.StripeMM <= 0 || part.scrap.StripeRuns != p.Runs {
				continue
			}
			mm, r, ok := p.beyond(part, q)
			if !ok {
				return math.Inf(1), true // turned
			}
			beyond, repeat = append(beyond, mm), math.Min(repeat, r)
		}
		for _, b := range beyond[min(1, len(beyond)):] {
			striped = true
			off = math.Max(off, math.Abs(math.Remainder(b-beyond[0], repeat)))
		}
	}
	return off, striped
}
