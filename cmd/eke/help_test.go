package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestHelp(t *testing.T) {
	dir := t.TempDir()
	bare := found(t, dir).stdout
	requireNarrow(t, bare)
	require.Equal(t, bare, found(t, dir, "help").stdout)
	require.Equal(t, bare, found(t, dir, "--help").stdout)
	for _, name := range []string{"fit", "plan", "split", "sheets", "lining"} {
		require.Contains(t, bare, "\n  eke "+name+" ", "an example for each command")
		require.Contains(t, bare, "\n  "+name+" ")
		help := found(t, dir, "help", name).stdout
		requireNarrow(t, help)
		require.Equal(t, help, found(t, dir, name, "--help").stdout)
		_, examples, ok := strings.Cut(help, "Examples:\n")
		require.True(t, ok, name)
		require.True(t, strings.HasPrefix(examples, "  eke "+name+" "), examples)
	}
	for _, topic := range []string{"pattern", "scraps", "wishes"} {
		require.Contains(t, bare, "\n  "+topic+" ")
		help := found(t, dir, "help", topic).stdout
		requireNarrow(t, help)
		require.Equal(t, help, found(t, dir, topic, "--help").stdout)
		require.NotContains(t, help, "Usage:")
	}
	require.Contains(t, bare, "completion")
	require.NotContains(t, bare+found(t, dir, "help", "plan").stdout, "\x1b")
}

// What the help and README.md show as examples works as it stands, in the folder that has
// the samples.
func TestExamplesWork(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.NoError(t, os.Symlink(filepath.Dir(sample(t, "tshirt.svg")), filepath.Join(dir, "samples")))
	done := map[string]bool{}
	for _, name := range []string{"", "plan", "fit", "split", "sheets", "lining"} {
		help := found(t, dir, strings.Fields("help "+name)...).stdout
		_, examples, _ := strings.Cut(help, "Examples:\n")
		for _, line := range strings.Split(examples, "\n") {
			command, ok := strings.CutPrefix(line, "  eke ")
			if !ok {
				break
			}
			if !done[command] && !waits(command) {
				done[command] = true
				r := eke(t, dir, shellWords(command)...)
				require.Equal(t, 0, r.code, "%s: %s", command, r.stderr)
			}
		}
	}
	require.Greater(t, len(done), 8)
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	runs := 0
	for _, line := range strings.Split(string(readme), "\n") {
		command, ok := strings.CutPrefix(line, "go run ./cmd/eke ")
		if !ok {
			continue
		}
		runs++
		if !done[command] && !waits(command) {
			r := eke(t, dir, shellWords(command)...)
			require.Equal(t, 0, r.code, "%s: %s", command, r.stderr)
		}
	}
	require.Equal(t, 3, runs)
}

// waits is for a command that ends when it is told to: that of the cutting table,
// which is tested beside it.
func waits(command string) bool { return strings.HasPrefix(command, "table ") }

// shellWords parts a command at its spaces, but for those in quotes.
func shellWords(s string) (words []string) {
	for i, part := range strings.Split(s, `"`) {
		if i%2 == 1 {
			words = append(words, part)
		} else {
			words = append(words, strings.Fields(part)...)
		}
	}
	return words
}

func TestHelpOfNothing(t *testing.T) {
	dir := t.TempDir()
	refused(t, dir, []string{"help", "nothing"}, "nothing", "plan")
	refused(t, dir, []string{"help", "plan", "more"}, "more")
	refused(t, dir, []string{"help", "pattrn"}, `"pattrn"; did you mean pattern?`)
	refused(t, dir, []string{"scarps"}, `"scarps"; did you mean scraps?`)
	refused(t, dir, []string{"completion", "tcsh"}, "tcsh", "bash")
}

// A topic that is given a file has not looked at it, and says what does.
func TestATopicReadsNoFile(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	refused(t, dir, []string{"pattern", "flag.svg"}, `"flag.svg" was not read`, "run eke fit PATTERN SCRAPS…")
	refused(t, dir, []string{"scraps", "pile.csv"}, `"pile.csv" was not read`, "run eke rest SCRAPS…")
	refused(t, dir, []string{"wishes", "sleeve alike"}, `"sleeve alike" was not read`, "--wish WISH")
}

func TestVersion(t *testing.T) {
	require.Regexp(t, `^eke version \S+ \(go1\.\d+.*\)\n$`, found(t, t.TempDir(), "--version").stdout)
}

func TestCompletion(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		require.Contains(t, found(t, t.TempDir(), "completion", shell).stdout, "eke")
	}
	require.Contains(t, eke(t, t.TempDir(), "__complete", "p").stdout, "plan\t")
}
