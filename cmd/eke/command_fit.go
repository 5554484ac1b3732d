package main

import (
	"encoding/json"
	"fmt"
	"io"

	"eke/cmd/job"

	"eke/allowance"
	"eke/piece"
	"eke/split/search"
	"eke/svg/measure"

	"github.com/spf13/cobra"
)

func newFit() *cobra.Command {
	var given scrapFlags
	var wished []string
	tolerance := angleValue{2}
	asJSON := false
	var unit unitValue
	cmd := &cobra.Command{
		Use:   "fit PATTERN SCRAPS…",
		Short: "Say which whole pieces fit which scraps, and what the others lack",
		Long: `fit lays every piece, whole and alone, on every scrap, and says by how much it
hangs off along the grain and across it. Sizes are length × width: along the
grain, then across it.`,
		Example: `  eke fit samples/tshirt.svg samples/scraps.csv
  eke fit samples/tshirt.svg --scrap "navy rib: 42 x 60 cm"`,
		Args: atLeast(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := tolerance.check(); err != nil {
				return err
			}
			pieces, err := job.Pattern(args[0])
			if err != nil {
				return err
			}
			cloth, err := given.load(args[1:])
			if err != nil {
				return err
			}
			wishes, err := job.Wishes(args[0], wished, pieces, cloth)
			if err != nil {
				return err
			}
			o := search.Options{GrainToleranceDeg: tolerance.deg, Wishes: wishes, Rules: piece.Rules(cloth)}
			progress := startProgress(cmd.ErrOrStderr(), 0, false)
			misfits, err := search.Fit(cmd.Context(), pieces, cloth, o)
			progress.done()
			switch {
			case err != nil && cmd.Context().Err() == nil:
				return err
			case err != nil:
				return fmt.Errorf("stopped before it was done: %w", err)
			}
			said := cmd.OutOrStdout()
			if asJSON {
				said = cmd.ErrOrStderr()
			}
			warn(said, allowance.Warnings(pieces), unit.Unit)
			notes := job.NotesOn(pieces, cloth, o)
			if apart := job.ApartNote(pieces, cloth, o); apart != "" {
				notes = append(notes, apart)
			}
			note(said, notes, unit.Unit)
			if asJSON {
				return writeFit(cmd.OutOrStdout(), misfits)
			}
			return printFit(cmd.OutOrStdout(), misfits, unit.Unit)
		},
	}
	fl := cmd.Flags()
	given.flags(cmd)
	fl.StringArrayVar(&wished, "wish", nil, wishUsage)
	fl.Var(&tolerance, "grain-tolerance", "how far a piece may turn off the grain")
	fl.Var(&unit, "units", "unit of the lengths in tables: mm, cm or in")
	fl.BoolVar(&asJSON, "json", false, "print the answer as JSON on standard output instead of the table")
	return cmd
}

// printFit is how large each piece is, then a row for each piece and scrap,
// piece by piece.
func printFit(w io.Writer, misfits []search.Misfit, u measure.Unit) error {
	sizes := newGrid("piece", "size to cut, length × width")
	t := newGrid("piece", "scrap", "fits", "short along", "short across")
	last := ""
	for _, m := range misfits {
		name := m.Piece
		if name == last {
			name = ""
		} else {
			sizes.add(name, u.Size(m.LengthMM, m.WidthMM))
		}
		last = m.Piece
		switch {
		case m.Forbidden != "":
			t.add(name, m.Scrap, "not of its "+m.Forbidden, "", "")
		case m.Fits:
			t.add(name, m.Scrap, "yes", "", "")
		default:
			t.add(name, m.Scrap, "no", u.Missing(m.AlongMM), u.Missing(m.AcrossMM))
		}
	}
	if err := sizes.print(w); err != nil {
		return err
	}
	fmt.Fprintf(w, "%s\n\n", sizesSay)
	return t.print(w)
}

// misfit is a row of fit as JSON has it, in mm.
type misfit struct {
	Piece    string  `json:"piece"`
	Scrap    string  `json:"scrap"`
	Fits     bool    `json:"fits"`
	Allowed  bool    `json:"allowed"` // the piece may come from its fabric
	AlongMM  float64 `json:"along_mm"`
	AcrossMM float64 `json:"across_mm"`
	LengthMM float64 `json:"length_mm"` // of the piece, to its cutting line: along the grain
	WidthMM  float64 `json:"width_mm"`  // and across it
}

func writeFit(w io.Writer, misfits []search.Misfit) error {
	rows := []misfit{}
	for _, m := range misfits {
		rows = append(rows, misfit{m.Piece, m.Scrap, m.Fits, m.Forbidden == "", m.AlongMM, m.AcrossMM, m.LengthMM, m.WidthMM})
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	e.SetEscapeHTML(false)
	return e.Encode(rows)
}
