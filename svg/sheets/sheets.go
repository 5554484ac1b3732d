// Package sheets prints shapes at true size on pages that are glued together:
// a PDF whose first page is a plan of how the pages lie, with a square to
// measure, and whose others each show a rectangle of one large drawing. On a
// roll that is one page the square lies among the shapes.
//
// Shapes are set by their outlines on a grid of pages so that few pages are
// touched, and kept upright unless turning one saves a page; neighbouring pages overlap by a
// strip with crosses on it that meet when one page lies right on the other.
// Pages that show nothing another page does not show are left out. Every
// measure is in mm. The same shapes give the same bytes.
package sheets

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"

	"eke/split/plan"
	"eke/svg/draw"
)

// DefaultMarginMM and DefaultOverlapMM suit home printers and a glue stick.
const (
	DefaultMarginMM  = 10
	DefaultOverlapMM = 12
)

// Options is how pages are made. The zero value is A4 printed to its edges,
// pages laid edge to edge.
type Options struct {
	Paper     Paper
	MarginMM  float64 // that nothing of the drawing is printed in
	OverlapMM float64 // that neighbouring pages share
}

// Summary says what was printed.
type Summary struct {
	Pages         int // the plan of the pages counted too
	Rows, Columns int
	Landscape     bool
	Turned        []string          // the shapes that do not stand upright
	Numbered      map[string]string // what is printed for names that the typeface cannot write
}

// Write prints the shapes on pages, as a PDF. It writes nothing when ctx ends
// before it is done, and gives the cause.
func Write(ctx context.Context, w io.Writer, title string, shapes []draw.Shape, o Options) (Summary, error) {
	if len(shapes) == 0 {
		return Summary{}, fmt.Errorf("there is nothing to print: no part or piece was given")
	}
	if o.Paper == (Paper{}) {
		o.Paper = papers["a4"]
	}
	if err := o.Validate(); err != nil {
		return Summary{}, err
	}
	title = plan.Plain(title)
	face, err := newTypeface()
	if err != nil {
		return Summary{}, err
	}
	s, onePage := spread{}, false
	if o.Paper.roll() {
		// One page of a roll needs no plan of the pages: what the cover says
		// beside that finds room among the shapes.
		all := append(slices.Clone(shapes), titled(face, title, shapes))
		if s = arrange(ctx, all, o, usual); len(s.pages) == 1 {
			shapes, onePage = all, true
		}
	}
	if !onePage {
		s = arrange(ctx, shapes, o, usual)
	}
	if ctx.Err() != nil {
		return Summary{}, context.Cause(ctx)
	}
	b, err := newBook(ctx, face, title, shapes, s, o)
	if err != nil {
		return Summary{}, err
	}
	if b.covers = 1; onePage {
		b.covers = 0
	} else {
		b.cover()
	}
	for i := range s.pages {
		if ctx.Err() != nil {
			return Summary{}, context.Cause(ctx)
		}
		b.page(i)
	}
	if err := b.pdf.Output(w); err != nil {
		return Summary{}, fmt.Errorf("the PDF cannot be written: %w", err)
	}
	sum := b.summary(shapes)
	sum.Pages += b.covers
	sum.Numbered = b.numbered
	return sum, nil
}

// Validate refuses a margin or an overlap that the paper has no room for.
func (o Options) Validate() error {
	width := o.Paper.WidthMM
	if h := o.Paper.HeightMM; h > 0 && h < width {
		width = h
	}
	const roomMM = 125 // the test square with what the lines mean beside it
	if o.MarginMM < 0 || width-2*o.MarginMM < roomMM {
		return fmt.Errorf("a margin of %g mm on paper %g mm wide: from 0 mm to %.0f mm is possible", o.MarginMM, width, math.Floor((width-roomMM)/2))
	}
	if room := width - 2*o.MarginMM; o.OverlapMM < 0 || o.OverlapMM > room/3 {
		return fmt.Errorf("an overlap of %g mm: from 0 mm to %.0f mm is possible on this paper", o.OverlapMM, math.Floor(room/3))
	}
	return nil
}
