package main

import (
	"encoding/json"
	"fmt"
	"io"

	"eke/split/search"

	"github.com/spf13/cobra"
)

func newFit() *cobra.Command {
	var extra []string
	tolerance := angleValue{2}
	asJSON := false
	cmd := &cobra.Command{
		Use:     "fit PATTERN SCRAPS…",
		Short:   "Say which whole pieces fit which scraps, and what the others lack",
		Example: "  eke fit samples/tshirt.svg samples/scraps.csv --scrap \"navy rib: 42 x 60 cm\"",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			pieces, err := loadPattern(args[0])
			if err != nil {
				return err
			}
			cloth, err := loadScraps(args[1:], extra)
			if err != nil {
				return err
			}
			misfits, err := search.Fit(cmd.Context(), pieces, cloth, search.Options{GrainToleranceDeg: tolerance.deg})
			if err != nil {
				return fmt.Errorf("stopped before it was done: %w", err)
			}
			if asJSON {
				e := json.NewEncoder(cmd.OutOrStdout())
				e.SetIndent("", " ")
				return e.Encode(misfits)
			}
			return printFit(cmd.OutOrStdout(), misfits)
		},
	}
	cmd.Flags().StringArrayVar(&extra, "scrap", nil, `a scrap, as "navy rib: 42 x 60 cm": width across the grain by length along it`)
	cmd.Flags().Var(&tolerance, "grain-tolerance", "how far a part may turn off the grain")
	cmd.Flags().BoolVar(&asJSON, "json", false, "the answer as JSON")
	return cmd
}

// printFit is a row for each piece and scrap, piece by piece.
func printFit(w io.Writer, misfits []search.Misfit) error {
	t := newGrid("piece", "scrap", "fits", "short along", "short across")
	last := ""
	for _, m := range misfits {
		name := m.Piece
		if name == last {
			name = ""
		}
		last = m.Piece
		switch {
		case m.Forbidden:
			t.add(name, m.Scrap, "not of its fabric", "", "")
		case m.Fits:
			t.add(name, m.Scrap, "yes", "", "")
		default:
			t.add(name, m.Scrap, "no", missing(m.AlongMM), missing(m.AcrossMM))
		}
	}
	return t.print(w)
}

func missing(mm float64) string {
	if mm < 0.05 {
		return "–"
	}
	return fmt.Sprintf("%.1f mm", mm)
}
