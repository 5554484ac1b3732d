package main

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/cmd/job"

	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// pileIn reads a scraps file as eke does.
func pileIn(t testing.TB, path string) []piece.Scrap {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	pile, err := svg.ReadScraps(f, path)
	require.NoError(t, err)
	return pile
}

// byScrap is the area in mm² of a pile, by the name of the scrap that each bit
// is left of.
func byScrap(pile []piece.Scrap, of func(name string) string) map[string]float64 {
	out := map[string]float64{}
	for _, s := range pile {
		out[of(s.Name)] += s.AreaMM2() * math.Max(1, float64(s.Count))
	}
	return out
}

// taken is the area of the parts of an option and of what is only good for
// stuffing, by scrap.
func taken(d *plan.Document, o *plan.Option, of func(name string) string) map[string]float64 {
	out := map[string]float64{}
	for _, p := range o.Parts {
		var r orb.Ring
		for _, q := range p.CutLine {
			r = append(r, orb.Point(q))
		}
		out[of(p.Scrap)] += plane.Area(r)
	}
	for _, l := range o.Left {
		out[of(l.Scrap)] += l.StuffingMM2
	}
	return out
}

// A pile, a t-shirt, what is left, a raglan from that, and what is left then:
// every scrap's cloth is accounted for, and facts live on.
func TestWhatIsLeftDressesTheNext(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	csv, err := os.ReadFile(sample(t, "scraps.csv"))
	require.NoError(t, err)
	write(t, dir, "scraps.csv", strings.Replace(string(csv), "navy strip", "strip", 1))
	pile := append(pileIn(t, sample(t, "scraps.svg")), csvPile(t, filepath.Join(dir, "scraps.csv"))...)
	var names []string
	facts := map[string]piece.Scrap{}
	for _, s := range pile {
		names = append(names, s.Name)
		facts[s.Name] = s
	}
	of := func(bit string) string {
		longest := ""
		for _, n := range names {
			if (bit == n || strings.HasPrefix(bit, n+", ")) && len(n) > len(longest) {
				longest = n
			}
		}
		require.NotEmpty(t, longest, "%s is of no scrap", bit)
		return longest
	}
	found(t, dir, "plan", "-q", sample(t, "tshirt.svg"), sample(t, "scraps.svg"), "scraps.csv", "-o", "shirt", "--options", "1", "--time", "60s")
	found(t, dir, "plan", "-q", sample(t, "raglan-child.svg"), "shirt/option-1/left.svg", "-o", "raglan", "--options", "1", "--time", "60s")
	before := byScrap(pile, of)
	for _, garment := range []string{"shirt", "raglan"} {
		verified(t, filepath.Join(dir, garment))
		d := planIn(t, filepath.Join(dir, garment))
		left := pileIn(t, filepath.Join(dir, garment, "option-1", "left.svg"))
		cut, now := taken(d, &d.Options[0], of), byScrap(left, of)
		for _, name := range names {
			require.InDelta(t, before[name], cut[name]+now[name], 1, "%s after the %s", name, garment)
		}
		before = now
		for _, s := range left {
			was := facts[of(s.Name)]
			require.Equal(t, []any{was.Fabric, was.TheLook(), was.Kind, was.Use, was.Nap, was.BothFaces, was.Colour, was.Note}, []any{s.Fabric, s.TheLook(), s.Kind, s.Use, s.Nap, s.BothFaces, s.Colour, s.Note}, s.Name)
			require.InDelta(t, was.GrainDeg, s.GrainDeg, 1e-3, s.Name)
		}
	}
	require.Contains(t, tree(t, filepath.Join(dir, "raglan"))["report.html"], "option-1/left.svg")
}

// A part that is called left does not take the place of what is left.
func TestAPartCalledLeft(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "left.svg", shape("left", "M 0,0 H 200 V 280 H 0 Z"))
	found(t, dir, "plan", "-q", "left.svg", "--scrap", "7, linen: 30 x 40 cm", "-o", "out")
	require.Contains(t, tree(t, dir), filepath.FromSlash("out/option-1/left-2.svg"))
	left := pileIn(t, filepath.Join(dir, "out", "option-1", "left.svg"))
	require.Len(t, left, 1)
	require.Equal(t, "7", left[0].Name)
	require.Equal(t, "linen", left[0].Fabric)
	require.InDelta(t, 300*400-220*300, left[0].AreaMM2(), 0.1)
}

func csvPile(t testing.TB, path string) []piece.Scrap {
	t.Helper()
	pile, err := job.Scraps([]string{path}, nil)
	require.NoError(t, err)
	return pile
}
