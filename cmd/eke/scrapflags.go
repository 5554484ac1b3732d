package main

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/scraps"

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

// load reads the pile from files and flags: scraps as they will be once they are
// washed.
func (f *scrapFlags) load(paths []string) ([]piece.Scrap, error) {
	pile, err := loadScraps(paths, f.scraps)
	if err != nil {
		return nil, err
	}
	for _, s := range f.shrink {
		if err := shrinkFabric(pile, s); err != nil {
			return nil, err
		}
	}
	for i := range pile {
		if pile[i].Shrink > 0 {
			pile[i] = pile[i].Washed()
		}
	}
	return pile, nil
}

// shrinkFabric gives every scrap of a fabric that says nothing of it the
// shrinkage of a flag, `navy rib: 5%`.
func shrinkFabric(pile []piece.Scrap, flag string) error {
	i := strings.LastIndexByte(flag, ':')
	if i < 0 {
		return fmt.Errorf("--shrink %q: it has no fabric and colon before the percentage; write it as in \"navy rib: 5%%\"", flag)
	}
	fabric := strings.TrimSpace(flag[:i])
	percent, err := scraps.ParseShrink(flag[i+1:])
	if err != nil {
		return fmt.Errorf("--shrink %q: %w", flag, err)
	}
	found := false
	var fabrics []string
	for k := range pile {
		s := &pile[k]
		if !s.Of(fabric) {
			if s.Fabric != "" && !slices.Contains(fabrics, s.Fabric) {
				fabrics = append(fabrics, s.Fabric)
			}
			continue
		}
		if found = true; s.Shrink == 0 {
			s.Shrink = percent
		}
	}
	if !found {
		err := fmt.Errorf("--shrink %q: no scrap is of the fabric %q", flag, fabric)
		if len(fabrics) > 0 {
			err = fmt.Errorf("%w; there are %s", err, list(fabrics))
		}
		return err
	}
	return nil
}

// shrinkNote names the scraps that shrink.
func shrinkNote(pile []piece.Scrap) string {
	by := map[float64][]string{}
	var order []float64
	for _, s := range pile {
		if s.Shrink == 0 {
			continue
		}
		if by[s.Shrink] == nil {
			order = append(order, s.Shrink)
		}
		by[s.Shrink] = append(by[s.Shrink], s.Name)
	}
	var out []string
	for _, p := range order {
		out = append(out, fmt.Sprintf("%s by %g %%", list(by[p]), p))
	}
	if len(out) == 0 {
		return ""
	}
	return fmt.Sprintf("not washed yet, and smaller once they are: %s; parts are placed on what there will be, so wash and dry them before you measure and cut", strings.Join(out, "; "))
}
