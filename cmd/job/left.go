package job

import (
	"io"

	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/measure"
)

const LeftFile = "left.svg"

// FilesAndLeft are the files of a plan that was made for a pile, and what is left of
// the pile after each option.
func FilesAndLeft(d *plan.Document, u measure.Unit) []File {
	return append(Files(d, u), leftFiles(d)...)
}

// leftFiles is what is left of the pile after each option, as scraps files.
func leftFiles(d *plan.Document) []File {
	drawing := draw.Of(d)
	var out []File
	for k := range d.Options {
		out = append(out, File{OptionFolder(&d.Options[k]) + "/" + LeftFile, func(w io.Writer) error { return drawing.Left(w, k) }})
	}
	return out
}
