package check

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// drawnPieces are copies of pieces, of edges as they are drawn.
func drawnPieces(t *testing.T, pieces ...plan.Piece) *carriedProof {
	o := &optionProof{common: &common{pieces: map[id]*pieceProof{}}, Option: &plan.Option{}}
	for i := range pieces {
		p := &pieceProof{Piece: &pieces[i], id: id{pieces[i].Name, pieces[i].Copy}}
		points := 0
		edges, err := drawn(p.Edges, &points)
		require.NoError(t, err)
		p.edges = edges
		o.pieces[p.id], o.order = p, append(o.order, p.id)
	}
	return &carriedProof{optionProof: o, Carried: &plan.Carried{}}
}

// Which of two that are sewn in a row to a third comes first on it is told by the seam
// between them, by the shoulder, by names or by the order of its joins; where nothing
// tells, either may.
func TestWhichComesFirstInARow(t *testing.T) {
	t.Parallel()
	joined := func(e plan.Edge, to ...string) plan.Edge { e.Joins = to; return e }
	body := func(name, other, shoulder, side string) plan.Piece {
		return pieceOf(name, 1, "", []plan.Edge{
			joined(edge(shoulder, 10, "M 0,0 L 150,0"), other+"/"+shoulder), edge("armhole", 10, "M 150,0 L 150,200"),
			joined(edge(side, 10, "M 150,200 L 150,600"), other+"/"+side), edge("hem", 10, "M 150,600 L 0,600"), edge("centre", 10, "M 0,600 L 0,0"),
		})
	}
	sleeve := func(copy int, right, left string, joins ...string) plan.Piece {
		p := pieceOf("sleeve", copy, "", []plan.Edge{
			joined(edge("cap", 10, "M 0,0 L 400,0"), joins...), joined(edge(right, 10, "M 400,0 L 350,400"), "sleeve/"+left),
			edge("hem", 10, "M 350,400 L 50,400"), edge(left, 10, "M 50,400 L 0,0"),
		})
		if copy == 2 { // mirrored
			p.Flipped = true
			p.Edges = []plan.Edge{
				joined(edge("cap", 10, "M 0,0 L 400,0"), joins...), joined(edge(left, 10, "M 400,0 L 350,400"), "sleeve/"+right),
				edge("hem", 10, "M 350,400 L 50,400"), edge(right, 10, "M 50,400 L 0,0"),
			}
		}
		return p
	}
	for name, c := range map[string]struct {
		ends        [2]string // the names of the edges beside the armholes
		right, left string
		joins       []string
		copies      int
		want        [2]int // of the front, on the drawn sleeve and its mirror image
	}{
		// The front's shoulder comes before its armhole, so it starts at the cap's start.
		"by the shoulder":    {[2]string{"shoulder", "flank"}, "under-1", "under-2", []string{"back/armhole", "front/armhole"}, 2, [2]int{1, 1}},
		"by the side":        {[2]string{"top", "side"}, "under-1", "under-2", []string{"back/armhole", "front/armhole"}, 2, [2]int{1, 1}},
		"by names":           {[2]string{"top", "flank"}, "under-front", "under-back", []string{"front/armhole", "back/armhole"}, 2, [2]int{-1, 1}},
		"by order":           {[2]string{"top", "flank"}, "under-1", "under-2", []string{"front/armhole", "back/armhole"}, 2, [2]int{1, -1}},
		"by the other order": {[2]string{"top", "flank"}, "under-1", "under-2", []string{"back/armhole", "front/armhole"}, 2, [2]int{-1, 1}},
		"not told":           {[2]string{"top", "flank"}, "under-1", "under-2", []string{"back/armhole", "front/armhole"}, 1, [2]int{0, 0}},
	} {
		pieces := []plan.Piece{body("front", "back", c.ends[0], c.ends[1]), body("back", "front", c.ends[0], c.ends[1])}
		for k := range c.copies {
			pieces = append(pieces, sleeve(k+1, c.right, c.left, c.joins...))
		}
		p := drawnPieces(t, pieces...)
		front := p.like("front/armhole")[0]
		for k, cap := range p.like("sleeve/cap") {
			row := p.partners("sleeve/cap")
			require.Equal(t, c.want[k], p.comesFirst(front, cap, row), "%s, sleeve %d", name, k+1)
			require.Equal(t, c.want[k] != 0, p.placeTold(front, cap), name)
			want := map[int][]float64{1: {190}, -1: {390}, 0: {190, 390}}[c.want[k]] // 10 mm below the shoulder
			require.InDeltaSlice(t, want, p.sewnPlaces(front, 10, cap), 1e-6, name)
			require.Len(t, p.sewnPlaces(cap, 100, front), map[int]int{1: 1, -1: 0, 0: 1}[c.want[k]], name)
		}
	}
}

// A yoke comes where it is sewn to the back, whatever the order.
func TestARowOfABackAndAYoke(t *testing.T) {
	t.Parallel()
	joined := func(e plan.Edge, to ...string) plan.Edge { e.Joins = to; return e }
	p := drawnPieces(t,
		pieceOf("yoke", 1, "", []plan.Edge{edge("shoulder", 10, "M 0,0 L 150,0"), edge("armhole", 10, "M 150,0 L 150,80"), joined(edge("lower", 10, "M 150,80 L 0,80"), "back/top")}),
		pieceOf("back", 1, "", []plan.Edge{edge("top", 10, "M 0,0 L 150,0"), edge("armhole", 10, "M 150,0 L 150,120"), joined(edge("side", 10, "M 150,120 L 150,520"), "front/side")}),
		pieceOf("sleeve", 1, "", []plan.Edge{joined(edge("cap-back", 10, "M 0,0 L 200,0"), "yoke/armhole", "back/armhole"), edge("cap-front", 10, "M 200,0 L 400,0"), edge("hem", 10, "M 400,0 L 0,300")}))
	cap := p.like("sleeve/cap-back")[0]
	row := p.partners("sleeve/cap-back")
	require.Equal(t, 1, p.comesFirst(p.like("back/armhole")[0], cap, row))
	require.Equal(t, -1, p.comesFirst(p.like("yoke/armhole")[0], cap, row))
}
