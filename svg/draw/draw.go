// Package draw makes pictures of a plan: parts at true size, all parts on one
// page, scraps with their parts laid on them, and the garment drawn flat.
//
// A part is first reduced to a Shape, lines and text in millimetres with a
// place found for every label, and only then written as SVG; whoever prints
// on paper starts from the same Shape. Labels go where the largest box of
// their size lies clear of every line; what fits nowhere is led out of the
// part with a leader line.
//
// In goes a plan.Document, and the number of one of its options, counted from
// 0. Part, Pieces and Layout write an SVG file at true size, a unit of the
// drawing being a millimetre; the functions that give a Picture draw for a page
// to show at any size. The document is taken as it is: who wants it proved asks
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

	"eke/split/plan"

	"github.com/paulmach/orb"
)

// marginMM is the empty border round a picture.
const marginMM = 8

// Part writes one part of an option at true size: width and height in mm and
// a viewBox in mm. option and part count from 0.
func Part(w io.Writer, d *plan.Document, option, part int) error {
	s, err := PartShape(d, option, part)
	if err != nil {
		return err
	}
	c := begin(w, s.Name, s.Bound().Pad(marginMM))
	c.part(s, 0, 0, []Shape{s})
	return c.end()
}

// Pieces writes every part of an option on one page, in rows, none
// overlapping, at true size. option counts from 0.
func Pieces(w io.Writer, d *plan.Document, option int) error {
	shapes, err := Shapes(d, option)
	if err != nil {
		return err
	}
	at, page := Rows(shapes, 15)
	c := begin(w, fmt.Sprintf("option %d: parts", d.Options[option].Rank), page.Pad(marginMM))
	for i, s := range shapes {
		c.part(s, at[i][0], at[i][1], shapes)
	}
	return c.end()
}

// Layout writes each scrap that the option uses with its parts laid on it, at
// true size, and names the scraps that it leaves untouched. option counts
// from 0.
func Layout(w io.Writer, d *plan.Document, option int) error {
	scraps, err := LayoutShapes(d, option)
	if err != nil {
		return err
	}
	at, page := Rows(scraps, 25)
	var spare []Label
	if names := untouched(d, option); len(names) > 0 {
		spare = listed("not used: "+strings.Join(names, ", "), page)
		for _, l := range spare {
			page = page.Union(l.bound())
		}
	}
	c := begin(w, fmt.Sprintf("option %d: layout", d.Options[option].Rank), page.Pad(marginMM))
	for i, s := range scraps {
		c.scrap(s, at[i][0], at[i][1])
	}
	c.labels(spare)
	return c.end()
}

// Shapes is every part of an option, ready to be drawn, in the plan's order.
func Shapes(d *plan.Document, option int) ([]Shape, error) {
	o, err := optionOf(d, option)
	if err != nil {
		return nil, err
	}
	out := make([]Shape, len(o.Parts))
	for i := range o.Parts {
		if out[i], err = PartShape(d, option, i); err != nil {
			return nil, err
		}
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
func untouched(d *plan.Document, option int) []string {
	var names []string
	for _, s := range d.Scraps {
		if !cutInto(&d.Options[option], &s) {
			names = append(names, ScrapName(d, s.Name, s.Copy))
		}
	}
	return names
}

func optionOf(d *plan.Document, option int) (*plan.Option, error) {
	if option < 0 || option >= len(d.Options) {
		return nil, fmt.Errorf("there is no option %d: the plan has %d; choose one from 1 to %d", option+1, len(d.Options), len(d.Options))
	}
	return &d.Options[option], nil
}
