package job

import (
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

func TestNapNote(t *testing.T) {
	pieces := []*piece.Piece{{Name: "front", GrainDeg: 90}, {Name: "back", GrainDeg: 270}, {Name: "binding", GrainDeg: 45}, {Name: "cuff", GrainDeg: -85}}
	smooth, velvet := piece.Scrap{}, piece.Scrap{Nap: true}
	require.Empty(t, napNote(pieces, []piece.Scrap{smooth}))
	require.Empty(t, napNote(nil, []piece.Scrap{velvet}))
	require.Empty(t, napNote([]*piece.Piece{pieces[0], pieces[2]}, []piece.Scrap{velvet}))
	require.Contains(t, napNote(pieces, []piece.Scrap{smooth, velvet}), "on back, cuff than on front:")
}
