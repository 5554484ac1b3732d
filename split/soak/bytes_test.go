package soak

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"eke/piece/race"
	"eke/split/search"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "find seeds that settle soon and write down what their plans are")

// seedsKept is how many seeds stand in testdata/bytes.txt, soon how quickly each
// settles.
const (
	seedsKept = 80
	soon      = 250 * time.Millisecond
)

var bytesFile = filepath.Join("testdata", "bytes.txt")

// sumOf searches a setting to its end and gives the checksum of its document,
// empty where the search does not settle in time.
func sumOf(t testing.TB, s setting, limit time.Duration) string {
	t.Helper()
	pieces, scraps, err := s.draw()
	require.NoError(t, err)
	if len(pieces) == 0 {
		return ""
	}
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	res, err := search.Run(ctx, pieces, scraps, s.options())
	require.NoError(t, err)
	if !res.Settled {
		return ""
	}
	var b bytes.Buffer
	require.NoError(t, s.document(res, scraps).Write(&b))
	return fmt.Sprintf("%x", sha256.Sum256(b.Bytes()))
}

// What a search finds is as it was, to the byte, for some seeds: code
// was moved and nothing else. Where a plan is meant to change, the list is
// written anew with -update, and the change says why.
func TestPlansAreAsTheyWere(t *testing.T) {
	if race.On || testing.Short() || runtime.GOARCH != "amd64" {
		t.Skip("minutes under the race detector; other processors round otherwise")
	}
	if *update {
		var out bytes.Buffer
		for seed, n := uint64(1), 0; n < seedsKept; seed++ {
			if sum := sumOf(t, random(seed), soon); sum != "" {
				fmt.Fprintln(&out, seed, sum)
				n++
			}
		}
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(bytesFile, out.Bytes(), 0o644))
		return
	}
	f, err := os.Open(bytesFile)
	require.NoError(t, err)
	defer f.Close()
	seeds := 0
	for lines := bufio.NewScanner(f); lines.Scan(); seeds++ {
		var seed uint64
		var want string
		_, err := fmt.Sscan(lines.Text(), &seed, &want)
		require.NoError(t, err)
		if got := sumOf(t, random(seed), time.Minute); got != want {
			t.Errorf("seed %d: the plans are not what they were", seed)
		}
	}
	require.Equal(t, seedsKept, seeds)
}
