package job

import (
	"runtime"

	"eke/piece"
	"eke/split/plan"
	"eke/split/remnant"
	"eke/split/rest"

	"golang.org/x/sync/errgroup"
)

// UsualTapeMM is the width that tape is told in where none is asked for: folded
// twice it binds an edge 9 mm deep. (Common practice, no source.)
const UsualTapeMM = 35

// Measured measures scraps on all cores.
func Measured(pile []piece.Scrap, widthMM float64) []*rest.Measured {
	out := make([]*rest.Measured, len(pile))
	g := new(errgroup.Group)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range pile {
		g.Go(func() error {
			out[i] = rest.Measure(&pile[i], widthMM)
			return nil
		})
	}
	_ = g.Wait()
	return out
}

// TellGives writes into each option of a plan what the pile still gives after it.
func TellGives(d *plan.Document) error {
	whole := map[int]*rest.Measured{} // of scraps that an option leaves as they are
	for k := range d.Options {
		pile, err := remnant.After(d, k)
		if err != nil {
			return err
		}
		var fresh []piece.Scrap
		for i := range pile.Bits {
			if b := &pile.Bits[i]; !b.Untouched || whole[b.Of] == nil || whole[b.Of].Alike() != b.Count {
				fresh = append(fresh, b.Cloth())
			}
		}
		done := Measured(fresh, UsualTapeMM)
		var all []*rest.Measured
		for i := range pile.Bits {
			b := &pile.Bits[i]
			if m := whole[b.Of]; b.Untouched && m != nil && m.Alike() == b.Count {
				all = append(all, m)
				continue
			}
			if b.Untouched {
				whole[b.Of] = done[0]
			}
			all, done = append(all, done[0]), done[1:]
		}
		d.Options[k].Gives = rest.Document(rest.Of(all, UsualTapeMM))
	}
	return nil
}
