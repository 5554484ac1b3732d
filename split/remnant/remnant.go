// Package remnant tells what is left of a pile of scraps once the parts of a
// plan are cut: the bits that can be cut from again, and what is only good for
// stuffing.
//
// In goes a plan.Document and the number of one of its options; out comes the
// pile after it. A part takes what lies within its cutting line and no more:
// shears follow that line, and the gap beside it stays with the cloth. So the
// areas of the parts, the bits and the stuffing add up to the scrap.
//
// Regions are subtracted by another library's overlay (the JTS topology suite's
// OverlayNG, M. Davis, 2020, in the Go port of
// github.com/peterstace/simplefeatures). Lengths are in mm, y down.
package remnant

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"eke/piece"
	"eke/split/plan"
)

// LeastDiscMM is the diameter of the smallest disc that a bit holds. What holds
// none is too small to cut anything from (common practice, no source).
const LeastDiscMM = 15

// Pile is what is left after an option: bits in the order of the plan's scraps,
// of one scrap the largest first.
type Pile struct {
	Bits   []Bit
	Scraps []Rest // of each of the plan's scraps
}

// Bit is a piece of cloth. Its Scrap has the facts of the one that it is left
// of, and the name, outline and holes of its own. It lies where it lay on the
// scrap.
type Bit struct {
	plan.Scrap
	Count     int // how many are alike
	Untouched bool
	Of        int // the scrap in the plan's list, the first of those alike
}

// Rest is what became of one copy of a scrap.
type Rest struct {
	Bits        int
	BitsMM2     float64
	StuffingMM2 float64 // bits that hold no disc of LeastDiscMM
}

// After is the pile after an option. k is an index into d.Options.
func After(d *plan.Document, k int) (*Pile, error) {
	o := &d.Options[k]
	pile := &Pile{Scraps: make([]Rest, len(d.Scraps))}
	for i := range d.Scraps {
		s := &d.Scraps[i]
		cut := cutFrom(o, s)
		if len(cut) == 0 {
			pile.Bits = append(pile.Bits, Bit{Scrap: *s, Count: 1, Untouched: true, Of: i})
			pile.Scraps[i] = Rest{Bits: 1, BitsMM2: ringArea(s.Outline) - holesArea(s.Holes)}
			continue
		}
		bits, rest, err := left(s, cut)
		if err != nil {
			return nil, fmt.Errorf("what is left of scrap %q: %w", s.Name, err)
		}
		for _, b := range bits {
			bit := Bit{Scrap: *s, Count: 1, Of: i}
			bit.Outline, bit.Holes = b.outline, b.holes
			bit.keepStripes(s)
			pile.Bits = append(pile.Bits, bit)
		}
		pile.Scraps[i] = rest
	}
	pile.nameBits(d)
	return pile, nil
}

// cutFrom is the placed cutting lines of the parts that an option cuts from a
// scrap, and of those that were spoilt on it: what they were cut from is gone.
func cutFrom(o *plan.Option, s *plan.Scrap) [][]plan.Point {
	var out [][]plan.Point
	for _, p := range slices.Concat(o.Parts, o.Spoilt) {
		if p.Scrap == s.Name && p.ScrapCopy == s.Copy {
			out = append(out, placed(p.CutLine, p.Placement))
		}
	}
	return out
}

func placed(ring []plan.Point, m [6]float64) []plan.Point {
	out := make([]plan.Point, len(ring))
	for i, q := range ring {
		out[i] = plan.Point{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	}
	return out
}

// nameBits names the bits after their scraps: by the scrap's name where one bit
// is left of all its copies, and with a number where more are. Copies that are
// untouched stand together. A number that would make the name of another scrap
// is left out.
func (p *Pile) nameBits(d *plan.Document) {
	taken := map[string]bool{}
	for _, s := range d.Scraps {
		taken[strings.ToLower(s.Name)] = true
	}
	var bits []Bit
	first := map[string]int{} // the untouched bit of each name
	several := map[string]int{}
	for _, b := range p.Bits {
		if at, ok := first[b.Name]; ok && b.Untouched {
			bits[at].Count++
			continue
		}
		if b.Untouched {
			first[b.Name] = len(bits)
		}
		several[b.Name]++
		bits = append(bits, b)
	}
	at := map[string]int{}
	for i := range bits {
		b := &bits[i]
		scrap := b.Name
		if several[scrap] < 2 {
			continue
		}
		for b.Name == scrap || taken[strings.ToLower(b.Name)] {
			at[scrap]++
			b.Name = fmt.Sprintf("%s, %d", scrap, at[scrap])
		}
	}
	for i := range bits {
		bits[i].Copy = 1
	}
	// Copies of one scrap stand together in a plan, but need not.
	sort.SliceStable(bits, func(i, j int) bool { return bits[i].Of < bits[j].Of })
	p.Bits = bits
}

// StuffingMM2 is how much is left that nothing can be cut from.
func (p *Pile) StuffingMM2() float64 {
	var sum float64
	for _, r := range p.Scraps {
		sum += r.StuffingMM2
	}
	return sum
}

// Tell writes into each option of a plan how many bits are left of each scrap,
// and how much stuffing.
func Tell(d *plan.Document) error {
	for k := range d.Options {
		pile, err := After(d, k)
		if err != nil {
			return fmt.Errorf("option %d: %w", k+1, err)
		}
		o := &d.Options[k]
		o.StuffingMM2 = pile.StuffingMM2()
		for i, s := range d.Scraps {
			for n := range o.Left {
				if l := &o.Left[n]; l.Scrap == s.Name && l.Copy == s.Copy {
					l.Bits, l.StuffingMM2 = pile.Scraps[i].Bits, pile.Scraps[i].StuffingMM2
				}
			}
		}
	}
	return nil
}

// keepStripes counts the stripes of a scrap from the bit's own top.
func (b *Bit) keepStripes(s *plan.Scrap) {
	b.FirstMM = stripe(s).On(ring(b.Outline), ring(s.Outline), s.GrainDeg).FirstMM
}

// stripe is the stripes of a plan's scrap.
func stripe(s *plan.Scrap) piece.Stripe {
	return piece.Stripe{RepeatMM: s.StripeMM, FirstMM: s.FirstMM, Along: s.StripeRuns == "along"}
}
