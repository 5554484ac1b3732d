package sheets

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"eke/piece/curve"
	"eke/svg/draw"

	"codeberg.org/go-pdf/fpdf"
	"github.com/paulmach/orb"
)

// book is the PDF while it is made.
type book struct {
	pdf      *fpdf.Fpdf
	face     *typeface
	title    string
	shapes   []draw.Shape
	names    []string          // of the shapes, as they can be printed
	numbered map[string]string // the number of each name that cannot, to the name
	spread
	opts   Options
	covers int // pages before those of the drawing
}

// pen is how a line is drawn, readable in black and white: lines are told
// apart by weight and dashes.
type pen struct {
	widthMM float64
	dashMM  []float64
	grey    int // 0 black
	fill    bool
}

var pens = map[draw.Stroke]pen{
	draw.Cutting:  {widthMM: 0.65},
	draw.Seam:     {widthMM: 0.3, dashMM: []float64{1.2, 1.8}},
	draw.Piecing:  {widthMM: 0.75, dashMM: []float64{10, 2, 2, 2, 2, 2}},
	draw.Grain:    {widthMM: 0.35},
	draw.GrainTip: {fill: true},
	draw.Notch:    {widthMM: 0.6},
	draw.Dart:     {widthMM: 0.35, dashMM: []float64{5, 1.5}},
	draw.Leader:   {widthMM: 0.25, grey: 90},
	draw.Cloth:    {widthMM: 0.9},
	draw.Hole:     {widthMM: 0.6, dashMM: []float64{2, 1.2}},
	draw.Hatch:    {widthMM: 0.2, grey: 160},
	draw.Stripe:   {widthMM: 0.2, grey: 110},
}

var (
	frame    = pen{widthMM: 0.2, grey: 110}
	overlaps = pen{widthMM: 0.2, dashMM: []float64{6, 3}, grey: 110}
	hairline = pen{widthMM: 0.25}
)

// newPDF is a PDF without a page, for pages of a size in mm.
func newPDF(title string, width, height float64) *fpdf.Fpdf {
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	// A date of its own in each file would make two prints of one plan differ.
	pdf.SetCreationDate(time.Unix(0, 0).UTC())
	pdf.SetModificationDate(time.Unix(0, 0).UTC())
	pdf.SetCatalogSort(true)
	pdf.SetProducer("made by eke", true)
	pdf.SetTitle(title, true)
	pdf.SetLang("en")
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetDisplayMode("real", "single")
	pdf.SetLineJoinStyle("round")
	for style, ttf := range faces {
		pdf.AddUTF8FontFromBytes("go", style, ttf)
	}
	return pdf
}

func newBook(ctx context.Context, face *typeface, title string, shapes []draw.Shape, s spread, o Options) (*book, error) {
	pdf := newPDF(title, s.paperW, s.paperH)
	b := &book{pdf: pdf, face: face, spread: s, opts: o, numbered: map[string]string{}}
	b.title, _ = face.print(title)
	for i, shape := range shapes {
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		b.shapes = append(b.shapes, shape.NamedIn(b.windows(i)))
		name, ok := face.print(shape.Name)
		if !ok {
			name = fmt.Sprintf("no. %d", i+1)
			b.numbered[name] = shape.Name
		}
		b.names = append(b.names, name)
	}
	return b, pdf.Error()
}

// windows is what each page shows of a shape: all of it, and what is left of
// that without the strips that the page shares with its neighbours.
func (b *book) windows(shape int) []draw.Window {
	p := b.places[shape]
	back := curve.Turn(-p.turnDeg, orb.Point{})
	corner := back.Apply(p.m.Apply(orb.Point{}))
	back = back.Then(curve.Shift(-corner[0], -corner[1]))
	of := func(box orb.Bound) orb.Bound { return orb.MultiPoint{back.Apply(box.Min), back.Apply(box.Max)}.Bound() }
	var out []draw.Window
	for _, c := range b.pages {
		whole := b.show(c)
		if !p.on(whole) {
			continue
		}
		whole.Max[1] -= b.captionInside()
		clear := whole
		if b.has(cell{c.row, c.column - 1}) {
			clear.Min[0] += b.opts.OverlapMM
		}
		if b.has(cell{c.row, c.column + 1}) {
			clear.Max[0] -= b.opts.OverlapMM
		}
		if b.has(cell{c.row - 1, c.column}) {
			clear.Min[1] += b.opts.OverlapMM
		}
		if b.has(cell{c.row + 1, c.column}) {
			clear.Max[1] = math.Min(clear.Max[1], b.show(c).Max[1]-b.opts.OverlapMM)
		}
		out = append(out, draw.Window{Whole: of(whole), Clear: of(clear)})
	}
	return out
}

// newPage begins a page of the given height; its size is exact, so no
// orientation turns it.
func (b *book) newPage(height float64) {
	b.pdf.AddPageFormat("P", fpdf.SizeType{Wd: b.paperW, Ht: height})
}

func (b *book) use(p pen) {
	b.pdf.SetLineWidth(p.widthMM)
	b.pdf.SetDashPattern(p.dashMM, 0)
	b.pdf.SetDrawColor(p.grey, p.grey, p.grey)
	b.pdf.SetFillColor(p.grey, p.grey, p.grey)
}

// path draws a line after m.
func (b *book) path(p curve.Path, closed bool, m curve.Matrix, how pen) {
	b.use(how)
	at := m.Apply(p.Start())
	b.pdf.MoveTo(at[0], at[1])
	for _, s := range p {
		s = s.Transform(m)
		if s.Curved {
			b.pdf.CurveBezierCubicTo(s.C0[0], s.C0[1], s.C1[0], s.C1[1], s.P1[0], s.P1[1])
		} else {
			b.pdf.LineTo(s.P1[0], s.P1[1])
		}
	}
	if closed {
		b.pdf.ClosePath()
	}
	if how.fill {
		b.pdf.DrawPath("F")
	} else {
		b.pdf.DrawPath("D")
	}
}

// text sets a line of text with the centre of its box at at, no wider than
// widthMM, turned clockwise.
func (b *book) text(s string, at orb.Point, sizeMM, widthMM, turnDeg float64, strong bool) {
	style := ""
	if strong {
		style = "B"
	}
	b.pdf.SetTextColor(0, 0, 0)
	b.pdf.SetFont("go", style, 0)
	b.pdf.SetFontUnitSize(sizeMM)
	w := b.pdf.GetStringWidth(s)
	if widthMM > 0 && w > widthMM {
		sizeMM *= widthMM / w
		b.pdf.SetFontUnitSize(sizeMM)
		w = widthMM
	}
	if turnDeg != 0 {
		b.pdf.TransformBegin()
		b.pdf.TransformRotate(-turnDeg, at[0], at[1])
	}
	b.pdf.Text(at[0]-w/2, at[1]+0.35*sizeMM, s)
	if turnDeg != 0 {
		b.pdf.TransformEnd()
	}
}

// line sets text from a left edge and a baseline, and cuts it short where it
// would be wider than widthMM.
func (b *book) line(s string, x, y, sizeMM, widthMM float64, strong bool) {
	style := ""
	if strong {
		style = "B"
	}
	b.pdf.SetTextColor(0, 0, 0)
	b.pdf.SetFont("go", style, 0)
	b.pdf.SetFontUnitSize(sizeMM)
	if b.pdf.GetStringWidth(s) > widthMM {
		r := []rune(s)
		for len(r) > 1 && b.pdf.GetStringWidth(string(r)+"…") > widthMM {
			r = r[:len(r)-1]
		}
		s = strings.TrimRight(string(r), " ,") + "…"
	}
	b.pdf.Text(x, y, s)
}

// shape draws a shape after m.
func (b *book) shape(s draw.Shape, name string, m curve.Matrix) {
	for _, l := range s.Lines {
		if l.Stroke != draw.Unseen {
			b.path(l.Path, l.Closed, m, pens[l.Stroke])
		}
	}
	turn := math.Atan2(m[1], m[0]) * 180 / math.Pi
	for _, l := range s.Labels {
		text, ok := b.face.print(l.Text)
		if !ok {
			text = "" // its number stands for the name
			if l.Line == 1 {
				text = name
			}
		}
		at := m.Apply(l.At)
		if l.Ringed {
			b.use(hairline)
			b.pdf.SetFillColor(255, 255, 255)
			b.pdf.Circle(at[0], at[1], l.RingMM(), "DF")
		}
		b.text(text, at, l.SizeMM, draw.Width(l.Text, l.SizeMM), l.TurnDeg+turn, l.Strong)
	}
	for i, in := range s.Inner {
		b.shape(in, fmt.Sprintf("%s %d", name, i+1), m)
	}
}

// page draws one page of the large drawing.
func (b *book) page(i int) {
	c := b.pages[i]
	show := b.show(c)
	b.newPage(b.paperH)
	margin := b.opts.MarginMM
	m := curve.Shift(margin-show.Min[0], margin-show.Min[1])
	b.pdf.ClipRect(margin, margin, b.showW, b.showH, false)
	var names []string
	for k, p := range b.places {
		if p.on(show) {
			b.shape(b.shapes[k], b.names[k], p.m.Then(m))
			if b.names[k] != "" {
				names = append(names, b.names[k])
			}
		}
	}
	b.joints(c, m)
	b.pdf.ClipEnd()
	b.use(frame)
	b.pdf.Rect(margin, margin, b.showW, b.showH, "D")
	b.caption(i, names)
}

// joints marks the strips that a page shares with its neighbours: a dashed
// line where the neighbour's frame comes to lie, and crosses that meet the
// neighbour's own.
func (b *book) joints(c cell, m curve.Matrix) {
	show, overlap := b.show(c), b.opts.OverlapMM
	for _, side := range []struct {
		dr, dc int
	}{{0, 1}, {0, -1}, {1, 0}, {-1, 0}} {
		if !b.has(cell{c.row + side.dr, c.column + side.dc}) {
			continue
		}
		a, z := show.Min, show.Max
		switch {
		case side.dc == 1:
			a[0] = z[0] - overlap
		case side.dc == -1:
			z[0] = a[0] + overlap
		case side.dr == 1:
			a[1] = z[1] - overlap
		case side.dr == -1:
			z[1] = a[1] + overlap
		}
		if overlap > 0 && side.dc+side.dr == 1 {
			from, to := a, orb.Point{a[0], z[1]}
			if side.dr == 1 {
				to = orb.Point{z[0], a[1]}
			}
			b.path(curve.Polyline(from, to), false, m, overlaps)
		}
		for _, f := range []float64{0.2, 0.5, 0.8} {
			q := orb.Point{(a[0] + z[0]) / 2, (a[1] + z[1]) / 2}
			if side.dc != 0 {
				q[1] = show.Min[1] + f*b.showH
			} else {
				q[0] = show.Min[0] + f*b.showW
			}
			b.cross(q, m)
		}
	}
}

// cross is a mark that two pages share. Its arms end in short bars, so that it
// is not taken for a notch.
func (b *book) cross(q orb.Point, m curve.Matrix) {
	const arm, bar = 4.0, 1.0
	for _, d := range []orb.Point{{1, 0}, {0, 1}} {
		n := orb.Point{-d[1], d[0]}
		p := func(k, l float64) orb.Point {
			return orb.Point{q[0] + k*d[0] + l*n[0], q[1] + k*d[1] + l*n[1]}
		}
		b.path(curve.Polyline(p(-arm, 0), p(arm, 0)), false, m, hairline)
		b.path(curve.Polyline(p(-arm, -bar), p(-arm, bar)), false, m, hairline)
		b.path(curve.Polyline(p(arm, -bar), p(arm, bar)), false, m, hairline)
	}
}

func (b *book) has(c cell) bool {
	for _, p := range b.pages {
		if p == c {
			return true
		}
	}
	return false
}

// captionMM is the type of a page's caption.
const captionMM = 3.2

// captionInside is the height of the strip that the caption takes inside the
// frame, which is 0 where the margin has room for it.
func (b *book) captionInside() float64 {
	if b.opts.MarginMM < 1.7*captionMM {
		return 1.8 * captionMM
	}
	return 0
}

// caption says which page it is, what lies on it and what comes next to it:
// below the frame where the margin has room, on a white strip inside it where
// it has not.
func (b *book) caption(i int, names []string) {
	const sizeMM = captionMM
	c, margin := b.pages[i], b.opts.MarginMM
	text := fmt.Sprintf("row %d, column %d", c.row+1, c.column+1)
	var next []string
	if b.has(cell{c.row, c.column + 1}) {
		next = append(next, fmt.Sprintf("right: %s", code(cell{c.row, c.column + 1})))
	}
	if b.has(cell{c.row + 1, c.column}) {
		next = append(next, fmt.Sprintf("below: %s", code(cell{c.row + 1, c.column})))
	}
	rest := fmt.Sprintf("page %d of %d   %s", i+1+b.covers, len(b.pages)+b.covers, strings.Join(names, ", "))
	if len(next) > 0 {
		rest = strings.Join(next, ", ") + "   " + rest
	}
	base := margin + b.showH + sizeMM*1.25
	if b.captionInside() > 0 {
		base = margin + b.showH - sizeMM*0.7
		b.pdf.SetFillColor(255, 255, 255)
		b.pdf.Rect(margin+0.5, base-sizeMM*1.1, b.showW-1, sizeMM*1.6, "F")
	}
	b.pdf.SetFont("go", "B", 0)
	b.pdf.SetFontUnitSize(sizeMM)
	w := b.pdf.GetStringWidth(text) + 4
	b.line(text, margin+1, base, sizeMM, b.showW, true)
	b.line(rest, margin+1+w, base, sizeMM, b.showW-w-2, false)
}

// code is a page's place in the plan: "2.3" is row 2, column 3.
func code(c cell) string { return fmt.Sprintf("%d.%d", c.row+1, c.column+1) }
