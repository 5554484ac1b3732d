package search

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"eke/piece"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// threeSquares are of a size that any two lie beside each other on the scrap, and that it
// has the area for, but for a third there is no place.
func threeSquares(t require.TestingT) ([]*piece.Piece, []piece.Scrap, Options) {
	var pieces []*piece.Piece
	for _, name := range []string{"one", "two", "three"} {
		pieces = append(pieces, rectangle(t, name, 180, 180))
	}
	return split.Copies(pieces), []piece.Scrap{sheet("s", 405, 390)}, Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 0.5, Seed: 1}
}

// Of three pieces that do not lie on a scrap together, it is said and proved that a seam is
// needed, and nothing of it may be left out or be otherwise.
func TestFewestOfThreeSquares(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	copies, pile, o := threeSquares(t)
	d := settledDocument(copies, pile, o)
	proof, err := check.NewAtLeastProof(d, o.Kinds)
	require.NoError(t, err)
	said := AtLeast(t.Context(), copies, pile, o, 1, proof)
	require.NotNil(t, said)
	require.Len(t, said.Crowds, 1)
	require.Len(t, said.Crowds[0].Parts, 3)
	text, err := json.Marshal(said)
	require.NoError(t, err)
	faults := func(spoil func(d *plan.Document)) []check.Fault {
		d := settledDocument(copies, pile, o)
		require.NoError(t, json.Unmarshal(text, &d.AtLeast))
		spoil(d)
		return check.AtLeast(t.Context(), d)
	}
	require.Empty(t, faults(func(*plan.Document) {}))
	d.AtLeast = said
	require.Empty(t, proof.Faults(t.Context()))
	crowd := func(spoil func(c *plan.Crowd)) func(*plan.Document) {
		return func(d *plan.Document) { spoil(&d.AtLeast.Crowds[0]) }
	}
	for name, spoil := range map[string]func(d *plan.Document){
		"no crowd":                    func(d *plan.Document) { d.AtLeast.Crowds = nil },
		"two of them":                 crowd(func(c *plan.Crowd) { c.Parts = c.Parts[:2] }),
		"one of them":                 crowd(func(c *plan.Crowd) { c.Parts = c.Parts[:1] }),
		"one of them twice":           crowd(func(c *plan.Crowd) { c.Parts[2] = c.Parts[1] }),
		"another one as well":         crowd(func(c *plan.Crowd) { c.Parts = append(c.Parts, plan.CrowdPart{Piece: "four", Copy: 1}) }),
		"off by less than a plan may": crowd(func(c *plan.Crowd) { c.OffMM = 0.1 }),
		"off by far more":             crowd(func(c *plan.Crowd) { c.OffMM = 25 }),
		"a scrap that nobody knows":   crowd(func(c *plan.Crowd) { c.Scrap = "other" }),
		"a part of one": crowd(func(c *plan.Crowd) {
			c.Parts[0].Cut = &plan.CutSide{Way: "yoke", Side: "before", LevelMM: 150}
		}),
		"a first cut alone": crowd(func(c *plan.Crowd) {
			c.Parts[0].First = &plan.CutSide{Way: "yoke", Side: "before", LevelMM: 150}
		}),
		"a way that nobody knows": crowd(func(c *plan.Crowd) {
			c.Parts[0].Cut = &plan.CutSide{Way: "wavy", Side: "before", LevelMM: 150}
		}),
		"a larger scrap":         func(d *plan.Document) { d.Scraps[0].Outline[2][1] += 15; d.Scraps[0].Outline[3][1] += 15 },
		"told with ranges":       func(d *plan.Document) { d.AtLeast.Moved = []plan.Moved{{Crowds: d.AtLeast.Crowds}} },
		"another scrap as large": func(d *plan.Document) { s := d.Scraps[0]; s.Name = "t"; d.Scraps = append(d.Scraps, s) },
	} {
		require.NotEmpty(t, faults(spoil), name)
	}
	pile[0] = sheet("s", 405, 405) // four lie there
	require.False(t, provedAtLeast(t.Context(), copies, pile, o, 1))
}

// Three rectangles in a row, whole or what one or two cuts leave of longer ones, need what
// their sides say.
func TestThreeRectanglesInARow(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const cutFrom = 30
		h := rapid.Float64Range(80, 200).Draw(t, "length")
		less := rapid.SampledFrom([]float64{-0.1, 0, 5, 12}).Draw(t, "less")
		o := Options{AllowanceMM: 10, GapMM: 3}.withDefaults()
		var pieces []*piece.Piece
		said := plan.Crowd{Scrap: "s", ScrapCopy: 1, OffMM: sayOffMM}
		wide := -o.GapMM
		for _, name := range []string{"one", "two", "three"} {
			w, long := rapid.Float64Range(80, 200).Draw(t, "width"), h
			cuts := rapid.IntRange(0, 2).Draw(t, "cuts")
			if cuts > 0 {
				long = h + 2*cutFrom
			}
			p := rectangle(t, name, w, long)
			yokes, _ := familiesOf(newBlank(p, p.Outline, ""), []split.Way{split.Yoke{}})
			part, lo := plan.CrowdPart{Piece: name, Copy: 1}, yokes[0].lo-sliverMM
			switch cuts {
			case 1:
				part.Cut = yokes[0].side(true, lo+h)
			case 2:
				part.First, part.Cut = yokes[0].side(false, lo+cutFrom), yokes[0].side(true, lo+cutFrom+h)
			}
			pieces, said.Parts = append(pieces, p), append(said.Parts, part)
			wide += w + 2*o.AllowanceMM + o.GapMM
		}
		d := settledDocument(split.Copies(pieces), []piece.Scrap{sheet("s", wide-less, h+2*o.AllowanceMM)}, o)
		for i := range said.Parts {
			said.Parts[i].Copy = d.Pieces[i].Copy
		}
		d.AtLeast = &plan.AtLeast{Seams: 1, Cases: []plan.SeamCase{{}}, Crowds: []plan.Crowd{said}}
		factIsProved(t, d, less > 0)
	})
}

// Three parts or whole pieces that were planted on one scrap, as close to each other as they
// may lie, are no crowd; nor are they with a fourth that was planted too.
func TestWhatIsPlantedIsNoCrowd(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Rules: []piece.Rule{}}.withDefaults()
	blanks := drawn(t, newTable(nil, o))
	type planted struct {
		copies []*piece.Piece
		said   plan.Crowd
		scrap  piece.Scrap
	}
	crowds := rapid.Custom(func(t *rapid.T) *planted {
		const noMoreMM = 0.01
		var out planted
		for i := range rapid.IntRange(3, 4).Draw(t, "parts") {
			p, ok := plant(t, newTable(nil, o), blanks, noMoreMM)
			if !ok {
				return nil // it is not cut in two sound parts
			}
			copy := *p.b.piece
			copy.Name, copy.Outline = []string{"one", "two", "three", "four"}[i], slices.Clone(copy.Outline)
			copy.Darts, copy.FishEyes, copy.Fabrics, copy.Kind = nil, nil, nil, ""
			for k := range copy.Outline {
				copy.Outline[k].Joins = nil
			}
			k := rapid.IntRange(0, 1).Draw(t, "side")
			part, scrap := plan.CrowdPart{Piece: copy.Name, Copy: copy.Copy, Cut: &p.sides(t, &copy, k)[0]}, p.scraps[k]
			if rapid.IntRange(0, 3).Draw(t, "whole") == 0 {
				part.Cut, scrap = nil, plantedScrap(t, "whole", p.b, noMoreMM, rapid.Float64Range(0, 360).Draw(t, "turn"), 0)
			}
			if i == 0 {
				out.scrap = scrap
			} else {
				out.scrap = besides(t, out.scrap, scrap, o.GapMM, rapid.Float64Range(0, 2*math.Pi).Draw(t, "toward"))
			}
			out.copies, out.said.Parts = append(out.copies, &copy), append(out.said.Parts, part)
		}
		if rapid.Bool().Draw(t, "turned over") {
			turnOver(&out.scrap)
		}
		out.said.Scrap, out.said.ScrapCopy, out.said.OffMM = out.scrap.Name, 1, sayOffMM
		return &out
	})
	asked := 0
	for seed := range *besideSeeds / 2 {
		p := crowds.Example(seed)
		if p == nil {
			continue
		}
		d := settledDocument(p.copies, []piece.Scrap{p.scrap}, o)
		d.AtLeast = &plan.AtLeast{Seams: 1, Cases: []plan.SeamCase{{}}, Crowds: []plan.Crowd{p.said}}
		faults := check.AtLeast(t.Context(), d)
		require.Len(t, faults, 1)
		require.Contains(t, faults[0].Detail, "no proof was found", "seed %d: %+v", seed, p.said)
		asked++
	}
	require.Greater(t, 3*asked, *besideSeeds/2)
}

// A crowd is among what lies on a bin where that has as much of each of its parts or more,
// of the same copies.
func TestCrowdIsOfAsMuchOrMore(t *testing.T) {
	t.Parallel()
	before := func(level float64) *plan.CutSide { return &plan.CutSide{Way: "yoke", Side: "before", LevelMM: level} }
	beyond := func(level float64) *plan.CutSide { return &plan.CutSide{Way: "yoke", Side: "beyond", LevelMM: level} }
	part := func(cut, first *plan.CutSide) plan.CrowdPart {
		return plan.CrowdPart{Piece: "p", Copy: 1, Cut: cut, First: first}
	}
	other := part(before(100), nil)
	other.Copy = 2
	for name, c := range map[string]struct {
		has, of plan.CrowdPart
		ok      bool
	}{
		"whole":               {part(nil, nil), part(nil, nil), true},
		"whole of another":    {part(before(100), nil), other, false},
		"whole of a part":     {part(nil, nil), part(before(100), nil), false},
		"part of a whole":     {part(before(100), nil), part(nil, nil), false},
		"as much before":      {part(before(100), nil), part(before(100), nil), true},
		"more before":         {part(before(110), nil), part(before(100), nil), true},
		"less before":         {part(before(90), nil), part(before(100), nil), false},
		"more beyond":         {part(beyond(90), nil), part(beyond(100), nil), true},
		"less beyond":         {part(beyond(110), nil), part(beyond(100), nil), false},
		"the other side":      {part(beyond(100), nil), part(before(100), nil), false},
		"more of a first cut": {part(before(100), beyond(10)), part(before(100), beyond(20)), true},
		"less of a first cut": {part(before(100), beyond(30)), part(before(100), beyond(20)), false},
		"no first cut":        {part(before(100), nil), part(before(100), beyond(20)), false},
		"a first cut":         {part(before(100), beyond(20)), part(before(100), nil), false},
	} {
		require.Equal(t, c.ok, hasPart(c.has, c.of), name)
	}
}
