package puzzle

import (
	"fmt"
	"math/rand/v2"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Garment is the pieces of a garment of that size, 1 being a grown woman's,
// its lines a little different each time.
func Garment(kind string, size float64, rng *rand.Rand) ([]*piece.Piece, error) {
	vary := func(mm, by float64) float64 { return size * (mm + (2*rng.Float64()-1)*by) }
	g := &drawing{}
	switch kind {
	case "t-shirt", "vest":
		shoulder, half, length := vary(120, 15), vary(250, 25), vary(620, 60)
		scye, neck := vary(225, 15), vary(80, 8)
		if kind == "vest" {
			shoulder *= 0.6
		}
		g.body("front", half, length, shoulder, neck, vary(95, 15), scye)
		g.body("back", half, length, shoulder, neck, vary(25, 5), scye)
		if kind == "t-shirt" {
			g.sleeve(vary(180, 12), vary(130, 10), vary(230, 40))
		}
	case "raglan":
		half, length := vary(240, 20), vary(600, 50)
		g.raglanBody("front", half, length, vary(70, 6), vary(60, 6), vary(230, 12))
		g.raglanBody("back", half, length, vary(70, 6), vary(15, 4), vary(230, 12))
		g.raglanSleeve(vary(185, 12), vary(230, 12), vary(300, 80))
	default:
		return nil, fmt.Errorf("no garment %q", kind)
	}
	return g.pieces, g.err
}

// drawing gathers pieces and the first error.
type drawing struct {
	pieces []*piece.Piece
	err    error
}

func (g *drawing) add(d piece.Draft) {
	d.File, d.AllowanceMM, d.Outline.Closed = "puzzle", 10, true
	box := d.Outline.Line.Bound()
	mid := box.Center()
	d.Grains = []piece.DraftLine{{Line: curve.Polyline(orb.Point{mid[0], box.Min[1]}, orb.Point{mid[0], box.Max[1]})}}
	p, err := piece.Make(d)
	if err != nil && g.err == nil {
		g.err = err
	}
	g.pieces = append(g.pieces, p)
}

func edge(name string, line ...curve.Segment) piece.DraftEdge {
	return piece.DraftEdge{DraftLine: piece.DraftLine{Line: line}, Name: name, AllowanceMM: -1}
}

// body is a front or back, half drawn, on the fold at x = 0.
func (g *drawing) body(name string, half, length, shoulder, neck, drop, scye float64) {
	neckPoint, shoulderPoint := orb.Point{neck, 0}, orb.Point{neck + shoulder*0.94, shoulder * 0.34}
	underarm, hem := orb.Point{half, scye}, orb.Point{half * 1.02, length}
	neckline := curve.Cubic(orb.Point{0, drop}, orb.Point{neck * 0.6, drop}, orb.Point{neck, drop * 0.6}, neckPoint)
	seam := curve.Line(neckPoint, shoulderPoint)
	in := orb.Point{shoulderPoint[0] - 8, (shoulderPoint[1] + scye) / 2}
	armhole := curve.Cubic(shoulderPoint, in, orb.Point{in[0], scye}, underarm)
	side, bottom := curve.Line(underarm, hem), curve.Line(hem, orb.Point{0, length})
	fold := curve.Line(orb.Point{0, length}, orb.Point{0, drop})
	g.add(piece.Draft{
		Name:    name,
		Outline: piece.DraftLine{Line: curve.Path{neckline, seam, armhole, side, bottom, fold}},
		Folds:   []piece.DraftLine{{Line: curve.Path{fold}}},
		Edges:   []piece.DraftEdge{edge("neck", neckline), edge("shoulder", seam), edge("armhole", armhole), edge("side", side), edge("hem", bottom)},
	})
}

func (g *drawing) sleeve(half, cap, length float64) {
	top := orb.Point{0, 0}
	right, left := orb.Point{half, cap}, orb.Point{-half * 0.97, cap}
	capBack := curve.Cubic(top, orb.Point{half * 0.5, 0}, orb.Point{half * 0.55, cap}, right)
	capFront := curve.Cubic(left, orb.Point{-half * 0.5, cap}, orb.Point{-half * 0.5, 0}, top)
	r, l := orb.Point{half * 0.85, length}, orb.Point{-half * 0.83, length}
	g.add(piece.Draft{
		Name: "sleeve", Count: 2, Mirrored: true,
		Outline: piece.DraftLine{Line: curve.Path{capBack, curve.Line(right, r), curve.Line(r, l), curve.Line(l, left), capFront}},
		Edges: []piece.DraftEdge{edge("cap-back", capBack), edge("underarm-back", curve.Line(right, r)), edge("hem", curve.Line(r, l)),
			edge("underarm-front", curve.Line(l, left)), edge("cap-front", capFront)},
	})
}

func (g *drawing) raglanBody(name string, half, length, neck, drop, scye float64) {
	neckPoint, underarm, hem := orb.Point{neck, 0}, orb.Point{half, scye}, orb.Point{half * 1.02, length}
	neckline := curve.Cubic(orb.Point{0, drop}, orb.Point{neck * 0.6, drop}, orb.Point{neck, drop * 0.6}, neckPoint)
	raglan := curve.Cubic(neckPoint, orb.Point{neck + 25, scye * 0.4}, orb.Point{half * 0.65, scye * 0.95}, underarm)
	side, bottom := curve.Line(underarm, hem), curve.Line(hem, orb.Point{0, length})
	fold := curve.Line(orb.Point{0, length}, orb.Point{0, drop})
	g.add(piece.Draft{
		Name:    name,
		Outline: piece.DraftLine{Line: curve.Path{neckline, raglan, side, bottom, fold}},
		Folds:   []piece.DraftLine{{Line: curve.Path{fold}}},
		Edges:   []piece.DraftEdge{edge("neck", neckline), edge("raglan", raglan), edge("side", side), edge("hem", bottom)},
	})
}

func (g *drawing) raglanSleeve(half, scye, length float64) {
	a, b := orb.Point{-30, 0}, orb.Point{28, 4}
	right, left := orb.Point{half, scye}, orb.Point{-half, scye}
	r, l := orb.Point{half * 0.7, scye + length}, orb.Point{-half * 0.7, scye + length}
	back := curve.Cubic(b, orb.Point{50, scye * 0.5}, orb.Point{half * 0.7, scye * 0.95}, right)
	front := curve.Cubic(left, orb.Point{-half * 0.7, scye * 0.95}, orb.Point{-50, scye * 0.5}, a)
	g.add(piece.Draft{
		Name: "sleeve", Count: 2, Mirrored: true,
		Outline: piece.DraftLine{Line: curve.Path{curve.Line(a, b), back, curve.Line(right, r), curve.Line(r, l), curve.Line(l, left), front}},
		Edges: []piece.DraftEdge{edge("neck", curve.Line(a, b)), edge("raglan-back", back), edge("underarm-back", curve.Line(right, r)),
			edge("hem", curve.Line(r, l)), edge("underarm-front", curve.Line(l, left)), edge("raglan-front", front)},
	})
}
