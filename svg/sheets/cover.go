package sheets

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"eke/piece/curve"
	"eke/svg/draw"

	"github.com/paulmach/orb"
)

// cover is the first page: what to print it at, the square and the bar that
// prove it, how the pages lie, and what the lines mean.
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
	b.line(printAt+" "+measureIt, x, y, 3.8, width, false)
	y += 6

	b.shape(key(b.face, b.shapes), "", curve.Shift(x+1, y))
	y += keyMM + 6

	words := b.instructions()
	if len(b.numbered) > 0 {
		words = append(words, strings.Join(numberWords, " "))
	}
	for _, t := range words {
		b.line(t, x, y, 3.4, width, false)
		y += 5
	}
	b.assembly(orb.Bound{Min: orb.Point{x, y + 2}, Max: orb.Point{x + width, height - margin}})
}

// The square of 50 mm and the bar of 4 inches prove the scale. Two squares of
// nearly the same size would be taken for each other.
const (
	testSquareMM = 50
	barIn        = 4
	keyMM        = 67 // height of the square, the bar and what is written there
)

// key is the square and the bar to measure, and each kind of line that the
// shapes have, with its meaning: a shape as any other, so that it can be laid
// among the parts. Its top left corner is the origin.
func key(face *typeface, shapes []draw.Shape) draw.Shape {
	s := draw.Shape{}
	text := func(words string, x, y, size float64, strong bool) {
		s.Labels = append(s.Labels, from(face, words, x, y, size, strong))
	}
	rule := func(points ...orb.Point) {
		s.Lines = append(s.Lines, draw.Line{Stroke: draw.Leader, Path: curve.Polyline(points...)})
	}
	rule(orb.Point{0, 0}, orb.Point{testSquareMM, 0}, orb.Point{testSquareMM, testSquareMM}, orb.Point{0, testSquareMM}, orb.Point{0, 0})
	text("50 mm", 16, testSquareMM/2-3, 6, true)
	text("each way", 16, testSquareMM/2+4, 4.5, false)
	const barY = testSquareMM + 7
	rule(orb.Point{0, barY}, orb.Point{barIn * inchMM, barY})
	for i := range barIn + 1 {
		x := float64(i) * inchMM
		rule(orb.Point{x, barY - 3}, orb.Point{x, barY + 3})
		if i < barIn {
			text(strconv.Itoa(i+1), x+inchMM-4, barY-2.4, 3.4, false)
		}
	}
	text("this bar is 4 inches long", 0, barY+6, 4, false)

	seen := map[draw.Stroke]bool{}
	for _, shape := range shapes {
		note(shape, seen)
	}
	x, y := testSquareMM+8.0, 3.0
	for _, l := range []struct {
		stroke draw.Stroke
		words  string
	}{
		{draw.Cloth, "edge of the scrap"}, {draw.Hole, "hole or flaw"}, {draw.Hatch, "cut already; crossed: spoilt"},
		{draw.Cutting, "cut here"}, {draw.Seam, "sew here"}, {draw.Piecing, "sew to the same letter"},
		{draw.Grain, "grain"}, {draw.Notch, "notch: snip, to meet its mate"}, {draw.Dart, "dart"}, {draw.Stripe, "middle of a stripe"},
	} {
		if !seen[l.stroke] {
			continue
		}
		from, to := orb.Point{x, y}, orb.Point{x + 22, y}
		if l.stroke == draw.Notch {
			from, to = orb.Point{x + 11, y - 2.5}, orb.Point{x + 11, y + 2.5}
		}
		s.Lines = append(s.Lines, draw.Line{Stroke: l.stroke, Path: curve.Polyline(from, to)})
		if l.stroke == draw.Grain {
			for _, d := range []float64{0, 22} {
				in := 3 - d*6/22
				s.Lines = append(s.Lines, draw.Line{Stroke: draw.GrainTip, Closed: true, Path: curve.Polyline(orb.Point{x + d, y}, orb.Point{x + d + in, y - 0.9}, orb.Point{x + d + in, y + 0.9})})
			}
		}
		text(l.words, x+26, y, 3.4, false)
		y += 6.4
	}
	return boxed(s)
}

// from is a label that begins at x.
func from(face *typeface, words string, x, y, sizeMM float64, strong bool) draw.Label {
	return draw.Label{Text: words, At: orb.Point{x + face.width(words, sizeMM, strong)/2, y}, SizeMM: sizeMM, Strong: strong}
}

// titled is the key with the title of the pages and what to do with it: all
// that a roll says beside its parts, where one page holds them.
func titled(face *typeface, title string, shapes []draw.Shape) draw.Shape {
	s := key(face, shapes)
	title, _ = face.print(title)
	s.Labels = append(s.Labels,
		from(face, title, 0, -19, 6, true), from(face, printAt, 0, -10.5, 3.4, false), from(face, measureIt, 0, -5.5, 3.4, false))
	if slices.ContainsFunc(shapes, func(s draw.Shape) bool { _, ok := face.print(s.Name); return !ok }) {
		y := float64(keyMM)
		for _, line := range numberWords {
			y += 5
			s.Labels = append(s.Labels, from(face, line, 0, y, 3.4, false))
		}
	}
	return boxed(s)
}

// numberWords is said where a name is printed as a number.
var numberWords = []string{
	"A number such as no. 1 stands for a name in letters that these pages cannot write:",
	"the first in the list of parts or pieces.",
}

// What is said of the scale.
const (
	printAt   = "Print at 100 % (actual size), with no fitting to the page."
	measureIt = "Then measure the square or the bar on this sheet."
)

func boxed(s draw.Shape) draw.Shape {
	b := s.Bound()
	s.Region = []orb.Point{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}
	return s
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
		paper += map[bool]string{false: " portrait", true: " landscape"}[b.landscape]
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
	var codes []orb.Bound
	for _, c := range b.pages {
		a := m.Apply(b.show(c).Min)
		at := orb.Bound{Min: orb.Point{a[0] + 0.3, a[1] + 0.3}, Max: orb.Point{a[0] + 0.3 + 2*size, a[1] + 0.3 + 1.25*size}}
		codes = append(codes, at)
		b.pdf.SetFillColor(244, 244, 244)
		b.pdf.Rect(at.Min[0], at.Min[1], 2*size, 1.25*size, "F")
		b.line(code(c), a[0]+0.35*size, a[1]+1.15*size, size, k*b.stepX, true)
	}
	for i, s := range b.shapes {
		room := b.places[i].box
		width := 0.8 * k * (room.Max[0] - room.Min[0])
		mid := b.places[i].m.Then(m).Apply(s.Middle())
		high := k * (room.Max[1] - room.Min[1])
		sizeMM := math.Min(3, math.Max(1.6, 0.3*high))
		mid[1] = clearOf(codes, mid, math.Min(width, b.face.width(b.names[i], sizeMM, false)), sizeMM, 0.3*high)
		b.text(b.names[i], mid, sizeMM, width, 0, false)
	}
}

// clearOf is how far down words go that are to be set about a place, so that
// they cover none of the boxes: no more than most above or below it, and at the
// place itself where that is not enough.
func clearOf(boxes []orb.Bound, mid orb.Point, width, height, most float64) float64 {
	for step := 0.0; step <= most; step += height / 2 {
		for _, y := range []float64{mid[1] + step, mid[1] - step} {
			words := orb.Bound{Min: orb.Point{mid[0] - width/2, y - height/2}, Max: orb.Point{mid[0] + width/2, y + height/2}}
			if !slices.ContainsFunc(boxes, words.Intersects) {
				return y
			}
		}
	}
	return mid[1]
}

func (b *book) outline(ring []orb.Point, m curve.Matrix, how pen) {
	b.path(curve.Polyline(ring...), true, m, how)
}
