// Package rest tells what a pile of scraps still gives: bias tape, the largest
// rectangle and the largest square.
//
// Everything that is told is laid on the cloth, as strips and rectangles that
// lie within its outlines and clear of its holes, and is measured from these. So
// there may be more in a pile than is told, and never less. Lengths are in mm.
package rest

import (
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// Gives is what the scraps of one fabric give.
type Gives struct {
	Fabric    string
	Scraps    int
	AreaMM2   float64
	Tape      Tape
	Rectangle Rectangle
	Square    Rectangle
	// Continuous is the tape that the largest square gives cut as one strip from a
	// tube, in one piece.
	ContinuousMM float64
}

// Measured is what one scrap gives by itself.
type Measured struct {
	scrap     *piece.Scrap
	slants    [2][]Strip
	rectangle Rectangle
	square    Rectangle
}

// Measure lays tape of that width, a rectangle and a square on a scrap.
func Measure(s *piece.Scrap, widthMM float64) *Measured {
	c := newCloth(s)
	return &Measured{s, c.tapes(widthMM), c.rectangle(), c.square()}
}

// Of is what each fabric of some scraps gives, in their order. Tape is as wide as
// it was when they were measured.
func Of(pile []*Measured, widthMM float64) []Gives {
	var out []Gives
	at := map[string]int{}
	var tapes [][]*Measured
	for _, m := range pile {
		fabric := FabricOf(m.scrap)
		key := strings.ToLower(fabric)
		k, known := at[key]
		if !known {
			k = len(out)
			at[key] = k
			out, tapes = append(out, Gives{Fabric: fabric}), append(tapes, nil)
		}
		n := max(1, m.scrap.Count)
		g := &out[k]
		g.Scraps += n
		g.AreaMM2 += float64(n) * m.scrap.AreaMM2()
		tapes[k] = append(tapes[k], m)
		for _, r := range []Rectangle{m.rectangle, m.square} { // the search for one may miss the other
			if r.area() > g.Rectangle.area() {
				g.Rectangle = r
			}
		}
		if m.square.LengthMM > g.Square.LengthMM {
			g.Square = m.square
		}
	}
	for k := range out {
		out[k].Tape = best(tapes[k])
		out[k].ContinuousMM = continuousMM(out[k].Square.LengthMM, widthMM)
	}
	return out
}

// FabricOf is what a scrap is of: its fabric, or what its name says.
func FabricOf(s *piece.Scrap) string {
	if f := strings.TrimSpace(s.Fabric); f != "" {
		return f
	}
	return piece.FabricOfName(s.Name)
}

// Document is what is given, as plan.json has it.
func Document(all []Gives) []plan.Gives {
	var out []plan.Gives
	for _, g := range all {
		d := plan.Gives{Fabric: g.Fabric, AreaMM2: g.AreaMM2, TapeMM: g.Tape.LengthMM(), Strips: len(g.Tape.Strips), Joins: g.Tape.Joins(), ContinuousMM: g.ContinuousMM}
		d.RectangleMM = [2]float64{g.Rectangle.LengthMM, g.Rectangle.WidthMM}
		d.SquareMM, d.RectangleOn, d.SquareOn = g.Square.LengthMM, g.Rectangle.Scrap, g.Square.Scrap
		out = append(out, d)
	}
	return out
}

// cloth is a scrap turned so that its grain runs down the page.
type cloth struct {
	scrap *piece.Scrap
	turn  float64 // in degrees, that it was turned by
	rings []orb.Ring
	sides [][2]orb.Point
}

func newCloth(s *piece.Scrap) *cloth {
	c := &cloth{scrap: s, turn: 90 - s.GrainDeg}
	for _, r := range append([]orb.Ring{s.Outline}, s.Holes...) {
		c.rings = append(c.rings, turned(r, c.turn))
	}
	c.sides = sidesOf(c.rings)
	return c
}

func sidesOf(rings []orb.Ring) (sides [][2]orb.Point) {
	for _, r := range rings {
		for i, a := range r {
			sides = append(sides, [2]orb.Point{a, r[(i+1)%len(r)]})
		}
	}
	return sides
}

// turned is a ring turned clockwise about the origin.
func turned(r orb.Ring, deg float64) orb.Ring {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	out := make(orb.Ring, len(r))
	for i, q := range r {
		out[i] = orb.Point{cos*q[0] - sin*q[1], sin*q[0] + cos*q[1]}
	}
	return out
}

// holds reports whether a place is on the cloth, and not in a hole.
func holds(rings []orb.Ring, q orb.Point) bool {
	for i, r := range rings {
		if plane.Holds(r, q) != (i == 0) {
			return false
		}
	}
	return true
}

// run is a stretch along a lane.
type run struct{ from, to float64 }

// free is where a lane, the stripe from x = left to x = right, is cloth all the
// way across: stretches along y. No side of the cloth passes through them.
func free(rings []orb.Ring, sides [][2]orb.Point, left, right float64) []run {
	const touchMM = 1e-9
	var taken []run
	for _, s := range sides {
		a, b := s[0], s[1]
		if a[0] > b[0] {
			a, b = b, a
		}
		if b[0] <= left+touchMM || a[0] >= right-touchMM {
			continue
		}
		at := func(x float64) float64 { return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0]) }
		ya, yb := a[1], b[1]
		if a[0] < left {
			ya = at(left)
		}
		if b[0] > right {
			yb = at(right)
		}
		taken = append(taken, run{math.Min(ya, yb), math.Max(ya, yb)})
	}
	slices.SortFunc(taken, func(p, q run) int {
		switch {
		case p.from < q.from:
			return -1
		case p.from > q.from:
			return 1
		}
		return 0
	})
	var out []run
	for i := 0; i < len(taken); {
		end := taken[i].to
		k := i + 1
		for k < len(taken) && taken[k].from <= end {
			end = math.Max(end, taken[k].to)
			k++
		}
		if k < len(taken) && holds(rings, orb.Point{(left + right) / 2, (end + taken[k].from) / 2}) {
			out = append(out, run{end, taken[k].from})
		}
		i = k
	}
	return out
}

// Alike is how many scraps like it there are.
func (m *Measured) Alike() int { return max(1, m.scrap.Count) }
