package fit

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"eke/piece/race"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// off is how far a placement's shift is from the nearest of its turn's lines.
func off(p Placement, turns []Turn) float64 {
	least := math.Inf(1)
	for _, t := range turns {
		if t.Deg == p.Deg {
			sin, cos := math.Sincos(t.Lines.Deg * math.Pi / 180)
			least = min(least, math.Abs(math.Remainder(p.DX*cos+p.DY*sin-t.Lines.AtMM, t.Lines.EveryMM)))
		}
	}
	return least
}

// linesThrough are the two turns of a half turn with lines of some direction, one of
// them through a placement.
func linesThrough(rng *rand.Rand, p Placement, every float64) []Turn {
	deg := []float64{90, 0, 360 * rng.Float64()}[rng.IntN(3)]
	sin, cos := math.Sincos(deg * math.Pi / 180)
	at := p.DX*cos + p.DY*sin + every*float64(rng.IntN(9)-4)
	turns := []Turn{{Deg: p.Deg, Lines: Lines{deg, every, at}}, {Deg: p.Deg + 180, Lines: Lines{deg, every, every * rng.Float64()}}}
	if rng.IntN(2) == 0 {
		turns[0], turns[1] = turns[1], turns[0]
	}
	return turns
}

// A part that is held to lines is found on one of them, though it has little
// room and the lines lie far apart.
func TestPlaceOnLines(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		d := plant(t, rng, rapid.SampledFrom([]float64{10, 2, 0.2}).Draw(rt, "room"))
		turns := linesThrough(rng, d.hidden, rapid.SampledFrom([]float64{15, 40, 300}).Draw(rt, "every"))
		p, ok := Place(context.Background(), NewCloth(d.scrap, d.holes), NewShape(d.part), turns)
		require.True(rt, ok, "hidden at %v", d.hidden)
		require.Less(rt, off(p, turns), 1e-6)
		require.True(rt, within(t, d.part, p, d.scrap, d.holes, 2e-6))
	})
}

// Where only poses between the lines have room, the part has no place.
func TestPlaceBetweenLines(t *testing.T) {
	for _, deg := range []float64{0, 90, 37, 180} {
		part := orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}}
		cloth := Placement{Deg: deg}.Apply(orb.Ring{{0, 0}, {100, 0}, {100, 105}, {0, 105}})
		for at, want := range map[float64]bool{-20: true, 2: true, 5: true, 24.9: true, 6: false, 19: false} {
			turn := Turn{Deg: deg, Lines: Lines{Deg: deg + 90, EveryMM: 20, AtMM: at}}
			p, ok := Place(context.Background(), NewCloth(cloth, nil), NewShape(part), []Turn{turn})
			require.Equal(t, want, ok, "grain %g, lines at %g", deg, at)
			if ok {
				require.Less(t, off(p, []Turn{turn}), 1e-6)
			}
		}
	}
}

// Several parts that are held to lines, and others that are not, come back out.
func TestPackOnLines(t *testing.T) {
	most := 3
	if race.On {
		most = 2
	}
	for k := 2; k <= most; k++ {
		for seed := range uint64(4) {
			rng := rand.New(rand.NewPCG(seed, uint64(10+k)))
			z := plantMany(t, rng, k, 3, 3)
			var items []Item
			for i, p := range z.parts {
				turns := linesThrough(rng, z.hidden[i], 30)
				if i == k-1 && seed%2 == 1 {
					turns = grainTurns
				}
				items = append(items, Item{NewShape(p), turns})
			}
			ps, ok := Pack(context.Background(), NewCloth(z.scrap, z.holes), items, 3, 300000, 1)
			if !ok {
				t.Errorf("%d parts, seed %d: not packed", k, seed)
				continue
			}
			packed(t, z.parts, ps, z.scrap, z.holes, 3)
			for i, p := range ps {
				if items[i].Turns[0].ToleranceDeg == 0 {
					require.Less(t, off(p, items[i].Turns), 1e-6)
				}
			}
		}
	}
}

// Levels that slide move no part off its lines.
func TestJointOnLines(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		length := rapid.Float64Range(200, 700).Draw(rt, "length")
		level := length * rapid.Float64Range(0.15, 0.85).Draw(rt, "share")
		const width, every = 150.0, 40.0
		at := rapid.Float64Range(0, every).Draw(rt, "at") // on the second cloth
		turn := func(at float64) []Turn { return []Turn{{Lines: Lines{90, every, at}}} }
		cut := func(levels []float64) ([][]Item, bool) {
			l := levels[0]
			if l <= 0 || l >= length {
				return nil, false
			}
			lower := rectangle(width, length-l)
			for i := range lower { // in its place below the cut
				lower[i][1] += l
			}
			return [][]Item{{{NewShape(rectangle(width, l)), turn(0)}}, {{NewShape(lower), turn(at)}}}, true
		}
		// The lower part needs as much more cloth as the next line lies above its top.
		j := &Joint{
			Cloths: []*Cloth{NewCloth(rectangle(width+1, level+every), nil), NewCloth(rectangle(width+1, length-level+every), nil)},
			Lo:     []float64{1}, Hi: []float64{length - 1},
			Start: func(k int) []float64 { return []float64{length * (0.5 + float64(k)) / 7} }, Starts: 7, Least: 14,
			Cut: cut,
		}
		found, ok := j.Pack(context.Background(), &Trail{}, 20, 1)
		require.True(rt, ok)
		require.Less(rt, off(found.At[0][0], turn(0)), 1e-6)
		require.Less(rt, off(found.At[1][0], turn(at)), 1e-6)
	})
}
