package remnant

import (
	"fmt"
	"math"

	"eke/piece"
	"eke/split/plan"

	"github.com/peterstace/simplefeatures/geom"
)

// Free is where more could be cut beside the parts of an option: bits of each
// scrap that are clear of them by the gap. They have their scrap's name, and lie
// where they lay on it. k is an index into d.Options.
func Free(d *plan.Document, k int, gapMM float64) ([]Bit, error) {
	var out []Bit
	for i := range d.Scraps {
		s := &d.Scraps[i]
		cut := cutFrom(&d.Options[k], s)
		if len(cut) == 0 {
			out = append(out, Bit{Scrap: *s, Count: 1, Untouched: true, Of: i})
			continue
		}
		for n, ring := range cut {
			wide, err := widened(ring, gapMM)
			if err != nil {
				return nil, fmt.Errorf("beside part %d on scrap %q: %w", n+1, s.Name, err)
			}
			cut[n] = wide
		}
		bits, _, err := left(s, cut)
		if err != nil {
			return nil, fmt.Errorf("what is free of scrap %q: %w", s.Name, err)
		}
		for _, b := range bits {
			bit := Bit{Scrap: *s, Count: 1, Of: i}
			bit.Outline, bit.Holes = b.outline, b.holes
			bit.keepStripes(s)
			out = append(out, bit)
		}
	}
	return out, nil
}

// widened is an outline with mm of margin, and a hundredth more where that is
// not nothing: the chords of its corners lie no nearer than that.
func widened(ring []plan.Point, mm float64) ([]plan.Point, error) {
	const quarter = 16 // chords of a right angle's corner
	if mm == 0 {
		return ring, nil
	}
	g, err := polygon(ring)
	if err != nil {
		return nil, err
	}
	wide, err := geom.Buffer(g, 0.01+1.01*mm/math.Cos(math.Pi/(4*quarter)), geom.BufferQuadSegments(quarter))
	if err != nil {
		return nil, err
	}
	all := polygons(wide)
	if len(all) != 1 {
		return nil, fmt.Errorf("its margin is %d outlines", len(all))
	}
	points, _ := rawRing(all[0].ExteriorRing())
	return points, nil
}

// Scraps are bits as a search takes them, and which of the scraps each is of.
func Scraps(bits []Bit, scraps []*piece.Scrap) (out []piece.Scrap, of []int) {
	for _, b := range bits {
		s := *scraps[b.Of]
		s.Count, s.Copy = 1, 1
		s.Stripe = s.Stripe.On(ring(b.Outline), s.Outline, s.GrainDeg)
		s.Outline, s.Holes = ring(b.Outline), nil
		for _, h := range b.Holes {
			s.Holes = append(s.Holes, ring(h))
		}
		out, of = append(out, s), append(of, b.Of)
	}
	return out, of
}

// Cloth is the bit as a scrap of a pile. It is as large as it is now: as washed.
func (b *Bit) Cloth() piece.Scrap {
	s := piece.Scrap{
		Name: b.Name, Fabric: b.Fabric, Kind: b.Kind, Look: b.Look, Use: b.Use, Shrink: b.Shrink, Outline: ring(b.Outline), GrainDeg: b.GrainDeg,
		Nap: b.Nap, BothFaces: b.Face == "both", Stripe: stripe(&b.Scrap), Note: b.Note, Colour: b.Colour, SavedOf: b.SavedOf, Count: b.Count, Copy: 1,
	}
	for _, h := range b.Holes {
		s.Holes = append(s.Holes, ring(h))
	}
	return s
}
