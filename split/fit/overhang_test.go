package fit

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"pgregory.net/rapid"
)

func rect(x, y, w, h float64) orb.Ring {
	return orb.Ring{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}
}

// A rectangle on a rectangle hangs off by the differences of their sides.
func TestOverhangOfRectangles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.IntRange(20, 900)
		pw, ph := float64(mm.Draw(t, "part width")), float64(mm.Draw(t, "part height"))
		cw, ch := float64(mm.Draw(t, "cloth width")), float64(mm.Draw(t, "cloth height"))
		tol := float64(rapid.IntRange(0, 2).Draw(t, "tolerance"))
		x, y := float64(mm.Draw(t, "x")), float64(mm.Draw(t, "y"))
		c := NewCloth(rect(-y, x, cw, ch), nil)
		s := NewShape(rect(x, y, pw, ph))
		turns := []Turn{{Deg: 0, ToleranceDeg: tol}, {Deg: 180, ToleranceDeg: tol}}
		p, along, across := Overhang(context.Background(), c, s, turns, 90)
		about(t, along, max(0, ph-ch), 1e-5)
		about(t, across, max(0, pw-cw), 1e-5)
		if pw <= cw && ph <= ch {
			if v := c.inside(s, s.pose(p), &scratch{}, false); !v.inside {
				t.Fatalf("hangs over by %v", v.depth)
			}
		}
		// Along and across change places with the grain.
		_, along, across = Overhang(context.Background(), c, s, turns, 0)
		about(t, across, max(0, ph-ch), 1e-5)
		about(t, along, max(0, pw-cw), 1e-5)
	})
}

func TestOverhangOfIrregularScrap(t *testing.T) {
	// A front 40 mm too long for a scrap otherwise grown around it by 5 mm.
	part := front(400, 600)
	scrap := grown(t, 5, part)
	for i := range scrap {
		if scrap[i][1] > 300 {
			scrap[i][1] -= 50
		}
	}
	_, along, across := Overhang(context.Background(), NewCloth(scrap, nil), NewShape(part), []Turn{{Deg: 0, ToleranceDeg: 2}, {Deg: 180, ToleranceDeg: 2}}, 90)
	about(t, along+across, 40, 3)
	// A hole that the part cannot miss is an overhang too.
	hole := rect(-20, 280, 30, 40)
	c := NewCloth(grown(t, 5, part), []orb.Ring{hole})
	_, along, across = Overhang(context.Background(), c, NewShape(part), []Turn{{Deg: 0, ToleranceDeg: 2}}, 90)
	if along+across < 5 {
		t.Errorf("a hole hangs off by %v, %v", along, across)
	}
}

func BenchmarkOverhang(b *testing.B) {
	part := front(400, 600)
	scrap := scaled(grown(b, 5, part), 0.8)
	c := NewCloth(scrap, nil)
	for b.Loop() {
		Overhang(context.Background(), c, NewShape(part), []Turn{{Deg: 0, ToleranceDeg: 2}, {Deg: 180, ToleranceDeg: 2}}, 90)
	}
}

func about(t rapid.TB, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Fatalf("got %v, want %v", got, want)
	}
}
