package split

import (
	"math"

	"eke/piece"

	"github.com/paulmach/orb"
)

// Frame turns a piece so that its grain runs down: levels are measured down
// the grain and across it, in mm, from the page's origin.
type Frame struct{ Down, Right orb.Point }

// FrameOf is the frame of a grain of that angle. Down is whichever way of the
// grain runs down the page, or to the right for a grain that lies flat.
func FrameOf(grainDeg float64) Frame {
	sin, cos := math.Sincos(grainDeg * math.Pi / 180)
	if sin < -1e-9 || (math.Abs(sin) <= 1e-9 && cos < 0) {
		sin, cos = -sin, -cos
	}
	return Frame{Down: orb.Point{cos, sin}, Right: orb.Point{sin, -cos}}
}

// At is the point that lies across and down from the origin.
func (f Frame) At(across, down float64) orb.Point {
	return orb.Point{across*f.Right[0] + down*f.Down[0], across*f.Right[1] + down*f.Down[1]}
}

// Place gives how far across and down a point lies.
func (f Frame) Place(q orb.Point) (across, down float64) {
	return q[0]*f.Right[0] + q[1]*f.Right[1], q[0]*f.Down[0] + q[1]*f.Down[1]
}

// Box is the extent of a ring across and down.
func (f Frame) Box(r orb.Ring) (lo, hi orb.Point) {
	lo, hi = orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
	for _, q := range r {
		a, d := f.Place(q)
		lo[0], lo[1] = min(lo[0], a), min(lo[1], d)
		hi[0], hi[1] = max(hi[0], a), max(hi[1], d)
	}
	return lo, hi
}

// Body is an outline under the knife, with what the ways to split need to
// know of the piece it belongs to.
type Body struct {
	Piece   *piece.Piece
	Outline piece.Outline
	Frame   Frame
	Ring    orb.Ring
	Lo, Hi  orb.Point // the ring's extent across and down

	drawn     []piece.Dart    // the piece's darts as they were before any was taken in
	drawnEyes []piece.FishEye // and those with two points
	turns     []turn          // by darts taken in, the latest last
}

// NewBody prepares an outline of a piece, whole or already cut.
func NewBody(p *piece.Piece, o piece.Outline) *Body {
	b := &Body{Piece: p, Outline: o, Frame: FrameOf(p.GrainDeg), Ring: o.Ring(), drawn: p.Darts, drawnEyes: p.FishEyes}
	b.Lo, b.Hi = b.Frame.Box(b.Ring)
	return b
}

// with is the body with another outline: a part of it.
func (b *Body) with(o piece.Outline) *Body {
	c := NewBody(b.Piece, o)
	c.drawn, c.drawnEyes, c.turns = b.drawn, b.drawnEyes, b.turns
	return c
}
