package search

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search/puzzle"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
)

var movedSeeds = flag.Int("moved-seeds", 10, "how many garments and rectangles get their seams moved")

// However seams are moved within some ranges, each copy has what is certain of it, and
// reaches no further than is said.
func TestMovedCopiesHaveWhatIsCertain(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	for seed := range *movedSeeds {
		rng := rand.New(rand.NewPCG(uint64(seed), 0))
		garment := []string{"t-shirt", "vest", "raglan"}[rng.IntN(3)]
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
	}
}

// sewnRectangle is a rectangle of which one edge is sewn to another piece's, and may be
// moved there.
func sewnRectangle(t require.TestingT, name string, w, h float64, edge int, to string) *piece.Piece {
	p := rectangle(t, name, w, h)
	for i := range p.Outline {
		p.Outline[i].Name = []string{"top", "right", "hem", "left"}[i]
	}
	at, on, _ := strings.Cut(to, "/")
	p.Outline[edge].Joins = []piece.Ref{{Piece: at, Edge: on}}
	return p
}

// What is said of two rectangles, a strip of either of which may go over to the other, is
// proved, however wide the strip; and no more than that.
func TestFewestWhereASeamMayBeMoved(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	copies := split.Copies([]*piece.Piece{sewnRectangle(t, "front", 150, 200, 1, "back/left"), sewnRectangle(t, "back", 150, 200, 3, "front/right")})
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1, Kinds: []string{"right", "left", "yoke"}}
	require.Len(t, split.Moves(copies), 2)
	proved := func(seams int, pile ...piece.Scrap) bool { return provedAtLeast(t.Context(), copies, pile, o, seams) }
	whole := sheet("whole", 180, 230)
	require.True(t, proved(1, whole, sheet("narrow", 140, 230)))
	for _, mm := range []float64{3, 20, 60} { // a strip saves a seam
		require.False(t, proved(1, sheet("wide", 171+mm, 221), sheet("narrow", 171-mm, 221)), "%g", mm)
	}
	require.True(t, proved(1, sheet("wide", 180, 221), sheet("narrow", 149, 221)))
	require.False(t, proved(1, sheet("wide", 258, 221), sheet("narrow", 91, 221)))
	require.True(t, proved(1, sheet("wide", 300, 221), sheet("narrow", 85, 221)), "a seam is not moved so far")

	d := settledDocument(copies, []piece.Scrap{sheet("wide", 180, 221), sheet("narrow", 149, 221)}, o)
	proof, err := check.NewAtLeastProof(d, o.Kinds)
	require.NoError(t, err)
	said := AtLeast(t.Context(), copies, []piece.Scrap{sheet("wide", 180, 221), sheet("narrow", 149, 221)}, o, 1, proof)
	require.NotNil(t, said)
	require.Greater(t, len(said.Moved), 2)
	text, err := json.Marshal(said)
	require.NoError(t, err)
	spoilt := func(spoil func(a *plan.AtLeast)) []check.Fault {
		d.AtLeast = nil
		require.NoError(t, json.Unmarshal(text, &d.AtLeast))
		spoil(d.AtLeast)
		return check.AtLeast(t.Context(), d)
	}
	require.Empty(t, spoilt(func(*plan.AtLeast) {}))
	require.NotEmpty(t, spoilt(func(a *plan.AtLeast) { a.Cannot, a.Cases, a.Moved = a.Moved[0].Cannot, a.Moved[0].Cases, nil }))
	require.NotEmpty(t, spoilt(func(a *plan.AtLeast) { a.Moved[0].Ranges = append(a.Moved[0].Ranges, a.Moved[0].Ranges[0]) }))
	for i, m := range said.Moved {
		for name, spoil := range map[string]func(a *plan.AtLeast){
			"left out":              func(a *plan.AtLeast) { a.Moved = slices.Delete(a.Moved, i, i+1) },
			"of other pieces":       func(a *plan.AtLeast) { a.Moved[i].Ranges[0].From = "sleeve/cap" },
			"of a line that stays":  func(a *plan.AtLeast) { a.Moved[i].Ranges[0].From = "front/hem" },
			"nothing cannot lie":    func(a *plan.AtLeast) { a.Moved[i].Cannot = nil },
			"no case":               func(a *plan.AtLeast) { a.Moved[i].Cases = nil },
			"the way round":         func(a *plan.AtLeast) { r := &a.Moved[i].Ranges[0]; r.From, r.To, r.LeastMM = r.To, r.From, r.LeastMM+1 },
			"of less":               func(a *plan.AtLeast) { a.Moved[i].Ranges[0].MostMM -= 1 },
			"of more":               func(a *plan.AtLeast) { a.Moved[i].Ranges[0].LeastMM += 1 },
			"of all":                func(a *plan.AtLeast) { a.Moved[i].Ranges = nil },
			"tapers, and is even":   func(a *plan.AtLeast) { r := &a.Moved[i].Ranges[0]; r.Even, r.Stays = true, "top" },
			"tapers at the far end": func(a *plan.AtLeast) { a.Moved[i].Ranges[0].Stays = "left" },
		} {
			if name == "the way round" && m.Ranges[0].MostMM == 0 || name == "nothing cannot lie" && len(m.Cannot) == 0 {
				continue
			}
			require.NotEmpty(t, spoilt(spoil), "%s: %v", name, m.Ranges)
		}
	}
}

// Of rectangles and scraps drawn at random, no plan is ruled out in which a strip of the one
// went over to the other and both lie whole, or one is cut.
func TestMovedRectanglesAreNotRuledOut(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	for seed := range *movedSeeds {
		rng := rand.New(rand.NewPCG(uint64(seed), 1))
		side := func() float64 { return float64(100 + rng.IntN(100)) }
		w, v, h := side(), side(), side()
		copies := split.Copies([]*piece.Piece{sewnRectangle(t, "front", w, h, 1, "back/left"), sewnRectangle(t, "back", v, h, 3, "front/right")})
		moves := split.Moves(copies)
		require.Len(t, moves, 2)
		shapes := moves[rng.IntN(2)].Shapes(copies)
		m := shapes[rng.IntN(len(shapes))]
		m.ByMM = split.LeastMoveMM + rng.Float64()*60
		moved, err := m.Apply(copies)
		require.NoError(t, err)
		o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1, Kinds: []string{"right", "left", "yoke"}}
		var pile []piece.Scrap
		seams := 0
		for i, p := range moved {
			outlines := []piece.Outline{p.Outline}
			if i == 0 && rng.IntN(4) == 0 {
				b := split.NewBody(p, p.Outline)
				near, far, _, err := split.Cut(p.Outline, split.Yoke{}.Line(b, h*0.4), split.Seam{Name: "A", AllowanceMM: 10})
				require.NoError(t, err)
				outlines, seams = []piece.Outline{near, far}, 1
			}
			for k, outline := range outlines {
				line, err := split.CutLine(p, outline)
				require.NoError(t, err)
				grown, err := geom.Buffer(polygonOf(line), []float64{0.01, 2}[rng.IntN(2)])
				require.NoError(t, err)
				pile = append(pile, cloth(fmt.Sprint("scrap ", i, k), outerRing(grown)...))
			}
		}
		ctx, cancel := context.WithTimeout(t.Context(), 2*time.Second)
		defer cancel()
		require.False(t, provedAtLeast(ctx, copies, pile, o, seams+1), "seed %d: %v, %v", seed, m, pile)
	}
}
