// Package report writes a plan as a page that a maker reads on a phone and
// prints: report.html, one file that holds its pictures and its style, runs
// no script and asks no server for anything.
//
// What a page says is worked out here as plain values, view.go; how it looks
// is in page.html and page.css. Text from files goes through html/template,
// which escapes it; pictures come from the draw package, which does the same.
package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"eke/split/plan"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

var page = template.Must(template.New("report").Funcs(template.FuncMap{
	"cm": centimetres, "cm2": squareCentimetres, "mm": millimetres, "points": points, "plural": plural, "sentence": sentence,
}).Parse(pageHTML))

// HTML writes the report of a plan, or, where the plan has no option, of what
// is missing.
func HTML(w io.Writer, d *plan.Document) error {
	v, err := newView(d)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	v.Style = template.CSS(pageCSS)
	return page.Execute(w, v)
}
