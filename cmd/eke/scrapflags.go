package main

import (
	"eke/cmd/job"
	"eke/piece"

	"github.com/spf13/cobra"
)

// scrapFlags are scraps, and what is said of their cloth, on the command line.
type scrapFlags struct {
	scraps []string
	shrink []string
}

func (f *scrapFlags) flags(cmd *cobra.Command) {
	fl := cmd.Flags()
	fl.StringArrayVar(&f.scraps, "scrap", nil, "a `scrap`, as \"navy rib: 42 x 60 cm\", or \"sleeve end, navy rib: 42 x 60 cm\" with its fabric: width across the grain by length along it; as often as needed")
	fl.StringArrayVar(&f.shrink, "shrink", nil, "by how much a `fabric` shrinks when it is washed, as \"navy rib: 5%\", where its scraps do not say so themselves; as often as needed")
}

// load reads the pile from files and flags.
func (f *scrapFlags) load(paths []string) ([]piece.Scrap, error) {
	return job.Pile(paths, f.scraps, f.shrink)
}
