package job

import (
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

func TestSelfSeamNote(t *testing.T) {
	t.Parallel()
	pattern := func(centreBack ...piece.Ref) []*piece.Piece {
		waist := func(of ...string) (out []piece.Ref) {
			for _, name := range of {
				out = append(out, piece.Ref{Piece: name, Edge: "waist"})
			}
			return out
		}
		return []*piece.Piece{
			{Name: "band", Count: 1, Outline: piece.Outline{{Name: "waist", Joins: waist("front", "back", "back", "front")}}},
			{Name: "front", Count: 2, Mirrored: true, Outline: piece.Outline{{Name: "waist", Joins: waist("band")}}},
			{Name: "back", Count: 2, Mirrored: true, Outline: piece.Outline{{Name: "centre-back", Joins: centreBack}}},
		}
	}
	require.Contains(t, selfSeamNote(pattern()), "waist of band goes along both copies of back")
	require.Empty(t, selfSeamNote(pattern(piece.Ref{Piece: "back", Edge: "centre-back"})))
	require.Empty(t, selfSeamNote(pattern()[1:]))
}
