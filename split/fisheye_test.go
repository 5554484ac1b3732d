package split_test

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// bodice has darts with two points: on its front, unfolded, 105 mm to either
// side of the centre, from 270 to 510 mm below its top and widest at 380 mm;
// on each of its mirrored backs one from 240 to 520 mm and widest at 380 mm,
// and above it an ordinary dart from the shoulder.
const bodice = "../split/testdata/bodice.svg"

func TestDartsWithTwoPoints(t *testing.T) {
	pieces := sample(t, bodice)
	downTheDart := func(b *split.Body) float64 { return b.Piece.FishEyes[0].Apex[0][0] }
	beside := func(mm float64) func(*split.Body) float64 {
		return func(b *split.Body) float64 { return downTheDart(b) + mm }
	}
	for name, c := range map[string]struct {
		piece           string
		way             split.Way
		level           func(*split.Body) float64
		taken, ordinary int // darts taken in; ordinary darts on the parts
		whole, legs     int // darts with two points on the parts; stretches of legs
		points          map[string]float64
	}{
		"above":                   {"front", split.Yoke{}, below(255), 0, 0, 2, 0, nil},
		"at the widest place":     {"front", split.Yoke{}, below(380), 0, 4, 0, 0, map[string]float64{"darts divided": -2}},
		"just in reach of it":     {"front", split.Yoke{}, below(394), 0, 4, 0, 0, map[string]float64{"darts divided": -2}},
		"out of reach of it":      {"front", split.Yoke{}, below(396), 0, 2, 0, 8, map[string]float64{"darts divided": 4}},
		"above the widest place":  {"front", split.Yoke{}, below(330), 0, 2, 0, 8, map[string]float64{"darts divided": 4}},
		"through a point":         {"front", split.Yoke{}, below(272), 0, 0, 0, 12, map[string]float64{"crosses darts": 40}},
		"down one dart":           {"front", split.Panel{}, downTheDart, 1, 0, 1, 0, map[string]float64{"darts taken in": -4}},
		"just in reach of it, ↓":  {"front", split.Panel{}, beside(14.9), 1, 0, 1, 0, map[string]float64{"darts taken in": -4}},
		"out of reach of it, ↓":   {"front", split.Panel{}, beside(15.1), 0, 0, 2, 0, nil},
		"at a slant":              {"front", split.Corner{Deg: 45}, func(b *split.Body) float64 { return split.Corner{Deg: 45}.LevelOf(b, b.Piece.FishEyes[0].Widest()) }, 0, 0, 1, 6, map[string]float64{"crosses darts": 20}},
		"between the front's two": {"front", split.Panel{}, split.CentreOf, 0, 0, 2, 0, nil},
		"mirrored, widest":        {"back", split.Yoke{}, below(380), 0, 6, 0, 0, map[string]float64{"darts divided": -2}},
		"mirrored, down both":     {"back", split.Panel{}, downTheDart, 4, 0, 0, 0, map[string]float64{"darts taken in": -16}},
	} {
		t.Run(name, func(t *testing.T) {
			of := only(pieces, c.piece)
			made, d := proved(t, cutting(of, c.piece, byHand(t, c.way, c.level)), of)
			o := d.Options[0]
			var ordinary, whole, legs int
			for _, p := range o.Parts {
				ordinary += len(p.Darts)
				whole += len(p.FishEyes)
				legs += len(p.DartLegs)
			}
			require.Equal(t, []int{c.taken, c.ordinary, c.whole, c.legs}, []int{o.DartsTakenIn, ordinary, whole, legs}, "taken in, ordinary, whole, legs")
			for _, term := range []string{"darts divided", "crosses darts", "darts taken in"} {
				require.InDelta(t, c.points[term], pointsFor(made, term), 1e-9, term)
			}
		})
	}
}

// A seam down a dart bows by half the intake on either side, and both its
// edges are as long.
func TestSeamDownADartBows(t *testing.T) {
	pieces := only(sample(t, bodice), "front")
	made, _ := proved(t, cutting(pieces, "front", byHand(t, split.Panel{}, func(b *split.Body) float64 { return b.Piece.FishEyes[0].Apex[0][0] })), pieces)
	var lengths []float64
	for _, part := range made.Parts {
		for _, e := range part.Outline {
			if e.Seam != "A" {
				continue
			}
			lengths = append(lengths, e.Line.Length())
			bow := 0.0
			for _, s := range e.Line {
				bow = math.Max(bow, math.Abs(s.P0[0]-125))
			}
			require.InDelta(t, 12, bow, 1e-6)
		}
	}
	require.Len(t, lengths, 2)
	require.InDelta(t, lengths[0], lengths[1], 1e-6)
}

// Where a seam divides a dart, the cutting lines of both parts are shaped for
// their darts to be folded, and no notch of the seam lies in a mouth.
func TestMouthsOnASeam(t *testing.T) {
	pieces := only(sample(t, bodice), "front")
	made, d := proved(t, cutting(pieces, "front", byHand(t, split.Yoke{}, below(380))), pieces)
	seam := made.Seams[0]
	for k, part := range made.Parts {
		box := part.Outline.Ring().Bound()
		reach := part.Cut.Bound().Max[1] - box.Max[1]
		if k > 0 {
			reach = box.Min[1] - part.Cut.Bound().Min[1]
		}
		require.Greater(t, reach, 11.0, part.Name)
		require.Less(t, reach, 20.0, part.Name)
	}
	for _, dart := range seam.Divided {
		a, _ := seam.Line.Nearest(dart.Halves[0][0])
		b, _ := seam.Line.Nearest(dart.Halves[0][2])
		for _, n := range seam.Notches {
			require.False(t, n.AtMM > math.Min(a, b) && n.AtMM < math.Max(a, b), "a notch at %g lies between %g and %g", n.AtMM, a, b)
		}
	}
	require.Contains(t, d.Options[0].SewingOrder[0], "Sew the 4 darts that open on A")
}

// Wherever a dart with two points lies on a piece and a seam runs, the plan is
// proved.
func TestDartsWithTwoPointsAreProved(t *testing.T) {
	ways := []split.Way{split.Yoke{}, split.Panel{}, split.Corner{Deg: 135}}
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		x, y := at("x", 80, 220), at("y", 150, 350)
		wide, tilt := at("half the width", 2, 15), at("tilt", -10, 10)*rapid.Float64Range(0, 1).Draw(t, "tilted")
		f := piece.FishEye{
			Apex: [2]orb.Point{{x - tilt, y - at("up", 40, 120)}, {x + tilt, y + at("down", 40, 120)}},
			Wide: [2]orb.Point{{x - wide, y}, {x + wide, y + at("unlike", 0, 2)}},
		}
		p := &piece.Piece{
			Name: "front", GrainDeg: 90, Count: 1, Copy: 1,
			Outline: piece.Outline{{Name: "round", AllowanceMM: 10, Line: curve.Polyline(orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 500}, orb.Point{0, 500}, orb.Point{0, 0})}},
		}
		if !f.Inside(p.Outline.Path()) {
			t.Skip("it is not within the piece")
		}
		p.FishEyes = []piece.FishEye{f}
		pieces := []*piece.Piece{p}
		w := rapid.SampledFrom(ways).Draw(t, "way")
		aim := rapid.SampledFrom([]orb.Point{f.Widest(), f.Apex[0], f.Apex[1], f.Wide[0]}).Draw(t, "aim")
		off := rapid.SampledFrom([]float64{0, 1, 15, 30}).Draw(t, "how far") * at("off", -1, 1)
		b := split.NewBody(p, p.Outline)
		if !split.In(w.Spans(b), w.LevelOf(b, aim)+off) {
			t.Skip("the line does not cut it")
		}
		proved(t, cutting(pieces, p.Name, byHand(t, w, func(b *split.Body) float64 { return w.LevelOf(b, aim) + off })), pieces)
	})
}

// A dart whose wide corners lie to one side of the line between its points bends,
// and no seam makes two plain darts of it or takes it in.
func TestADartThatBendsIsNotDivided(t *testing.T) {
	p := &piece.Piece{
		Name: "front", GrainDeg: 90, Count: 1, Copy: 1,
		Outline:  piece.Outline{{Name: "round", AllowanceMM: 10, Line: curve.Polyline(orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 500}, orb.Point{0, 500}, orb.Point{0, 0})}},
		FishEyes: []piece.FishEye{{Apex: [2]orb.Point{{74.5, 110}, {85.5, 270}}, Wide: [2]orb.Point{{78, 150}, {82, 151}}}},
	}
	pieces := []*piece.Piece{p}
	proved(t, cutting(pieces, p.Name, byHand(t, split.Yoke{}, func(*split.Body) float64 { return 150.5 })), pieces)
	proved(t, cutting(pieces, p.Name, byHand(t, split.Panel{}, func(b *split.Body) float64 { return split.Panel{}.LevelOf(b, orb.Point{80, 150.5}) })), pieces)
}

// What is said of darts with two points is held against the parts: each thing
// that could be wrong with it is found.
func TestProofOfDartsWithTwoPoints(t *testing.T) {
	race.SkipAlone(t)
	front := only(sample(t, bodice), "front")
	along := byHand(t, split.Panel{}, func(b *split.Body) float64 { return b.Piece.FishEyes[0].Apex[0][0] })
	widest, elsewhere, above := byHand(t, split.Yoke{}, below(380)), byHand(t, split.Yoke{}, below(330)), byHand(t, split.Yoke{}, below(255))
	sewn := func(o *plan.Option) *[4]plan.Point { return &o.Moved[0].FishEyes[0].Sewn }
	for name, c := range map[string]struct {
		cut   func(*piece.Piece, *split.Tree)
		spoil func(*plan.Document, *plan.Option)
		rule  check.Rule
	}{
		"one more is counted": {along, func(_ *plan.Document, o *plan.Option) { o.DartsTakenIn++ }, check.TakenDart},
		"one is not told":     {along, func(_ *plan.Document, o *plan.Option) { o.Moved[0].FishEyes = nil; o.DartsTakenIn = 0 }, check.Missing},
		"one is told twice": {along, func(_ *plan.Document, o *plan.Option) {
			m := &o.Moved[0]
			m.FishEyes = append(m.FishEyes, m.FishEyes[0])
		}, check.FishEye},
		"no such dart":      {along, func(_ *plan.Document, o *plan.Option) { o.Moved[0].FishEyes[0].Drawn[0][1]++ }, check.FishEye},
		"sides unlike":      {along, func(_ *plan.Document, o *plan.Option) { sewn(o)[1][0] += 5 }, check.FishEye},
		"wider than drawn":  {along, func(_ *plan.Document, o *plan.Option) { sewn(o)[1][0]--; sewn(o)[3][0]++ }, check.FishEye},
		"longer than drawn": {along, func(_ *plan.Document, o *plan.Option) { sewn(o)[0][1]-- }, check.FishEye},
		"out of reach": {along, func(d *plan.Document, o *plan.Option) {
			d.DartReachMM = 3
			for k := range sewn(o) {
				sewn(o)[k][0] += 5
			}
		}, check.FishEye},
		"elsewhere than the parts": {along, func(_ *plan.Document, o *plan.Option) {
			for k := range sewn(o) {
				sewn(o)[k][0]++
			}
		}, check.Missing},
		"outside the piece": {along, func(_ *plan.Document, o *plan.Option) {
			for k := range sewn(o) {
				sewn(o)[k][1] += 14
			}
			o.Moved[0].SeamLine = o.Moved[0].SeamLine[:3]
		}, check.FishEye},
		"a seam that is not there": {along, func(_ *plan.Document, o *plan.Option) { o.Moved[0].FishEyes[0].Seam = "B" }, check.SeamLine},

		"a division is not told": {widest, func(_ *plan.Document, o *plan.Option) {
			o.Divided = o.Divided[:1]
			o.Parts[0].Darts = o.Parts[0].Darts[:1]
		}, check.FishEye},
		"a division is told twice": {widest, func(_ *plan.Document, o *plan.Option) { o.Divided[1] = o.Divided[0] }, check.FishEye},
		"on a seam not there":      {widest, func(_ *plan.Document, o *plan.Option) { o.Divided[0].Seam = "B" }, check.Names},
		"mouths apart":             {widest, func(_ *plan.Document, o *plan.Option) { o.Divided[0].Halves[0][0][0] += 0.2 }, check.FishEye},
		"a mouth off the seam": {widest, func(_ *plan.Document, o *plan.Option) {
			for k := range 2 {
				o.Divided[0].Halves[k][0][1] += 0.3
				o.Divided[0].Halves[k][2][1] += 0.3
			}
		}, check.FishEye},
		"legs unlike":       {widest, func(_ *plan.Document, o *plan.Option) { o.Divided[0].Halves[0][1][0] += 12 }, check.FishEye},
		"an apex elsewhere": {widest, func(_ *plan.Document, o *plan.Option) { o.Divided[0].Halves[0][1][1] += 0.3 }, check.FishEye},
		"not as wide": {widest, func(_ *plan.Document, o *plan.Option) {
			for k := range 2 {
				h := o.Divided[0].Halves[k]
				h[0][0] += 2
				h[2][0] -= 2
			}
		}, check.FishEye},
		"both on one side":     {widest, func(_ *plan.Document, o *plan.Option) { o.Divided[0].Halves[1] = o.Divided[0].Halves[0] }, check.FishEye},
		"half a dart of two":   {widest, func(_ *plan.Document, o *plan.Option) { o.Divided[0].Halves[0] = o.Divided[0].Halves[0][:2] }, check.FishEye},
		"a half drawn nowhere": {widest, func(_ *plan.Document, o *plan.Option) { o.Parts[1].Darts = nil }, check.FishEye},
		"a half drawn askew":   {widest, func(_ *plan.Document, o *plan.Option) { o.Parts[1].Darts[0][0][0] += 0.5 }, check.FishEye},

		"a bend elsewhere": {elsewhere, func(_ *plan.Document, o *plan.Option) { o.Divided[0].Halves[1][1][1] += 1 }, check.FishEye},
		"legs without their bend": {elsewhere, func(_ *plan.Document, o *plan.Option) {
			for k, d := range o.Divided {
				h := d.Halves[1]
				o.Divided[k].Halves[1] = []plan.Point{h[0], h[2], h[4]}
				o.Parts[1].Darts = append(o.Parts[1].Darts, [3]plan.Point{h[0], h[2], h[4]})
			}
		}, check.FishEye},
		"a leg that is not drawn":  {elsewhere, func(_ *plan.Document, o *plan.Option) { o.Parts[1].DartLegs = o.Parts[1].DartLegs[1:] }, check.FishEye},
		"a whole dart not drawn":   {above, func(_ *plan.Document, o *plan.Option) { o.Parts[1].FishEyes = o.Parts[1].FishEyes[1:] }, check.FishEye},
		"a whole dart drawn askew": {above, func(_ *plan.Document, o *plan.Option) { o.Parts[1].FishEyes[0][1][0] += 0.5 }, check.FishEye},
	} {
		t.Run(name, func(t *testing.T) {
			_, d := proved(t, cutting(front, "front", c.cut), front)
			c.spoil(d, &d.Options[0])
			var rules []check.Rule
			for _, f := range check.Document(d) {
				rules = append(rules, f.Rule)
			}
			require.Contains(t, rules, c.rule)
		})
	}
}
