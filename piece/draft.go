package piece

import (
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Draft is a piece as it was drawn, nothing checked yet. Paths are in mm on
// the page, y down.
type Draft struct {
	Name string
	File string
	// Bare is set for an outline with nothing else to it: no group of
	// marks, so its grain is taken as vertical.
	Bare bool

	Outline DraftLine // closed, the seam line or the cutting line
	// TakeOff takes the allowance off the outline of a piece that was drawn
	// as its cutting line. It is nil where Outline is the seam line.
	TakeOff func(*Piece) error

	Grains  []DraftLine
	Notches []DraftLine // a short line, or a point as a path of no length
	Darts   []DraftLine // leg, apex, leg; or closed: apex, wide, apex, wide
	Folds   []DraftLine
	Edges   []DraftEdge
	Levels  []DraftLine
	Keeps   []DraftLine

	Count       int // 0 means 1
	Mirrored    bool
	Side        string // left or right of the body, where the drawing says so
	Fabrics     []string
	Kind        string // "knit", "woven" or empty
	Use         string // "lining" or empty
	Lining      string // "yes", "no" or empty
	Optional    bool
	Ready       bool
	AllowanceMM float64 // negative means not given

	Notes []string // what the reader assumed
}

// DraftLine is a drawn line and what the file calls it, for messages.
type DraftLine struct {
	Element string // `path "seam-1"`
	Line    curve.Path
	Closed  bool
	Point   orb.Point // where Line has no segment: the point drawn
}

// DraftEdge is a line along the outline that names that stretch of it.
type DraftEdge struct {
	DraftLine
	Name        string
	AllowanceMM float64 // negative means the piece's own
	Joins       []Ref
	Ease        Ease
}

// Error says what is wrong with a drawn piece or scrap, where, and what to
// do about it.
type Error struct {
	File, Piece, Element string // Element is empty where the whole piece is meant
	Problem, Cure        string
}

func (e *Error) Error() string {
	s := e.File + ": "
	if e.Piece != "" {
		s += `"` + e.Piece + `"`
		if e.Element != "" {
			s += ", " + e.Element
		}
		s += ": "
	} else if e.Element != "" {
		s += e.Element + ": "
	}
	s += e.Problem
	if e.Cure != "" {
		s += "; " + e.Cure
	}
	return s
}

func (d *Draft) errorf(element, problem, cure string) error {
	return &Error{d.File, d.Name, element, problem, cure}
}
