package photo

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"eke/piece/photo/staged"
	"eke/piece/race"
	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Two small pictures: with a scale sheet and scraps that touch, and with a plain
// sheet and a scrap that is cut off.
func TestTrace(t *testing.T) {
	for seed, side := range map[uint64]int{4: 1000, 8: 800} {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			if race.On && seed != 8 {
				t.Skip("one picture is worked on in the same way as any other")
			}
			t.Parallel()
			got := sit(staged.Random(seed, side))
			require.NoError(t, got.err)
			require.Zero(t, got.extra)
			require.Zero(t, got.unsaid)
			require.Greater(t, len(got.verdicts), 6)
			covered := 0.0 // scraps whose truth lies within two standard deviations
			for _, v := range got.verdicts {
				require.True(t, v.traced, "%+v", v)
				if v.off <= 2*v.said {
					covered++
				}
				require.Less(t, v.outside, 0.1, "%+v", v)
				require.Less(t, v.most, 2.0, "%+v", v)
				for _, h := range v.holes {
					require.Less(t, h, 3.0, "%+v", v)
				}
				if v.sizeMM > 100 {
					require.InDelta(t, 0, v.area, 0.015, "%+v", v)
				}
			}
			require.GreaterOrEqual(t, covered, 0.95*float64(len(got.verdicts)))
		})
	}
}

// What is wrong with a picture is said, and the rest of it is traced.
func TestProblems(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	for name, c := range map[string]struct {
		change func(s *staged.Scene)
		say    string
		whole  bool // it is said of the picture as a whole
		seed   uint64
	}{
		"dark":         {func(s *staged.Scene) { s.Light.Level = 0.09 }, "too dark", true, 0},
		"bright":       {func(s *staged.Scene) { s.Light.Level = 2 }, "burnt out", true, 0},
		"blur":         {func(s *staged.Scene) { s.BlurPx = 3.5 }, "blurred", true, 8},
		"harsh":        {func(s *staged.Scene) { s.Light.Contact, s.Light.Toward, s.Light.SoftMM = 0.7, orb.Point{4, 3}, 0.3 }, "shadows with sharp edges", true, 0},
		"wide shadows": {func(s *staged.Scene) { s.Light.Contact, s.Light.Toward, s.Light.SoftMM = 0.7, orb.Point{8, 6}, 0.5 }, "shadows with sharp edges", true, 0},
		"a black scrap's shadow": {func(s *staged.Scene) {
			*s = *staged.Random(8, 800)
			s.Light.Contact, s.Light.Toward, s.Light.SoftMM = 0.7, orb.Point{4, 3}, 0.3
		}, "may not be told from the shadow", false, 8},
		"far": {func(s *staged.Scene) { s.Camera.HeightMM *= 1.35 }, "come nearer", true, 8},
		"alike": {func(s *staged.Scene) {
			g := s.Ground.Colour
			paler := [3]float64{1.3 * g[0], 1.3 * g[1], 1.3 * g[2]}
			s.Scraps[0].Cloth.Colours = [3][3]float64{paler, paler, paler}
		}, "too like the ground", false, 0},
		"holey": {func(s *staged.Scene) {
			s.Scraps[0].Cloth = staged.Cloth{Weave: staged.Dots, Colours: [3][3]float64{{0.02, 0.035, 0.12}, s.Ground.Colour}, RepeatMM: 34}
		}, "gaps in it have the ground's colour", false, 0},
		"on the sheet": {func(s *staged.Scene) { s.Sheets[0].At[0] -= 60 }, "touches the sheet", false, 0},
	} {
		s := staged.Random(c.seed, 640)
		c.change(s)
		r, err := Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
		require.NoError(t, err, name)
		said := slices.IndexFunc(r.Problems, func(p Problem) bool { return strings.Contains(p.String(), c.say) })
		require.GreaterOrEqual(t, said, 0, "%s: %v", name, r.Problems)
		require.Equal(t, c.whole, r.Problems[said].Number == 0, name)
		require.Equal(t, !c.whole && name != "holey" && name != "a black scrap's shadow", r.Problems[said].LeftOut, name)
		require.Greater(t, len(r.Scraps), 4, "%s: %v", name, r.Problems)
		if name == "far" {
			require.Regexp(t, "number.* so small or narrow in the picture that its area may be off by up to [2-9]", fmt.Sprint(r.Problems))
		}
	}
}

// Spots on plain cloth are holes, and said to be stains; a print's are not.
func TestStains(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	s := staged.Random(0, 800)
	mid, _ := within([][]orb.Point{s.Scraps[0].Outline})
	var stain orb.Ring
	for i := range 40 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 40)
		stain = append(stain, orb.Point{mid[0] + 11*cos, mid[1] + 7*sin})
	}
	require.Equal(t, staged.PlainWeave, s.Scraps[0].Cloth.Weave)
	s.Scraps[0].Stains = []orb.Ring{stain}
	traced, err := trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.NoError(t, err)
	r := traced.out
	said := slices.IndexFunc(r.Problems, func(p Problem) bool { return strings.Contains(p.What, "taken for a stain") })
	require.GreaterOrEqual(t, said, 0, "%v", r.Problems)
	require.False(t, r.Problems[said].LeftOut)
	holes, cut := 0, 0
	for _, c := range s.Scraps {
		cut += len(c.Holes)
	}
	for _, c := range r.Scraps {
		holes += len(c.Holes)
		if c.Number != r.Problems[said].Number {
			continue
		}
		require.Len(t, c.Holes, 1+len(s.Scraps[0].Holes))
		got := c.Holes[len(c.Holes)-1]
		var truth []orb.Point
		for _, q := range stain {
			truth = append(truth, traced.view.ground(s.Camera.Point(q, s.Width, s.Height)))
		}
		require.Less(t, farthest(truth, got), 3.0)
		require.Less(t, farthest(got, truth), 3.0)
	}
	require.Equal(t, cut+1, holes)
}

// Without a sheet, or without a ground, there is nothing to go by.
func TestTraceRefuses(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	s := staged.Random(0, 640)
	s.Sheets = nil
	_, err := Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.ErrorContains(t, err, "--scale-sheet")
	require.NotContains(t, err.Error(), "too dark")
	s.BlurPx = 4
	_, err = Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.ErrorContains(t, err, "blurred")
	s.BlurPx, s.Light.Level = 0.8, 0.05
	_, err = Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.ErrorContains(t, err, "too dark")
	// A scrap so near the sheet that in a blur they are one.
	s = staged.Random(8, 640)
	s.Sheets[0].At[0] -= 8
	s.BlurPx = 4
	if r, err := Trace(t.Context(), newPicture(s.Picture(), 1), Options{}); err != nil {
		require.ErrorContains(t, err, "nothing near it")
	} else {
		for _, c := range r.Scraps {
			require.Less(t, c.UncertainMM, mostUncertainMM)
		}
	}
	noise := image.NewGray(image.Rect(0, 0, 320, 240))
	r := rand.New(rand.NewPCG(1, 2))
	for i := range noise.Pix {
		noise.Pix[i] = uint8(r.IntN(256))
	}
	_, err = Trace(t.Context(), newPicture(noise, 1), Options{})
	require.Error(t, err)
}

// A scale sheet that a printer made smaller to fit the page is found out by its
// paper, and one that it did not is not.
func TestPrintedScale(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	for name, c := range map[string]struct {
		scene  uint64
		points int
		scale  float64
		sheet  refusal
	}{
		"at 95 %":                   {0, 800, 0.95, refused},
		"at 100 %":                  {0, 800, 1, taken},
		"at 95 % on a light ground": {700, 1600, 0.95, unseen},
	} {
		s := staged.Random(c.scene, c.points)
		s.Sheets[0].Scale = c.scale
		r, err := Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
		if c.sheet == refused {
			require.ErrorContains(t, err, "printed at about 9", name)
			require.Regexp(t, "printed at about 9[456] %", err.Error())
			continue
		}
		require.NoError(t, err, name)
		require.Equal(t, c.sheet == unseen, r.PrintUnseen, name)
	}
}

// refusal is what becomes of a scale sheet.
type refusal int

const (
	taken refusal = iota
	unseen
	refused
)

// Two plain sheets bear each other out and are both used; white cloth of nearly a
// sheet's shape beside one does not, and nobody can tell which is the sheet.
func TestTwoPlainSheets(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	s := staged.Random(1, 800)
	s.Scraps, s.BlurPx = nil, 0.8
	lay := func(i int, x float64) staged.Sheet {
		return staged.Sheet{Paper: scalesheet.Papers[i], Plain: true, Pose: staged.Pose{At: orb.Point{x, -150}, TurnDeg: 5}}
	}
	s.Sheets = []staged.Sheet{lay(0, -330), lay(1, 120)}
	r, err := Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.NoError(t, err)
	require.Equal(t, 2, r.Sheets)
	require.Equal(t, "a4 and letter", r.Plain)

	s.Sheets = s.Sheets[:1]
	s.Scraps = []staged.Scrap{{
		Outline: orb.Ring{{120, -150}, {321, -150}, {321, 140}, {120, 140}, {120, -150}},
		Cloth:   staged.Cloth{Weave: staged.PlainWeave, Colours: [3][3]float64{{0.85, 0.85, 0.84}}, RepeatMM: 1},
	}}
	_, err = Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.ErrorContains(t, err, "cannot all be one")

	// Its corners are not square: that is no paper.
	s.Scraps[0].Outline = orb.Ring{{120, -150}, {321, -150}, {345, 140}, {144, 140}, {120, -150}}
	r, err = Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.NoError(t, err)
	require.Equal(t, "a4", r.Plain)
	require.Len(t, r.Scraps, 1)
}
