package main

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"eke/cmd/job"

	"eke/split/check"

	"github.com/stretchr/testify/require"
)

// A band in three parts is joined at the shoulder seams where the cloth is long
// enough: as far from its middle as half the back's neck is long, by the document.
func TestBandIsJoinedAtTheShoulderSeams(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "pile.csv", clothFor("e,rib,10,70", "f,rib,10,70", "g,rib,10,70"))
	found(t, dir, "plan", sample(t, "cardigan.svg"), "pile.csv", "-o", "out", "--options", "1", "--cut", "front, back, sleeve")
	d := planIn(t, filepath.Join(dir, "out"))
	require.Empty(t, check.Document(d))
	var neck, middle float64
	for _, p := range d.Pieces {
		for _, e := range p.Edges {
			if p.Name == "back" && e.Name == "neck" {
				neck += e.LengthMM
			}
		}
		if p.Name == "band" {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, q := range p.SeamLine {
				lo, hi = math.Min(lo, q[0]), math.Max(hi, q[0])
			}
			middle = (lo + hi) / 2
		}
	}
	seams := d.Options[0].PiecingSeams
	require.Len(t, seams, 2)
	for _, s := range seams {
		require.Equal(t, "join at the shoulder seam", s.Why)
		require.InDelta(t, neck/2, math.Abs(s.Line[0][0]-middle), 1)
	}
	require.Less(t, (seams[0].Line[0][0]-middle)*(seams[1].Line[0][0]-middle), 0.0)
	require.Contains(t, strings.Join(strings.Fields(tree(t, filepath.Join(dir, "out"))[job.ReportFile]), " "), "join at the shoulder seam")
}
