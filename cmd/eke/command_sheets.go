package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"eke/allowance"
	"eke/cmd/outdir"
	"eke/piece/curve"
	"eke/split/check"
	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/measure"
	"eke/svg/sheets"

	"github.com/spf13/cobra"
)

type sheetsFlags struct {
	out     string
	paper   string
	margin  lengthValue
	overlap lengthValue
	layout  bool
	each    bool
	scale   bool
	quiet   bool
}

func newSheets() *cobra.Command {
	f := sheetsFlags{margin: lengthValue{sheets.DefaultMarginMM}, overlap: lengthValue{sheets.DefaultOverlapMM}}
	cmd := &cobra.Command{
		Use:   "sheets DIR/option-K|PATTERN [PART…] | --scale-sheet",
		Short: "Print parts, pieces or layouts at true size on pages (PDF)",
		Long: `sheets prints at true size, on pages that are glued together: the parts of an
option that plan or split wrote, the scraps with their parts laid on them
(--layout), or the pieces of any pattern. Parts that are mirror images of each
other are printed once, with a word on which to turn over; --each prints all.
With the names of parts it prints only these. Without -o the PDF goes into the
option's own folder, or for a pattern into the folder you are in.

With --scale-sheet, and nothing else to print, it prints a page to lay among
scraps when you photograph them for eke trace, on a4 or letter.`,
		Example: `  eke sheets out/option-1 --paper a4
  eke sheets out/option-1 front-upper --paper letter
  eke sheets out/option-1 --layout --paper 914mm
  eke sheets samples/blouse.svg --paper a3 -o blouse.pdf
  eke sheets --scale-sheet --paper letter`,
		Args: func(cmd *cobra.Command, args []string) error {
			if f.scale {
				return nil
			}
			return atLeast(1)(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if f.scale {
				return f.scaleSheet(cmd, args)
			}
			return f.run(cmd, args[0], args[1:])
		},
	}
	fl := cmd.Flags()
	fl.StringVarP(&f.out, "output", "o", "", "the `PDF` to write, a name that ends in .pdf")
	fl.StringVar(&f.paper, "paper", "a4", "`size` of the pages: "+strings.Join(sheets.PaperNames(), ", ")+", or the width of a roll, such as 914mm")
	fl.Var(&f.margin, "margin", "edge of each page that the printer leaves white")
	fl.Var(&f.overlap, "overlap", "strip that neighbouring pages share")
	fl.BoolVar(&f.layout, "layout", false, "print the scraps with their parts laid on them")
	fl.BoolVar(&f.each, "each", false, "print every part by itself, mirror images too")
	fl.BoolVar(&f.scale, "scale-sheet", false, "print a page to lay among scraps that are photographed")
	fl.BoolVarP(&f.quiet, "quiet", "q", false, "say nothing but what went wrong")
	return cmd
}

// printout is what is to be printed, and where it goes unless -o says so.
type printout struct {
	title    string
	shapes   []draw.Shape
	dir      string // an output of eke's, or empty
	warnings []string
	notes    []string
	name     string // of the PDF, in dir or here
}

func (f *sheetsFlags) run(cmd *cobra.Command, target string, names []string) error {
	paper, err := sheets.ParsePaper(f.paper)
	if err != nil {
		return fmt.Errorf("--paper: %w", err)
	}
	o := sheets.Options{Paper: paper, MarginMM: f.margin.mm, OverlapMM: f.overlap.mm}
	if err := o.Validate(); err != nil {
		return err
	}
	if err := pdfName(f.out); err != nil {
		return err
	}
	p, err := f.open(target, names)
	if err != nil {
		return err
	}
	progress := startProgress(cmd.ErrOrStderr(), 0, f.quiet)
	var sum sheets.Summary
	write := func(w io.Writer) (err error) {
		sum, err = sheets.Write(cmd.Context(), w, p.title, p.shapes, o)
		return err
	}
	path := f.out
	switch {
	case path == "" && p.dir != "":
		path = filepath.Join(p.dir, filepath.FromSlash(p.name))
		if err = outdir.Add(p.dir, p.name, write); err != nil {
			err = fmt.Errorf("%w; or name the PDF with -o", err)
		}
	case path == "":
		path = p.name
		fallthrough
	default:
		err = writePDF(path, write)
	}
	progress.done()
	if errors.Is(err, context.Canceled) {
		return fmt.Errorf("stopped before it was done, and nothing was written: %w", err)
	}
	if err != nil {
		return err
	}
	warn(cmd.OutOrStdout(), p.warnings, measure.Millimetres)
	if f.quiet {
		return nil
	}
	note(cmd.OutOrStdout(), p.notes, measure.Millimetres)
	way := "portrait"
	if sum.Landscape {
		way = "landscape"
	}
	w := cmd.OutOrStdout()
	fmt.Fprintf(w, "%s: %s of %s, %s\n", plain(path), plural(sum.Pages, "page"), paper.Name, way)
	if len(sum.Turned) > 0 {
		fmt.Fprintln(w, wrapped("turned to save pages: "+list(sum.Turned)))
	}
	for _, number := range slices.Sorted(maps.Keys(sum.Numbered)) {
		fmt.Fprintln(w, wrapped(fmt.Sprintf("%s on the pages is %s, which they have no letters for", number, sum.Numbered[number])))
	}
	_, err = fmt.Fprintln(w, "print at 100 %, and measure the square on the first page before you cut")
	return err
}

// list is names in a row, of many the first few.
func list(names []string) string {
	const most = 12
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// open finds out what the target is, and gives what is to be printed of it.
func (f *sheetsFlags) open(target string, names []string) (*printout, error) {
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
	_, err = os.Stat(filepath.Join(dir, planFile))
	inOption := err == nil && strings.HasPrefix(filepath.Base(folder), "option-")
	switch {
	case inOption:
		return f.option(dir, filepath.Base(folder), file, names)
	case file == planFile || file == reportFile:
		return nil, fmt.Errorf("%s is not what is printed; %s", target, printable(folder, filepath.Dir(target)))
	case file != "":
		return f.pattern(target, names)
	}
	return nil, fmt.Errorf("%s is no option that eke wrote; %s", target, printable(folder, target))
}

// printable says what else to name than a folder that cannot be printed as a
// whole: an option in it, or a pattern file, as far as there are any.
func printable(folder, target string) string {
	if d, err := readPlan(filepath.Join(folder, planFile)); err == nil {
		for _, o := range d.Options {
			if info, err := os.Stat(filepath.Join(folder, optionFolder(&o))); err == nil && info.IsDir() {
				return "name one in it, such as " + filepath.Join(target, optionFolder(&o))
			}
		}
		return "its plan.json has no option to print"
	}
	entries, _ := os.ReadDir(folder)
	for _, e := range entries {
		if !strings.EqualFold(filepath.Ext(e.Name()), ".svg") {
			continue
		}
		if _, err := loadPattern(filepath.Join(folder, e.Name())); err == nil {
			return "name the folder of one, or a pattern file, such as " + filepath.Join(target, e.Name())
		}
	}
	return "name the folder of one, or a pattern file"
}

// option is an option of a plan, or the part whose file was named.
func (f *sheetsFlags) option(dir, folder, file string, names []string) (*printout, error) {
	d, err := readPlan(filepath.Join(dir, planFile))
	if err != nil {
		return nil, err
	}
	k := slices.IndexFunc(d.Options, func(o plan.Option) bool { return optionFolder(&o) == folder })
	if k < 0 {
		return nil, fmt.Errorf("%s: %s has no %s", dir, planFile, folder)
	}
	o := &d.Options[k]
	if faults := check.Option(d, k); len(faults) > 0 {
		return nil, fmt.Errorf("%s: the plan in it is not right (%w); write it again with eke plan", filepath.Join(dir, planFile), faults[0])
	}
	p := &printout{
		title: fmt.Sprintf("%s, option %d", strings.TrimSuffix(filepath.Base(d.Pattern), filepath.Ext(d.Pattern)), o.Rank),
		dir:   dir, name: folder + "/parts", warnings: d.Warnings,
	}
	drawing, layout := draw.Of(d), f.layout
	switch i := slices.Index(partFiles(o), file); {
	case file == layoutFile:
		layout = true
	case i >= 0:
		names = append(names, o.Parts[i].Name)
	case file != "" && file != piecesFile:
		return nil, fmt.Errorf("%s: it is no file of %s", file, folder)
	}
	switch {
	case f.each && (layout || len(names) > 0):
		return nil, fmt.Errorf("--each prints every part; leave out --layout and names")
	case layout && len(names) > 0:
		return nil, fmt.Errorf("--layout prints all the scraps; leave out %s", strings.Join(names, ", "))
	case layout:
		p.name = folder + "/layout"
		p.shapes, err = drawing.LayoutShapes(k)
	case len(names) > 0:
		p.name = folder + "/" + fileName(strings.Join(names, "-"), map[string]bool{"parts": true, "layout": true})
		for _, name := range names {
			one, e := drawing.Named(k, name)
			p.shapes, err = append(p.shapes, one...), errors.Join(err, e)
		}
	case f.each:
		p.name = folder + "/each"
		p.shapes, err = drawing.Shapes(k)
	default:
		p.shapes, err = drawing.Once(k)
	}
	if err == nil && len(p.shapes) == 0 {
		return nil, fmt.Errorf("%s: every part of it is cut already, and there is nothing to print; name a part to print it again", folder)
	}
	p.name += "-" + fileName(f.paper, map[string]bool{}) + ".pdf"
	return p, err
}

// pattern is a pattern's whole pieces, or those that were named.
func (f *sheetsFlags) pattern(path string, names []string) (*printout, error) {
	if f.layout || f.each {
		return nil, fmt.Errorf("--layout and --each are for an option of a plan; %s is a pattern", path)
	}
	pieces, err := loadPattern(path)
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
	p := &printout{title: strings.Join(append([]string{base}, names...), ", "), name: fmt.Sprintf("%s-%s.pdf", base, fileName(f.paper, map[string]bool{})), warnings: allowance.Warnings(pieces), notes: notes}
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
	p.shapes, err = draw.PieceShapes(chosen, cuts)
	return p, err
}

// readPlan reads a plan.json, which may have been through other hands.
func readPlan(path string) (*plan.Document, error) {
	f, err := open(path)
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

// pdfName refuses a name for the pages that does not say what they are: a
// viewer would not know what to do with the file. Empty is none.
func pdfName(path string) error {
	if path == "" {
		return nil
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return fmt.Errorf("-o %s is a folder; name the PDF in it, such as %s", path, filepath.Join(path, "sheets.pdf"))
	}
	if ext := filepath.Ext(path); !strings.EqualFold(ext, ".pdf") {
		return fmt.Errorf("-o %s: the pages are a PDF; give a name that ends in .pdf, such as %s.pdf", path, strings.TrimSuffix(path, ext))
	}
	return nil
}

// writePDF writes a PDF whole or not at all, and over nothing but a PDF.
func writePDF(path string, write func(io.Writer) error) error {
	isPDF := func(was string) bool { return strings.HasPrefix(was, "%PDF-") }
	return writeOver(path, isPDF, "is no PDF", write)
}
