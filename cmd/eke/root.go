package main

import (
	"strings"
	"unicode"

	"github.com/spf13/cobra"
)

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "eke",
		Short: "Cut a sewing pattern from scraps of cloth",
		Long: `eke reads pattern pieces (SVG) and scraps of cloth, finds the least intrusive
seams that let every piece fit, proves the plan, and writes true-size pieces,
layouts and a sewing order.`,
		Example:       "  eke plan samples/tshirt.svg samples/scraps.csv -o out",
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.AddCommand(newFit(), newPlan(), newSplit())
	return root
}

// oneLine keeps a message to one line of plain text, whatever names from
// files it carries.
func oneLine(err error) string { return plain(strings.ReplaceAll(err.Error(), "\n", "; ")) }

// plain drops what could move the cursor or colour a terminal.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, s)
}
