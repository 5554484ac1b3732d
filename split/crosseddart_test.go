package split_test

import (
	"math"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What seams through the blouse's darts cost, and the words for each. The
// front has a bust dart, legs at 294 and 320 mm and apex at 276, and a waist
// dart from 458 to 292 mm; the back two waist darts with apexes at 262.
func TestCrossedDarts(t *testing.T) {
	blouse := sample(t, "blouse.svg")
	for name, c := range map[string]struct {
		piece   string
		way     split.Way
		level   func(*split.Body) float64
		crossed int // by all seams
		words   int // notes, and steps of sewing
		steps   int // of them, with ends of the seam that come apart
		edge    string
	}{
		"above the darts":             {"front", split.Yoke{}, below(200), 0, 0, 0, ""},
		"one is taken in":             {"back", split.Yoke{}, below(262), 0, 0, 0, ""},
		"both legs of the bust dart":  {"front", split.Yoke{}, below(286), 2, 2, 2, "side"},
		"between the bust dart's":     {"front", split.Yoke{}, below(306), 2, 2, 0, "side"},
		"one is taken in, one is not": {"front", split.Yoke{}, below(296), 2, 2, 0, "side"},
		"the waist dart, squarely":    {"front", split.Yoke{}, below(340), 2, 2, 0, "waist"},
		"both waist darts":            {"back", split.Yoke{}, below(330), 2, 1, 0, "waist"},
		"a curve through both":        {"back", split.CurvedYoke{}, below(330), 2, 1, 0, "waist"},
		"the first one's tip":         {"back", split.Panel{}, func(b *split.Body) float64 { return split.CentreOf(b) + 96 }, 1, 1, 0, "waist"},
		"down the middle of neither":  {"back", split.Panel{}, split.CentreOf, 0, 0, 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			pieces := only(blouse, c.piece)
			reach := 15.0
			if _, panel := c.way.(split.Panel); panel {
				reach = 0
			}
			made, d := proved(t, cutting(pieces, c.piece, func(p *piece.Piece, tree *split.Tree) {
				require.NotZero(t, tree.ByHand(p, c.way, c.level(split.NewBody(p, p.Outline)), reach))
			}), pieces)
			o := d.Options[0]
			require.InDelta(t, 20*c.crossed, pointsFor(made, "crosses a dart"), 1e-9)
			crossed, steps := 0, 0
			for _, s := range o.PiecingSeams {
				crossed += len(s.Crosses)
			}
			require.Equal(t, c.crossed, crossed)
			require.Len(t, o.Notes, c.words)
			for _, n := range o.Notes {
				require.Contains(t, n, "from the "+c.edge)
				if strings.Contains(n, "mm apart") {
					steps++
				}
			}
			require.Equal(t, c.steps, steps)
			// Each dart is sewn right after the seam across it.
			words := 0
			for i, step := range o.SewingOrder {
				if strings.HasPrefix(step, "Now sew the") {
					words++
					require.Contains(t, step, "across "+strings.Trim(strings.Fields(o.SewingOrder[i-1])[1], ",")+":")
				}
			}
			require.Equal(t, c.words, words)
		})
	}
}

// Two seams across one dart: it is sewn when both are.
func TestCrossedTwice(t *testing.T) {
	back := only(sample(t, "blouse.svg"), "back")
	_, d := proved(t, cutting(back, "back", func(p *piece.Piece, tree *split.Tree) {
		b := split.NewBody(p, p.Outline)
		require.Equal(t, 1, tree.ByHand(p, split.Yoke{}, b.Lo[1]+330, 0))
		require.Equal(t, 1, tree.ByHand(p, split.Yoke{}, b.Lo[1]+390, 0))
	}), back)
	var order []string
	for _, step := range d.Options[0].SewingOrder {
		order = append(order, strings.Join(strings.Fields(step)[:2], " "))
		if strings.HasPrefix(step, "Now sew") {
			require.Contains(t, step, "across A and B:")
		}
	}
	require.Equal(t, []string{"Sew", "Sew", "Now", "Go"}, firsts(order))
}

func firsts(of []string) (out []string) {
	for _, s := range of {
		out = append(out, strings.Fields(s)[0])
	}
	return out
}

// A straight seam crosses a dart where, by plain geometry, it has points of
// the dart on both sides; and the step is the difference of where it meets the
// legs, by similar triangles.
func TestCrossesAsGeometrySays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		w, x, top, level := f(10, 60, "width"), f(100, 300, "x"), f(120, 300, "apex"), f(40, 460, "level")
		lean := f(-60, 60, "lean")
		p := &piece.Piece{Name: "back", Count: 1, GrainDeg: 90}
		p.Outline = piece.Outline{
			{Name: "top", AllowanceMM: 10, Line: curve.Polyline(orb.Point{0, 0}, orb.Point{400, 0})},
			{Name: "side", AllowanceMM: 10, Line: curve.Polyline(orb.Point{400, 0}, orb.Point{400, 500})},
			{Name: "waist", AllowanceMM: 10, Line: curve.Polyline(orb.Point{400, 500}, orb.Point{0, 500})},
			{Name: "side", AllowanceMM: 10, Line: curve.Polyline(orb.Point{0, 500}, orb.Point{0, 0})},
		}
		d := piece.Dart{Leg1: orb.Point{x + w/2, 500}, Apex: orb.Point{x + lean, top}, Leg2: orb.Point{x - w/2, 500}}
		p.Darts = []piece.Dart{d}
		if math.Abs(level-top) < 1 {
			t.Skip("at the apex")
		}
		tree := new(split.Tree)
		require.Equal(t, 1, tree.ByHand(p, split.Yoke{}, level, 0))
		made, err := split.Make(&split.Plan{Pieces: []*piece.Piece{p}, Trees: []*split.Tree{tree}}, 10)
		require.NoError(t, err)
		crossed := made.Seams[0].Crossed
		require.Equal(t, level > top, len(crossed) == 1)
		if level > top {
			share := (level - top) / (500 - top)
			leg := func(q orb.Point) float64 { return math.Hypot(q[0]-d.Apex[0], q[1]-d.Apex[1]) }
			require.InDelta(t, share*math.Abs(leg(d.Leg1)-leg(d.Leg2)), crossed[0].StepMM, 1e-6)
		}
	})
}

// What the proof says of a plan whose crossed darts were tampered with.
func TestCrossedDartsAreProved(t *testing.T) {
	blouse := sample(t, "blouse.svg")
	for name, tamper := range map[string]func(*plan.Option){
		"a leg is lost":            func(o *plan.Option) { o.Parts[0].DartLegs = o.Parts[0].DartLegs[1:] },
		"all of one part are lost": func(o *plan.Option) { o.Parts[1].DartLegs = nil },
		"a leg comes to it aside":  func(o *plan.Option) { l := &o.Parts[1].DartLegs[0]; l[0][0], l[1][0] = l[0][0]+0.5, l[1][0]+0.5 },
		"a leg stops short": func(o *plan.Option) {
			l := &o.Parts[1].DartLegs[0]
			l[1] = plan.Point{(l[0][0] + l[1][0]) / 2, (l[0][1] + l[1][1]) / 2}
		},
		"the seam does not say so": func(o *plan.Option) { o.PiecingSeams[0].Crosses = nil },
		"the seam says one too many": func(o *plan.Option) {
			s := &o.PiecingSeams[0]
			s.Crosses = append(s.Crosses, [3]plan.Point{{10, 10}, {20, 20}, {30, 10}})
		},
	} {
		t.Run(name, func(t *testing.T) {
			pieces := only(blouse, "front")
			_, d := proved(t, cutting(pieces, "front", byHand(t, split.Yoke{}, below(296))), pieces)
			require.NotZero(t, d.Options[0].DartsTakenIn)
			require.Len(t, d.Options[0].PiecingSeams[0].Crosses, 1)
			tamper(&d.Options[0])
			faults := check.Document(d)
			require.NotEmpty(t, faults)
			for _, f := range faults {
				require.Equal(t, check.CrossedDart, f.Rule, f)
			}
		})
	}
}
