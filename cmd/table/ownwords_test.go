package table

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// No note that a plan may have tells a maker at the page to give a flag.
func TestNotesOnThePageNameNoFlag(t *testing.T) {
	t.Parallel()
	said := regexp.MustCompile(`(?:give|such as|than|more) --([a-z-]+)`)
	seen := map[string]int{}
	for _, pattern := range []string{"../job/*.go", "../../svg/report/*.html", "../../split/shortfall/*.go"} {
		files, err := filepath.Glob(pattern)
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, name := range files {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			for _, line := range strings.Split(string(data), "\n") {
				// Which kinds of seam are allowed is not asked on the page.
				if m := said.FindStringSubmatch(line); m != nil && m[1] != "seams" && !strings.HasSuffix(name, "_test.go") {
					seen[m[1]]++
					made := strings.NewReplacer("%d", "3", "{{.Seams}}", "3", `--time "+words+"`, "--time 2m40s", `\"`, `"`).Replace(line)
					require.NotContains(t, ownWords(made), "--"+m[1], name)
				}
			}
		}
	}
	require.Equal(t, map[string]int{"time": 2, "max-seams": 3, "wish": 2, "lining": 1}, seen)
	for was, want := range map[string]string{
		"more time, such as --time 2m40s, may find better plans": "more time, such as 160 seconds, may find better plans",
		"to let them meet, give --wish \"mix kinds\"":            "to let them meet, wish for “mix kinds”",
		"--wish: \"a\" is no piece":                              "\"a\" is no piece",
		`<p style="--wide:2">give --max-seams 2 to see it</p>`:   `<p style="--wide:2">ask for 2 under Most added seams to see it</p>`,
	} {
		require.Equal(t, want, ownWords(was))
	}
}
