package replan

import (
	"context"
	"slices"
	"strings"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"
	"eke/split/wish"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// A panel, a band and a pocket of linen, and two tabs and a loop of denim.
const twoFabrics = `<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="700mm" viewBox="0 0 900 700">
<g id="panel" data-fabric="linen"><path class="seam" d="M0,0 H200 V600 H0 Z"/><path class="grain" d="M100,100 V500"/></g>
<g id="band" data-fabric="linen"><path class="seam" d="M300,0 H500 V60 H300 Z"/><path class="grain" d="M400,10 V50"/></g>
<g id="pocket" data-fabric="linen"><path class="seam" d="M300,200 H400 V300 H300 Z"/><path class="grain" d="M350,220 V280"/></g>
<g id="tab" data-fabric="denim" data-cut="2"><path class="seam" d="M600,0 H680 V60 H600 Z"/><path class="grain" d="M640,10 V50"/></g>
<g id="loop" data-fabric="denim"><path class="seam" d="M700,0 H780 V100 H700 Z"/><path class="grain" d="M740,10 V50"/></g>
</svg>`

func fabrics(t *testing.T) []*piece.Piece {
	t.Helper()
	out, err := svg.Pattern(strings.NewReader(twoFabrics), "pattern.svg")
	require.NoError(t, err)
	return out
}

// begun is a plan for them.
func begun(t *testing.T, o search.Options, cloth []piece.Scrap) *plan.Document {
	t.Helper()
	res, err := search.Run(context.Background(), fabrics(t), cloth, o)
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	r := split.Record{Settings: o.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(cloth), Plans: res.Plans[:1]}
	return reread(t, r.Document())
}

func partOf(o *plan.Option, name string) *plan.Part {
	return &o.Parts[slices.IndexFunc(o.Parts, func(p plan.Part) bool { return p.Name == name })]
}

// A part that is spoilt and needs the place of another of its fabric moves that one,
// and nothing of a fabric that it cannot be cut from, whatever cloth there is since.
func TestOnlyWhatIsInTheWayMoves(t *testing.T) {
	t.Parallel()
	cloth := pile(t, "linen 1, linen: 23 x 63 cm", "linen 2, linen: 23 x 63 cm", "linen 3, linen: 13 x 13 cm", "denim 1, denim: 40 x 40 cm")
	d := begun(t, options, cloth)
	was := &d.Options[0]
	require.Zero(t, was.Seams)
	require.NotEqual(t, partOf(was, "panel").Scrap, partOf(was, "band").Scrap)
	require.Equal(t, "linen 3", partOf(was, "pocket").Scrap)
	more := slices.Concat(cloth, pile(t, "end, linen: 24 x 9 cm", "bit, linen: 12.1 x 12.1 cm", "denim 2, denim: 11 x 13 cm", "denim 3, denim: 11 x 17 cm"))
	once := options
	once.MaxSeams = 0
	s, err := Start(d, 0, fabrics(t), more)
	require.NoError(t, err)
	require.NoError(t, s.Mark(nil, []string{"panel"}, nil))
	found, err := s.Plans(context.Background(), once)
	require.NoError(t, err)
	require.NotEmpty(t, found)
	now := reread(t, found[0].Document())
	require.Empty(t, check.After(d, 0, now, 0, s.Pile()...))
	require.Len(t, check.After(d, 0, now, 0), len(more)-len(cloth), "scraps that the pile is not said to have")
	o := &now.Options[0]
	require.Zero(t, o.Seams)
	require.Equal(t, partOf(was, "band").Scrap, partOf(o, "panel").Scrap)
	require.Equal(t, "end", partOf(o, "band").Scrap)
	for _, name := range []string{"tab-1", "tab-2", "loop", "pocket"} {
		require.Equal(t, partOf(was, name), partOf(o, name))
	}
	for i := 1; i < len(found); i++ {
		require.LessOrEqual(t, found[0].moved, found[i].moved)
	}
}

// Wishes about pieces that all stay do not stand in the way of what is spoilt.
func TestWishesAboutWhatStays(t *testing.T) {
	t.Parallel()
	cloth := pile(t, "linen 1, linen: 23 x 63 cm", "linen 2, linen: 24 x 9 cm", "linen 4, linen: 13 x 13 cm", "linen 3, linen: 23 x 63 cm", "denim 1, denim: 40 x 40 cm")
	o := options
	for _, text := range []string{"loop like tab", "tab alike"} {
		w, err := wish.Parse(text)
		require.NoError(t, err)
		o.Wishes = append(o.Wishes, w)
	}
	d := begun(t, o, cloth)
	s, err := Start(d, 0, fabrics(t), cloth)
	require.NoError(t, err)
	require.NoError(t, s.Mark([]string{"band"}, []string{"panel"}, nil))
	r, ok := s.Mended(context.Background(), o)
	require.True(t, ok, "there is cloth for another panel")
	require.Empty(t, check.After(d, 0, reread(t, r.Document()), 0))
}
