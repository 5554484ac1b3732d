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
	require.Equal(t, 2, strings.Count(b.String(), "…"))
	require.Contains(t, b.String(), "short\n")
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
