package check

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// edgesNamed are copies of pieces, each with one edge and what it is sewn to.
type edgesNamed struct {
	piece, edge string
	copies      int
	mm          float64
	joins       []string
}

func (all sewnEdges) proof() *carriedProof {
	o := &optionProof{common: &common{pieces: map[id]*pieceProof{}}, Option: &plan.Option{}}
	for _, n := range all {
		for k := range n.copies {
			at := id{n.piece, k + 1}
			e := drawnEdge{Edge: &plan.Edge{Name: n.edge, Joins: n.joins}, lengthMM: n.mm}
			if o.pieces[at] == nil {
				o.pieces[at] = &pieceProof{Piece: &plan.Piece{Name: n.piece}, id: at}
				o.order = append(o.order, at)
			}
			o.pieces[at].edges = append(o.pieces[at].edges, e)
		}
	}
	return &carriedProof{optionProof: o, Carried: &plan.Carried{}}
}

type sewnEdges []edgesNamed

// Edges of one name may each be sewn to one of several, or all to each: the layers of a
// collar go round both, and a cap meets the armholes of front and back in a row.
func TestShared(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		edges sewnEdges
		ref   string
		want  bool
	}{
		"the sides of a hood and the strip between them": {sewnEdges{
			{"hood", "crown", 2, 400, []string{"strip/left", "strip/right"}}, {"strip", "left", 1, 400, nil}, {"strip", "right", 1, 400, nil},
		}, "hood/crown", true},
		"two fronts of their own names": {sewnEdges{
			{"back", "side", 1, 300, []string{"left-front/side", "right-front/side"}}, {"back", "side", 1, 300, []string{"left-front/side", "right-front/side"}},
			{"left-front", "side", 1, 310, nil}, {"right-front", "side", 1, 310, nil},
		}, "back/side", true},
		"two layers of a collar round both fronts": {sewnEdges{
			{"front", "neck", 2, 200, []string{"collar/neck", "undercollar/neck"}}, {"collar", "neck", 1, 400, nil}, {"undercollar", "neck", 1, 396, nil},
		}, "front/neck", false},
		"two layers of a pair": {sewnEdges{
			{"sleeve", "hem", 2, 200, []string{"cuff/top", "facing/top"}}, {"cuff", "top", 2, 200, nil}, {"facing", "top", 2, 200, nil},
		}, "sleeve/hem", false},
		"a row": {sewnEdges{
			{"sleeve", "cap", 2, 400, []string{"front/armhole", "back/armhole"}}, {"front", "armhole", 1, 200, nil}, {"back", "armhole", 1, 200, nil},
		}, "sleeve/cap", false},
		"one alone": {sewnEdges{{"front", "side", 1, 300, []string{"back/side"}}, {"back", "side", 1, 300, nil}}, "front/side", false},
	} {
		p := c.edges.proof()
		require.Equal(t, c.want, p.shared(c.ref, p.partners(c.ref)), name)
	}
}

// A line that ends where nothing tells what is sewn there is not proved to go on.
func TestLineIntoARowOfThree(t *testing.T) {
	t.Parallel()
	p := sewnEdges{
		{"band", "top", 1, 600, []string{"front/hem", "side/hem", "back/hem"}}, {"front", "hem", 1, 200, nil}, {"side", "hem", 1, 200, nil}, {"back", "hem", 1, 200, nil},
	}.proof()
	band := p.pieces[id{"band", 1}]
	e := &carriedEnd{seam: &seamProof{PiecingSeam: &plan.PiecingSeam{Name: "A", Piece: "band"}, piece: band}, edge: band.edges[0], mm: 250}
	e.other = e
	p.ends = []*carriedEnd{e}
	p.meet()
	require.Len(t, p.found, 1)
	require.Contains(t, p.found[0].Detail, "nothing tells what is sewn there")
}
