package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"slices"

	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/measure"
	"eke/svg/placing"
)

//go:embed placing.html
var placingHTML string

// placed is a scrap's sheet of numbers.
type placed struct {
	Name    string
	Picture template.HTML
	Edges   []string // the two that are measured from; none where corners are
	Smooth  bool     // it has no corners either
	Parts   []placedPart
}

type placedPart struct {
	Number int
	Name   string
	Marks  [3][2]string // how far each of three corners is from what, twice
}

// FromCorners reports whether a part is measured from corners of its scrap.
func (o option) FromCorners() bool {
	return slices.ContainsFunc(o.Placed, func(p placed) bool { return len(p.Edges) == 0 })
}

// place works out the sheets of numbers of an option.
func place(d *plan.Document, at int, u measure.Unit) ([]placed, error) {
	var out []placed
	number := map[int]int{}
	for n, i := range draw.CuttingOrder(d, at) {
		number[i] = n + 1
	}
	for _, s := range placing.Sheets(d, at) {
		picture, err := draw.Placing(d, at, s)
		if err != nil {
			return nil, err
		}
		v := placed{Name: picture.Name, Picture: template.HTML(picture.SVG), Smooth: s.Smooth}
		for _, e := range s.Edges {
			v.Edges = append(v.Edges, s.Corners[e[0]].Name+s.Corners[e[1]].Name)
		}
		for _, p := range s.Parts {
			from := v.Edges
			if len(from) == 0 {
				from = []string{s.Corners[p.From[0]].Name, s.Corners[p.From[1]].Name}
			}
			row := placedPart{Number: number[p.Part], Name: draw.Plain(d.Options[at].Parts[p.Part].Name)}
			for i, c := range p.Corners {
				row.Marks[i] = [2]string{
					fmt.Sprintf("%s from %s", u.Mark(c.MM[0]), from[0]),
					fmt.Sprintf("%s from %s", u.Mark(c.MM[1]), from[1]),
				}
			}
			v.Parts = append(v.Parts, row)
		}
		out = append(out, v)
	}
	return out, nil
}
