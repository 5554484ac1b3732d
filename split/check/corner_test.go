package check

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// A line that comes to a corner is on both edges there, however its level is rounded.
func TestStripeAtACorner(t *testing.T) {
	t.Parallel()
	for _, level := range []float64{100 - 1e-6, 100, 100 + 1e-6} {
		at := id{"front", 1}
		o := &optionProof{common: &common{pieces: map[id]*pieceProof{at: {Piece: &plan.Piece{Name: "front", GrainDeg: 90}, id: at, edges: []drawnEdge{
			{Edge: &plan.Edge{Name: "neck"}, line: []point{{0, 0}, {50, 100}}},
			{Edge: &plan.Edge{Name: "side"}, line: []point{{50, 100}, {50, 300}}},
			{Edge: &plan.Edge{Name: "centre"}, line: []point{{0, 300}, {0, 0}}},
		}}}}}
		p := &stripeProof{optionProof: o, Stripes: &plan.Stripes{Pieces: []plan.StripedPiece{{Piece: "front", Copy: 1, Bands: []plan.StripeBand{{Stripe: 1, ToMM: level}, {Stripe: 2, FromMM: level, ToMM: 300}}}}}}
		corner := map[string]bool{}
		for _, e := range p.ends() {
			corner[e.edge] = e.corner
		}
		require.Equal(t, map[string]bool{"front/neck": true, "front/side": true, "front/centre": false}, corner, "%v", level)
	}
}
