package search

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/piece/race"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// How far a planted scrap reaches beyond its part all round: for certain bounds
// more than what a placement may be off, and hardly more; for heuristic ones what
// scraps always have to spare.
const (
	barelyMM = 0.5
	spareMM  = 2
)

// plantedScrap is a scrap that just holds a part, laid any way up and off the grain by
// no more than the tolerance. That it holds the part needs no search.
func plantedScrap(t require.TestingT, name string, part *blank, growMM, turnDeg, offGrainDeg float64) piece.Scrap {
	g, err := geom.Buffer(geom.NewSingleRingPolygonXY(flat(plane.Close(part.cut))...).AsGeometry(), growMM)
	require.NoError(t, err)
	m := curve.Turn(turnDeg, orb.Point{})
	var outline orb.Ring
	xy := g.MustAsPolygon().ExteriorRing().Coordinates()
	for k := range xy.Length() - 1 {
		q := xy.GetXY(k)
		outline = append(outline, m.Apply(orb.Point{q.X, q.Y}))
	}
	if plane.SignedArea(outline) < 0 {
		outline.Reverse()
	}
	return piece.Scrap{Name: name, Outline: outline, GrainDeg: part.piece.GrainDeg + turnDeg + offGrainDeg, Count: 1}
}

func flat(r orb.Ring) (xy []float64) {
	for _, q := range r {
		xy = append(xy, q[0], q[1])
	}
	return xy
}

// planting draws a piece, a cut of it and how its parts lie on their scraps.
type planting struct {
	b         *blank
	w         split.Way
	level     float64
	near, far *blank
	scraps    []piece.Scrap // of the near and the far part
}

func plant(t *rapid.T, table *table, blanks []*blank, growMM float64) (p planting, ok bool) {
	p.b = blanks[rapid.IntRange(0, len(blanks)-1).Draw(t, "piece")]
	p.w = rapid.SampledFrom(table.ways).Draw(t, "way")
	spans := p.b.spansOf(p.w)
	if len(spans) == 0 {
		return p, false
	}
	s := rapid.SampledFrom(spans).Draw(t, "span")
	p.level = s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
	if p.near, p.far = table.cutAt(p.b, p.w, p.level); p.near == nil {
		return p, false
	}
	for i, part := range []*blank{p.near, p.far} {
		turn := rapid.Float64Range(0, 360).Draw(t, "turn")
		off := table.options.GrainToleranceDeg * rapid.Float64Range(-0.9, 0.9).Draw(t, "off the grain")
		p.scraps = append(p.scraps, plantedScrap(t, []string{"near", "far"}[i], part, growMM, turn, off))
	}
	return p, true
}

// No certain bound keeps a part off a scrap that was cut out round it, nor says
// that a piece cut once needs two seams.
func TestBoundsAllowWhatIsPlanted(t *testing.T) {
	t.Parallel()
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Rules: []piece.Rule{}}.withDefaults()
	blanks := drawn(t, newTable(nil, o))
	rapid.Check(t, func(t *rapid.T) {
		p, ok := plant(t, newTable(nil, o), blanks, barelyMM)
		if !ok {
			t.Skip("not cut in two sound parts")
		}
		table := newTable(p.scraps, o)
		what := p.b.key + " cut by " + wayID(p.w)
		for i, part := range []*blank{p.near, p.far} {
			near, s := i == 0, &table.bins[i]
			require.False(t, table.ruledOut(part, s), what)
			require.False(t, table.cutRuledOut(p.b, p.w, near, p.level, s), what)
			_, fits := table.place(t.Context(), part, s)
			require.True(t, fits, what)
			lower := further(near, p.level, -p.b.allowanceOverlap(p.w, near, p.level))
			require.True(t, table.lowerBoundFits(t.Context(), p.b, p.b.cut, p.w, near, lower, s), "%s near %t at %.1f, overlap %.1f", what, near, p.level, p.level-lower)
		}
		require.True(t, table.oneCutSuffices(t.Context(), p.b), what)
	})
}

// No heuristic bound on levels keeps a part off a scrap that was cut out round it
// with a little to spare: neither near, nor far, nor the part between two cuts.
func TestLevelsReachWhatIsPlanted(t *testing.T) {
	t.Parallel()
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Rules: []piece.Rule{}}.withDefaults()
	blanks := drawn(t, newTable(nil, o))
	const closeMM = 0.01
	rapid.Check(t, func(t *rapid.T) {
		p, ok := plant(t, newTable(nil, o), blanks, spareMM)
		if !ok {
			t.Skip("not cut in two sound parts")
		}
		what := p.b.key + " cut by " + wayID(p.w)
		table := newTable(p.scraps, o)
		level, ok := table.furthestHeuristic(t.Context(), p.b, p.w, true, &table.bins[0])
		require.True(t, ok && level >= p.level-closeMM, "%s: %.1f is reached, and near fits at %.1f", what, level, p.level)
		level, ok = table.furthestHeuristic(t.Context(), p.b, p.w, false, &table.bins[1])
		require.True(t, ok && level <= p.level+closeMM, "%s: %.1f is reached, and far fits at %.1f", what, level, p.level)
		for k, near := range []bool{true, false} { // and extents let it come as far
			for _, b := range []*blank{p.b, p.near, p.far} {
				level, ok := table.furthestHeuristic(t.Context(), b, p.w, near, &table.bins[k])
				if !ok {
					continue
				}
				by, ok := table.furthestByExtent(t.Context(), b, p.w, near, &table.bins[k])
				require.True(t, ok && further(near, level, -meetMarginMM) <= by == near, "%s near %t: %.1f is reached, and by extents %.1f", b.key, near, level, by)
			}
		}
		spans := p.far.spansOf(p.w)
		if len(spans) == 0 {
			return
		}
		s := rapid.SampledFrom(spans).Draw(t, "next span")
		to := s.Lo + rapid.Float64Range(0, 1).Draw(t, "next of it")*(s.Hi-s.Lo)
		middle := table.cutPart(p.far, p.w, to, true)
		if middle == nil {
			return
		}
		turn := rapid.Float64Range(0, 360).Draw(t, "turn")
		table = newTable([]piece.Scrap{plantedScrap(t, "middle", middle, spareMM, turn, 0)}, o)
		level, ok = table.middleReach(t.Context(), p.b, p.w, to, &table.bins[0])
		require.True(t, ok && level <= p.level+closeMM, "%s: %.1f is reached, and the middle as far as %.1f fits at %.1f", what, level, to, p.level)
		level, ok = table.stripReach(t.Context(), p.b, p.w, &table.bins[0])
		require.True(t, ok && level >= to-closeMM, "%s: strips reach %.1f, and a middle part %.1f", what, level, to)
	})
}

// A rectangle of cloth holds a rectangle, cut at a level, and nothing further:
// the exact critical level is what the sides say.
func TestCriticalLevelOfARectangle(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(60, 400).Draw(t, "width"), rapid.Float64Range(60, 400).Draw(t, "length")
		sw, sh := rapid.Float64Range(50, 450).Draw(t, "scrap's width"), rapid.Float64Range(50, 450).Draw(t, "scrap's length")
		const allowance = 10
		table := newTable([]piece.Scrap{sheet("s", sw, sh)}, Options{AllowanceMM: allowance, Kinds: []string{"yoke", "panel"}}.withDefaults())
		p := rectangle(t, "r", w, h)
		b := newBlank(p, p.Outline, "r")
		for _, way := range table.ways {
			side, other, cloth, beside := h, w, sh, sw
			if way.Traits().Runs == split.Along {
				side, other, cloth, beside = w, h, sw, sh
			}
			most := math.Min(side-split.LeastPartMM, cloth-2*allowance)
			want := other+2*allowance <= beside && most >= split.LeastPartMM
			if math.Abs(most-split.LeastPartMM) < 1 || math.Abs(other+2*allowance-beside) < 0.1 {
				continue // a hair decides
			}
			for _, near := range []bool{true, false} {
				level, ok := table.furthest(t.Context(), b, way, near, &table.bins[0])
				require.Equal(t, want, ok, "%s %t", wayID(way), near)
				if !ok {
					continue
				}
				if !near {
					level = side - level
				}
				require.InDelta(t, most, level, 0.3, "%s %t", wayID(way), near)
			}
		}
	})
}

// What is known of a part before its cut slides is no more than what the part
// needs wherever it slides to: not in area, and not in where it lies.
func TestLowerBoundPartLiesInThePart(t *testing.T) {
	t.Parallel()
	o := Options{AllowanceMM: 10}.withDefaults()
	blanks := drawn(t, newTable(nil, o))
	rapid.Check(t, func(t *rapid.T) {
		table := newTable(nil, o) // of its own, for pieces of several patterns have one name
		p, ok := plant(t, table, blanks, barelyMM)
		if !ok {
			return
		}
		spans := p.b.spansOf(p.w)
		first, last := spans[0].Lo, spans[len(spans)-1].Hi
		room := split.Span{
			Lo: first + rapid.Float64Range(0, 1).Draw(t, "from")*(p.level-first),
			Hi: p.level + rapid.Float64Range(0, 1).Draw(t, "to")*(last-p.level),
		}
		tree := &split.Tree{Way: p.w, LevelMM: p.level, Near: &split.Tree{}, Far: &split.Tree{}}
		least := map[*split.Tree]lowerPart{}
		a := &assignment{table: table}
		a.lowerPartsOf(p.b, tree, map[*split.Tree]*slidingCut{tree: {tree: tree, room: room}}, lowerPart{p.b.key, p.b.simplified}, least)
		for leaf, part := range map[*split.Tree]*blank{tree.Near: p.near, tree.Far: p.far} {
			ring := least[leaf].ring
			if len(ring) < 3 {
				continue
			}
			// Simplified, the outline may bulge out a little.
			bulge := simplifyMM * planar.Length(plane.Close(ring))
			require.LessOrEqual(t, math.Abs(plane.SignedArea(ring)), part.area+bulge, "%s cut by %s at %.1f", p.b.key, wayID(p.w), p.level)
		}
	})
}

// A garment that its scraps hold with a seam moved needs no seam more, so none
// may be said to be needed: neither by the bound on moves, nor in what a search
// says of its plan.
func TestNoMoveIsRuledOutThatSavesASeam(t *testing.T) {
	if race.On {
		t.Skip("nothing here runs side by side, and it takes a minute under the race detector")
	}
	t.Parallel()
	o := Options{MaxSeams: 2, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 1, Budgets: 1, Seed: 1, Rules: []piece.Rule{}}.withDefaults()
	asked := 0
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		drawn := split.Copies(patternOf(t, name))
		for _, plain := range split.Moves(drawn) {
			for _, m := range plain.Shapes(drawn) {
				m.ByMM = 20
				moved, err := m.Apply(drawn)
				if err != nil {
					continue
				}
				var pile []piece.Scrap
				for _, q := range moved {
					b := newBlank(q, q.Outline, "")
					require.NotNil(t, b)
					pile = append(pile, plantedScrap(t, q.ID(), b, barelyMM, float64(37*len(pile)), 0))
				}
				table := newTable(pile, o)
				d := &driver{table: table, options: o, variants: table.variants(drawn, nil)}
				d.base = d.variants[0]
				if d.minSeams(t.Context()) == 0 {
					continue // no piece that takes a strip is too large as drawn, nor one that gives it
				}
				asked++
				require.False(t, d.movesRuledOut(t.Context()), "%s, %v", name, m)
				if asked > 1 {
					continue
				}
				res, err := RunCopies(t.Context(), drawn, pile, o)
				require.NoError(t, err)
				if len(res.Plans) > 0 && len(res.Plans[0].Seams) > 0 {
					require.False(t, res.Fewest, "%s, %v: %s", name, m, res.Reason)
				}
			}
		}
	}
	require.Greater(t, asked, 10)
}
