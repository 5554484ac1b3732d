package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestGrid(t *testing.T) {
	for name, c := range map[string]struct {
		rows [][]string
		want string
	}{
		"as wide as it needs": {[][]string{{"front", "3 mm"}}, "part   short\nfront  3 mm\n"},
		"empty cells":         {[][]string{{"front", ""}, {"", "3 mm"}}, "part   short\nfront\n       3 mm\n"},
		"accents":             {[][]string{{"a\u0301rmel", "x"}, {"ärmel", "x"}}, "part   short\na\u0301rmel  x\närmel  x\n"},
		"wide letters":        {[][]string{{"前身頃", "x"}, {"front", "x"}}, "part    short\n前身頃  x\nfront   x\n"},
		"no control":          {[][]string{{"\x1b[1mfr\nont", "x"}}, "part      short\n[1mfront  x\n"},
	} {
		t.Run(name, func(t *testing.T) {
			g := newGrid("part", "short")
			for _, r := range c.rows {
				g.add(r...)
			}
			var b strings.Builder
			require.NoError(t, g.print(&b))
			require.Equal(t, c.want, b.String())
		})
	}
}

func TestGridGivesWay(t *testing.T) {
	g := newGrid("part", "scrap", "why")
	g.add(strings.Repeat("front-", 20), strings.Repeat("頃", 60), "short")
	var b strings.Builder
	require.NoError(t, g.print(&b))
	for _, line := range strings.Split(b.String(), "\n") {
		require.LessOrEqual(t, columns(line), gridColumns)
	}
	require.NotContains(t, b.String(), "…")
	require.Equal(t, 20, strings.Count(strings.Join(strings.Fields(b.String()), ""), "front-"))
	require.Equal(t, 60, strings.Count(b.String(), "頃"))
	require.Contains(t, b.String(), "short\n")
}

// Names that begin alike can be told apart, and a sentence ends.
func TestGridCutsNothing(t *testing.T) {
	g := newGrid("seam", "kind", "joins", "length")
	g.add("A", "lengthwise seam", "sleeve-right-lower-back + sleeve-right-lower-front", "303 mm (11 15/16 in)")
	g.add("B", "lengthwise seam", "sleeve-right-lower-back + sleeve-right-lower-fringe", "24 mm")
	var b strings.Builder
	require.NoError(t, g.print(&b))
	require.Equal(t, `seam  kind             joins                                length
A     lengthwise seam  sleeve-right-lower-back + sleeve-    303 mm (11 15/16 in)
                       right-lower-front
B     lengthwise seam  sleeve-right-lower-back + sleeve-    24 mm
                       right-lower-fringe
`, b.String())
	for _, c := range []struct {
		text string
		most int
		want []string
	}{
		{"", 4, []string{""}}, {"one two", 7, []string{"one two"}}, {"one two", 3, []string{"one", "two"}}, {"one two", 5, []string{"one", "two"}},
		{"abcdefgh", 3, []string{"abc", "def", "gh"}}, {"頃頃", 1, []string{"頃", "頃"}}, {"front/side", 7, []string{"front/", "side"}}, {"fine  end", 5, []string{"fine", "end"}},
		{"24 1/8 × 20 15/16 in", 19, []string{"24 1/8 ×", "20 15/16 in"}}, {"20 15/16 in", 9, []string{"20 15/16", "in"}}, {"303 mm (11 15/16 in)", 18, []string{"303 mm", "(11 15/16 in)"}},
	} {
		require.Equal(t, c.want, folded(c.text, c.most), c.text)
	}
}

// A length is not broken in two: the names give way, and then a rectangle after its ×.
func TestGridBreaksNoLength(t *testing.T) {
	g := newGrid("fabric", "cloth", "tape", "strips", "one strip", "rectangle", "square")
	g.add("heavy wool coating", "0.43 yd²", "358 in", "21", "347 in", "24 1/8 × 20 15/16 in", "20 15/16 in")
	var b strings.Builder
	require.NoError(t, g.print(&b))
	require.Contains(t, b.String(), "  24 1/8 × 20 15/16 in  20 15/16 in\n")
	requireNarrow(t, b.String())

	g = newGrid("fabric", "rectangle", "rectangle", "rectangle", "rectangle")
	g.add("interlining", "24 1/8 × 20 15/16 in", "24 1/8 × 20 15/16 in", "24 1/8 × 20 15/16 in", "24 1/8 × 20 15/16 in")
	b.Reset()
	require.NoError(t, g.print(&b))
	require.Equal(t, `fabric       rectangle        rectangle        rectangle        rectangle
interlining  24 1/8 ×         24 1/8 ×         24 1/8 ×         24 1/8 ×
             20 15/16 in      20 15/16 in      20 15/16 in      20 15/16 in
`, b.String())
}

func TestWrapped(t *testing.T) {
	require.Equal(t, "", wrapped(" \n "))
	require.Equal(t, "one line", wrapped("one\nline "))
	long := wrapped(strings.Repeat("word ", 40))
	require.Equal(t, 40, strings.Count(long, "word"))
	for _, line := range strings.Split(long, "\n") {
		require.LessOrEqual(t, columns(line), gridColumns)
		require.Equal(t, strings.TrimSpace(line), line)
	}
}
