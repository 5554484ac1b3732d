package check

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// An optional piece need not be cut; one that is ready must not be; and any
// other that is not is missing.
func TestPiecesThatAreNotCut(t *testing.T) {
	uncut := func(say func(p *plan.Piece), more ...func(*plan.Document)) []Rule {
		d := garment(t)
		for _, change := range more {
			change(d)
		}
		o := &d.Options[0]
		gone := o.Parts[facing]
		o.Parts = o.Parts[:facing]
		for i := range d.Pieces {
			if p := &d.Pieces[i]; p.Name == gone.Piece && p.Copy == gone.Copy {
				say(p)
			}
		}
		return rulesOf(Document(d))
	}
	require.Contains(t, uncut(func(*plan.Piece) {}), Missing)
	require.Empty(t, uncut(func(p *plan.Piece) { p.Optional = true }))
	require.Empty(t, uncut(func(p *plan.Piece) { p.Ready = true }))

	wished := func(text string) func(*plan.Document) {
		return func(d *plan.Document) { d.Options[0].Wishes = []plan.Wish{{Text: text, Kept: true}} }
	}
	for _, text := range []string{"facing like back", "back like facing", "facing unlike back", "facing alike"} {
		require.Empty(t, uncut(func(p *plan.Piece) { p.Optional = true }, wished(text)), "what is left out is unlike nothing")
		require.Contains(t, uncut(func(p *plan.Piece) { p.Ready = true }, wished(text)), Wish, "of what is cut already no look is known")
	}

	d := garment(t)
	for i := range d.Pieces {
		d.Pieces[i].Optional = true
	}
	require.Empty(t, Document(d), "optional pieces that are cut are proved as any other")
	d.Options[0].Parts = append(d.Options[0].Parts[:frontUpper], d.Options[0].Parts[frontUpper+1:]...)
	require.Contains(t, rulesOf(Document(d)), Missing, "half of an optional piece is no piece")
	d = garment(t)
	d.Pieces[0].Ready = true
	require.Contains(t, rulesOf(Document(d)), Names, "what is ready is not cut again")
}
