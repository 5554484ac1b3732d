package photo

import (
	"errors"
	"fmt"
	"image"
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// sheetSeen is a sheet in the picture: its edges, and matches to begin with.
type sheetSeen struct {
	matches []match
	edges   []edge
	more    []edge  // of codes that were not read, where they must be
	reachMM float64 // how far an edge may be from where the matches have it
	size    orb.Point
}

var errNoSheet = errors.New("there is no sheet in the picture that gives its scale; lay a scale sheet (eke sheets --scale-sheet), or a plain white sheet of A4 or letter paper on a darker ground, flat among the scraps, wholly in the picture, with nothing on it, and photograph them again from straight above; of a plain one that is seen slanted, say which it is (--paper)")

// scale works out the view from the sheets in the picture.
func (t *tracer) scale(o Options) error {
	all, _ := regions(t.labels, t.f, 400)
	found, err := t.p.scaleSheets(t.lightParts(all))
	if err != nil {
		return err
	}
	if len(found) == 0 {
		if found, t.out.Plain, err = t.unprinted(all, o); err != nil {
			return err
		}
	}
	if t.view, found, err = t.p.register(found); err != nil {
		return fmt.Errorf("the sheet in the picture cannot be measured (%w); lay it flat, in even light, and come nearer or hold the camera steadier", err)
	}
	found = t.mixes(found)
	t.view.upright()
	t.out.view = &t.view.view
	t.out.Sheets = len(t.view.sheets)
	t.out.MMPerPoint = t.view.mmPerPoint(t.view.mid)
	if away := t.out.MMPerPoint; away > 3 || away < 0.01 || math.IsNaN(away) {
		return fmt.Errorf("the sheet in the picture gives a scale of %.3g mm a point, which cannot be; lay it flat, all of it in the picture, and photograph it from above", away)
	}
	for i, l := range t.view.sheets {
		var ring, mm []orb.Point
		size := found[i].size
		for _, c := range (orb.Ring{{}, {size[0], 0}, size, {0, size[1]}}) {
			ring = append(ring, t.view.onSheets(l.on(c)))
			mm = append(mm, t.view.ground(ring[len(ring)-1]))
		}
		if stray, _, _ := t.view.strayMM(mm); !(stray < mostStrayMM) {
			return errors.New("the sheet in the picture cannot be measured (too little of its edges is clearly seen); lay it flat, with nothing on it and nothing near it, and photograph it again, sharp and from above")
		}
		t.out.sheets = append(t.out.sheets, ring)
	}
	t.lightOfSheet(found)
	t.paper = t.paperRims(found)
	if t.out.Plain == "" {
		return t.printed(found)
	}
	return nil
}

// unprinted finds the plain sheets in a picture without a scale sheet, and names their paper, or says why there are none.
func (t *tracer) unprinted(all []region, o Options) ([]sheetSeen, string, error) {
	plain, paper, err := t.plainSheets(all, true, o)
	if errors.Is(err, errNoSheet) {
		lighter, _ := t.lighter(hardlyTold / 2)
		plain, paper, err = t.plainSheets(lighter, true, o)
	}
	for _, by := range [...]float32{hardlyTold / 2, boardUnits} {
		if errors.Is(err, errNoSheet) {
			plain, paper, err = t.plainSheets(t.spurless(t.lighter(by)), false, o)
		}
	}
	if errors.Is(err, errNoSheet) && o.Paper != "" {
		plain, paper, err = t.saidSheet(all, o)
	}
	if errors.Is(err, errNoSheet) {
		switch blur, ok := t.blur(all); {
		case t.dark():
			err = errors.New("the picture is too dark to see a sheet in it; photograph it in more light, without a flash, and with a scale sheet (eke sheets --scale-sheet) or a plain white one among the scraps")
		case ok && blur > mostBlurPx:
			err = fmt.Errorf("no sheet can be read, for the picture is blurred (edges are %.0f points wide); hold the camera still, tap the sheet so that it is sharp, and photograph them again, with a scale sheet (eke sheets --scale-sheet) or a plain white one among the scraps", 2*blur)
		case o.Paper == "":
			if misshapen := t.misshapen(all); misshapen != nil {
				err = misshapen
			}
		}
	}
	return plain, paper, err
}

// lightOfSheet measures the white of the sheets beside their edges.
func (t *tracer) lightOfSheet(found []sheetSeen) {
	var sum [3]float32
	var lit float32
	n := float32(0)
	for i, l := range t.view.sheets {
		for _, e := range found[i].edges {
			q := t.view.onSheets(l.on(plane.Along(e.at, e.light, 1.5)))
			add(&sum, t.p.linearAt(q[0], q[1]))
			_, g := t.ground.at(q[0]/float64(t.f.by), q[1]/float64(t.f.by))
			lit += g[1]
			n++
		}
	}
	t.white = [3]float32{sum[0] / n, sum[1] / n, sum[2] / n}
	t.lit = lit / n
}

// scaleSheets looks for scale sheets: first in the parts of the picture that
// may be one, then in the whole, made smaller, and as it is if there was next to nothing.
func (p *Picture) scaleSheets(parts []image.Rectangle) ([]sheetSeen, error) {
	var all []codeSeen
	for _, r := range parts {
		all = append(all, p.codes(r.Inset(-8), 900)...)
	}
	// A sheet that is as light as the ground is in none of them.
	whole := image.Rect(0, 0, p.Width, p.Height)
	all = append(all, p.codes(whole, 1600)...)
	if len(all) < 2 {
		all = append(all, p.codes(whole, max(p.Width, p.Height))...)
	}
	var out []sheetSeen
	for _, s := range together(all, newView(p.Width, p.Height)) {
		seen := sheetSeen{reachMM: 0.48 * s.moduleMM(), size: orb.Point{s[0].Paper.WidthMM, s[0].Paper.HeightMM}}
		for _, c := range s {
			seen.matches = append(seen.matches, c.matches()...)
		}
		var err error
		if seen.edges, err = s.edges(); err != nil {
			return nil, err
		}
		if seen.more, err = s.unread().edges(); err != nil {
			return nil, err
		}
		out = append(out, seen)
	}
	return out, nil
}

// register works out the view from the sheets, of which there is at least one,
// and gives those that it could use.
func (p *Picture) register(sheets []sheetSeen) (*fitted, []sheetSeen, error) {
	// Each sheet by itself first, for where its edges are and how it lies to
	// the first.
	var all []sighting
	var lies []laid
	var first view
	var used []sheetSeen
	for i, s := range sheets {
		v := newView(p.Width, p.Height)
		if err := v.homography(s.matches); err != nil {
			return nil, nil, err
		}
		own, err := p.refine(v, s)
		if err != nil {
			if i == len(sheets)-1 && len(used) == 0 {
				return nil, nil, err
			}
			continue
		}
		l := laid{}
		if len(lies) == 0 {
			first = own.view
		} else {
			l = lie(first, own.view, s.size)
		}
		lies, used = append(lies, l), append(used, s)
		s.edges = append(slices.Clone(s.edges), s.more...)
		for _, x := range p.sight(s, own.point, 0.3*s.reachMM) {
			x.sheet = len(lies) - 1
			all = append(all, x)
		}
	}
	f, err := adjust(first, lies, all)
	return f, used, err
}

// refine fits a view to one sheet's edges, looking for them anew as it gets
// better; to those of codes that were not read once the others say where they
// are.
func (p *Picture) refine(v view, s sheetSeen) (*fitted, error) {
	f, err := p.closer(v, s)
	if err != nil || len(s.more) == 0 {
		return f, err
	}
	rest := sheetSeen{edges: s.more}
	if seen := p.sight(rest, f.point, s.reachMM); 2*len(seen) < len(s.more) {
		return f, nil // they are covered
	}
	s.edges = append(slices.Clone(s.edges), s.more...)
	if all, err := p.closer(f.view, s); err == nil {
		return all, nil
	}
	return f, nil
}

// closer fits a view to edges in three rounds, each looking less far for them.
func (p *Picture) closer(v view, s sheetSeen) (f *fitted, err error) {
	for _, reach := range []float64{1, 0.7, 0.5} {
		if f, err = adjust(v, []laid{{}}, p.sight(s, v.point, s.reachMM*reach)); err != nil {
			return nil, err
		}
		v = f.view
	}
	return f, nil
}

// leastOwn is the part of all edges' contrast that one in the shade may have for its own.
const leastOwn = 0.4

// sight looks for a sheet's edges in the picture.
func (p *Picture) sight(s sheetSeen, place func(orb.Point) orb.Point, reachMM float64) []sighting {
	contrast := p.contrast(s.edges, place, 1.5)
	var out []sighting
	for _, e := range s.edges {
		own := p.contrast([]edge{e}, place, reachMM+1.5)
		if at, normal, ok := p.seek(e, place, reachMM, min(contrast, max(own, leastOwn*contrast))); ok {
			out = append(out, sighting{ground: e.at, at: at, normal: normal, side: e.side})
		}
	}
	return out
}

// lie is how a sheet with a view of its own lies on the ground of the first.
func lie(first, own view, size orb.Point) laid {
	corners := []orb.Point{{}, {size[0], 0}, size, {0, size[1]}}
	var a, b orb.Point
	var on []orb.Point
	for _, c := range corners {
		q := first.ground(own.point(c))
		on = append(on, q)
		a, b = plane.Along(a, c, 0.25), plane.Along(b, q, 0.25)
	}
	var dot, cross float64
	for i, c := range corners {
		u, w := plane.Sub(c, a), plane.Sub(on[i], b)
		dot += plane.Dot(u, w)
		cross += plane.Cross(u, w)
	}
	t := math.Atan2(cross, dot)
	s, c := math.Sincos(t)
	return laid{t, b[0] - c*a[0] + s*a[1], b[1] - s*a[0] - c*a[1]}
}
