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
	once, _ := plannedOnce.LoadOrStore(words, sync.OnceValues(func() (string, ran) {
		dir := filepath.Join(filepath.Dir(binary), strings.ReplaceAll(words, " ", "_"))
		require.NoError(t, os.Mkdir(dir, 0o755))
		return filepath.Join(dir, "out"), planSamples(t, dir, words, "2")
	}))
	out, r := once.(func() (string, ran))()
	require.Equal(t, 0, r.code, "%s", r.stderr)
	require.Empty(t, r.stderr)
	return out, r.stdout
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
