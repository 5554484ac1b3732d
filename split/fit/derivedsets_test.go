package fit

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// The open data are three sets, and the packing was made with these at hand. To
// see whether it does as well on others, sets are derived from them: halves, by
// lot, and mixes of such halves. A half and its rest go to different sides. The
// packing is tuned on side a, and side b is measured when all is done.

// half is about half of the pieces, by lot: side 0 and side 1 make up the whole
// set.
func (d instance) half(seed uint64, side int) instance {
	rng := rand.New(rand.NewPCG(seed, 7))
	out := instance{Width: d.Width}
	for _, p := range d.Pieces {
		var counts [2]int
		for range p.Count {
			counts[rng.IntN(2)]++
		}
		if p.Count = counts[side]; p.Count > 0 {
			out.Pieces = append(out.Pieces, p)
		}
	}
	return out
}

// scaled is the same set in another unit.
func (d instance) scaled(by float64) instance {
	out := instance{Width: d.Width * by}
	for _, p := range d.Pieces {
		r := make(orb.Ring, len(p.Outline))
		for i, q := range p.Outline {
			r[i] = orb.Point{q[0] * by, q[1] * by}
		}
		p.Outline = r
		out.Pieces = append(out.Pieces, p)
	}
	return out
}

// drawnTurned is the same set with its pieces drawn turned: by a quarter, twice a
// quarter and so on, and their turns turned back, so that they lie as before.
func (d instance) drawnTurned() instance {
	out := instance{Width: d.Width}
	for k, p := range d.Pieces {
		deg := float64(k%4) * 90
		p.Outline = Placement{Deg: deg}.Apply(p.Outline)
		var turns []float64
		for _, t := range p.TurnsDeg {
			turns = append(turns, t-deg)
		}
		p.TurnsDeg = turns
		out.Pieces = append(out.Pieces, p)
	}
	return out
}

// with adds the pieces of another set, scaled so that its strip is as wide.
func (d instance) with(o instance) instance {
	out := instance{Width: d.Width, Pieces: append([]openPiece(nil), d.Pieces...)}
	out.Pieces = append(out.Pieces, o.scaled(d.Width/o.Width).Pieces...)
	return out
}

type namedSet struct {
	name string
	instance
}

// derivedSets are those of side "a" or "b".
func derivedSets(t testing.TB, side string) (sets []namedSet) {
	shirts, albano, dagli := openData(t, "shirts"), openData(t, "albano"), openData(t, "dagli")
	if side == "a" {
		return []namedSet{
			{"shirts_half", shirts.half(2, 0)},
			{"albano_half", albano.half(6, 0)},
			{"dagli_half", dagli.half(1, 0)},
			{"shirts_and_dagli", shirts.half(5, 0).with(dagli.half(2, 0))},
		}
	}
	return []namedSet{
		{"shirts_half", shirts.half(2, 1)},
		{"albano_half", albano.half(6, 1)},
		{"dagli_half", dagli.half(1, 1)},
		{"shirts_and_albano", shirts.half(5, 1).with(albano.half(3, 1))},
		{"albano_and_dagli", albano.half(3, 0).with(dagli.half(2, 1))},
		{"shirts_scaled", shirts.scaled(2.7)},
		{"dagli_drawn_turned", dagli.drawnTurned()},
	}
}

// The two halves of a set make up the whole, and a copy in another unit or drawn
// another way has as much area against its strip.
func TestDerivedSetsAreOfTheOpenData(t *testing.T) {
	for name, seed := range map[string]uint64{"shirts": 2, "albano": 6, "dagli": 1} {
		d := openData(t, name)
		_, _, whole := d.items()
		_, _, a := d.half(seed, 0).items()
		_, _, b := d.half(seed, 1).items()
		if diff := a + b - whole; diff > 1e-6*whole || diff < -1e-6*whole {
			t.Errorf("%s: the halves have %v and %v, the whole %v", name, a, b, whole)
		}
		if a < 0.4*whole || b < 0.4*whole {
			t.Errorf("%s: halves of %v and %v", name, a, b)
		}
	}
	for _, side := range []string{"a", "b"} {
		for _, s := range derivedSets(t, side) {
			items, rings, area := s.items()
			if len(items) != len(rings) || area <= 0 {
				t.Errorf("%s %s: %d pieces of %v", side, s.name, len(items), area)
			}
			t.Logf("%s/%s: %d pieces, %.4g strip widths at 90 %%", side, s.name, len(items), area/s.Width/s.Width/0.9)
		}
	}
}

// BenchmarkStripDerived packs the derived sets, with one worker:
// -bench StripDerived/a is the side that was tuned on.
func BenchmarkStripDerived(b *testing.B) {
	for _, side := range []string{"a", "b"} {
		for _, s := range derivedSets(b, side) {
			b.Run(fmt.Sprintf("%s/%s", side, s.name), func(b *testing.B) {
				for b.Loop() {
					density := packedDensity(b, s.instance, 1)
					b.ReportMetric(density, "%density")
				}
			})
		}
	}
}
