package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Names of pieces and edges may have spaces in them, as a join has between its edges.
func TestWordsOfJoins(t *testing.T) {
	m := &MovedSeam{Join: "skirt front/upper waist front band/lower edge", From: "skirt front", To: "front band"}
	from, to := m.Edges()
	require.Equal(t, []string{"upper waist", "lower edge"}, []string{from, to})
	require.Equal(t, "skirt front/upper waist to front band/lower edge", m.Words())
	from, to = (&MovedSeam{Join: m.Join, From: "front band", To: "skirt front"}).Edges()
	require.Empty(t, from+to, "the edge of From comes first")

	pieces := []StripedPiece{{Piece: "panel"}, {Piece: "front panel"}, {Piece: "back panel"}}
	meet, _ := meetWords([]StripeMeet{{Join: "front panel/side back panel/side", Lines: 2, Meet: 2}}, pieces)
	require.Equal(t, []string{"front panel/side to back panel/side"}, meet)
	meet, _ = meetWords([]StripeMeet{{Join: "side front/princess front/princess", Lines: 2, Meet: 2}}, []StripedPiece{{Piece: "front"}, {Piece: "side front"}})
	require.Equal(t, []string{"side front/princess to front/princess"}, meet)

	c := &Carried{Seams: []string{"A", "B"}, TurnDeg: 20, TurnsAt: "left front/side back/side", Meets: []CarriedMeet{{Join: [2]string{"left front/side", "back/side"}}}}
	require.Contains(t, c.Words(), "(left front/side to back/side)")
}
