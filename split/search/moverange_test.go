package search

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search/puzzle"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// However seams are moved within some ranges, each copy has what is certain of it, and
// reaches no further than is said.
func TestMovedCopiesHaveWhatIsCertain(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		garment := rapid.SampledFrom([]string{"t-shirt", "vest", "raglan"}).Draw(t, "garment")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		pieces, err := puzzle.Garment(garment, 0.75+0.4*rng.Float64(), rng)
		require.NoError(t, err)
		puzzle.Sew(garment, pieces)
		copies := split.Copies(pieces)
		d := settledDocument(copies, []piece.Scrap{sheet("s", 900, 900)}, Options{AllowanceMM: 10, GapMM: 3})
		proof, err := check.NewAtLeastProof(d, nil)
		require.NoError(t, err)
		moves := split.Moves(copies)
		for _, m := range moves {
			require.True(t, slices.ContainsFunc(proof.Moves(), func(r plan.MoveRange) bool {
				return r.From == m.From.String() && r.To == m.To.String()
			}), "%v", m)
		}
		var ranges []plan.MoveRange
		moved := copies
		var made []split.Move
		seams := map[string]bool{}
		for _, k := range rng.Perm(len(moves)) {
			m := moves[k]
			if seams[m.From.String()] || rng.IntN(3) == 0 {
				continue
			}
			seams[m.From.String()], seams[m.To.String()] = true, true
			shapes := m.Shapes(copies)
			m = shapes[rng.IntN(len(shapes))]
			m.ByMM = split.LeastMoveMM + rng.Float64()*rng.Float64()*(split.MostMoveMM-split.LeastMoveMM)
			next, err := m.Apply(moved)
			if err != nil {
				continue
			}
			moved, made = next, append(made, m)
			if rng.IntN(4) == 0 {
				continue // any
			}
			r := plan.MoveRange{From: m.From.String(), To: m.To.String(), MostMM: m.ByMM + rng.Float64()*20}
			if rng.IntN(4) > 0 {
				r.LeastMM = math.Max(split.LeastMoveMM, m.ByMM-rng.Float64()*20*float64(rng.IntN(2)))
			}
			if rng.IntN(2) == 0 {
				r.Even, r.Stays = m.Stays == "", m.Stays
			}
			ranges = append(ranges, r)
		}
		for _, m := range moves {
			if !seams[m.From.String()] && rng.IntN(2) == 0 {
				seams[m.From.String()], seams[m.To.String()] = true, true
				ranges = append(ranges, plan.MoveRange{From: m.From.String(), To: m.To.String()})
			}
		}
		for i, p := range moved {
			outline, reach, key := proof.Sure(ranges, plan.CopyOf{Piece: p.Name, Copy: p.Copy})
			if key == "" {
				require.Equal(t, copies[i].Outline.Ring(), p.Outline.Ring(), "%s", p.ID())
			}
			require.NotEqual(t, "unknown", key, "%v", ranges)
			if len(outline) == 0 {
				continue
			}
			var sure orb.Ring
			for _, q := range outline {
				sure = append(sure, orb.Point(q))
			}
			// What of it is not there is a hair wide.
			rest, err := geom.Difference(polygonOf(sure), polygonOf(p.Outline.Ring()))
			require.NoError(t, err)
			rest, err = geom.Buffer(rest, -0.15)
			require.NoError(t, err)
			require.Less(t, rest.Area(), 0.01, "%s of %s %v within %v, %s", p.ID(), garment, made, ranges, rest.AsText())
			bound := copies[i].Outline.Ring().Bound()
			for _, q := range reach {
				bound = bound.Extend(orb.Point(q))
			}
			out := p.Outline.Ring().Bound()
			require.True(t, bound.Pad(3).Contains(out.Min) && bound.Pad(3).Contains(out.Max), "%s reaches to %v and not %v: %v within %v", p.ID(), out, bound, made, ranges)
		}
	})
}

var _ = planar.Area
var _ = plane.Area
