// Package placing works out how the parts of a plan are laid on a scrap with a
// tape measure, without printing: for three corners of each part how far they
// are from two straight edges of the scrap, or from two of its corners.
//
// Everything comes from the plan.Document. Distances are in mm and exact; what
// is printed of them is rounded by the unit they are shown in.
package placing

import (
	"math"
	"slices"

	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// Sheet is how the parts on one scrap are placed.
type Sheet struct {
	Scrap   int    // of the document's scraps
	Corners []Mark // of the scrap, in the order in which they are named
	// Edges are the two straight edges that are measured from, square to
	// them, each from one of Corners to another. All the scrap lies on the
	// right of the way. A scrap with no two such edges has none, and its
	// parts are measured from corners.
	Edges [][2]int
	// Smooth is set where the scrap has no corners either: those named are
	// places on its outline that nothing but a picture shows.
	Smooth bool
	Parts  []Part
}

// Mark is a named place on a scrap, in the scrap's coordinates.
type Mark struct {
	Name string
	At   orb.Point
}

// Part is where one part lies.
type Part struct {
	Part int // of the option's parts
	// From are the two of the sheet's Corners that it is measured from, where
	// that has no Edges. It lies on the right of the way from the first to the
	// second.
	From    [2]int
	Corners [3]Corner
}

// Corner is a corner of a part's cutting line, and how far it is from the
// sheet's two edges, or from the part's two corners of the scrap.
type Corner struct {
	Mark
	MM [2]float64
}

// What a maker can measure from. (Common practice, no source.)
const (
	leastEdgeMM    = 30.0 // a shorter edge gives no direction
	leastEdgeShare = 0.4  // of the scrap's extent along it; beyond its ends it must be thought on
	straightMM     = 0.5  // an edge that bends less is straight
	overMM         = 0.5  // as much of the scrap may lie beyond an edge
	cornerDeg      = 25.0 // a smaller turn is no corner to be seen
	squareDeg      = 60.0 // edges that meet at less tell two distances badly apart
	clearMM        = 5.0  // a corner of a part nearer to the line between two corners may be on either side of it
)

// Sheets are the sheets of an option, one for each scrap that it still cuts into,
// in the order of the document's scraps. option counts from 0.
func Sheets(d *plan.Document, option int) []Sheet {
	var out []Sheet
	o := &d.Options[option]
	for i := range d.Scraps {
		s := &d.Scraps[i]
		var parts []int
		for k, p := range o.Parts {
			if p.Scrap == s.Name && p.ScrapCopy == s.Copy && !p.IsCut {
				parts = append(parts, k)
			}
		}
		if len(parts) > 0 {
			out = append(out, sheet(o, i, ringOf(s.Outline), parts))
		}
	}
	return out
}

func sheet(o *plan.Option, scrap int, outline orb.Ring, parts []int) Sheet {
	s := Sheet{Scrap: scrap}
	first, second, ok := twoEdges(outline)
	if ok {
		for _, e := range [][2]orb.Point{first, second} {
			s.Edges = append(s.Edges, [2]int{s.mark(e[0]), s.mark(e[1])})
		}
	}
	bases, seen := corners(outline)
	s.Smooth = !ok && !seen
	for _, k := range parts {
		p := &o.Parts[k]
		cut := ringOf(p.CutLine)
		for i := range cut {
			cut[i] = apply(p.Placement, cut[i])
		}
		if ok {
			s.Parts = append(s.Parts, s.fromEdges(k, cut))
		} else {
			s.Parts = append(s.Parts, s.fromCorners(k, cut, bases))
		}
	}
	return s
}

// mark is the index of the corner at a place, which is named if it is new.
func (s *Sheet) mark(at orb.Point) int {
	const same = 0.5
	for i, m := range s.Corners {
		if plane.Distance(m.At, at) < same {
			return i
		}
	}
	// From P on: the alphabet's first letters are piecing seams.
	s.Corners = append(s.Corners, Mark{letter(int('P'-'A') + len(s.Corners)), at})
	return len(s.Corners) - 1
}

// letter is A to Z, then AA and so on.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// fromEdges measures three well-spread corners of a part, square to the edges.
func (s *Sheet) fromEdges(k int, cut orb.Ring) Part {
	p := Part{Part: k}
	best := -1.0
	marks, _ := corners(cut)
	eachThree(len(marks), func(i, j, l int) {
		if area := math.Abs(plane.Cross(plane.Sub(marks[j], marks[i]), plane.Sub(marks[l], marks[i]))); area > best {
			best = area
			p.Corners = named(marks[i], marks[j], marks[l])
		}
	})
	for i := range p.Corners {
		for e, edge := range s.Edges {
			a, b := s.Corners[edge[0]].At, s.Corners[edge[1]].At
			p.Corners[i].MM[e] = plane.Cross(plane.Sub(b, a), plane.Sub(p.Corners[i].At, a)) / plane.Distance(a, b)
		}
	}
	return p
}

// fromCorners measures three corners of a part from two corners of the scrap,
// so chosen that the tapes cross as squarely as may be and that the three are
// well spread.
func (s *Sheet) fromCorners(k int, cut orb.Ring, bases []orb.Point) Part {
	var p Part
	var from [2]orb.Point
	best := -1.0
	marks, _ := corners(cut)
	for _, a := range bases {
		for _, b := range bases {
			// How squarely the tapes cross at each mark; 0 on the wrong side.
			square := make([]float64, len(marks))
			for i, q := range marks {
				u, v := plane.Sub(a, q), plane.Sub(b, q)
				if side := plane.Cross(plane.Sub(b, a), plane.Sub(q, a)); side > clearMM*plane.Distance(a, b) {
					square[i] = math.Min(math.Sin(squareDeg*math.Pi/180), plane.Cross(u, v)/(math.Hypot(u[0], u[1])*math.Hypot(v[0], v[1])))
				}
			}
			eachThree(len(marks), func(i, j, l int) {
				spread := math.Sqrt(math.Abs(plane.Cross(plane.Sub(marks[j], marks[i]), plane.Sub(marks[l], marks[i]))))
				if score := spread * math.Pow(math.Min(square[i], math.Min(square[j], square[l])), 3); score > best*(1+1e-9) {
					best = score
					p = Part{Part: k, Corners: named(marks[i], marks[j], marks[l])}
					for c := range p.Corners {
						p.Corners[c].MM = [2]float64{plane.Distance(p.Corners[c].At, a), plane.Distance(p.Corners[c].At, b)}
					}
					from = [2]orb.Point{a, b}
				}
			})
		}
	}
	p.From = [2]int{s.mark(from[0]), s.mark(from[1])}
	return p
}

func named(a, b, c orb.Point) [3]Corner {
	return [3]Corner{{Mark: Mark{"a", a}}, {Mark: Mark{"b", b}}, {Mark: Mark{"c", c}}}
}

// twoEdges are the two straight edges of an outline, clockwise, that all of it
// lies on one side of, that are long, and nearest to square with each other.
func twoEdges(outline orb.Ring) (first, second [2]orb.Point, ok bool) {
	edges := straight(outline)
	best := 0.0
	for i, e := range edges {
		for _, f := range edges[i+1:] {
			u, v := plane.Sub(e[1], e[0]), plane.Sub(f[1], f[0])
			le, lf := math.Hypot(u[0], u[1]), math.Hypot(v[0], v[1])
			sin := math.Abs(plane.Cross(u, v)) / (le * lf)
			if sin < math.Sin(squareDeg*math.Pi/180) {
				continue
			}
			if score := math.Min(le, lf) * sin; score > best {
				best, first, second, ok = score, e, f, true
			}
		}
	}
	return first, second, ok
}

// straight are the straight edges of an outline that a maker can measure from.
func straight(outline orb.Ring) (out [][2]orb.Point) {
	points := simplified(outline, straightMM)
	for i, a := range points {
		b := points[(i+1)%len(points)]
		l := plane.Distance(a, b)
		within, lo, hi := true, 0.0, l
		for _, q := range outline {
			v := plane.Sub(q, a)
			along := ((b[0]-a[0])*v[0] + (b[1]-a[1])*v[1]) / l
			within, lo, hi = within && plane.Cross(plane.Sub(b, a), v) > -overMM*l, math.Min(lo, along), math.Max(hi, along)
		}
		if within && l >= math.Max(leastEdgeMM, leastEdgeShare*(hi-lo)) {
			out = append(out, [2]orb.Point{a, b})
		}
	}
	return out
}

// corners are the corners of an outline, the most spread ones of many; of an
// outline where fewer than three are to be seen, places on it that are far
// apart.
func corners(outline orb.Ring) (found []orb.Point, seen bool) {
	const most, few = 10, 6
	points := simplified(outline, 2*straightMM)
	for i, q := range points {
		u, v := plane.Sub(q, points[(i+len(points)-1)%len(points)]), plane.Sub(points[(i+1)%len(points)], q)
		if math.Abs(plane.TurnDeg(u, v)) >= cornerDeg {
			found = append(found, q)
		}
	}
	if len(found) < 3 {
		return farApart(outline, few), false
	}
	return farApart(found, most), true
}

// farApart is so many of the points, each as far as may be from those before
// it, in the order they had.
func farApart(points []orb.Point, most int) []orb.Point {
	if len(points) <= most {
		return points
	}
	centre := orb.MultiPoint(points).Bound().Center()
	away := make([]float64, len(points))
	for i, q := range points {
		away[i] = plane.Distance(q, centre)
	}
	var chosen []int
	for len(chosen) < most {
		far := 0
		for i := range points {
			if away[i] > away[far]+1e-9 {
				far = i
			}
		}
		for i, q := range points {
			d := plane.Distance(q, points[far])
			if len(chosen) == 0 || d < away[i] {
				away[i] = d
			}
		}
		chosen = append(chosen, far)
	}
	slices.Sort(chosen)
	var out []orb.Point
	for _, i := range chosen {
		out = append(out, points[i])
	}
	return out
}
