package job

import (
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

func TestUnlikeNote(t *testing.T) {
	scrap := func(name, colour, look string) piece.Scrap {
		return piece.Scrap{Name: name, Colour: colour, Look: look}
	}
	navy, blue, cream, bare := scrap("left", "#1d2b4f", ""), scrap("top", "#26345c", ""), scrap("right", "#efe6d0", ""), scrap("middle", "", "")
	require.Contains(t, unlikeNote([]piece.Scrap{bare, navy, blue, cream}), "right and left are of unlike colours")
	require.Empty(t, unlikeNote([]piece.Scrap{navy, blue, bare}))
	require.Empty(t, unlikeNote([]piece.Scrap{navy, cream, scrap("bottom", "", "rib")}))
	require.Empty(t, unlikeNote([]piece.Scrap{bare}))
	require.Empty(t, unlikeNote(nil))
	require.Contains(t, unlikeNote([]piece.Scrap{scrap("left", "light pink", ""), scrap("right", "ink", "")}), "right and left are of unlike colours", "in the words that the pictures are drawn by")
	require.Empty(t, unlikeNote([]piece.Scrap{scrap("left", "darkgrey", ""), scrap("right", "charcoal", "")}))
	fleece := func(s piece.Scrap) piece.Scrap {
		s.Fabric = "fleece"
		return s
	}
	require.Contains(t, unlikeNote([]piece.Scrap{bare, fleece(navy), cream, fleece(cream)}), "right and left are of unlike colours, and both are fleece")
	require.Empty(t, unlikeNote([]piece.Scrap{fleece(navy), fleece(blue), cream}))
	require.Empty(t, unlikeNote([]piece.Scrap{fleece(navy), fleece(scrap("right", "#efe6d0", "cream"))}))
}
