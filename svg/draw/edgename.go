package draw

import (
	"math"
	"slices"
	"strings"

	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// The type that says what an edge is, in mm.
const (
	edgeNameMM  = 3.6
	edgeLeastMM = 2.6
)

// nameEdge writes a text along an edge, inside it, where it fits.
func (s *Shape) nameEdge(space *freeSpace, e edge, text string) {
	length := e.path.Length()
	for size := edgeNameMM; text != "" && size >= edgeLeastMM; size *= 0.85 {
		width := Width(text, size)
		if width > 0.9*length {
			continue
		}
		for _, f := range []float64{0.5, 0.35, 0.65, 0.22, 0.78} {
			at, dir := e.path.At(f * length)
			turn := math.Atan2(dir[1], dir[0]) * 180 / math.Pi
			if turn > 90.01 || turn <= -89.99 {
				turn += 180 // never upside down
			}
			for _, gap := range []float64{1.6, 3, 5} {
				q := plane.Along(at, orb.Point{-dir[1], dir[0]}, gap+size/2)
				if !space.freeTurned(q, width, size, turn) {
					continue
				}
				s.Labels = append(s.Labels, Label{Text: text, At: q, SizeMM: size, TurnDeg: turn})
				space.addTurned(q, width, size, turn)
				return
			}
		}
	}
}

// edgeText is the edge's name and what it is sewn to, as much as can be said
// shortly: the part across a piecing seam, or the pieces it joins.
func edgeText(e *plan.Edge, seams []plan.PiecingSeam, p *plan.Part) string {
	name, to := plan.Plain(e.Name), []string{}
	if e.Seam != "" {
		name = ""
		for _, s := range seams {
			if s.Name == e.Seam && s.Piece == p.Piece && s.Copy == p.Copy {
				to = slices.DeleteFunc(slices.Clone(s.Parts), func(other string) bool { return other == p.Name })
			}
		}
	} else {
		for _, j := range e.Joins {
			other, edge, _ := strings.Cut(j, "/")
			if other == p.Piece {
				other = edge
			}
			to = append(to, other)
		}
	}
	for i := range to {
		to[i] = plan.Plain(to[i])
	}
	to = slices.Compact(to)
	switch {
	case len(to) == 0 || len(to) > 2:
		return name
	case name == "":
		return "to " + strings.Join(to, " and ")
	}
	return name + ", to " + strings.Join(to, " and ")
}

// turnedBox is the corners of a box of that size about a centre, turned clockwise.
func turnedBox(centre orb.Point, width, height, turnDeg float64) []orb.Point {
	sin, cos := math.Sincos(turnDeg * math.Pi / 180)
	var out []orb.Point
	for _, c := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		x, y := c[0]*width/2, c[1]*height/2
		out = append(out, orb.Point{centre[0] + x*cos - y*sin, centre[1] + x*sin + y*cos})
	}
	return out
}

// freeTurned reports whether a turned box, with some room about it, lies
// inside, clear of walls and boxes.
func (r *freeSpace) freeTurned(centre orb.Point, width, height, turnDeg float64) bool {
	if !r.inside(centre) {
		return false
	}
	// Everything is turned back about the centre, where the box is upright.
	sin, cos := math.Sincos(-turnDeg * math.Pi / 180)
	back := func(q orb.Point) orb.Point {
		x, y := q[0]-centre[0], q[1]-centre[1]
		return orb.Point{x*cos - y*sin, x*sin + y*cos}
	}
	half := orb.Point{width/2 + clearMM/2, height/2 + clearMM/2}
	box := orb.Bound{Min: plane.Scale(half, -1), Max: half}
	for _, w := range r.walls {
		if meets(box, [2]orb.Point{back(w[0]), back(w[1])}) {
			return false
		}
	}
	for _, b := range r.boxes {
		if b.Contains(centre) {
			return false
		}
		ring := b.ToRing()
		for i := 1; i < len(ring); i++ {
			if meets(box, [2]orb.Point{back(ring[i-1]), back(ring[i])}) {
				return false
			}
		}
	}
	return true
}

// addTurned takes a turned box out of the free space.
func (r *freeSpace) addTurned(centre orb.Point, width, height, turnDeg float64) {
	corners := turnedBox(centre, width, height, turnDeg)
	r.addWall(append(corners, corners[0]))
	r.addWall([]orb.Point{corners[0], corners[2]})
}
