package check

import (
	"math"

	"eke/split/plan"
)

const (
	// legsMM is how much the legs of one dart may differ where they are
	// sewn together: what a maker eases in without seeing it. (Common
	// practice, no source.)
	legsMM = 1.0
	// mostDarts is how many darts one seam can take in and still be proved.
	mostDarts = 4
	// truedMM2 is how much the trueing of the line across a closed dart's
	// mouth may add or take: 1 mm, over 80 mm to either side.
	truedMM2 = 1.0 * 160
)

// darts reads the darts that were taken into piecing seams, and proves that
// each is a dart of its piece whose legs can be sewn together.
func (o *optionProof) darts() {
	count := 0
	for _, m := range o.Option.Moved {
		at := id{m.Piece, m.Copy}
		piece := o.pieces[at]
		count += len(m.Darts) + len(m.FishEyes)
		if piece == nil {
			continue
		}
		used := make([]bool, len(piece.Darts))
		for _, d := range m.Darts {
			f := Fault{Rule: TakenDart, Seam: d.Seam}
			known := false
			for k, p := range piece.Darts {
				if !used[k] && distance(p[0], d.Drawn[0])+distance(p[1], d.Drawn[1])+distance(p[2], d.Drawn[2]) <= markMM {
					used[k], known = true, true
					break
				}
			}
			if !known {
				o.fail(f, "piece %s has no such dart, or it is taken in twice", at)
				continue
			}
			one, two := distance(d.Sewn[0], d.Sewn[1]), distance(d.Sewn[2], d.Sewn[1])
			if math.Abs(one-two) > legsMM+markMM {
				o.fail(f, "the dart's legs are %.2f and %.2f mm long", one, two)
			}
			reach := o.doc.DartReachMM + markMM
			if math.Abs(one-distance(d.Drawn[0], d.Drawn[1])) > reach || math.Abs(two-distance(d.Drawn[2], d.Drawn[1])) > reach {
				o.fail(f, "the dart is not as long as piece %s has it", at)
			}
			if math.Abs(distance(d.Sewn[0], d.Sewn[2])-distance(d.Drawn[0], d.Drawn[2])) > legsMM {
				o.fail(f, "the dart is not as wide as piece %s has it", at)
			}
			o.taken[at] = append(o.taken[at], takenDart{d, piece.mouth(d)})
		}
	}
	if count != o.DartsTakenIn {
		o.fail(Fault{Rule: TakenDart}, "%d darts are said to be taken in, and %d are listed", o.DartsTakenIn, count)
	}
}

// takenDart is a dart that a seam took in.
type takenDart struct {
	plan.TakenDart
	area float64 // that went with it
}

// mouth is the area that a dart takes with it: between its legs, out to the
// piece's outline.
func (p *pieceProof) mouth(d plan.TakenDart) float64 {
	line := closed(p.region.ring)
	a, _ := along(line, d.Drawn[0])
	b, _ := along(line, d.Drawn[2])
	round := length(line)
	span := math.Mod(b-a+round, round)
	if span > round/2 {
		a, span = b, round-span
	}
	rim := append(stretch(line, a, span), d.Drawn[1])
	bulge := math.Abs(signedArea(rim)) - math.Abs(signedArea(d.Drawn[:]))
	return math.Abs(signedArea(d.Sewn[:])) + bulge
}

// stretch is span mm of a closed line from mm along it.
func stretch(line []point, from, span float64) []point {
	var out []point
	at := 0.0
	for range 2 {
		for i := 1; i < len(line); i++ {
			l := distance(line[i-1], line[i])
			lo, hi := math.Max(from-at, 0), math.Min(from+span-at, l)
			if hi > lo {
				if len(out) == 0 {
					out = append(out, between(line[i-1], line[i], lo/l))
				}
				out = append(out, between(line[i-1], line[i], hi/l))
			}
			at += l
		}
	}
	return out
}

// lie are the lines that the edges on a seam may follow: the seam's own, and
// that line turned about the apex of each dart it took in, by the angle
// between the dart's legs. A seam that runs down a dart follows one leg, and
// its other side the other leg, which is the same turn.
func (o *optionProof) lie(s *seamProof) [][]point {
	lines := o.lieAcross(s, [][]point{s.Line})
	n := 0
	for _, d := range o.taken[s.piece.id] {
		if d.Seam != s.Name {
			continue
		}
		if n++; n > mostDarts {
			o.fail(Fault{Rule: NotProvable, Seam: s.Name}, "it takes in more than %d darts", mostDarts)
			break
		}
		if off := away(s.Line, d.Sewn[1]); off > markMM {
			o.fail(Fault{Rule: TakenDart, Seam: s.Name}, "the apex of a dart taken in is %.2f mm off it", off)
		}
		angle := turnOf(d)
		for _, l := range lines {
			lines = append(lines, rotated(l, d.Sewn[1], angle), rotated(l, d.Sewn[1], -angle))
		}
	}
	return lines
}

// turnOf is the angle between a dart's legs, in radians.
func turnOf(d takenDart) float64 {
	u, v := sub(d.Sewn[0], d.Sewn[1]), sub(d.Sewn[2], d.Sewn[1])
	return math.Atan2(cross(u, v), dot(u, v))
}

// rotated is a line turned about a point, clockwise by an angle in radians.
func rotated(line []point, about point, angle float64) []point {
	sin, cos := math.Sincos(angle)
	out := make([]point, len(line))
	for i, p := range line {
		v := sub(p, about)
		out[i] = point{about[0] + cos*v[0] - sin*v[1], about[1] + sin*v[0] + cos*v[1]}
	}
	return out
}

// along is how far along the seam a point of an edge on it is, and how far
// off it.
func (s *seamProof) along(p point) (mm, off float64) {
	off = math.Inf(1)
	for _, l := range s.lie {
		if at, d := along(l, p); d < off {
			mm, off = at, d
		}
	}
	return mm, off
}
