package soak

import (
	"bytes"
	"context"
	"testing"

	"eke/piece/race"
	"eke/split/search"
	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// The same input and seed give the very same document, to the byte, on any
// number of workers, as long as time does not run out; and on one, in split/search.
func TestSameDocumentOnAnyNumberOfWorkers(t *testing.T) {
	t.Parallel()
	for name, s := range map[string]setting{
		"blouse":  {Seed: 3, Garment: "blouse.svg", Rectangles: 14, Counts: true, Ragged: true, DartReachMM: 15},
		"raglan":  {Seed: 5, Garment: "raglan-child.svg", Rectangles: 9, Holes: 1, Keep: 1},
		"t-shirt": {Seed: 7, Garment: "t-shirt", Puzzle: puzzle.Rules{Seams: 1, SlackMM: 25, Decoys: 2, GapMM: 3, TurnDeg: 2}, Joins: true, Notches: 3},
		"vest":    {Seed: 8, Garment: "vest", Puzzle: puzzle.Rules{Seams: 2, SlackMM: 40, Share: 0.5, GapMM: 3, TurnDeg: 1}, Turned: true, Nap: true},
	} {
		t.Run(name, func(t *testing.T) {
			if race.On || testing.Short() {
				t.Skip("takes a while, and minutes under the race detector")
			}
			t.Parallel()
			s.MaxSeams, s.AllowanceMM, s.GapMM, s.ToleranceDeg = 3, 10, 3, 2
			if s.Keep == 0 {
				s.Keep = 3
			}
			var first string
			for _, workers := range []int{2, 8} {
				s.Workers = workers
				pieces, scraps, err := s.draw()
				require.NoError(t, err)
				res, err := search.Run(context.Background(), pieces, scraps, s.options())
				require.NoError(t, err)
				require.True(t, res.Settled)
				var b bytes.Buffer
				require.NoError(t, s.document(res, scraps).Write(&b))
				if first == "" {
					first = b.String()
					t.Logf("%d plans", len(res.Plans))
				}
				require.Equal(t, first, b.String(), "%d workers", workers)
			}
		})
	}
}
