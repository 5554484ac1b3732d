package piece

import (
	"fmt"
	"math"
	"sort"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// cornerDeg is the turn beyond which two drawn segments meet at a corner,
// where an unnamed edge ends.
const cornerDeg = 20

// stretch is part of the outline, from from to to in mm along it; to may run
// past the outline's length, round its start.
type stretch struct {
	from, to float64
	edge     Edge
}

// stretches finds where along the outline each named edge and each fold line
// runs, in order, none overlapping.
func (d *Draft) stretches(outline curve.Path) ([]stretch, error) {
	corners, joints := cornersOf(outline), jointsOf(outline)
	ruler := outline.Ruler()
	length := ruler.Length()
	var lines []DraftLine
	var out []stretch
	for _, e := range d.Edges {
		allowance := e.AllowanceMM
		if allowance < 0 {
			allowance = d.allowance()
		}
		lines = append(lines, e.DraftLine)
		out = append(out, stretch{edge: Edge{Name: e.Name, AllowanceMM: allowance, Joins: e.Joins, Ease: e.Ease}})
	}
	if len(d.Folds) > 1 {
		return nil, d.errorf(d.Folds[1].Element, "a second fold", "a piece is cut on one fold at most")
	}
	for _, f := range d.Folds {
		lines = append(lines, f)
		out = append(out, stretch{edge: Edge{Name: foldName}})
	}
	for i := range out {
		var err error
		if out[i].from, out[i].to, err = d.along(ruler, lines[i]); err != nil {
			return nil, err
		}
	}
	snapped := make([]stretch, len(out))
	for i := range out {
		var ok bool
		if snapped[i], ok = snapTo(corners, joints, length, out, i); !ok {
			return nil, d.errorf(lines[i].Element, "the line covers none of the outline", "draw it along the outline")
		}
	}
	out = snapped
	sort.Slice(out, func(i, j int) bool { return out[i].from < out[j].from })
	for i, s := range out {
		next := out[(i+1)%len(out)]
		start := next.from
		if i == len(out)-1 {
			start += length
		}
		if over := s.to - start; over > onMM && len(out) > 1 {
			return nil, d.errorf("edge "+s.edge.Name, fmt.Sprintf("it overlaps edge %s by %.1f mm", next.edge.Name, min(over, next.to-next.from)), "end one where the other starts")
		} else if math.Abs(over) <= onMM && len(out) > 1 || math.Abs(over) <= closeMM {
			// They meet: give both the very same end.
			out[i].to = start
		}
	}
	return out, nil
}

// foldName marks the fold's stretch until the piece is unfolded.
const foldName = "\x00fold"

// along is the stretch of the outline that a line drawn on it covers.
func (d *Draft) along(outline curve.Ruler, l DraftLine) (from, to float64, err error) {
	length := outline.Length()
	if len(l.Line) == 0 || l.Line.Length() < leastMM {
		return 0, 0, d.errorf(l.Element, "the line has no length", "draw it along the outline")
	}
	total := l.Line.Length()
	const samples = 16
	var at [samples + 1]float64
	var furthest float64
	for i := range at {
		q, _ := l.Line.At(total * float64(i) / samples)
		var away float64
		at[i], away = outline.Nearest(q)
		furthest = max(furthest, away)
	}
	if furthest > onMM {
		return 0, 0, d.errorf(l.Element, fmt.Sprintf("the line runs up to %.1f mm off the outline", furthest), "draw it along the outline, or copy that part of it")
	}
	// Which way round: the drawn steps, taken the short way, add up.
	var travel float64
	for i := 1; i < len(at); i++ {
		travel += math.Remainder(at[i]-at[i-1], length)
	}
	from, to = at[0], at[0]+travel
	if travel < 0 {
		from, to = to, from
	}
	return from, to, nil
}

// snapTo moves the ends of the i-th stretch to corners within snapMM, so that an
// edge drawn a little short or long still ends at its corner. Two kinds of ends
// stay where they are. If both ends of a short stretch would go to one corner,
// only the nearer goes, or nothing would be left of it. And an end that meets
// such a short neighbour stays with it. Last, an end goes to a joint of the
// outline that is within a hair of it. It reports whether the stretch still
// covers anything.
func snapTo(corners, joints []float64, length float64, all []stretch, i int) (stretch, bool) {
	s := all[i]
	span := s.to - s.from
	meetsStub := func(x float64) bool {
		for k, o := range all {
			if k != i && o.to-o.from >= leastMM && o.to-o.from < snapMM &&
				(math.Abs(math.Remainder(x-o.from, length)) < closeMM || math.Abs(math.Remainder(x-o.to, length)) < closeMM) {
				return true
			}
		}
		return false
	}
	from, to := snap(s.from, length, corners, snapMM), snap(s.to, length, corners, snapMM)
	switch {
	case span >= leastMM && span < 2*snapMM && math.Abs(math.Remainder(to-from, length)) < leastMM/2:
		if math.Abs(from-s.from) < math.Abs(to-s.to) {
			to = s.to
		} else {
			from = s.from
		}
	default:
		if meetsStub(s.from) {
			from = s.from
		}
		if meetsStub(s.to) {
			to = s.to
		}
	}
	from, to = snap(from, length, joints, curve.StubMM), snap(to, length, joints, curve.StubMM)
	from = math.Mod(math.Mod(from, length)+length, length)
	if length-from < 1e-6 {
		from = 0
	}
	to = from + math.Mod(math.Mod(to-from, length)+length, length)
	if to-from < leastMM/2 && span > length/2 {
		to = from + length
	}
	s.from, s.to = from, to
	return s, to-from >= leastMM/2
}

// cornersOf is where along the outline it turns by more than cornerDeg.
func cornersOf(outline curve.Path) []float64 {
	var out []float64
	at := 0.0
	for i, s := range outline {
		if before := outline[(i+len(outline)-1)%len(outline)]; before.TurnDeg(s) > cornerDeg {
			out = append(out, at)
		}
		at += s.Length()
	}
	return out
}

// jointsOf is where along the outline each of its segments starts.
func jointsOf(outline curve.Path) []float64 {
	out := make([]float64, len(outline))
	at := 0.0
	for i, s := range outline {
		out[i] = at
		at += s.Length()
	}
	return out
}

// snap is the nearest of some places along the outline that is within mm of
// x, or x.
func snap(x, length float64, places []float64, withinMM float64) float64 {
	best, near := x, withinMM
	for _, c := range places {
		if off := math.Abs(math.Remainder(x-c, length)); off < near {
			best, near = x-math.Remainder(x-c, length), off
		}
	}
	return best
}

// cutIntoEdges gives the outline as edges: the stretches, and what is left
// between them cut at its corners.
func cutIntoEdges(outline curve.Path, stretches []stretch, allowanceMM float64) Outline {
	length := outline.Length()
	origin := 0.0
	if len(stretches) > 0 {
		origin = stretches[0].from
	} else if c := cornersOf(outline); len(c) > 0 {
		origin = c[0]
	}
	turned := append(append(curve.Path{}, outline.Between(origin, length)...), outline.Between(0, origin)...)
	corners := cornersOf(turned)
	ruler := turned.Ruler()
	var out Outline
	bare := func(from, to float64) {
		start := from
		for _, c := range corners {
			if c > from+leastMM && c < to-leastMM {
				out = append(out, Edge{Line: ruler.Between(start, c), AllowanceMM: allowanceMM})
				start = c
			}
		}
		out = append(out, Edge{Line: ruler.Between(start, to), AllowanceMM: allowanceMM})
	}
	at := 0.0
	for _, s := range stretches {
		from, to := s.from-origin, math.Min(s.to-origin, length)
		if from-at > 1e-6 {
			bare(at, from)
		}
		s.edge.Line = ruler.Between(from, to)
		out = append(out, s.edge)
		at = to
	}
	if length-at > 1e-6 {
		bare(at, length)
	}
	out.weld()
	return out
}

// weld gives neighbouring edges the very same point where they meet.
func (o Outline) weld() {
	for i := range o {
		next := o[(i+1)%len(o)].Line
		o[i].Line[len(o[i].Line)-1].P1 = next[0].P0
	}
}

// cornerMM is how near a corner a notch is at the corner.
const cornerMM = 0.05

// placeNotches puts each drawn notch on the edge it crosses or is nearest to.
// A notch at a corner belongs to the edge that ends there. Those that were drawn further
// off their edge than its allowance explains are noted.
func (d *Draft) placeNotches(o Outline) (notes []string, err error) {
	whole := o.Path()
	ruler := whole.Ruler()
	length := ruler.Length()
	var at []float64
	for _, n := range d.Notches {
		var along, away, drawnMM float64
		if len(n.Line) == 0 {
			along, away = ruler.Nearest(n.Point)
		} else if hits := curve.Crossings(whole, n.Line); len(hits) > 0 {
			along, away = hits[0].OnP, 0
		} else {
			along, away, drawnMM = d.notchBeside(whole, ruler, n.Line)
		}
		if away > notchMM {
			return nil, d.errorf(n.Element, fmt.Sprintf("the notch is %.1f mm off the outline", away), "draw it across the outline")
		}
		if e, _ := o.EdgeAt(along - cornerMM); drawnMM > math.Max(notchMM, slantShare*o[e].AllowanceMM) {
			notes = append(notes, fmt.Sprintf("%s: a notch, %s, is drawn %.0f mm off the outline; it counts where it points: if that is not the place, draw it across the outline", d.Name, n.Element, drawnMM))
		}
		if along = math.Mod(along, length); along < cornerMM {
			along += length
		}
		at = append(at, along)
	}
	sort.Float64s(at)
	for i := range o {
		l := o[i].Line.Length()
		n := sort.Search(len(at), func(k int) bool { return at[k] > l+cornerMM })
		if i == len(o)-1 {
			n = len(at)
		}
		o[i].Notches = pairNotches(at[:n], l)
		at = at[n:]
		for k := range at {
			at[k] -= l
		}
	}
	return notes, nil
}

// EdgeAt is the edge so many mm along an outline, and how far along that; a corner belongs
// to the edge that ends there.
func (o Outline) EdgeAt(mm float64) (edge int, along float64) {
	for i, e := range o {
		l := e.Line.Length()
		if mm <= l || i == len(o)-1 {
			return i, math.Min(mm, l)
		}
		mm -= l
	}
	return 0, 0
}

// slantShare is how many times as far off an edge a notch may be that points at it along
// its line as straight across.
const slantShare = 1.5

// notchBeside is where along the outline a notch is that was drawn beside it,
// how far off it that counts, and how far off it was drawn. One that points straight at the outline, as a mark from
// the cutting line does, is where it points; it may lie as far off as the
// widest allowance, where others may lie notchMM off.
func (d *Draft) notchBeside(whole curve.Path, ruler curve.Ruler, line curve.Path) (along, away, drawnMM float64) {
	widest := d.allowance()
	for _, e := range d.Edges {
		widest = math.Max(widest, e.AllowanceMM)
	}
	end, dir := line.End(), line[len(line)-1].Tangent(1)
	along, away = ruler.Nearest(end)
	if a, off := ruler.Nearest(line.Start()); off < away {
		first := line[0].Tangent(0)
		end, dir = line.Start(), orb.Point{-first[0], -first[1]}
		along, away = a, off
	}
	if away > math.Max(notchMM, slantShare*widest) {
		return along, away, away
	}
	reach := slantShare*away + hairMM
	on := curve.Polyline(end, orb.Point{end[0] + reach*dir[0], end[1] + reach*dir[1]})
	if hits := curve.Crossings(whole, on); len(hits) > 0 {
		return hits[0].OnP, 0, away
	}
	return along, away, away
}

// pairNotches makes the notches of an edge of that length from the places
// where one was drawn, in order: two or three close together are one.
func pairNotches(at []float64, length float64) []Notch {
	var out []Notch
	for i := 0; i < len(at); {
		j := i + 1
		for j < len(at) && j-i < 3 && at[j]-at[j-1] < pairMM {
			j++
		}
		out = append(out, Notch{AtMM: math.Min((at[i]+at[j-1])/2, length), Count: j - i})
		i = j
	}
	return out
}
