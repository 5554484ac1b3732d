package check

import (
	"math"

	"eke/split/plan"
)

// seamProof is a piecing seam with what it refers to.
type seamProof struct {
	*plan.PiecingSeam
	piece *pieceProof
	parts []*partProof
	lie   [][]point // where its edges may lie
}

// readSeams finds what every piecing seam refers to.
func (o *optionProof) readSeams() {
	type key struct {
		piece id
		name  string
	}
	seen := map[key]bool{}
	for i := range o.PiecingSeams {
		s := &seamProof{PiecingSeam: &o.PiecingSeams[i]}
		f := Fault{Rule: Names, Seam: s.Name}
		at := id{s.Piece, s.Copy}
		s.piece = o.pieces[at]
		if s.piece == nil {
			o.fail(f, "there is no piece %s", at)
			continue
		}
		if s.Name == "" || seen[key{at, s.Name}] {
			o.fail(f, "piece %s has two seams of that name, or it is empty", at)
			continue
		}
		seen[key{at, s.Name}] = true
		for k, name := range s.Parts {
			var part *partProof
			for _, p := range o.of[at] {
				if p.Name == name {
					part = p
				}
			}
			for _, other := range s.Parts[:k] {
				if other == name {
					part = nil
				}
			}
			if part == nil {
				o.fail(f, "there is no part %s of piece %s, or it is listed twice", name, at)
				continue
			}
			s.parts = append(s.parts, part)
		}
		s.lie = o.lie(s)
		o.seams = append(o.seams, s)
	}
	for _, at := range o.order {
		for _, d := range o.taken[at] {
			if !seen[key{at, d.Seam}] {
				o.fail(Fault{Rule: Names, Seam: d.Seam}, "piece %s has no such seam for a dart to go into", at)
			}
		}
	}
}

// counts proves that the number and length of the seams are what the parts'
// shared lines add up to.
func (o *optionProof) counts() {
	if o.Seams != len(o.PiecingSeams) {
		o.fail(Fault{Rule: SeamCount}, "%d seams are counted and %d are listed", o.Seams, len(o.PiecingSeams))
	}
	var total float64
	said := map[id]float64{}
	lines := map[id]int{}
	for _, s := range o.seams {
		total += s.LengthMM
		said[s.piece.id] += s.LengthMM
		lines[s.piece.id]++
	}
	if math.Abs(total-o.SeamLengthMM) > markMM {
		o.fail(Fault{Rule: Length}, "the seams are said to be %.2f mm long and add up to %.2f", o.SeamLengthMM, total)
	}
	for _, at := range o.order {
		parts, target := o.of[at], o.target[at]
		if len(parts) == 0 || target == nil {
			continue
		}
		// Cutting in two adds the new line to the perimeters twice.
		shared := -length(closed(target.ring))
		broken := false
		for _, p := range parts {
			if broken = p.broken; broken {
				break
			}
			shared += length(closed(p.seam.ring))
		}
		if broken {
			continue
		}
		shared /= 2
		var parted float64 // by darts taken in: sewn, and no line that two parts share
		for _, d := range o.taken[at] {
			for _, s := range o.seams {
				if s.piece.id == at && s.Name == d.Seam {
					parted += s.LengthMM
				}
			}
		}
		slack := markMM * float64(len(parts)+1)
		if off := said[at] - shared; off < -slack || off > parted+slack {
			o.fail(Fault{Rule: Length}, "the seams of piece %s are said to be %.2f mm long, and its parts share %.2f", at, said[at], shared)
		}
		if least := len(parts) - 1; lines[at] < least {
			o.fail(Fault{Rule: SeamCount}, "piece %s is in %d parts with %d seams", at, len(parts), lines[at])
		}
	}
	// An edge of a part is either of the outline or one side of a seam.
	for _, p := range o.parts {
		if p.piece == nil || p.broken || o.target[p.piece.id] == nil {
			continue
		}
		outline := follower{line: closed(o.target[p.piece.id].ring)}
		for _, e := range p.edges {
			if e.Seam != "" {
				if s := o.seamOf(p, e.Seam); s == nil {
					o.fail(Fault{Rule: SeamLine, Part: p.label, Seam: e.Seam}, "an edge is on a seam that does not list the part")
				}
				continue
			}
			for _, q := range e.line {
				if !outline.near(q, markMM) {
					o.fail(Fault{Rule: SeamLine, Part: p.label}, "edge %s is %.2f mm inside its piece at %.1f, %.1f and on no seam", nameOf(e), away(outline.line, q), q[0], q[1])
					break
				}
			}
		}
	}
}

func (o *optionProof) seamOf(p *partProof, name string) *seamProof {
	for _, s := range o.seams {
		if s.Name == name && s.piece == p.piece {
			for _, q := range s.parts {
				if q == p {
					return s
				}
			}
		}
	}
	return nil
}

// seam proves that a piecing seam runs where its parts meet, all the way, and
// is as long as it is said to be.
func (o *optionProof) seam(s *seamProof) {
	f := Fault{Rule: SeamLine, Seam: s.Name}
	if len(s.Line) < 2 || len(s.parts) < 2 {
		o.fail(f, "it joins %d parts along a line of %d points", len(s.parts), len(s.Line))
		return
	}
	if l := length(s.Line); math.Abs(l-s.LengthMM) > markMM {
		o.fail(Fault{Rule: Length, Seam: s.Name}, "it is said to be %.2f mm long and is %.2f", s.LengthMM, l)
	}
	if s.AllowanceMM < o.doc.AllowanceMM-1e-6 {
		o.fail(Fault{Rule: Allowance, Seam: s.Name}, "it has an allowance of %g mm, and the plan %g", s.AllowanceMM, o.doc.AllowanceMM)
	}
	var sides float64
	var edges int
	var rings [][]point
	for _, p := range s.parts {
		if p.broken {
			return
		}
		rings = append(rings, closed(p.seam.ring))
		has := false
		for _, e := range p.edges {
			if e.Seam != s.Name {
				continue
			}
			has = true
			edges++
			sides += e.lengthMM
			for _, q := range e.line {
				if _, d := s.along(q); d > markMM {
					o.fail(Fault{Rule: SeamLine, Seam: s.Name, Part: p.label}, "the part's edge is %.2f mm off it at %.1f, %.1f", d, q[0], q[1])
					break
				}
			}
		}
		if !has {
			o.fail(Fault{Rule: SeamLine, Seam: s.Name, Part: p.label}, "the part has no edge on it")
		}
	}
	if math.Abs(sides-2*s.LengthMM) > markMM*float64(edges) {
		o.fail(Fault{Rule: Length, Seam: s.Name}, "the edges on its two sides are %.2f mm long together, and it is %.2f", sides, s.LengthMM)
	}
	at := make([][]point, len(s.lie))
	for k, l := range s.lie {
		at[k] = samples(l)
	}
	for i, q := range at[0] {
		on := 0
		for _, r := range rings {
			for k := range at {
				if away(r, at[k][i]) <= markMM {
					on++
					break
				}
			}
		}
		if on < 2 {
			o.fail(f, "%d parts meet at %.1f, %.1f on it", on, q[0], q[1])
			return
		}
	}
}

// samples are the points of a line and those half way between them.
func samples(line []point) []point {
	out := []point{line[0]}
	for i := 1; i < len(line); i++ {
		out = append(out, between(line[i-1], line[i], 0.5), line[i])
	}
	return out
}
