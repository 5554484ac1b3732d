package search

import (
	"context"
	"math"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"
	"eke/split/fit"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
	"github.com/peterstace/simplefeatures/geom"
)

// What is said to lie nowhere is proved elsewhere, with other geometry. It is
// therefore said of a little less than the part: of the seam line with its least
// allowance round it, less sayOffMM, for a cutting line holds that whatever its
// corners are like.
const (
	sayOffMM     = 0.5
	sayCoarseMM  = 0.1 // by how much the seam line is simplified
	sayAloneMM   = 0.8 // less still, for it is proved with points some millimetres apart
	sayBesideMM  = 2   // and where two parts were packed in vain
	sayPoses     = 4000
	sliverMM     = 7 // a part is wider
	levelFineMM  = 2
	levelClearMM = 1
)

// family is lines that slide over a copy, with levels as plan.AtLeast counts them.
type family struct {
	way     split.Way
	is      plan.CutSide // but for the side and the level
	against bool         // the way's own levels run the other way
	lo, hi  float64      // beyond these a part would be a sliver
	asked   int          // the family of which it is asked what lies where
	loose   float64      // how much further on than its level the part beyond may begin
	off     float64      // how far a line may lie off, either way, for seams that are moved
	hidden  bool         // only asked of
}

// side is what lies on a side of a line.
func (f *family) side(before bool, level float64) *plan.CutSide {
	side := f.is
	side.Side, side.LevelMM = "beyond", level
	if before {
		side.Side = "before"
	}
	return &side
}

// familiesOf are the lines by which a copy may be cut.
func familiesOf(b *blank, ways []split.Way) (out []family, ok bool) {
	turned := func(w split.Way, name string, toward orb.Point, turnDeg float64, bend int) {
		sin, cos := math.Sincos((b.piece.GrainDeg + turnDeg) * math.Pi / 180)
		f := family{way: w, is: plan.CutSide{Way: name, TurnDeg: turnDeg, Bend: bend}, against: toward[0]*cos+toward[1]*sin < 0}
		if f.against {
			f.is.Bend = -bend
		}
		f.lo, f.hi = math.Inf(1), math.Inf(-1)
		for i, q := range b.Ring {
			next := b.Ring[(i+1)%len(b.Ring)]
			n := 1.0
			if bend != 0 { // a curve may reach furthest between corners
				const closeMM = 5
				n = math.Ceil(plane.Distance(q, next) / closeMM)
			}
			for k := 0.0; k < n; k++ {
				l := f.level(w.LevelOf(b.Body, orb.Point{q[0] + k/n*(next[0]-q[0]), q[1] + k/n*(next[1]-q[1])}))
				f.lo, f.hi = math.Min(f.lo, l), math.Max(f.hi, l)
			}
		}
		f.lo, f.hi, f.asked = f.lo+sliverMM, f.hi-sliverMM, len(out)
		out = append(out, f)
	}
	down, right := b.Frame.Down, b.Frame.Right
	for _, w := range ways {
		switch w := w.(type) {
		case split.Yoke:
			turned(w, "yoke", down, 0, 0)
		case split.Panel:
			turned(split.Panel{}, "panel", right, 90, 0)
		case split.CurvedYoke: // of both, and so once for the two
			if w.Up && slices.ContainsFunc(ways, func(o split.Way) bool { c, ok := o.(split.CurvedYoke); return ok && !c.Up }) {
				continue
			}
			turned(split.CurvedYoke{}, "curved yoke", down, 0, 1)
			turned(split.CurvedYoke{Up: true}, "curved yoke", down, 0, -1)
		case split.Corner:
			if w.Deg > 180 { // the same lines as those of the corner across from it
				continue
			}
			sin, cos := math.Sincos(w.Deg * math.Pi / 180)
			turn := 45.0
			if math.Abs(math.Remainder(w.Deg-45, 180)) < 1 { // turned from across the grain, which is a right angle back
				turn = 135
			}
			turned(w, "corner", plane.Add(plane.Scale(right, cos), plane.Scale(down, sin)), turn, 0)
		default:
			return nil, false
		}
	}
	return out, true
}

func (f *family) level(own float64) float64 {
	if f.against {
		return -own
	}
	return own
}

// sayable is what is said of a copy, or of what some lines leave of it.
type sayable struct {
	ring orb.Ring // the largest polygon's
	all  orb.Ring // points of all, where there are several
	area float64
}

// shape is a copy, or what a first cut leaves of it for another.
type shape struct {
	*keptShape
	of       keptOf
	copy     int
	families []family
	first    *plan.CutSide // nil for a copy
	holds    []int         // itself and the shapes that lie within it
}

// keptShape is what is certain of a shape, and what was found out about it.
type keptShape struct {
	polygon geom.Geometry // empty where nothing of it is certain
	areas   map[areaKey]float64
	rough   map[float64]sayable // with so much round it
	discs   map[discsOf]float64
}

// keptOf tells shapes apart, whatever the ranges within which seams are moved.
type keptOf struct {
	copy  int
	sure  string
	first plan.CutSide
}

// keep gives what is kept of a shape, and makes it if there is none yet.
func (a *exhaustion) keep(of keptOf, polygon func() geom.Geometry) *keptShape {
	k := a.kept[of]
	if k == nil {
		k = &keptShape{polygon: polygon(), areas: map[areaKey]float64{}, rough: map[float64]sayable{}, discs: map[discsOf]float64{}}
		a.kept[of] = k
	}
	return k
}

// wholeOf is a copy's shape.
func (a *exhaustion) wholeOf(i int) shape {
	of := keptOf{copy: i, sure: a.sure[i].key}
	return shape{of: of, copy: i, holds: []int{i}, families: a.families[i], keptShape: a.keep(of, func() geom.Geometry {
		ring := a.sure[i].ring
		if len(ring) < 3 {
			return geom.Geometry{}
		}
		closed := simplify.DouglasPeucker(sayCoarseMM).Ring(plane.Close(ring))
		return polygonOf(closed[:len(closed)-1])
	})}
}

// shapeBeyond is the index of the shape that a copy has on one side of a line, at any
// level up to that one or down to it. Levels are taken together some millimetres wide.
func (a *exhaustion) shapeBeyond(copy, family int, before bool, level float64) int {
	const togetherMM = 8
	f := &a.families[copy][family]
	if before {
		level = math.Floor(level/togetherMM) * togetherMM
	} else {
		level = math.Ceil(level/togetherMM) * togetherMM
	}
	first := f.side(before, level)
	for k := len(a.blanks); k < len(a.shapes); k++ {
		if s := &a.shapes[k]; s.copy == copy && *s.first == *first {
			return k
		}
	}
	of := keptOf{copy, a.sure[copy].key, *first}
	new := shape{of: of, copy: copy, families: secondFamilies(a.blanks[copy], a.families[copy], a.sure[copy].wideMM), first: first, holds: []int{len(a.shapes)}}
	new.keptShape = a.keep(of, func() geom.Geometry { return a.clipped(a.shapes[copy].polygon, copy, f, before, level) })
	for k := len(a.blanks); k < len(a.shapes); k++ {
		s := &a.shapes[k]
		same := *s.first
		if same.LevelMM = level; s.copy != copy || same != *first {
			continue
		}
		if s.first.LevelMM < level == before {
			new.holds = append(new.holds, k)
		} else {
			s.holds = append(s.holds, len(a.shapes))
		}
	}
	a.shapes = append(a.shapes, new)
	return len(a.shapes) - 1
}

// secondFamilies are the lines by which a part may be cut again. How a curve bends there
// depends on the part, so that it may run anywhere in a band.
func secondFamilies(b *blank, first []family, wideMM float64) (out []family) {
	const (
		bendRatio = 1.0 / 12
		clear     = 1.1
		offMM     = 2
	)
	curved, yoke := false, -1
	for _, f := range first {
		if f.is.Bend != 0 {
			curved = true
			continue
		}
		if f.is.Way == "yoke" {
			yoke = len(out)
		}
		f.asked = len(out)
		out = append(out, f)
	}
	if !curved {
		return out
	}
	if yoke < 0 {
		only, _ := familiesOf(b, []split.Way{split.Yoke{}})
		yoke = len(out)
		only[0].hidden, only[0].asked = true, yoke
		out = append(out, only[0])
	}
	f := out[yoke]
	f.hidden, f.loose = false, clear*bendRatio*wideMM+offMM
	f.lo, f.hi = f.lo-2*f.loose, f.hi+2*f.loose
	return append(out, f)
}

// clipped is what of a shape lies on one side of a family's line at a level.
func (a *exhaustion) clipped(g geom.Geometry, i int, f *family, before bool, level float64) geom.Geometry {
	b := a.blanks[i]
	far := a.sure[i].farMM
	const aside = 5 // less than lines reach past a body
	lo, hi := plane.Add(b.Lo, orb.Point{-aside - far, -aside - far}), plane.Add(b.Hi, orb.Point{aside + far, aside + far})
	if f.is.Bend != 0 { // so far that no curve leaves the box and comes back
		lo[1], hi[1] = lo[1]-(hi[0]-lo[0]), hi[1]+(hi[0]-lo[0])
	}
	box := orb.Ring{b.Frame.At(lo[0], lo[1]), b.Frame.At(hi[0], lo[1]), b.Frame.At(hi[0], hi[1]), b.Frame.At(lo[0], hi[1])}
	side := a.half(box, i, f, before, further(before, level, -f.off))
	if len(side) < 3 {
		return geom.Geometry{}
	}
	g, err := geom.Intersection(g, polygonOf(side))
	if err != nil {
		return geom.Geometry{}
	}
	return g
}

// half is what of a ring lies on one side of a family's line at a level. Lines reach some
// way past a body; where a copy may reach further, so does its arc.
func (a *exhaustion) half(ring orb.Ring, i int, f *family, before bool, level float64) orb.Ring {
	b := a.blanks[i]
	line := f.way.Line(b.Body, f.level(level))
	if f.is.Bend != 0 && a.sure[i].farMM > 0 {
		const pastMM = 50.0
		lo, hi := b.Frame.Box(ring)
		from, to := math.Min(lo[0], b.Lo[0])-pastMM, math.Max(hi[0], b.Hi[0])+pastMM
		mid, half := (b.Lo[0]+b.Hi[0])/2, (b.Hi[0]-b.Lo[0])/2
		bend := half / 6 // a twelfth of the width
		if f.way == split.Way(split.CurvedYoke{Up: true}) {
			bend = -bend
		}
		down := func(across float64) float64 {
			off := (across - mid) / half
			return f.level(level) + bend*off*off
		}
		slope := 2 * bend * (from - mid) / (half * half)
		pole := b.Frame.At((from+to)/2, down(from)+slope*(to-from)/2)
		start, end := b.Frame.At(from, down(from)), b.Frame.At(to, down(to))
		line = curve.Path{curve.Quadratic(start, pole, end)}
	}
	return split.Half(ring, line, before != f.against)
}

// sayableOf is the part of a shape on one side of a family's line at a level, or the
// whole where there is no family; empty where nothing of it is certain.
func (a *exhaustion) sayableOf(k int, f *family, before bool, level, lessMM float64) sayable {
	g := a.shapes[k].polygon
	if f != nil {
		g = a.clipped(g, a.shapes[k].copy, f, before, level)
	}
	return grown(g, a.sureAllowance(k, f)-lessMM)
}

// sureAllowance is what is certain of the allowance round a shape, or round a part of it.
func (a *exhaustion) sureAllowance(k int, f *family) float64 {
	allow := a.allow[a.shapes[k].copy]
	if a.shapes[k].first != nil || f != nil {
		allow = math.Min(allow, a.table.options.AllowanceMM)
	}
	return allow - sayOffMM - sayCoarseMM
}

// roughOf is the same, quick and nearly right: of the shape with its allowance round it,
// what lies on one side of a line as far off.
func (a *exhaustion) roughOf(k int, f *family, before bool, level, lessMM float64) sayable {
	by := a.sureAllowance(k, f) - lessMM
	whole, ok := a.shapes[k].rough[by]
	if !ok {
		whole = grown(a.shapes[k].polygon, by)
		a.shapes[k].rough[by] = whole
	}
	if f == nil || len(whole.ring) < 3 {
		return whole
	}
	copy := a.shapes[k].copy
	level = further(before, level, -f.off)
	// Nothing is certain of a part that its allowance alone makes.
	if inner := a.half(a.shapes[k].ring(), copy, f, before, level); len(inner) < 3 {
		return sayable{}
	}
	ring := a.half(whole.ring, copy, f, before, further(before, level, by))
	if len(ring) < 3 {
		return sayable{}
	}
	if plane.SignedArea(ring) < 0 {
		ring.Reverse()
	}
	return sayable{ring: ring, area: math.Abs(plane.SignedArea(ring))}
}

// ring is the outer line of what is certain of a shape.
func (s *shape) ring() orb.Ring { return outerRing(s.polygon) }

// grown is a shape with that round it: its area, and the largest part.
func grown(shape geom.Geometry, byMM float64) sayable {
	if shape.IsEmpty() {
		return sayable{}
	}
	g, err := geom.Buffer(shape, byMM, geom.BufferQuadSegments(4))
	if err != nil {
		return sayable{}
	}
	out := sayable{ring: outerRing(g), area: g.Area()}
	if g.IsMultiPolygon() {
		xy := g.DumpCoordinates()
		for k := range xy.Length() {
			q := xy.GetXY(k)
			out.all = append(out.all, orb.Point{q.X, q.Y})
		}
	}
	return out
}

// outerRing is that of the largest polygon.
func outerRing(g geom.Geometry) (out orb.Ring) {
	largest := 0.0
	for _, part := range g.Dump() {
		p, ok := part.AsPolygon()
		if !ok || p.Area() <= largest {
			continue
		}
		largest = p.Area()
		xy := p.ExteriorRing().Coordinates()
		out = nil
		for k := range xy.Length() - 1 {
			q := xy.GetXY(k)
			out = append(out, orb.Point{q.X, q.Y})
		}
	}
	if plane.SignedArea(out) < 0 {
		out.Reverse()
	}
	return out
}

// clothPolygon is a bin's cloth without its holes.
func (s *bin) clothPolygon() (geom.Geometry, bool) {
	left := polygonOf(s.scrap.Outline)
	for _, h := range s.scrap.Holes {
		var err error
		if left, err = geom.Difference(left, polygonOf(h)); err != nil {
			return left, false
		}
	}
	return left, true
}

// room is the area of a bin's cloth with some mm round it.
func (s *bin) room(roundMM float64) (float64, bool) {
	left, ok := s.clothPolygon()
	if !ok {
		return 0, false
	}
	const clear = 1.02 // for the chords of round corners
	round, err := geom.Buffer(left, clear*roundMM, geom.BufferQuadSegments(8))
	return round.Area(), err == nil
}

// items are a part as it may lie on a scrap: as it is, and turned over where the
// cloth has two right sides.
func (a *exhaustion) items(i int, ring orb.Ring, s *bin) []fit.Item {
	p := a.blanks[i].piece
	turns := func(deg float64) []fit.Turn { return turnsAbout(deg, s.scrap, a.table.options.GrainToleranceDeg) }
	out := []fit.Item{{Shape: fit.NewShape(ring), Turns: turns(s.scrap.GrainDeg - p.GrainDeg)}}
	if s.scrap.BothFaces {
		over := make(orb.Ring, len(ring))
		for k, q := range ring {
			over[len(ring)-1-k] = orb.Point{-q[0], q[1]}
		}
		out = append(out, fit.Item{Shape: fit.NewShape(over), Turns: turns(s.scrap.GrainDeg - (180 - p.GrainDeg))})
	}
	return out
}

// lies reports whether a part lies on a bin somewhere, or may do so.
func (a *exhaustion) lies(ctx context.Context, i int, part sayable, s *bin) bool {
	if len(part.ring) < 3 || ctx.Err() != nil {
		return true
	}
	if part.area > s.area {
		return false
	}
	if len(part.all) > 0 {
		lo, hi := a.blanks[i].Frame.Box(part.all)
		if a.table.extentRuledOut(hi[1]-lo[1], hi[0]-lo[0], s) {
			return false
		}
	}
	for _, item := range a.items(i, part.ring, s) {
		if _, ok := fit.Place(ctx, s.cloth, item.Shape, item.Turns); ok {
			return true
		}
	}
	return ctx.Err() != nil
}

// lieTogether reports whether two parts lie on a bin together, or may do so. That
// they do not is heuristic.
func (a *exhaustion) lieTogether(ctx context.Context, i int, part sayable, k int, other sayable, s *bin) bool {
	if len(part.ring) < 3 || len(other.ring) < 3 || ctx.Err() != nil {
		return true
	}
	if part.area+other.area > s.area {
		return false
	}
	for _, one := range a.items(i, part.ring, s) {
		for _, two := range a.items(k, other.ring, s) {
			if _, ok := fit.Pack(ctx, s.cloth, []fit.Item{one, two}, a.table.options.GapMM, sayPoses, a.table.options.Seed); ok {
				return true
			}
		}
	}
	return ctx.Err() != nil
}

// critical is the level from which on the part on one side of a line lies nowhere
// on a bin: up from it for before, down from it for beyond. It is not ok where the
// part lies there at every level.
func (f *family) critical(before bool, lies func(level float64) bool) (level float64, ok bool) {
	good, bad := f.lo, f.hi
	if !before {
		good, bad = bad, good
	}
	if f.lo >= f.hi || lies(bad) {
		return 0, false
	}
	if !lies(further(before, good, -levelClearMM)) {
		return good, true
	}
	for math.Abs(bad-good) > levelFineMM {
		if mid := (good + bad) / 2; lies(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return further(before, bad, levelClearMM), true
}

// leastAllowance is that of a copy's edges.
func leastAllowance(p *piece.Piece) float64 {
	least := math.Inf(1)
	for _, e := range p.Outline {
		least = math.Min(least, e.AllowanceMM)
	}
	return least
}
