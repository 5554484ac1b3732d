package fit

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// instance is one of the ESICUP collection's, in the JSON form of the
// repository JeroenGar/jagua-rs.
type instance struct {
	Name  string
	Width float64 `json:"strip_height"`
	Items []struct {
		Demand int
		Turns  []float64 `json:"allowed_orientations"`
		Shape  struct{ Data []orb.Point }
	}
}

func (d instance) items() (items []Item, rings []orb.Ring, area float64) {
	for _, it := range d.Items {
		s := NewShape(it.Shape.Data)
		var turns []Turn
		for _, deg := range it.Turns {
			turns = append(turns, Turn{Deg: deg})
		}
		for range it.Demand {
			items = append(items, Item{s, turns})
			rings = append(rings, it.Shape.Data)
			area += s.Area()
		}
	}
	return items, rings, area
}

// published is the mean density, in per cent, over 50 runs of 1200 s each in J.
// Gardeyn and T. Wauters 2025 (arXiv 2509.13329), its published run logs.
var published = map[string]float64{"shirts": 89.72, "albano": 89.46, "dagli": 89.23}

// openData reads an instance of the open data from the directory that the
// variable EKE_ESICUP names.
func openData(t testing.TB, name string) instance {
	t.Helper()
	dir := os.Getenv("EKE_ESICUP")
	if dir == "" {
		t.Skip("EKE_ESICUP does not name the directory of the ESICUP instances")
	}
	b, err := os.ReadFile(filepath.Join(dir, name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	var d instance
	if err := json.Unmarshal(b, &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// TestStripOnOpenData asks for a density that a few seconds must reach.
func TestStripOnOpenData(t *testing.T) {
	d := openData(t, "albano")
	items, rings, area := d.items()
	ctx, cancel := context.WithTimeout(context.Background(), 6*time.Second)
	defer cancel()
	length, ps, err := Strip(ctx, d.Width, items, 0, 1, 2)
	if err != nil {
		t.Fatal(err)
	}
	packed(t, rings, ps, rect(0, 0, length, d.Width), nil, 0)
	if density := 100 * area / d.Width / length; density < 80 {
		t.Errorf("density %.2f %%", density)
	}
}

// The same seed and effort give the same strip each time, and a second worker
// makes it no longer.
func TestStripIsTheSameEachTime(t *testing.T) {
	var items []Item
	var rings []orb.Ring
	for i := range 12 {
		r := rect(0, 0, 30+float64(i*7%20), 20+float64(i*5%13))
		if i%3 == 0 {
			r = sleeve(40+float64(i), 30)
		}
		items = append(items, Item{NewShape(r), grainTurns[:1+i%2]})
		rings = append(rings, r)
	}
	shorten := func(workers int) (float64, []pose) {
		length, ps := race(context.Background(), 100, items, 3, 7, workers, 150_000)
		if ps == nil {
			t.Fatal("no strip")
		}
		packed(t, rings, placements(items, ps), rect(0, 0, length, 100), nil, 3)
		return length, ps
	}
	alone, _ := shorten(1)
	two, first := shorten(2)
	if two > alone {
		t.Errorf("two workers need %v, one %v", two, alone)
	}
	if _, again := shorten(2); !slices.Equal(first, again) {
		t.Error("another strip the second time")
	}
}

func TestStripSaysWhatIsWrong(t *testing.T) {
	ctx := context.Background()
	part := NewShape(rect(0, 0, 10, 30))
	for name, call := range map[string]func() error{
		"no width":  func() error { _, _, err := Strip(ctx, 0, []Item{{part, grainTurns}}, 0, 1, 1); return err },
		"no end":    func() error { _, _, err := Strip(ctx, math.Inf(1), []Item{{part, grainTurns}}, 0, 1, 1); return err },
		"too wide":  func() error { _, _, err := Strip(ctx, 29, []Item{{part, []Turn{{}}}}, 0, 1, 1); return err },
		"no turns":  func() error { _, _, err := Strip(ctx, 50, []Item{{part, nil}}, 0, 1, 1); return err },
		"no extent": func() error { _, _, err := Strip(ctx, 50, []Item{{NewShape(nil), grainTurns}}, 0, 1, 1); return err },
	} {
		if call() == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// BenchmarkStrip prints the density that 60 s reach on open data, with two
// cores and with one, and the length as a share of that at the published mean
// density. It runs once: -benchtime 1x.
func BenchmarkStrip(b *testing.B) {
	for _, name := range []string{"shirts", "albano", "dagli"} {
		for workers := 2; workers >= 1; workers-- {
			b.Run(fmt.Sprintf("%s/workers%d", name, workers), func(b *testing.B) {
				d := openData(b, name)
				items, rings, area := d.items()
				for b.Loop() {
					ctx, cancel := context.WithTimeout(context.Background(), 60*time.Second)
					length, ps, err := Strip(ctx, d.Width, items, 0, 1, workers)
					cancel()
					if err != nil {
						b.Fatal(err)
					}
					packed(b, rings, ps, rect(0, 0, length, d.Width), nil, 0)
					density := 100 * area / d.Width / length
					b.ReportMetric(density, "%density")
					b.ReportMetric(published[name]/density, "×published")
				}
			})
		}
	}
}

// TestPackRectangleOfOpenData packs an instance on a rectangle.
func TestPackRectangleOfOpenData(t *testing.T) {
	d := openData(t, "dagli")
	items, rings, area := d.items()
	length := area / d.Width / 0.80
	scrap := rect(7, -5, length, d.Width)
	ps, ok := Pack(context.Background(), NewCloth(scrap, nil), items, 0, 4_000_000, 1)
	if !ok {
		t.Fatal("not packed")
	}
	packed(t, rings, ps, scrap, nil, 0)
}

func TestStripOfOneItem(t *testing.T) {
	length, ps := race(context.Background(), 100, []Item{{NewShape(rect(0, 0, 90, 40)), []Turn{{}}}}, 0, 1, 1, 20000)
	if ps == nil || length < 90-1e-6 || length > 90.01 {
		t.Errorf("length %v", length)
	}
}

// BenchmarkWeigh prints how long it takes to weigh a pose, of parts that lie
// nearly as densely as they will.
func BenchmarkWeigh(b *testing.B) {
	d := openData(b, "shirts")
	items, _, area := d.items()
	st := newStripper(d.Width, items, 0, 1)
	st.cut(area / d.Width / 0.87)
	st.scatter()
	sweeps := 0
	st.separate(st.rng, func() bool { sweeps++; return sweeps < 150 })
	dense := st.poses(nil)
	st.worked = 0
	for b.Loop() {
		st.restore(dense)
		st.sweep(st.rng, search{anywhere: 50, nearby: 25})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(st.worked), "ns/pose")
}
