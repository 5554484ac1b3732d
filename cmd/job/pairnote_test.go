package job

import (
	"testing"

	"eke/piece"
	"eke/piece/curve"

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
	require.Equal(t, "sleeve is cut several times the same way round, and not the same turned over: if a left and a right are meant, write mirrored: yes, or all are for one side", sameWayNote([]*piece.Piece{sleeve()}))
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
	} {
		p := sleeve()
		change(p)
		require.Empty(t, sameWayNote([]*piece.Piece{p}), name)
	}
}

func TestWholePairNote(t *testing.T) {
	t.Parallel()
	back := &piece.Piece{Name: "back", Count: 2, Mirrored: true, Centre: &piece.Axis{}}
	require.Contains(t, wholePairNote([]*piece.Piece{back}), "back is drawn on the fold, and so each is a whole one, and 2 are cut as left and right:")
	require.Empty(t, wholePairNote([]*piece.Piece{{Name: "back", Count: 2, Mirrored: true}, {Name: "yoke", Count: 2, Centre: &piece.Axis{}}, {Name: "collar", Count: 2, Mirrored: true, Centre: &piece.Axis{}}}))
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
