// Package draw makes pictures of a plan: parts at true size, all parts on one
// page, scraps with their parts laid on them, and the garment drawn flat.
//
// A part is first reduced to a Shape, lines and text in millimetres with a
// place found for every label, and only then written as SVG; whoever prints
// on paper starts from the same Shape. Labels go where the largest box of
// their size lies clear of every line; what fits nowhere is led out of the
// part with a leader line.
//
// In goes a plan.Document, by Of, and the number of one of its options, counted
// from 0. A Plan reads the lines of the document once for all its drawings. Its
// Part, Pieces and Layout write an SVG file at true size, a unit of the drawing
// being a millimetre; what gives a Picture draws for a page to show at any size. The document is taken as it is: who wants it proved asks
// split/check first. An error means that there is no such option or part, that
// a line of the plan is no path data, or that the writer failed.
//
// The SVG of a part uses eke's own pattern words (seam, grain, notch, dart,
// edge) as classes, so a part can be read as a pattern piece again. Names come
// from files and are text, never markup. The same plan gives the same bytes.
package draw

import (
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"
)

// marginMM is the empty border round a picture.
const marginMM = 8

// Part writes one part of an option at true size: width and height in mm and
// a viewBox in mm. option and part count from 0.
func (p *Plan) Part(w io.Writer, option, part int) error {
	s, err := p.PartShape(option, part)
	if err != nil {
		return err
	}
	c := begin(w, s.Name, s.Bound().Pad(marginMM))
	c.part(s, 0, 0, []Shape{s})
	return c.end()
}

// Pieces writes every part of an option on one page, in rows, none
// overlapping, at true size, but for those that are cut already. option counts
// from 0.
func (p *Plan) Pieces(w io.Writer, option int) error {
	shapes, err := p.Shapes(option)
	if err != nil {
		return err
	}
	if len(shapes) == 0 {
		said := Label{Text: "every part is cut already", SizeMM: 8}
		c := begin(w, fmt.Sprintf("option %d: no parts", p.doc.Options[option].Rank), said.bound().Pad(marginMM))
		c.labels([]Label{said})
		return c.end()
	}
	at, page := Rows(shapes, 15)
	c := begin(w, fmt.Sprintf("option %d: parts", p.doc.Options[option].Rank), page.Pad(marginMM))
	for i, s := range shapes {
		c.part(s, at[i][0], at[i][1], shapes)
	}
	return c.end()
}

// Layout writes each scrap that the option uses with its parts laid on it, at
// true size, and names the scraps that it leaves untouched. option counts
// from 0.
func (p *Plan) Layout(w io.Writer, option int) error {
	o, err := p.option(option)
	if err != nil {
		return err
	}
	scraps, err := o.layout()
	if err != nil {
		return err
	}
	at, page := Rows(scraps, 25)
	var spare []Label
	if names := o.untouched(); len(names) > 0 {
		spare = listed("not used: "+strings.Join(names, ", "), page)
		for _, l := range spare {
			page = page.Union(l.bound())
		}
	}
	c := begin(w, fmt.Sprintf("option %d: layout", o.Rank), page.Pad(marginMM))
	for i, s := range scraps {
		c.scrap(s, at[i][0], at[i][1])
	}
	c.labels(spare)
	return c.end()
}

// Shapes is every part of an option that is not cut already, ready to be drawn,
// in the plan's order.
func (p *Plan) Shapes(option int) ([]Shape, error) {
	o, err := p.option(option)
	if err != nil {
		return nil, err
	}
	var out []Shape
	for i := range o.parts {
		if !o.parts[i].IsCut {
			out = append(out, o.shape(i))
		}
	}
	return out, nil
}

// Named is the parts of that name of an option, which counts from 0.
func (p *Plan) Named(option int, name string) ([]Shape, error) {
	o, err := p.option(option)
	if err != nil {
		return nil, err
	}
	var out []Shape
	var names []string
	for i := range o.parts {
		names = append(names, o.parts[i].Name)
		if o.parts[i].Name == name {
			out = append(out, o.shape(i))
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("option %d has no part %q; it has %s", option+1, name, strings.Join(names, ", "))
	}
	return out, nil
}

// listed sets a long text in lines below the page's box.
func listed(text string, page orb.Bound) []Label {
	const sizeMM = 8.0
	w, _ := size(page)
	var out []Label
	y := page.Max[1] + 2*sizeMM
	for _, t := range wrap(text, max(12, int(w/Width("n", sizeMM)))) {
		out = append(out, Label{Text: t, SizeMM: sizeMM, At: orb.Point{page.Min[0] + Width(t, sizeMM)/2, y}})
		y += sizeMM * leading
	}
	return out
}

// untouched names the scraps that an option cuts nothing from.
func (o *option) untouched() []string {
	var names []string
	for _, s := range o.doc.Scraps {
		if !o.cutsInto(&s) {
			names = append(names, o.doc.ScrapName(s.Name, s.Copy))
		}
	}
	return names
}
