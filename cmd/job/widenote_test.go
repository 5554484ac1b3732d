package job

import (
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

func TestWideNote(t *testing.T) {
	of := func(name string, mm float64) []*piece.Piece {
		return []*piece.Piece{{Name: "panel", Outline: piece.Outline{{Name: name, AllowanceMM: mm}}}}
	}
	require.Equal(t, "panel has an allowance of 15 cm; if you meant another, check its unit before you cut", wideNote(of("", 150)))
	require.Equal(t, "panel has an allowance of 20 cm at the hem; if you meant another, check its unit before you cut", wideNote(of("hem", 200)))
	for name, mm := range map[string]float64{"": 50, "side": 25, "hem": 120} {
		require.Empty(t, wideNote(of(name, mm)))
	}
	require.Empty(t, wideNote(nil))
}
