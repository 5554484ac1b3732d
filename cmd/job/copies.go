package job

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"eke/cmd/words"
	"eke/piece"
	"eke/split"
	"eke/split/optional"
	"eke/split/plan"
	"eke/split/search"
)

// Copies are the copies of a pattern by what is to become of them.
type Copies struct {
	Pieces []*piece.Piece // those that are planned, one a piece
	All    []*piece.Piece
	Main   []*piece.Piece // that are to be cut
	Extras []*piece.Piece // that are optional
	Ready  []*piece.Piece // that are cut already
}

// CopiesOf tells the copies apart. There is one to be cut at least.
func CopiesOf(pieces []*piece.Piece) (Copies, error) {
	c := Copies{All: split.Copies(pieces)}
	for _, p := range c.All {
		switch {
		case p.Ready:
			c.Ready = append(c.Ready, p)
		case p.Optional:
			c.Extras = append(c.Extras, p)
		default:
			c.Main = append(c.Main, p)
		}
	}
	for _, p := range pieces {
		if !p.Ready && !p.Optional {
			c.Pieces = append(c.Pieces, p)
		}
	}
	switch {
	case len(c.Main) > 0 || len(c.All) == 0:
		return c, nil
	case len(c.Extras) > 0:
		return c, errors.New("every piece that is not ready is optional, and optional pieces are cut from what the others leave; ask eke rest SCRAPS --also PATTERN what of them fits")
	}
	return c, errors.New("every piece is ready, and none is left to be cut")
}

// CutAlready makes the pieces of those names ready.
func CutAlready(pieces []*piece.Piece, names []string) error {
	for _, name := range names {
		if name = strings.TrimSpace(name); name == "" {
			continue
		}
		var known []string
		found := false
		for _, p := range pieces {
			known = append(known, p.Name)
			if strings.EqualFold(p.Name, name) {
				p.Ready, found = true, true
			}
		}
		if !found {
			return fmt.Errorf("--cut %s: the pattern has no such piece; it has %s", name, words.List(known))
		}
	}
	return nil
}

// plainOnly reports whether all copies are simply to be cut.
func (c *Copies) plainOnly() bool { return len(c.Extras)+len(c.Ready) == 0 }

// ForOptional is how much of the time goes to the optional pieces.
func (c *Copies) ForOptional(all time.Duration) time.Duration {
	if len(c.Extras) == 0 {
		return 0
	}
	return min(all/6, 5*time.Second)
}

// document makes a document of the plans, each with the optional pieces that
// find room beside it.
func (c *Copies) document(ctx context.Context, plans []*split.Made, drawn []*piece.Piece, cloth []piece.Scrap, o search.Options) (*plan.Document, error) {
	r := split.Record{Settings: o.Settings(), Drawn: drawn, Ready: c.Ready, Scraps: split.ScrapCopies(cloth), Plans: plans}
	d := r.Document()
	if c.plainOnly() {
		return d, nil
	}
	every := split.Record{Settings: r.Settings, Drawn: c.All}
	d.Pieces = every.Document().Pieces
	if len(c.Extras) == 0 {
		return d, nil
	}
	for k, m := range plans {
		one := r
		one.Plans = []*split.Made{m}
		var err error
		if d.Options[k], err = WithExtras(ctx, one, d.Options[k], slices.Clone(c.Extras), o); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// WithExtras is the option of a record of one plan with the optional pieces that
// find room beside it. What they look like is no cost of the plan: they are cut or
// not. was is the option without them.
func WithExtras(ctx context.Context, one split.Record, was plan.Option, extras []*piece.Piece, o search.Options) (plan.Option, error) {
	more, err := optional.Add(ctx, one, extras, o)
	if err != nil {
		return was, Fault{err}
	}
	with := more.Document().Options[0]
	with.Rank, with.Cost, with.Intrusion = was.Rank, was.Cost, was.Intrusion
	return with, nil
}
