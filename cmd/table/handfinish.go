package table

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"eke/cmd/job"
	"eke/split/byhand"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/replan"
)

// finishHand looks for plans with what is drawn and laid as it is, and plans the rest.
// It runs as any search does.
func (b *bench) finishHand(r *http.Request) error {
	asked, err := askedFor(r)
	if err != nil {
		return err
	}
	of, err := b.handAs(asked)
	if err != nil {
		return err
	}
	if why := of.Amiss(); why != "" {
		return errors.New(why)
	}
	if of.Loose() == nil {
		return errors.New("every part lies on cloth already, and nothing is left to be planned; write it as it is")
	}
	for _, w := range of.Given().Options().Wishes {
		if replan.BeforeCutting(w) {
			return fmt.Errorf("%q is settled for the whole garment before any seam is drawn; take that wish away, or plan without what is drawn by hand", w)
		}
	}
	return b.startWith(asked, func(ctx context.Context, asked *job.Plan, args []string, l *laid) (*plan.Document, error, error) {
		record, err := of.Record()
		if err != nil {
			return nil, nil, err
		}
		d, failed, err := asked.GoOn(ctx, args, l.pieces, replan.Begin(record), l.wishes)
		if d != nil {
			d.FewestReason = "what is drawn and laid by hand stays as it is; without it there may be plans with fewer seams"
		}
		return d, failed, err
	})
}

// writeHand writes a plan that is whole as any other, once it is proved.
func (b *bench) writeHand() error {
	b.mu.Lock()
	asked := b.asked
	b.mu.Unlock()
	of, err := b.handAs(asked)
	if err != nil {
		return err
	}
	if p := of.Loose(); p != nil {
		return fmt.Errorf("%s lies on no scrap yet; lay it, or have the rest planned", p.Name)
	}
	if why := of.Amiss(); why != "" {
		return errors.New(why)
	}
	record, err := of.Record()
	if err != nil {
		return err
	}
	if faults := check.Document(record.Document()); len(faults) > 0 {
		return fmt.Errorf("the plan cannot be cut and sewn as it is: %w", faults[0])
	}
	return b.startWith(asked, func(ctx context.Context, asked *job.Plan, args []string, l *laid) (*plan.Document, error, error) {
		return asked.Whole(ctx, args, l.pieces, record, of.Given().Options())
	})
}

// handAs is what is made by hand, as a search may have it: made anew of the files, so
// that nobody else holds its pieces, and with the allowance and the gap that are asked
// for.
func (b *bench) handAs(asked job.Plan) (*byhand.Plan, error) {
	b.mu.Lock()
	if b.run != nil && b.run.going {
		b.mu.Unlock()
		return nil, errBusy
	}
	b.asked = asked
	b.mu.Unlock()
	_, now, err := b.byHand()
	if err != nil {
		return nil, err
	}
	kept, err := now.Save()
	if err != nil {
		return nil, err
	}
	b.mu.Lock()
	given, err := b.given()
	b.mu.Unlock()
	if err != nil {
		return nil, err
	}
	own, err := given.Restore(kept)
	if err == nil && !own.Same(now) {
		err = errMeanwhile
	}
	return own, err
}
