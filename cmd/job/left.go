package job

import (
	"io"

	"eke/split/plan"
	"eke/svg/draw"
)

const LeftFile = "left.svg"

// LeftFiles is what is left of the pile after each option, as scraps files.
func LeftFiles(d *plan.Document) []File {
	drawing := draw.Of(d)
	var out []File
	for k := range d.Options {
		out = append(out, File{OptionFolder(&d.Options[k]) + "/" + LeftFile, func(w io.Writer) error { return drawing.Left(w, k) }})
	}
	return out
}
