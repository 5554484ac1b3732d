package main

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"eke/cmd/words"

	"golang.org/x/text/width"
)

// grid is a table for the terminal, its columns as wide as they need to be
// and the whole within 80 columns.
type grid struct{ rows [][]string }

const gridColumns = 80

func newGrid(head ...string) *grid { return &grid{rows: [][]string{head}} }

func (g *grid) add(cells ...string) {
	row := make([]string, len(cells))
	for i, c := range cells {
		row[i] = words.Plain(c)
	}
	g.rows = append(g.rows, row)
}

// print writes the table. Where it would be too wide, the widest column gives
// way and its cells go on in the next line: of names that begin alike none is cut.
func (g *grid) print(w io.Writer) error {
	widths := make([]int, len(g.rows[0]))
	for _, r := range g.rows {
		for i, c := range r {
			widths[i] = max(widths[i], columns(c))
		}
	}
	const between = 2
	for {
		total, widest := between*(len(widths)-1), 0
		for i, n := range widths {
			total += n
			if n > widths[widest] {
				widest = i
			}
		}
		if total <= gridColumns {
			break
		}
		widths[widest]--
	}
	var b strings.Builder
	for _, r := range g.rows {
		cells := make([][]string, len(r))
		lines := 1
		for i, c := range r {
			cells[i] = folded(c, widths[i])
			lines = max(lines, len(cells[i]))
		}
		for k := range lines {
			line := ""
			for i, c := range cells {
				text := ""
				if k < len(c) {
					text = c[k]
				}
				line += text + strings.Repeat(" ", max(0, widths[i]-columns(text))+between)
			}
			b.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// folded is a text in lines of at most so many columns: broken at its spaces, or after a
// hyphen or a stroke, or in the midst of a word that is longer than a line.
func folded(s string, most int) (out []string) {
	for columns(s) > most {
		fits, at := 0, 0 // bytes: as many as fit, and up to where it is best broken
		wide := 0
		for i, r := range s {
			if wide += columnsOf(r); wide > most {
				if r == ' ' {
					at = i
				}
				break
			}
			fits = i + utf8.RuneLen(r)
			if r == ' ' || r == '-' || r == '/' {
				at = fits
			}
		}
		if at == 0 {
			at = fits
		}
		if at == 0 { // one letter is wider than that
			_, at = utf8.DecodeRuneInString(s)
		}
		out = append(out, strings.TrimRight(s[:at], " "))
		if s = strings.TrimLeft(s[at:], " "); s == "" {
			return out
		}
	}
	return append(out, s)
}

// shorten cuts a text to so many columns, and says so with three dots.
func shorten(s string, most int) string {
	if columns(s) <= most {
		return s
	}
	out := ""
	for _, r := range s {
		if columns(out)+columnsOf(r) > most-1 {
			break
		}
		out += string(r)
	}
	return out + "…"
}

// columns is how many columns of a terminal a text takes.
func columns(s string) (n int) {
	for _, r := range s {
		n += columnsOf(r)
	}
	return n
}

func columnsOf(r rune) int {
	if unicode.In(r, unicode.Mn, unicode.Me) {
		return 0 // an accent of its own
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// wrapped is text in lines of at most 80 columns.
func wrapped(s string) string {
	var b strings.Builder
	at := 0
	for i, word := range strings.Fields(s) {
		word = words.Plain(word)
		n := columns(word)
		switch {
		case i == 0:
		case at+1+n > gridColumns:
			b.WriteString("\n")
			at = 0
		default:
			b.WriteString(" ")
			at++
		}
		b.WriteString(word)
		at += n
	}
	return b.String()
}
