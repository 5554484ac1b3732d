package job

import (
	"fmt"
	"slices"
	"strings"

	"eke/cmd/words"
	"eke/piece"
	"eke/piece/scraps"
)

// Pile reads the pile from files and flags: scraps as they will be once they are
// washed.
func Pile(paths, flags, shrink []string) ([]piece.Scrap, error) {
	pile, err := Scraps(paths, flags)
	if err != nil {
		return nil, err
	}
	for _, s := range shrink {
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
			err = fmt.Errorf("%w; there are %s", err, words.List(fabrics))
		}
		return err
	}
	return nil
}

// ShrinkNote names the scraps that shrink.
func ShrinkNote(pile []piece.Scrap) string {
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
		out = append(out, fmt.Sprintf("%s by %g %%", words.List(by[p]), p))
	}
	if len(out) == 0 {
		return ""
	}
	return fmt.Sprintf("not washed yet, and smaller once they are: %s; parts are placed on what there will be, so wash and dry them before you measure and cut", strings.Join(out, "; "))
}
