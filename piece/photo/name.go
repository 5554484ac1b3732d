package photo

import (
	"fmt"

	"github.com/paulmach/orb"
)

// place is where in the picture a ring is, in words.
func (t *tracer) place(ring []orb.Point) string {
	b := orb.Ring(ring).Bound().Center()
	third := func(v float64, side int, words [3]string) string {
		return words[min(max(int(3*v/float64(side)), 0), 2)]
	}
	row := third(b[1], t.p.Height, [3]string{"top", "", "bottom"})
	column := third(b[0], t.p.Width, [3]string{"left", "", "right"})
	switch {
	case row == "" && column == "":
		return "middle"
	case row == "":
		return column
	case column == "":
		return row
	}
	return row + " " + column
}

// name names each scrap by its place, with a number where several have one.
func (t *tracer) name() {
	count, next := map[string]int{}, map[string]int{}
	for _, s := range t.out.Scraps {
		count[t.place(s.seen[0])]++
	}
	for i := range t.out.Scraps {
		s := &t.out.Scraps[i]
		s.Name = t.place(s.seen[0])
		if count[s.Name] > 1 {
			next[s.Name]++
			s.Name = fmt.Sprintf("%s %d", s.Name, next[s.Name])
		}
		s.Note = fmt.Sprintf("no. %d in the picture, traced, ±%g mm", s.Number, s.UncertainMM)
		if len(s.Colours) > 1 {
			s.Note += ", " + s.Colours[0] + " and " + s.Colours[1]
		}
	}
}
