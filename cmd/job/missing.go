package job

import (
	"context"
	"time"

	"eke/piece"
	"eke/split/plan"
	"eke/split/search"
	"eke/split/shortfall"
)

// ToTellWhatIsMissing is the part of the time that is kept for that, should
// nothing be found until then.
func (f *Plan) ToTellWhatIsMissing() time.Duration {
	return min(f.Time/6, 15*time.Second)
}

// missing adds to a document without a plan what is missing, until a time. The
// first of it is told even where the search was stopped by hand, as far as can
// be done in a moment.
func missing(ctx context.Context, until time.Time, d *plan.Document, pieces []*piece.Piece, cloth []piece.Scrap, o search.Options, settled bool) error {
	const moment = 300 * time.Millisecond
	soon := time.Now().Add(moment)
	if ctx.Err() != nil {
		until = soon // Ctrl-C
	} else if until.Before(soon) {
		until = soon
	}
	ctx, cancel := context.WithDeadline(ctx, until)
	defer cancel()
	if err := shortfall.Tell(ctx, d, pieces, cloth, o, settled); err != nil {
		return Fault{err}
	}
	return nil
}
