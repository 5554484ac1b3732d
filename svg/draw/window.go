package draw

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

const (
	againMM = 6.5 // a name that is written once more
	// share is how much of a window a shape fills, or of a shape a window
	// shows, for the name to be written there.
	share = 0.2
)

// Window is what a shape is seen through, such as a page that it is printed
// on, in the shape's coordinates.
type Window struct {
	Whole orb.Bound // all that is seen
	Clear orb.Bound // Whole without the border that another window shows too
}

// NamedIn is the shape with its name whole in one of the windows, if there is
// room: a name that is cut by a window's edge is moved, with the words below
// it, to where it can be largest, and it is written once more in every other
// window that shows a large share. The Clear boxes must not overlap.
func (s Shape) NamedIn(windows []Window) Shape {
	s.Inner = slices.Clone(s.Inner)
	for i := range s.Inner {
		s.Inner[i] = s.Inner[i].NamedIn(windows)
	}
	caption, rest, nameBox, box, sizeMM := s.caption()
	if len(caption.text) == 0 {
		return s
	}
	if !plane.Holds(s.Region, box.Center()) {
		if len(caption.text) == 1 {
			s.Labels = append(rest, s.beside(windows)...)
		}
		return s
	}
	cut := !slices.ContainsFunc(windows, func(w Window) bool { return holds(w.Clear, box) })
	space := s.space(rest)
	var views, large []seenSpace
	for _, w := range windows {
		v, ok := space.through(w.Clear)
		if !ok {
			continue
		}
		views = append(views, v)
		if v.area >= share*boxArea(w.Clear) || v.area >= share*plane.Area(space.ring) {
			large = append(large, v)
		}
	}
	name := block{caption.text[:caption.names], caption.names}
	var written orb.Bound // the window where the name was moved
	if cut {
		labels, w, ok := largest(caption, views, sizeMM)
		if !ok {
			labels, w, ok = largest(name, views, sizeMM)
		}
		if !ok {
			return s
		}
		s.Labels, written = append(rest, labels...), w
	}
	for _, v := range large {
		if v.window != written && (cut || !holds(v.window, nameBox)) {
			labels, _, _ := largest(name, []seenSpace{v}, math.Min(againMM, sizeMM))
			s.Labels = append(s.Labels[:len(s.Labels):len(s.Labels)], labels...)
		}
	}
	return s
}

func holds(w, box orb.Bound) bool { return w.Contains(box.Min) && w.Contains(box.Max) }

// caption is the name and the words below it, the other labels, the box round
// the name and that round the words too, and the size of the name's type.
func (s Shape) caption() (caption block, rest []Label, name, all orb.Bound, sizeMM float64) {
	for _, l := range s.Labels {
		if l.Line == 0 {
			rest = append(rest, l)
			continue
		}
		if caption.text = append(caption.text, l.Text); l.Line == 1 {
			name, all, sizeMM = l.bound(), l.bound(), l.SizeMM
		}
		if all = all.Union(l.bound()); l.Strong {
			name = name.Union(l.bound())
			caption.names++
		}
	}
	return caption, rest, name, all, sizeMM
}

// space is the room inside the shape that its lines and the given labels leave.
func (s Shape) space(labels []Label) *freeSpace {
	outline := closedRing(s.Region)
	for _, l := range s.Lines {
		if l.Stroke == Seam {
			outline = l.Path
		}
	}
	space := newFreeSpace(outline)
	for _, l := range s.Lines {
		switch l.Stroke {
		case Grain, GrainTip, Notch, Dart, Leader:
			space.addWall(l.Path.Flatten(flattenMM))
		}
	}
	for _, l := range labels {
		if l.Ringed {
			space.boxes = append(space.boxes, l.bound())
		} else {
			space.addTurned(l.At, Width(l.Text, l.SizeMM), l.SizeMM, l.TurnDeg)
		}
	}
	return space
}

// seenSpace is what a window shows of the free space inside a shape.
type seenSpace struct {
	freeSpace
	window orb.Bound
	area   float64
}

func (r *freeSpace) through(w orb.Bound) (seenSpace, bool) {
	seen := clip.Ring(w, plane.Close(r.ring))
	if len(seen) < 4 {
		return seenSpace{}, false
	}
	v := seenSpace{*r, w, plane.Area(seen)}
	v.ring = seen[:len(seen)-1]
	v.walls, v.around = slices.Clone(r.walls), slices.Clone(r.around)
	v.addWall(w.ToRing())
	v.last = 0
	return v, true
}

// largest sets a block where its type can be largest, in the first of the
// views where that is so.
func largest(b block, views []seenSpace, mostMM float64) (labels []Label, in orb.Bound, ok bool) {
	for size := mostMM; size >= leastMM; size *= 0.86 {
		width, height := b.box(size)
		for i := range views {
			for _, turn := range []float64{0, -90} {
				w, h := width, height
				if turn != 0 {
					w, h = h, w
				}
				if at, ok := views[i].place(w, h); ok {
					return b.labels(at, size, turn), views[i].window, true
				}
			}
		}
	}
	return nil, orb.Bound{}, false
}

// beside is a name of one line above the shape, made as much smaller as it must
// to be whole in a window. It stays within its box, for beside that there may be
// another shape.
func (s Shape) beside(windows []Window) []Label {
	name := s.Labels[slices.IndexFunc(s.Labels, func(l Label) bool { return l.Line == 1 })]
	room := name.bound()
	for l := name; l.SizeMM >= leastMM; l.SizeMM *= 0.86 {
		for _, part := range []func(Window) orb.Bound{func(w Window) orb.Bound { return w.Clear }, func(w Window) orb.Bound { return w.Whole }} {
			box, least := l.bound(), math.Inf(1)
			for _, w := range windows {
				in := part(w)
				if box.Min[1] < in.Min[1] || box.Max[1] > in.Max[1] {
					continue
				}
				lo, hi := math.Max(in.Min[0], room.Min[0])-box.Min[0], math.Min(in.Max[0], room.Max[0])-box.Max[0]
				if x := math.Max(lo, math.Min(0, hi)); lo <= hi && math.Abs(x) < math.Abs(least) {
					least = x
				}
			}
			if !math.IsInf(least, 1) {
				l.At[0] += least
				return []Label{l}
			}
		}
	}
	return []Label{name}
}

func boxArea(b orb.Bound) float64 { return (b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1]) }
