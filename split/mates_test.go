package split

import (
	"fmt"
	"slices"
	"testing"

	"eke/piece"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// rowPiece is a piece of straight lines, with what its edges are sewn to.
func rowPiece(t *testing.T, d piece.Draft, corners []orb.Point, names []string, joins map[string][]piece.Ref) *piece.Piece {
	p := stripedPanel(t, d, corners, names, nil)
	for i, e := range p.Outline {
		p.Outline[i].Joins = joins[e.Name]
	}
	return p
}

// A front and a back that are cut twice, right side up, and a sleeve whose cap goes round
// both armholes; the back's is 150 mm and the front's 200.
func capped(t *testing.T, sleeve piece.Draft, corners []orb.Point, edges []string, joins string) []*piece.Piece {
	to := func(refs ...piece.Ref) []piece.Ref { return refs }
	at := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	front := rowPiece(t, piece.Draft{Name: "front", Count: 2, Mirrored: true}, []orb.Point{{0, 0}, {150, 0}, {150, 200}, {150, 600}, {0, 600}},
		[]string{"shoulder", "armhole", "side", "hem", "centre-front"},
		map[string][]piece.Ref{"shoulder": to(at("back", "shoulder")), "side": to(at("back", "side"))})
	back := rowPiece(t, piece.Draft{Name: "back", Count: 2, Mirrored: true}, []orb.Point{{0, 0}, {150, 0}, {150, 600}, {0, 600}, {0, 150}},
		[]string{"shoulder", "centre-back", "hem", "side", "armhole"}, nil)
	order := to(at("back", "armhole"), at("front", "armhole"))
	if joins == "front first" {
		order = to(order[1], order[0])
	}
	own := rowPiece(t, sleeve, corners, edges, map[string][]piece.Ref{"cap": order, edges[1]: to(at("sleeve", edges[3]))})
	return Copies([]*piece.Piece{front, back, own})
}

// A cap in one edge lies with its ends at the side seams and goes over the shoulder, the
// back's share on its back: its edges' names tell which that is, or else the order in
// which it names the armholes.
func TestOneCapGoesRoundBothArmholes(t *testing.T) {
	// Drawn right side up: its cap is at the top, from left to right.
	corners := []orb.Point{{0, 0}, {350, 0}, {300, 400}, {50, 400}}
	for name, c := range map[string]struct {
		edges []string
		joins string
		cut   piece.Draft
		left  bool // the back's share lies there on the drawing
	}{
		"by the order of its joins":         {[]string{"cap", "inseam-1", "hem", "inseam-2"}, "back first", piece.Draft{Count: 2, Mirrored: true}, true},
		"by their order, front first":       {[]string{"cap", "inseam-1", "hem", "inseam-2"}, "front first", piece.Draft{Count: 2, Mirrored: true}, false},
		"by names":                          {[]string{"cap", "underarm-front", "hem", "underarm-back"}, "back first", piece.Draft{Count: 2, Mirrored: true}, true},
		"by names, against the order":       {[]string{"cap", "underarm-front", "hem", "underarm-back"}, "front first", piece.Draft{Count: 2, Mirrored: true}, true},
		"two alike, of which one is turned": {[]string{"cap", "inseam-1", "hem", "inseam-2"}, "front first", piece.Draft{Count: 2}, false},
		"by names, drawn the other way":     {[]string{"cap", "underarm-back", "hem", "underarm-front"}, "back first", piece.Draft{Count: 2, Mirrored: true}, false},
	} {
		t.Run(name, func(t *testing.T) {
			c.cut.Name = "sleeve"
			copies := capped(t, c.cut, corners, c.edges, c.joins)
			m := newMates(copies)
			for i, p := range copies {
				if p.Name != "sleeve" {
					continue
				}
				for _, x := range []float64{1, 75, 140, 210, 275, 349} { // from the left as drawn
					var mate []onEdge
					mm := x
					at := edgeAt{i, p.Outline.Edge("cap")[0]}
					if run := m.line(at); (run.Line.End()[0] < run.Line.Start()[0]) != p.Flipped {
						mm = 350 - x
					}
					mate, ok := m.of(at, mm)
					require.True(t, ok)
					require.Len(t, mate, 1, "%s %.0f", p.ID(), x)
					fromBack := x
					if c.left == (!c.cut.Mirrored && i%2 == 1) { // a symmetrical one serves either side
						fromBack = 350 - x
					}
					want, height := "back", 150-fromBack // from the shoulder, where both armholes start
					if fromBack > 150 {
						want, height = "front", fromBack-150
					}
					on := m.copies[mate[0].copy]
					q, _ := m.line(mate[0].edgeAt).Line.At(mate[0].mm)
					require.Equal(t, want, on.Name, "%s %.0f", p.ID(), x)
					require.InDelta(t, height, q[1], 1e-6, "%s %.0f", p.ID(), x)
					if c.cut.Mirrored {
						require.Equal(t, p.Side, on.Side, fmt.Sprint(p.ID(), x))
					}
				}
			}
		})
	}
}

// Back and yoke come in the row as the seam between them tells, in whichever order the
// sleeve names them, and though its cap's front and the back's side are both sewn to the
// front.
func TestABackAndAYokeOnOneCap(t *testing.T) {
	at := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	for name, joins := range map[string][]piece.Ref{
		"back first": {at("back", "armhole"), at("yoke", "armhole")},
		"yoke first": {at("yoke", "armhole"), at("back", "armhole")},
	} {
		t.Run(name, func(t *testing.T) {
			to := func(r piece.Ref) []piece.Ref { return []piece.Ref{r} }
			front := rowPiece(t, piece.Draft{Name: "front", Count: 2, Mirrored: true}, []orb.Point{{0, 0}, {150, 0}, {150, 200}, {150, 600}, {0, 600}},
				[]string{"shoulder", "armhole", "side", "hem", "centre-front"}, map[string][]piece.Ref{"shoulder": to(at("yoke", "shoulder")), "side": to(at("back", "side"))})
			// Drawn with its centre to the left: as it is worn on the right.
			yoke := rowPiece(t, piece.Draft{Name: "yoke", Count: 2, Mirrored: true}, []orb.Point{{0, 0}, {150, 0}, {150, 80}, {0, 80}},
				[]string{"shoulder", "armhole", "lower", "centre-back"}, map[string][]piece.Ref{"lower": to(at("back", "top"))})
			back := rowPiece(t, piece.Draft{Name: "back", Count: 2, Mirrored: true}, []orb.Point{{0, 0}, {150, 0}, {150, 120}, {150, 520}, {0, 520}},
				[]string{"top", "armhole", "side", "hem", "centre-back"}, map[string][]piece.Ref{"side": to(at("front", "side"))})
			sleeve := rowPiece(t, piece.Draft{Name: "sleeve", Count: 2, Mirrored: true}, []orb.Point{{0, 0}, {200, 0}, {400, 0}, {350, 400}, {50, 400}},
				[]string{"cap-back", "cap-front", "under-front", "hem", "under-back"},
				map[string][]piece.Ref{"cap-back": joins, "cap-front": to(at("front", "armhole")), "under-front": to(at("sleeve", "under-back"))})
			m := newMates(Copies([]*piece.Piece{front, yoke, back, sleeve}))
			for i, p := range m.copies {
				if p.Name != "yoke" && p.Name != "back" {
					continue
				}
				cap, far := edgeAt{i, p.Outline.Edge("armhole")[0]}, 0.0
				for _, y := range []float64{1, 40, 79} {
					mm := y
					if e := m.line(cap); e.Line.End()[1] < e.Line.Start()[1] {
						mm = e.Line.Length() - y
					}
					mate, ok := m.of(cap, mm)
					require.True(t, ok)
					require.Len(t, mate, 1)
					sleeve := m.copies[mate[0].copy]
					require.Equal(t, p.Side, sleeve.Side)
					q, _ := m.line(mate[0].edgeAt).Line.At(mate[0].mm)
					far = q[0]
					if sleeve.Flipped {
						far = 400 - far
					}
					want := 200 - y // from the top of the cap, which is 200 mm from the underarm
					if p.Name == "back" {
						want -= 80
					}
					require.InDelta(t, want, far, 1e-6, "%s %.0f", p.ID(), y)
				}
			}
		})
	}
}

// Where no name tells a front from a back the cap's order does, and so it does where the
// shoulders are not joined: the side seam lies at the cap's ends, not within it.
func TestOneCapByItsOrderAlone(t *testing.T) {
	at := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	for name, c := range map[string]struct {
		names    [2]string
		shoulder string // what the shoulder's edge is called on the piece that names the other
	}{
		"no front and back":   {[2]string{"one", "two"}, "shoulder"},
		"no word for the top": {[2]string{"one", "two"}, "top"},
		"no shoulder":         {[2]string{"front", "back"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			body := func(name, other string, deep float64) *piece.Piece {
				joins := map[string][]piece.Ref{"side": {at(other, "side")}}
				top := c.shoulder
				if top == "" {
					top = "shoulder"
				} else {
					joins[top] = []piece.Ref{at(other, top)}
				}
				return rowPiece(t, piece.Draft{Name: name}, []orb.Point{{-50, 0}, {50, 0}, {150, 0}, {150, deep}, {150, 600}, {-150, 600}, {-150, deep}, {-150, 0}},
					[]string{"neck", top, "armhole", "side", "hem", "side", "armhole", top}, joins)
			}
			sleeve := rowPiece(t, piece.Draft{Name: "sleeve", Count: 2, Mirrored: true}, []orb.Point{{0, 0}, {350, 0}, {300, 400}, {50, 400}}, []string{"cap", "inseam-1", "hem", "inseam-2"},
				map[string][]piece.Ref{"cap": {at(c.names[1], "armhole"), at(c.names[0], "armhole")}, "inseam-1": {at("sleeve", "inseam-2")}})
			m := newMates(Copies([]*piece.Piece{body(c.names[0], c.names[1], 200), body(c.names[1], c.names[0], 150), sleeve}))
			for i, p := range m.copies {
				if p.Name != "sleeve" {
					continue
				}
				for _, x := range []float64{1, 75, 140, 210, 275, 349} { // from the left as drawn
					cap, mm := edgeAt{i, p.Outline.Edge("cap")[0]}, x
					if run := m.line(cap).Line; (run.End()[0] < run.Start()[0]) != p.Flipped {
						mm = 350 - x
					}
					mate, ok := m.of(cap, mm)
					require.True(t, ok)
					require.Len(t, mate, 1, "%s %.0f", p.ID(), x)
					want, height := c.names[1], 150-x
					if x > 150 {
						want, height = c.names[0], x-150
					}
					q, _ := m.line(mate[0].edgeAt).Line.At(mate[0].mm)
					require.Equal(t, want, m.copies[mate[0].copy].Name, "%s %.0f", p.ID(), x)
					require.InDelta(t, height, q[1], 1e-6, "%s %.0f", p.ID(), x)
				}
			}
		})
	}
}

// Of three in a row on one cap it is not told which comes where: no point of theirs has a
// mate that is known, and none of the cap's has.
func TestThreeOnOneCapHaveNoPlaceThatIsTold(t *testing.T) {
	at := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	var copies []*piece.Piece
	for name, l := range map[string]float64{"front": 150, "middle": 80, "back": 120} {
		copies = append(copies, rowPiece(t, piece.Draft{Name: name}, []orb.Point{{0, 0}, {l, 0}, {l, 300}, {0, 300}}, []string{"top", "right", "hem", "left"},
			map[string][]piece.Ref{"top": {at("sleeve", "cap")}}))
	}
	copies = append(copies, rowPiece(t, piece.Draft{Name: "sleeve"}, []orb.Point{{0, 0}, {350, 0}, {300, 400}, {50, 400}}, []string{"cap", "inseam-1", "hem", "inseam-2"}, nil))
	m := newMates(copies)
	for i, p := range copies {
		edge := "top"
		if p.Name == "sleeve" {
			edge = "cap"
		}
		for _, mm := range []float64{0, 1, 40, 79} {
			mate, ok := m.of(edgeAt{i, p.Outline.Edge(edge)[0]}, mm)
			require.False(t, ok, "%s at %g mm: %v", p.Name, mm, mate)
		}
	}
}

// Plans of the same copies share what is sewn to what; one of other copies has its own.
func TestMatesAreBuiltOnceForTheSameCopies(t *testing.T) {
	sleeve := piece.Draft{Name: "sleeve", Count: 2, Mirrored: true}
	copies := capped(t, sleeve, []orb.Point{{0, 0}, {350, 0}, {300, 400}, {50, 400}}, []string{"cap", "inseam-1", "hem", "inseam-2"}, "back first")
	planOf := func(copies []*piece.Piece) *Plan {
		p := &Plan{Pieces: copies}
		for range copies {
			p.Trees = append(p.Trees, new(Tree))
		}
		return p
	}
	was, err := Make(planOf(copies), 10)
	require.NoError(t, err)
	same, err := was.With(planOf(slices.Clone(copies)), 10)
	require.NoError(t, err)
	require.Same(t, was.mates(), same.mates())
	require.Equal(t, newMates(copies), was.mates())
	other := slices.Clone(copies)
	moved := *other[0]
	other[0] = &moved
	differs, err := was.With(planOf(other), 10)
	require.NoError(t, err)
	require.NotSame(t, was.mates(), differs.mates())
	require.Equal(t, newMates(other), differs.mates())
}
