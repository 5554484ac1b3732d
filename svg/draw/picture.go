package draw

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	svg "github.com/ajstarks/svgo/float"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// Picture is an SVG to be set in a page that also holds Cloths. Its lines and
// text carry classes that the page's style sheet dresses.
type Picture struct {
	Name  string // "front", "back", or the scrap's name
	SVG   string
	Small string // the same without labels; it draws by reference to SVG

	// The size of what is drawn. Pictures of one garment, or of scraps, are
	// meant to be shown to one scale.
	WidthMM, HeightMM float64
}

// typeShare is the size of the type in a picture, in parts of its width: 11
// px on a phone's screen.
const typeShare = 0.031

// mostTall is how high the pictures of a garment are shown at most, in parts
// of the width that the widest of them is shown in.
const mostTall = 1.1

// FullWidthMM is the width in mm that pictures of one garment are to be shown in where
// the page's whole width is filled: that of the widest, or more where one is
// so tall that it would not be seen whole.
func FullWidthMM(pictures []Picture) float64 {
	width := 0.0
	for _, p := range pictures {
		width = math.Max(width, math.Max(p.WidthMM, p.HeightMM/mostTall))
	}
	return width
}

// Garment draws an option's garment flat, front and back, in the cloth of its
// scraps with its piecing seams. Pieces whose joins do not say where they go
// are in a last picture, in a row; the note says which and why.
func (p *Plan) Garment(option int) (pictures []Picture, note string, err error) {
	g, err := p.garment(option)
	if err != nil {
		return nil, "", err
	}
	views, rest := g.outfit.lay()
	rest = slices.DeleteFunc(rest, func(p *whole) bool { return p.Ready })
	var all []*painting
	widest := 0.0
	for _, v := range views {
		p, err := g.view(v)
		if err != nil {
			return nil, "", err
		}
		width, _ := size(p.box)
		if width <= 0 {
			continue // all that is seen there was cut before
		}
		all, widest = append(all, p), math.Max(widest, width)
	}
	if len(rest) > 0 {
		p, err := g.row(rest, widest)
		if err != nil {
			return nil, "", err
		}
		all = append(all, p)
		note = "The joins in the pattern do not say how the pieces go together, so they are drawn in a row."
		if len(all) > 1 {
			note = g.outfit.besideNote(rest)
		}
	}
	if unsure := g.unplaced(views); unsure != "" {
		note = strings.TrimSpace(note + " " + unsure)
	}
	// One scale for all, and one size of type.
	for _, p := range all {
		pictures = append(pictures, p.size())
	}
	typeMM := math.Max(FullWidthMM(pictures), 400) * typeShare
	for i, p := range all {
		if pictures[i], err = g.finish(p, typeMM); err != nil {
			return nil, "", err
		}
	}
	return pictures, note, nil
}

// unplaced says of which bands the piecing seams have no letters in the pictures, for
// nothing tells which bit of them goes where.
func (g *garment) unplaced(views []*flat) string {
	var seams, bands []string
	for _, s := range g.PiecingSeams {
		if slices.ContainsFunc(g.outfit.pieces, func(p *whole) bool { return p.Name == s.Piece && p.Copy == s.Copy && p.allAlong(s) }) {
			continue
		}
		for _, f := range views {
			if slices.ContainsFunc(f.bands, func(r ribbon) bool { return r.unsure && r.piece.Name == s.Piece && r.piece.Copy == s.Copy }) {
				seams = append(seams, plan.Plain(s.Name))
				if name := plan.Plain(s.Piece); !slices.Contains(bands, name) {
					bands = append(bands, name)
				}
				break
			}
		}
	}
	if len(seams) == 0 {
		return ""
	}
	return fmt.Sprintf("Not marked: %s, for the joins do not tell which bit of the %s goes where.", plan.And(seams), plan.And(bands))
}

// painting is a picture without its labels.
type painting struct {
	name, alt string
	body      string
	box       orb.Bound
	labels    []mark
}

func (p *painting) size() Picture {
	w, h := size(p.box)
	return Picture{Name: p.name, WidthMM: w, HeightMM: h}
}

// garment paints the views of one option.
type garment struct {
	*option
	cloth  []int // of each scrap
	labels []mark
	seams  []drawnSeam
	clips  int // clip paths so far
	outfit *outfit
}

func (p *Plan) garment(option int) (*garment, error) {
	o, err := p.option(option)
	if err != nil {
		return nil, err
	}
	worn, err := p.outfit(o.Option)
	if err != nil {
		return nil, err
	}
	of, _ := cloths(p.doc)
	return &garment{option: o, outfit: worn, cloth: of}, nil
}

// mark is a part's number, or a seam's letter, at its place.
type mark struct {
	text string
	at   orb.Point
	seam curve.Path // whose letter it is; empty for a number
}

// drawnSeam is a piecing seam as it runs in a view.
type drawnSeam struct {
	path    curve.Path
	carried bool // it goes on from piece to piece
}

// piecePart is a part of a piece: its number in the plan, its seam line in
// the piece's own coordinates, and the cloth it is cut from.
type piecePart struct {
	number int
	seam   curve.Path
	ring   []orb.Point
	fill   string
	cloth  clothStripes
	darts  []curve.Path // as they look when sewn: a line from the edge to the apex, or from apex to apex
}

func (g *garment) partsOf(p *whole) []piecePart {
	var out []piecePart
	for i, part := range g.parts {
		if part.Piece != p.Name || part.Copy != p.Copy {
			continue
		}
		pp := piecePart{number: g.numbers[i], seam: pathOf(part.edges), fill: "none"}
		pp.ring = pp.seam.Flatten(flattenMM)
		pp.ring = pp.ring[:len(pp.ring)-1]
		for _, d := range part.Darts {
			pp.darts = append(pp.darts, sewnDart(d))
		}
		for _, d := range part.Crossed {
			pp.darts = append(pp.darts, stretchesIn(pp.seam, pp.ring, sewnDart(d))...)
		}
		for _, f := range part.FishEyes {
			pp.darts = append(pp.darts, sewnFishEye(f))
		}
		for _, f := range part.FishEyesCrossed {
			pp.darts = append(pp.darts, stretchesIn(pp.seam, pp.ring, sewnFishEye(f))...)
		}
		for k, s := range g.doc.Scraps {
			if part.isFrom(&s) {
				pp.fill, pp.cloth = clothFill(g.cloth[k]), stripesOf(&s).under(part.Placement)
			}
		}
		out = append(out, pp)
	}
	return out
}

// sewnDart is the line that a dart makes once it is sewn.
func sewnDart(d [3]plan.Point) curve.Path {
	leg, apex, other := orb.Point(d[0]), orb.Point(d[1]), orb.Point(d[2])
	return curve.Polyline(plane.Along(leg, plane.Sub(other, leg), 0.5), apex)
}

// sewnFishEye is the line that a dart with two points makes once it is sewn.
func sewnFishEye(f [4]plan.Point) curve.Path {
	wide := orb.Point(f[1])
	return curve.Polyline(f[0], plane.Along(wide, plane.Sub(f[3], wide), 0.5), f[2])
}

// stretchesIn are the stretches of a line that lie in an outline, given as a
// path and as its points.
func stretchesIn(outline curve.Path, ring []orb.Point, line curve.Path) (out []curve.Path) {
	const hairMM = 0.1
	at := 0.0
	stretch := func(to float64) {
		if mid, _ := line.At((at + to) / 2); to-at > hairMM && plane.Holds(ring, mid) {
			out = append(out, line.Between(at, to))
		}
		at = to
	}
	for _, c := range curve.Crossings(outline, line) {
		stretch(c.OnQ)
	}
	stretch(line.Length())
	return out
}

// partAt is the part of a piece at a point: the one there, or nearest.
func partAt(parts []piecePart, q orb.Point) piecePart {
	found, least := piecePart{fill: "none"}, math.Inf(1)
	for _, p := range parts {
		if plane.Holds(p.ring, q) {
			return p
		}
		if away := plane.ToRing(p.ring, q); away < least {
			found, least = p, away
		}
	}
	return found
}

func (g *garment) view(f *flat) (*painting, error) {
	g.labels, g.seams = nil, nil
	box := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	return g.paint(f.name, "the garment's "+f.name, func(c *canvas) orb.Bound {
		grow := func(points []orb.Point) {
			for _, q := range points {
				box = box.Extend(q)
			}
		}
		for _, in := range f.inside {
			c.filled(closedRing(in.ring), partAt(g.partsOf(in.piece), in.at).fill, "flat-inside")
			c.filled(closedRing(in.ring), "", "flat-shadow")
			grow(in.ring)
		}
		g.ribbons(c, f.innerBands, grow)
		for _, in := range f.innerBands {
			rings, _ := in.bits()
			for _, r := range rings {
				c.filled(closedRing(r), "", "flat-shadow")
			}
		}
		all := append(append([]placed{}, f.sleeves...), f.body...)
		for i, p := range all {
			g.placed(c, p, all[i+1:], grow)
		}
		g.ribbons(c, f.bands, grow)
		return box
	})
}

// placed paints a piece in a view, part by part. Above are those that are painted after
// it: where one would hide a part's number, that is set beside it.
func (g *garment) placed(c *canvas, p placed, above []placed, grow func([]orb.Point)) {
	parts := g.partsOf(p.piece)
	defer g.moved(c, p)()
	class := "flat-part"
	if len(p.under) > 0 {
		class = "flat-cloth"
		c.filled(closedRing(p.under), partAt(parts, p.cap).fill, class)
	}
	var stripes []curve.Path
	gaps := g.gaps(p)
	ruledLast := len(gaps) > 0 && !g.givesStrip(p.piece) // the piece's outline, and its seams
	if ruledLast {
		class = "flat-cloth"
	}
	for _, part := range parts {
		shown, path := part.ring, part.seam.Transform(p.m)
		if p.keep != nil {
			shown = p.keep.clip(part.ring)
			if len(shown) < 3 {
				continue
			}
			path = closedRing(apply(p.m, shown))
		}
		ring := apply(p.m, shown)
		grow(ring)
		c.filled(path, part.fill, class)
		for _, l := range part.cloth.within(shown) {
			stripes = append(stripes, l.Transform(p.m))
		}
		for _, d := range part.darts {
			if p.keep == nil {
				c.ruled(d.Transform(p.m))
			}
		}
		space := newFreeSpace(closedRing(ring))
		for _, over := range rings(p.over) {
			space.holes = append(space.holes, over)
			space.addWall(plane.Close(over))
		}
		at := space.pole()
		for _, over := range rings(above) {
			if plane.Holds(over, at) || plane.ToRing(over, at) < numberMM {
				space.holes = append(space.holes, over)
				space.addWall(plane.Close(over))
				at = space.pole()
			}
		}
		g.labels = append(g.labels, mark{text: strconv.Itoa(part.number), at: at})
	}
	c.striped(stripes)
	for _, gap := range gaps {
		c.filled(closedRing(apply(p.m, gap)), partAt(parts, orb.MultiPoint(gap).Bound().Center()).fill, "flat-cloth")
	}
	if ruledLast {
		c.ruled(pathOf(p.piece.edges).Transform(p.m))
	}
	if line := p.rim(); len(line) > 1 {
		c.ruled(curve.Polyline(line...))
	}
	g.mark(p)
}

// numberMM is how near to a piece that is painted later the middle of a number may be: it
// is about as wide as the plate of one in the picture of a garment.
const numberMM = 20.0

// manyPoints is from which on an outline is simplified to be looked at again and
// again.
const manyPoints = 500

// rim is the outline of a hung sleeve but for its cap, where the outline of
// the armhole is drawn.
func (p placed) rim() []orb.Point {
	const onMM = 1.0
	if len(p.under) == 0 || p.keep == nil {
		return nil
	}
	ring := apply(p.m, p.keep.clip(p.piece.ring()))
	under := p.under
	if len(under) > manyPoints {
		closed := simplify.DouglasPeucker(onMM / 20).Ring(plane.Close(under))
		under = closed[:len(closed)-1]
	}
	onCap := make([]bool, len(ring))
	for i, q := range ring {
		onCap[i] = plane.ToRing(under, q) < onMM
	}
	for i, q := range ring {
		if !onCap[i] || onCap[(i+1)%len(ring)] {
			continue
		}
		line := []orb.Point{q}
		for k := 1; k <= len(ring); k++ {
			at := (i + k) % len(ring)
			line = append(line, ring[at])
			if onCap[at] {
				break
			}
		}
		return line
	}
	return nil
}

// mark notes the piecing seams of a placed piece and their letters.
func (g *garment) mark(p placed) {
	for _, s := range g.PiecingSeams {
		if s.Piece != p.piece.Name || s.Copy != p.piece.Copy {
			continue
		}
		var line []orb.Point
		for _, q := range s.Line {
			line = append(line, orb.Point(q))
		}
		bits := [][]orb.Point{line}
		if p.keep != nil {
			bits = p.keep.cut(line)
		}
		for _, bit := range bits {
			for _, path := range outside(apply(p.m, bit), rings(p.over)) {
				if path.Length() >= leastShownMM {
					g.letter(s, path)
				}
			}
		}
	}
}

// letter notes a piecing seam that runs along a path, and its letter.
func (g *garment) letter(s plan.PiecingSeam, path curve.Path) {
	g.seams = append(g.seams, drawnSeam{path, slices.ContainsFunc(g.Carried, func(c plan.Carried) bool { return len(c.Seams) > 1 && slices.Contains(c.Seams, s.Name) })})
	at, _ := path.At(path.Length() * 0.3)
	g.labels = append(g.labels, mark{text: plan.Plain(s.Name), at: at, seam: path})
}

func (g *garment) ribbons(c *canvas, ribbons []ribbon, grow func([]orb.Point)) {
	for _, r := range ribbons {
		parts := g.partsOf(r.piece)
		box := r.piece.ring().Bound()
		rings, at := r.bits()
		var outer, inner []orb.Point
		run := piecePart{}
		flush := func() {
			if len(outer) < 2 {
				return
			}
			ring := append([]orb.Point{}, outer...)
			for i := len(inner) - 1; i >= 0; i-- {
				ring = append(ring, inner[i])
			}
			c.filled(closedRing(ring), run.fill, "flat-part")
			if r.width < 0 { // a band is too narrow for its number
				g.labels = append(g.labels, mark{text: strconv.Itoa(run.number), at: newFreeSpace(closedRing(ring)).pole()})
			}
			grow(ring)
		}
		for i, q := range rings {
			w, h := size(box)
			on := orb.Point{box.Min[0] + at[i]*w, box.Center()[1]}
			if h > w {
				on = orb.Point{box.Center()[0], box.Min[1] + at[i]*h}
			}
			if p := partAt(parts, on); p.number != run.number {
				flush()
				if i > 0 && !r.unsure && math.Abs(at[i]-at[i-1]) < 0.5 { // else its own ends meet here
					g.markBetween(run, p, curve.Polyline(q[0], q[3]))
				}
				run, outer, inner = p, []orb.Point{q[0]}, []orb.Point{q[3]}
			}
			outer, inner = append(outer, q[1]), append(inner, q[2])
		}
		flush()
		g.markAlong(r, rings, at)
		if r.unsure {
			continue
		}
		if n := len(rings) - 1; n >= 0 {
			g.markEnd(r, r.from, curve.Polyline(rings[0][0], rings[0][3]))
			g.markEnd(r, r.to, curve.Polyline(rings[n][1], rings[n][2]))
		}
	}
}

// markEnd notes the piecing seam of a band that lies where one of its stretches
// ends, as at a shoulder seam.
func (g *garment) markEnd(r ribbon, share float64, across curve.Path) {
	const nearMM = 2.0
	box := r.piece.ring().Bound()
	axis := 0
	w, h := size(box)
	if h > w {
		axis = 1
	}
	long := math.Max(w, h)
	for _, s := range g.PiecingSeams {
		if s.Piece != r.piece.Name || s.Copy != r.piece.Copy || len(s.Line) == 0 || runsAlong(s, axis) {
			continue
		}
		if at := s.Line[0][axis] - box.Min[axis]; math.Abs(at-(share-math.Floor(share))*long) > nearMM {
			continue
		}
		name := plan.Plain(s.Name)
		if slices.ContainsFunc(g.labels, func(m mark) bool { return m.text == name && plane.Distance(m.at, across.Start()) < 2*math.Abs(r.width) }) {
			continue
		}
		g.seams = append(g.seams, drawnSeam{path: across})
		g.labels = append(g.labels, mark{text: name, at: across.Start(), seam: across})
	}
}

// markBetween notes the piecing seam between two parts of a band, with its
// letter where the band is sewn on.
func (g *garment) markBetween(a, b piecePart, across curve.Path) {
	if a.number == 0 || b.number == 0 {
		return
	}
	order := g.CuttingOrder()
	names := []string{g.Parts[order[a.number-1]].Name, g.Parts[order[b.number-1]].Name}
	for _, s := range g.PiecingSeams {
		if slices.Contains(s.Parts, names[0]) && slices.Contains(s.Parts, names[1]) {
			g.seams = append(g.seams, drawnSeam{path: across})
			g.labels = append(g.labels, mark{text: plan.Plain(s.Name), at: across.Start(), seam: across})
		}
	}
}

// row paints pieces side by side, as they are drawn. Where a garment besideMM
// wide is shown too, no row is wider than that, and a piece longer than that is
// set on its end. besideMM is 0 where there is none.
func (g *garment) row(pieces []*whole, besideMM float64) (*painting, error) {
	const gapMM = 30
	g.labels, g.seams = nil, nil
	name := "pieces"
	if besideMM > 0 {
		name = "other pieces"
	}
	return g.paint(name, name, func(c *canvas) orb.Bound {
		var shapes []Shape
		turned := make([]curve.Matrix, len(pieces))
		for i, p := range pieces {
			turned[i] = p.upright()
			box := orb.MultiPoint(apply(turned[i], p.ring())).Bound()
			if w, h := size(box); besideMM > 0 && w > besideMM && h < w {
				turned[i] = turned[i].Then(curve.Turn(90, box.Center()))
			}
			shapes = append(shapes, Shape{Region: apply(turned[i], p.ring())})
		}
		moves, page := Rows(shapes, gapMM)
		if besideMM > 0 {
			moves, page = rowsWithin(shapes, gapMM, besideMM)
		}
		for i, p := range pieces {
			m := turned[i].Then(curve.Shift(moves[i][0], moves[i][1]))
			g.placed(c, placed{piece: p, m: m}, nil, func([]orb.Point) {})
		}
		return page
	})
}

// paint keeps what draw paints, and the seams on top.
func (g *garment) paint(name, alt string, draw func(*canvas) orb.Bound) (*painting, error) {
	var body bytes.Buffer
	out := &sticky{w: &body}
	c := &canvas{svg.New(out), out}
	box := draw(c)
	for _, s := range g.seams {
		class := "flat-seam"
		if s.carried {
			class += " flat-carried"
		}
		c.svg.Path(rounded(s.path), attribute("class", "flat-under"))
		c.svg.Path(rounded(s.path), attribute("class", class))
	}
	return &painting{name, alt, body.String(), box, g.labels}, out.err
}

// finish makes a picture of a painting, with its labels on top.
func (g *garment) finish(p *painting, typeMM float64) (Picture, error) {
	box := p.box.Pad(typeMM)
	width, height := size(box)
	id := fmt.Sprintf("flat-%d-%s", g.at+1, strings.ReplaceAll(p.name, " ", "-"))
	view := strings.Join([]string{number(box.Min[0]), number(box.Min[1]), number(width), number(height)}, " ")

	var b bytes.Buffer
	top := &sticky{w: &b}
	t := &canvas{svg.New(top), top}
	said := fmt.Sprintf("Option %d, %s, drawn flat in the cloth of its scraps. %s", g.Rank, p.alt, g.legend())
	fmt.Fprintf(&b, "<svg role=\"img\" %s viewBox=\"%s\"><g %s>\n", attribute("aria-label", said), view, attribute("id", id))
	b.WriteString(p.body)
	fmt.Fprint(&b, "</g>\n")
	marks, crowded := spreadOut(p.labels, box, typeMM)
	for _, smaller := range []float64{0.85, 0.7} {
		if !crowded {
			break
		}
		if marks, crowded = spreadOut(p.labels, box, smaller*typeMM); !crowded || smaller == 0.7 {
			typeMM *= smaller
		}
	}
	for _, m := range marks {
		t.plate(m, typeMM)
	}
	fmt.Fprint(&b, "</svg>")
	small := fmt.Sprintf("<svg aria-hidden=\"true\" focusable=\"false\" viewBox=\"%s\"><use %s/></svg>", view, attribute("href", "#"+id))
	return Picture{Name: p.name, SVG: b.String(), Small: small, WidthMM: width, HeightMM: height}, top.err
}

// legend says in words what the numbers and letters on a picture are.
func (g *garment) legend() string {
	var says []string
	for _, i := range g.CuttingOrder() {
		p := g.Parts[i]
		says = append(says, fmt.Sprintf("%d %s from %s", g.numbers[i], plan.Plain(p.Name), g.doc.ScrapName(p.Scrap, p.ScrapCopy)))
	}
	return "Parts: " + strings.Join(says, "; ") + "."
}

// plate writes a number or a letter on a plate of the page's colour.
func (c *canvas) plate(m mark, typeMM float64) {
	box := m.plate(typeMM)
	w, h := size(box)
	class, corner := "plate", 0.2*typeMM
	if len(m.seam) > 0 {
		class, corner = "plate ring", h/2
	}
	c.svg.Roundrect(box.Min[0], box.Min[1], w, h, corner, corner, attribute("class", class))
	c.svg.Text(m.at[0], m.at[1]+0.36*typeMM, m.text, attribute("class", "words"), attribute("font-size", number(typeMM)), attribute("text-anchor", "middle"))
}

// plate is the room that a mark takes up.
func (m mark) plate(typeMM float64) orb.Bound {
	w, h := Width(m.text, typeMM)/2+0.35*typeMM, 0.68*typeMM
	if len(m.seam) > 0 {
		w = math.Max(w, h)
	}
	return orb.Bound{Min: orb.Point{m.at[0] - w, m.at[1] - h}, Max: orb.Point{m.at[0] + w, m.at[1] + h}}
}

// spreadOut moves the letters of seams along them, or just off their ends, to
// where they cover least of the numbers and of each other, within the page. It is
// crowded where some marks still cover others.
func spreadOut(marks []mark, page orb.Bound, typeMM float64) (out []mark, crowded bool) {
	out = slices.Clone(marks)
	var taken []orb.Bound
	take := func(m *mark) {
		box := m.plate(typeMM)
		crowded = crowded || slices.ContainsFunc(taken, func(t orb.Bound) bool { return overlap(box, t) > 0 })
		taken = append(taken, box)
	}
	for i := range out {
		if len(out[i].seam) == 0 {
			take(&out[i])
		}
	}
	for i := range out {
		m := &out[i]
		if len(m.seam) == 0 {
			continue
		}
		places := []orb.Point{m.at}
		long := m.seam.Length()
		for _, share := range []float64{0.3, 0.5, 0.7, 0.15, 0.85} {
			at, _ := m.seam.At(share * long)
			places = append(places, at)
		}
		off := typeMM // half the plate, and a little
		start, end := m.seam.Start(), m.seam.End()
		places = append(places, plane.Along(end, m.seam[len(m.seam)-1].Tangent(1), off), plane.Along(start, m.seam[0].Tangent(0), -off))
		least := math.Inf(1)
		for _, at := range places {
			try := *m
			try.at = at
			box, covered := try.plate(typeMM), 0.0
			if !page.Contains(box.Min) || !page.Contains(box.Max) {
				continue
			}
			for _, t := range taken {
				covered += overlap(box, t)
			}
			if covered < least-1e-6 {
				least, m.at = covered, at
			}
		}
		take(m)
	}
	return out, crowded
}

// filled paints a closed path in a cloth.
func (c *canvas) filled(p curve.Path, fill, class string) {
	attributes := []string{attribute("class", class)}
	if fill != "" {
		attributes = append(attributes, attribute("fill", fill))
	}
	if class == "flat-cloth" { // closes the hair between two fills
		attributes = append(attributes, attribute("stroke", fill))
	}
	c.svg.Path(rounded(p)+" Z", attributes...)
	if class == "flat-part" {
		c.svg.Path(rounded(p)+" Z", attribute("class", "flat-line"))
	}
}

// ruled paints a line that shows on light cloth and on dark.
func (c *canvas) ruled(p curve.Path) {
	c.svg.Path(rounded(p), attribute("class", "flat-rim"))
	c.svg.Path(rounded(p), attribute("class", "flat-line"))
}

// rounded is path data to a tenth of a millimetre, which is finer than a
// screen.
func rounded(p curve.Path) string { return roundedTo(p, 10).D() }

// roundedTo is a path with so many places to a millimetre.
func roundedTo(p curve.Path, perMM float64) curve.Path {
	r := func(q orb.Point) orb.Point {
		return orb.Point{math.Round(q[0]*perMM)/perMM + 0, math.Round(q[1]*perMM)/perMM + 0} // no negative zero
	}
	out := make(curve.Path, len(p))
	for i, s := range p {
		out[i] = curve.Line(r(s.P0), r(s.P1))
		if s.Curved {
			out[i] = curve.Cubic(r(s.P0), r(s.C0), r(s.C1), r(s.P1))
		}
	}
	return out
}

func closedRing(ring []orb.Point) curve.Path {
	return curve.Polyline(append(append([]orb.Point{}, ring...), ring[0])...)
}
