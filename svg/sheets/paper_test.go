package sheets

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// ISO 216, clause 3 (the clause from memory): A0 has an area of 1 m² and sides in the ratio 1:√2; each
// next size halves the longer side, rounded down to the millimetre.
func TestASizesAreISO216(t *testing.T) {
	a0 := papers["a0"]
	require.InDelta(t, 1, a0.WidthMM*a0.HeightMM/1e6, 1e-3)
	require.InDelta(t, math.Sqrt2, a0.HeightMM/a0.WidthMM, 1e-3)
	w, h := a0.WidthMM, a0.HeightMM
	for _, name := range []string{"a1", "a2", "a3", "a4"} {
		w, h = math.Floor(h/2), w
		require.Equal(t, Paper{name, w, h}, papers[name])
	}
}

// ANSI/ASME Y14.1: size A is 8.5 in × 11 in, size B 11 in × 17 in. Legal is
// 8.5 in × 14 in (from memory). An inch is 25.4 mm.
func TestInchSizes(t *testing.T) {
	require.Equal(t, Paper{"letter", 215.9, 279.4}, papers["letter"])
	require.InDelta(t, 279.4, papers["tabloid"].WidthMM, 1e-9)
	require.InDelta(t, 431.8, papers["tabloid"].HeightMM, 1e-9)
	require.InDelta(t, 355.6, papers["legal"].HeightMM, 1e-9)
}

func TestParsePaper(t *testing.T) {
	for s, want := range map[string]Paper{
		"A4": {"a4", 210, 297}, " letter ": papers["letter"],
		"914mm": {"roll of 914mm", 914, 0}, "36in": {"roll of 36in", 914.4, 0}, "91.4cm": {"roll of 91.4cm", 914, 0},
	} {
		got, err := ParsePaper(s)
		require.NoError(t, err, s)
		require.Equal(t, want.Name, got.Name)
		require.InDelta(t, want.WidthMM, got.WidthMM, 1e-9)
		require.InDelta(t, want.HeightMM, got.HeightMM, 1e-9)
	}
	for _, s := range []string{"", "a9", "914", "mm", "-5mm", "NaNmm", "1e9mm", "10mm", "914 yards"} {
		_, err := ParsePaper(s)
		require.Error(t, err, s)
	}
}
