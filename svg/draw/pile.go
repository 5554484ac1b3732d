package draw

import (
	"fmt"
	"io"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Pile draws scraps as a file of scraps, in eke's own words: each a group
// with its outline, holes and grain, where it lies.
func Pile(w io.Writer, title, note string, pile []piece.Scrap) error {
	var all orb.MultiPoint
	for _, s := range pile {
		all = append(all, s.Outline...)
	}
	c := begin(w, title, all.Bound().Pad(10))
	c.svg.Desc(note)
	for i := range pile {
		c.loose(&pile[i])
	}
	return c.end()
}

// loose draws a scrap with nothing laid on it.
func (c *canvas) loose(s *piece.Scrap) {
	c.openLoose(s)
	d := func(r orb.Ring) string { return curve.Polyline(r...).D() + " Z" }
	c.svg.Path(d(s.Outline), attribute("class", "outline"), looseStyle(s))
	for _, h := range s.Holes {
		c.svg.Path(d(h), attribute("class", "hole"), attribute("style", ink[Hole]))
	}
	a, b := s.GrainIn()
	c.svg.Path(curve.Polyline(a, b).D(), attribute("class", "grain"), attribute("style", ink[Grain]))
	c.svg.Gend()
}

// openLoose opens the group of a scrap, with its name and facts.
func (c *canvas) openLoose(s *piece.Scrap) {
	attributes := []string{attribute("class", "scrap")}
	for _, f := range pileFacts(s) {
		attributes = append(attributes, attribute("data-"+f.Key, f.Value))
	}
	c.svg.Group(attributes...)
	c.svg.Title(s.Name)
}

// looseStyle paints an outline in its cloth's colour.
func looseStyle(s *piece.Scrap) string {
	fill := "#eef2ee"
	if s.Colour != "" {
		fill = s.Colour
	}
	return attribute("style", "fill:"+fill+";fill-opacity:0.6;stroke:#1d2b2f;stroke-width:0.6")
}

func pileFacts(s *piece.Scrap) []Fact {
	var out []Fact
	add := func(key, value string) {
		if value != "" {
			out = append(out, Fact{key, value})
		}
	}
	add("fabric", s.Fabric)
	add("look", s.Look)
	add("kind", s.Kind)
	add("use", s.Use)
	if s.Shrink > 0 {
		add("shrink", number(s.Shrink)+"%")
	}
	if s.Striped() {
		runs := "across"
		if s.Stripe.Along {
			runs = "along"
		}
		add("stripe_mm", number(s.Stripe.RepeatMM))
		add("first_mm", number(s.Stripe.FirstMM))
		add("stripe_runs", runs)
	}
	add("colour", s.Colour)
	if s.Nap {
		add("nap", "yes")
	}
	if s.BothFaces {
		add("face", "both")
	}
	if s.Count > 1 {
		add("count", fmt.Sprint(s.Count))
	}
	add("note", s.Note)
	return out
}
