package job

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece/curve"
	"eke/split/check"
	"eke/split/plan"
	"eke/svg/draw"
)

// Pages is which pages are printed of a plan's option or a pattern.
type Pages struct {
	Paper  string // a name that sheets.ParsePaper knows
	Layout bool   // the scraps with their parts laid on them
	Each   bool   // every part by itself, mirror images too
}

// Printout is what is to be printed, and where it goes unless -o says so.
type Printout struct {
	Title    string
	Shapes   []draw.Shape
	Dir      string // an output of eke's, or empty
	Warnings []string
	Notes    []string
	Name     string // of the PDF, in dir or here
}

// Open finds out what the target is, and gives what is to be printed of it.
func (f Pages) Open(target string, names []string) (*Printout, error) {
	info, err := os.Stat(target)
	if err != nil {
		return nil, fmt.Errorf("%s: there is no such file or folder", target)
	}
	folder, file := target, ""
	if !info.IsDir() {
		folder, file = filepath.Split(filepath.Clean(target))
	}
	folder, err = filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	dir := filepath.Dir(folder)
	_, err = os.Stat(filepath.Join(dir, PlanFile))
	inOption := err == nil && strings.HasPrefix(filepath.Base(folder), "option-")
	switch {
	case inOption:
		return f.option(dir, filepath.Base(folder), file, names)
	case file == PlanFile || file == ReportFile:
		return nil, fmt.Errorf("%s is not what is printed; %s", target, printable(folder, filepath.Dir(target)))
	case file != "":
		return f.pattern(target, names)
	}
	return nil, fmt.Errorf("%s is no option that eke wrote; %s", target, printable(folder, target))
}

// printable says what else to name than a folder that cannot be printed as a
// whole: an option in it, or a pattern file, as far as there are any.
func printable(folder, target string) string {
	if d, err := ReadPlan(filepath.Join(folder, PlanFile)); err == nil {
		for _, o := range d.Options {
			if info, err := os.Stat(filepath.Join(folder, OptionFolder(&o))); err == nil && info.IsDir() {
				return "name one in it, such as " + filepath.Join(target, OptionFolder(&o))
			}
		}
		return "its plan.json has no option to print"
	}
	entries, _ := os.ReadDir(folder)
	for _, e := range entries {
		if !strings.EqualFold(filepath.Ext(e.Name()), ".svg") {
			continue
		}
		if _, err := Pattern(filepath.Join(folder, e.Name())); err == nil {
			return "name the folder of one, or a pattern file, such as " + filepath.Join(target, e.Name())
		}
	}
	return "name the folder of one, or a pattern file"
}

// option is an option of a plan, or the part whose file was named.
func (f Pages) option(dir, folder, file string, names []string) (*Printout, error) {
	d, err := ReadPlan(filepath.Join(dir, PlanFile))
	if err != nil {
		return nil, err
	}
	k := slices.IndexFunc(d.Options, func(o plan.Option) bool { return OptionFolder(&o) == folder })
	if k < 0 {
		return nil, fmt.Errorf("%s: %s has no %s", dir, PlanFile, folder)
	}
	o := &d.Options[k]
	if faults := check.Option(d, k); len(faults) > 0 {
		return nil, fmt.Errorf("%s: the plan in it is not right (%w); write it again with eke plan", filepath.Join(dir, PlanFile), faults[0])
	}
	p := &Printout{
		Title: fmt.Sprintf("%s, option %d", strings.TrimSuffix(filepath.Base(d.Pattern), filepath.Ext(d.Pattern)), o.Rank),
		Dir:   dir, Name: folder + "/parts", Warnings: d.Warnings,
	}
	drawing, layout := draw.Of(d), f.Layout
	switch i := slices.Index(PartFiles(o), file); {
	case file == LayoutFile:
		layout = true
	case i >= 0:
		names = append(names, o.Parts[i].Name)
	case file != "" && file != PiecesFile:
		return nil, fmt.Errorf("%s: it is no file of %s", file, folder)
	}
	switch {
	case f.Each && (layout || len(names) > 0):
		return nil, fmt.Errorf("--each prints every part; leave out --layout and names")
	case layout && len(names) > 0:
		return nil, fmt.Errorf("--layout prints all the scraps; leave out %s", strings.Join(names, ", "))
	case layout:
		p.Name = folder + "/layout"
		p.Shapes, err = drawing.LayoutShapes(k)
	case len(names) > 0:
		p.Name = folder + "/" + FileName(strings.Join(names, "-"), map[string]bool{"parts": true, "layout": true})
		for _, name := range names {
			one, e := drawing.Named(k, name)
			p.Shapes, err = append(p.Shapes, one...), errors.Join(err, e)
		}
	case f.Each:
		p.Name = folder + "/each"
		p.Shapes, err = drawing.Shapes(k)
	default:
		p.Shapes, err = drawing.Once(k)
	}
	if err == nil && len(p.Shapes) == 0 {
		return nil, fmt.Errorf("%s: every part of it is cut already, and there is nothing to print; name a part to print it again", folder)
	}
	p.Name += "-" + FileName(f.Paper, map[string]bool{}) + ".pdf"
	return p, err
}

// pattern is a pattern's whole pieces, or those that were named.
func (f Pages) pattern(path string, names []string) (*Printout, error) {
	if f.Layout || f.Each {
		return nil, fmt.Errorf("--layout and --each are for an option of a plan; %s is a pattern", path)
	}
	pieces, err := Pattern(path)
	if err != nil {
		return nil, err
	}
	var have, notes []string
	for _, p := range pieces {
		have, notes = append(have, p.Name), append(notes, p.Notes...)
	}
	for _, name := range names {
		if !slices.Contains(have, name) {
			return nil, fmt.Errorf("%s has no piece %q; it has %s", path, name, strings.Join(have, ", "))
		}
	}
	base := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	p := &Printout{Title: strings.Join(append([]string{base}, names...), ", "), Name: fmt.Sprintf("%s-%s.pdf", base, FileName(f.Paper, map[string]bool{})), Warnings: allowance.Warnings(pieces), Notes: notes}
	chosen := pieces[:0:0]
	var cuts []curve.Path
	for _, piece := range pieces {
		if len(names) > 0 && !slices.Contains(names, piece.Name) {
			continue
		}
		cut, err := allowance.CutPathPiece(piece)
		if err != nil {
			return nil, err
		}
		chosen, cuts = append(chosen, piece), append(cuts, cut)
	}
	p.Shapes, err = draw.PieceShapes(chosen, cuts)
	return p, err
}

// ReadPlan reads a plan.json, which may have been through other hands.
func ReadPlan(path string) (*plan.Document, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	d, err := plan.Read(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return d, nil
}

// WritePDF writes a PDF whole or not at all, and over nothing but a PDF.
func WritePDF(path string, write func(io.Writer) error) error {
	isPDF := func(was string) bool { return strings.HasPrefix(was, "%PDF-") }
	return WriteOver(path, isPDF, "is no PDF", write)
}
