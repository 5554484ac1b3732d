package optional

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/scraps"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"
	"eke/split/wish"
	"eke/svg"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// rectangles are pieces of those sizes in mm, with their allowances, a line each:
// "flag 200 300", and facts after that.
func rectangles(t require.TestingT, lines ...string) []*piece.Piece {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="5000mm" height="5000mm" viewBox="0 0 5000 5000">`)
	for i, l := range lines {
		var name string
		var w, h float64
		_, err := fmt.Sscan(l, &name, &w, &h)
		require.NoError(t, err)
		facts := strings.Join(strings.Fields(l)[3:], " ")
		x := float64(i) * 700
		fmt.Fprintf(&b, `<g id="%s" %s><path class="cut" d="M%g,0 H%g V%g H%g Z"/><path class="grain" d="M%g,10 V20"/></g>`, name, facts, x, x+w, h, x, x+10)
	}
	b.WriteString(`</svg>`)
	out, err := svg.Pattern(strings.NewReader(b.String()), "rectangles.svg")
	require.NoError(t, err)
	return out
}

func pile(t require.TestingT, flags ...string) (out []piece.Scrap) {
	for _, f := range flags {
		s, err := scraps.ParseFlag(f)
		require.NoError(t, err)
		out = append(out, s)
	}
	return out
}

// added is what is cut beside the pieces that are not optional, and the plan
// without and with it.
func added(t require.TestingT, pieces []*piece.Piece, cloth []piece.Scrap, wishes ...wish.Wish) (names []string, before, after *plan.Document) {
	o := search.Options{Keep: 1, MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1, Wishes: wishes}
	var main, extras, all []*piece.Piece
	for _, p := range split.Copies(pieces) {
		all = append(all, p)
		if p.Optional {
			extras = append(extras, p)
		} else {
			main = append(main, p)
		}
	}
	res, err := search.RunCopies(context.Background(), main, cloth, o)
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	r := split.Record{Settings: o.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(cloth), Plans: res.Plans[:1]}
	before = r.Document()
	more, err := Add(context.Background(), r, extras, o)
	require.NoError(t, err)
	require.Equal(t, before, r.Document(), "the plan that was given is changed")
	after = more.Document()
	whole := split.Record{Drawn: all}
	after.Pieces = whole.Document().Pieces
	require.Empty(t, check.Document(after))
	for _, p := range after.Options[0].Parts[len(before.Options[0].Parts):] {
		names = append(names, p.Name)
	}
	slices.Sort(names)
	return names, before, after
}

func TestAdd(t *testing.T) {
	t.Parallel()
	const nice = ` data-optional="yes"`
	for name, c := range map[string]struct {
		pieces []string
		cloth  []string
		want   []string
	}{
		"all go":                       {[]string{"flag 200 300", "bag 100 150" + nice, "patch 50 50" + nice}, []string{"linen: 40 x 31 cm"}, []string{"bag", "patch"}},
		"none goes":                    {[]string{"flag 200 300", "bag 100 150" + nice}, []string{"linen: 20.5 x 30.5 cm"}, nil},
		"the smaller one goes":         {[]string{"flag 200 300", "bag 100 290" + nice, "bib 95 280" + nice}, []string{"linen: 31 x 31 cm"}, []string{"bib"}},
		"one of two copies":            {[]string{"flag 200 300", `bag 100 160 data-cut="2"` + nice}, []string{"linen: 31 x 31 cm"}, []string{"bag-1"}},
		"from another scrap":           {[]string{"flag 200 300", "bag 100 150" + nice}, []string{"linen: 20.5 x 30.5 cm", "rag: 11 x 16 cm"}, []string{"bag"}},
		"by no more than the gap":      {[]string{"flag 200 300", "bag 100 300" + nice}, []string{"linen: 30.3 x 30.1 cm"}, nil},
		"of its fabric only":           {[]string{"flag 200 300", `bag 100 150 data-fabric="silk"` + nice}, []string{"linen: 60 x 31 cm"}, nil},
		"on cloth that nothing is on":  {[]string{"flag 200 300", `bag 100 150 data-fabric="silk"` + nice}, []string{"linen: 60 x 31 cm", "silk: 10.5 x 15.5 cm"}, []string{"bag"}},
		"never turned off the grain":   {[]string{"flag 200 300", "band 300 40" + nice}, []string{"linen: 20.5 x 90 cm"}, nil},
		"as many as go, smaller first": {[]string{"flag 200 300", "a 60 300" + nice, "b 90 300" + nice, "c 95 300" + nice}, []string{"linen: 37 x 31 cm"}, []string{"a", "b"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got, _, _ := added(t, rectangles(t, c.pieces...), pile(t, c.cloth...))
			require.Equal(t, c.want, got)
		})
	}
}

// A wish that the plan keeps is kept with what is added.
func TestAddKeepsWishes(t *testing.T) {
	t.Parallel()
	w, err := wish.Parse("linen only for flag")
	require.NoError(t, err)
	pieces := rectangles(t, "flag 200 300", `bag 100 150 data-optional="yes"`)
	got, _, _ := added(t, pieces, pile(t, "linen: 60 x 31 cm"), w)
	require.Empty(t, got)
	got, _, _ = added(t, pieces, pile(t, "linen: 60 x 31 cm", "rag: 11 x 16 cm"), w)
	require.Equal(t, []string{"bag"}, got)
}

// A wish that names what is added is kept with it, or it is not added: the look of
// the one decides where the other may lie.
func TestAddKeepsWishesAboutIt(t *testing.T) {
	t.Parallel()
	pieces := rectangles(t, "flag 200 300", `bag 100 150 data-cut="2" data-optional="yes"`)
	for name, c := range map[string]struct {
		wish  string
		cloth []string
		want  []string
	}{
		"like, beside it":            {"bag like flag", []string{"linen: 33 x 31 cm", "rag: 11 x 16 cm"}, []string{"bag-1", "bag-2"}},
		"like, no room beside it":    {"bag like flag", []string{"linen: 20.5 x 30.5 cm", "rag: 11 x 32 cm"}, nil},
		"like, the other way about":  {"flag like bag", []string{"linen: 20.5 x 30.5 cm", "rag: 11 x 32 cm"}, nil},
		"unlike":                     {"bag unlike flag", []string{"linen: 33 x 31 cm", "rag: 11 x 16 cm"}, []string{"bag-1"}},
		"alike":                      {"bag alike", []string{"linen: 20.5 x 30.5 cm", "rag: 11 x 16 cm", "tick: 11 x 16 cm"}, []string{"bag-1"}},
		"alike, both of one":         {"bag alike", []string{"linen: 20.5 x 30.5 cm", "rag: 11 x 16 cm", "tick: 11 x 32 cm"}, []string{"bag-1", "bag-2"}},
		"preferred, and it is apart": {"prefer bag like flag", []string{"linen: 20.5 x 30.5 cm", "rag: 11 x 32 cm"}, []string{"bag-1", "bag-2"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w, err := wish.Parse(c.wish)
			require.NoError(t, err)
			got, _, _ := added(t, pieces, pile(t, c.cloth...), w)
			require.Equal(t, c.want, got)
		})
	}
}

// Whatever is added, nothing that the plan had is moved, no seam is added, and the
// whole is proved.
func TestAddMovesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float64Range(50, 300)
		var lines []string
		for i := range rapid.IntRange(1, 2).Draw(t, "main") {
			lines = append(lines, fmt.Sprintf("m%d %.1f %.1f", i, side.Draw(t, "width"), side.Draw(t, "length")))
		}
		for i := range rapid.IntRange(1, 3).Draw(t, "extras") {
			lines = append(lines, fmt.Sprintf(`x%d %.1f %.1f data-optional="yes" data-cut="%d"`, i, side.Draw(t, "width"), side.Draw(t, "length"), rapid.IntRange(1, 2).Draw(t, "count")))
		}
		cloth := pile(t, "first: 32 x 32 cm", "second: 35 x 32 cm", fmt.Sprintf("third: %.1f x %.1f cm", side.Draw(t, "w")/10+1, side.Draw(t, "l")/10+1))
		_, before, after := added(t, rectangles(t, lines...), cloth)
		was, now := before.Options[0], after.Options[0]
		require.Equal(t, was.Parts, now.Parts[:len(was.Parts)])
		require.Equal(t, was.PiecingSeams, now.PiecingSeams)
	})
}
