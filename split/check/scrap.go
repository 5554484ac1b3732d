package check

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"eke/split/plan"

	"github.com/peterstace/simplefeatures/geom"
)

// scrapProof is a scrap and what is worked out about it when it is first
// asked for.
type scrapProof struct {
	*plan.Scrap
	id      id
	outline region
	holes   []region
	cloth   prepared // the outline
	edged   prepared // the outline with the slack round it
	flaws   []flaw
}

// flaw is a hole, as it is and with the slack taken off.
type flaw struct{ all, deep prepared }

// prepared is a geometry made ready for many questions once the first comes.
type prepared struct {
	geom.PreparedGeometry
	ready, empty bool
}

func (p *prepared) prepare(g geom.Geometry, mm float64) error {
	if p.ready {
		return nil
	}
	var err error
	if mm != 0 {
		if g, err = grown(g, mm); err != nil {
			return err
		}
	}
	p.empty = g.IsEmpty()
	p.PreparedGeometry, err = geom.Prepare(g)
	p.ready = err == nil
	return err
}

func (s *scrapProof) read() error {
	var err error
	if s.outline, err = newRegion(s.Outline); err != nil {
		return fmt.Errorf("outline: %w", err)
	}
	for i, h := range s.Holes {
		hole, err := newRegion(h)
		if err != nil {
			return fmt.Errorf("hole %d: %w", i+1, err)
		}
		s.holes = append(s.holes, hole)
	}
	s.flaws = make([]flaw, len(s.holes))
	return nil
}

// holds reports whether no place of cut is farther than the slack outside the
// outline.
func (s *scrapProof) holds(cut geom.Geometry) (bool, error) {
	if err := s.cloth.prepare(s.outline.geom, 0); err != nil {
		return false, err
	}
	if ok, err := s.cloth.Covers(cut); ok || err != nil {
		return ok, err
	}
	if err := s.edged.prepare(s.outline.geom, SlackMM); err != nil {
		return false, err
	}
	return s.edged.Covers(cut)
}

// strikes reports whether cut reaches farther than the slack into hole i, or
// the hole into cut.
func (s *scrapProof) strikes(i int, cut *region) (bool, error) {
	hole, f := &s.holes[i], &s.flaws[i]
	if hole.box.apart(cut.box) > 0 {
		return false, nil
	}
	if err := f.all.prepare(hole.geom, 0); err != nil {
		return false, err
	}
	if meets, err := f.all.Intersects(cut.geom); !meets || err != nil {
		return false, err
	}
	if err := f.deep.prepare(hole.geom, -SlackMM); err != nil {
		return false, err
	}
	if !f.deep.empty {
		if deep, err := f.deep.Intersects(cut.geom); deep || err != nil {
			return deep, err
		}
	}
	core, err := grown(cut.geom, -SlackMM)
	if err != nil || core.IsEmpty() {
		return false, err
	}
	return f.all.Intersects(core)
}

// overhang is how far the farthest corner of the cut is off the outline, for
// the message; 0 where only the scrap's own corners reach into the cut.
func (s *scrapProof) overhang(cut *region) (mm float64, at point) {
	edge := closed(s.outline.ring)
	for _, p := range cut.ring {
		if d := away(edge, p); d > mm && !within(s.outline.ring, p) {
			mm, at = d, p
		}
	}
	return mm, at
}

// allows reports whether a piece that asks for `navy or cream` may be cut
// from the scrap's fabric. Where all that is known of that is the scrap's name,
// each word asked for must be in it.
func (s *scrapProof) allows(asked string) bool {
	if strings.TrimSpace(asked) == "" {
		return true
	}
	fabric := strings.TrimSpace(s.Fabric)
	numberless := strings.TrimRight(strings.TrimRight(s.Name, "0123456789"), " #-")
	named := fabric == "" || strings.EqualFold(fabric, numberless) || strings.EqualFold(fabric, s.Name)
	for _, one := range strings.Split(asked, " or ") {
		one = strings.TrimSpace(one)
		if strings.EqualFold(one, fabric) || named && one != "" && hasWords(s.Name, one) {
			return true
		}
	}
	return false
}

// hasWords reports whether every word of some is one of a text's.
func hasWords(text, some string) bool {
	wordsOf := func(s string) map[string]bool {
		out := map[string]bool{}
		word := ""
		for _, c := range strings.ToLower(s) + " " {
			if unicode.IsLetter(c) || unicode.IsDigit(c) {
				word += string(c)
				continue
			}
			if word != "" {
				out[word] = true
			}
			word = ""
		}
		return out
	}
	all, asked := wordsOf(text), wordsOf(some)
	for w := range asked {
		if !all[w] {
			return false
		}
	}
	return len(asked) > 0
}

// grainOff is the angle in degrees between two grains: from 0 to 180 on cloth
// with a nap, to 90 on cloth that reads the same both ways.
func grainOff(aDeg, bDeg float64, nap bool) float64 {
	off := math.Abs(math.Remainder(aDeg-bDeg, 360))
	if !nap {
		off = math.Min(off, 180-off)
	}
	return off
}
