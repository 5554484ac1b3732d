package main

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"eke/cmd/job"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// rake is a way to split that nothing knows of but this file: a straight seam
// that rises to the right by a tenth of its run.
type rake struct{}

const rakeRise = 0.1

func (rake) Kind() string              { return "rake" }
func (rake) Sides() (near, far string) { return "upper", "lower" }

func (r rake) Line(b *split.Body, levelMM float64) curve.Path {
	left, right := b.Lo[0]-10, b.Hi[0]+10
	return curve.Polyline(b.Frame.At(left, levelMM-rakeRise*left), b.Frame.At(right, levelMM-rakeRise*right))
}

func (rake) LevelOf(b *split.Body, q orb.Point) float64 {
	across, down := b.Frame.Place(q)
	return down + rakeRise*across
}

// Spans is the levels at which the line cuts in two, looked at every 2 mm.
func (r rake) Spans(b *split.Body) []split.Span {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range b.Ring {
		lo, hi = math.Min(lo, r.LevelOf(b, q)), math.Max(hi, r.LevelOf(b, q))
	}
	var out []split.Span
	open := false
	for level := lo + 2*split.LeastPartMM; level <= hi-2*split.LeastPartMM; level += 2 {
		cuts := len(split.Chords(b.Outline, r.Line(b, level))) == 1
		switch {
		case cuts && open:
			out[len(out)-1].Hi = level
		case cuts:
			out = append(out, split.Span{Lo: level, Hi: level})
		}
		open = cuts
	}
	return out
}

func (rake) Welcome(*split.Body) []float64                  { return nil }
func (rake) Traits() split.Traits                           { return split.Traits{Runs: split.Across, Plain: true} }
func (r rake) KindAt(*split.Body, float64) string           { return r.Kind() }
func (rake) Called(string, curve.Path, *piece.Piece) string { return "raked seam" }
func (rake) Instead(*split.PiecingSeam) []split.Way         { return nil }
func (rake) Cost(s *split.PiecingSeam, _ *piece.Piece) ([]split.Term, bool) {
	return []split.Term{{Name: "rake", Detail: "seam " + s.Name + " rises", Points: 0.25}}, true
}

// A new way to split is one file: this one's seams are searched for, priced,
// named, proved, drawn and reported with no other file touched.
func TestANewWayToSplitIsOneFile(t *testing.T) {
	split.Register(rake{})
	out := filepath.Join(t.TempDir(), "out")
	var stdout, stderr bytes.Buffer
	root := newRoot()
	root.SetArgs([]string{"plan", sample(t, "tshirt.svg"), sample(t, "scraps.csv"), "--cut", "back, sleeve, neckband", "--seams", "rake", "--options", "1", "-o", out})
	root.SetOut(&stdout)
	root.SetErr(&stderr)
	require.NoError(t, root.ExecuteContext(context.Background()), stderr.String())
	require.Contains(t, stdout.String(), "raked seam")
	d, err := job.ReadPlan(filepath.Join(out, job.PlanFile))
	require.NoError(t, err)
	require.Len(t, d.Options, 1)
	o := d.Options[0]
	require.NotEmpty(t, o.PiecingSeams)
	for _, s := range o.PiecingSeams {
		require.Equal(t, "rake", s.Kind)
		require.Equal(t, "down, toward the lower part", s.Press)
		from, to := s.Line[0], s.Line[len(s.Line)-1]
		require.InDelta(t, -rakeRise, (to[1]-from[1])/(to[0]-from[0]), 1e-6)
	}
	var names []string
	for _, term := range o.Cost {
		names = append(names, term.Name)
	}
	require.Contains(t, names, "rake")
	require.Contains(t, names, "left and right differ")
	report, err := os.ReadFile(filepath.Join(out, job.ReportFile))
	require.NoError(t, err)
	require.Contains(t, string(report), "raked seam")
	require.FileExists(t, filepath.Join(out, "option-1", "front-upper.svg"))
}
