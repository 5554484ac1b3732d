// Package piece is what a maker works with: pattern pieces, their named
// edges, notches and darts, the joins between them, and scraps of cloth.
//
// A Draft is a piece as it was drawn. Make checks it, once, and gives a Piece,
// or an *Error that says where the drawing is wrong and what to do about it. A
// Piece is whole: one drawn on the fold is unfolded, for a scrap is a single
// layer. Its outline is the seam line, closed, cut into edges that run clockwise
// on the page. Everything after may rely on that; nothing else in eke validates
// a piece again. A Piece or a Scrap with a Count stands for that many copies,
// until somebody makes them. A Scrap has no such door here: its readers (package
// svg and piece/scraps) check it.
//
// A Rule says which piece may be cut from which scrap.
//
// Lengths are in mm; x is to the right, y down; angles are in degrees clockwise
// from +x.
package piece

import (
	"fmt"
	"math"
	"slices"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// DefaultAllowanceMM is the seam allowance of an edge whose piece gives none.
const DefaultAllowanceMM = 10

// Piece is one whole pattern piece, seam line outermost.
type Piece struct {
	Name      string
	File      string  // where it was drawn, for messages
	Outline   Outline // the seam line
	GrainDeg  float64
	Darts     []Dart
	FishEyes  []FishEye
	Levels    []curve.Path // a seam is welcome along these
	Keeps     []Keep
	Centre    *Axis     // the fold it was unfolded about; nil if it had none
	SeamEnds  []SeamEnd // of a copy that is a band, cuff or facing: where seams of the garment meet it
	Stretches []Stretch // of a copy that is one: of its edges that go round several others

	Count    int // how many are cut
	Mirrored bool
	Fabrics  []string // any of these; none means any cloth
	Kind     string   // "knit", "woven" or empty: what it may be cut from
	Use      string   // "lining" for a piece of the lining, or empty
	Lining   string   // "no" for a piece that is not lined, "yes" for one that is whatever its name says, or empty

	Optional bool // cut where there is room once all others are
	Ready    bool // cut already: it takes no cloth, and stays as it is

	Look    string       // that a part is to be of, by a wish; empty for any
	Stripes *StripePlace // where stripes are to run on it, by a wish; nil for anywhere
	Rest    string       // what it is of a piece that is cut in part, and so unlike its other copies; empty for all of one

	Copy    int  // 1, 2, … among its Count
	Flipped bool // a mirror image of what was drawn

	// Side is left or right, as worn: of a piece that of what was drawn, where
	// the pattern says so, and of a copy its own, where it can be known.
	Side     string
	SideCopy int       // 1, 2, … of a copy among those on its side, 0 for the only one
	Across   [2]string // what the parts to the left and right of a lengthwise seam are called; empty for just that

	Notes    []string // what the reader assumed
	Warnings []string // what cannot be sewn well as it was drawn
}

// Outline is a closed seam line as edges in order, clockwise on the page:
// each starts where the one before ends.
type Outline []Edge

// Edge is a stretch of an outline with one name and one seam allowance.
type Edge struct {
	Name        string // "shoulder"; empty for an unnamed stretch
	Line        curve.Path
	AllowanceMM float64
	Joins       []Ref   // the edges it is sewn to
	Ease        Ease    // by how much it may differ from them
	Seam        string  // the piecing seam it is one side of; empty for an edge that was drawn
	From        string  // the piece that a moved seam brought it from
	Reflected   bool    // on the half that the fold mirrored
	Notches     []Notch // in order along Line
}

// MidLineDeg is by how much an outline turns at most where an edge ends in the midst of a
// line, as that of a bib on the top of a band: more is a corner. (Judgement, no source.)
const MidLineDeg = 20.0

// Notch is a mark across an edge.
type Notch struct {
	AtMM  float64 // along the edge's line
	Count int     // 1 single, 2 double, 3 triple
	For   string  // what it matches: a piecing seam's letter, or empty for a notch that was drawn
}

// Ref names an edge of a piece, as in `back/shoulder`.
type Ref struct{ Piece, Edge string }

func (r Ref) String() string { return r.Piece + "/" + r.Edge }

// Dart is two legs that end on the outline, and the apex where they meet.
type Dart struct {
	Leg1, Apex, Leg2 orb.Point
	Seam             string // the piecing seam that it opens on; empty for one that was drawn
}

// Stretch is the bit of an edge that is sewn to one of several edges in a row.
type Stretch struct {
	Edge         int // of the outline
	FromMM, ToMM float64
	To           Ref
	Copy         int // of that piece
}

// SeamEnd is where a seam of the garment, as the shoulder seam, ends at an edge
// that another piece is sewn to.
type SeamEnd struct {
	Seam string
	At   orb.Point // on that piece
}

// ring is the triangle between the legs and the mouth.
func (d Dart) ring() orb.Ring { return orb.Ring{d.Leg1, d.Apex, d.Leg2, d.Leg1} }

// Keep is a zone (Closed) or a line that no piecing seam may cross.
type Keep struct {
	Line   curve.Path
	Closed bool
}

// Axis is a straight line through A and B.
type Axis struct{ A, B orb.Point }

// SewnToItself reports whether a seam closes the piece to a tube, as a sleeve's underarm
// or a leg's inseam.
func (p *Piece) SewnToItself() bool {
	return slices.ContainsFunc(p.Outline, func(e Edge) bool {
		return slices.ContainsFunc(e.Joins, func(r Ref) bool { return r.Piece == p.Name })
	})
}

// ID names one copy of a piece in a sentence: "left sleeve", "cuff 2", or just
// "front" for the only one.
func (p *Piece) ID() string {
	switch {
	case p.Count <= 1:
		return p.Name
	case p.Side == "":
		return fmt.Sprintf("%s %d", p.Name, p.Copy)
	case p.SideCopy > 0:
		return fmt.Sprintf("%s %s %d", p.Side, p.Name, p.SideCopy)
	}
	return p.Side + " " + p.Name
}

// CopyName names one copy of a piece as its parts and their files are named:
// "sleeve-left", "cuff-2", or just "front" for the only one.
func (p *Piece) CopyName() string {
	switch {
	case p.Count <= 1:
		return p.Name
	case p.Side == "":
		return fmt.Sprintf("%s-%d", p.Name, p.Copy)
	case p.SideCopy > 0:
		return fmt.Sprintf("%s-%s-%d", p.Name, p.Side, p.SideCopy)
	}
	return p.Name + "-" + p.Side
}

// Ring is the outline as points, without a closing repeat, within
// curve.FlattenMM of the seam line.
func (o Outline) Ring() orb.Ring {
	var ring orb.Ring
	for _, e := range o {
		points := e.Line.Flatten(curve.FlattenMM)
		ring = append(ring, points[:len(points)-1]...)
	}
	return ring
}

// Path is the outline as one closed path.
func (o Outline) Path() curve.Path {
	var p curve.Path
	for _, e := range o {
		p = append(p, e.Line...)
	}
	return p
}

// Length is the arc length round the outline in mm.
func (o Outline) Length() float64 {
	var sum float64
	for _, e := range o {
		sum += e.Line.Length()
	}
	return sum
}

// Transform applies m. A matrix that mirrors also turns the outline round, so
// that it still runs clockwise.
func (o Outline) Transform(m curve.Matrix) Outline {
	mirrors := m[0]*m[3]-m[1]*m[2] < 0
	out := make(Outline, len(o))
	for i, e := range o {
		e.Line = e.Line.Transform(m)
		if mirrors {
			e = e.Reverse()
			out[len(o)-1-i] = e
		} else {
			e.Notches = append([]Notch(nil), e.Notches...)
			out[i] = e
		}
	}
	return out
}

// Reverse is the edge drawn the other way, its notches where they were.
func (e Edge) Reverse() Edge {
	length := e.Line.Length()
	notches := make([]Notch, len(e.Notches))
	for i, n := range e.Notches {
		n.AtMM = math.Max(0, length-n.AtMM)
		notches[len(notches)-1-i] = n
	}
	e.Line, e.Notches = e.Line.Reverse(), notches
	return e
}

// Between is the stretch of the edge from from to to, in mm along it, with
// the notches that lie on it.
func (e Edge) Between(from, to float64) Edge {
	var notches []Notch
	for _, n := range e.Notches {
		if n.AtMM >= from-1e-6 && n.AtMM <= to+1e-6 {
			n.AtMM = math.Max(0, math.Min(n.AtMM, to)-from)
			notches = append(notches, n)
		}
	}
	e.Line, e.Notches = e.Line.Between(from, to), notches
	return e
}

// Edge finds the edges of that name, in order along the outline: one, or two
// where the piece was unfolded.
func (o Outline) Edge(name string) []int {
	var at []int
	for i, e := range o {
		if e.Name == name {
			at = append(at, i)
		}
	}
	return at
}

// Copies is every copy that is cut, mirror images last. Copies of a piece
// that is not mirrored share its outline.
func (p *Piece) Copies() []*Piece {
	n := max(1, p.Count)
	out := make([]*Piece, n)
	for i := range out {
		c := *p
		c.Copy = i + 1
		if p.Mirrored && i >= n/2 {
			c.mirror()
		}
		out[i] = &c
	}
	return out
}

// mirror flips the piece about a line along its grain through its middle.
func (p *Piece) mirror() {
	mid := p.Outline.Ring().Bound().Center()
	sin, cos := math.Sincos(p.GrainDeg * math.Pi / 180)
	m := curve.Mirror(mid, orb.Point{mid[0] + cos, mid[1] + sin})
	p.Outline = p.Outline.Transform(m)
	p.Darts = transformDarts(p.Darts, m)
	p.FishEyes = transformFishEyes(p.FishEyes, m)
	p.Levels = transformPaths(p.Levels, m)
	p.Keeps = transformKeeps(p.Keeps, m)
	if p.Centre != nil {
		p.Centre = &Axis{m.Apply(p.Centre.A), m.Apply(p.Centre.B)}
	}
	p.Flipped = !p.Flipped
}

func transformDarts(darts []Dart, m curve.Matrix) []Dart {
	var out []Dart
	for _, d := range darts {
		out = append(out, Dart{m.Apply(d.Leg1), m.Apply(d.Apex), m.Apply(d.Leg2), d.Seam})
	}
	return out
}

func transformPaths(paths []curve.Path, m curve.Matrix) []curve.Path {
	var out []curve.Path
	for _, p := range paths {
		out = append(out, p.Transform(m))
	}
	return out
}

func transformKeeps(keeps []Keep, m curve.Matrix) []Keep {
	var out []Keep
	for _, k := range keeps {
		out = append(out, Keep{k.Line.Transform(m), k.Closed})
	}
	return out
}
