package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Stripes are level stripes over a garment. Stripe n has the look and the depth at
// place n of the sequence, which begins again and again; stripe numbers grow
// downwards and may be negative.
type Stripes struct {
	Lead     string         `json:"lead"` // the piece on which every stripe is as deep as it is to be
	Looks    []string       `json:"looks"`
	DepthsMM []float64      `json:"depths_mm"`
	Pieces   []StripedPiece `json:"pieces"`
	Meets    []StripeMeet   `json:"meets,omitempty"`
	Uprights int            `json:"uprights"` // seams that piece a stripe
}

// StripedPiece is the stripes of one copy of a piece, from the top.
type StripedPiece struct {
	Piece string       `json:"piece"`
	Copy  int          `json:"copy"`
	Bands []StripeBand `json:"bands"`
	// Of the lines that reach it, by their numbers, how far down the grain each runs.
	Tops map[int]float64 `json:"tops,omitempty"`
}

// StripeBand is a stripe on a piece. Where it runs is measured down the grain from
// the origin of the piece's coordinates.
type StripeBand struct {
	Stripe int     `json:"stripe"`
	FromMM float64 `json:"from_mm"`
	ToMM   float64 `json:"to_mm"`
	Look   string  `json:"look,omitempty"`   // none of a row of blocks
	Wanted string  `json:"wanted,omitempty"` // the look that the sequence asks for, where it breaks
}

// StripeMeet is how the lines between stripes meet at a join: how many ends of
// lines come to it, and how many of these meet one of the same line within 1 mm.
type StripeMeet struct {
	Join  string  `json:"join"` // "front/side back/side"
	Lines int     `json:"lines"`
	Meet  int     `json:"meet"`
	OffMM float64 `json:"off_mm,omitempty"` // how far off the worst end is that does not
}

// words are the join as "front/side to back/side". A name may have spaces in it, and
// of the names that the second could be the longest is taken.
func (m StripeMeet) words(pieces []StripedPiece) string {
	at := -1
	for _, p := range pieces {
		first := strings.Index(m.Join, "/") + 1 // the first edge begins here
		if i := strings.Index(m.Join[first:], " "+p.Piece+"/"); i > 0 && first > 0 && (at < 0 || first+i < at) {
			at = first + i
		}
	}
	if at < 0 {
		return m.Join
	}
	return m.Join[:at] + " to" + m.Join[at:]
}

// Breaks is where the sequence breaks, in words, a stripe each.
func (s *Stripes) Breaks() []string {
	var out []string
	for _, p := range s.Pieces {
		for k, b := range p.Bands {
			if b.Wanted != "" {
				out = append(out, fmt.Sprintf("stripe %d from the top of %s is %s and not %s", k+1, copyName(s.Pieces, p), b.Look, b.Wanted))
			}
		}
	}
	return out
}

// OtherDepths is which stripes have another depth than they are to have, in words: deeper
// ones, for a line that would come too near to an end was left out, shallower ones between
// two lines, and at the bottom of a piece a stripe of which not half is there. At the top most
// pieces narrow or slope, and cut a stripe short anyway.
func (s *Stripes) OtherDepths() []string {
	const apartMM = 5
	var out []string
	for _, p := range s.Pieces {
		last := len(p.Bands) - 1
		for k, b := range p.Bands {
			deep, meant := b.ToMM-b.FromMM, s.depthMM(b)
			if meant == 0 || b.Wanted != "" {
				continue
			}
			short := deep < meant-apartMM && k > 0 && (k < last || deep < meant/2)
			said := fmt.Sprintf("stripe %d from the top of %s (%s) is %.0f mm deep", k+1, p.Piece, b.Look, deep)
			if (short || deep > meant+apartMM) && !slices.Contains(out, said) {
				out = append(out, said)
			}
		}
	}
	return out
}

// depthMM is how deep a stripe is to be: of the depths of its look the nearest; 0 for a row
// of blocks.
func (s *Stripes) depthMM(b StripeBand) (meant float64) {
	off := func(mm float64) float64 { return math.Abs(mm - (b.ToMM - b.FromMM)) }
	for k, look := range s.Looks {
		if look == b.Look && (meant == 0 || off(s.DepthsMM[k]) < off(meant)) {
			meant = s.DepthsMM[k]
		}
	}
	return meant
}

func copyName(all []StripedPiece, p StripedPiece) string {
	if slices.ContainsFunc(all, func(o StripedPiece) bool { return o.Piece == p.Piece && o.Copy != p.Copy }) {
		return fmt.Sprintf("%s %d", p.Piece, p.Copy)
	}
	return p.Piece
}

// Words says it in a sentence.
func (s *Stripes) Words() string {
	var sequence []string
	for k, l := range s.Looks {
		sequence = append(sequence, fmt.Sprintf("%s %.0f mm", l, s.DepthsMM[k]))
	}
	meet, off := meetWords(s.Meets, s.Pieces)
	said := And(sequence) + " in turn"
	if s.Uprights == 0 {
		said += ", each stripe of a piece in one part"
	} else if s.Uprights == 1 {
		said += "; 1 upright seam pieces a stripe"
	} else {
		said += fmt.Sprintf("; %d upright seams piece stripes", s.Uprights)
	}
	if len(meet) > 0 {
		said += "; they meet within 1 mm at " + And(meet)
	}
	if len(off) > 0 {
		said += "; they do not all meet at " + And(off)
	}
	if others := s.OtherDepths(); len(others) > 0 {
		said += "; of another depth: " + strings.Join(others, ", ")
	}
	if breaks := s.Breaks(); len(breaks) > 0 {
		said += "; too little of a look breaks the sequence: " + strings.Join(breaks, ", ")
	}
	return said
}
