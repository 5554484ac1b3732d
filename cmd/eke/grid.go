package main

import (
	"io"
	"strings"
	"unicode/utf8"
)

// grid is a table for the terminal, its columns as wide as they need to be
// and the whole within 80 columns.
type grid struct{ rows [][]string }

const gridColumns = 80

func newGrid(head ...string) *grid { return &grid{rows: [][]string{head}} }

func (g *grid) add(cells ...string) {
	row := make([]string, len(cells))
	for i, c := range cells {
		row[i] = plain(c)
	}
	g.rows = append(g.rows, row)
}

// print writes the table. Where it would be too wide, the widest column gives
// way and its cells are shortened.
func (g *grid) print(w io.Writer) error {
	widths := make([]int, len(g.rows[0]))
	for _, r := range g.rows {
		for i, c := range r {
			widths[i] = max(widths[i], utf8.RuneCountInString(c))
		}
	}
	for {
		total, widest := 2*(len(widths)-1), 0
		for i, n := range widths {
			total += n
			if n > widths[widest] {
				widest = i
			}
		}
		if total <= gridColumns || widths[widest] <= 8 {
			break
		}
		widths[widest]--
	}
	var b strings.Builder
	for _, r := range g.rows {
		line := ""
		for i, c := range r {
			runes := []rune(c)
			if len(runes) > widths[i] {
				runes = append(runes[:widths[i]-1], '…')
			}
			line += string(runes) + strings.Repeat(" ", widths[i]-len(runes)+2)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
