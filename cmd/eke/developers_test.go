package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The table of DEVELOPERS.md says in which file a question is answered, and
// which name to look for there. Each name is declared in its file.
func TestTheFilesForContributorsHaveTheAnswers(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	_, table, found := strings.Cut(string(text), "Where a reader finds what.")
	require.True(t, found)
	table, _, found = strings.Cut(table, "\n## ")
	require.True(t, found)
	place := regexp.MustCompile("`([^`]+\\.(?:go|html|css|js))`(?: \\(([^)]*)\\))?")
	name := regexp.MustCompile("`([^`]+)`")
	answers := 0
	for row := range strings.Lines(table) {
		cells := strings.Split(strings.TrimSpace(row), " | ")
		if len(cells) != 2 || strings.HasPrefix(cells[0], "| question") || strings.HasPrefix(cells[0], "| ---") || strings.HasPrefix(cells[0], "| **") {
			continue
		}
		places := place.FindAllStringSubmatch(cells[1], -1)
		require.NotEmpty(t, places, row)
		for i, p := range places {
			code, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(p[1])))
			require.NoError(t, err, row)
			names := name.FindAllStringSubmatch(p[2], -1)
			require.True(t, i > 0 || len(names) > 0, "the first place of a row says what to look for: %s", row)
			for _, n := range names {
				where := `(?m)^(func (\([^)]*\) )?|type |var |const |\t)` + n[1] + `\b` // declared there
				if strings.HasPrefix(n[1], "#") {
					where = `(?m)^// ` + n[1] + `$`
				}
				require.Regexp(t, where, string(code), "%s in %s", n[1], p[1])
			}
			answers++
		}
	}
	require.Greater(t, answers, 50)
}
