package job

import (
	"testing"

	"eke/piece"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A slit as deep as a gusset's and narrower than its two allowances is said; a V that
// is wide, a right angle, and a slit without allowances are not.
func TestSlitNote(t *testing.T) {
	t.Parallel()
	back := func(widthMM, allowanceMM float64) *piece.Piece {
		p := shaped("back", 1, []string{"top", "side", "gusset-body", "gusset-sleeve", "underarm", "hem"},
			orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 200}, orb.Point{200, 200 + widthMM/2}, orb.Point{300, 200 + widthMM}, orb.Point{300, 600}, orb.Point{0, 600})
		for k := range p.Outline {
			p.Outline[k].AllowanceMM = allowanceMM
		}
		return p
	}
	require.Contains(t, slitNote([]*piece.Piece{back(15, 10)}), "straight across it, this far from its point: back, between gusset-body and gusset-sleeve, 1")
	require.Empty(t, slitNote([]*piece.Piece{back(120, 10)}), "wide")
	require.Empty(t, slitNote([]*piece.Piece{back(15, 0)}), "cut as it is sewn")
	require.Empty(t, slitNote([]*piece.Piece{shaped("l", 1, []string{""}, orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 300}, orb.Point{200, 300}, orb.Point{200, 100}, orb.Point{0, 100})}))
}
