package photo

import (
	"flag"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"eke/piece/photo/staged"

	"github.com/stretchr/testify/require"
)

var (
	stagedCount = flag.Int("staged", 0, "trace so many staged pictures and print how far off the outlines are")
	stagedFirst = flag.Int("first", 0, "the seed of the first of them")
	stagedSide  = flag.Int("side", 2400, "points on the longer side of each")
)

func sorted(v []float64) []float64 { return slices.Sorted(slices.Values(v)) }

// Two small pictures: with a scale sheet and scraps that touch, and with a plain
// sheet and a scrap that is cut off.
func TestTrace(t *testing.T) {
	for _, seed := range []uint64{4, 8} {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			got := sit(staged.Random(seed, 1000))
			require.NoError(t, got.err)
			require.Zero(t, got.extra)
			require.Zero(t, got.unsaid)
			require.Greater(t, len(got.verdicts), 6)
			for _, v := range got.verdicts {
				require.True(t, v.traced, "%+v", v)
				require.Less(t, v.outside, 0.1, "%+v", v)
				require.Less(t, v.most, 2.0, "%+v", v)
				for _, h := range v.holes {
					require.Less(t, h, 3.0, "%+v", v)
				}
				if v.sizeMM > 100 {
					require.InDelta(t, 0, v.area, 0.015, "%+v", v)
				}
			}
		})
	}
}

// What is wrong with a picture is said, and the rest of it is traced.
func TestProblems(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(s *staged.Scene)
		say    string
		whole  bool // it is said of the picture as a whole
		seed   uint64
	}{
		"dark":   {func(s *staged.Scene) { s.Light.Level = 0.09 }, "too dark", true, 0},
		"bright": {func(s *staged.Scene) { s.Light.Level = 2 }, "burnt out", true, 0},
		"blur":   {func(s *staged.Scene) { s.BlurPx = 3.5 }, "blurred", true, 8},
		"far":    {func(s *staged.Scene) { s.Camera.HeightMM *= 1.35 }, "come nearer", true, 8},
		"alike": {func(s *staged.Scene) {
			g := s.Ground.Colour
			paler := [3]float64{1.3 * g[0], 1.3 * g[1], 1.3 * g[2]}
			s.Scraps[0].Cloth.Colours = [3][3]float64{paler, paler, paler}
		}, "too like the ground", false, 0},
		"on the sheet": {func(s *staged.Scene) { s.Sheets[0].At[0] -= 60 }, "touches the sheet", false, 0},
	} {
		s := staged.Random(c.seed, 640)
		c.change(s)
		r, err := Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
		require.NoError(t, err, name)
		said := slices.IndexFunc(r.Problems, func(p Problem) bool { return strings.Contains(p.String(), c.say) })
		require.GreaterOrEqual(t, said, 0, "%s: %v", name, r.Problems)
		require.Equal(t, c.whole, r.Problems[said].Number == 0, name)
		require.Equal(t, !c.whole, r.Problems[said].LeftOut, name)
		require.Greater(t, len(r.Scraps), 4, "%s: %v", name, r.Problems)
	}
}

// Without a sheet, or without a ground, there is nothing to go by.
func TestTraceRefuses(t *testing.T) {
	t.Parallel()
	s := staged.Random(0, 640)
	s.Sheets = nil
	_, err := Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.ErrorContains(t, err, "--scale-sheet")
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
	t.Parallel()
	for scale, refused := range map[float64]bool{0.95: true, 1: false} {
		s := staged.Random(0, 800)
		s.Sheets[0].Scale = scale
		_, err := Trace(t.Context(), newPicture(s.Picture(), 1), Options{})
		if refused {
			require.Error(t, err)
			require.Regexp(t, "printed at about 9[456] %", err.Error())
		} else {
			require.NoError(t, err)
		}
	}
}

// TestStaged measures the tracing of many staged pictures, or of as many as there
// is time for:
//
//	go test ./piece/photo -run TestStaged -staged 100 -v -timeout 60m
func TestStaged(t *testing.T) {
	if *stagedCount == 0 {
		t.Skip("takes minutes; ask for it with -staged 100")
	}
	var all []verdict
	var pictures, refused, extra, unsaid, said int
	end, limited := t.Deadline()
	for seed := *stagedFirst; seed < *stagedFirst+*stagedCount; seed++ {
		if limited && time.Until(end) < time.Minute {
			break
		}
		pictures++
		got := sit(staged.Random(uint64(seed), *stagedSide))
		if got.err != nil {
			refused++
			t.Logf("seed %d refused: %v", seed, got.err)
			continue
		}
		if got.extra+got.unsaid > 0 {
			t.Logf("seed %d: %d that are not, %d that touch or are cut off and were traced", seed, got.extra, got.unsaid)
		}
		extra, unsaid, said = extra+got.extra, unsaid+got.unsaid, said+got.said
		for _, v := range got.verdicts {
			all = append(all, v)
			if !v.traced || v.outside > 0.5 || v.worst > 4 || math.Abs(v.area) > 0.03 || slices.ContainsFunc(v.holes, func(h float64) bool { return h > 3 }) {
				t.Logf("seed %d: %+v", seed, v)
			}
		}
	}
	t.Logf("%d pictures, %d refused; %d scraps that are whole; %d traced that are not there; of those that touch or are cut off %d left out and %d traced", pictures, refused, len(all), extra, said, unsaid)
	for _, band := range [][2]float64{{0, 60}, {60, 150}, {150, 400}, {400, 1300}, {0, 1300}} {
		var worst, most, outside, area, drawn, said, holes []float64
		missed, lost := 0, 0
		for _, v := range all {
			if v.sizeMM < band[0] || v.sizeMM >= band[1] {
				continue
			}
			if !v.traced {
				missed++
				continue
			}
			worst, most, outside = append(worst, v.worst), append(most, v.most), append(outside, v.outside)
			area, drawn, said = append(area, math.Abs(v.area)), append(drawn, math.Abs(v.drawn)), append(said, v.said)
			for _, h := range v.holes {
				if math.IsInf(h, 1) {
					lost++
				} else {
					holes = append(holes, h)
				}
			}
		}
		q := func(v []float64) string {
			return fmt.Sprintf("%.2f %.2f %.2f", quantile(v, 0.5), quantile(v, 0.95), quantile(v, 1))
		}
		t.Logf("%4.0f to %4.0f mm: %d traced, %d missed; median, 95 %% and worst of: farthest point %s mm, 95 %% of the outline within %s mm, outside on average %s mm, area off %s, drawn off %s, said %s mm; %d holes off %s mm, %d lost",
			band[0], band[1], len(worst), missed, q(worst), q(most), q(outside), q(area), q(drawn), q(said), len(holes), q(holes), lost)
	}
}
