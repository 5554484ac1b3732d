package plan

import (
	"fmt"
	"slices"
	"strings"
)

// Blocks are a grid over a garment: level lines, as between stripes, and upright
// ones that are counted from the centre of each piece. A part is a block.
type Blocks struct {
	SizeMM float64        `json:"size_mm"`
	Lead   string         `json:"lead"` // the piece on which the level lines lie as far apart as the blocks are high
	Pieces []BlockedPiece `json:"pieces"`
	Meets  []StripeMeet   `json:"meets,omitempty"`
	Larger int            `json:"larger"` // blocks that reach over a line, for a part would be too narrow
	Alike  []AlikeBlocks  `json:"alike,omitempty"`
}

// BlockedPiece is the lines of the grid on one copy of a piece, and the rows of
// blocks between those level lines that it is cut along.
type BlockedPiece struct {
	StripedPiece
	LevelsMM   []float64 `json:"levels_mm"`   // down the grain, as bands are measured
	UprightsMM []float64 `json:"uprights_mm"` // across it, to the right of the origin when the grain runs down
	CentreMM   float64   `json:"centre_mm"`   // likewise
}

// AlikeBlocks are two parts that lie side by side in one look, in a piece or across a
// join.
type AlikeBlocks struct {
	Parts  [2]string `json:"parts"`
	Copies [2]int    `json:"copies"`
}

// Rows are the rows of blocks, piece by piece.
func (b *Blocks) Rows() []StripedPiece {
	var out []StripedPiece
	for _, p := range b.Pieces {
		out = append(out, p.StripedPiece)
	}
	return out
}

// Words says it in a sentence. The option is the one that the blocks are of.
func (b *Blocks) Words(o *Option) string {
	var looks []string
	count := 0
	for i := range o.Parts {
		p := &o.Parts[i]
		if slices.ContainsFunc(b.Pieces, func(q BlockedPiece) bool { return q.Piece == p.Piece && q.Copy == p.Copy }) {
			count++
			if l := strings.ToLower(p.Look); !slices.Contains(looks, l) {
				looks = append(looks, l)
			}
		}
	}
	said := fmt.Sprintf("%d blocks of %.0f mm, each from one scrap", count, b.SizeMM)
	meet, off := meetWords(b.Meets, b.Rows())
	if len(meet) > 0 {
		said += "; level lines meet within 1 mm at " + And(meet)
	}
	if len(off) > 0 {
		said += "; they do not all meet at " + And(off)
	}
	if b.Larger > 0 {
		said += fmt.Sprintf("; %d larger than the others, where a line would leave too narrow a part", b.Larger)
	}
	switch {
	case len(looks) < 2:
		said += "; all of one look"
	case len(b.Alike) == 0:
		said += "; no two of one look lie side by side"
	default:
		var pairs []string
		for _, p := range b.Alike {
			pairs = append(pairs, b.partName(p, 0)+" and "+b.partName(p, 1))
		}
		said += fmt.Sprintf("; side by side in one look, which could not be helped: %s", strings.Join(pairs, ", "))
	}
	return said
}

// partName is the name of one of two parts, with its copy where there are more.
func (b *Blocks) partName(of AlikeBlocks, k int) string {
	if of.Copies[k] > 1 || slices.ContainsFunc(b.Pieces, func(p BlockedPiece) bool {
		return p.Copy > 1 && strings.HasPrefix(of.Parts[k], p.Piece)
	}) {
		return fmt.Sprintf("%s (%d)", of.Parts[k], of.Copies[k])
	}
	return of.Parts[k]
}

// meetWords are the joins at which all lines meet, and those at which not all do.
func meetWords(meets []StripeMeet, pieces []StripedPiece) (meet, off []string) {
	for _, m := range meets {
		join := m.words(pieces)
		switch {
		case m.Meet == m.Lines:
			meet = append(meet, join)
		case m.OffMM > 0:
			off = append(off, fmt.Sprintf("%s (%d of %d ends of lines meet, the others are up to %.0f mm off)", join, m.Meet, m.Lines, m.OffMM))
		default:
			off = append(off, fmt.Sprintf("%s (%d of %d ends of lines meet, for the others there is no line on the other side)", join, m.Meet, m.Lines))
		}
	}
	return meet, off
}
