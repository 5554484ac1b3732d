package check

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// alone is a plan of one piece, cut whole along that line from a large scrap.
func alone(edges []plan.Edge, cut []point) *plan.Document {
	var ring []point
	for _, e := range edges {
		line, _ := flatten(e.D, maxPoints)
		ring = append(ring, line[:len(line)-1]...)
	}
	d := &plan.Document{
		Format: plan.Format,
		Pieces: []plan.Piece{{Name: "flap", Copy: 1, SeamLine: ring, GrainDeg: 90, Edges: edges}},
		Scraps: []plan.Scrap{{Name: "navy", Copy: 1, GrainDeg: 90, Outline: []point{{-500, -500}, {500, -500}, {500, 500}, {-500, 500}}}},
	}
	d.Options = []plan.Option{{Rank: 1, Parts: []plan.Part{{
		Name: "flap", Piece: "flap", Copy: 1, GrainDeg: 90, Edges: edges, SeamLine: ring, CutLine: cut,
		Scrap: "navy", ScrapCopy: 1, Placement: turned(0, 0, 0),
	}}}}
	return d
}

// Beside the end of a strip a cutting line may be off by SlackMM as it may
// anywhere, and by no more; and where the end is not a side of what the
// allowances take up, no slit along it goes unseen.
func TestSlackAtTheEndsOfStrips(t *testing.T) {
	square := func(topMM, rightMM float64) []plan.Edge {
		return []plan.Edge{
			edge("top", topMM, "M0,0 L100,0"), edge("right", rightMM, "M100,0 L100,100"),
			edge("rest", 0, "M100,100 L0,100 L0,0"),
		}
	}
	// An edge with a corner that points inward, the bit after it so short that
	// the end of the strip before it lies bare.
	inward := []plan.Edge{edge("hem", 10, "M0,40 L60,40 L60,36"), edge("rest", 0, "M60,36 L100,36 L100,100 L0,100 L0,40")}
	mitred := []point{{0, -10}, {110, -10}, {110, 100}, {0, 100}}
	stepped := []point{{0, -10}, {100, -10}, {100, -6}, {106, -6}, {106, 100}, {0, 100}}
	bare := []point{{0, 30}, {60, 30}, {60, 36}, {100, 36}, {100, 100}, {0, 100}}
	// A bow whose narrow allowance is followed as closely as curves are, 0.05 mm,
	// and meets the bare end of a wide strip in a corner that points inward.
	bow := []plan.Edge{
		edge("bow", 3, "M0,85 C-1.5,59 33.5,8 58.4,0"), edge("side", 20, "M58.4,0 L142,-88.6"),
		edge("rest", 3, "M142,-88.6 L142,120 L0,85"),
	}
	bowed := []point{
		{-3.0143, 81.7663}, {-2.6972, 78.2044}, {-2.0748, 74.5096}, {-1.1694, 70.6963}, {-0.0006, 66.7804}, {1.4138, 62.7793},
		{3.0569, 58.7117}, {4.9125, 54.5972}, {6.9646, 50.4561}, {9.1975, 46.3095}, {11.5958, 42.1787}, {14.1440, 38.0854},
		{16.8268, 34.0515}, {19.6289, 30.0989}, {22.5353, 26.2499}, {25.5311, 22.5266}, {28.6018, 18.9512}, {31.7329, 15.5460},
		{34.9105, 12.3331}, {38.1215, 9.3348}, {41.3533, 6.5733}, {44.5945, 4.0711}, {47.8354, 1.8512}, {51.0680, -0.0626},
		{54.2870, -1.6440}, {55.9761, -2.2872}, {43.8534, -13.7257}, {145, -120.9218}, {145, 123.8292}, {-2.9896, 87.3529},
	}
	// with replaces the points of a ring from i to k.
	with := func(ring []point, i, k int, points ...point) []point {
		return append(append(append([]point{}, ring[:i]...), points...), ring[k+1:]...)
	}
	for _, c := range []struct {
		name  string
		edges []plan.Edge
		cut   []point
		right bool
	}{
		{"as drawn, mitred", square(10, 10), mitred, true},
		{"as drawn, stepped", square(10, 6), stepped, true},
		{"as drawn, inward", inward, bare, true},

		{"as drawn, a bow before a bare end", bow, bowed, true},
		{"a bow before a bare end 0.2 mm short", bow, with(bowed, 24, 25, point{54.38, -1.46}, point{55.9761 + 0.14, -2.2872 + 0.13}), false},

		{"the start of an edge 0.04 mm short", square(10, 10), with(mitred, 0, 0, point{0, 0}, point{0.04, 0}, point{0.04, -10}), true},
		{"the start of an edge 0.06 mm short", square(10, 10), with(mitred, 0, 0, point{0, 0}, point{0.06, 0}, point{0.06, -10}), false},
		{"the end of an edge 0.04 mm short", square(10, 6), with(stepped, 1, 2, point{99.96, -10}, point{99.96, -6}), true},
		{"the end of an edge 0.06 mm short", square(10, 6), with(stepped, 1, 2, point{99.94, -10}, point{99.94, -6}), false},
		{"the end of an edge 0.04 mm short within the narrower width", square(10, 6), with(stepped, 1, 2, point{99.96, -10}, point{99.96, -4}, point{100.3, -6}), false},
		{"an inward corner 0.04 mm short", inward, with(bare, 1, 2, point{59.96, 30}, point{59.96, 36}, point{60, 36}), true},
		{"an inward corner 0.06 mm short", inward, with(bare, 1, 2, point{59.94, 30}, point{59.94, 36}, point{60, 36}), false},
		{"an inward corner 0.04 mm short as far as the corner", inward, with(bare, 1, 2, point{59.96, 30}, point{59.96, 39}, point{60, 36}), false},

		{"the wedge round a corner 0.04 mm short", square(10, 10), with(mitred, 1, 1, point{100 + 14.0861 - 10, -10}, point{110, 10 - 14.0861}), true},
		{"the wedge round a corner 0.06 mm short", square(10, 10), with(mitred, 1, 1, point{100 + 14.0579 - 10, -10}, point{110, 10 - 14.0579}), false},
		{"a slit beside a corner, before it", square(10, 10), with(mitred, 1, 1, point{99.96, -10}, point{99.97, -1}, point{99.98, -10}, point{110, -10}), false},
		{"a slit beside a corner, after it", square(10, 10), with(mitred, 1, 1, point{110, -10}, point{110, 0.02}, point{101, 0.03}, point{110, 0.04}), false},
		{"a slit down to the narrower allowance", square(10, 6), with(stepped, 1, 1, point{99.96, -10}, point{99.97, -6}, point{99.98, -10}, point{100, -10}), true},
		{"a slit beyond the narrower allowance", square(10, 6), with(stepped, 1, 1, point{99.96, -10}, point{99.97, -5.9}, point{99.98, -10}, point{100, -10}), false},
		{"a slit on the line of a corner", square(10, 10), with(mitred, 1, 1, point{99.99, -10}, point{100, -1}, point{100.01, -10}, point{110, -10}), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Document(alone(c.edges, c.cut))
			if c.right {
				require.Empty(t, got)
				return
			}
			holdTo(t, only(Allowance), got)
		})
	}
}
