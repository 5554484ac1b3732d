package draw

import (
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// clothStripes are the stripes that a cloth has of its own: parallel lines through
// their middles, across·q = atMM and everyMM further on.
type clothStripes struct {
	across        orb.Point
	atMM, everyMM float64
}

// stripesOf is how the stripes of a scrap run in its own coordinates; there are none
// where everyMM is 0.
func stripesOf(s *plan.Scrap) clothStripes {
	if s.StripeMM <= 0 {
		return clothStripes{}
	}
	stripe := piece.Stripe{RepeatMM: s.StripeMM, FirstMM: s.FirstMM, Along: s.StripeRuns == "along"}
	outline := make(orb.Ring, len(s.Outline))
	for i, q := range s.Outline {
		outline[i] = orb.Point(q)
	}
	return clothStripes{piece.AcrossStripes(s.GrainDeg, stripe.Along), stripe.Top(outline, s.GrainDeg) + s.FirstMM, s.StripeMM}
}

// under are the stripes as a part has them, in its own coordinates, that lies so.
func (s clothStripes) under(m [6]float64) clothStripes {
	s.atMM -= s.across[0]*m[4] + s.across[1]*m[5]
	s.across = orb.Point{s.across[0]*m[0] + s.across[1]*m[1], s.across[0]*m[2] + s.across[1]*m[3]}
	return s
}

// stripesOn are those of the cloth that a part is cut from.
func (o *option) stripesOn(p *part) clothStripes {
	for i := range o.doc.Scraps {
		if s := &o.doc.Scraps[i]; p.isFrom(s) {
			return stripesOf(s).under(p.Placement)
		}
	}
	return clothStripes{}
}

// mostStripes is how many lines are drawn at most: what has more is a fine stripe,
// and would be a grey patch.
const mostStripes = 300

// within are the stretches of the lines that lie in an outline and out of its holes,
// by the even-odd rule along each line.
func (s clothStripes) within(rings ...[]orb.Point) (out []curve.Path) {
	if s.everyMM <= 0 || len(rings) == 0 {
		return nil
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range rings[0] {
		lo, hi = math.Min(lo, plane.Dot(q, s.across)), math.Max(hi, plane.Dot(q, s.across))
	}
	if !(hi-lo <= mostStripes*s.everyMM) {
		return nil
	}
	run := orb.Point{-s.across[1], s.across[0]}
	for k := math.Ceil((lo - s.atMM) / s.everyMM); s.atMM+k*s.everyMM <= hi; k++ {
		at := s.atMM + k*s.everyMM
		var ends []float64
		for _, ring := range rings {
			for i, a := range ring {
				b := ring[(i+1)%len(ring)]
				da, db := plane.Dot(a, s.across)-at, plane.Dot(b, s.across)-at
				if (da > 0) != (db > 0) {
					ends = append(ends, plane.Dot(plane.Lerp(a, b, da/(da-db)), run))
				}
			}
		}
		slices.Sort(ends)
		for i := 0; i+1 < len(ends); i += 2 {
			if ends[i+1]-ends[i] > hairMM {
				from := plane.Along(plane.Scale(s.across, at), run, ends[i])
				out = append(out, curve.Polyline(from, plane.Along(from, run, ends[i+1]-ends[i])))
			}
		}
	}
	return out
}

// hairMM is the shortest stretch that is drawn.
const hairMM = 0.1

// meets reports whether the stripes are those of another part that is cut along the
// same drawing, back being the way from its coordinates.
func (s clothStripes) meets(o clothStripes, back curve.Matrix) bool {
	const alikeMM = 0.5
	if s.everyMM <= 0 || o.everyMM <= 0 {
		return s.everyMM == o.everyMM
	}
	on := plane.Scale(o.across, o.atMM)
	end := plane.Along(on, orb.Point{-o.across[1], o.across[0]}, 500)
	for _, q := range []orb.Point{back.Apply(on), back.Apply(end)} {
		if math.Abs(math.Remainder(plane.Dot(q, s.across)-s.atMM, s.everyMM)) > alikeMM {
			return false
		}
	}
	return s.everyMM == o.everyMM
}

// addStripes draws on a part the stripes that it is to be laid on, where they are to
// meet those of others.
func (o *option) addStripes(s *Shape, p *part) {
	if o.StripeMatch != nil {
		s.Lines = append(s.Lines, stripeLines(o.stripesOn(p).within(s.Region))...)
	}
}

// stripeLines are lines as a shape has them.
func stripeLines(paths []curve.Path) []Line {
	var out []Line
	for _, p := range paths {
		out = append(out, Line{Stroke: Stripe, Word: "stripe", Path: p})
	}
	return out
}

// striped paints stripes of the cloth, so that they show on light cloth and on dark.
func (c *canvas) striped(paths []curve.Path) {
	if len(paths) == 0 {
		return
	}
	var d []string
	for _, p := range paths {
		d = append(d, rounded(p))
	}
	all := strings.Join(d, " ")
	c.svg.Path(all, attribute("class", "stripe-rim"))
	c.svg.Path(all, attribute("class", "stripe"))
}

// ringsOf are the outline and the holes of a scrap.
func ringsOf(s *plan.Scrap) [][]orb.Point {
	out := [][]orb.Point{nil}
	for _, q := range s.Outline {
		out[0] = append(out[0], orb.Point(q))
	}
	for _, h := range s.Holes {
		var ring []orb.Point
		for _, q := range h {
			ring = append(ring, orb.Point(q))
		}
		out = append(out, ring)
	}
	return out
}
