package byhand

import (
	"fmt"

	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/fit"
	"eke/split/plan"
	"eke/split/search"
)

// Given is what plans are made from: a pattern and a pile, made ready. It does not
// change, but for what it remembers, and any number of goroutines may use it.
type Given struct {
	drawn   []*piece.Piece // every copy that is to be cut, as drawn
	ready   []*piece.Piece
	scraps  []*piece.Scrap // every copy
	options search.Options
	bodies  []*split.Body // of drawn
	pieces  []plan.Piece  // drawn, as a document has them
	cloths  []plan.Scrap
	places  *search.Places // all scraps, with nothing on them
	proofs  []*check.OnScrap

	answers memo[question, answer]
	frees   memo[string, *free]
	lyings  memo[lyingKey, *check.Lying]
	seen    memo[slot, fit.Placement] // where parts lay lately, or hung off least
	reaches memo[string, [2]float64]  // of moved seams
	start   *Plan
}

// New prepares a pattern and a pile. drawn are the copies to be cut and ready those
// that are cut already.
func New(drawn, ready []*piece.Piece, pile []piece.Scrap, o search.Options) (*Given, error) {
	if len(drawn) == 0 {
		return nil, search.ErrNoPieces
	}
	if len(pile) == 0 {
		return nil, search.ErrNoScraps
	}
	if o.Rules == nil {
		o.Rules = piece.Rules(pile)
	}
	g := &Given{drawn: drawn, ready: ready, scraps: split.ScrapCopies(pile), options: o, places: search.NewPlaces(pile, o)}
	r := split.Record{Settings: o.Settings(), Drawn: drawn, Ready: ready, Scraps: g.scraps}
	d := r.Document()
	g.pieces, g.cloths = d.Pieces, d.Scraps
	for _, p := range drawn {
		g.bodies = append(g.bodies, split.NewBody(p, p.Outline))
	}
	for _, s := range g.cloths {
		on, err := check.NewOnScrap(r.Settings, s)
		if err != nil {
			return nil, fmt.Errorf("scrap %s: %w", s.Name, err)
		}
		g.proofs = append(g.proofs, on)
	}
	none := &Plan{given: g, pieces: drawn, on: map[*node]lying{}}
	for i := range drawn {
		c, err := g.cut(i, drawn[i], new(node))
		if err != nil {
			return nil, err
		}
		none.copies = append(none.copies, c)
	}
	g.start = none
	return g, nil
}

// Start is the plan in which nothing is drawn and nothing is laid.
func (g *Given) Start() *Plan { return g.start }

// Scraps are every copy of every scrap; a part's place in it says what it lies on.
func (g *Given) Scraps() []*piece.Scrap { return g.scraps }

// Drawn are the copies that are to be cut, as drawn.
func (g *Given) Drawn() []*piece.Piece { return g.drawn }
