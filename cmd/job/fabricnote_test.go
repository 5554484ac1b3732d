package job

import (
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

func TestFabricsThatWerePerhapsMeant(t *testing.T) {
	t.Parallel()
	const cure = ": if that will do, write it as the fabric in the pattern; a fabric counts as it is written"
	pile := []piece.Scrap{{Name: "sleeve", Fabric: "navy rib"}, {Name: "hem", Fabric: "grey rib"}, {Name: "cuff", Fabric: "navy rib"}, {Name: "ecru jersey"}}
	for name, c := range map[string]struct {
		asks []string
		want string
	}{
		"words of it":     {[]string{"rib"}, "no scrap is of rib, but there is navy rib, grey rib" + cure},
		"as written":      {[]string{"Navy Rib"}, ""},
		"from a name":     {[]string{"jersey"}, ""},
		"misspelt":        {[]string{"navi rib"}, "no scrap is of navi rib, but there is navy rib" + cure},
		"another":         {[]string{"wool"}, ""},
		"one of two":      {[]string{"wool", "grey"}, "no scrap is of grey, but there is grey rib" + cure},
		"more words":      {[]string{"fine navy rib"}, ""},
		"part of a word":  {[]string{"ri"}, ""},
		"each of several": {[]string{"navy", "grey"}, "no scrap is of navy, but there is navy rib; no scrap is of grey, but there is grey rib" + cure},
	} {
		require.Equal(t, c.want, fabricNote([]*piece.Piece{{Fabrics: c.asks}, {Fabrics: c.asks}}, pile), name)
		require.Empty(t, fabricNote([]*piece.Piece{{Fabrics: c.asks, Ready: true}}, pile), name)
	}
}
