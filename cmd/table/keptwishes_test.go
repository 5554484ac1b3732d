package table

import (
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Wishes are there again when the table is laid anew, or their pattern is brought again.
func TestWishesAreKept(t *testing.T) {
	t.Parallel()
	made, dir := laidOut(t, 0, map[string]string{"a \"b\".svg": flag, "s.csv": linen}, "a \"b\".svg", "s.csv")
	v := visit(t, made)
	for _, w := range []string{"flag alike", "prefer linen only for flag"} {
		code, why := v.fill("/wish", "words", w)
		require.Equal(t, http.StatusNoContent, code, why)
	}
	again := func() []string {
		b, err := newBench(Options{Folder: dir, Out: "out", Pattern: "a \"b\".svg", Scraps: []string{"s.csv"}})
		require.NoError(t, err)
		require.Equal(t, b.stamp, b.stampOf())
		return b.wishes
	}
	require.Equal(t, []string{"flag alike", "prefer linen only for flag"}, again())
	code, why := v.fill("/unwish", "wish", "flag alike")
	require.Equal(t, http.StatusNoContent, code, why)
	require.Equal(t, []string{"prefer linen only for flag"}, again())
	require.NoError(t, made.bench.brought("pattern", "other.svg", []byte(flag+"\n")))
	require.Empty(t, made.bench.wishes)
	made.bench.pattern = "a \"b\".svg"
	made.bench.wishes = made.bench.keptWishes()[made.bench.pattern]
	require.Equal(t, []string{"prefer linen only for flag"}, made.bench.wishes)
	// A file of hers is not written over.
	require.NoError(t, os.WriteFile(filepath.Join(dir, wishesFile), []byte("pattern: x\nfor my birthday\n"), 0o644))
	code, why = v.fill("/wish", "words", "flag alike")
	require.Equal(t, http.StatusUnprocessableEntity, code)
	require.Contains(t, why, "wishes.txt is there already")
	hers, err := os.ReadFile(filepath.Join(dir, wishesFile))
	require.NoError(t, err)
	require.Equal(t, "pattern: x\nfor my birthday\n", string(hers))
	require.Empty(t, again())
}
