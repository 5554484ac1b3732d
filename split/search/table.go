package search

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"
	"sync/atomic"

	"eke/piece"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// table answers, and remembers, what fits where. Its answers depend on the
// question alone, so any number of workers may ask in any order.
type table struct {
	scraps  []*piece.Scrap // every copy
	bins    []bin
	options Options
	ways    []split.Way
	cloth   float64 // area of all scraps

	cuts       memo[cutQuestion, cutResult]
	fits       memo[fitQuestion, fitResult]
	brackets   memo[levelQuestion, bracket]
	packs      memo[packQuestion, packResult]
	states     memo[componentQuestion, *searchState]
	lowerPacks memo[lowerPackQuestion, lowerPack]

	work atomic.Int64 // done so far, in tries
}

// bin is a scrap made ready for placing. Copies of one scrap share a class.
type bin struct {
	class  string
	scrap  *piece.Scrap
	cloth  *fit.Cloth
	area   float64
	length float64 // extent along the grain
	width  float64 // extent across it
}

type (
	cutQuestion struct {
		part  string // the blank's key
		way   split.Way
		level int64 // in ten-thousandths of a millimetre
	}
	cutResult struct{ near, far *blank }

	fitQuestion struct{ part, class string }
	fitResult   struct {
		at fit.Placement
		ok bool
	}

	packQuestion struct {
		parts string // the blanks' keys, in order
		class string
		poses int
	}
	packResult struct {
		at []fit.Placement
		ok bool
	}
)

// blank is a part made ready for placing. Its key tells it from every other.
type blank struct {
	*split.Body
	key        string
	piece      *piece.Piece
	cut        orb.Ring
	simplified orb.Ring // the same with few vertices
	shape      *fit.Shape
	area       float64
	length     float64 // extents of the cutting line along and across the grain
	width      float64
	spans      memo[split.Way, []split.Span]
	traced     func() []tracedPoint // of the corners of cut
	overlaps   memo[split.Way, [2][]overlap]

	parent *blank // what it was cut from, nil for a whole piece
	by     split.Way
	near   bool
}

func newTable(scraps []piece.Scrap, o Options) *table {
	t := &table{options: o, ways: split.WaysOf(o.allows)}
	for i := range scraps {
		cloth := fit.NewCloth(scraps[i].Outline, scraps[i].Holes)
		lo, hi := split.FrameOf(scraps[i].GrainDeg).Box(scraps[i].Outline)
		for _, c := range scraps[i].Copies() {
			t.scraps = append(t.scraps, c)
			t.bins = append(t.bins, bin{
				class: fmt.Sprint(i), scrap: c, cloth: cloth, area: c.AreaMM2(),
				width: hi[0] - lo[0], length: hi[1] - lo[1],
			})
			t.cloth += c.AreaMM2()
		}
	}
	return t
}

// cutBefore reports whether a blank is what the same way to cut has left near
// of it. Cuts that run alike are dealt from near to far only.
func (b *blank) cutBefore(w split.Way) bool { return b.parent != nil && b.by == w && b.near }

// newBlank prepares an outline. It returns nil for one that has no sound
// cutting line.
func newBlank(p *piece.Piece, o piece.Outline, key string) *blank {
	cut, err := split.CutLine(p, o)
	if err != nil {
		return nil
	}
	b := &blank{Body: split.NewBody(p, o), key: key, piece: p, cut: cut, simplified: simplifiedRing(cut), shape: fit.NewShape(cut), area: piece.Area(cut)}
	b.traced = sync.OnceValue(b.trace)
	lo, hi := b.Frame.Box(cut)
	b.width, b.length = hi[0]-lo[0], hi[1]-lo[1]
	return b
}

// simplifiedRing is a ring with few vertices.
func simplifiedRing(r orb.Ring) orb.Ring {
	closed := append(append(orb.Ring{}, r...), r[0])
	out := simplify.DouglasPeucker(simplifyMM).Ring(closed)
	return out[:len(out)-1]
}

// simplifyMM is how far a coarse outline may be off.
const simplifyMM = 0.7

func (b *blank) spansOf(w split.Way) []split.Span {
	s, ok := b.spans.get(w)
	if !ok {
		s = w.Spans(b.Body)
		b.spans.set(w, s)
	}
	return s
}

// cutAt cuts a blank and remembers it. Both parts are nil where the line does
// not cut it in two sound parts.
func (t *table) cutAt(b *blank, w split.Way, level float64) (near, far *blank) {
	question := cutQuestion{b.key, w, int64(math.Round(level * 1e4))}
	r, ok := t.cuts.get(question)
	if !ok {
		r.near, r.far = t.cutPart(b, w, level, true), t.cutPart(b, w, level, false)
		if r.near == nil || r.far == nil {
			r = cutResult{}
		}
		t.cuts.set(question, r)
	}
	return r.near, r.far
}

// cutPart cuts a blank and prepares one of the two parts.
func (t *table) cutPart(b *blank, w split.Way, level float64, near bool) *blank {
	n, f, seam, err := split.Cut(b.Outline, w.Line(b.Body, level), split.Seam{Name: "?", AllowanceMM: t.options.AllowanceMM})
	if err != nil {
		return nil
	}
	p, q := split.Divide(b.piece, b.Outline, seam, "?")
	key, outline := fmt.Sprintf("%s|%s@%.4fn", b.key, wayID(w), level), n
	if !near {
		key, outline, p = fmt.Sprintf("%s|%s@%.4ff", b.key, wayID(w), level), f, q
	}
	part := newBlank(p, outline, key)
	if part != nil {
		part.parent, part.by, part.near = b, w, near
	}
	return part
}

// rotations are the rotations that lay a piece's grain along a scrap's, to within
// a tolerance.
func rotations(p *piece.Piece, s *piece.Scrap, toleranceDeg float64) []fit.Turn {
	deg := s.GrainDeg - p.GrainDeg
	out := []fit.Turn{{Deg: deg, ToleranceDeg: toleranceDeg}}
	if !s.Nap {
		out = append(out, fit.Turn{Deg: deg + 180, ToleranceDeg: toleranceDeg})
	}
	return out
}

func (t *table) allowed(p *piece.Piece, s *piece.Scrap) bool { return t.forbids(p, s) == "" }

// forbids names the rule that keeps a piece off a scrap; empty where none does.
func (t *table) forbids(p *piece.Piece, s *piece.Scrap) string {
	for _, r := range t.options.Rules {
		if !r.MayCut(p, s) {
			return r.String()
		}
	}
	return ""
}

// ruledOut reports whether area or extent alone keep a part off a scrap.
func (t *table) ruledOut(b *blank, s *bin) bool {
	if b.area > s.area+1 || !t.allowed(b.piece, s.scrap) {
		return true
	}
	return t.extentRuledOut(b.length, b.width, s)
}

// extentRuledOut reports whether an extent along and across the grain is more than a
// scrap's, beyond rounding, however the tolerance turns it.
func (t *table) extentRuledOut(length, width float64, s *bin) bool {
	const roundingMM = 0.1
	along, across := t.extentExcess(length, width, s)
	return along > roundingMM || across > roundingMM
}

// fitsOn places one part alone on a scrap.
func (t *table) fitsOn(ctx context.Context, b *blank, s *bin) (fit.Placement, bool) {
	if t.ruledOut(b, s) {
		return fit.Placement{}, false
	}
	question := fitQuestion{b.key, s.class}
	r, ok := t.fits.get(question)
	if !ok {
		r.at, r.ok = t.place(ctx, b, s)
		if ctx.Err() != nil {
			return r.at, r.ok
		}
		t.fits.set(question, r)
	}
	return r.at, r.ok
}

// place is fitsOn without remembering.
func (t *table) place(ctx context.Context, b *blank, s *bin) (fit.Placement, bool) {
	if t.ruledOut(b, s) {
		return fit.Placement{}, false
	}
	return fit.Place(ctx, s.cloth, b.shape, rotations(b.piece, s.scrap, t.options.GrainToleranceDeg))
}

// fineLevelMM is how finely a critical level is found, and roughMM how finely
// where the parts slide to their levels later.
const (
	fineLevelMM   = 0.1
	coarseLevelMM = 3
)

// bracket is a critical level between the furthest level known to fit and the
// nearest known not to.
type bracket struct {
	good, bad float64
	ok        bool
}

// furthest bisects how far a part can go on a scrap alone: the greatest
// level at which near fits, or the least at which far does.
func (t *table) furthest(ctx context.Context, b *blank, w split.Way, near bool, s *bin) (float64, bool) {
	r := t.critical(ctx, b, w, near, s, exactLevel, 0, fineLevelMM, func(level float64) bool {
		if ctx.Err() != nil || t.cutRuledOut(b, w, near, level, s) {
			return false
		}
		part := t.cutPart(b, w, level, near)
		if part == nil {
			return false
		}
		_, fits := t.place(ctx, part, s)
		return fits
	})
	return r.good, r.ok
}

// furthestHeuristic is furthest to within roughMM, and rather too far: of the new edge's
// allowance it counts half, and nothing of how its corners stick out, which
// may rule out a level but not the ones beyond.
func (t *table) furthestHeuristic(ctx context.Context, b *blank, w split.Way, near bool, s *bin) (float64, bool) {
	// What a first cut leaves on its other side has no say in this one's.
	for b.parent != nil && b.by == w && b.near == near {
		b = b.parent
	}
	half := t.options.AllowanceMM / 2
	r := t.critical(ctx, b, w, near, s, heuristicLevel, 0, coarseLevelMM, func(level float64) bool {
		return t.lowerBoundFits(ctx, b, b.simplified, w, near, further(near, level, half), s)
	})
	return b.furtherByOverlap(w, near, r.bad, half), r.ok
}

// middleReach is how far near a cut can go that leaves, on its far side, a middle
// part which must reach as far as the level to, on the scrap that takes the
// middle. Rough, and rather too far.
func (t *table) middleReach(ctx context.Context, b *blank, w split.Way, to float64, s *bin) (float64, bool) {
	to = math.Round(to)
	half := t.options.AllowanceMM / 2
	middle := split.Half(b.simplified, w.Line(b.Body, b.lowerBoundLevel(w, true, to, half)), true)
	r := t.critical(ctx, b, w, false, s, middleLevel, to, coarseLevelMM, func(level float64) bool {
		return t.lowerBoundFits(ctx, b, middle, w, false, further(false, level, half), s)
	})
	return b.furtherByOverlap(w, false, r.bad, half), r.ok
}

// critical brackets a critical level, and remembers it under the kind of the
// question.
func (t *table) critical(ctx context.Context, b *blank, w split.Way, near bool, s *bin, kind levelKind, to, fineMM float64, fits func(level float64) bool) bracket {
	if !t.allowed(b.piece, s.scrap) {
		return bracket{}
	}
	question := levelQuestion{kind: kind, to: to, part: b.key, way: w, near: near, class: s.class}
	r, known := t.brackets.get(question)
	if known {
		return r
	}
	spans := b.spansOf(w)
	if r = bracketOf(spans, near, fits); r.ok {
		r = bisect(r, spans, near, fineMM, fits)
	}
	if ctx.Err() == nil && t.brackets.set(question, r) {
		t.work.Add(bracketWork)
	}
	return r
}

// levelQuestion is which critical level is asked for.
type levelQuestion struct {
	kind  levelKind
	to    float64 // how far the middle part must reach, 0 where none is asked for
	part  string  // the blank's key
	way   split.Way
	near  bool
	class string // of the bin
}

// levelKind is by which test a critical level is bisected.
type levelKind int

const (
	exactLevel     levelKind = iota // the part is placed
	heuristicLevel                  // the lower-bound part is placed
	middleLevel                     // the lower-bound part of a middle part is placed
)

// bracketWork is about how many tries take as long as to find a bracket.
const bracketWork = 100

// bracketOf finds a level of the spans that fits and one beyond it that does
// not, or that fits and is the last.
func bracketOf(spans []split.Span, near bool, fits func(float64) bool) bracket {
	if len(spans) == 0 {
		return bracket{}
	}
	first, last := spans[0].Lo, spans[len(spans)-1].Hi
	if !near {
		first, last = last, first
	}
	if fits(last) {
		return bracket{last, last, true}
	}
	// The corners of an allowance may stick out a little more on a small part
	// than on a large one, so the smallest does not settle it.
	for _, f := range []float64{0, 0.15, 0.3, 0.5, 0.7} {
		if at, in := toward(spans, near, first+f*(last-first)); in && fits(at) {
			return bracket{at, last, true}
		}
	}
	return bracket{}
}

// toward is the level of the spans nearest to x on the side that fits rather.
func toward(spans []split.Span, near bool, x float64) (float64, bool) {
	if near {
		return split.Down(spans, x)
	}
	return split.Up(spans, x)
}

// bisect narrows a bracket: good is the greatest level known to fit for near,
// the least for far. Fits is monotone.
func bisect(r bracket, spans []split.Span, near bool, fineMM float64, fits func(float64) bool) bracket {
	for math.Abs(r.bad-r.good) > fineMM {
		mid := (r.good + r.bad) / 2
		at, ok := toward(spans, near, mid)
		if !ok || near && at <= r.good || !near && at >= r.good {
			// No level of a span between good and the middle; there may be one
			// between the middle and bad, past a gap such as a keep zone.
			at, ok = toward(spans, !near, mid)
			if !ok || near && at >= r.bad || !near && at <= r.bad {
				r.bad = mid
				continue
			}
		}
		if fits(at) {
			r.good = at
		} else {
			r.bad = at
		}
	}
	return r
}

// lowerBoundFits reports whether a scrap holds a cutting line up to a level. It is
// truly monotone. A part is sure to need that much of the whole piece's cutting
// line but for what pokes over its cut.
func (t *table) lowerBoundFits(ctx context.Context, b *blank, cut orb.Ring, w split.Way, near bool, level float64, s *bin) bool {
	if ctx.Err() != nil {
		return false
	}
	ring := split.Half(cut, w.Line(b.Body, level), near)
	if len(ring) < 3 {
		return true
	}
	if t.ringRuledOut(b, ring, s) {
		return false
	}
	_, ok := fit.Place(ctx, s.cloth, fit.NewShape(ring), rotations(b.piece, s.scrap, t.options.GrainToleranceDeg))
	return ok
}

// cutRuledOut reports that a part of the cut is too long, too wide or too large
// for a scrap, from the flattened outline alone.
func (t *table) cutRuledOut(b *blank, w split.Way, near bool, level float64, s *bin) bool {
	ring := split.Half(b.Ring, w.Line(b.Body, level), near)
	return len(ring) >= 3 && t.ringRuledOut(b, ring, s)
}

// ringRuledOut reports that a ring is too long, too wide or too large for a
// scrap.
func (t *table) ringRuledOut(b *blank, ring orb.Ring, s *bin) bool {
	if math.Abs(piece.Area(ring)) > s.area+1 {
		return true
	}
	lo, hi := b.Frame.Box(ring)
	return t.extentRuledOut(hi[1]-lo[1], hi[0]-lo[0], s)
}

// packTogether places several parts on one scrap, and remembers.
func (t *table) packTogether(ctx context.Context, parts []*blank, s *bin, poses int) ([]fit.Placement, bool) {
	if len(parts) == 1 {
		at, ok := t.fitsOn(ctx, parts[0], s)
		return []fit.Placement{at}, ok
	}
	order, question := packQuestionOf(parts, s, poses)
	r, known := t.packs.get(question)
	if !known {
		sorted := make([]*blank, len(parts))
		for i, k := range order {
			sorted[i] = parts[k]
		}
		r.at, r.ok = t.pack(ctx, sorted, s, poses)
		if ctx.Err() == nil || r.ok {
			t.packs.set(question, r)
		}
	}
	if !r.ok {
		return nil, false
	}
	out := make([]fit.Placement, len(parts))
	for i, k := range order {
		out[k] = r.at[i]
	}
	return out, true
}

// packQuestionOf names the question whatever the order in which the parts come, and
// gives the order in which it is asked.
func packQuestionOf(parts []*blank, s *bin, poses int) (order []int, question packQuestion) {
	order = make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return parts[order[i]].key < parts[order[j]].key })
	keys := make([]string, len(parts))
	for i, k := range order {
		keys[i] = parts[k].key
	}
	return order, packQuestion{parts: strings.Join(keys, "&"), class: s.class, poses: poses}
}

// pack is together without remembering.
func (t *table) pack(ctx context.Context, parts []*blank, s *bin, poses int) ([]fit.Placement, bool) {
	if len(parts) == 1 {
		at, ok := t.place(ctx, parts[0], s)
		return []fit.Placement{at}, ok
	}
	return t.packWithin(ctx, parts, s, poses, t.options.GrainToleranceDeg)
}

func (t *table) packWithin(ctx context.Context, parts []*blank, s *bin, poses int, toleranceDeg float64) ([]fit.Placement, bool) {
	area := 0.0
	items := make([]fit.Item, len(parts))
	for i, b := range parts {
		area += b.area
		items[i] = fit.Item{Shape: b.shape, Turns: rotations(b.piece, s.scrap, toleranceDeg)}
	}
	if area > s.area {
		return nil, false
	}
	poses *= len(parts) - 1 // the more of them, the more there is to try
	return fit.Pack(ctx, s.cloth, items, t.options.GapMM, poses, t.options.Seed)
}

// wayID tells one way to split from every other.
func wayID(w split.Way) string { return fmt.Sprintf("%s%v", w.Kind(), w) }
