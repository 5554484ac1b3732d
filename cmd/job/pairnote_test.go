package job

import (
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split/search"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// shaped is a piece of straight edges, named in their order.
func shaped(name string, count int, names []string, corners ...orb.Point) *piece.Piece {
	p := &piece.Piece{Name: name, Count: count, GrainDeg: 90}
	for i, q := range corners {
		p.Outline = append(p.Outline, piece.Edge{Name: names[i%len(names)], Line: curve.Polyline(q, corners[(i+1)%len(corners)])})
	}
	return p
}

func TestSameWayNote(t *testing.T) {
	t.Parallel()
	any := []string{""}
	sleeve := func() *piece.Piece {
		return shaped("sleeve", 2, any, orb.Point{0, 0}, orb.Point{200, 20}, orb.Point{150, 400}, orb.Point{30, 400})
	}
	require.Equal(t, "sleeve is cut several times the same way round, and not the same turned over: if a left and a right are meant, write mirrored: yes, or all are for one side", sameWayNote([]*piece.Piece{sleeve()}, nil, search.Options{}))
	for name, change := range map[string]func(*piece.Piece){
		"mirrored":  func(p *piece.Piece) { p.Mirrored = true },
		"a binding": func(p *piece.Piece) { p.Name = "armhole binding" },
		"cut once":  func(p *piece.Piece) { p.Count = 1 },
		"ready":     func(p *piece.Piece) { p.Ready = true },
		"symmetrical about its grain": func(p *piece.Piece) {
			p.Outline = shaped("", 2, any, orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{150, 400}, orb.Point{50, 400}).Outline
		},
		"across it": func(p *piece.Piece) {
			p.Outline = shaped("", 2, any, orb.Point{0, 0}, orb.Point{200, 50}, orb.Point{200, 350}, orb.Point{0, 400}).Outline
		},
		"as good as": func(p *piece.Piece) {
			p.Outline = shaped("", 2, any, orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{151, 400}, orb.Point{50, 400}).Outline
		},
		"on the fold": func(p *piece.Piece) { p.Centre = &piece.Axis{} },
		"a diamond with its grain along a side": func(p *piece.Piece) {
			p.Outline, p.GrainDeg = shaped("", 2, any, orb.Point{0, 0}, orb.Point{60, 80}, orb.Point{120, 0}, orb.Point{60, -80}).Outline, 53
		},
		"a rectangle on the bias": func(p *piece.Piece) {
			p.Outline, p.GrainDeg = shaped("", 2, any, orb.Point{0, 0}, orb.Point{140, 0}, orb.Point{140, 160}, orb.Point{0, 160}).Outline, 45
		},
		"a square askew": func(p *piece.Piece) {
			p.Outline, p.GrainDeg = shaped("", 2, any, orb.Point{0, 0}, orb.Point{80, 60}, orb.Point{20, 140}, orb.Point{-60, 80}).Outline, 20
		},
		"a triangle of three like sides": func(p *piece.Piece) {
			p.Outline, p.GrainDeg = shaped("", 2, any, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{50, 86.6}).Outline, 17
		},
	} {
		p := sleeve()
		change(p)
		require.Empty(t, sameWayNote([]*piece.Piece{p}, nil, search.Options{}), name)
	}
}

// Half a turn is no mirror image, and cloth counts only where the piece may come from it.
func TestSameWayNoteOfWhatTurnsOver(t *testing.T) {
	t.Parallel()
	any := []string{""}
	slanted := shaped("tab", 2, any, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{140, 60}, orb.Point{40, 60})
	slanted.Fabrics = []string{"linen"}
	both, one, other := piece.Scrap{Fabric: "linen", BothFaces: true}, piece.Scrap{Fabric: "linen"}, piece.Scrap{Fabric: "satin"}
	for _, cloth := range [][]piece.Scrap{nil, {one}, {both, one}, {other}} {
		require.NotEmpty(t, sameWayNote([]*piece.Piece{slanted}, cloth, search.Options{}))
	}
	for _, cloth := range [][]piece.Scrap{{both}, {both, other}} {
		require.Empty(t, sameWayNote([]*piece.Piece{slanted}, cloth, search.Options{}))
	}
}

// Of an outline of many points only some are asked for, as by one who draws teeth: a
// slanted one is not the same turned over for all that.
func TestSameWayNoteOfManyPoints(t *testing.T) {
	t.Parallel()
	toothed := func(slant float64) *piece.Piece {
		var corners []orb.Point
		for k := range 2000 {
			corners = append(corners, orb.Point{float64(k) / 4, float64(k % 2)})
		}
		return shaped("panel", 2, []string{""}, append(corners, orb.Point{500 + slant, 300}, orb.Point{slant, 300})...)
	}
	require.True(t, symmetrical(toothed(0)))
	require.False(t, symmetrical(toothed(60)))
}

func TestWholePairNote(t *testing.T) {
	t.Parallel()
	names := []string{"top", "side", "hem", "side"}
	body := func(name string, count int, mirrored, fold bool) *piece.Piece {
		p := shaped(name, count, names, orb.Point{0, 0}, orb.Point{400, 0}, orb.Point{400, 500}, orb.Point{0, 500})
		p.Mirrored = mirrored
		if fold {
			p.Centre = &piece.Axis{}
		}
		return p
	}
	join := func(p *piece.Piece, edge string, to ...piece.Ref) *piece.Piece {
		for _, k := range p.Outline.Edge(edge) {
			p.Outline[k].Joins = to
		}
		return p
	}
	half := func(name string) *piece.Piece {
		return shaped(name, 2, []string{"top", "side", "hem", "centre"}, orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 500}, orb.Point{0, 500})
	}
	side := func(of string) piece.Ref { return piece.Ref{Piece: of, Edge: "side"} }
	back := join(body("back", 2, true, true), "side", side("front"))
	require.Equal(t, "back is drawn on the fold, and so each is a whole one, and 2 are cut as left and right: if a single whole one is meant, write cut: 1 and leave mirrored out",
		wholePairNote([]*piece.Piece{back, half("front")}))
	require.NotEmpty(t, wholePairNote([]*piece.Piece{back, body("front", 1, false, true)}))
	front := join(body("front", 2, true, true), "side", side("back"))
	require.Contains(t, wholePairNote([]*piece.Piece{back, front}), "back, front are drawn on the fold")

	require.Empty(t, wholePairNote([]*piece.Piece{body("sleeve", 2, true, true)}), "sewn to nothing that is known")
	sleeve := join(body("sleeve", 2, true, true), "side", side("front"), side("back"))
	require.Empty(t, wholePairNote([]*piece.Piece{sleeve, body("front", 1, false, true), body("back", 1, false, true)}), "sewn to two sides")
	require.Empty(t, wholePairNote([]*piece.Piece{sleeve, body("front", 2, true, true), body("back", 1, false, true)}))
	require.Empty(t, wholePairNote([]*piece.Piece{join(body("back", 2, false, true), "side", side("front")), half("front")}), "not mirrored")
	require.Empty(t, wholePairNote([]*piece.Piece{join(body("collar", 2, true, true), "side", side("front")), half("front")}))
}

func TestCrossGrainNote(t *testing.T) {
	t.Parallel()
	names := []string{"top", "side", "hem", "centre-front"}
	body := func(name string, deg float64) *piece.Piece {
		p := shaped(name, 2, names, orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{220, 500}, orb.Point{0, 500})
		p.GrainDeg = deg
		return p
	}
	sewn := func(frontDeg, backDeg float64) []*piece.Piece {
		front, back := body("front", frontDeg), body("back", backDeg)
		front.Outline[1].Joins = []piece.Ref{{Piece: "back", Edge: "side"}}
		back.Outline[1].Joins = []piece.Ref{{Piece: "front", Edge: "side"}}
		return []*piece.Piece{front, back}
	}
	require.Contains(t, crossGrainNote(sewn(0, 90)), "front/side runs across the grain of front, and back/side, to which it is sewn, along that of back:")
	require.Contains(t, crossGrainNote(sewn(270, 180)), "back/side runs across the grain of back")
	for _, degs := range [][2]float64{{90, 90}, {90, 270}, {0, 180}, {45, 90}} { // up, upside down, both across, on the bias
		require.Empty(t, crossGrainNote(sewn(degs[0], degs[1])))
	}
}

func TestUnsaidNapNote(t *testing.T) {
	t.Parallel()
	fleece, remnant, lawn := piece.Scrap{Name: "jumper", Fabric: "moss fleece", Nap: true}, piece.Scrap{Name: "remnant", Fabric: "Moss fleece"}, piece.Scrap{Name: "lawn", Fabric: "lawn"}
	require.Contains(t, unsaidNapNote([]piece.Scrap{fleece, remnant, lawn}), "has one: remnant;")
	require.Empty(t, unsaidNapNote([]piece.Scrap{fleece, lawn}))
	require.Empty(t, unsaidNapNote([]piece.Scrap{fleece, {Name: "shorn", Fabric: "moss fleece", NoNap: true}, {Name: "sheet", Fabric: "moss fleece", Look: "grey"}}))
	require.Empty(t, unsaidNapNote([]piece.Scrap{remnant, lawn}))
	require.Empty(t, unsaidNapNote([]piece.Scrap{{Name: "a", Nap: true}, {Name: "b"}}))
}
