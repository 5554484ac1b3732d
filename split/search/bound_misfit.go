package search

import (
	"context"
	"fmt"
	"slices"

	"eke/piece"
	"eke/split"
	"eke/split/fit"
	"eke/split/wish"
)

// Misfit says how a whole piece lies on a scrap: by how much it hangs off
// along and across the grain, in mm; 0 and 0 where it fits.
type Misfit struct {
	Piece, Scrap      string
	AlongMM, AcrossMM float64
	LengthMM, WidthMM float64 // of the piece's cutting line, along the grain and across it
	Fits              bool
	Forbidden         string // the rule that keeps the piece off this scrap, or empty
}

// Fit lays every piece, whole and alone, on every scrap. Like copies of a
// piece or a scrap are asked once.
func Fit(ctx context.Context, pieces []*piece.Piece, scraps []piece.Scrap, o Options) ([]Misfit, error) {
	if err := checkShapes(pieces, scraps, o.withDefaults()); err != nil {
		return nil, err
	}
	t := newTable(scraps, o.withDefaults())
	var out []Misfit
	for _, p := range pieces {
		b := newBlank(p, p.Outline, p.Name)
		if b == nil {
			return out, unsound(p)
		}
		for i := range t.bins {
			s := &t.bins[i]
			if s.scrap.Copy > 1 {
				continue
			}
			out = append(out, t.misfit(ctx, b, s))
			if err := ctx.Err(); err != nil {
				return out, err
			}
		}
	}
	return out, nil
}

// checkShapes refuses wishes to carry a line or to match stripes that make no sense with
// these pieces and scraps, as a plan would.
func checkShapes(pieces []*piece.Piece, scraps []piece.Scrap, o Options) error {
	o.Wishes = slices.Clone(o.Wishes)
	for i, w := range o.Wishes {
		o.Wishes[i] = wish.Plainly(w)
	}
	var cut, shut []*piece.Piece
	for _, p := range split.Copies(pieces) {
		if p.Ready || p.Optional {
			shut = append(shut, p)
		} else {
			cut = append(cut, p)
		}
	}
	if w, carries, err := carryWished(o); err != nil {
		return err
	} else if carries {
		if _, err := split.NewCarry(cut, shut, w.Piece, w.To); err != nil {
			return fmt.Errorf("the wish %q: %w", w, err)
		}
	}
	return checkMatch(cut, scraps, o)
}

// unsound says why a piece cannot be laid on cloth.
func unsound(p *piece.Piece) error {
	_, err := split.CutLine(p, p.Outline)
	return &piece.Error{File: p.File, Piece: p.Name, Problem: fmt.Sprintf("it has no cutting line: %v", err), Cure: "give its edges smaller allowances, or simplify its outline"}
}

func (t *table) misfit(ctx context.Context, b *blank, s *bin) Misfit {
	m := Misfit{Piece: b.piece.Name, Scrap: s.scrap.Name, LengthMM: b.length, WidthMM: b.width, Forbidden: t.forbids(b.piece, s.scrap)}
	if m.Forbidden != "" {
		return m
	}
	if _, m.Fits = t.fitsOn(ctx, b, s); m.Fits {
		return m
	}
	_, m.AlongMM, m.AcrossMM = fit.Overhang(ctx, s.cloth, b.shape, rotations(b.piece, s.scrap, t.options.GrainToleranceDeg), s.scrap.GrainDeg)
	return m
}
