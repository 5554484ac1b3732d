package check

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// An optional piece need not be cut; one that is ready must not be; and any
// other that is not is missing.
func TestPiecesThatAreNotCut(t *testing.T) {
	uncut := func(say func(p *plan.Piece)) []Rule {
		d := garment(t)
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
