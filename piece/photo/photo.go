// Package photo finds scraps of cloth in a photograph of them on a plain
// ground, with a sheet of known size among them, and gives their outlines in
// millimetres.
//
// What it does, in order, and whose method it is:
//
//   - The ground's colour is found, with the light's unevenness as a polynomial,
//     in CIELAB.
//   - Cloth is told from ground by marker-controlled watershed (F. Meyer, Color
//     image segmentation, 1992): what is clearly one or the other floods the
//     rest, and they meet at the sharpest edge. A soft shadow stays ground, and
//     grey cloth that looks like one does not, for its edge is sharp. Pale cloth that
//     the ground's uneven light was fitted to is known by such an edge all round (island.go). Joints of
//     tiles and boards of another tone are taken out of the cloth.
//     TestSegmentations measures it against a graph cut of the same colours.
//     What a JPEG has lost is allowed for (coded.go, steps.go, chroma.go). Gaps of
//     a print that have the ground's colour are known by what lies a repeat away
//     (period.go) and by that they come often (repeat.go), and holes too small to have clear ground in them by what is
//     about them (pierce.go), or by that a print has their colour nowhere else (lone.go).
//   - The scale comes from a scale sheet's QR codes or a plain sheet's corners:
//     a homography by the direct linear transform (R. Hartley, A. Zisserman,
//     Multiple View Geometry in Computer Vision, 2nd edition, 2004), then all
//     the sheets' edges and a radial bend of the lens (D. C. Brown, Decentering
//     distortion of lenses, 1966) by damped least squares; straight edges of
//     scraps and the joints of a floor make the bend truer (D. C. Brown, Close-range camera calibration,
//     1971).
//     The sides of plain sheets are fitted too, for paper is not cut to a tenth of a millimetre, and how the
//     camera leans is told by joints of a floor that run the same way as well (parallel.go), as far as even ones across them
//     bear out that they do not fan out (spaced.go).
//   - Each outline is sought anew in the whole picture, by dynamic programming
//     (A. Amini, T. Weymouth, R. Jain, Using dynamic programming for solving
//     variational problems in vision, 1990), and between its points where
//     the light is about half-way from the ground's to the cloth's, by its
//     steepest change (J. Canny, A computational approach to edge detection,
//     1986), less what the shadow beside the edge adds to that: by brightness
//     where cloth and ground differ in it, for a JPEG has that of each point, and
//     colours of squares of them. A shadow with an edge of its own, which lamps and the sun throw beside
//     thick cloth, is known by the ground's hue and by the side that all shadows lie on (cast.go). Its jumps are
//     evened out between corners by local regression (W. Cleveland, 1979). Corners,
//     which filtering wears off, are led on to where their sides meet, and
//     the picture says which of several such places it is.
//   - What made the picture may have mixed sRGB values and not light. The scale by which the black and white squares of a scale
//     sheet are of one size, or the edges of plain paper as sharp on both sides, is the one that all edges are sought on (even.go).
//   - A few spots of another colour on plain cloth are taken for stains.
//   - It is made simpler by the method of D. Douglas and T. Peucker (1973), and its
//     sides are moved inward by its own uncertainty, and
//     by what thick cloth hides of the ground from a camera that looks aside.
//
// The same picture gives the same scraps.
package photo

import (
	"context"
	"fmt"
	"image"
	"math"
	"slices"
	"sync"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Options is what a maker says of a picture.
type Options struct {
	Paper string // of a plain white sheet: a4 or letter; empty is as its shape says
}

// Scrap is a scrap that was found.
type Scrap struct {
	piece.Scrap
	Number      int     // in the picture
	UncertainMM float64 // by how much its outline is drawn inward, and its holes outward, at least
	bendMM      float64 // what of UncertainMM how the lens bends lines makes, in squares
	MeasuredMM2 float64 // the area before that, holes taken off
	Stripes     bool    // that its grain is taken from
	Colours     []string
	seen        [][]orb.Point // its outlines, in the picture
}

// Problem is something in the picture that a maker should see to. Number is
// that of a scrap that was left out because of it or is in doubt; 0 is the
// whole picture.
type Problem struct {
	Number  int
	Where   string // in the picture, as scraps are named
	What    string
	Cure    string
	LeftOut bool
	seen    [][]orb.Point
}

// String is the problem in one line.
func (p Problem) String() string {
	s := p.What + "; " + p.Cure
	if p.Number > 0 {
		s = fmt.Sprintf("number %d, %s: %s", p.Number, p.Where, s)
	}
	return s
}

// Result is what was found in a picture.
type Result struct {
	Scraps   []Scrap
	Problems []Problem
	Sheets   int
	Plain    string // the paper of plain sheets, if such were used
	// Whether the paper of printed scale sheets is too much like the ground to tell by
	// its edges that they were printed at 100 %.
	PrintUnseen bool
	MMPerPoint  float64 // at the picture's middle
	Small       int     // things too small to be used
	picture     *Picture
	view        *view
	sheets      [][]orb.Point // in the picture
}

// Trace finds the scraps in a picture.
func Trace(ctx context.Context, p *Picture, o Options) (*Result, error) {
	t, err := trace(ctx, p, o)
	if err != nil {
		return nil, err
	}
	return t.out, nil
}

func trace(ctx context.Context, p *Picture, o Options) (*tracer, error) {
	t := &tracer{p: p, f: newField(p), out: &Result{picture: p}}
	var err error
	if t.ground, err = newGround(t.f); err != nil {
		return nil, fmt.Errorf("%w; lay them on a floor or a sheet of one colour that differs from theirs, with some of it showing on all sides", err)
	}
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	t.labels = segment(t.f, t.ground)
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	if err := t.scale(o); err != nil {
		return nil, err
	}
	t.tidy()
	if err := t.scraps(ctx); err != nil {
		return nil, err
	}
	t.whole()
	t.name()
	return t, nil
}

// tracer is a picture while its scraps are found.
type tracer struct {
	p        *Picture
	f        *field
	ground   *ground
	labels   []uint8
	view     *fitted
	white    [3]float32 // the light of the sheet
	lit      float32    // that of the ground beside it
	blurs    []float64
	straight []plumb     // edges of what is left out that may be straight
	harsh    bool        // whether shadows with an edge of their own lie beside scraps
	paper    []rim       // across the edges of the sheets
	repeated []gap       // that were given to the cloth
	blind    []bool      // points of the field that are cloth by the repeat of its print alone
	spots    []int       // points of the field that may lie in holes, but are not sure to
	sure     []orb.Point // in the picture, that do
	out      *Result
}

// onSheet is a point of the field that a sheet covers.
const onSheet uint8 = 3

// What is smaller than the least is of no use, and what of a scrap its uncertainty leaves less than half of that.
const (
	leastMM2     = 250.0
	narrowMM2    = 150.0 // of what may prove to be that large: a narrow thing's edges are blurred all over
	leastHoleMM2 = 4.0
)

// mmPerFieldPoint is how far apart points of the field are on the ground, at the middle of
// the picture.
func (t *tracer) mmPerFieldPoint() float64 { return t.out.MMPerPoint * float64(t.f.by) }

// tidy takes the sheets, and threads, out of what is cloth.
func (t *tracer) tidy() {
	f := t.f
	for _, ring := range t.out.sheets {
		var grown []orb.Point
		mid := orb.Ring(ring).Bound().Center()
		for _, q := range ring {
			d := plane.Sub(q, mid)
			grown = append(grown, plane.Along(mid, d, 1+(2/t.out.MMPerPoint+float64(f.by))/plane.Length(d)))
		}
		b := orb.Ring(grown).Bound()
		by := float64(f.by)
		for y := max(0, int(b.Min[1]/by)); y < min(f.h, int(b.Max[1]/by)+1); y++ {
			for x := max(0, int(b.Min[0]/by)); x < min(f.w, int(b.Max[0]/by)+1); x++ {
				if plane.Holds(grown, orb.Point{(float64(x) + 0.5) * by, (float64(y) + 0.5) * by}) {
					t.labels[y*f.w+x] = onSheet
				}
			}
		}
	}
	t.islands()
	t.periods()
	t.repeats()
	t.joints()
	t.unthread(jointMM, onJoint, noJoints)
	t.unthread(threadMM, onGround, tips)
}

// scraps traces each patch of cloth.
func (t *tracer) scraps(ctx context.Context) error {
	perPoint := t.mmPerFieldPoint()
	least := int(max(20, 30/(perPoint*perPoint)))
	all, ids, err := t.mended(ctx, least)
	if err != nil {
		return err
	}
	var found []candidate
	number := 0
	for _, r := range all {
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		if float64(r.area)*perPoint*perPoint < narrowMM2 {
			t.out.Small++
			continue
		}
		number++
		c, ok := t.look(r, ids, number)
		switch {
		case ok:
			found = append(found, c)
		case float64(r.area)*perPoint*perPoint < leastMM2:
			t.forget(number)
		}
	}
	t.sharpen(found, ids, t.unshade(found))
	t.plumb(found)
	for _, c := range found {
		t.scrap(c, ids)
	}
	t.akin()
	slices.SortStableFunc(t.out.Problems, func(a, b Problem) int { return a.Number - b.Number })
	return nil
}

// mended is the patches of cloth of at least so many points, once what the ground has flooded of
// them, and they of the ground, is given back.
func (t *tracer) mended(ctx context.Context, least int) ([]region, []int32, error) {
	var bitten []image.Rectangle // patches that bites were given back to: more of the print may lie beyond those
	restore := func(r region, ids []int32) bool {
		given := t.restore(r, ids)
		if given {
			bitten = append(bitten, r.box)
		}
		return given
	}
	beyond := func(r region, ids []int32) bool {
		return slices.ContainsFunc(bitten, r.box.Overlaps) && t.restore(r, ids)
	}
	all, ids := regions(t.labels, t.f, least)
	for _, mend := range []func(region, []int32) bool{t.pierce, restore, beyond, t.shed, t.lone} {
		again := false
		for _, r := range all {
			if ctx.Err() != nil {
				return nil, nil, context.Cause(ctx)
			}
			again = mend(r, ids) || again
		}
		if again {
			all, ids = regions(t.labels, t.f, least)
		}
	}
	return all, ids, nil
}

// candidate is a patch of cloth that may be a scrap, with its outlines in the
// picture.
type candidate struct {
	region
	number   int
	outlines []traced
	across   []orb.Point // where its outline was led across a wide place of its own colour
	shadowed []orb.Point // where it may go round a shadow with a sharp edge
	own      func() *ownColours
}

// leave says why a patch of cloth is left out.
func (t *tracer) leave(number int, what, cure string, seen ...[]orb.Point) {
	t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(seen[0]), What: what, Cure: cure, LeftOut: true, seen: seen})
}

// look finds the outlines of one patch of cloth in the picture, or says why not.
func (t *tracer) look(r region, ids []int32, number int) (candidate, bool) {
	c := candidate{region: r, number: number, own: sync.OnceValue(func() *ownColours { return t.ownColours(r, ids) })}
	if r.rim {
		t.keepStraight(r)
		t.leave(number, "it is cut off by the picture's edge", "step back, or move it in", r.rings[0])
		return c, false
	}
	if t.besideSheet(r, ids) {
		t.leave(number, "it touches the sheet", "move it away from the sheet", r.rings[0])
		return c, false
	}
	if t.unreadSheet(r, ids) {
		t.leave(number, "it is a printed sheet by its size and look, but its codes cannot be read", "lay it flat in even light, and come nearer", r.rings[0])
		return c, false
	}
	tiles := t.tiling(r, ids)
	line, sure, flush := t.seam(r, ids, tiles)
	where := t.overlay(tiles)
	switch {
	case sure, line != nil && where != nil && !(flush && t.borders(line, where, tiles)):
		t.keepStraight(r)
		t.leave(number, "two scraps touch or overlap here", "lay them apart", r.rings[0], line)
		return c, false
	case line != nil:
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "it looks unlike on both sides of a line across it: two scraps that touch, or one print", Cure: "if they are two, lay them apart", seen: [][]orb.Point{r.rings[0], line}})
	case where != nil:
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "a large patch of another colour lies on it: another scrap, or its print", Cure: "if it is another scrap, lay them apart", seen: [][]orb.Point{r.rings[0], scattered(where, 40)}})
	}
	var spots []orb.Point
	for _, k := range t.spots {
		if ids[k] == r.id {
			spots = append(spots, t.f.middle(k))
		}
	}
	if spots != nil {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "a spot in it has a colour that it has nowhere else: it may be a hole or a stain", Cure: "check there by hand, and draw it in as a flaw if it is one", seen: [][]orb.Point{r.rings[0], spots}})
	}
	lit := t.litPrint(r, ids)
	for i, ring := range r.rings {
		mm2 := plane.Area(ring) * t.out.MMPerPoint * t.out.MMPerPoint
		sure := i > 0 && t.isSure(ring)
		if i > 0 && (mm2 < leastHoleMM2 || !sure && c.own().fills(ring)) {
			continue
		}
		if i > 0 && mm2 < tinyMM2 && !sure && c.own().often(ring) {
			lit = true
			continue
		}
		c.outlines = append(c.outlines, t.p.outline(ring, t.f, t.ground, t.labels))
	}
	edge := c.outlines[0].at
	switch where, weak := alike(c.outlines[0]); {
	case weak > mostWeak && !(weak < mostWeakPrint && t.completed(r, ids)):
		t.leave(number, "its colour is too like the ground's", "lay it on a ground of another colour", edge, where)
		return c, false
	case weak > 0.03:
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "its colour is nearly the ground's along a part of its edge", Cure: "check that part by hand, or lay it on a ground of another colour", seen: [][]orb.Point{edge, where}})
	}
	if lit {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "gaps in it have the ground's colour, and are taken for its print", Cure: "check its outline by hand and draw holes in as flaws, or lay it on a ground of another colour", seen: [][]orb.Point{edge}})
	}
	if where := t.besideJoints(r.rings); where != nil {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "a joint of the ground, or a thread, meets its edge", Cure: "check there by hand that the outline does not run along it, or lay a sheet of one colour under the scraps", seen: [][]orb.Point{edge, where}})
	}
	return c, true
}

// scrap measures one patch of cloth, or says why not.
func (t *tracer) scrap(c candidate, ids []int32) {
	r, number, outlines := c.region, c.number, c.outlines
	s := Scrap{Number: number, Scrap: piece.Scrap{Count: 1, GrainDeg: 90}}
	var mm [][]orb.Point
	for _, o := range outlines {
		s.seen = append(s.seen, o.at)
		ring := make([]orb.Point, len(o.at))
		for i, q := range o.at {
			ring[i] = t.view.ground(q)
		}
		mm = append(mm, ring)
	}
	s.UncertainMM, s.bendMM = t.uncertain(outlines[0], mm[0])
	if !(s.UncertainMM < mostUncertainMM) {
		what, cure := "it lies too far from the sheet to be measured", "lay the sheet, or a second one, near it"
		if s.byLens() {
			what, cure = fmt.Sprintf("%s: it may be off by more than %g mm", lensUnsure, mostUncertainMM), lensCure
		}
		t.leave(number, what, cure, r.rings[0])
		return
	}
	aside := plane.Scale(t.view.aside(orb.Ring(mm[0]).Bound().Center()), clothMM)
	s.Outline = inward(mm[0], s.UncertainMM, aside)
	s.MeasuredMM2 = plane.Area(mm[0])
	narrow := plane.Area(s.Outline) < leastMM2/2
	s.seen = s.seen[:1]
	for i, hole := range mm[1:] {
		// A hole runs the other way, so that inward is into the cloth.
		h := inward(hole, s.UncertainMM, aside)
		if max(plane.Area(hole), plane.Area(h)) < leastHoleMM2 {
			continue // the whole picture does not bear it out
		}
		if plane.SignedArea(h) < 0 {
			slices.Reverse(h)
		}
		s.MeasuredMM2 -= plane.Area(hole)
		s.Holes, s.seen = append(s.Holes, h), append(s.seen, outlines[1+i].at)
	}
	if s.MeasuredMM2 < leastMM2 {
		t.forget(number)
		return
	}
	if narrow {
		what, cure := fmt.Sprintf("it is too narrow for an outline that may be off by %.1f mm", s.UncertainMM), "photograph it from nearer, with the sheet beside it"
		if s.byLens() {
			what = fmt.Sprintf("%s: %s", lensUnsure, what)
		}
		t.leave(number, what, cure, r.rings[0])
		return
	}
	if !sound(&s) {
		t.leave(number, "its outline cannot be drawn as one line", "lay it flat, and photograph it from nearer", r.rings[0])
		return
	}
	if n := len(s.Holes); n > manyHoles {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: fmt.Sprintf("%d holes are seen in it", n), Cure: "if they are its print, lay it on a ground of another colour", seen: s.seen})
	}
	if c.across != nil {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "its outline was led across a place at its edge that has a colour of its print", Cure: "check there by hand that it is cloth, or lay it on a ground of another colour", seen: [][]orb.Point{outlines[0].at, c.across}})
	}
	if where := kinks(outlines[0].at, mm[0]); where != nil {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "its outline turns in at an angle that is no clean corner", Cure: "check there by hand that it runs along the cloth's edge: a colour of its print or a shadow may have led it", seen: [][]orb.Point{outlines[0].at, where}})
	}
	if where := t.bays(r, ids, outlines[0].at, mm[0]); where != nil {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "its edge turns in round a colour of its print", Cure: "check there by hand whether that is cloth, or lay it on a ground of another colour", seen: [][]orb.Point{outlines[0].at, where}})
	}
	if where := t.beside(r, ids); where != nil {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "something lies at its edge that is not the ground as it is lit: a shadow, or a part of it", Cure: "check there by hand that the outline goes round all of it, or lay it on a ground of another colour", seen: [][]orb.Point{outlines[0].at, where}})
	}
	if c.shadowed != nil {
		t.out.Problems = append(t.out.Problems, Problem{Number: number, Where: t.place(r.rings[0]), What: "its edge may not be told from the shadow beside it: its outline may be too large", Cure: "check by hand the side that the shadow lies on, or photograph it in even light", seen: [][]orb.Point{outlines[0].at, c.shadowed}})
	}
	t.grain(&s, r, ids)
	if !s.Stripes {
		t.spoil(&s, r, ids)
	}
	t.colours(&s, r, ids)
	t.blurs = append(t.blurs, outlines[0].blurPx)
	t.out.Scraps = append(t.out.Scraps, s)
}

// forget counts a patch of cloth as too small, and says nothing else of it.
func (t *tracer) forget(number int) {
	t.out.Small++
	t.out.Problems = slices.DeleteFunc(t.out.Problems, func(p Problem) bool { return p.Number == number })
}

// sound is whether an outline can be read back.
func sound(s *Scrap) bool {
	for _, r := range append([]orb.Ring{s.Outline}, s.Holes...) {
		if len(r) < 3 || plane.Area(r) < 1 {
			return false
		}
		if _, crossed := piece.SelfCrossing(r); crossed {
			return false
		}
	}
	return true
}

// Beyond this a sheet's own outline, or a scrap's, says nothing.
const (
	mostStrayMM     = 2.0
	mostUncertainMM = 8.0
)

// More holes than these are seldom holes: they are a print of the ground's colour.
const manyHoles = 5

// What an outline is off by itself on average: so many points of the picture all round,
// which is what staged pictures show, a part of what it jumps from place to place, for that is
// evened out, and no less than cloth's own edge.
const (
	edgePx           = 0.18
	roughPart        = 0.7
	leastUncertainMM = 0.05 // and it is rounded to so much
	viewErrs         = 0.6  // of what the sheets alone say of the view's own error, but for the bend's: what staged pictures show
)

// uncertain is the standard deviation of an outline's place: from the edge's
// own, and from the view's; and what of that is the bend's.
func (t *tracer) uncertain(o traced, mm []orb.Point) (all, byBend float64) {
	mid := orb.Ring(o.at).Bound().Center()
	edge := t.view.mmPerPoint(mid) * math.Hypot(math.Hypot(edgePx*max(1, o.blurPx), roughPart*o.roughPx), math.Hypot(o.bitePx, o.castPx))
	stray, bend, paper := t.view.strayMM(mm)
	view := math.Hypot(math.Hypot(viewErrs*math.Sqrt(stray*stray-bend*bend), bend), paper)
	return math.Round(max(leastUncertainMM, math.Hypot(edge, view))/leastUncertainMM) / (1 / leastUncertainMM), bend
}

// hardlyTold is the CIELAB units within which cloth and ground are hardly told
// apart; what differs by 2 is just seen side by side (common practice, no source).
const hardlyTold = 8.0

// alike is the part of an outline where cloth and ground are hardly told apart,
// and how much of the whole that is.
func alike(o traced) (where []orb.Point, part float64) {
	even := medians(o.contrast, 4)
	for i, c := range even {
		if c < hardlyTold {
			where = append(where, o.at[i])
		}
	}
	return where, float64(len(where)) / float64(len(even))
}

// What part of an outline may be hardly told, of cloth and of a print that is known
// by its repeat.
const (
	mostWeak      = 0.15
	mostWeakPrint = 0.6
)

// besideSheet is whether a patch of cloth meets a sheet along more than 6 mm.
func (t *tracer) besideSheet(r region, ids []int32) bool {
	n, f := 0, t.f
	for y := max(1, r.box.Min.Y); y < min(f.h-1, r.box.Max.Y); y++ {
		for x := max(1, r.box.Min.X); x < min(f.w-1, r.box.Max.X); x++ {
			k := y*f.w + x
			if ids[k] == r.id && (t.labels[k-1] == onSheet || t.labels[k+1] == onSheet || t.labels[k-f.w] == onSheet || t.labels[k+f.w] == onSheet) {
				n++
			}
		}
	}
	return float64(n)*t.mmPerFieldPoint() > 6
}

// besideJoints is the points of rings that joints of the ground come near to.
func (t *tracer) besideJoints(rings []orb.Ring) (where []orb.Point) {
	const near = 3
	f := t.f
	for _, ring := range rings {
		for _, q := range ring {
			x, y := int(q[0])/f.by, int(q[1])/f.by
			for _, d := range [4][2]int{{-near, 0}, {near, 0}, {0, -near}, {0, near}} {
				if i, k := x+d[0], y+d[1]; i >= 0 && k >= 0 && i < f.w && k < f.h && t.labels[k*f.w+i] == onJoint {
					where = append(where, q)
					break
				}
			}
		}
	}
	return where
}
