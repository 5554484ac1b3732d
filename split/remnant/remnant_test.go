package remnant

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func rectangle(x, y, w, h float64) []plan.Point {
	return []plan.Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}
}

// document is a plan that cuts some outlines from one scrap where they are.
func document(s plan.Scrap, cut ...[]plan.Point) *plan.Document {
	d := &plan.Document{Scraps: []plan.Scrap{s}, Options: []plan.Option{{}}}
	for i, c := range cut {
		d.Options[0].Parts = append(d.Options[0].Parts, plan.Part{Name: fmt.Sprint(i), CutLine: c, Scrap: s.Name, ScrapCopy: s.Copy, Placement: [6]float64{1, 0, 0, 1, 0, 0}})
	}
	return d
}

func TestBits(t *testing.T) {
	cloth := plan.Scrap{Name: "navy", Copy: 1, Outline: rectangle(0, 0, 400, 300)}
	holed := cloth
	holed.Holes = [][]plan.Point{rectangle(50, 50, 20, 20)}
	type bit struct {
		mm2   float64
		holes int
	}
	tests := []struct {
		name     string
		scrap    plan.Scrap
		cut      [][]plan.Point
		want     []bit
		stuffing float64
	}{
		{"a window", cloth, [][]plan.Point{rectangle(100, 100, 100, 100)}, []bit{{110_000, 1}}, 0},
		{"cut across", cloth, [][]plan.Point{rectangle(0, 100, 400, 120)}, []bit{{40_000, 0}, {32_000, 0}}, 0},
		{"out to the edges, by the slack", cloth, [][]plan.Point{rectangle(-0.04, -0.04, 400.08, 200.04)}, []bit{{40_000, 0}}, 0},
		{"all but a thread", cloth, [][]plan.Point{rectangle(0.03, 0.03, 399.94, 299.94)}, nil, 120_000 - 399.94*299.94},
		{"a thread along an edge", cloth, [][]plan.Point{rectangle(0.03, 0.03, 399.94, 199.97)}, []bit{{40_000, 0}}, 2*0.03*199.97 + 0.03*400},
		{"beside a hole", holed, [][]plan.Point{rectangle(70, 50, 100, 20)}, []bit{{117_600, 1}}, 0},
		{"a gap of 3 mm", cloth, [][]plan.Point{rectangle(0, 0, 400, 100), rectangle(0, 103, 400, 100)}, []bit{{38_800, 0}}, 1200},
		{"two parts that share a corner", cloth, [][]plan.Point{rectangle(100, 100, 50, 50), rectangle(150, 150, 50, 50)}, []bit{{115_000, 1}}, 0},
		{"a part that touches the rim in a point", cloth, [][]plan.Point{{{200, 0}, {250, 100}, {150, 100}}}, []bit{{115_000, 0}}, 0},
		{"a ring: a bit within a bit", cloth, [][]plan.Point{{{100, 100}, {300, 100}, {300, 200}, {199.999, 200}, {199.999, 180}, {280, 180}, {280, 120}, {120, 120}, {120, 180}, {199, 180}, {199, 200}, {100, 200}}}, []bit{{120_000 - 200*100 + 160*60 + 0.999*20, 1}}, 0},
		{"two triangles that meet in the middle", cloth, [][]plan.Point{{{0, 0}, {200, 150}, {0, 300}}, {{400, 0}, {400, 300}, {200, 150}}}, []bit{{30_000, 0}, {30_000, 0}}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := document(tt.scrap, tt.cut...)
			pile, err := After(d, 0)
			require.NoError(t, err)
			require.Len(t, pile.Bits, len(tt.want))
			for i, w := range tt.want {
				b := pile.Bits[i]
				require.InDelta(t, w.mm2, ringArea(b.Outline)-holesArea(b.Holes), 3)
				require.Len(t, b.Holes, w.holes)
				requireReadable(t, b)
			}
			require.InDelta(t, tt.stuffing, pile.StuffingMM2(), 3)
			requireAddsUp(t, d, pile)
		})
	}
}

// requireReadable holds a bit to what the reader of scraps asks of an outline.
func requireReadable(t require.TestingT, b Bit) {
	for _, r := range append([][]plan.Point{b.Outline}, b.Holes...) {
		_, crossed := piece.SelfCrossing(ring(r))
		require.False(t, crossed, "%s meets itself", b.Name)
		_, spiked := piece.Spike(ring(r))
		require.False(t, spiked, "%s has a spike", b.Name)
		require.Positive(t, plane.SignedArea(ring(r)), "%s runs the wrong way round", b.Name)
	}
}

// requireAddsUp holds the areas of parts, bits and stuffing to that of the
// scrap.
func requireAddsUp(t require.TestingT, d *plan.Document, pile *Pile) {
	for i, s := range d.Scraps {
		sum := pile.Scraps[i].BitsMM2 + pile.Scraps[i].StuffingMM2
		for _, c := range cutFrom(&d.Options[0], &s) {
			sum += ringArea(c)
		}
		const slackMM2 = 0.06 * 1400 // a part may reach over the edge by the slack of the proof
		whole := ringArea(s.Outline) - holesArea(s.Holes)
		require.Greater(t, sum, whole-1)
		require.Less(t, sum, whole+slackMM2)
	}
}

// A square holds a disc as wide as its side; a right-angled triangle with legs
// a and b one of a + b - c (Euclid, Elements IV.4 for the disc itself).
func TestSmallestDisc(t *testing.T) {
	triangle := func(disc float64) []plan.Point { // with equal legs
		leg := disc / (2 - math.Sqrt2)
		return []plan.Point{{0, 0}, {leg, 0}, {0, leg}}
	}
	for _, tt := range []struct {
		name string
		ring []plan.Point
		want bool
	}{
		{"a square that just does", rectangle(0, 0, 15.05, 15.05), true},
		{"a square that just does not", rectangle(0, 0, 14.95, 14.95), false},
		{"a strip", rectangle(0, 0, 500, 14.9), false},
		{"a triangle that just does", triangle(15.05), true},
		{"a triangle that just does not", triangle(14.95), false},
	} {
		require.Equal(t, tt.want, shred{outline: tt.ring}.holdsDisc(), tt.name)
	}
	holed := shred{outline: rectangle(0, 0, 30, 30), holes: [][]plan.Point{rectangle(12, 12, 6, 6)}}
	require.False(t, holed.holdsDisc(), "12 mm and a corner beside a hole of 6")
}

// A disc lies within a region where what is left of it, drawn in by the disc's
// radius, is not nothing: held against the buffer of the JTS topology suite (see
// the package comment), a twentieth of a millimetre to either side.
func TestSmallestDiscAgainstBuffer(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		pile, err := After(randomCut(t), 0)
		require.NoError(t, err)
		for _, b := range pile.Bits {
			narrow := shred{outline: b.Outline, holes: b.Holes}
			by := rapid.Float64Range(0.05, 1).Draw(t, "smaller")
			for _, r := range append([][]plan.Point{narrow.outline}, narrow.holes...) {
				for i := range r {
					r[i] = plan.Point{by * r[i][0], by * r[i][1]}
				}
			}
			region, err := polygon(narrow.outline)
			require.NoError(t, err)
			for _, h := range narrow.holes {
				hole, err := polygon(h)
				require.NoError(t, err)
				region, err = geom.Difference(region, hole)
				require.NoError(t, err)
			}
			holds := func(radius float64) bool {
				in, err := geom.Buffer(region, -radius, geom.BufferQuadSegments(32))
				require.NoError(t, err)
				return !in.IsEmpty()
			}
			if holds(LeastDiscMM/2.0 + 0.05) {
				require.True(t, narrow.holdsDisc())
			} else if !holds(LeastDiscMM/2.0 - 0.05) {
				require.False(t, narrow.holdsDisc())
			}
		}
	})
}

// What a hand-drawn outline of many points leaves beside a part of as many.
func BenchmarkFreeOfDense(b *testing.B) {
	blob := func(x, y, r float64) []plan.Point {
		out := make([]plan.Point, 3000)
		for i := range out {
			a := 2 * math.Pi * float64(i) / float64(len(out))
			at := r * (1 + 0.2*math.Sin(3*a) + 0.05*math.Sin(11*a) + 0.0005*math.Sin(700*a))
			out[i] = plan.Point{x + at*math.Cos(a), y + at*math.Sin(a)}
		}
		return out
	}
	d := document(plan.Scrap{Name: "navy", Copy: 1, Outline: blob(500, 500, 400)}, blob(500, 400, 150))
	for b.Loop() {
		_, err := Free(d, 0, 3)
		require.NoError(b, err)
	}
}

func TestNamesOfBits(t *testing.T) {
	navy := func(copy int) plan.Scrap {
		return plan.Scrap{Name: "navy", Copy: copy, Outline: rectangle(0, 0, 400, 300), Fabric: "wool", Nap: true, Face: "one", Note: "old"}
	}
	d := &plan.Document{Scraps: []plan.Scrap{navy(1), navy(2), navy(3), {Name: "navy, 1", Copy: 1, Outline: rectangle(0, 0, 100, 100)}, {Name: "small", Copy: 1, Outline: rectangle(0, 0, 9, 9)}}, Options: []plan.Option{{}}}
	names := func() (out []string) {
		pile, err := After(d, 0)
		require.NoError(t, err)
		for _, b := range pile.Bits {
			out = append(out, fmt.Sprintf("%s ×%d", b.Name, b.Count))
		}
		return out
	}
	require.Equal(t, []string{"navy ×3", "navy, 1 ×1", "small ×1"}, names(), "nothing is cut: the pile as it was, and an unused scrap is kept however small")
	cut := func(copy int, r []plan.Point) {
		d.Options[0].Parts = append(d.Options[0].Parts, plan.Part{CutLine: r, Scrap: "navy", ScrapCopy: copy, Placement: [6]float64{0, 1, -1, 0, 400, 0}})
	}
	cut(2, rectangle(100, -10, 100, 500))
	require.Equal(t, []string{"navy, 2 ×2", "navy, 3 ×1", "navy, 4 ×1", "navy, 1 ×1", "small ×1"}, names(), "the name of another scrap is not taken")
	pile, err := After(d, 0)
	require.NoError(t, err)
	require.Equal(t, "wool true one old", fmt.Sprintf("%s %v %s %s", pile.Bits[1].Fabric, pile.Bits[1].Nap, pile.Bits[1].Face, pile.Bits[1].Note))
	cut(1, rectangle(-1, -1, 500, 500))
	cut(3, rectangle(-1, -1, 500, 500))
	cut(2, rectangle(250, -10, 100, 500))
	require.Equal(t, []string{"navy, 2 ×1", "navy, 3 ×1", "navy, 1 ×1", "small ×1"}, names())
	cut(2, rectangle(0, -10, 100, 500))
	require.Equal(t, []string{"navy ×1", "navy, 1 ×1", "small ×1"}, names(), "one bit of all copies has the name")
}

func TestTell(t *testing.T) {
	d := document(plan.Scrap{Name: "navy", Copy: 1, Outline: rectangle(0, 0, 400, 300)}, rectangle(0, 10, 400, 100))
	d.Options[0].Left = []plan.Left{{Scrap: "navy", Copy: 1, AreaMM2: 80_000}}
	require.NoError(t, Tell(d))
	require.InDelta(t, 4000, d.Options[0].StuffingMM2, 1e-6)
	require.InDelta(t, 4000, d.Options[0].Left[0].StuffingMM2, 1e-6)
	require.Equal(t, 1, d.Options[0].Left[0].Bits)
}

// Whatever is cut from a scrap: areas add up, every bit can be read again, and
// each place of the scrap that is not a hair from a line is in a part, a bit or
// the stuffing, and in one of them.
func TestLeftProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := randomCut(t)
		pile, err := After(d, 0)
		require.NoError(t, err)
		requireAddsUp(t, d, pile)
		for _, b := range pile.Bits {
			requireReadable(t, b)
		}
		s := d.Scraps[0]
		lines := append(append([][]plan.Point{s.Outline}, s.Holes...), cutFrom(&d.Options[0], &s)...)
		for range 200 {
			q := orb.Point{rapid.Float64Range(-20, 420).Draw(t, "x"), rapid.Float64Range(-20, 320).Draw(t, "y")}
			near, cloth := false, plane.Holds(ring(s.Outline), q)
			for k, r := range lines {
				near = near || plane.ToRing(ring(r), q) < 0.1
				cloth = cloth && (k == 0 || !plane.Holds(ring(r), q))
			}
			if near {
				continue
			}
			in := 0
			for _, b := range pile.Bits {
				inBit := plane.Holds(ring(b.Outline), q)
				for _, h := range b.Holes {
					inBit = inBit && !plane.Holds(ring(h), q)
				}
				if inBit {
					in++
				}
			}
			require.LessOrEqual(t, in, 1)
			if !cloth {
				require.Zero(t, in, "%v is no cloth that is left", q)
			} else if pile.Scraps[0].StuffingMM2 < 5 {
				require.Equal(t, 1, in, "%v is left", q)
			}
		}
	})
}

// randomCut is a plan that cuts some outlines from a scrap; they may reach over
// its edge and each other by a hair.
func randomCut(t *rapid.T) *plan.Document {
	star := func(x, y, r float64, n int) []plan.Point {
		var out []plan.Point
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			l := rapid.Float64Range(0.4, 1).Draw(t, "reach") * r
			out = append(out, plan.Point{x + l*cos, y + l*sin})
		}
		return out
	}
	s := plan.Scrap{Name: "navy", Copy: 1, Outline: star(200, 150, 250, rapid.IntRange(3, 30).Draw(t, "corners"))}
	if rapid.Bool().Draw(t, "a rectangle") {
		s.Outline = rectangle(0, 0, 400, 300)
	}
	if rapid.Bool().Draw(t, "a hole") {
		s.Holes = [][]plan.Point{star(200, 150, 20, 7)}
	}
	var cut [][]plan.Point
	columns := rapid.IntRange(1, 3).Draw(t, "columns")
	for k := range columns {
		w := 400 / float64(columns)
		x := w * float64(k)
		if rapid.Bool().Draw(t, "a block") {
			gap := rapid.SampledFrom([]float64{0, 1e-7, 1e-4, 0.03, 0.2, 3}).Draw(t, "gap")
			cut = append(cut, rectangle(x+gap, gap, w-2*gap, rapid.Float64Range(20, 300).Draw(t, "high")-2*gap))
			continue
		}
		cut = append(cut, star(x+w/2, rapid.Float64Range(50, 250).Draw(t, "y"), w/2, rapid.IntRange(3, 40).Draw(t, "corners")))
	}
	// What lies off the cloth is no part.
	d := document(s, cut...)
	d.Options[0].Parts = nil
	for i, c := range cut {
		if on, err := polygon(s.Outline); err == nil {
			if g, err := polygon(c); err == nil && covers(on, g) {
				d.Options[0].Parts = append(d.Options[0].Parts, document(s, cut[i]).Options[0].Parts...)
			}
		}
	}
	for _, h := range s.Holes {
		var clear []plan.Part
		for _, p := range d.Options[0].Parts {
			a, errA := polygon(h)
			b, errB := polygon(p.CutLine)
			if errA == nil && errB == nil && !intersects(a, b) {
				clear = append(clear, p)
			}
		}
		d.Options[0].Parts = clear
	}
	return d
}

// Beside curved parts with three millimetres between them the mitres of what is no hair
// lie over each other, and an overlay with them fails. What is left adds up all the same.
func TestStripsBetweenCurvedParts(t *testing.T) {
	text, err := os.ReadFile("testdata/strips.json")
	require.NoError(t, err)
	var of struct {
		Outline []plan.Point
		Cut     [][]plan.Point
	}
	require.NoError(t, json.Unmarshal(text, &of))
	bits, rest, err := left(&plan.Scrap{Outline: of.Outline}, of.Cut)
	require.NoError(t, err)
	require.NotEmpty(t, bits)
	all := ringArea(of.Outline)
	for _, c := range of.Cut {
		all -= ringArea(c)
	}
	require.InDelta(t, all, rest.BitsMM2+rest.StuffingMM2, 0.1)
	require.Less(t, rest.StuffingMM2, 0.01*all)
}
