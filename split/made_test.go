package split_test

import (
	"testing"

	"eke/piece"
	"eke/piece/race"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// Parts are named by where they lie, as worn, shortly and each unlike the other:
// of a front drawn right side up the part to the right is the left of the body.
func TestPartNames(t *testing.T) {
	race.SkipAlone(t)
	tshirt := sample(t, "tshirt.svg")
	type line struct {
		way split.Way
		mm  float64 // below the top, or right of the centre
	}
	y, p := split.Yoke{}, split.Panel{}
	for name, c := range map[string]struct {
		piece string
		lines []line
		names []string
	}{
		"whole":           {"front", nil, []string{"front"}},
		"one yoke":        {"front", []line{{y, 300}}, []string{"front-upper", "front-lower"}},
		"two yokes":       {"front", []line{{y, 300}, {y, 450}}, []string{"front-upper", "front-middle", "front-lower"}},
		"the lower first": {"front", []line{{y, 450}, {y, 300}}, []string{"front-upper", "front-middle", "front-lower"}},
		"three yokes":     {"front", []line{{y, 250}, {y, 350}, {y, 450}}, []string{"front-upper", "front-middle-1", "front-middle-2", "front-lower"}},
		"three, inward":   {"front", []line{{y, 350}, {y, 250}, {y, 450}}, []string{"front-upper", "front-middle-1", "front-middle-2", "front-lower"}},
		"two panels":      {"front", []line{{p, -60}, {p, 60}}, []string{"front-right", "front-middle", "front-left"}},
		"a cross":         {"front", []line{{y, 300}, {p, 0}}, []string{"front-upper-right", "front-upper-left", "front-lower-right", "front-lower-left"}},
		"yokes and a panel": {"front", []line{{y, 300}, {y, 450}, {p, 0}}, []string{
			"front-upper-right", "front-upper-left", "front-middle-right", "front-middle-left", "front-lower-right", "front-lower-left"}},
		"the back": {"back", []line{{p, 0}}, []string{"back-left", "back-right"}},
		"sleeves":  {"sleeve", []line{{p, 30}}, []string{"sleeve-right-back", "sleeve-right-front", "sleeve-left-front", "sleeve-left-back"}},
		"a corner": {"front", []line{{split.Corner{Deg: 60}, 250}}, []string{"front-corner", "front-main"}},
		"copies":   {"sleeve", []line{{y, 150}}, []string{"sleeve-right-upper", "sleeve-right-lower", "sleeve-left-upper", "sleeve-left-lower"}},
	} {
		t.Run(name, func(t *testing.T) {
			pieces := only(tshirt, c.piece)
			made, _ := proved(t, cutting(pieces, c.piece, func(q *piece.Piece, tree *split.Tree) {
				b := split.NewBody(q, q.Outline)
				for _, l := range c.lines {
					level := b.Lo[1] + l.mm
					if l.way == split.Way(p) {
						level = split.CentreOf(b) + l.mm
					}
					require.NotZero(t, tree.ByHand(q, l.way, level, 0))
				}
			}), pieces)
			var names []string
			for _, part := range made.Parts {
				names = append(names, part.Name)
			}
			require.Equal(t, c.names, names)
			require.Len(t, made.Seams, len(made.Parts)-len(pieces))
		})
	}
}

func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "A", 1: "B", 25: "Z", 26: "AA", 27: "AB", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		require.Equal(t, want, split.Letter(i))
	}
}

// Where one seam ends on another, each stretch has notches of its own.
func TestCrossedSeamsAreNotchedByStretch(t *testing.T) {
	front := only(sample(t, "tshirt.svg"), "front")
	made, _ := proved(t, cutting(front, "front", func(p *piece.Piece, tree *split.Tree) {
		b := split.NewBody(p, p.Outline)
		tree.ByHand(p, split.Yoke{}, b.Lo[1]+300, 0)
		tree.ByHand(p, split.Panel{}, split.CentreOf(b), 0)
	}), front)
	require.Len(t, made.Seams[0].Notches, 4)
	require.Len(t, made.Seams[1].Notches, 2)
	require.Equal(t, "centre", made.Seams[1].Kind)
	tree := made.Plan.Trees[0]
	require.Equal(t, 3, tree.Seams())
	clone := tree.Clone()
	clone.Near.LevelMM++
	require.NotEqual(t, clone.Near.LevelMM, tree.Near.LevelMM)
}

// A plan that is carried out from one like it is as if it were made from nothing,
// be its copies whole in both, in either or in neither.
func TestWithIsMake(t *testing.T) {
	t.Parallel()
	copies := sample(t, "blouse.svg")
	planOf := func(cut map[string]float64) *split.Plan {
		p := &split.Plan{Pieces: copies}
		for _, c := range copies {
			tree := new(split.Tree)
			if mm, found := cut[c.Name]; found {
				b := split.NewBody(c, c.Outline)
				tree.Way, tree.LevelMM, tree.Near, tree.Far = split.Yoke{}, b.Lo[1]+mm, new(split.Tree), new(split.Tree)
			}
			p.Trees = append(p.Trees, tree)
		}
		return p
	}
	was, err := split.Make(planOf(map[string]float64{"front": 250, "sleeve": 200}), 10)
	require.NoError(t, err)
	for _, cut := range []map[string]float64{{}, {"front": 250, "sleeve": 200}, {"front": 300}, {"back": 280, "sleeve": 150}} {
		want, err := split.Make(planOf(cut), 10)
		require.NoError(t, err)
		got, err := was.With(planOf(cut), 10)
		require.NoError(t, err)
		require.Equal(t, len(want.Parts), len(got.Parts))
		for k := range want.Parts {
			require.Equal(t, want.Parts[k].Name, got.Parts[k].Name)
			require.Equal(t, want.Parts[k].Cut, got.Parts[k].Cut)
			require.Equal(t, want.Parts[k].Outline, got.Parts[k].Outline)
		}
		require.Equal(t, len(want.Seams), len(got.Seams))
		require.Equal(t, split.Cost(want), split.Cost(got))
	}
}

// BenchmarkCost is of a plan with a seam in each front, back and sleeve of a blouse, as it
// is weighed anew at each level that a seam is slid to.
func BenchmarkCost(b *testing.B) {
	copies := sample(b, "blouse.svg")
	p := &split.Plan{Pieces: copies}
	for _, c := range copies {
		tree := new(split.Tree)
		if c.Name == "front" || c.Name == "back" || c.Name == "sleeve" {
			body := split.NewBody(c, c.Outline)
			tree.Way, tree.LevelMM, tree.Near, tree.Far = split.Yoke{}, body.Lo[1]+250, new(split.Tree), new(split.Tree)
		}
		p.Trees = append(p.Trees, tree)
	}
	was, err := split.Make(p, 10)
	require.NoError(b, err)
	for b.Loop() {
		made, err := was.With(p, 10)
		require.NoError(b, err)
		split.Cost(made)
	}
}
