package sheets

import (
	"errors"
	"fmt"
	"strings"
	"unicode"

	textfont "golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

// The pages are set in the Go typeface (Bigelow & Holmes, under Go's own
// open licence), which has Latin, Greek and Cyrillic letters.

type typeface struct {
	font, bold *sfnt.Font
	buf        sfnt.Buffer
}

func newTypeface() (*typeface, error) {
	f, err := sfnt.Parse(goregular.TTF)
	bold, err2 := sfnt.Parse(gobold.TTF)
	if err := errors.Join(err, err2); err != nil {
		return nil, fmt.Errorf("the typeface cannot be read: %w", err)
	}
	return &typeface{font: f, bold: bold}, nil
}

// width is how wide a text is set, in mm.
func (t *typeface) width(s string, sizeMM float64, strong bool) float64 {
	font := t.font
	if strong {
		font = t.bold
	}
	const perEm = 1000
	sum := 0.0
	for _, r := range s {
		if i, err := font.GlyphIndex(&t.buf, r); err == nil {
			advance, _ := font.GlyphAdvance(&t.buf, i, fixed.I(perEm), textfont.HintingNone)
			sum += float64(advance) / 64
		}
	}
	return sum / perEm * sizeMM
}

func (t *typeface) has(r rune) bool {
	i, err := t.font.GlyphIndex(&t.buf, r)
	return err == nil && i != 0
}

// print is a text in letters that the typeface has: a letter with a mark it
// lacks is printed without the mark, any other as a middle dot. ok is false
// when less than half of the letters can be printed.
func (t *typeface) print(s string) (text string, ok bool) {
	var b strings.Builder
	letters, lost := 0, 0
	for _, r := range norm.NFC.String(s) {
		if unicode.IsMark(r) && !t.has(r) {
			continue
		}
		if unicode.IsLetter(r) || unicode.IsNumber(r) {
			letters++
		}
		if t.has(r) {
			b.WriteRune(r)
			continue
		}
		plain := []rune(norm.NFD.String(string(r)))[0]
		if plain != r && t.has(plain) {
			b.WriteRune(plain)
			continue
		}
		lost++
		b.WriteRune('·')
	}
	return b.String(), 2*lost <= letters
}

var faces = map[string][]byte{"": goregular.TTF, "B": gobold.TTF}
