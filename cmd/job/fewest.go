package job

import (
	"context"
	"fmt"
	"time"

	"eke/piece"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"
)

// toProveFewest is the part of the time that is kept for proving that no plan has
// fewer seams, once one is found.
func (f *Plan) toProveFewest(copies []*piece.Piece, o search.Options) time.Duration {
	if !search.TellsAtLeast(copies, o) {
		return 0
	}
	return min(f.Time/8, 10*time.Second)
}

// proveFewest looks for a proof that no plan has fewer seams than the best, where the
// search has none, and keeps it where it holds. Why is what the report says of it.
func proveFewest(ctx context.Context, d *plan.Document, copies []*piece.Piece, cloth []piece.Scrap, o search.Options) (why string, ok bool) {
	if len(d.Options) == 0 {
		return "", false
	}
	seams := d.Options[0].Seams
	for _, option := range d.Options {
		seams = min(seams, option.Seams)
	}
	proof, err := check.NewAtLeastProof(d, o.Kinds)
	if err != nil {
		return "", false
	}
	if d.AtLeast = search.AtLeast(ctx, copies, cloth, o, seams, proof); d.AtLeast == nil {
		return "", false
	}
	if len(proof.Faults(ctx)) > 0 {
		d.AtLeast = nil
		return "", false
	}
	cases := "it has one case, in which"
	if n := len(d.AtLeast.Cases); n > 1 {
		cases = fmt.Sprintf("in each of %d cases", n)
	}
	return fmt.Sprintf("proved by going through all ways to add fewer: %s some pieces find no scraps that hold them", cases), true
}
