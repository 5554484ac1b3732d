package split_test

import (
	"math"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/piece/race"
	"eke/split"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func ref(name, edge string) piece.Ref { return piece.Ref{Piece: name, Edge: edge} }

// moved makes one move and proves the whole pattern after it.
func moved(t tester, copies []*piece.Piece, m split.Move) []*piece.Piece {
	now, err := m.Apply(copies)
	require.NoError(t, err)
	p := &split.Plan{Moves: []split.Move{m}, Pieces: now}
	for range now {
		p.Trees = append(p.Trees, new(split.Tree))
	}
	_, d := proved(t, p, copies)
	o := d.Options[0]
	require.Len(t, o.MovedSeams, 1)
	require.InDelta(t, o.MovedSeams[0].FromLengthMM, o.MovedSeams[0].ToLengthMM, 1e-6)
	require.Len(t, o.Moved, len(only(copies, m.From.Piece))+len(only(copies, m.To.Piece)))
	for _, p := range now {
		for _, e := range p.Outline {
			if r := ref(p.Name, e.Name); r == m.From || r == m.To {
				for _, s := range e.Line {
					require.Greater(t, s.Length(), 0.1, "a hair of the new edge has no direction")
				}
			}
		}
	}
	require.NotEmpty(t, o.Joins)
	for _, j := range o.Joins {
		if join := j.A + " " + j.B; join == m.From.String()+" "+m.To.String() || join == m.To.String()+" "+m.From.String() {
			continue
		}
		// What the strip took of an armhole or a neck is walked with it.
		require.InDelta(t, j.DrawnAMM, j.AMM, 0.5, j.A)
		require.InDelta(t, j.DrawnBMM, j.BMM, 0.5, j.B)
		require.InDelta(t, j.DrawnAMM-j.DrawnBMM, j.DifferenceMM, 0.5, j.A)
	}
	return now
}

func areas(pieces []*piece.Piece) (sum float64) {
	for _, p := range pieces {
		sum += plane.SignedArea(p.Outline.Ring())
	}
	return sum
}

// What one piece gives the other takes, whole or tapered, on unfolded pieces,
// on mirrored copies, and from the one to the other.
func TestMoves(t *testing.T) {
	race.SkipAlone(t)
	for name, c := range map[string]struct {
		sample string
		move   split.Move
	}{
		"unfolded to unfolded":     {"tshirt.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30}},
		"and back":                 {"tshirt.svg", split.Move{From: ref("back", "shoulder"), To: ref("front", "shoulder"), ByMM: 30}},
		"far":                      {"tshirt.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 70}},
		"the neck point stays":     {"tshirt.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30, Stays: "neck"}},
		"the armhole point stays":  {"tshirt.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 40, Stays: "armhole"}},
		"mirrored to unfolded":     {"blouse.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 25}},
		"unfolded to mirrored":     {"blouse.svg", split.Move{From: ref("back", "shoulder"), To: ref("front", "shoulder"), ByMM: 25}},
		"tapered on mirrored":      {"blouse.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 25, Stays: "neck"}},
		"tapered the other way":    {"blouse.svg", split.Move{From: ref("back", "shoulder"), To: ref("front", "shoulder"), ByMM: 25, Stays: "armhole"}},
		"a side seam":              {"raglan-child.svg", split.Move{From: ref("front", "side"), To: ref("back", "side"), ByMM: 20}},
		"a side seam, the hem end": {"raglan-child.svg", split.Move{From: ref("back", "side"), To: ref("front", "side"), ByMM: 20, Stays: "hem"}},
	} {
		t.Run(name, func(t *testing.T) {
			copies := sample(t, c.sample)
			now := moved(t, copies, c.move)
			from, to := only(copies, c.move.From.Piece), only(copies, c.move.To.Piece)
			gave := areas(from) - areas(only(now, c.move.From.Piece))
			took := areas(only(now, c.move.To.Piece)) - areas(to)
			require.InDelta(t, gave, took, 1)
			edges, length := 0, 0.0
			for _, p := range from {
				for _, i := range p.Outline.Edge(c.move.From.Edge) {
					edges++
					length += p.Outline[i].Line.Length()
				}
			}
			require.Equal(t, 2, edges)
			want := length * c.move.ByMM
			if c.move.Stays != "" {
				want /= 2
			}
			require.InDelta(t, want, gave, want/5)
		})
	}
}

// The strip of a left shoulder goes to the left shoulder: the armhole's bit of
// it lies beside the armhole, and the neck's beside the neck.
func TestMovesPairTheEdgesThatMeet(t *testing.T) {
	for name, c := range map[string]struct {
		sample string
		move   split.Move
	}{
		"unfolded":             {"tshirt.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30}},
		"mirrored to unfolded": {"blouse.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30}},
		"unfolded to mirrored": {"blouse.svg", split.Move{From: ref("back", "shoulder"), To: ref("front", "shoulder"), ByMM: 30}},
	} {
		t.Run(name, func(t *testing.T) {
			now, err := c.move.Apply(sample(t, c.sample))
			require.NoError(t, err)
			strips := 0
			for _, p := range only(now, c.move.To.Piece) {
				n := len(p.Outline)
				for i, e := range p.Outline {
					if e.From == "" {
						continue
					}
					strips++
					require.Equal(t, c.move.From.Piece, e.From)
					before, after := p.Outline[(i+n-1)%n], p.Outline[(i+1)%n]
					require.True(t, before.Name == e.Name || after.Name == e.Name, "%s lies between %s and %s", e.Name, before.Name, after.Name)
				}
			}
			require.Equal(t, 4, strips)
		})
	}
}

func TestMovesRefuse(t *testing.T) {
	for name, c := range map[string]struct {
		sample string
		move   split.Move
		says   string
	}{
		"a curve":            {"tshirt.svg", split.Move{From: ref("front", "armhole"), To: ref("sleeve", "cap-front"), ByMM: 20}, "bend"},
		"curves unlike":      {"tshirt.svg", split.Move{From: ref("front", "side"), To: ref("back", "side"), ByMM: 20}, "bend unlike"},
		"its own piece":      {"tshirt.svg", split.Move{From: ref("sleeve", "underarm-front"), To: ref("sleeve", "underarm-back"), ByMM: 20}, "own piece"},
		"too far":            {"tshirt.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 400}, "neighbouring"},
		"a dart on the edge": {"blouse.svg", split.Move{From: ref("back", "side"), To: ref("front", "side"), ByMM: 10}, "a dart opens"},
		"no such neighbour":  {"tshirt.svg", split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 20, Stays: "hem"}, `"hem" is not`},
		"along the neck":     {"cardigan-child.svg", split.Move{From: ref("front", "centre-front"), To: ref("band", "centre-front"), ByMM: 10}, "0° to band/neck-front"},
		"not cut as often":   {"tshirt.svg", split.Move{From: ref("front", "shoulder"), To: ref("neckband", "top"), ByMM: 20}, "times"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := c.move.Apply(sample(t, c.sample))
			require.ErrorIs(t, err, split.ErrNoMove)
			require.ErrorContains(t, err, c.says)
		})
	}
}

func TestMovesListed(t *testing.T) {
	var found []string
	for _, m := range split.Moves(sample(t, "tshirt.svg")) {
		require.Zero(t, m.ByMM)
		found = append(found, m.From.String()+" "+m.To.String())
	}
	require.Equal(t, []string{"front/shoulder back/shoulder", "back/shoulder front/shoulder"}, found)
	require.Empty(t, split.Moves(nil))
	require.Equal(t, "front/shoulder to back/shoulder by 30 mm, to nothing at the neck",
		split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30, Stays: "neck"}.String())
}

// A pair of panels whose joined edges bow alike, one out and one in: what one
// loses the other gains, the new edges are equally long, and their notches
// meet, for any bow, width and taper.
func TestMoveInvariants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(150, 500).Draw(t, "length")
		bow := rapid.Float64Range(-0.05, 0.05).Draw(t, "bow") * length
		unlike := rapid.Float64Range(-2, 2).Draw(t, "unlike")
		by := rapid.Float64Range(3, 60).Draw(t, "by")
		stays := rapid.SampledFrom([]string{"", "top", "bottom"}).Draw(t, "stays")
		slant := rapid.Float64Range(-25, 25).Draw(t, "slant")
		notch := rapid.Float64Range(0.1, 0.9).Draw(t, "notch") * length
		left := panel(t, "left", "right", 0, length, bow, slant, notch)
		right := panel(t, "right", "left", 1000, length, bow+unlike, slant, notch)
		copies := []*piece.Piece{left, right}
		m := split.Move{From: ref("left", "joined"), To: ref("right", "joined"), ByMM: by, Stays: stays}
		now := moved(t, copies, m)
		require.InDelta(t, areas(copies), areas(now), 45)
		require.Less(t, areas(now[:1]), areas(copies[:1]))
	})
}

// A piece cut on the fold stays the same on both sides, though the edges between which a strip
// changes sides differ a little in length.
func TestMoveKeepsAFoldedPieceEven(t *testing.T) {
	drawn, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">
		<g id="gore"><path class="seam" d="M 0,0 L 60,0 L 150,700 L 0,700 Z"/><path class="fold" d="M 0,0 V 700"/><path class="grain" d="M 30,100 V 500"/><path class="edge waist" d="M 0,0 H 60"/><path class="edge hem" d="M 150,700 H 0"/><path class="edge panel" data-joins="side/panel" d="M 60,0 L 150,700"/></g>
		<g id="side" data-cut="2" data-mirrored="true"><path class="seam" d="M 490,0 L 700,0 L 700,700.9 L 400,700.9 Z"/><path class="grain" d="M 600,100 V 500"/><path class="edge waist" d="M 490,0 H 700"/><path class="edge hem" d="M 700,700.9 H 400"/><path class="edge panel" data-joins="gore/panel" d="M 490,0 L 400,700.9"/></g></svg>`), "skirt.svg")
	require.NoError(t, err)
	for _, stays := range []string{"", "waist", "hem"} {
		now, err := split.Move{From: ref("side", "panel"), To: ref("gore", "panel"), ByMM: 40, Stays: stays}.Apply(split.Copies(drawn))
		require.NoError(t, err, stays)
		ring := only(now, "gore")[0].Outline.Ring()
		for _, q := range ring { // the fold is at 0
			require.Less(t, plane.ToRing(ring, orb.Point{-q[0], q[1]}), 0.01, "%s: %v", stays, q)
		}
	}
}

// panel is 200 mm wide, with its right (or left) edge bowed to the right.
func panel(t tester, name, other string, x, length, bow, slant, notch float64) *piece.Piece {
	top, bottom := orb.Point{x, 0}, orb.Point{x, length}
	control := orb.Point{x + 2*bow, length / 2}
	far := x - 200
	if name == "right" {
		far = x + 200
	}
	s := slant
	if name == "right" {
		s = -slant
	}
	corner1, corner2 := orb.Point{far, s}, orb.Point{far, length + s}
	joined := curve.Path{curve.Quadratic(top, control, bottom)}
	outline := append(curve.Polyline(corner1, top), joined...)
	outline = append(outline, curve.Polyline(bottom, corner2, corner1)...)
	at, _ := joined.At(notch)
	p, err := piece.Make(piece.Draft{
		Name: name, AllowanceMM: 10, Outline: piece.DraftLine{Closed: true, Line: outline},
		Grains:  []piece.DraftLine{{Line: curve.Polyline(orb.Point{(x + far) / 2, 30}, orb.Point{(x + far) / 2, length - 30})}},
		Notches: []piece.DraftLine{{Point: at}},
		Edges: []piece.DraftEdge{
			{DraftLine: piece.DraftLine{Line: joined}, Name: "joined", AllowanceMM: -1, Joins: []piece.Ref{ref(other, "joined")}},
			{DraftLine: piece.DraftLine{Line: curve.Polyline(corner1, top)}, Name: "top", AllowanceMM: -1},
			{DraftLine: piece.DraftLine{Line: curve.Polyline(bottom, corner2)}, Name: "bottom", AllowanceMM: -1},
		},
	})
	require.NoError(t, err)
	require.False(t, math.IsNaN(plane.SignedArea(p.Outline.Ring())))
	return p
}

// A seam can be moved by one width or tapering to either end, where that end
// has an edge of a name beside it.
func TestShapesOfAMove(t *testing.T) {
	copies := sample(t, "tshirt.svg")
	shoulder := split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder")}
	var stays []string
	for _, m := range shoulder.Shapes(copies) {
		stays = append(stays, m.Stays)
		require.Zero(t, m.ByMM)
		m.ByMM = 30
		whole := areas(only(copies, "front"))
		now, err := m.Apply(copies)
		require.NoError(t, err)
		gave := whole - areas(only(now, "front"))
		// A triangle is half of a rectangle, near enough.
		full := 30.0 * 2 * copies[0].Outline[copies[0].Outline.Edge("shoulder")[0]].Line.Length()
		if m.Stays != "" {
			full /= 2
		}
		require.InEpsilon(t, full, gave, 0.2, m.Stays)
		// What stays is as long as it was, on both pieces.
		if m.Stays != "" {
			require.InDelta(t, lengthOf(copies, "front", m.Stays), lengthOf(now, "front", m.Stays), 0.01)
			require.InDelta(t, lengthOf(copies, "back", m.Stays), lengthOf(now, "back", m.Stays), 1)
		}
	}
	require.ElementsMatch(t, []string{"", "neck", "armhole"}, stays)
	require.Empty(t, split.Move{From: ref("front", "neck"), To: ref("back", "shoulder")}.Shapes(copies))
	require.Empty(t, split.Move{From: ref("front", "nothing"), To: ref("back", "shoulder")}.Shapes(copies))
	far := shoulder
	far.ByMM = 1000
	require.Empty(t, far.Shapes(copies))
}

// lengthOf is how long the edges of a name are on the copies of a piece.
func lengthOf(copies []*piece.Piece, name, edge string) (mm float64) {
	for _, p := range only(copies, name) {
		for _, k := range p.Outline.Edge(edge) {
			mm += p.Outline[k].Line.Length()
		}
	}
	return mm
}

// Every shape of every move of the samples is proved.
func TestEveryShapeIsProved(t *testing.T) {
	race.SkipAlone(t)
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		copies := sample(t, name)
		tapers := 0
		for _, m := range split.Moves(copies) {
			for _, s := range m.Shapes(copies) {
				s.ByMM = 12
				if _, err := s.Apply(copies); err != nil {
					continue
				}
				moved(t, copies, s)
				if s.Stays != "" {
					tapers++
				}
			}
		}
		require.NotZero(t, tapers, name)
	}
}

// A strip of a bib on the top of its band would stand out as a tab, and so would one on
// half of a line; where the lines beside it turn away it is a band that is deeper.
func TestNoStripStandsOutAsATab(t *testing.T) {
	for name, c := range map[string]struct {
		band, says string
	}{
		"a stretch":      {`<path class="edge bib" data-joins="bib/bottom" d="M 100,500 h 200"/>`, "front-band/bib is a stretch of a longer line"},
		"to one end":     {`<path class="edge bib" data-joins="bib/bottom" d="M 0,500 h 200"/>`, "front-band/bib is a stretch of a longer line"},
		"the whole line": {`<path class="edge bib" data-joins="bib/bottom" d="M 0,500 h 400"/>`, ""},
	} {
		t.Run(name, func(t *testing.T) {
			wide := 200
			if c.says == "" {
				wide = 400
			}
			pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="1000mm" viewBox="0 0 2000 1000">`+
				oblong("bib", "", 0, wide, 150, "", "", to("bottom", "front-band/bib"), "")+
				`<g id="front-band"><path class="seam" d="M 0,500 h 400 v 40 h -400 Z"/><path class="grain" d="M 5,505 v 10"/>`+c.band+`</g></svg>`), "p.svg")
			require.NoError(t, err)
			_, err = split.Move{From: ref("bib", "bottom"), To: ref("front-band", "bib"), ByMM: 20}.Apply(split.Copies(pieces))
			if c.says == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, split.ErrNoMove)
			require.ErrorContains(t, err, c.says)
		})
	}
}
