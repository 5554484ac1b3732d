package report

import (
	"bytes"
	"fmt"
	"html/template"
	"math"
	"strings"

	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/placing"
)

// pictures are all that a page shows. They are drawn first, and the words are
// then written round them.
type pictures struct {
	scraps  []shown       // at hand
	cloths  template.HTML // their fills
	options []optionPictures
	partial *optionPictures
}

// optionPictures are those of one option.
type optionPictures struct {
	garment []shown
	looks   []look
	small   []template.HTML // the same without labels
	wide    template.CSS    // of the small ones together, for their height
	note    string
	laid    []shown // scraps that it uses, with its parts on them
	scraps  []int   // which of the plan's they are
	sheets  []placing.Sheet
	placing []shown // one for each sheet
}

// shown is a picture as it is set in the page.
type shown struct {
	name    string
	svg     template.HTML
	percent template.CSS // its share of the width that is to be filled
}

// drawn draws what the page of a plan shows, where of the scraps those are
// drawn that are given. The part of a plan that holds some of the pieces is a
// document of its own; it is nil where there is none.
func drawn(d, part *plan.Document, scraps []int) (*pictures, error) {
	p := draw.Of(d)
	out := new(pictures)
	var err error
	if part != nil {
		if out.partial, err = drawnOption(draw.Of(part), part, 0); err != nil {
			return nil, fmt.Errorf("the plan for some of the pieces: %w", err)
		}
	}
	all, err := p.Scraps(scraps)
	if err != nil {
		return nil, err
	}
	out.scraps = toScale(all, widest(all))
	var b bytes.Buffer
	if err := p.Cloths(&b, scraps); err != nil {
		return nil, err
	}
	out.cloths = template.HTML(b.String())
	for i := range d.Options {
		o, err := drawnOption(p, d, i)
		if err != nil {
			return nil, fmt.Errorf("option %d: %w", i+1, err)
		}
		out.options = append(out.options, *o)
	}
	return out, nil
}

func drawnOption(p *draw.Plan, d *plan.Document, at int) (*optionPictures, error) {
	o := new(optionPictures)
	garment, note, err := p.Garment(at)
	if err != nil {
		return nil, err
	}
	o.garment, o.note = toScale(garment, draw.FullWidthMM(garment)), note
	looks, err := p.Looks(at)
	if err != nil {
		return nil, err
	}
	for _, l := range looks {
		one := look{Name: l.Name, Pieces: strings.Join(l.Pieces, ", ")}
		for _, s := range l.Swatches {
			one.Swatches = append(one.Swatches, template.HTML(s))
		}
		o.looks = append(o.looks, one)
	}
	together, tallest := 0.0, 1.0
	for _, p := range garment {
		o.small = append(o.small, template.HTML(p.Small))
		together, tallest = together+p.WidthMM, math.Max(tallest, p.HeightMM)
	}
	o.wide = template.CSS("--wide:" + fixed(together/tallest, 3))
	o.sheets = placing.Sheets(d, at)
	for _, s := range o.sheets {
		picture, err := p.Placing(at, s)
		if err != nil {
			return nil, err
		}
		o.placing = append(o.placing, shown{name: picture.Name, svg: template.HTML(picture.SVG)})
	}
	laid, scraps, err := p.Laid(at)
	if err != nil {
		return nil, err
	}
	o.laid, o.scraps = toScale(laid, widest(laid)), scraps
	return o, nil
}

func widest(pictures []draw.Picture) float64 {
	widest := 0.0
	for _, p := range pictures {
		widest = math.Max(widest, p.WidthMM)
	}
	return widest
}

// toScale is pictures that are shown to one scale, which fills the page's width
// with so many mm.
func toScale(pictures []draw.Picture, fullMM float64) []shown {
	var out []shown
	for _, p := range pictures {
		out = append(out, shown{p.Name, template.HTML(p.SVG), template.CSS("--share:" + fixed(p.WidthMM/fullMM, 4))})
	}
	return out
}
