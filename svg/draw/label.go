package draw

import (
	"math"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// The sizes of the type on a part, in mm. Nothing is printed smaller than
// leastMM; what does not fit so is led out of the part.
const (
	nameMM   = 18.0 // the largest name
	leastMM  = 2.4
	smaller  = 0.62 // the words below the name, in sizes of the name
	leading  = 1.25 // from line to line
	letterMM = 6.5
	levelMM  = 4.5 // the letter at a level mark
	ledOutMM = 4.0
	tipMM    = 7.0 // an arrow head of the grainline
)

// block is some lines of text that belong together.
type block struct {
	text  []string
	names int // how many of the lines are the name
}

// sizeOf is the type size of line i when the name has the given size.
func (b block) sizeOf(i int, size float64) float64 {
	if i < b.names {
		return size
	}
	return math.Max(leastMM, size*smaller)
}

func (b block) box(size float64) (width, height float64) {
	for i, t := range b.text {
		s := b.sizeOf(i, size)
		width = math.Max(width, Width(t, s))
		height += s * leading
	}
	return width, height
}

// labels sets the block about a centre, turned by 0 or by a right angle.
func (b block) labels(centre orb.Point, size, turnDeg float64) []Label {
	_, height := b.box(size)
	sin, cos := math.Sincos(turnDeg * math.Pi / 180)
	down := orb.Point{-sin, cos}
	at := -height / 2
	var out []Label
	for i, t := range b.text {
		s := b.sizeOf(i, size)
		out = append(out, Label{Text: t, At: plane.Along(centre, down, at+s*leading/2), SizeMM: s, TurnDeg: turnDeg, Strong: i < b.names, Line: i + 1})
		at += s * leading
	}
	return out
}

// label finds places for the name, the words, the grainline and the letters
// of the piecing seams.
func (s *Shape) label(space *freeSpace, cut curve.Path, edges []edge, say inscription) {
	name := wrap(s.Name, 22)
	full := block{append(append([]string{}, name...), say.words...), len(name)}
	largest := largestMM(orb.MultiPoint(s.Region).Bound())
	if s.setBlock(space, full, largest, leastMM) || s.setBlock(space, block{name, len(name)}, largest, leastMM) {
		s.grainline(space, tipMM)
	} else {
		s.grainline(space, tipMM)
		s.leadOut(space, full, ledOutMM)
	}
	ring := cut.Flatten(flattenMM)
	for _, e := range edges {
		if e.Seam != "" {
			s.letter(space, ring[:len(ring)-1], e, say.letter(e))
		}
	}
}

// setBlock sets the block inside the part, no larger and no smaller than said,
// as large as it goes while half of the longest grainline stays free.
func (s *Shape) setBlock(space *freeSpace, b block, largest, least float64) bool {
	a, z := space.chord(s.grain())
	wanted := 0.5 * plane.Distance(a, z)
	for size := math.Max(largest, least); size >= least; size *= 0.86 {
		width, height := b.box(size)
		for _, turn := range []float64{0, -90} {
			w, h := width, height
			if turn != 0 {
				w, h = h, w
			}
			centre, ok := space.place(w, h)
			if !ok {
				continue
			}
			box := orb.Bound{Min: orb.Point{centre[0] - w/2, centre[1] - h/2}, Max: orb.Point{centre[0] + w/2, centre[1] + h/2}}.Pad(math.Max(2*clearMM, 0.35*size))
			space.boxes = append(space.boxes, box)
			if a, z := space.chord(s.grain()); plane.Distance(a, z) < wanted {
				space.boxes = space.boxes[:len(space.boxes)-1]
				continue
			}
			s.Labels = append(s.Labels, b.labels(centre, size, turn)...)
			return true
		}
	}
	return false
}

// largestMM is the size of a name that suits a part of the given box.
func largestMM(box orb.Bound) float64 {
	w, h := size(box)
	return math.Min(nameMM, 0.7*math.Sqrt(math.Sqrt(w*h)))
}

func (s *Shape) grain() orb.Point {
	sin, cos := math.Sincos(s.GrainDeg * math.Pi / 180)
	return orb.Point{cos, sin}
}

// grainline draws the grain along the longest free line. It has one arrow
// head where the cloth has a nap, and so a direction, and two where it has
// none; a head is tipMM long at most.
func (s *Shape) grainline(space *freeSpace, tipMM float64) {
	a, b := space.chord(s.grain())
	length := plane.Distance(a, b)
	if length == 0 {
		return
	}
	inset := math.Min(math.Max(clearMM, 0.08*length), 0.25*length)
	dir := s.grain()
	a, b = plane.Along(a, dir, inset), plane.Along(b, dir, -inset)
	s.Lines = append(s.Lines, Line{Stroke: Grain, Word: "grain", Path: curve.Polyline(a, b)})
	tip := math.Min(tipMM, plane.Distance(a, b)/4)
	side := orb.Point{-dir[1], dir[0]}
	for _, end := range []struct {
		at  orb.Point
		way float64
	}{{b, -1}, {a, 1}} {
		base := plane.Along(end.at, dir, end.way*tip)
		head := []orb.Point{end.at, plane.Along(base, side, tip*0.3), plane.Along(base, side, -tip*0.3), end.at}
		s.Lines = append(s.Lines, Line{Stroke: GrainTip, Word: "tip", Closed: true, Path: curve.Polyline(head...)})
		space.addWall(head)
		if s.OneWay {
			break
		}
	}
	space.addWall([]orb.Point{a, b})
}

// leadOut sets the block to the right of the part, with a line from it to
// the part's middle.
func (s *Shape) leadOut(space *freeSpace, b block, size float64) {
	awayMM := 1.25 * size
	box := orb.MultiPoint(s.Region).Bound()
	width, height := b.box(size)
	foot := space.pole()
	centre := orb.Point{box.Max[0] + awayMM + width/2, math.Max(foot[1], box.Min[1]+height/2)}
	s.Labels = append(s.Labels, b.labels(centre, size, 0)...)
	s.Lines = append(s.Lines, Line{Stroke: Leader, Word: "leader",
		Path: curve.Polyline(foot, orb.Point{box.Max[0] + awayMM - 0.3*size, centre[1]})})
}

// letter writes the letter of a piecing seam beside its edge, inside the part
// where there is room and outside it where there is none.
func (s *Shape) letter(space *freeSpace, cut []orb.Point, e edge, text string) {
	length := e.path.Length()
	spots := []float64{0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82}
	for size := letterMM; size >= leastMM; size *= 0.8 {
		r := ringRadius(text, size)
		for _, f := range spots {
			at, dir := e.path.At(f * length)
			in := orb.Point{-dir[1], dir[0]}
			for _, gap := range []float64{1.5, 4, 8} {
				q := plane.Along(at, in, r+gap)
				if space.clearance(q, 0) < r+clearMM*0.6 {
					continue
				}
				s.Labels = append(s.Labels, Label{Text: text, At: q, SizeMM: size, Strong: true, Ringed: true})
				space.boxes = append(space.boxes, orb.Bound{Min: q, Max: q}.Pad(r))
				return
			}
		}
	}
	s.letterOutside(cut, e, text, spots)
}

// letterOutside sets the letter off the part, as near to its edge as other
// words allow, with a line to the edge.
func (s *Shape) letterOutside(cut []orb.Point, e edge, text string, spots []float64) {
	const size, stepMM, farthestMM = ledOutMM, 1.0, 300.0
	r := ringRadius(text, size)
	length := e.path.Length()
	for away := e.AllowanceMM + r + 2; ; away += stepMM {
		for _, f := range spots {
			at, dir := e.path.At(f * length)
			q := plane.Along(at, orb.Point{dir[1], -dir[0]}, away)
			lead := [2]orb.Point{at, plane.Along(q, orb.Point{dir[1], -dir[0]}, -r)}
			if away < farthestMM && (plane.Holds(cut, q) || plane.ToRing(cut, q) < r+1 || s.taken(q, r+0.5, lead)) {
				continue
			}
			s.Labels = append(s.Labels, Label{Text: text, At: q, SizeMM: size, Strong: true, Ringed: true})
			s.Lines = append(s.Lines, Line{Stroke: Leader, Word: "leader", Path: curve.Polyline(lead[0], lead[1])})
			return
		}
	}
}

// taken reports whether a disc or a line meets a label or a leader.
func (s *Shape) taken(q orb.Point, r float64, line [2]orb.Point) bool {
	disc := orb.Bound{Min: q, Max: q}.Pad(r)
	for _, l := range s.Labels {
		if b := l.bound(); b.Intersects(disc) || meets(b, line) {
			return true
		}
	}
	for _, l := range s.Lines {
		if l.Stroke == Leader && meets(disc, [2]orb.Point{l.Path.Start(), l.Path.End()}) {
			return true
		}
	}
	return false
}
