package check

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// Of an edge that two seams cut less than marks may be off apart, the bit
// between them is put back in its place, in whatever order its parts come.
func TestShortBitsAreRejoined(t *testing.T) {
	for _, bitMM := range []float64{0.01, 0.0846, 0.0999, 0.2} {
		stops := []float64{0, 40, 40 + bitMM, 100}
		for _, order := range [][]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
			t.Run(fmt.Sprint(bitMM, order), func(t *testing.T) {
				piece := new(pieceProof)
				var edges []edgeAt
				for _, k := range order {
					from, to := stops[k], stops[k+1]
					seam := drawnEdge{Edge: &plan.Edge{Seam: "A"}}
					bit := drawnEdge{Edge: &plan.Edge{Name: "side"}, line: []point{{from, 0}, {to, 0}}, lengthMM: to - from}
					part := &partProof{Part: new(plan.Part), label: fmt.Sprint(k), piece: piece, edges: []drawnEdge{seam, bit, seam}}
					switch k {
					case 0:
						part.edges[0].Edge = &plan.Edge{Name: "hem"}
					case 2:
						part.edges[2].Edge = &plan.Edge{Name: "hem"}
					}
					edges = append(edges, edgeAt{part, 1})
				}
				runs := rejoined(edges)
				require.Len(t, runs, 1)
				require.InDelta(t, 100, runs[0].lengthMM, 1e-9)
				require.Equal(t, "0", runs[0].first.part.label)
				require.Equal(t, "2", runs[0].last.part.label)
			})
		}
	}
}

// A piece may have a name of two words, and so may an edge.
func TestNamesWithSpacesInAMovedSeam(t *testing.T) {
	for _, words := range [][]string{{"front", "left front"}, {"back", "upper back panel"}, {"shoulder", "right shoulder"}} {
		data, err := json.Marshal(shoulders(t))
		require.NoError(t, err)
		var d plan.Document
		require.NoError(t, json.Unmarshal([]byte(strings.ReplaceAll(string(data), words[0], words[1])), &d))
		require.Empty(t, Document(&d), words[1])
		d.Options[0].MovedSeams[0].ToLengthMM += 0.2
		require.NotEmpty(t, Document(&d), words[1])
	}
}
