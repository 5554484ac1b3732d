package photo

import (
	"fmt"
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A scale sheet that was printed to fit the page is smaller than it says by
// more than paper differs from its size, which is by 2 mm at most (ISO 216).
const (
	misprint = 0.015
	paperMM  = 12.0 // how far from where it should be an edge is sought: the codes begin at 14
)

// printed compares a scale sheet's paper with its codes, where the paper's edges
// are seen on the ground, and refuses one that was not printed at 100 %. Where those of no
// sheet are seen, the result says so.
func (t *tracer) printed(found []sheetSeen) error {
	t.out.PrintUnseen = true
	for i, l := range t.view.sheets {
		place := func(q orb.Point) orb.Point { return t.view.onSheets(l.on(q)) }
		size := found[i].size
		across, okA := t.paperSize(place, size, 0)
		along, okB := t.paperSize(place, size, 1)
		if !okA || !okB {
			continue
		}
		t.out.PrintUnseen = false
		a, b := across/size[0], along/size[1]
		if math.Abs(a-b) < 0.02 && math.Abs(a-1) > misprint && math.Abs(b-1) > misprint {
			return fmt.Errorf("the scale sheet was printed at about %.0f %%: by its own codes its paper is %.0f x %.0f mm; print it again at 100 %% (actual size), measure its square, and photograph the scraps again", 200/(a+b), across, along)
		}
	}
	return nil
}

// paperSize is how wide (0) or high (1) a sheet's paper is by its codes.
func (t *tracer) paperSize(place func(orb.Point) orb.Point, size orb.Point, dim int) (mm float64, ok bool) {
	w, h := size[0], size[1]
	sides := [2][2][2]orb.Point{
		{{{0, h}, {0, 0}}, {{w, 0}, {w, h}}},
		{{{0, 0}, {w, 0}}, {{w, h}, {0, h}}},
	}[dim]
	mm = size[dim]
	for _, s := range sides {
		edges := side(s[0], s[1])
		var off []float64
		for _, e := range edges {
			in, out := place(plane.Along(e.at, e.light, 11)), place(plane.Along(e.at, e.light, -paperMM-2))
			inside, outside := t.p.lightAt(in[0], in[1]), t.p.lightAt(out[0], out[1])
			if t.p.even.apart(inside, outside) < leastPaper {
				continue
			}
			if at, _, ok := t.p.seek(e, place, paperMM, inside-outside); ok {
				d := plane.Sub(t.view.ground(at), t.view.ground(place(e.at)))
				u := plane.Unit(plane.Sub(t.view.ground(place(plane.Along(e.at, e.light, 10))), t.view.ground(place(e.at))))
				off = append(off, plane.Dot(d, u))
			}
		}
		if len(off) < len(edges)*2/3 {
			return 0, false
		}
		mm -= median(off) // to the inside is smaller
	}
	return mm, true
}
