package sheets

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

type cell struct{ row, column int }

// cells is a set of pages, row by row, on a grid so many columns wide.
type cells struct {
	columns int
	rows    [][]bool
}

func (s *cells) has(c cell) bool { return c.row < len(s.rows) && s.rows[c.row][c.column] }

func (s *cells) add(c cell) {
	for len(s.rows) <= c.row {
		s.rows = append(s.rows, make([]bool, s.columns))
	}
	s.rows[c.row][c.column] = true
}

// all is the pages in reading order.
func (s *cells) all() []cell {
	var out []cell
	for r, row := range s.rows {
		for c, in := range row {
			if in {
				out = append(out, cell{r, c})
			}
		}
	}
	return out
}

// show is the rectangle of the drawing that a page shows.
func (s *spread) show(c cell) orb.Bound {
	at := orb.Point{float64(c.column) * s.stepX, float64(c.row) * s.stepY}
	return orb.Bound{Min: at, Max: orb.Point{at[0] + s.showW, at[1] + s.showH}}
}

// touched is the pages that a place needs, as few as its box allows: the page
// where it starts, and on while the last does not show its end.
func (s *spread) touched(p place) []cell {
	var out []cell
	size := orb.Point{p.box.Max[0] - p.box.Min[0], p.box.Max[1] - p.box.Min[1]}
	for r := firstPage(p.box.Min[1], size[1], s.showH, s.stepY); ; r++ {
		for c := firstPage(p.box.Min[0], size[0], s.showW, s.stepX); ; c++ {
			page := cell{r, c}
			if p.on(s.show(page)) {
				out = append(out, page)
			}
			if s.show(page).Max[0] >= p.box.Max[0]-1e-6 {
				break
			}
		}
		if s.show(cell{r, 0}).Max[1] >= p.box.Max[1]-1e-6 {
			return out
		}
	}
}

// firstPage is the first of the fewest pages that show what starts at a place
// and has a size: the one before, where its strip of overlap shows it all.
func firstPage(at, size, show, step float64) int {
	p := int(math.Floor(at/step + 1e-9))
	if p > 0 && float64(p-1)*step+show >= at+size-1e-6 {
		return p - 1
	}
	return p
}

// on reports whether any of the place lies in a rectangle.
func (p place) on(b orb.Bound) bool {
	const sliverMM = 0.05
	if b.Max[0]-b.Min[0] < sliverMM || b.Max[1]-b.Min[1] < sliverMM || !b.Intersects(p.box) {
		return false
	}
	for _, ring := range p.rings {
		closed := plane.Close(ring)
		if got := clip.Ring(b, closed); len(got) > 0 {
			box := got.Bound()
			if box.Max[0]-box.Min[0] > sliverMM && box.Max[1]-box.Min[1] > sliverMM {
				return true
			}
		}
	}
	return false
}

// choosePages keeps the pages of a grid that show something no other page
// does, the last given up first.
func (s *spread) choosePages(all []cell) {
	kept := map[cell]bool{}
	for _, c := range all {
		kept[c] = true
	}
	for i := len(all) - 1; i >= 0; i-- {
		c := all[i]
		if delete(kept, c); s.misses(c, kept) {
			kept[c] = true
		}
	}
	s.pages = nil
	for _, c := range all {
		if kept[c] {
			s.pages = append(s.pages, c)
		}
	}
}

// misses reports whether something on page c is shown by none of the pages.
func (s *spread) misses(c cell, pages map[cell]bool) bool {
	rest := []orb.Bound{s.show(c)}
	for dr := -1; dr <= 1; dr++ {
		for dc := -1; dc <= 1; dc++ {
			if n := (cell{c.row + dr, c.column + dc}); pages[n] {
				rest = without(rest, s.show(n))
			}
		}
	}
	for _, b := range rest {
		for _, p := range s.places {
			if p.rings != nil && p.on(b) {
				return true
			}
		}
	}
	return false
}

// without takes a rectangle out of others.
func without(from []orb.Bound, b orb.Bound) []orb.Bound {
	var out []orb.Bound
	for _, a := range from {
		if !a.Intersects(b) {
			out = append(out, a)
			continue
		}
		x0, x1 := math.Max(a.Min[0], b.Min[0]), math.Min(a.Max[0], b.Max[0])
		for _, part := range []orb.Bound{
			{Min: a.Min, Max: orb.Point{x0, a.Max[1]}},
			{Min: orb.Point{x1, a.Min[1]}, Max: a.Max},
			{Min: orb.Point{x0, a.Min[1]}, Max: orb.Point{x1, b.Min[1]}},
			{Min: orb.Point{x0, b.Max[1]}, Max: orb.Point{x1, a.Max[1]}},
		} {
			if part.Max[0] > part.Min[0] && part.Max[1] > part.Min[1] {
				out = append(out, part)
			}
		}
	}
	return out
}
