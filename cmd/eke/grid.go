package main

import (
	"io"
	"strings"
	"unicode"

	"eke/cmd/words"

	"golang.org/x/text/width"
)

// grid is a table for the terminal, its columns as wide as they need to be
// and the whole within 80 columns.
type grid struct{ rows [][]string }

const (
	gridColumns    = 80
	betweenColumns = 2
)

func newGrid(head ...string) *grid { return &grid{rows: [][]string{head}} }

func (g *grid) add(cells ...string) {
	row := make([]string, len(cells))
	for i, c := range cells {
		row[i] = words.Plain(c)
	}
	g.rows = append(g.rows, row)
}

// print writes the table. Where it would be too wide, the widest column gives
// way and its cells go on in the next line: of names that begin alike none is cut,
// and no length is broken in two as long as another column can give way.
func (g *grid) print(w io.Writer) error {
	widths := g.widths()
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
				line += text + strings.Repeat(" ", max(0, widths[i]-columns(text))+betweenColumns)
			}
			b.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// widths are those of the columns.
func (g *grid) widths() []int {
	widths, least := g.least(aWhole), g.least(aWord)
	for narrow := aWord; ; {
		total, widest := betweenColumns*(len(widths)-1), -1
		for i, n := range widths {
			total += n
			if n > least[i] && (widest < 0 || n > widths[widest]) {
				widest = i
			}
		}
		switch {
		case total <= gridColumns:
			return widths
		case widest >= 0:
			widths[widest]--
		default: // all are as narrow as they get so
			narrow--
			least = g.least(narrow)
		}
	}
}

// How well a text breaks at a place, the best last.
const (
	aLetter  = iota // in the midst of a word
	aNumber         // beside a digit: of 24 1/8 in nobody reads the half
	aMeasure        // after the × of length × width
	aWord           // between two words
	aWhole          // not at all
)

// breaks is how well a text breaks before each of its letters.
func breaks(s []rune) []int {
	ofLength := func(r rune) bool { return unicode.IsDigit(r) || r == '×' }
	out := make([]int, len(s))
	for k := 1; k < len(s); k++ {
		if s[k-1] != ' ' && s[k-1] != '-' && s[k-1] != '/' {
			continue
		}
		before := []rune(strings.TrimRight(string(s[:k-1]), " "))
		after := []rune(strings.TrimLeft(string(s[k:]), " "))
		switch {
		case len(before) == 0 || len(after) == 0:
		case !ofLength(before[len(before)-1]) && !ofLength(after[0]):
			out[k] = aWord
		case s[k-1] == ' ' && before[len(before)-1] == '×':
			out[k] = aMeasure
		default:
			out[k] = aNumber
		}
	}
	return out
}

// least is how narrow each column may get for its cells to break at places that are
// so good or better, but for a word that would take too much of the table.
func (g *grid) least(good int) []int {
	const most = gridColumns * 3 / 10
	least := make([]int, len(g.rows[0]))
	for _, r := range g.rows {
		for i, cell := range r {
			s := []rune(cell)
			from, wide := 0, 0
			for k, how := range append(breaks(s), aWhole) {
				if how >= good || k == len(s) {
					wide = max(wide, columns(strings.TrimRight(string(s[from:k]), " ")))
					from = k
				}
			}
			if good < aWhole {
				wide = min(wide, most)
			}
			least[i] = max(least[i], wide)
		}
	}
	return least
}

// folded is a text in lines of at most so many columns, broken where it breaks best
// and, of places that are as good, at the last that fits.
func folded(text string, most int) (out []string) {
	s := []rune(text)
	for columns(string(s)) > most {
		at, best := 1, aLetter // one letter may be wider than that
		for k, how := range breaks(s) {
			if k > 0 && how >= best && columns(strings.TrimRight(string(s[:k]), " ")) <= most {
				at, best = k, how
			}
		}
		out = append(out, strings.TrimRight(string(s[:at]), " "))
		if s = []rune(strings.TrimLeft(string(s[at:]), " ")); len(s) == 0 {
			return out
		}
	}
	return append(out, string(s))
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
