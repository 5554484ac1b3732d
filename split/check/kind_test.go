package check

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// Knit is sewn to woven where two pieces that hang together by joins come from
// the one and the other, through however many pieces.
func TestKindsOfJoinedPieces(t *testing.T) {
	join := func(d *plan.Document, piece int, to string) {
		d.Pieces[piece].Edges[0].Joins = append(d.Pieces[piece].Edges[0].Joins, to)
	}
	kinds := func(of ...string) func(*plan.Document) {
		return func(d *plan.Document) {
			for i, k := range of {
				d.Scraps[i].Kind = k
			}
		}
	}
	const front, back, sleeve, sleeveToo, facing = 0, 1, 2, 3, 4
	for name, c := range map[string]struct {
		kinds func(*plan.Document)
		joins map[int]string
		wish  string
		want  []Rule
	}{
		"apart":                         {kinds: kinds("knit", "knit", "woven", "knit", "woven")},
		"of one kind":                   {kinds: kinds("knit", "knit", "knit"), joins: map[int]string{front: "back/neck"}},
		"joined":                        {kinds: kinds("knit", "knit", "woven"), joins: map[int]string{front: "back/neck"}, want: only(Kind)},
		"joined, in another case":       {kinds: kinds("knit", "knit", "woven"), joins: map[int]string{front: "Back/neck"}, want: only(Kind)},
		"joined by the other":           {kinds: kinds("knit", "knit", "woven"), joins: map[int]string{back: "front/neck"}, want: only(Kind)},
		"joined, one not known":         {kinds: kinds("knit", "", "woven"), joins: map[int]string{facing: "back/neck"}},
		"joined, and a wish":            {kinds: kinds("knit", "knit", "woven"), joins: map[int]string{front: "back/neck"}, wish: " Mix  kinds"},
		"joined through one in between": {kinds: kinds("knit", "knit", "", "woven"), joins: map[int]string{front: "back/neck", back: "sleeve/cap"}, want: only(Kind)},
		"one in between that is apart":  {kinds: kinds("knit", "knit", "", "woven"), joins: map[int]string{front: "back/neck", facing: "sleeve/cap"}},
	} {
		t.Run(name, func(t *testing.T) {
			d := garment(t)
			c.kinds(d)
			for piece, to := range c.joins {
				join(d, piece, to)
			}
			if c.wish != "" {
				d.Options[0].Wishes = []plan.Wish{{Text: c.wish, Kept: true}}
			}
			faults := Document(d)
			if c.want == nil {
				require.Empty(t, faults)
				return
			}
			holdTo(t, c.want, faults)
		})
	}
}

// A scrap whose fabric is not given is of what its name says.
func TestFabricFromAName(t *testing.T) {
	for name, fabric := range map[string]string{"off cream": "", "CREAM-2": "", "cream rib 2": "cream rib", "oddment": "cream"} {
		d := garment(t)
		d.Scraps[2].Fabric = fabric
		rename(d, &d.Options[0], 2, name)
		require.Empty(t, Document(d), name)
	}
}
