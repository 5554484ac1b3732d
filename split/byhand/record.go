package byhand

import (
	"fmt"

	"eke/split"
	"eke/split/search"
)

// Record is what a document of the plan is made of. Parts that lie nowhere have no
// scrap in it; it is a whole plan where there are none.
func (p *Plan) Record() (split.Record, error) {
	m, err := p.made()
	if err != nil {
		return split.Record{}, err
	}
	g := p.given
	return split.Record{Settings: g.options.Settings(), Drawn: g.drawn, Ready: g.ready, Scraps: g.scraps, Plans: []*split.Made{m}}, nil
}

// Options are what the plan is made with.
func (g *Given) Options() search.Options { return g.options }

// Amiss says of the first part that lies where it cannot be cut what is wrong there;
// it is empty where there is none.
func (p *Plan) Amiss() string {
	for _, part := range p.Parts() {
		if l, ok := p.On(part); ok && !l.OK {
			return fmt.Sprintf("%s lies on %s where it cannot be cut: %s; lift it or move it first", part.Name, p.given.scraps[l.Scrap].ID(), l.Trouble())
		}
	}
	return ""
}

// Loose is the first part that lies nowhere; nil where all lie on cloth.
func (p *Plan) Loose() *Part {
	for _, part := range p.Parts() {
		if _, ok := p.on[part.node]; !ok {
			return part
		}
	}
	return nil
}
