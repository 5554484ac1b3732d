package svg

import (
	"fmt"
	"io"
	"math"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/piece/scraps"

	"github.com/paulmach/orb"
)

// scrapFlattenMM is how far a scrap's outline may stray from the curve that
// was drawn: less than anything the proof of a plan allows for.
const scrapFlattenMM = 0.01

// A scrap is refused beyond these.
const (
	maxScrapMM     = 20_000
	maxScrapPoints = 20_000
)

// ReadScraps reads scraps of cloth, in mm on the page, in the order drawn. A
// flaw is a hole. A hole that reaches over the rim is a bite out of it. There
// is at least one scrap. An error is a *piece.Error.
func ReadScraps(r io.Reader, file string) ([]piece.Scrap, error) {
	root, err := parse(r, file)
	if err != nil {
		return nil, err
	}
	d, top, err := open(root, file)
	if err != nil {
		return nil, err
	}
	drawn, err := d.scraps(top)
	if err != nil {
		return nil, err
	}
	out := make([]piece.Scrap, len(drawn))
	for i := range drawn {
		out[i] = drawn[i].Scrap
	}
	return out, nil
}

// scraps are the scraps of a drawing, one at least.
func (d *drawing) scraps(top *node) ([]piece.DrawnScrap, error) {
	file := d.file
	g := gatherer{d: d, words: scrapWords, outlines: words{"outline"}, thing: "scrap"}
	all, err := g.gather(top)
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, &piece.Error{File: file, Problem: "no scrap found", Cure: "draw each scrap as a closed shape named outline, in a group with the scrap's name"}
	}
	if all, err = d.nested(all); err != nil {
		return nil, err
	}
	var out []piece.DrawnScrap
	var plain []piece.Scrap
	var vertical []string
	var lost unknown
	for i, f := range all {
		s, err := d.scrap(f, &lost)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			s.Notes = append(d.pageNotes(all, g.outlines), s.Notes...)
		}
		if !f.has("grain") {
			vertical = append(vertical, f.name)
		}
		out = append(out, s)
	}
	out[0].Notes = append(append(out[0].Notes, g.hiddenNotes()...), lost.note(file, "Name what is missing cloth hole")...)
	if len(vertical) > 0 {
		out[0].Notes = append(out[0].Notes, fmt.Sprintf("%s: no grainline on %s: the grain is taken as vertical", file, list(vertical)))
	}
	for i := range out {
		plain = append(plain, out[i].Scrap)
	}
	return out, scraps.Distinct(plain)
}

// has reports whether a mark of that word is among its marks.
func (f found) has(word string) bool {
	return slices.ContainsFunc(f.marks, func(m mark) bool { return m.word == word })
}

// scrap reads the marks and facts of one scrap, and adds to lost which of its
// shapes mean nothing.
func (d *drawing) scrap(f found, lost *unknown) (piece.DrawnScrap, error) {
	s := piece.DrawnScrap{Scrap: piece.Scrap{Name: f.name, File: d.file, GrainDeg: 90}}
	r := markReader{d: d, name: f.name}
	all := facts{d: d, name: f.name, nodes: f.groups}
	var grains []mark
	var holes []mark
	var rim mark
	for _, m := range f.marks {
		switch m.word {
		case "outline":
			if rim.n != nil {
				return s, r.errorf(m, "a second outline", "put each scrap in a group of its own")
			}
			rim = m
			all.nodes = append(append(all.nodes, m.groups...), m.n)
		case "grain":
			grains = append(grains, m)
		default:
			holes = append(holes, m)
		}
	}
	var err error
	if s.Rim, s.Outline, err = r.ring(rim); err != nil {
		return s, err
	}
	guessed, left, notes, err := r.unnamedHoles(f, s.Outline, grains)
	if err != nil {
		return s, err
	}
	s.Notes = append(s.Notes, notes...)
	lost.add(f.name, f.unexplained(scrapWords, left))
	var cuts []cutout
	for _, m := range append(holes, guessed...) {
		line, ring, err := r.ring(m)
		if err != nil {
			return s, err
		}
		cuts = append(cuts, cutout{ring, m})
		s.Cutouts = append(s.Cutouts, piece.Cutout{Line: line, Flaw: m.word == "flaw"})
	}
	if err := r.cutHoles(&s, cuts); err != nil {
		return s, err
	}
	lines, err := r.grains(grains)
	if err != nil {
		return s, err
	}
	switch {
	case len(lines) > 1:
		return s, r.errorf(grains[1], "a second grainline", "keep one")
	case len(lines) == 0: // vertical
	case lines[0].Line.Length() < 1:
		return s, r.errorf(grains[0], "the grainline has no length", "draw it at least 1 mm long, along the grain")
	default:
		a, b := lines[0].Line.Start(), lines[0].Line.End()
		s.GrainDeg = math.Atan2(b[1]-a[1], b[0]-a[0]) * 180 / math.Pi
		s.Grain = curve.Line(a, b)
	}
	s.Notes = append(append(s.Notes, f.notes...), f.unread(scrapWords, guessed)...)
	return s, d.scrapFacts(all, &s.Scrap)
}

func (d *drawing) scrapFacts(f facts, s *piece.Scrap) error {
	var err error
	if s.Count, err = f.count("count"); err != nil {
		return err
	}
	s.Count = max(1, s.Count)
	if s.Nap, err = f.yes("nap"); err != nil {
		return err
	}
	_, _, said := f.get("nap")
	s.NoNap = said && !s.Nap
	s.Fabric, _, _ = f.get("fabric")
	s.Look, _, _ = f.get("look")
	s.Note, _, _ = f.get("note")
	if s.Kind, err = f.kind(); err != nil {
		return err
	}
	if s.Use, err = f.use(); err != nil {
		return err
	}
	if s.Shrink, err = f.shrink(); err != nil {
		return err
	}
	if s.Stripe, err = f.stripe(); err != nil {
		return err
	}
	if v, at, ok := f.get("face"); ok {
		if s.BothFaces, err = scraps.ParseFace(v); err != nil {
			return f.errorf(at, "face", v, err.Error(), "write face: one or face: both")
		}
	}
	for _, key := range []string{"color", "colour"} {
		if v, _, ok := f.get(key); ok {
			s.Colour = v
		}
	}
	s.Notes = append(append(s.Notes, f.misspelt(scrapFacts)...), f.twice(scrapFacts)...)
	return nil
}

// ring is a closed outline as it was drawn, and as points, clockwise, without a
// closing repeat.
func (r *markReader) ring(m mark) (curve.Path, orb.Ring, error) {
	subs := []subpath{}
	if m.sub != nil {
		subs = append(subs, *m.sub)
	} else {
		var err error
		if subs, err = r.lines(m); err != nil {
			return nil, nil, err
		}
	}
	if len(subs) > 1 {
		return nil, nil, r.errorf(m, fmt.Sprintf("this %s is %d lines in one path", m.word, len(subs)), "break the path apart, and name what is cut out of the cloth hole")
	}
	if !subs[0].looped() {
		return nil, nil, r.errorf(m, fmt.Sprintf("this %s is open", m.word), "close the path in the drawing")
	}
	for _, seg := range subs[0].line {
		for _, q := range []orb.Point{seg.P0, seg.C0, seg.C1, seg.P1} {
			if math.Abs(q[0]) > maxScrapMM || math.Abs(q[1]) > maxScrapMM {
				return nil, nil, r.errorf(m, fmt.Sprintf("a point lies more than %d m from the page", maxScrapMM/1000), "check the drawing's units and scale")
			}
		}
	}
	if n := subs[0].line.FlattenedLen(scrapFlattenMM); n > maxScrapPoints {
		return nil, nil, r.errorf(m, fmt.Sprintf("this %s has %d points", m.word, n), fmt.Sprintf("simplify the path to under %d", maxScrapPoints))
	}
	ring := distinct(subs[0].line.Flatten(scrapFlattenMM))
	if math.Abs(plane.SignedArea(ring)) < 1 && piece.Flat(ring, 1) {
		return nil, nil, r.errorf(m, fmt.Sprintf("this %s encloses no area", m.word), "draw round the cloth, and check the drawing's units")
	}
	if at, spiked := piece.Spike(ring); spiked {
		return nil, nil, r.errorf(m, fmt.Sprintf("this %s has a hairline spike at x %.1f mm, y %.1f mm", m.word, at[0], at[1]), "delete that point in the drawing")
	}
	if at, crossed := piece.SelfCrossing(ring); crossed {
		return nil, nil, r.errorf(m, fmt.Sprintf("this %s crosses or touches itself near x %.1f mm, y %.1f mm", m.word, at[0], at[1]), "redraw it as one line that never crosses itself")
	}
	if plane.SignedArea(ring) < 0 {
		slices.Reverse(ring)
	}
	line := slices.Clone(subs[0].line)
	if line.End() != line.Start() { // it ends a hair off
		line = append(line, curve.Line(line.End(), line.Start()))
	}
	return line, ring, nil
}

// distinct is the ring of some points without those that repeat the one
// before.
func distinct(points orb.LineString) orb.Ring {
	const sameMM = 1e-6
	var ring orb.Ring
	for _, q := range points {
		if len(ring) == 0 || plane.Distance(ring[len(ring)-1], q) > sameMM {
			ring = append(ring, q)
		}
	}
	for len(ring) > 1 && plane.Distance(ring[len(ring)-1], ring[0]) <= sameMM {
		ring = ring[:len(ring)-1]
	}
	return ring
}
