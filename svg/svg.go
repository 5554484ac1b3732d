// Package svg reads pattern pieces and scraps from SVG drawings, in true
// millimetres.
//
// Pattern gives the pieces of a drawing, checked and whole, with seam lines for
// outlines; ReadPattern gives them as they were drawn. ReadScraps gives scraps.
// Wishes gives the lines in which the drawing says what its maker wishes of a
// plan, as text. Every error is a *piece.Error, which says where the drawing is
// wrong and what to do about it.
//
// A drawing is read in four steps, each a file or two: the XML becomes a tree
// of elements (xml.go); the tree is followed as a viewer would paint it,
// through nested transforms, viewports, `use` and hidden layers (render.go);
// what each element is comes from its class, id or label (word.go); and the
// marked shapes are gathered, group by group, into pieces (gather.go,
// pattern.go) or scraps (scrap.go). Nothing here judges a piece's geometry:
// piece.Make does, once, and package allowance makes the seam line of a cutting
// line and trues darts. A scrap is checked where it is gathered.
//
// The grammar and the arithmetic follow Scalable Vector Graphics (SVG) 1.1
// (Second Edition), W3C Recommendation, 2011, and SVG 2, W3C Candidate
// Recommendation, 2018: path data (8.3), basic shapes, coordinate systems and
// units (7), arcs by the implementation notes F.6. Transforms written as a
// style follow CSS Transforms Module Level 1. A CSS pixel is 1/96 inch and an
// inch is 25.4 mm, both exactly. The numbers of clauses, here and beside the
// code and its tests, are from memory.
//
// A drawing program's output is trusted with nothing: the limits in limits.go
// hold for every file, and each has its own message.
package svg

import (
	"errors"
	"io"
	"strings"

	"eke/allowance"
	"eke/piece"
)

// Pattern reads a pattern: its pieces, checked and whole, in the order drawn.
// Their outlines are seam lines: where a cutting line was drawn the allowance
// is taken off, and the legs of darts are trued. Every join names a piece and
// an edge that exist, and is known to both of the edges it sews together. The
// file's name is for messages; an error is a *piece.Error.
func Pattern(r io.Reader, file string) ([]*piece.Piece, error) {
	drafts, err := ReadPattern(r, file)
	if err != nil {
		return nil, err
	}
	var pieces []*piece.Piece
	for _, d := range drafts {
		p, err := piece.Make(d)
		if err != nil {
			return nil, withUnread(err, d)
		}
		pieces = append(pieces, p)
	}
	if err := joinEdges(pieces); err != nil {
		return nil, err
	}
	for _, p := range pieces {
		allowance.TrueDarts(p)
	}
	return pieces, nil
}

// withUnread adds to what is wrong with a piece which of its shapes is almost named
// as a mark is: it may be the one that is missing.
func withUnread(err error, d piece.Draft) error {
	var wrong *piece.Error
	if !errors.As(err, &wrong) {
		return err
	}
	for _, note := range d.Notes {
		if said, own := strings.CutPrefix(note, d.Name+": "); own && strings.Contains(said, notAMark) {
			with := *wrong
			with.Cure += "; " + said
			return &with
		}
	}
	return err
}
