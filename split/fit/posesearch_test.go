package fit

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"eke/piece/race"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func TestPlacementTurnsClockwiseYDown(t *testing.T) {
	// SVG 2, 8.5 "the transform property" (the number from memory) and CSS Transforms 1: rotate(90) takes
	// the x axis to the y axis, which points down.
	p := Placement{DX: 5, DY: 7, Deg: 90}
	if got, want := p.Matrix(), [6]float64{0, 1, -1, 0, 5, 7}; got != want {
		t.Errorf("matrix %v, want %v", got, want)
	}
	if got, want := p.Apply(orb.Ring{{1, 0}, {0, 2}}), (orb.Ring{{5, 8}, {3, 7}}); got[0] != want[0] || got[1] != want[1] {
		t.Errorf("placed %v, want %v", got, want)
	}
}

// planted is a part, a scrap grown around it, and the placement it was grown at.
type planted struct {
	part, scrap orb.Ring
	holes       []orb.Ring
	hidden      Placement
}

// plant draws a part and grows an irregular scrap with nooks around a hidden
// placement of it, mm away, with a hole in what is left if there is room.
func plant(t testing.TB, rng *rand.Rand, mm float64) planted {
	t.Helper()
	var d planted
	if rng.IntN(2) == 0 {
		d.part = front(300+rng.Float64()*200, 600)
	} else {
		d.part = cloudy(rng, 40+rng.IntN(100), 200+rng.Float64()*300, 400, 0.6*rng.Float64())
	}
	d.hidden = Placement{DX: 100 * rng.Float64(), DY: 50, Deg: 180*float64(rng.IntN(2)) + 4*(rng.Float64()-0.5)}
	lies := d.hidden.Apply(d.part)
	d.scrap = ragged(t, rng, grown(t, mm, lies), 90)
	keepOut, whole := toPolygon(t, grown(t, mm, lies)).AsGeometry(), toPolygon(t, d.scrap).AsGeometry()
	for range 200 {
		h := cloudy(rng, 7, 9, 14, 0.3)
		x, y := 600*(rng.Float64()-0.5), 900*(rng.Float64()-0.5)
		for i := range h {
			h[i][0] += x
			h[i][1] += y
		}
		if g := toPolygon(t, h).AsGeometry(); covers(t, whole, g) && apart(t, keepOut, g) > 0 {
			d.holes = append(d.holes, h)
			break
		}
	}
	return d
}

var grainTurns = []Turn{{Deg: 0, ToleranceDeg: 2}, {Deg: 180, ToleranceDeg: 2}}

func TestPlaceFindsPlantedParts(t *testing.T) {
	holes := 0
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		mm := rapid.SampledFrom([]float64{10, 2, 0.2, 0.02}).Draw(rt, "room")
		d := plant(t, rng, mm)
		holes += len(d.holes)
		p, ok := Place(context.Background(), NewCloth(d.scrap, d.holes), NewShape(d.part), grainTurns)
		if !ok {
			rt.Fatalf("not found, hidden at %v", d.hidden)
		}
		if !inTurns(p.Deg, grainTurns) {
			rt.Fatalf("turned by %v", p.Deg)
		}
		if !within(t, d.part, p, d.scrap, d.holes, 2e-6) {
			rt.Fatalf("hangs over at %v", p)
		}
	})
	if holes == 0 && !race.On {
		t.Error("no scrap had a hole")
	}
}

func inTurns(deg float64, turns []Turn) bool {
	for _, t := range turns {
		if math.Abs(math.Remainder(deg-t.Deg, 360)) <= t.ToleranceDeg+1e-9 {
			return true
		}
	}
	return false
}

// A scrap that is the part less 0.1 mm all round never takes it, though a long
// tail gives it far more area and reach than the part needs.
func TestPlaceRefusesPartTooLargeByTwoTenths(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		part := front(300+rng.Float64()*200, 600)
		if rng.IntN(2) == 0 {
			part = cloudy(rng, 60, 300, 400, 0.5*rng.Float64())
		}
		hid := Placement{Deg: 4 * (rng.Float64() - 0.5)}
		scrap := grown(t, -0.1, hid.Apply(part))
		b := scrap.Bound()
		tail := rect(0, (b.Min[1]+b.Max[1])/2, 2000, 30)
		scrap = union(t, scrap, tail)
		if p, ok := Place(context.Background(), NewCloth(scrap, nil), NewShape(part), grainTurns); ok {
			rt.Fatalf("found a place at %v", p)
		}
	})
}

// Where a star-shaped part fits, a smaller copy of it fits. And where Place has
// found the critical size, no pose near the last that fitted takes a part a
// little larger: another library looks.
func TestPlaceIsCompleteAroundTheCriticalSize(t *testing.T) {
	if race.On {
		t.Skip("the others here are enough for the race detector")
	}
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 2))
		part := cloudy(rng, 80, 300+rng.Float64()*200, 400, 0.6*rng.Float64())
		scrap := cloudy(rng, 60, 600, 900, 0.8*rng.Float64())
		var holes []orb.Ring
		if seed%2 == 0 {
			holes = append(holes, Placement{DX: 100, DY: 150}.Apply(cloudy(rng, 12, 60, 80, 0.3)))
		}
		c := NewCloth(scrap, holes)
		place := func(k float64) (Placement, bool) {
			return Place(context.Background(), c, NewShape(scaled(part, k)), grainTurns)
		}
		lo, hi := 0.05, 4.0
		var last Placement
		for hi-lo > 1e-4 {
			k := (lo + hi) / 2
			if p, ok := place(k); ok {
				lo, last = k, p
			} else {
				hi = k
			}
		}
		for range 30 {
			if k := lo * (1 - 0.2*math.Pow(rng.Float64(), 3)); k < lo {
				if _, ok := place(k); !ok {
					t.Errorf("seed %d: fits at size %v but not at %v", seed, lo, k)
				}
			}
		}
		larger := scaled(part, lo*1.001)
		for range 100 {
			p := last
			p.DX += rng.NormFloat64() * 0.3
			p.DY += rng.NormFloat64() * 0.3
			p.Deg += rng.NormFloat64() * 0.1
			if inTurns(p.Deg, grainTurns) && within(t, larger, p, scrap, holes, 0) {
				t.Errorf("seed %d: size %v refused but fits at %v", seed, lo*1.001, p)
			}
		}
	}
}

func TestPlaceSeesWhatVerticesDoNot(t *testing.T) {
	// A scrap in the shape of a U; a bar as long as it is wide.
	u := orb.Ring{{0, 0}, {100, 0}, {100, 300}, {200, 300}, {200, 0}, {300, 0}, {300, 400}, {0, 400}}
	for _, c := range []struct {
		name  string
		part  orb.Ring
		holes []orb.Ring
		fits  bool
	}{
		{"bar that would bridge the gap", rect(0, 0, 300, 101), nil, false},
		{"bar that fills the foot", rect(0, 0, 300, 100), nil, true},
		{"leg", rect(0, 0, 100, 400), nil, true},
		{"leg too long", rect(0, 0, 100, 400.1), nil, false},
		{"hole within the part", rect(0, 0, 290, 95), []orb.Ring{rect(140, 348, 4, 4)}, false},
		{"hole to be passed", rect(0, 0, 290, 95), []orb.Ring{rect(140, 300, 4, 4)}, true},
		{"hole touching the rim", rect(0, 0, 290, 96), []orb.Ring{rect(140, 300, 4, 4)}, true},
		{"notched part about the hole", orb.Ring{{0, 0}, {300, 0}, {300, 100}, {160, 100}, {160, 40}, {140, 40}, {140, 100}, {0, 100}}, []orb.Ring{rect(145, 350, 10, 10)}, true},
	} {
		p, ok := Place(context.Background(), NewCloth(u, c.holes), NewShape(c.part), []Turn{{Deg: 0, ToleranceDeg: 1}})
		if ok != c.fits {
			t.Errorf("%s: found %v, want %v", c.name, ok, c.fits)
		}
		if ok && !within(t, c.part, p, u, c.holes, 2e-6) {
			t.Errorf("%s: hangs over at %v", c.name, p)
		}
	}
}

func TestNothingFitsWithoutArea(t *testing.T) {
	line := orb.Ring{{0, 0}, {10, 0}, {20, 0}}
	if _, ok := Place(context.Background(), NewCloth(line, nil), NewShape(rect(0, 0, 1, 1)), grainTurns); ok {
		t.Error("a part fits a line")
	}
	if _, ok := Place(context.Background(), NewCloth(rect(0, 0, 9, 9), nil), NewShape(line), grainTurns); ok {
		t.Error("a line is a part")
	}
}

func BenchmarkNewShape(b *testing.B) {
	part := cloudy(rand.New(rand.NewPCG(1, 1)), 150, 400, 600, 0.4)
	for b.Loop() {
		NewShape(part).exterior()
	}
}

// BenchmarkPlace asks for parts of 100 vertices just smaller and just larger
// than what a scrap of 60 vertices with a hole takes.
func BenchmarkPlace(b *testing.B) {
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(seed, 2))
		part := cloudy(rng, 100, 400, 500, 0.5)
		c := NewCloth(cloudy(rng, 60, 600, 900, 0.6), []orb.Ring{Placement{DX: 100, DY: 150}.Apply(cloudy(rng, 12, 60, 80, 0.3))})
		lo, hi := 0.05, 4.0
		for hi-lo > 1e-4 {
			k := (lo + hi) / 2
			if _, ok := Place(context.Background(), c, NewShape(scaled(part, k)), grainTurns); ok {
				lo = k
			} else {
				hi = k
			}
		}
		for _, k := range []float64{0.95, 0.999, 1.001, 1.05} {
			b.Run(fmt.Sprintf("scrap%d/size%v", seed, k), func(b *testing.B) {
				r := scaled(part, lo*k)
				for b.Loop() {
					Place(context.Background(), c, NewShape(r), grainTurns)
				}
			})
		}
	}
}
