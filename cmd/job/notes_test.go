package job

import (
	"testing"

	"eke/piece"
	"eke/split/search"

	"github.com/stretchr/testify/require"
)

// A scrap of which no fabric is told, as one that was traced, needs one where the pieces
// ask for it; where they ask for a kind alone, that is not what is missing.
func TestIdleScrapsAreToldWhatIsMissing(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		asks  piece.Piece
		scrap piece.Scrap
		want  string
	}{
		"no fabric": {piece.Piece{Fabrics: []string{"lawn"}}, piece.Scrap{Name: "top 1"}, "no piece may be cut from top 1 (no fabric given): the pieces ask for lawn; say of each scrap what fabric it is"},
		"another":   {piece.Piece{Fabrics: []string{"lawn"}}, piece.Scrap{Name: "top 1", Fabric: "wool"}, "no piece may be cut from top 1 (fabric wool): the pieces ask for lawn"},
		"kind":      {piece.Piece{Kind: "knit"}, piece.Scrap{Name: "top 1", Kind: "woven"}, "no piece may be cut from top 1 (no fabric given, woven): the pieces ask for knit"},
		"serves":    {piece.Piece{Fabrics: []string{"lawn"}}, piece.Scrap{Name: "top 1", Fabric: "lawn"}, ""},
	} {
		require.Equal(t, c.want, idleNote([]*piece.Piece{&c.asks}, []piece.Scrap{c.scrap}, search.Options{}), name)
	}
}
