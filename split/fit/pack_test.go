package fit

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"eke/piece/race"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

func packed(t testing.TB, parts []orb.Ring, ps []Placement, scrap orb.Ring, holes []orb.Ring, gap float64) {
	t.Helper()
	for i := range parts {
		if !within(t, parts[i], ps[i], scrap, holes, 2e-6) {
			t.Errorf("part %d hangs over", i)
		}
		a := toPolygon(t, ps[i].Apply(parts[i])).AsGeometry()
		for j := range i {
			b := toPolygon(t, ps[j].Apply(parts[j])).AsGeometry()
			if gap > 0 {
				if d := apart(t, a, b); d < gap-1e-6 {
					t.Errorf("parts %d and %d are %v apart", i, j, d)
				}
				continue
			}
			both, err := geom.Intersection(a, b)
			if err != nil {
				t.Fatal(err)
			}
			if both.Area() > 1e-6*math.Sqrt(a.Area()) {
				t.Errorf("parts %d and %d overlap by %v mm²", i, j, both.Area())
			}
		}
	}
}

// Parts planted on a scrap that was grown around them come back out, whatever
// the slack.
func TestPackFindsPlantedParts(t *testing.T) {
	most, slacks := 4, []float64{5, 2, 0.5}
	if race.On {
		most, slacks = 2, slacks[:1]
	}
	for k := 2; k <= most; k++ {
		for _, slack := range slacks {
			for seed := range uint64(2) {
				rng := rand.New(rand.NewPCG(seed, uint64(k)))
				z := plantMany(t, rng, k, slack, 3)
				var items []Item
				for _, p := range z.parts {
					items = append(items, Item{NewShape(p), grainTurns})
				}
				c := NewCloth(z.scrap, z.holes)
				ps, ok := Pack(context.Background(), c, items, 3, 300000, 1)
				if !ok {
					t.Errorf("%d parts, slack %v mm, seed %d: not packed", k, slack, seed)
					continue
				}
				packed(t, z.parts, ps, z.scrap, z.holes, 3)
				if seed > 0 {
					continue
				}
				again, _ := Pack(context.Background(), c, items, 3, 300000, 1)
				if !slices.Equal(ps, again) {
					t.Errorf("%d parts, slack %v mm, seed %d: the same seed gave another packing", k, slack, seed)
				}
			}
		}
	}
}

func TestPackKeepsTheGap(t *testing.T) {
	part := rect(0, 0, 100, 50)
	two := []Item{{NewShape(part), []Turn{{}}}, {NewShape(part), []Turn{{}}}}
	for _, c := range []struct {
		name   string
		length float64
		gap    float64
		fits   bool
	}{
		{"touching", 100, 0, true},
		{"a hair short", 99.999, 0, false},
		{"just apart", 103, 3, true},
		{"not quite apart", 102.999, 3, false},
	} {
		scrap := rect(0, 0, 100, c.length)
		ps, ok := Pack(context.Background(), NewCloth(scrap, nil), two, c.gap, 20000, 1)
		if ok != c.fits {
			t.Errorf("%s: packed %v, want %v", c.name, ok, c.fits)
		}
		if ok {
			packed(t, []orb.Ring{part, part}, ps, scrap, nil, c.gap)
		}
	}
}

// Where there is cloth to spare the least effort the search spends is enough,
// on a rectangle, on one cut askew, and around a hole.
func TestPackWithClothToSpare(t *testing.T) {
	part := front(240, 290)
	turns := []Turn{{Deg: 0, ToleranceDeg: 2}, {Deg: 180, ToleranceDeg: 2}}
	most := 20
	if race.On {
		most = 6
	}
	for name, c := range map[string]struct {
		scrap orb.Ring
		holes []orb.Ring
	}{
		"rectangle": {rect(0, 0, 1500, 2000), nil},
		"askew":     {orb.Ring{{0, 0}, {1500, 0}, {1550, 2000}, {700, 2040}, {0, 2000}}, nil},
		"holed":     {rect(0, 0, 1500, 2000), []orb.Ring{rect(600, 600, 300, 200)}},
	} {
		for n := 2; n <= most; n++ {
			items, parts := make([]Item, n), make([]orb.Ring, n)
			for i := range n {
				parts[i] = part
				items[i] = Item{NewShape(part), turns}
			}
			ps, ok := Pack(context.Background(), NewCloth(c.scrap, c.holes), items, 3, 3000, 1)
			if !ok {
				t.Errorf("%s: %d parts not packed", name, n)
				continue
			}
			if n%6 == 0 {
				packed(t, parts, ps, c.scrap, c.holes, 3)
			}
		}
	}
}

// Rims that coincide touch all along, and may still be those of parts that lie
// on each other, or of a part that fills a hole.
func TestRimUponRim(t *testing.T) {
	square, corner := rect(0, 0, 40, 40), orb.Ring{{0, 0}, {40, 0}, {0, 40}}
	other := orb.Ring{{40, 40}, {0, 40}, {40, 0}}
	for _, c := range []struct {
		name  string
		a, b  orb.Ring
		shift vec
		apart bool
	}{
		{"the same square", square, square, vec{}, false},
		{"side by side", square, square, vec{40, 0}, true},
		{"half of it", square, corner, vec{}, false},
		{"two halves", corner, other, vec{}, true},
	} {
		a, b := NewShape(c.a), NewShape(c.b)
		p, q := a.pose(Placement{}), b.pose(Placement{DX: c.shift.x, DY: c.shift.y})
		var w scratch
		if apartBy(a, p, b, q, 0, &w) != c.apart || apartBy(b, q, a, p, 0, &w) != c.apart {
			t.Errorf("%s: want apart %v", c.name, c.apart)
		}
	}
	frame := NewCloth(rect(-50, -50, 120, 120), []orb.Ring{rect(0, 0, 40, 40)})
	var w scratch
	for _, part := range []orb.Ring{square, corner} {
		s := NewShape(part)
		if frame.inside(s, s.pose(Placement{}), &w, true).inside {
			t.Error("a part in a hole counts as on the cloth")
		}
	}
	if _, ok := Place(context.Background(), frame, NewShape(rect(0, 0, 50.1, 50.1)), []Turn{{}}); ok {
		t.Error("a part was placed across a hole")
	}
}

// A part never lies on its like, nor on one that it touches all round.
func TestPackLaysNoPartOnAnother(t *testing.T) {
	square := orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}}
	strip := orb.Ring{{0, 0}, {480, 0}, {480, 40}, {0, 40}}
	for name, tt := range map[string]struct{ a, b orb.Ring }{
		"squares":               {square, square},
		"a diamond in a square": {square, orb.Ring{{50, 0}, {100, 50}, {50, 100}, {0, 50}}},
		"a half in a square":    {square, orb.Ring{{0, 0}, {100, 0}, {100, 100}}},
		"strips":                {strip, strip},
	} {
		w := new(scratch)
		a, b := NewShape(tt.a), NewShape(tt.b)
		for deg := range 360 {
			p := Placement{DX: 3, DY: 5, Deg: float64(deg)}
			for _, swap := range []bool{false, true} {
				x, y := a, b
				if swap {
					x, y = b, a
				}
				if apartBy(x, x.pose(p), y, y.pose(p), 0, w) {
					t.Fatalf("%s lie apart at %d degrees", name, deg)
				}
			}
		}
	}
}
