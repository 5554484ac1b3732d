// Package scalesheet says what is printed on a scale sheet: a page that lies
// among scraps when they are photographed, so that the picture's scale and
// perspective can be worked out. Each of its QR codes says in words which
// paper it is on and where it stands there.
package scalesheet

import (
	"fmt"
	"strings"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/paulmach/orb"
)

// Paper is a size of paper, upright.
type Paper struct {
	Name              string
	WidthMM, HeightMM float64
}

// Papers are the sizes that a sheet may have: ISO 216's A4, and the letter
// size of ANSI/ASME Y14.1.
var Papers = []Paper{{"a4", 210, 297}, {"letter", 215.9, 279.4}}

// ParsePaper reads a paper's name.
func ParsePaper(name string) (Paper, error) {
	for _, p := range Papers {
		if strings.EqualFold(p.Name, strings.TrimSpace(name)) {
			return p, nil
		}
	}
	return Paper{}, fmt.Errorf("paper %q is no size of a scale sheet; choose a4 or letter", name)
}

// Modules is how many squares a code has each way: a QR code of version 1
// (ISO/IEC 18004, from memory).
const Modules = 21

// Code is one of a sheet's QR codes.
type Code struct {
	Paper  Paper
	At     orb.Point // its top left corner in mm, from that of the paper
	SideMM float64
}

const (
	moduleMM = 3.0
	sideMM   = Modules * moduleMM
	edgeMM   = 14.0 // from the paper's edge: wider than what printers leave white, and than the four modules that a code wants round it
)

// Codes is the codes of a sheet: one in each corner of the paper.
func Codes(p Paper) []Code {
	var out []Code
	for _, y := range []float64{edgeMM, p.HeightMM - edgeMM - sideMM} {
		for _, x := range []float64{edgeMM, p.WidthMM - edgeMM - sideMM} {
			out = append(out, Code{Paper: p, At: orb.Point{x, y}, SideMM: sideMM})
		}
	}
	return out
}

// first is what each code's text begins with: whose it is, and the form of
// what follows.
const first = "EKE1"

// Text is what the code says: its paper, its place and its side, in tenths of
// a millimetre. It keeps to the letters that QR codes write shortest.
func (c Code) Text() string {
	return fmt.Sprintf("%s %s %.0f %.0f %.0f", first, strings.ToUpper(c.Paper.Name[:1]), 10*c.At[0], 10*c.At[1], 10*c.SideMM)
}

// Parse reads what a code says. One that is not on a scale sheet gives false.
func Parse(text string) (Code, bool) {
	for _, p := range Papers {
		for _, c := range Codes(p) {
			if c.Text() == text {
				return c, true
			}
		}
	}
	return Code{}, false
}

// Grid is the code's squares, row by row; true is black.
func (c Code) Grid() ([Modules][Modules]bool, error) {
	var out [Modules][Modules]bool
	m, err := qrcode.NewQRCodeWriter().Encode(c.Text(), gozxing.BarcodeFormat_QR_CODE, 0, 0, map[gozxing.EncodeHintType]any{
		gozxing.EncodeHintType_MARGIN:           0,
		gozxing.EncodeHintType_ERROR_CORRECTION: "M",
	})
	if err != nil {
		return out, fmt.Errorf("the code %q cannot be made: %w", c.Text(), err)
	}
	if m.GetWidth() != Modules || m.GetHeight() != Modules {
		return out, fmt.Errorf("the code %q takes %d squares each way, not %d", c.Text(), m.GetWidth(), Modules)
	}
	for y := range out {
		for x := range out[y] {
			out[y][x] = m.Get(x, y)
		}
	}
	return out, nil
}
