package split_test

import (
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

// withDart is a rectangle with one dart from its waist.
func withDart(d piece.Dart) *piece.Piece {
	corners := []orb.Point{{0, 0}, {400, 0}, {400, 500}, {0, 500}, {0, 0}}
	p := &piece.Piece{Name: "back", Count: 1, GrainDeg: 90, Darts: []piece.Dart{d}}
	for k, name := range []string{"top", "side", "waist", "side"} {
		p.Outline = append(p.Outline, piece.Edge{Name: name, AllowanceMM: 10, Line: curve.Polyline(corners[k], corners[k+1])})
	}
	return p
}

// told is how often a plan says how a dart of its one piece is sewn: whole on a
// part, across seams, or taken into one.
func told(o *plan.Option) (whole, across, taken int) {
	for _, p := range o.Parts {
		whole += len(p.Darts)
	}
	for _, s := range o.PiecingSeams {
		across += len(s.Crosses)
	}
	return whole, across, o.DartsTakenIn
}

// A seam at a dart's point, or at the end of one of its legs, tells of the dart
// once, however little it is off.
func TestADartAtASeamIsToldOnce(t *testing.T) {
	for _, reach := range []float64{0, split.DartReachMM} {
		for _, lean := range []float64{0, 3, 8, -8, 20} {
			d := piece.Dart{Leg1: orb.Point{158, 500}, Apex: orb.Point{150 + lean, 350}, Leg2: orb.Point{142, 500}}
			for _, c := range []struct {
				way split.Way
				at  orb.Point
			}{{split.Yoke{}, d.Apex}, {split.CurvedYoke{}, d.Apex}, {split.Panel{}, d.Apex}, {split.Panel{}, d.Leg1}, {split.Panel{}, d.Leg2}} {
				for _, off := range []float64{0, 0.001, 0.01, 0.03, 0.05, 0.07, 0.1, 0.14, 0.16, 0.2, 0.3, 1} {
					oneDartIsTold(t, d, c.way, c.at, off, reach)
					oneDartIsTold(t, d, c.way, c.at, -off, reach)
				}
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		w, x := f(3, 30, "width"), f(100, 300, "x")
		d := piece.Dart{Leg1: orb.Point{x + w, 500}, Apex: orb.Point{x + f(-60, 60, "lean"), f(120, 400, "apex")}, Leg2: orb.Point{x - w, 500}}
		way := rapid.SampledFrom([]split.Way{split.Yoke{}, split.CurvedYoke{}, split.Panel{}}).Draw(t, "way")
		at := d.Apex
		if _, panel := way.(split.Panel); panel {
			at = rapid.SampledFrom([]orb.Point{d.Apex, d.Leg1, d.Leg2}).Draw(t, "at")
		}
		reach := rapid.SampledFrom([]float64{0, split.DartReachMM}).Draw(t, "reach")
		oneDartIsTold(t, d, way, at, f(-0.4, 0.4, "off"), reach)
	})
}

func oneDartIsTold(t tester, d piece.Dart, way split.Way, at orb.Point, off, reach float64) {
	t.Helper()
	p := withDart(d)
	tree := new(split.Tree)
	require.Equal(t, 1, tree.ByHand(p, way, way.LevelOf(split.NewBody(p, p.Outline), at)+off, reach))
	_, doc := proved(t, &split.Plan{Pieces: []*piece.Piece{p}, Trees: []*split.Tree{tree}}, []*piece.Piece{p})
	whole, across, taken := told(&doc.Options[0])
	require.Equal(t, 1, whole+across+taken, "%s %v off %v by %g, reach %g: whole %d, across %d, taken %d", way.Kind(), d, at, off, reach, whole, across, taken)
	if reach == 0 {
		require.Zero(t, taken)
	}
}

// A seam at a point or a wide corner of a dart with two points leaves it whole,
// divides it or is sewn before it, however little it is off.
func TestADartWithTwoPointsAtASeamIsToldOnce(t *testing.T) {
	f := piece.FishEye{Apex: [2]orb.Point{{154, 300}, {150, 420}}, Wide: [2]orb.Point{{158, 350}, {142, 350}}}
	for _, c := range []struct {
		way split.Way
		at  orb.Point
	}{{split.Yoke{}, f.Apex[0]}, {split.Yoke{}, f.Apex[1]}, {split.Panel{}, f.Wide[0]}, {split.Panel{}, f.Wide[1]}} {
		for _, off := range []float64{0, 0.001, 0.01, 0.03, 0.049, 0.051, 0.1, 0.2, 1} {
			for _, off := range []float64{off, -off} {
				p := withDart(piece.Dart{})
				p.Darts, p.FishEyes = nil, []piece.FishEye{f}
				made, doc := proved(t, cutting([]*piece.Piece{p}, "back", func(p *piece.Piece, tree *split.Tree) {
					require.Equal(t, 1, tree.ByHand(p, c.way, c.way.LevelOf(split.NewBody(p, p.Outline), c.at)+off, 0))
				}), []*piece.Piece{p})
				whole := 0
				for _, p := range doc.Options[0].Parts {
					whole += len(p.FishEyes)
				}
				require.Equal(t, 1, whole+made.Seams[0].Across+len(made.Seams[0].Divided), "%s at %v, off %g", c.way.Kind(), c.at, off)
			}
		}
	}
}

// The proof refuses a plan that tells of no dart, of one twice, or as whole on
// a part where none of it is.
func TestALostDartIsRefused(t *testing.T) {
	d := piece.Dart{Leg1: orb.Point{158, 500}, Apex: orb.Point{150, 350}, Leg2: orb.Point{142, 500}}
	for name, tamper := range map[string]func(o *plan.Option){
		"its legs alone are drawn": func(o *plan.Option) {
			for k := range o.Parts {
				for _, d := range o.Parts[k].Darts {
					o.Parts[k].DartLegs = append(o.Parts[k].DartLegs, [2]plan.Point{d[0], d[1]}, [2]plan.Point{d[2], d[1]})
				}
				o.Parts[k].Darts = nil
			}
		},
		"both parts have it": func(o *plan.Option) {
			for k := range o.Parts {
				o.Parts[k].Darts = [][3]plan.Point{{plan.Point(d.Leg1), plan.Point(d.Apex), plan.Point(d.Leg2)}}
			}
		},
		"the other part has it": func(o *plan.Option) { o.Parts[0].Darts, o.Parts[1].Darts = o.Parts[1].Darts, o.Parts[0].Darts },
	} {
		t.Run(name, func(t *testing.T) {
			p := withDart(d)
			_, doc := proved(t, cutting([]*piece.Piece{p}, "back", func(p *piece.Piece, tree *split.Tree) {
				require.Equal(t, 1, tree.ByHand(p, split.Yoke{}, 340, 0))
			}), []*piece.Piece{p})
			tamper(&doc.Options[0])
			faults := check.Document(doc)
			require.NotEmpty(t, faults)
			for _, f := range faults {
				require.Equal(t, check.CrossedDart, f.Rule, f)
			}
		})
	}
}

func TestALostDartWithTwoPointsIsRefused(t *testing.T) {
	p := withDart(piece.Dart{})
	p.Darts, p.FishEyes = nil, []piece.FishEye{{Apex: [2]orb.Point{{154, 300}, {150, 420}}, Wide: [2]orb.Point{{158, 350}, {142, 350}}}}
	_, doc := proved(t, cutting([]*piece.Piece{p}, "back", func(p *piece.Piece, tree *split.Tree) {
		require.Equal(t, 1, tree.ByHand(p, split.Yoke{}, 250, 0))
	}), []*piece.Piece{p})
	for k := range doc.Options[0].Parts {
		part := &doc.Options[0].Parts[k]
		for _, f := range part.FishEyes {
			for i := range f {
				part.DartLegs = append(part.DartLegs, [2]plan.Point{f[i], f[(i+1)%4]})
			}
		}
		part.FishEyes = nil
	}
	faults := check.Document(doc)
	require.Len(t, faults, 1)
	require.Equal(t, check.FishEye, faults[0].Rule)
}
