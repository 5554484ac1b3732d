package main

import (
	"io"

	"eke/split/plan"
	"eke/svg/draw"
)

const leftFile = "left.svg"

// leftFiles is what is left of the pile after each option, as scraps files.
func leftFiles(d *plan.Document) []file {
	drawing := draw.Of(d)
	var out []file
	for k := range d.Options {
		out = append(out, file{optionFolder(&d.Options[k]) + "/" + leftFile, func(w io.Writer) error { return drawing.Left(w, k) }})
	}
	return out
}
