package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"slices"

	"eke/split/plan"
	"eke/svg/measure"
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

// place tells the sheets of numbers of an option.
func place(o *plan.Option, order []int, pictures *optionPictures, u measure.Unit) []placed {
	var out []placed
	number := map[int]int{}
	for n, i := range order {
		number[i] = n + 1
	}
	for i, s := range pictures.sheets {
		v := placed{Name: pictures.placing[i].name, Picture: pictures.placing[i].svg, Smooth: s.Smooth}
		for _, e := range s.Edges {
			v.Edges = append(v.Edges, s.Corners[e[0]].Name+s.Corners[e[1]].Name)
		}
		for _, p := range s.Parts {
			from := v.Edges
			if len(from) == 0 {
				from = []string{s.Corners[p.From[0]].Name, s.Corners[p.From[1]].Name}
			}
			row := placedPart{Number: number[p.Part], Name: plan.Plain(o.Parts[p.Part].Name)}
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
	return out
}
