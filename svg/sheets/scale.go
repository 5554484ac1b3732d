package sheets

import (
	"fmt"
	"io"

	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
)

// WriteScale prints a scale sheet: a page to lay among scraps when they are
// photographed.
func WriteScale(w io.Writer, p scalesheet.Paper) error {
	face, err := newTypeface()
	if err != nil {
		return err
	}
	b := &book{pdf: newPDF("eke scale sheet", p.WidthMM, p.HeightMM), face: face, spread: spread{paperW: p.WidthMM, paperH: p.HeightMM}}
	b.newPage(p.HeightMM)
	b.pdf.SetFillColor(0, 0, 0)
	for _, c := range scalesheet.Codes(p) {
		grid, err := c.Grid()
		if err != nil {
			return err
		}
		b.squares(grid, c.At, c.SideMM/scalesheet.Modules)
	}
	b.scaleWords(p)
	if err := b.pdf.Output(w); err != nil {
		return fmt.Errorf("the PDF cannot be written: %w", err)
	}
	return nil
}

// squares fills a code's black squares. Those side by side are one rectangle,
// so that no hairline shows between them.
func (b *book) squares(grid [scalesheet.Modules][scalesheet.Modules]bool, at orb.Point, side float64) {
	for y, row := range grid {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				b.pdf.Rect(at[0]+float64(from)*side, at[1]+float64(y)*side, float64(x-from)*side, side, "F")
			}
		}
	}
}

// scaleWords is what stands between the codes: what the sheet is for, and the
// square that proves its scale.
func (b *book) scaleWords(p scalesheet.Paper) {
	middle, y := p.WidthMM/2, p.HeightMM/2-52
	b.text("eke scale sheet", orb.Point{middle, y}, 7, 0, 0, true)
	for _, line := range []string{
		printAt,
		"Then measure the square: 50 mm each way, or this sheet is of no use.",
		"Lay it flat among the scraps, in the middle, all of it in the picture;",
		"with a second one, far from the first, the picture is truer.",
	} {
		y += 7
		b.text(line, orb.Point{middle, y}, 4, p.WidthMM-30, 0, false)
	}
	b.use(hairline)
	b.pdf.Rect(middle-testSquareMM/2, y+8, testSquareMM, testSquareMM, "D")
	b.text("50 mm", orb.Point{middle, y + 8 + testSquareMM/2 - 3}, 6, 0, 0, true)
	b.text("each way", orb.Point{middle, y + 8 + testSquareMM/2 + 4}, 4.5, 0, 0, false)
}
