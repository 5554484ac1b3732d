package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"eke/piece"
	"eke/split"
	"eke/split/optional"
	"eke/split/plan"
	"eke/split/search"
)

// patternCopies are the copies of a pattern by what is to become of them.
type patternCopies struct {
	pieces []*piece.Piece // those that are planned, one a piece
	all    []*piece.Piece
	main   []*piece.Piece // that are to be cut
	extras []*piece.Piece // that are optional
	ready  []*piece.Piece // that are cut already
}

// copiesOfPattern tells the copies apart. There is one to be cut at least.
func copiesOfPattern(pieces []*piece.Piece) (patternCopies, error) {
	c := patternCopies{all: split.Copies(pieces)}
	for _, p := range c.all {
		switch {
		case p.Ready:
			c.ready = append(c.ready, p)
		case p.Optional:
			c.extras = append(c.extras, p)
		default:
			c.main = append(c.main, p)
		}
	}
	for _, p := range pieces {
		if !p.Ready && !p.Optional {
			c.pieces = append(c.pieces, p)
		}
	}
	switch {
	case len(c.main) > 0 || len(c.all) == 0:
		return c, nil
	case len(c.extras) > 0:
		return c, errors.New("every piece that is not ready is optional, and optional pieces are cut from what the others leave; ask eke rest SCRAPS --also PATTERN what of them fits")
	}
	return c, errors.New("every piece is ready, and none is left to be cut")
}

// cutAlready makes the pieces of those names ready.
func cutAlready(pieces []*piece.Piece, names []string) error {
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
			return fmt.Errorf("--cut %s: the pattern has no such piece; it has %s", name, list(known))
		}
	}
	return nil
}

// plainOnly reports whether all copies are simply to be cut.
func (c *patternCopies) plainOnly() bool { return len(c.extras)+len(c.ready) == 0 }

// forOptional is how much of the time goes to the optional pieces.
func (c *patternCopies) forOptional(all time.Duration) time.Duration {
	if len(c.extras) == 0 {
		return 0
	}
	return min(all/6, 5*time.Second)
}

// document makes a document of the plans, each with the optional pieces that
// find room beside it.
func (c *patternCopies) document(ctx context.Context, plans []*split.Made, drawn []*piece.Piece, cloth []piece.Scrap, o search.Options) (*plan.Document, error) {
	r := split.Record{Settings: o.Settings(), Drawn: drawn, Ready: c.ready, Scraps: split.ScrapCopies(cloth), Plans: plans}
	d := r.Document()
	if c.plainOnly() {
		return d, nil
	}
	every := split.Record{Settings: r.Settings, Drawn: c.all}
	d.Pieces = every.Document().Pieces
	if len(c.extras) == 0 {
		return d, nil
	}
	for k, m := range plans {
		one := r
		one.Plans = []*split.Made{m}
		more, err := optional.Add(ctx, one, slices.Clone(c.extras), o)
		if err != nil {
			return nil, faultError{err}
		}
		// What they look like is no cost of the plan: they are cut or not.
		o := more.Document().Options[0]
		o.Rank, o.Cost, o.Intrusion = k+1, d.Options[k].Cost, d.Options[k].Intrusion
		d.Options[k] = o
	}
	return d, nil
}
