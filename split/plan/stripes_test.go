package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A sleeve whose first line would run too near to the top of its cap has a deeper stripe
// there, and a little of one at its end: both are told, and what a piece cuts short at its
// top is not.
func TestStripesOfAnotherDepthAreTold(t *testing.T) {
	t.Parallel()
	band := func(look string, from, to float64) StripeBand { return StripeBand{Look: look, FromMM: from, ToMM: to} }
	front := StripedPiece{Piece: "front", Copy: 1, Bands: []StripeBand{band("navy", 20, 130), band("cream", 130, 290), band("navy", 290, 450), band("cream", 450, 600)}}
	sleeve := []StripeBand{band("cream", 20, 198.3), band("navy", 198.3, 358.3), band("cream", 358.3, 518.3), band("navy", 518.3, 540)}
	s := &Stripes{Lead: "front", Looks: []string{"navy", "cream"}, DepthsMM: []float64{160, 160}, Pieces: []StripedPiece{front, {Piece: "sleeve", Copy: 1, Bands: sleeve}, {Piece: "sleeve", Copy: 2, Bands: sleeve}}}
	require.Equal(t, []string{"stripe 1 from the top of sleeve (cream) is 178 mm deep", "stripe 4 from the top of sleeve (navy) is 22 mm deep"}, s.OtherDepths())
	require.Contains(t, s.Words(), "; of another depth: stripe 1 from the top of sleeve (cream) is 178 mm deep, stripe 4")
	s.Pieces = s.Pieces[:1]
	require.Empty(t, s.OtherDepths())
	require.NotContains(t, s.Words(), "another depth")
	s.Pieces[0].Bands[1] = StripeBand{FromMM: 130, ToMM: 200} // a row of blocks
	require.Empty(t, s.OtherDepths())
	s.Looks, s.DepthsMM = []string{"navy", "cream", "navy"}, []float64{160, 160, 70}
	s.Pieces[0].Bands = []StripeBand{band("cream", 0, 160), band("navy", 160, 230), band("navy", 230, 330), band("cream", 330, 400)}
	require.Equal(t, []string{"stripe 3 from the top of front (navy) is 100 mm deep", "stripe 4 from the top of front (cream) is 70 mm deep"}, s.OtherDepths())
}
