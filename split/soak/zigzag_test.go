package soak

import (
	"fmt"
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// zigzag is a piece of that many points on its outline, which goes to and fro
// by 6 mm all the way round. Each side is an edge, as a reader makes one of
// what lies between two corners.
func zigzag(points int) *piece.Piece {
	const wide, high, deep = 400.0, 600.0, 6.0
	ring := make(orb.Ring, 0, points)
	round := 2 * (wide + high)
	for i := range points {
		at := math.Mod(round*float64(i)/float64(points), round)
		off := deep * float64(i%2)
		switch {
		case at < wide:
			ring = append(ring, orb.Point{at, -off})
		case at < wide+high:
			ring = append(ring, orb.Point{wide + off, at - wide})
		case at < 2*wide+high:
			ring = append(ring, orb.Point{2*wide + high - at, high + off})
		default:
			ring = append(ring, orb.Point{-off, round - at})
		}
	}
	p := &piece.Piece{Name: "zigzag", GrainDeg: 90, Count: 1}
	for i, q := range ring {
		p.Outline = append(p.Outline, piece.Edge{AllowanceMM: 10, Line: curve.Polyline(q, ring[(i+1)%points])})
	}
	return p
}

// zigzagPlan is a plan for it by hand, with one seam.
func zigzagPlan(t testing.TB, points int) *plan.Document {
	p := zigzag(points)
	_, crosses := piece.SelfCrossing(p.Outline.Ring())
	require.False(t, crosses)
	return document(t, p)
}

func document(t testing.TB, p *piece.Piece) *plan.Document {
	tree := new(split.Tree)
	require.NotZero(t, tree.ByHand(p, split.Yoke{}, 250, 0))
	m, err := split.Make(&split.Plan{Pieces: p.Copies(), Trees: []*split.Tree{tree}}, 10)
	require.NoError(t, err)
	var cloth []*piece.Scrap
	for k := range m.Parts {
		m.Parts[k].Leaf.Scrap = k
		cloth = append(cloth, &piece.Scrap{Name: fmt.Sprint("cloth ", k), GrainDeg: 90, Count: 1, Outline: orb.Ring{{-100, -100}, {900, -100}, {900, 900}, {-100, 900}}})
	}
	r := split.Record{Settings: plan.Settings{GrainToleranceDeg: 2, AllowanceMM: 10}, Drawn: m.Plan.Pieces, Scraps: cloth, Plans: []*split.Made{m}}
	return r.Document()
}

// BenchmarkZigzag is the time to cut, and to prove, a part whose outline is
// nothing but corners.
func BenchmarkZigzag(b *testing.B) {
	for _, points := range []int{1000, 3000, 9000} {
		b.Run(fmt.Sprint("cut ", points), func(b *testing.B) {
			for b.Loop() {
				zigzagPlan(b, points)
			}
		})
		b.Run(fmt.Sprint("proof ", points), func(b *testing.B) {
			d := zigzagPlan(b, points)
			for b.Loop() {
				require.Empty(b, check.Document(d))
			}
		})
	}
}
