package sheets

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// board is the large drawing as a grid of small squares, of which each is
// taken or free. Shapes count every square they touch, so that what is free
// on the board is free on paper: the raster method of irregular packing (J. A.
// Bennell and J. F. Oliveira, "The geometry of nesting problems: A tutorial",
// European Journal of Operational Research 184, 2008).
type board struct {
	*spread
	way     way
	widthMM float64
	topMM   float64   // where it begins
	side    orb.Point // of a square, a whole part of the step between pages
	perPage [2]int    // squares to a step, across and down
	taken   [][]uint64
	done    []place
}

// squareMM is about a square's side. Half the gap wastes little and is quick.
const squareMM = gapMM / 2

func newBoard(s *spread, w way, firstRow int) *board {
	b := &board{spread: s, way: w, widthMM: float64(w.columns-1)*s.stepX + s.showW, topMM: float64(firstRow) * s.stepY}
	for i, step := range []float64{s.stepX, s.stepY} {
		b.perPage[i] = max(1, int(step/squareMM))
		b.side[i] = step / float64(b.perPage[i])
	}
	return b
}

// set takes the squares of a place and those within the gap round it.
func (b *board) set(p place) {
	b.done = append(b.done, p)
	down := int(math.Ceil(gapMM/b.side[1] - 1e-9))
	for i, row := range p.squares.rows {
		for y := max(0, p.squares.first+i-down); y <= p.squares.first+i+down; y++ {
			for len(b.taken) <= y {
				b.taken = append(b.taken, nil)
			}
			for len(b.taken[y]) < len(row) {
				b.taken[y] = append(b.taken[y], 0)
			}
			or(b.taken[y], row, 0)
		}
	}
}

// squares is what a place covers of a board, and the gap to its left and right.
type squares struct {
	first int // row
	rows  [][]uint64
}

func (b *board) squares(p place) squares {
	across := int(math.Ceil(gapMM/b.side[0] - 1e-9))
	first, rows := cover(p.rings, orb.Point{0, b.topMM}, b.side)
	for i, row := range rows {
		wide := append(append([]uint64{}, row...), 0)
		for k := 1; k <= across; k++ {
			or(wide, row, k)
			for j := range row { // and to the left
				wide[j] |= row[j] >> k
				if j+1 < len(row) {
					wide[j] |= row[j+1] << (64 - k)
				}
			}
		}
		rows[i] = wide
	}
	return squares{first, rows}
}

// or adds a row of squares to another, so many squares to the right.
func or(to, row []uint64, right int) {
	for j, bits := range row {
		at, shift := j+right/64, right%64
		if at < len(to) {
			to[at] |= bits << shift
		}
		if at+1 < len(to) && shift > 0 {
			to[at+1] |= bits >> (64 - shift)
		}
	}
}

// free reports whether no square of a mask is taken where its corner lies at
// square (x, y).
func (b *board) free(m *mask, x, y int) bool {
	word, shift := x/64, x%64
	for i, row := range m.rows {
		if y+i >= len(b.taken) {
			return true
		}
		taken := b.taken[y+i]
		for j, bits := range row {
			if at := word + j; at < len(taken) && taken[at]&(bits<<shift) != 0 {
				return false
			} else if at+1 < len(taken) && taken[at+1]&(bits>>(64-shift)) != 0 {
				return false // a shift by 64 leaves nothing
			}
		}
	}
	return true
}

// between is the best place on the grid whose squares are free, if it costs
// less than what is known, highest first. Every second square is tried, and
// those where a page begins.
func (b *board) between(it item, turn float64, used *cells, known, enough score) (best place, least score, found bool) {
	m := it.mask(turn, b.side)
	least = known
	var across, down []square
	for x := 0; float64(x)*b.side[0]+m.size[0] <= b.widthMM+1e-6; x++ {
		if x%b.perPage[0]%2 == 0 {
			across = append(across, square{x, b.across(m, float64(x)*b.side[0])})
		}
	}
	for y := range b.taken {
		if y%b.perPage[1]%2 == 0 {
			down = append(down, square{y, b.down(m, b.topMM+float64(y)*b.side[1])})
		}
	}
	at := func(x, y int) orb.Point { return orb.Point{float64(x) * b.side[0], b.topMM + float64(y)*b.side[1]} }
	beside := neighbours(across)
	for _, below := range neighbours(down) {
		worth := slices.DeleteFunc(slices.Clone(beside), func(n neighbourhood) bool {
			_, ok := b.scoreBelow(least, m, at(n.squares[0].at, below.squares[0].at), turn, n.always, below.always, used)
			return !ok
		})
		for _, row := range below.squares {
			if top := at(0, row.at)[1]; least.within(enough) && top > least[2] {
				return best, least, found // what is lower can only cost as much
			}
			for _, n := range worth {
				if _, ok := b.scoreBelow(least, m, at(n.squares[0].at, row.at), turn, n.always, row.pages, used); !ok {
					continue
				}
				for _, column := range n.squares {
					if !b.free(m, column.at, row.at) {
						continue
					}
					corner := at(column.at, row.at)
					if s, ok := b.scoreBelow(least, m, corner, turn, column.pages, row.pages, used); ok {
						best, least, found = it.at(corner, turn), s, true
						if s.within(enough) {
							return best, least, found // for it is the highest
						}
					}
				}
			}
		}
	}
	return best, least, found
}

// square is where a mask may start on the grid, across or down, and the pages
// that it needs there.
type square struct {
	at    int
	pages []pageSpan
}

// neighbourhood is squares from which a mask needs the same pages, and what each page
// shows from every one of them. A mask that costs too much where no more than
// that is counted costs too much at each.
type neighbourhood struct {
	squares []square
	always  []pageSpan
}

func neighbours(squares []square) []neighbourhood {
	const most = 12
	var out []neighbourhood
	for i, s := range squares {
		if n := len(out) - 1; n < 0 || len(out[n].squares) == most || !samePages(out[n].always, s.pages) {
			out = append(out, neighbourhood{squares[i:i], slices.Clone(s.pages)})
		}
		last := &out[len(out)-1]
		last.squares = squares[i-len(last.squares) : i+1]
		for k, p := range s.pages {
			a := &last.always[k]
			a.from = max(a.from, p.from)
			a.to = max(a.from, min(a.to, p.to))
		}
	}
	return out
}

func samePages(a, b []pageSpan) bool {
	return slices.EqualFunc(a, b, func(a, b pageSpan) bool { return a.page == b.page })
}

// score is what a mask costs where its corner is at a point.
func (b *board) score(m *mask, at orb.Point, turn float64, across, down []pageSpan, used *cells) score {
	s, _ := b.scoreBelow(unplaced, m, at, turn, across, down, used)
	return s
}

// scoreBelow is the score where it is less than another. Once so many new
// pages are counted that it cannot be, it counts no further: where it lies lower,
// and only new pages count, it needs fewer of them.
func (b *board) scoreBelow(other score, m *mask, at orb.Point, turn float64, across, down []pageSpan, used *cells) (s score, ok bool) {
	const hair = 1e-9
	s = score{0, 0, at[1], at[0]}.turned(turn)
	most := other[0] + hair
	if !b.way.whole && at[1] > other[2]+hair {
		most = other[0] - hair
	}
	if s[0] > most {
		return s, false
	}
	for _, r := range down {
		for _, c := range across {
			known := used.has(cell{r.page, c.page})
			if known && !b.way.whole || !m.any(c.from, r.from, c.to, r.to) {
				continue
			}
			if b.way.whole {
				s[1]++
			}
			if known {
				continue
			}
			if s[0]++; s[0] > most {
				return s, false
			}
		}
	}
	return s, s.less(other)
}

// across and down are the pages that a mask needs where it starts at x, or at
// y, with what each shows of it.
func (b *board) across(m *mask, x float64) []pageSpan {
	return pageSpans(x, m.size[0], b.side[0], b.showW, b.stepX, m.columns)
}

func (b *board) down(m *mask, y float64) []pageSpan {
	return pageSpans(y, m.size[1], b.side[1], b.showH, b.stepY, len(m.rows))
}

// pageSpan is those of a mask's columns, or rows, that one page shows.
type pageSpan struct{ page, from, to int }

// pageSpans cuts what starts at a place and has a size into the pages that it
// needs, as few as can be: the one where it starts, and on while the last
// does not show its end.
func pageSpans(at, size, side, show, step float64, squares int) []pageSpan {
	var out []pageSpan
	for page := firstPage(at, size, show, step); ; page++ {
		begin := float64(page) * step
		from := max(0, int(math.Floor((begin-at)/side+1e-6)))
		to := min(squares, int(math.Ceil((begin+show-at)/side-1e-6)))
		if from < to {
			out = append(out, pageSpan{page, from, to})
		}
		if begin+show >= at+size-1e-6 {
			return out
		}
	}
}
