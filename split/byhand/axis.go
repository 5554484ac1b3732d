package byhand

import (
	"math"

	"eke/split"

	"github.com/paulmach/orb"
)

// Axis is how a line's place is told on its copy, as it is drawn: in mm along Dir from
// what lies level with Zero.
type Axis struct{ Zero, Dir orb.Point }

// Axis is the one of this way on a copy.
func (p *Plan) Axis(copy int, w Way) Axis {
	b := p.given.bodies[copy]
	f, corner := b.Frame, b.Frame.At(b.Lo[0], b.Lo[1])
	switch w.split.Traits().Runs {
	case split.Across:
		return Axis{corner, f.Down}
	case split.Along:
		return Axis{corner, f.Right}
	}
	level := func(x, y float64) float64 { return w.split.LevelOf(b, orb.Point{corner[0] + x, corner[1] + y}) }
	here := level(0, 0)
	dir := orb.Point{level(1, 0) - here, level(0, 1) - here}
	long := math.Hypot(dir[0], dir[1])
	dir[0], dir[1] = dir[0]/long, dir[1]/long
	off := (w.origin(b) - here) / long
	return Axis{orb.Point{corner[0] + off*dir[0], corner[1] + off*dir[1]}, dir}
}

// AxisOf is the axis of a line. A shoulder seam that goes forward goes down on the
// front, and up on the back.
func (p *Plan) AxisOf(l Line) Axis {
	m, moved := p.movedBy(l.ID)
	switch {
	case !moved && l.Way.split == nil: // a shoulder seam where the pattern has it
		return Axis{}
	case !moved:
		return p.Axis(l.Copy, l.Way)
	}
	a := Axis{Dir: split.FrameOf(p.pieces[l.Copy].GrainDeg).Down}
	if m.from.Piece != p.pieces[l.Copy].Name {
		a.Dir = orb.Point{-a.Dir[0], -a.Dir[1]}
	}
	if len(l.Paths) > 0 {
		at := l.Paths[0].Bound().Center()
		a.Zero = orb.Point{at[0] - l.AtMM*a.Dir[0], at[1] - l.AtMM*a.Dir[1]}
	}
	return a
}
