// Package report writes a plan as a page that a maker reads on a phone and
// prints: report.html, one file that holds its pictures and its style, runs
// no script and asks no server for anything.
//
// What a page says is worked out here as plain values, view.go; how it looks
// is in page.html, missing.html and page.css. Text from files goes through html/template,
// which escapes it; pictures come from the draw package, which does the same.
package report

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"eke/split/plan"
	"eke/svg/measure"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

var page = template.Must(template.New("report").Funcs(words(measure.Millimetres)).Parse(pageHTML + choicesHTML + missingHTML + placingHTML))

// words is how the page writes its figures.
func words(u measure.Unit) template.FuncMap {
	return template.FuncMap{
		"long": u.Long, "fine": u.Fine, "missing": u.Missing, "patch": u.Patch, "area": u.Area, "text": u.Text,
		"atleast": u.AtLeast, "atmost": u.AtMost, "tape": u.Tape,
		"points": points, "plural": plural, "sentence": sentence,
	}
}

// HTML writes the report of a plan, or, where the plan has no option, of what
// is missing. The unit is what lengths are written in.
func HTML(w io.Writer, d *plan.Document, u measure.Unit) error {
	v, err := newView(d, u)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	v.Style = template.CSS(pageCSS)
	var b bytes.Buffer
	if err := template.Must(page.Clone()).Funcs(words(u)).Execute(&b, v); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	_, err = w.Write(labelled(b.Bytes()))
	return err
}
