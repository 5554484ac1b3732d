package svg

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"eke/piece/scraps"

	"github.com/stretchr/testify/require"
)

// listed are the words of each list of a help text.
func listed(help string) (lists [][]string) {
	row := regexp.MustCompile(`^  ([a-z_]+(?:, [a-z_]+)*)  +\S`)
	var list []string
	for _, line := range strings.Split(help, "\n") {
		switch m := row.FindStringSubmatch(line); {
		case m != nil:
			list = append(list, strings.Split(m[1], ", ")...)
		case line == "" && len(list) > 0:
			lists, list = append(lists, list), nil
		}
	}
	return lists
}

// The help tells of all words that are read and of no others, and README.md has them too.
func TestHelpTellsOfTheWordsThatAreRead(t *testing.T) {
	pattern, scrap := listed(PatternHelp), listed(ScrapsHelp)
	require.Len(t, pattern, 3)
	require.ElementsMatch(t, patternWords, pattern[0])
	require.ElementsMatch(t, pieceFacts, pattern[1])
	require.ElementsMatch(t, edgeFacts, pattern[2])
	require.Len(t, scrap, 2)
	require.ElementsMatch(t, scrapWords, scrap[1])
	var facts []string
	for _, f := range scrapFacts { // one spelling and one unit have a row
		if f == "color" || strings.HasSuffix(f, "_mm") || strings.HasSuffix(f, "_in") {
			require.Regexp(t, `\b`+f+`\b`, ScrapsHelp)
			continue
		}
		facts = append(facts, f)
	}
	require.ElementsMatch(t, append(facts, "name", "length_cm", "width_cm"), scrap[0])
	readme, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	_, table, ok := strings.Cut(string(readme), "| word | draw | meaning |")
	require.True(t, ok)
	table, _, _ = strings.Cut(table, "\n\n")
	var words []string
	for _, m := range regexp.MustCompile("(?m)^\\| `(\\w+)(?: NAME)?`(?: or `(\\w+)`)? \\|").FindAllStringSubmatch(table, -1) {
		words = append(words, slices.DeleteFunc(m[1:], func(s string) bool { return s == "" })...)
	}
	require.ElementsMatch(t, pattern[0], words)
	lining := marked(t, string(readme), "Lining")
	require.Subset(t, append(marked(t, string(readme), "Your own pattern"), lining...), slices.Concat(pattern[1], pattern[2]))
	require.Subset(t, append(marked(t, string(readme), "Your own scraps"), lining...), slices.Concat(scrap[0], scrap[1]))
}

// marked are the words that a section of README.md has in backquotes: alone, before a
// colon, or in a row of them.
func marked(t *testing.T, readme, section string) (words []string) {
	_, text, ok := strings.Cut(readme, "\n## "+section+"\n")
	require.True(t, ok, section)
	text, _, _ = strings.Cut(text, "\n## ")
	for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(text, -1) {
		for _, word := range strings.Split(m[1], ", ") {
			word, _, _ = strings.Cut(word, ": ")
			words = append(words, word)
		}
	}
	return words
}

// The examples of the help are read without a note.
func TestExamplesOfTheHelpAreRead(t *testing.T) {
	from := strings.Index(PatternHelp, "<svg")
	pieces, err := Pattern(strings.NewReader(PatternHelp[from:]), "p.svg")
	require.NoError(t, err)
	require.Len(t, pieces, 1)
	require.Empty(t, pieces[0].Notes)
	require.Equal(t, 2, pieces[0].Count)
	lo, hi := pieces[0].Outline.Ring().Bound().Min, pieces[0].Outline.Ring().Bound().Max
	require.InDelta(t, 300, hi[0]-lo[0], 1e-6)

	_, csv, _ := strings.Cut(ScrapsHelp, "For example:\n\n")
	csv, _, _ = strings.Cut(csv, "\n\n")
	pile, err := scraps.ReadCSV(strings.NewReader(strings.ReplaceAll(csv, "  ", "")), "s.csv")
	require.NoError(t, err)
	require.Len(t, pile, 2)
	for _, s := range pile {
		require.Empty(t, s.Notes)
	}
	for _, m := range regexp.MustCompile(`--scrap "([^"]*)"`).FindAllStringSubmatch(ScrapsHelp, -1) {
		_, err := scraps.ParseFlag(m[1])
		require.NoError(t, err)
	}
}
