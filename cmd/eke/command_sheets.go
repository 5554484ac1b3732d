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

	"eke/cmd/job"
	"eke/cmd/words"

	"eke/cmd/outdir"
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
	p, err := job.Pages{Paper: f.paper, Layout: f.layout, Each: f.each}.Open(target, names)
	if err != nil {
		return err
	}
	progress := startProgress(cmd.ErrOrStderr(), 0, f.quiet)
	var sum sheets.Summary
	write := func(w io.Writer) (err error) {
		sum, err = sheets.Write(cmd.Context(), w, p.Title, p.Shapes, o)
		return err
	}
	path := f.out
	switch {
	case path == "" && p.Dir != "":
		path = filepath.Join(p.Dir, filepath.FromSlash(p.Name))
		if err = outdir.Add(p.Dir, p.Name, write); err != nil {
			err = fmt.Errorf("%w; or name the PDF with -o", err)
		}
	case path == "":
		path = p.Name
		fallthrough
	default:
		err = job.WritePDF(path, write)
	}
	progress.done()
	if errors.Is(err, context.Canceled) {
		return fmt.Errorf("stopped before it was done, and nothing was written: %w", err)
	}
	if err != nil {
		return err
	}
	warn(cmd.OutOrStdout(), p.Warnings, measure.Millimetres)
	if f.quiet {
		return nil
	}
	note(cmd.OutOrStdout(), p.Notes, measure.Millimetres)
	way := "portrait"
	if sum.Landscape {
		way = "landscape"
	}
	w := cmd.OutOrStdout()
	fmt.Fprintf(w, "%s: %s of %s, %s\n", words.Plain(path), words.Plural(sum.Pages, "page"), paper.Name, way)
	if len(sum.Turned) > 0 {
		fmt.Fprintln(w, wrapped("turned to save pages: "+words.List(sum.Turned)))
	}
	for _, number := range slices.Sorted(maps.Keys(sum.Numbered)) {
		fmt.Fprintln(w, wrapped(fmt.Sprintf("%s on the pages is %s, which they have no letters for", number, sum.Numbered[number])))
	}
	_, err = fmt.Fprintln(w, "print at 100 %, and measure the square on the first page before you cut")
	return err
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
