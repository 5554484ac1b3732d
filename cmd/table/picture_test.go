package table

import (
	"strings"
	"testing"

	"eke/svg"
	"eke/svg/measure"

	"github.com/stretchr/testify/require"
)

// What a piece is sewn to is said once of edges of one name, and as the pattern writes it.
func TestWhatAPieceIsSewnTo(t *testing.T) {
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900">
		<g id="skirt front"><path class="seam" d="M 0,0 H 200 V 300 H 0 Z"/><path class="fold" d="M 0,0 V 300"/><path class="grain" d="M 50,50 V 200"/>
		<path class="edge side" data-joins="skirt back/side" d="M 200,0 V 300"/></g>
		<g id="skirt back"><path class="seam" d="M 300,0 H 500 V 300 H 300 Z"/><path class="grain" d="M 350,50 V 200"/><path class="edge side" d="M 500,0 V 300"/></g></svg>`), "p.svg")
	require.NoError(t, err)
	unit, err := measure.Parse("mm")
	require.NoError(t, err)
	facts := pieceViews(pieces, unit)[0].Facts
	require.Equal(t, "sewn side to skirt back/side", facts[len(facts)-1])
}
