package search

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search/puzzle"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// settledDocument is a plan document without an option.
func settledDocument(copies []*piece.Piece, pile []piece.Scrap, o Options) *plan.Document {
	r := split.Record{Settings: o.Settings(), Drawn: copies, Scraps: split.ScrapCopies(pile)}
	return r.Document()
}

// provedAtLeast reports whether so many seams are said to be needed, and proved.
func provedAtLeast(ctx context.Context, copies []*piece.Piece, pile []piece.Scrap, o Options, seams int) bool {
	d := settledDocument(copies, pile, o)
	proof, err := check.NewAtLeastProof(d, o.Kinds)
	if err != nil {
		return false
	}
	d.AtLeast = AtLeast(ctx, copies, pile, o, seams, proof)
	return d.AtLeast != nil && len(proof.Faults(ctx)) == 0
}

// twoRectangles are pieces of which one lies whole on the first scrap, and the other
// in two parts on the others, but not if one seam is to make them.
func twoRectangles(t require.TestingT) ([]*piece.Piece, []piece.Scrap, Options) {
	pieces := []*piece.Piece{rectangle(t, "front", 150, 200), rectangle(t, "back", 150, 200)}
	pile := []piece.Scrap{sheet("whole", 180, 230), sheet("upper", 260, 125), sheet("lower", 180, 100)}
	return split.Copies(pieces), pile, Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1}
}

// What is said of two rectangles is proved, no more than that, and nothing of it may
// be left out or be otherwise.
func TestFewestOfTwoRectangles(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	copies, pile, o := twoRectangles(t)
	said := AtLeast(t.Context(), copies, pile, o, 2, nil)
	require.NotNil(t, said)
	require.NotEmpty(t, said.Cannot)
	document := func() *plan.Document {
		d := settledDocument(copies, pile, o)
		text, err := json.Marshal(said)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(text, &d.AtLeast))
		return d
	}
	require.Empty(t, check.AtLeast(t.Context(), document()))
	require.Empty(t, check.Document(document()))

	first := func(d *plan.Document, ok func(*plan.Cannot) bool) *plan.Cannot {
		for i := range d.AtLeast.Cannot {
			if ok(&d.AtLeast.Cannot[i]) {
				return &d.AtLeast.Cannot[i]
			}
		}
		require.Fail(t, "nothing of that sort is said")
		return nil
	}
	cut := func(side string) func(*plan.Cannot) bool {
		return func(c *plan.Cannot) bool {
			return c.Cut != nil && c.Cut.Way == "yoke" && c.Cut.Side == side && c.By == "placing"
		}
	}
	faults := map[string]func(d *plan.Document){
		"more seams":                  func(d *plan.Document) { d.AtLeast.Seams = 3 },
		"far more seams":              func(d *plan.Document) { d.AtLeast.Seams = 300 },
		"no seams":                    func(d *plan.Document) { d.AtLeast.Seams = 0 },
		"a plan with fewer":           func(d *plan.Document) { d.Options = []plan.Option{{Seams: 1}} },
		"a scrap that nobody knows":   func(d *plan.Document) { first(d, cut("before")).Scrap = "other" },
		"a larger part":               func(d *plan.Document) { first(d, cut("before")).Cut.LevelMM -= 30 },
		"a gap between levels":        func(d *plan.Document) { first(d, cut("before")).Cut.LevelMM += 30 },
		"a smaller part, from beyond": func(d *plan.Document) { first(d, cut("beyond")).Cut.LevelMM += 30 },
		"a gap, from beyond":          func(d *plan.Document) { first(d, cut("beyond")).Cut.LevelMM -= 30 },
		"another side":                func(d *plan.Document) { first(d, cut("beyond")).Cut.Side = "before" },
		"another way":                 func(d *plan.Document) { first(d, cut("beyond")).Cut.Way = "panel" },
		"no side":                     func(d *plan.Document) { first(d, cut("beyond")).Cut.Side = "" },
		"off by more":                 func(d *plan.Document) { first(d, cut("before")).OffMM = 40 },
		"off by less than a plan may": func(d *plan.Document) { first(d, cut("before")).OffMM = 0.1 },
		"another proof":               func(d *plan.Document) { first(d, cut("before")).By = "area" },
		"no proof":                    func(d *plan.Document) { first(d, cut("before")).By = "" },
		"the whole":                   func(d *plan.Document) { first(d, cut("before")).Cut = nil; d.AtLeast.Cases = d.AtLeast.Cases[1:] },
		"a larger scrap":              func(d *plan.Document) { d.Scraps[1].Outline[2][1] += 40; d.Scraps[1].Outline[3][1] += 40 },
		"a wider scrap":               func(d *plan.Document) { d.Scraps[0].Outline[1][0] += 400; d.Scraps[0].Outline[2][0] += 400 },
		"a seam that may be moved": func(d *plan.Document) {
			d.Pieces[0].Edges[0].Name, d.Pieces[0].Edges[0].Joins, d.Pieces[1].Edges[0].Name = "side", []string{"back/side"}, "side"
		},
		"ranges of seams that stay": func(d *plan.Document) {
			d.AtLeast.Moved = []plan.Moved{{Cannot: d.AtLeast.Cannot, Cases: d.AtLeast.Cases}}
		},
		"a kind that nobody knows": func(d *plan.Document) { d.AtLeast.Kinds = []string{"wavy"} },
		"a carried line":           func(d *plan.Document) { d.Options = []plan.Option{{Seams: 2, Carried: []plan.Carried{{}}}} },
		"a part that is cut":       func(d *plan.Document) { d.Options = []plan.Option{{Seams: 2, Parts: []plan.Part{{IsCut: true}}}} },
		"after another":            func(d *plan.Document) { d.After = "option-1" },
		"darts":                    func(d *plan.Document) { d.Pieces[0].Darts = [][3]plan.Point{{{50, 0}, {75, 40}, {100, 0}}} },
		"one more piece":           func(d *plan.Document) { d.AtLeast.Cases[0].Copies[0].Piece = "sleeve" },
		"a copy twice":             func(d *plan.Document) { c := d.AtLeast.Cases; c[0].Copies = append(c[0].Copies, c[0].Copies[0]) },
		"two seams in a case":      func(d *plan.Document) { d.AtLeast.Cases[0].Copies[0].Seams = 2 },
		"an outline that is none":  func(d *plan.Document) { d.Pieces[1].SeamLine = d.Pieces[1].SeamLine[:2] },
	}
	for _, way := range []string{"yoke", "corner"} {
		faults["without what is said of "+way] = func(d *plan.Document) {
			d.AtLeast.Cannot = slices.DeleteFunc(d.AtLeast.Cannot, func(c plan.Cannot) bool { return c.Cut != nil && c.Cut.Way == way })
		}
	}
	for i := range said.Cases {
		faults[fmt.Sprint("without case ", i+1)] = func(d *plan.Document) {
			d.AtLeast.Cases = append(d.AtLeast.Cases[:i:i], d.AtLeast.Cases[i+1:]...)
		}
	}
	for i := range said.Cannot {
		if said.Cannot[i].By == "area" {
			faults[fmt.Sprint("another area ", i+1)] = func(d *plan.Document) { d.AtLeast.Cannot[i].NeedsMM2 *= 1.1 }
			faults[fmt.Sprint("another scrap ", i+1)] = func(d *plan.Document) { d.AtLeast.Cannot[i].HasMM2 *= 0.9 }
		}
	}
	for name, spoil := range faults {
		d := document()
		spoil(d)
		require.NotEmpty(t, check.AtLeast(t.Context(), d), name)
	}
	// Where a panel is the only seam that counts, fewer facts do.
	d := document()
	d.AtLeast.Kinds = []string{"Panel"}
	require.Empty(t, check.AtLeast(t.Context(), d))
	// No proof is no lie, only slow.
	stopped, stop := context.WithCancel(t.Context())
	stop()
	require.NotEmpty(t, check.AtLeast(stopped, document()))
	require.Nil(t, AtLeast(stopped, copies, pile, o, 2, nil))
}

// Where a copy may be cut twice, what is said of its parts is proved too, and no more
// than that.
func TestFewestOfALongRectangle(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	copies := split.Copies([]*piece.Piece{rectangle(t, "sash", 100, 440)})
	pile := []piece.Scrap{sheet("one", 130, 160), sheet("two", 128, 150), sheet("three", 126, 155), sheet("four", 125, 140)}
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1, Kinds: []string{"yoke", "panel"}}
	require.False(t, provedAtLeast(t.Context(), copies, []piece.Scrap{pile[0], pile[1], sheet("longer", 126, 240)}, o, 3))
	d := settledDocument(copies, pile, o)
	proof, err := check.NewAtLeastProof(d, o.Kinds)
	require.NoError(t, err)
	said := AtLeast(t.Context(), copies, pile, o, 3, proof)
	require.NotNil(t, said)
	text, err := json.Marshal(said)
	require.NoError(t, err)
	spoilt := func(spoil func(c *plan.Cannot)) []check.Fault {
		d.AtLeast = nil
		require.NoError(t, json.Unmarshal(text, &d.AtLeast))
		for i := range d.AtLeast.Cannot {
			if c := &d.AtLeast.Cannot[i]; c.First != nil {
				spoil(c)
			}
		}
		return check.AtLeast(t.Context(), d)
	}
	require.Empty(t, spoilt(func(*plan.Cannot) {}))
	more := func(c *plan.Cannot, mm float64) {
		c.First.LevelMM += map[string]float64{"before": mm, "beyond": -mm}[c.First.Side]
	}
	for name, spoil := range map[string]func(c *plan.Cannot){
		"what a first cut leaves on its other side": func(c *plan.Cannot) {
			c.First.Side = map[string]string{"before": "beyond", "beyond": "before"}[c.First.Side]
		},
		"more of it":              func(c *plan.Cannot) { more(c, 60) },
		"less of it":              func(c *plan.Cannot) { more(c, -60) },
		"a way that nobody knows": func(c *plan.Cannot) { c.First.Way = "wavy" },
		"no side":                 func(c *plan.Cannot) { c.First.Side = "" },
		"no first cut":            func(c *plan.Cannot) { c.First = nil },
		"a second cut that bends": func(c *plan.Cannot) { c.Cut.Way, c.Cut.Bend = "curved yoke", 1 },
		"no second cut":           func(c *plan.Cannot) { c.Cut = nil },
	} {
		require.NotEmpty(t, spoilt(spoil), name)
	}
}

// What was planted on a scrap is never proved to lie nowhere: neither the whole, nor
// what some line leaves of it, nor beside another.
func TestWhatIsPlantedIsNotNowhere(t *testing.T) {
	t.Parallel()
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Rules: []piece.Rule{}}.withDefaults()
	blanks := drawn(t, newTable(nil, o))
	rapid.Check(t, func(t *rapid.T) {
		const noMoreMM = 0.01
		p, ok := plant(t, newTable(nil, o), blanks, noMoreMM)
		if !ok {
			t.Skip("not cut in two sound parts")
		}
		copy := *p.b.piece
		copy.Darts, copy.FishEyes, copy.Fabrics, copy.Kind = nil, nil, nil, ""
		k := rapid.IntRange(0, 1).Draw(t, "side")
		if rapid.Bool().Draw(t, "turned over") {
			turnOver(&p.scraps[k])
		}
		d := settledDocument([]*piece.Piece{&copy}, p.scraps[k:k+1], o)
		for i := range d.Pieces[0].Edges {
			d.Pieces[0].Edges[i].Joins = nil
		}
		for _, side := range p.sides(t, &copy, k) {
			said := plan.Cannot{Piece: copy.Name, Copy: copy.Copy, Cut: &side, Scrap: d.Scraps[0].Name, ScrapCopy: 1}
			says := func(by string) string {
				said.By, said.OffMM = by, sayOffMM
				d.AtLeast = &plan.AtLeast{Seams: 1, Cases: []plan.SeamCase{{}}, Cannot: []plan.Cannot{said}}
				faults := check.AtLeast(t.Context(), d)
				require.Len(t, faults, 1)
				return faults[0].Detail
			}
			require.Contains(t, says("area"), "for certain", "%s cut by %s at %.1f", p.b.key, wayID(p.w), p.level)
			require.Contains(t, says("placing"), "no proof was found", "%s cut by %s at %.1f", p.b.key, wayID(p.w), p.level)
			// Nor is any part that is cut off what was planted.
			all, _ := familiesOf(newBlank(&copy, copy.Outline, ""), []split.Way{split.Yoke{}, split.Panel{}, split.Corner{Deg: 45}, split.Corner{Deg: 135}})
			again := rapid.SampledFrom(all).Draw(t, "cut again")
			first := side
			said.First = &first
			said.Cut = again.side(rapid.Bool().Draw(t, "before"), rapid.Float64Range(again.lo, again.hi).Draw(t, "level"))
			require.NotContains(t, says("placing"), "find places", "%s cut by %s at %.1f, again by %v", p.b.key, wayID(p.w), p.level, *said.Cut)
			said.First, said.Cut = nil, &side
		}
	})
}

// turnOver is cloth as it lies the other side up, which is as right.
func turnOver(s *piece.Scrap) {
	for i := range s.Outline {
		s.Outline[i][0] *= -1
	}
	s.Outline.Reverse()
	s.GrainDeg, s.BothFaces = 180-s.GrainDeg, true
}

// sides is how the near part, or the far one, may be told: on a side of what lines.
func (p *planting) sides(t require.TestingT, copy *piece.Piece, k int) (out []plan.CutSide) {
	families, ok := familiesOf(newBlank(copy, copy.Outline, ""), []split.Way{p.w})
	require.True(t, ok)
	for _, f := range families {
		if c, is := p.w.(split.CurvedYoke); is && f.way != split.Way(split.CurvedYoke{Up: c.Up}) {
			continue
		}
		out = append(out, *f.side((k == 0) != f.against, f.level(p.w.LevelOf(p.b.Body, p.w.Line(p.b.Body, p.level)[0].P0))))
	}
	return out
}

var besideSeeds = flag.Int("beside-seeds", 8, "how many pairs of parts are planted on a scrap, as close to each other as they may lie")

// Nor are two parts, or a part and a whole piece, that were planted on one scrap as close
// to each other as they may lie.
func TestPartsPlantedBesideEachOtherAreNotNowhere(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Rules: []piece.Rule{}}.withDefaults()
	blanks := drawn(t, newTable(nil, o))
	type pair struct {
		copies [2]*piece.Piece
		said   plan.Cannot
		scrap  piece.Scrap
	}
	pairs := rapid.Custom(func(t *rapid.T) *pair {
		const noMoreMM = 0.01
		var out pair
		var sides [2]*plan.CutSide
		var scraps [2]piece.Scrap
		for i := range 2 {
			p, ok := plant(t, newTable(nil, o), blanks, noMoreMM)
			if !ok {
				return nil // it is not cut in two sound parts
			}
			copy := *p.b.piece
			copy.Name, copy.Outline = []string{"one", "two"}[i], slices.Clone(copy.Outline)
			copy.Darts, copy.FishEyes, copy.Fabrics, copy.Kind = nil, nil, nil, ""
			for k := range copy.Outline {
				copy.Outline[k].Joins = nil
			}
			k := rapid.IntRange(0, 1).Draw(t, "side")
			out.copies[i], sides[i], scraps[i] = &copy, &p.sides(t, &copy, k)[0], p.scraps[k]
			if i == 1 && rapid.IntRange(0, 3).Draw(t, "whole") == 0 {
				sides[i], scraps[i] = nil, plantedScrap(t, "whole", p.b, noMoreMM, rapid.Float64Range(0, 360).Draw(t, "turn"), 0)
			}
		}
		out.scrap = besides(t, scraps[0], scraps[1], o.GapMM, rapid.Float64Range(0, 2*math.Pi).Draw(t, "toward"))
		if rapid.Bool().Draw(t, "turned over") {
			turnOver(&out.scrap)
		}
		out.said = plan.Cannot{
			Piece: "one", Copy: out.copies[0].Copy, Cut: sides[0], Scrap: out.scrap.Name, ScrapCopy: 1,
			Beside: &plan.CopyOf{Piece: "two", Copy: out.copies[1].Copy}, BesideCut: sides[1], By: "placing", OffMM: sayOffMM,
		}
		return &out
	})
	asked := 0
	for seed := range *besideSeeds {
		p := pairs.Example(seed)
		if p == nil {
			continue
		}
		d := settledDocument(p.copies[:], []piece.Scrap{p.scrap}, o)
		d.AtLeast = &plan.AtLeast{Seams: 1, Cases: []plan.SeamCase{{}}, Cannot: []plan.Cannot{p.said}}
		faults := check.AtLeast(t.Context(), d)
		require.Len(t, faults, 1)
		require.Contains(t, faults[0].Detail, "no proof was found", "seed %d: %+v", seed, p.said)
		asked++
	}
	require.Greater(t, 3*asked, *besideSeeds)
}

// besides is cloth that is that of two scraps so far apart, and a strip between them.
func besides(t require.TestingT, one, two piece.Scrap, apartMM, toward float64) piece.Scrap {
	turn := curve.Turn(one.GrainDeg-two.GrainDeg, orb.Point{})
	at := func(mm float64) geom.Geometry {
		var moved orb.Ring
		for _, q := range two.Outline {
			q = turn.Apply(q)
			moved = append(moved, orb.Point{q[0] + mm*math.Cos(toward), q[1] + mm*math.Sin(toward)})
		}
		return polygonOf(moved)
	}
	first := polygonOf(one.Outline)
	near, far := 0.0, 5000.0
	for far-near > 0.005 {
		mid := (near + far) / 2
		if mm, ok := geom.Distance(first, at(mid)); ok && mm >= apartMM {
			far = mid
		} else {
			near = mid
		}
	}
	second := at(far)
	g, err := geom.Union(first, second)
	require.NoError(t, err)
	a, _ := first.Centroid().XY()
	b, _ := second.Centroid().XY()
	strip, err := geom.Buffer(geom.NewLineStringXY(a.X, a.Y, b.X, b.Y).AsGeometry(), 1)
	require.NoError(t, err)
	g, err = geom.Union(g, strip)
	require.NoError(t, err)
	one.Outline = outerRing(g)
	return one
}

// Two rectangles beside each other need what their sides say.
func TestRectanglesBesideEachOther(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		side := func(name string) float64 { return rapid.Float64Range(80, 250).Draw(t, name) }
		w, h, w2 := side("width"), side("length"), side("other's width")
		less := rapid.SampledFrom([]float64{-0.1, 0, 5, 12}).Draw(t, "less")
		o := Options{AllowanceMM: 10, GapMM: 3}.withDefaults()
		copies := split.Copies([]*piece.Piece{rectangle(t, "one", w, h), rectangle(t, "two", w2, h)})
		d := settledDocument(copies, []piece.Scrap{sheet("s", w+w2+4*o.AllowanceMM+o.GapMM-less, h+2*o.AllowanceMM)}, o)
		d.AtLeast = &plan.AtLeast{Seams: 1, Cases: []plan.SeamCase{{}}, Cannot: []plan.Cannot{{
			Piece: "one", Copy: copies[0].Copy, Scrap: "s", ScrapCopy: 1, Beside: &plan.CopyOf{Piece: "two", Copy: copies[1].Copy}, By: "placing", OffMM: sayOffMM,
		}}}
		factIsProved(t, d, less > 0)
	})
}

// So do parts of two rectangles, or both of one.
func TestPartsBesideEachOther(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		side := func(name string) float64 { return rapid.Float64Range(80, 250).Draw(t, name) }
		w, h, w2 := side("width"), side("length"), side("other's width")
		of := rapid.IntRange(0, 1).Draw(t, "copy beside it")
		if of == 0 {
			w2 = w
		}
		less := rapid.SampledFrom([]float64{-0.1, 0, 5, 12}).Draw(t, "less")
		cut := rapid.Float64Range(30, h-30).Draw(t, "cut off")
		o := Options{AllowanceMM: 10, GapMM: 3}.withDefaults()
		copies := split.Copies([]*piece.Piece{rectangle(t, "one", w, h), rectangle(t, "two", w2, h)})
		yokes, _ := familiesOf(newBlank(copies[0], copies[0].Outline, ""), []split.Way{split.Yoke{}})
		y := yokes[0]
		d := settledDocument(copies, []piece.Scrap{sheet("s", w+w2+4*o.AllowanceMM+o.GapMM-less, cut+2*o.AllowanceMM)}, o)
		says := func() string {
			faults := check.AtLeast(t.Context(), d)
			require.Len(t, faults, 1) // no copies at all find places
			return faults[0].Detail
		}
		d.AtLeast = &plan.AtLeast{Seams: 1, Cases: []plan.SeamCase{{}}, Cannot: []plan.Cannot{{
			Piece: "one", Copy: copies[0].Copy, Cut: y.side(true, y.lo-sliverMM+cut), Scrap: "s", ScrapCopy: 1, By: "placing", OffMM: sayOffMM,
			Beside: &plan.CopyOf{Piece: copies[of].Name, Copy: copies[of].Copy}, BesideCut: y.side(false, y.hi+sliverMM-cut),
		}}}
		if less <= 0 {
			require.Contains(t, says(), "no proof was found")
			return
		}
		require.Contains(t, says(), "it is not ruled out")
		said := &d.AtLeast.Cannot[0]
		said.First, said.Cut = said.Cut, nil
		require.Contains(t, says(), "a first cut is told")
		said.First, said.Cut, said.Beside = nil, said.First, nil
		require.Contains(t, says(), "it is not said of which piece")
	})
}

var (
	sewn    = flag.Bool("sewn", false, "seams of planted puzzles may be moved")
	movedMM = flag.Float64("moved", 0, "by how much one is moved in the hidden plan, at most; with -sewn")
)

// No planted plan has fewer seams than are proved to be needed; nor where seams may be
// moved, and one is in the hidden plan.
func TestPlantedPlansAreNotRuledOut(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	seeds, garments, decoys := 4, []string{"vest"}, 1
	if *planted > 0 {
		seeds, decoys, garments = *planted, 3, []string{"t-shirt", "raglan", "vest"}
	}
	fewest := map[int][2]int{}
	for k := range seeds {
		seed := uint64(*fromSeed + k)
		sewn, movedMM := *sewn, *movedMM
		if *planted == 0 && k%2 == 1 {
			sewn, movedMM = true, 30
		}
		r := puzzle.Rules{
			Garment: garments[seed%uint64(len(garments))], Seams: 1 + int(seed%4),
			SlackMM: *slackMM, Share: 0.4, Decoys: decoys, GapMM: 3, TurnDeg: 2, Sewn: sewn, MovedMM: movedMM,
		}
		if *planted == 0 && r.Seams >= mostAtLeast {
			continue // nothing is said of so many
		}
		p, err := puzzle.New(seed, r)
		require.NoError(t, err)
		o := Options{AllowanceMM: 10, GapMM: r.GapMM, GrainToleranceDeg: 2, Workers: *workers, Seed: 1}
		copies := split.Copies(p.Pieces)
		proved := func(seams int, cpu time.Duration) bool {
			ctx, cancel := context.WithTimeout(t.Context(), *limit)
			defer cancel()
			limitCPU(ctx, cancel, cpu)
			return provedAtLeast(ctx, copies, p.Scraps, o, seams)
		}
		if p.Seams < mostAtLeast { // most of the time such a proof would be found early
			require.False(t, proved(p.Seams+1, *cpuLimit/6), "%s seed %d", r.Garment, seed)
		}
		if *planted > 0 && p.Seams <= mostAtLeast {
			done := fewest[p.Seams]
			begun := cpuTime()
			if done[0]++; proved(p.Seams, *cpuLimit) {
				done[1]++
				t.Logf("%s seed %d: %d seams are the fewest, in %.1fs of processor time", r.Garment, seed, p.Seams, (cpuTime() - begun).Seconds())
			} else {
				t.Logf("%s seed %d: open whether %d seams are the fewest, after %.1fs of processor time", r.Garment, seed, p.Seams, (cpuTime() - begun).Seconds())
			}
			fewest[p.Seams] = done
		}
	}
	t.Logf("by seams hidden, of how many it is proved that none has fewer: %v", fewest)
}

// factIsProved holds the one fact that a document tells to its being proved, or not. The
// case that it tells is of no copies, and fails.
func factIsProved(t require.TestingT, d *plan.Document, proved bool) {
	faults := check.AtLeast(context.Background(), d)
	require.Len(t, faults, 1)
	if proved {
		require.Contains(t, faults[0].Detail, "it is not ruled out")
	} else {
		require.Contains(t, faults[0].Detail, "no proof was found")
	}
}
