package main

import (
	"errors"
	"fmt"
	"io"

	"eke/cmd/job"
	"eke/cmd/words"

	"eke/piece/scalesheet"
	"eke/svg/sheets"

	"github.com/spf13/cobra"
)

// scaleSheet prints the page that gives a photograph its scale.
func (f *sheetsFlags) scaleSheet(cmd *cobra.Command, args []string) error {
	if len(args) > 0 || f.layout || f.each {
		return errors.New("--scale-sheet is printed by itself; leave out all but --paper and -o")
	}
	paper, err := scalesheet.ParsePaper(f.paper)
	if err != nil {
		return fmt.Errorf("--paper: %w", err)
	}
	if err := pdfName(f.out); err != nil {
		return err
	}
	path := f.out
	if path == "" {
		path = "scale-sheet-" + paper.Name + ".pdf"
	}
	if err := job.WritePDF(path, func(w io.Writer) error { return sheets.WriteScale(w, paper) }); err != nil {
		return err
	}
	if f.quiet {
		return nil
	}
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s: 1 page of %s\nprint at 100 %%, and measure the square before you use it\n", words.Plain(path), paper.Name)
	return err
}
