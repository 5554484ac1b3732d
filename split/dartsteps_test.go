package split

import (
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

// A seam that takes in darts says of each where it went.
func TestWhereDartsWent(t *testing.T) {
	t.Parallel()
	m := &Made{Plan: &Plan{Pieces: []*piece.Piece{{}}}}
	legs, closed := TakenDart{}, TakenDart{Closed: true}
	for says, taken := range map[string][]TakenDart{
		"": nil,
		" It takes in a dart (the outline): its legs are the seam's edges there, and no dart is left to sew.":                                                                    {legs},
		" It takes in a dart (the outline), which is closed in the paper: an edge of the seam is bent there, and no dart is left to sew.":                                        {closed},
		" It takes in 2 darts (the outline), which are closed in the paper: the seam's edges are bent there, and none of them is left to sew.":                                   {closed, closed},
		" It takes in 3 darts (the outline): the legs of 2 are the seam's edges there, the rest are closed in the paper, where its edges are bent; none of them is left to sew.": {legs, closed, legs},
	} {
		require.Equal(t, says, m.takes(&PiecingSeam{Taken: taken}))
	}
}
