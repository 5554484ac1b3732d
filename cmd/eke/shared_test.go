package main

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// plannedOnce are the plans of the samples that several tests read, by the words of
// their command.
var plannedOnce sync.Map

// planned is a plan of the samples, made once for all tests that ask for it with the
// same words, which are those of eke plan. It gives the folder that the plan was
// written to, which no test may change, and what was printed.
func planned(t testing.TB, words string) (out, stdout string) {
	t.Helper()
	known, _ := plannedOnce.LoadOrStore(words, new(samplesPlan))
	p := known.(*samplesPlan)
	p.once.Do(func() {
		p.made.code = -1 // where the test that makes it ends before it is made
		dir := filepath.Join(filepath.Dir(binary), strings.ReplaceAll(words, " ", "_"))
		require.NoError(t, os.Mkdir(dir, 0o755))
		p.out, p.made = filepath.Join(dir, "out"), planSamples(t, dir, words, "2")
	})
	require.Equal(t, 0, p.made.code, "%s", p.made.stderr)
	require.Empty(t, p.made.stderr)
	return p.out, p.made.stdout
}

// samplesPlan is a plan of the samples that is made once.
type samplesPlan struct {
	once sync.Once
	out  string
	made ran
}

// planSamples plans into the folder out of a folder. The files name what they were
// made from, so the samples come to lie beside it.
func planSamples(t testing.TB, dir, words, cores string) ran {
	t.Helper()
	args := strings.Fields(words)
	for _, name := range args {
		if text, err := os.ReadFile(sample(t, name)); err == nil {
			write(t, dir, name, string(text))
		}
	}
	return ekeWith(t, dir, []string{"GOMAXPROCS=" + cores}, append(append([]string{"plan"}, args...), "--time", "2m", "-o", "out")...)
}
