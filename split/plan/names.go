package plan

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// CopyName names a copy of a piece in a sentence: "sleeve (left)", "cuff (2)",
// or just "front" for the only one.
func (d *Document) CopyName(piece string, copy int) string {
	side := ""
	for _, p := range d.Pieces {
		if p.Name == piece && p.Copy == copy {
			side = p.Side
		}
	}
	copies, onSide, at := 0, 0, 0
	for _, p := range d.Pieces {
		if p.Name != piece {
			continue
		}
		copies++
		if p.Side == side {
			onSide++
			if p.Copy <= copy {
				at++
			}
		}
	}
	switch {
	case copy == 0 || copies < 2 && side == "":
		return piece
	case side == "":
		return fmt.Sprintf("%s (%d)", piece, copy)
	case onSide > 1:
		return fmt.Sprintf("%s (%s, %d)", piece, side, at)
	}
	return fmt.Sprintf("%s (%s)", piece, side)
}

// ScrapName names one copy of a scrap: "sleeve (2)", or just "sleeve" where
// there is only one.
func (d *Document) ScrapName(name string, copy int) string {
	n := 0
	for _, s := range d.Scraps {
		if s.Name == name {
			n++
		}
	}
	if n > 1 {
		return fmt.Sprintf("%s (%d)", Plain(name), copy)
	}
	return Plain(name)
}

// Plain is a name from a file as one line of printable text: control
// characters, marks that turn the writing direction and broken UTF-8 are
// taken out, and white space becomes single blanks.
func Plain(s string) string {
	var b strings.Builder
	blank := false
	for _, r := range s {
		switch {
		case unicode.IsSpace(r):
			blank = b.Len() > 0
			continue
		case r == utf8.RuneError, unicode.IsControl(r), unicode.Is(unicode.Co, r), unicode.Is(unicode.Cs, r), r&0xfffe == 0xfffe:
			continue
		case unicode.Is(unicode.Cf, r) && r != '\u200c' && r != '\u200d':
			continue
		}
		if blank {
			b.WriteByte(' ')
			blank = false
		}
		b.WriteRune(r)
	}
	return b.String()
}
