package svg

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/plane"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func patternFile(t *testing.T, file string) []*piece.Piece {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	pieces, err := Pattern(f, filepath.Base(file))
	require.NoError(t, err)
	return pieces
}

// The samples as other programs saved them (samples/roundtrip/README.md says
// which, and how) read as the originals do: the same pieces and edges, with
// lengths and notches to 0.01 mm.
func TestRoundTripThroughDrawingPrograms(t *testing.T) {
	files, err := filepath.Glob("../samples/roundtrip/*.svg")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 5)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			name := filepath.Base(file)
			want := patternFile(t, "../samples/"+name[:strings.LastIndexByte(name, '-')]+".svg")
			got := patternFile(t, file)
			require.Len(t, got, len(want))
			for i, w := range want {
				g := got[i]
				assert.Equal(t, w.Name, g.Name)
				assert.Equal(t, []any{w.Count, w.Mirrored, w.Fabrics, len(w.Darts), len(w.Levels), len(w.Keeps), w.Centre == nil},
					[]any{g.Count, g.Mirrored, g.Fabrics, len(g.Darts), len(g.Levels), len(g.Keeps), g.Centre == nil}, w.Name)
				if name != "tshirt-turned.svg" { // where the back was turned
					assert.InDelta(t, w.GrainDeg, g.GrainDeg, 0.01, w.Name)
				}
				assert.InDelta(t, plane.SignedArea(w.Outline.Ring()), plane.SignedArea(g.Outline.Ring()), 0.01*w.Outline.Length(), w.Name)
				require.Len(t, g.Outline, len(w.Outline), w.Name)
				for k, e := range w.Outline {
					f := g.Outline[k]
					assert.Equal(t, e.Name, f.Name)
					assert.Equal(t, e.Joins, f.Joins)
					assert.Equal(t, e.AllowanceMM, f.AllowanceMM)
					assert.InDelta(t, e.Line.Length(), f.Line.Length(), 0.01, "%s/%s", w.Name, e.Name)
					require.Len(t, f.Notches, len(e.Notches), "%s/%s", w.Name, e.Name)
					for n := range e.Notches {
						assert.Equal(t, e.Notches[n].Count, f.Notches[n].Count)
						assert.InDelta(t, e.Notches[n].AtMM, f.Notches[n].AtMM, 0.01, "%s/%s", w.Name, e.Name)
					}
				}
				for k, d := range w.Darts {
					if name != "tshirt-turned.svg" {
						assert.InDelta(t, d.Apex[0], g.Darts[k].Apex[0], 0.01)
						assert.InDelta(t, d.Apex[1], g.Darts[k].Apex[1], 0.01)
					}
				}
			}
		})
	}
}

// The samples read without a note: nothing in them is left to chance.
func TestSamplesReadWithoutNotes(t *testing.T) {
	for _, name := range []string{"tshirt", "raglan-child", "blouse"} {
		for _, p := range patternFile(t, "../samples/"+name+".svg") {
			assert.Empty(t, p.Notes)
		}
	}
	f, err := os.Open("../samples/scraps.svg")
	require.NoError(t, err)
	defer f.Close()
	pile, err := ReadScraps(f, "scraps.svg")
	require.NoError(t, err)
	assert.Len(t, pile, 8)
	for _, s := range pile {
		assert.Empty(t, s.Notes)
	}
}
