package draw

import (
	"fmt"
)

// moved shows a seam that was moved where it lies on the body, whose shape
// stays as it was drawn: on the piece that gave a strip away, the strip shows
// in the neighbour's cloth; on the neighbour the strip is folded out of sight.
// The function it returns ends that, and must be called when the piece has been
// painted.
func (g *garment) moved(c *canvas, p placed) (done func()) {
	if p.keep != nil {
		return func() {}
	}
	whole := pathOf(p.piece.edges).Transform(p.m)
	folded := false
	for _, m := range g.MovedSeams {
		if m.To == p.piece.Name {
			folded = true
		}
		if m.From != p.piece.Name {
			continue
		}
		_, edge := m.Edges()
		if fill := g.clothOfEdge(m.To, edge); fill != "" {
			c.filled(whole, fill, "flat-part")
		}
	}
	if !folded {
		return func() {}
	}
	g.clips++
	id := fmt.Sprintf("clip-%d-%d", g.at+1, g.clips)
	c.svg.Group(attribute("class", "folded"))
	c.svg.ClipPath(attribute("id", id))
	c.svg.Path(rounded(whole)+" Z", attribute("class", "clip"))
	c.svg.ClipEnd()
	c.svg.Group(attribute("clip-path", "url(#"+id+")"))
	return func() {
		c.svg.Gend()
		c.ruled(whole)
		c.svg.Gend()
	}
}

// clothOfEdge is the cloth of a piece where an edge of it runs, empty where there
// is no such edge.
func (g *garment) clothOfEdge(name, edge string) string {
	for _, p := range g.outfit.pieces {
		if p.Name != name {
			continue
		}
		for _, e := range p.edges {
			if e.Name != edge {
				continue
			}
			at, _ := e.path.At(e.path.Length() / 2)
			return partAt(g.partsOf(p), at).fill
		}
	}
	return ""
}
