package photo

import (
	"cmp"
	"errors"
	"fmt"
	"image"
	"math"
	"slices"
	"strings"

	"eke/piece/plane"
	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
	"gonum.org/v1/gonum/spatial/r3"
)

// How light how free of hue and how even paper is at least, in CIELAB: generous, for light may be dim and warm.
const (
	paperLeastL    = 55
	paperMostHue   = 24
	paperMostSlope = 4 // units a point of the field, at the median
)

const leastSheet = 900 // points of the field

// lightParts is the parts of the picture that may hold a scale sheet.
func (t *tracer) lightParts(all []region) []image.Rectangle {
	var out []image.Rectangle
	for _, r := range all {
		light, n := 0, 0
		for y := r.box.Min.Y; y < r.box.Max.Y; y += 2 {
			for x := r.box.Min.X; x < r.box.Max.X; x += 2 {
				c := t.f.colour[y*t.f.w+x]
				if n++; c[0] > paperLeastL && hue(c) < paperMostHue {
					light++
				}
			}
		}
		if 4*light > n {
			out = append(out, image.Rect(r.box.Min.X*t.f.by, r.box.Min.Y*t.f.by, r.box.Max.X*t.f.by, r.box.Max.Y*t.f.by))
		}
	}
	return out
}

func hue(c lab) float64 { return math.Hypot(float64(c[1]), float64(c[2])) }

// page is a patch that may be a plain sheet: its corners in the picture,
// clockwise, and the paper that it has the shape of.
type page struct {
	corners [4]orb.Point
	paper   scalesheet.Paper
	tone    lab // the median of its colours' parts
}

// plainSheets finds the plain white sheets in the picture, and names their paper. Where a maker says
// which it is, and the patches are whole, it may be seen by any lens.
func (t *tracer) plainSheets(all []region, whole bool, o Options) ([]sheetSeen, string, error) {
	papers := scalesheet.Papers
	if o.Paper != "" {
		p, err := scalesheet.ParsePaper(o.Paper)
		if err != nil {
			return nil, "", err
		}
		papers = []scalesheet.Paper{p}
	}
	var pages, others []page // by the usual lens, and by any if the paper is known
	for _, white := range t.whites(all) {
		if p, ok := t.shaped(white.corners, papers); ok {
			p.tone = white.tone
			pages = append(pages, p)
		} else if p, ok := t.seenBy(focals, white.corners, papers, wholePicture); ok && whole && o.Paper != "" {
			others = append(others, p)
		}
	}
	if len(pages) == 0 {
		pages = others
	}
	if len(pages) == 0 {
		return nil, "", errNoSheet
	}
	if len(pages) > 1 {
		borneOut := t.ofOneScale(pages)
		if white := whitest(pages); len(borneOut) < 2 && white != nil {
			t.out.Problems = append(t.out.Problems, Problem{
				What: "more than one pale thing in the picture has the shape of a sheet of paper, and the whitest is taken for the sheet",
				Cure: "look whether the sheet is the one that is framed in the picture",
			})
			pages = []page{*white}
		} else if pages = borneOut; len(pages) < 2 {
			return nil, "", errors.New("more than one white thing in the picture has the shape of a sheet of paper, and they cannot all be one; take away what is none, or lay a scale sheet (eke sheets --scale-sheet) instead")
		}
	}
	switch {
	case len(pages) != 1:
	case o.Paper != "":
		if t.between(pages[0]) != nil {
			t.takenAsSaid(pages[0].paper)
		}
	default:
		if other := t.orElse(pages[0]); other != nil {
			t.out.Problems = append(t.out.Problems, Problem{
				What: fmt.Sprintf("the sheet is taken for %s, but by a wide or a long lens it would be %s, and all sizes with it", pages[0].paper.Name, other.Name),
				Cure: "say which it is (--paper), or photograph it from straight above",
			})
		} else if other := t.between(pages[0]); other != nil {
			t.out.Problems = append(t.out.Problems, Problem{
				What: fmt.Sprintf("the sheet is taken for %s, but its shape lies between that and %s, as if the picture was stretched: if it is %s, all sizes are wrong", pages[0].paper.Name, other.Name, other.Name),
				Cure: "say which it is (--paper), and give photographs as the camera made them, not cut or stretched",
			})
		}
	}
	return t.seenPages(pages)
}

// takenAsSaid tells of a sheet that is taken for a paper because a maker names it.
func (t *tracer) takenAsSaid(paper scalesheet.Paper) {
	t.out.Problems = append(t.out.Problems, Problem{
		What: fmt.Sprintf("the white sheet has not quite the shape of %s as a camera sees it, and is taken for that because you say so", paper.Name),
		Cure: "measure a scrap by hand, and give photographs as the camera made them, not cut or stretched",
	})
}

// saidSheet is the one white thing with four straight sides that has about the shape of the paper that a maker
// names. A part of a photograph, or one that was stretched, shows a sheet in a shape that no lens gives it; one that has
// the shape of another paper, and not one between the two, is refused, for by the wrong paper all sizes are wrong.
func (t *tracer) saidSheet(all []region, o Options) ([]sheetSeen, string, error) {
	paper, err := scalesheet.ParsePaper(o.Paper)
	if err != nil {
		return nil, "", err
	}
	pages := t.nearly(all, paper)
	if len(pages) != 1 {
		return nil, "", errNoSheet
	}
	if other, ok := t.shaped(pages[0].corners, scalesheet.Papers); ok && other.paper.Name != paper.Name && !t.isBetween(other, paper) {
		return nil, "", fmt.Errorf("the white sheet has the shape of %s, not of %s; say --paper %s if it is that, or else give the photograph as the camera made it, not cut or stretched", other.paper.Name, paper.Name, other.paper.Name)
	}
	t.takenAsSaid(paper)
	return t.seenPages(pages)
}

// nearly is the white things with four straight sides that have about the shape of a paper.
func (t *tracer) nearly(all []region, paper scalesheet.Paper) (pages []page) {
	for _, white := range t.whites(all) {
		if p, ok := t.seenBy(focals, white.corners, []scalesheet.Paper{paper}, partOfPicture); ok {
			pages = append(pages, p)
		}
	}
	return pages
}

// misshapen says of the one white thing that would be taken for the sheet, if its paper was said, that no camera sees a sheet
// so. It is nil if there is none.
func (t *tracer) misshapen(all []region) error {
	var names []string
	var ring []orb.Point
	for _, paper := range scalesheet.Papers {
		if pages := t.nearly(all, paper); len(pages) == 1 {
			names, ring = append(names, "--paper "+paper.Name), pages[0].corners[:]
		}
	}
	if names == nil {
		return nil
	}
	return fmt.Errorf("the white thing with four straight sides (%s) has not the shape of A4 or letter paper as a camera sees it; if it is the sheet, give the photograph as the camera made it, not cut or stretched, or say which paper it is (%s); if not, lay a scale sheet (eke sheets --scale-sheet) or a plain white one of A4 or letter paper among the scraps", t.place(ring), strings.Join(names, " or "))
}

// whitest is the page that is clearly whiter than all others; nil if none is.
func whitest(pages []page) *page {
	const clearly = 10 // CIELAB units lighter, at least: between what cloth and paper, both called white, differ by
	best := slices.MaxFunc(pages, func(a, b page) int { return cmp.Compare(a.tone[0], b.tone[0]) })
	for _, p := range pages {
		if p.corners != best.corners && (best.tone[0] < p.tone[0]+clearly || hue(best.tone) > hue(p.tone)+clearly/2) {
			return nil
		}
	}
	return &best
}

// whites is the patches with four straight sides that look like white paper.
func (t *tracer) whites(all []region) (out []page) {
	for _, r := range all {
		if r.rim || r.area < leastSheet {
			continue
		}
		tone, white := t.paperWhite(r)
		if corners, ok := foursquare(r.rings[0]); white && ok {
			out = append(out, page{corners: corners, tone: tone})
		}
	}
	return out
}

// seenPages is pages as sheets, and the names of their papers.
func (t *tracer) seenPages(pages []page) ([]sheetSeen, string, error) {
	var out []sheetSeen
	var names []string
	for _, p := range pages {
		out = append(out, p.seen(float64(t.f.by)))
		if !slices.Contains(names, p.paper.Name) {
			names = append(names, p.paper.Name)
		}
	}
	return out, strings.Join(names, " and "), nil
}

// boardUnits is by how many CIELAB units a board of a rendered floor is lighter than the ground is taken to
// be there, where it is at its lightest; paper is lighter still.
const boardUnits = 12.0

// lighter is the patches of what is lighter than the ground by so many CIELAB units, and for each point of
// the field the patch that it is in: without the dark joints of tiles and boards that a sheet lies on, and
// that tie it to what else they meet.
func (t *tracer) lighter(by float32) ([]region, []int32) {
	f := t.f
	labels := make([]uint8, len(t.labels))
	for k, l := range t.labels {
		if g, _ := t.ground.at(float64(k%f.w), float64(k/f.w)); l == onCloth && f.colour[k][0] > g[0]+by {
			labels[k] = onCloth
		}
	}
	return regions(labels, f, leastSheet)
}

// spurless is patches without what is narrower than a sheet's sides may be uneven, such as the
// edge of a board that a sheet lies on.
func (t *tracer) spurless(all []region, ids []int32) []region {
	const pit = 2 // points of the field that noise makes in it
	f := t.f
	labels := make([]uint8, len(ids))
	for _, r := range all {
		if r.rim {
			continue
		}
		_, far := farthestFrom(r.rings[0], r.rings[0].Bound().Center())
		reach := int(uneven(far) / float64(f.by))
		box := r.box.Inset(-reach - pit).Intersect(image.Rect(0, 0, f.w, f.h))
		w, h := box.Dx(), box.Dy()
		is := make([]bool, w*h)
		for i := range is {
			is[i] = ids[f.at(box, i)] == r.id
		}
		for i, is := range dilated(eroded(dilated(is, w, h, pit), w, h, pit+reach), w, h, reach) {
			if is {
				labels[f.at(box, i)] = onCloth
			}
		}
	}
	out, _ := regions(labels, f, leastSheet)
	return out
}

// ofOneScale is the most pages that bear each other out: each has the size of its
// paper when it is measured by the first of them. A piece of white cloth seldom has
// that too.
func (t *tracer) ofOneScale(pages []page) (best []page) {
	const most = 0.015 // of a side: what the lens's bend makes of it away from the middle
	for i, p := range pages {
		v := newView(t.p.Width, t.p.Height)
		if v.homography(cornerMatches(p.corners, p.paper)) != nil {
			continue
		}
		f, err := t.p.refine(v, p.seen(float64(t.f.by)))
		if err != nil {
			continue
		}
		group := []page{p}
		for k, q := range pages {
			if k == i {
				continue
			}
			var at [4]orb.Point
			for c := range at {
				at[c] = f.ground(q.corners[c])
			}
			across := (plane.Distance(at[0], at[1]) + plane.Distance(at[3], at[2])) / 2
			along := (plane.Distance(at[1], at[2]) + plane.Distance(at[0], at[3])) / 2
			if math.Abs(across/q.paper.WidthMM-1) < most && math.Abs(along/q.paper.HeightMM-1) < most {
				group = append(group, q)
			}
		}
		if len(group) > len(best) {
			best = group
		}
	}
	return best
}

// paperWhite is whether a patch looks like white paper, and the median of its colours' parts.
func (t *tracer) paperWhite(r region) (tone lab, ok bool) {
	var tint, slope []float64
	var parts [3][]float64
	for y := r.box.Min.Y + 1; y < r.box.Max.Y-1; y += 3 {
		for x := r.box.Min.X + 1; x < r.box.Max.X-1; x += 3 {
			k := y*t.f.w + x
			if t.labels[k] != onCloth {
				continue
			}
			c := t.f.colour[k]
			for i, v := range c {
				parts[i] = append(parts[i], float64(v))
			}
			tint = append(tint, hue(c))
			slope = append(slope, c.apart(t.f.colour[k-1]))
		}
	}
	if len(tint) < 50 {
		return lab{}, false
	}
	for i := range tone {
		tone[i] = float32(median(parts[i]))
	}
	return tone, tone[0] > paperLeastL && median(tint) < paperMostHue && median(slope) < paperMostSlope
}

// foursquare is the corners of a ring that has four straight sides.
func foursquare(ring orb.Ring) (out [4]orb.Point, ok bool) {
	start, size := farthestFrom(ring, ring.Bound().Center())
	turned := append(append(orb.Ring{}, ring[start:]...), ring[:start+1]...)
	simple := simplify.DouglasPeucker(0.05 * size).Ring(turned)
	if len(simple) != 5 {
		return out, false
	}
	copy(out[:], simple)
	for _, q := range ring {
		if plane.ToRing(out[:], q) > uneven(size) {
			return out, false
		}
	}
	return out, plane.Area(ring) > 0.9*plane.Area(out[:])
}

// uneven is how far the sides of a sheet may be from straight where its corners are so far from its middle, in
// points of the picture.
func uneven(size float64) float64 { return 0.02*size + 3 }

// farthestFrom is which node of a ring is farthest from a place, and how far.
func farthestFrom(ring orb.Ring, at orb.Point) (node int, far float64) {
	for i, q := range ring {
		if d := plane.Distance(q, at); d > far {
			node, far = i, d
		}
	}
	return node, far
}

// usualFocal is the focal length of phones' main cameras, in half diagonals of
// the picture: 23 to 28 mm for a diagonal of 43 mm (from memory). It matters
// little where the camera looks nearly straight down.
const usualFocal = 1.17

// focals is those of other lenses, from 13 mm to 78 mm for a diagonal of 43 mm (from memory).
var focals = func() (out []float64) {
	for f := 0.6; f < 3.7; f *= 1.08 {
		out = append(out, f)
	}
	return out
}()

// mostTiltDeg is how far the camera may look aside.
const mostTiltDeg = 40

// likeness is how far a page may be from the shape of a paper.
type likeness struct {
	skew  float64 // the cosine of the angle that its sides may seem to make
	ratio float64 // the part by which the ratio of its sides may be off
}

var (
	// Its corners are found to about a degree, and cloth is seldom cut so square; A4 and letter differ by 0.09.
	wholePicture = likeness{skew: 0.04, ratio: 0.035}
	// Chosen, not measured: of a picture that a third was cut off at one side, seen 20° aside, it is within that.
	partOfPicture = likeness{skew: 0.15, ratio: 0.15}
)

// shaped is the paper whose shape a quadrilateral has, square corners and all, seen
// by a usual camera (Z. Zhang, L.-W. He, Whiteboard scanning and image enhancement,
// 2007).
func (t *tracer) shaped(corners [4]orb.Point, papers []scalesheet.Paper) (page, bool) {
	return t.seenBy([]float64{usualFocal}, corners, papers, wholePicture)
}

// orElse is the paper that a page would be too, were it seen by another lens than the usual one;
// nil if it would be none.
func (t *tracer) orElse(p page) *scalesheet.Paper {
	for _, other := range scalesheet.Papers {
		if _, ok := t.seenBy(focals, p.corners, []scalesheet.Paper{other}, wholePicture); ok && other.Name != p.paper.Name {
			return &other
		}
	}
	return nil
}

// nearlyPaper is the part by which the ratio of a sheet's sides is off by the usual lens, at most, where its paper is not in
// doubt: in rendered pictures that no one stretched it was 0.010 at most, seen 29° aside.
const nearlyPaper = 0.015

// between is the paper that a page would be too, were the picture stretched: the page is clearly off the shape of what it
// is taken for, by its edges, towards that one; nil if there is none.
func (t *tracer) between(p page) *scalesheet.Paper {
	v := newView(t.p.Width, t.p.Height)
	if v.homography(cornerMatches(p.corners, p.paper)) != nil {
		return nil
	}
	f, err := t.p.refine(v, p.seen(float64(t.f.by)))
	if err != nil {
		return nil
	}
	off, _, _ := askew(f.h, usualFocal)
	if off < nearlyPaper {
		return nil
	}
	for k := range p.corners {
		p.corners[k] = f.point(cornerMatches(p.corners, p.paper)[k].ground)
	}
	for _, other := range scalesheet.Papers {
		apart := math.Abs(math.Log(other.HeightMM * p.paper.WidthMM / (other.WidthMM * p.paper.HeightMM)))
		like := likeness{skew: partOfPicture.skew, ratio: apart - off/2}
		if _, ok := t.seenBy([]float64{usualFocal}, p.corners, []scalesheet.Paper{other}, like); ok && other.Name != p.paper.Name {
			return &other
		}
	}
	return nil
}

// isBetween reports whether the shape of a page lies between its paper's and that of another.
func (t *tracer) isBetween(p page, other scalesheet.Paper) bool {
	found := t.between(p)
	return found != nil && found.Name == other.Name
}

// seenBy is the paper whose shape a quadrilateral has by one of some lenses.
func (t *tracer) seenBy(lenses []float64, corners [4]orb.Point, papers []scalesheet.Paper, like likeness) (page, bool) {
	var best page
	off := like.ratio
	for _, p := range papers {
		for turn := range 2 {
			c := corners
			if turn == 1 {
				c = [4]orb.Point{corners[1], corners[2], corners[3], corners[0]}
			}
			v := newView(t.p.Width, t.p.Height)
			if v.homography(cornerMatches(c, p)) != nil {
				continue
			}
			for _, focal := range lenses {
				if d, skew, ok := askew(v.h, focal); ok && skew <= like.skew && d < off {
					best, off = page{corners: c, paper: p}, d
				}
			}
		}
	}
	return best, off < like.ratio
}

// askew is by which part the ratio of a page's sides is off by a lens, the cosine of the angle between
// them, and whether the camera does not look too far aside.
func askew(h [8]float64, focal float64) (ratio, skew float64, ok bool) {
	along := func(i int) r3.Vec { return r3.Vec{X: h[i] / focal, Y: h[i+3] / focal, Z: h[i+6]} }
	x, y := along(0), along(1)
	up := r3.Unit(r3.Cross(x, y))
	ok = math.Abs(up.Z) >= math.Cos(mostTiltDeg*math.Pi/180)
	return math.Abs(math.Log(r3.Norm(x) / r3.Norm(y))), math.Abs(r3.Cos(x, y)), ok
}

func cornerMatches(c [4]orb.Point, p scalesheet.Paper) []match {
	return []match{{orb.Point{}, c[0]}, {orb.Point{p.WidthMM, 0}, c[1]}, {orb.Point{p.WidthMM, p.HeightMM}, c[2]}, {orb.Point{0, p.HeightMM}, c[3]}}
}

// seen is the page as a sheet with its four sides as edges.
func (p page) seen(by float64) sheetSeen {
	s := sheetSeen{matches: cornerMatches(p.corners, p.paper), size: orb.Point{p.paper.WidthMM, p.paper.HeightMM}}
	around := 0.0
	for i, a := range s.matches {
		b := s.matches[(i+1)%4]
		for _, e := range side(a.ground, b.ground) {
			e.side.number = i + 1
			s.edges = append(s.edges, e)
		}
		around += plane.Distance(a.at, b.at) / (2 * (p.paper.WidthMM + p.paper.HeightMM))
	}
	s.reachMM = (3*by + 4) / around
	return s
}

// side is the edges of one side of a page, clear of its corners, which may be
// worn. The page is to the right of the way from a to b.
func side(a, b orb.Point) []edge {
	const bits = 24
	along := plane.Sub(b, a)
	long := plane.Length(along)
	in := orb.Point{-along[1] / long, along[0] / long}
	var out []edge
	for k := range bits {
		f := 0.05 + 0.9*(float64(k)+0.5)/bits
		out = append(out, edge{at: plane.Lerp(a, b, f), light: in, halfMM: 0.45 * long / bits, side: paperSide{in: in, along: 2*f - 1}})
	}
	return out
}
