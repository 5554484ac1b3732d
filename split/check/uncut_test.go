package check

import (
	"slices"
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
		require.Contains(t, uncut(func(p *plan.Piece) { p.Ready, p.Optional = true, true }, wished(text)), Wish, "of what is cut already no look is known")
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

// A wish about an optional piece is proved of the copies that are cut, and of them
// as of any other piece.
func TestWishesAboutOptionalCopies(t *testing.T) {
	optional := func(d *plan.Document, name string) {
		for i := range d.Pieces {
			if d.Pieces[i].Name == name {
				d.Pieces[i].Optional = true
			}
		}
	}
	for name, c := range map[string]struct {
		wish   string
		change func(d *plan.Document, o *plan.Option)
		broken bool
	}{
		"one that is cut is like another piece": {"facing like sleeve", func(d *plan.Document, _ *plan.Option) { optional(d, "facing") }, false},
		"it is cut from another look":           {"facing like back", func(d *plan.Document, _ *plan.Option) { optional(d, "facing") }, true},
		"the other is":                          {"back like facing", func(d *plan.Document, _ *plan.Option) { optional(d, "facing") }, true},
		"it is left out, beside a piece in two looks": {"facing like front", func(d *plan.Document, o *plan.Option) {
			optional(d, "facing")
			d.Scraps[1].Look = "tweed"
			o.Parts = o.Parts[:facing]
		}, false},
		"one that must be cut has two": {"facing like front", func(d *plan.Document, o *plan.Option) {
			optional(d, "front")
			d.Scraps[1].Look = "plaid"
		}, true},
		"one of two copies is": {"sleeve like back", func(d *plan.Document, o *plan.Option) {
			optional(d, "sleeve")
			o.Parts = slices.Delete(o.Parts, sleeve2, sleeve2+1)
		}, true},
		"one of two copies is left out, of those that are alike": {"sleeve alike", func(d *plan.Document, o *plan.Option) {
			optional(d, "sleeve")
			o.Parts = slices.Delete(o.Parts, sleeve2, sleeve2+1)
		}, false},
		"the first of them is": {"sleeve alike", func(d *plan.Document, o *plan.Option) {
			optional(d, "sleeve")
			o.Parts = slices.Delete(o.Parts, sleeve1, sleeve1+1)
		}, false},
		"both are cut, and split otherwise": {"front alike", func(d *plan.Document, o *plan.Option) {
			asFront(d, o)
			optional(d, "front")
		}, true},
	} {
		t.Run(name, func(t *testing.T) {
			d := garment(t)
			o := &d.Options[0]
			c.change(d, o)
			require.NotContains(t, rulesOf(Document(d)), Wish)
			o.Wishes = []plan.Wish{{Text: c.wish, Kept: true}}
			if !c.broken {
				require.Empty(t, Document(d))
				return
			}
			require.Contains(t, rulesOf(Document(d)), Wish)
		})
	}
}

// asFront makes the back the front's second copy, in one look with the first.
func asFront(d *plan.Document, o *plan.Option) {
	for i := range d.Scraps {
		d.Scraps[i].Look = "plaid"
	}
	for i := range d.Pieces {
		if p := &d.Pieces[i]; p.Name == "back" {
			p.Name, p.Copy = "front", 2
		}
	}
	for i := range o.Parts {
		if p := &o.Parts[i]; p.Piece == "back" {
			p.Piece, p.Copy = "front", 2
		}
	}
	o.PiecingSeams[1].Piece, o.PiecingSeams[1].Copy = "front", 2
}
