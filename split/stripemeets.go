package split

import (
	"math"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// documentStripeMatch is how the cloth's own stripes meet, as plan.json has it: as
// the parts lie, and not as they were to lie.
func (m *Made) documentStripeMatch(scraps []*piece.Scrap) *plan.StripeMatch {
	match := m.Plan.Matched
	if match == nil {
		return nil
	}
	out := &plan.StripeMatch{Runs: "across", RepeatMM: match.RepeatMM, Seams: []plan.StripeSeam{}}
	if match.Along {
		out.Runs = "along"
	}
	mates := newMates(match.copies)
	for _, s := range match.seams {
		a, b := s.atShare(mates, s.share)
		d := plan.StripeSeam{
			Edges: match.names(s), Copies: [2]int{max(1, match.copies[s.from.copy].Copy), max(1, match.copies[s.to.copy].Copy)},
			Place: s.place, LengthMM: s.hi - s.lo,
		}
		var stripes [2]stripesAt
		for k, e := range [2]onEdge{a, b} {
			q, _ := mates.line(e.edgeAt).Line.At(e.mm)
			d.At[k] = plan.Point(q)
			stripes[k] = m.stripesAt(e.copy, q, scraps)
			if !match.suits(stripes[k]) {
				stripes[k] = stripesAt{}
			}
		}
		if stripes[0].everyMM == 0 || stripes[1].everyMM == 0 {
			continue // a copy that need not come from such cloth, whose own edges are sewn together
		}
		off := stripes[0].off(stripes[1], s.sign)
		d.OffMM, d.HoldsMM = round4(math.Abs(off)), s.holds(off)
		d.Meet = d.OffMM <= StripesMeetMM
		out.Seams = append(out.Seams, d)
	}
	for i := range m.Seams {
		if m.Seams[i].Piece >= len(match.copies) {
			continue // of an optional piece
		}
		if off, ok := m.throughOff(i, scraps); ok {
			out.Through, out.ThroughOffMM = append(out.Through, m.Seams[i].Name), math.Max(out.ThroughOffMM, round4(off))
		}
	}
	return out
}

// round4 is as fine as a plan tells lengths: without it, nothing would be a trace
// of rounding.
func round4(mm float64) float64 { return math.Round(mm*1e4) / 1e4 }

// stripesAt is how far a point lies beyond the middle of a stripe, along its
// piece's StripesOf. There are none on plain cloth.
type stripesAt struct {
	mm, everyMM float64
	along       bool    // they run along the grain
	turned      float64 // the cosine of how far they are turned on the piece
}

// suits reports whether stripes are such as the others are, and not turned.
func (m *StripeMatch) suits(s stripesAt) bool {
	const straight = 0.999999
	return s.everyMM > 0 && s.along == m.Along && piece.WholeMultiple(m.RepeatMM, s.everyMM) && s.turned >= straight
}

// off is by how much stripes miss each other at two points that are sewn together:
// positive where those of the other lie further back.
func (s stripesAt) off(o stripesAt, sign float64) float64 {
	return math.Remainder(s.mm*sign-o.mm, math.Min(s.everyMM, o.everyMM))
}

// stripesAt is the stripes at a point of a copy: those of the part that it is on.
func (m *Made) stripesAt(copy int, q orb.Point, scraps []*piece.Scrap) stripesAt {
	best, off := -1, math.Inf(1)
	for k, p := range m.Parts {
		if p.Piece == copy {
			if d := plane.ToRing(p.Outline.Ring(), q); d < off {
				best, off = k, d
			}
		}
	}
	if best < 0 {
		return stripesAt{}
	}
	return m.stripesOn(best, q, scraps)
}

func (m *Made) stripesOn(part int, q orb.Point, scraps []*piece.Scrap) stripesAt {
	p := &m.Parts[part]
	s := scraps[p.Leaf.Scrap]
	if !s.Striped() {
		return stripesAt{}
	}
	t := p.Leaf.placement()
	laid := orb.Point{t[0]*q[0] + t[2]*q[1] + t[4], t[1]*q[0] + t[3]*q[1] + t[5]}
	across := piece.AcrossStripes(s.GrainDeg, s.Stripe.Along)
	down := m.Plan.Pieces[p.Piece].StripesOf(s.Stripe.Along)
	turned := plane.Dot(orb.Point{t[0]*down[0] + t[2]*down[1], t[1]*down[0] + t[3]*down[1]}, across)
	beyond := math.Copysign(1, turned) * (plane.Dot(laid, across) - s.Stripe.Top(s.Outline, s.GrainDeg) - s.Stripe.FirstMM)
	return stripesAt{beyond, s.Stripe.RepeatMM, s.Stripe.Along, math.Abs(turned)}
}

// throughOff is by how much stripes miss each other across a piecing seam, at most.
// It is not ok where one side has none.
func (m *Made) throughOff(i int, scraps []*piece.Scrap) (off float64, ok bool) {
	s := &m.Seams[i]
	line := s.Line.Flatten(curve.FlattenMM)
	const asideMM = 0.3
	for k := 1; k < len(line); k++ {
		mid := plane.Lerp(line[k-1], line[k], 0.5)
		along := plane.Unit(plane.Sub(line[k], line[k-1]))
		var beside [2]stripesAt
		for n, by := range []float64{asideMM, -asideMM} {
			part := m.partAt(s.Piece, plane.Along(mid, orb.Point{-along[1], along[0]}, by))
			if part < 0 {
				return 0, false
			}
			beside[n] = m.stripesOn(part, mid, scraps)
		}
		if beside[0].everyMM == 0 || beside[1].everyMM == 0 {
			return 0, false
		}
		off, ok = math.Max(off, math.Abs(beside[0].off(beside[1], 1))), true
	}
	return off, ok
}

// partAt is the part of a copy that a point lies on, -1 for none.
func (m *Made) partAt(copy int, q orb.Point) int {
	for k, p := range m.Parts {
		if p.Piece == copy && plane.Holds(p.Outline.Ring(), q) {
			return k
		}
	}
	return -1
}
