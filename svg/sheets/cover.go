package sheets

import (
	"fmt"
	"math"

	"eke/piece/curve"
	"eke/svg/draw"

	"github.com/paulmach/orb"
)

// cover is the first page: what to print it at, the squares that prove it,
// how the pages lie, and what the lines mean.
func (b *book) cover() {
	height := b.paperH
	if b.opts.Paper.roll() {
		height = math.Max(210, math.Min(297, b.paperW)) + 2*b.opts.MarginMM
	}
	b.newPage(height)
	margin := math.Max(b.opts.MarginMM, 6)
	width := b.paperW - 2*margin
	x, y := margin, margin
	b.line(b.title, x, y+6, 6, width, true)
	y += 13
	b.line("Print at 100 % (actual size), with no fitting to the page. Then measure a square on this sheet.", x, y, 3.8, width, false)
	y += 6

	left := b.squares(x, y)
	b.legend(orb.Bound{Min: orb.Point{left + 8, y}, Max: orb.Point{x + width, y + 52}})
	y += 52 + 8

	words := b.instructions()
	if len(b.numbered) > 0 {
		words = append(words, "A number such as no. 1 stands for a name in letters that these pages cannot write: the first in the list of parts or pieces.")
	}
	for _, t := range words {
		b.line(t, x, y, 3.4, width, false)
		y += 5
	}
	b.assembly(orb.Bound{Min: orb.Point{x, y + 2}, Max: orb.Point{x + width, height - margin}})
}

// squares draws the square of 50 mm and the one of 2 inches; their lines'
// centres are that far apart. It gives their right edge.
func (b *book) squares(x, y float64) float64 {
	const centimetres, inches = 50, 2 * inchMM
	for _, sq := range []struct {
		at, side float64
		words    []string
	}{{x + 1, centimetres, []string{"50 mm", "each way"}}, {x + 1 + centimetres + 8, inches, []string{"2 inches", "each way"}}} {
		b.use(hairline)
		b.pdf.Rect(sq.at, y, sq.side, sq.side, "D")
		for i, w := range sq.words {
			b.text(w, orb.Point{sq.at + sq.side/2, y + sq.side/2 + 6*(float64(i)-0.5)}, 4.5, sq.side-8, 0, i == 0)
		}
	}
	return x + 1 + centimetres + 8 + inches
}

// legend shows each kind of line that is on the pages, where there is room
// beside the squares.
func (b *book) legend(box orb.Bound) {
	if box.Max[0]-box.Min[0] < 50 {
		return
	}
	y := box.Min[1] + 3
	seen := map[draw.Stroke]bool{}
	for _, s := range b.shapes {
		note(s, seen)
	}
	for _, l := range []struct {
		stroke draw.Stroke
		words  string
	}{
		{draw.Cloth, "edge of the scrap"}, {draw.Hole, "hole or flaw"},
		{draw.Cutting, "cut here"}, {draw.Seam, "sew here"}, {draw.Piecing, "sew to the same letter"},
		{draw.Grain, "grain"}, {draw.Notch, "notch: meets its mate"}, {draw.Dart, "dart"},
	} {
		if !seen[l.stroke] {
			continue
		}
		from, to := orb.Point{box.Min[0], y}, orb.Point{box.Min[0] + 22, y}
		if l.stroke == draw.Notch {
			from, to = orb.Point{box.Min[0] + 11, y - 2.5}, orb.Point{box.Min[0] + 11, y + 2.5}
		}
		b.path(curve.Polyline(from, to), false, curve.Identity, pens[l.stroke])
		if l.stroke == draw.Grain {
			for _, d := range []float64{0, 22} {
				in := 3 - d*6/22
				b.path(curve.Polyline(orb.Point{box.Min[0] + d, y}, orb.Point{box.Min[0] + d + in, y - 0.9}, orb.Point{box.Min[0] + d + in, y + 0.9}), true, curve.Identity, pens[draw.GrainTip])
			}
		}
		b.line(l.words, box.Min[0]+26, y+1.2, 3.4, box.Max[0]-box.Min[0]-26, false)
		y += 6.6
	}
}

func note(s draw.Shape, seen map[draw.Stroke]bool) {
	for _, l := range s.Lines {
		seen[l.Stroke] = true
	}
	for _, in := range s.Inner {
		note(in, seen)
	}
}

func (b *book) instructions() []string {
	sum := b.summary(b.shapes)
	paper := b.opts.Paper.Title()
	if !b.opts.Paper.roll() {
		paper += map[bool]string{false: " upright", true: " on its side"}[b.landscape]
	}
	first := fmt.Sprintf("%d pages of %s besides this one, in %d rows and %d columns; the plan below shows which of them are printed.", len(b.pages), paper, sum.Rows, sum.Columns)
	switch {
	case len(b.pages) == 1:
		return []string{fmt.Sprintf("One page of %s besides this one.", paper)}
	case b.opts.OverlapMM == 0:
		return []string{first, "Cut along the frames, lay the pages edge to edge so that the half crosses meet, and tape them."}
	}
	return []string{first,
		"Cut off the left and the top margin along the frame where a page has a neighbour there. Lay the page on its neighbour's",
		"strip, up to the dashed line, so that cross lies on cross, and glue. Part after part will do; the whole need not hang together.",
	}
}

// assembly is the plan: the pages as they lie, with the shapes on them.
func (b *book) assembly(box orb.Bound) {
	sum := b.summary(b.shapes)
	whole := orb.Bound{Max: orb.Point{
		float64(sum.Columns-1)*b.stepX + b.showW, float64(sum.Rows-1)*b.stepY + b.showH,
	}}
	k := math.Min((box.Max[0]-box.Min[0])/whole.Max[0], (box.Max[1]-box.Min[1])/whole.Max[1])
	k = math.Min(k, 0.4)
	m := curve.Matrix{k, 0, 0, k, box.Min[0], box.Min[1]}
	for _, c := range b.pages {
		show := b.show(c)
		if b.has(cell{c.row, c.column + 1}) {
			show.Max[0] = show.Min[0] + b.stepX
		}
		if b.has(cell{c.row + 1, c.column}) {
			show.Max[1] = show.Min[1] + b.stepY
		}
		a, z := m.Apply(show.Min), m.Apply(show.Max)
		b.use(pen{widthMM: 0.2, grey: 120})
		b.pdf.SetFillColor(244, 244, 244)
		b.pdf.Rect(a[0], a[1], z[0]-a[0], z[1]-a[1], "DF")
	}
	for i, s := range b.shapes {
		at := b.places[i].m.Then(m)
		b.outline(s.Region, at, hairline)
		for _, in := range s.Inner {
			b.outline(in.Region, at, pen{widthMM: 0.15})
		}
	}
	size := math.Max(1.8, math.Min(3.2, 0.16*k*math.Min(b.stepX, b.stepY)))
	for _, c := range b.pages {
		a := m.Apply(b.show(c).Min)
		b.pdf.SetFillColor(244, 244, 244)
		b.pdf.Rect(a[0]+0.3, a[1]+0.3, 2*size, 1.25*size, "F")
		b.line(code(c), a[0]+0.35*size, a[1]+1.15*size, size, k*b.stepX, true)
	}
	for i, s := range b.shapes {
		room := b.places[i].box
		width := 0.8 * k * (room.Max[0] - room.Min[0])
		mid := b.places[i].m.Then(m).Apply(s.Middle())
		b.text(b.names[i], mid, math.Min(3, math.Max(1.6, 0.3*k*(room.Max[1]-room.Min[1]))), width, 0, false)
	}
}

func (b *book) outline(ring []orb.Point, m curve.Matrix, how pen) {
	b.path(curve.Polyline(ring...), true, m, how)
}
