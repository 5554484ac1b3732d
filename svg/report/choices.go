package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"eke/split/plan"
	"eke/svg/measure"
)

//go:embed choices.html
var choicesHTML string

// Style is the style sheet of the report, for another page that shows Choices.
func Style() string { return pageCSS }

// Choices writes what a maker chooses an option by, as a part of another page:
// the options side by side, and the garment and the scraps of each; or, where
// there is no option, what is missing.
func Choices(w io.Writer, d *plan.Document, u measure.Unit) error {
	v, err := newView(d, u)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	if err := template.Must(page.Clone()).Funcs(words(u)).ExecuteTemplate(w, "choices", v); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}
