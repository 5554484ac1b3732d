package job

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"eke/piece"
	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// The best so far of a pattern with outlines of a thousand points, which is searched for
// with simplified ones, holds its proof with the pattern as it is.
func TestBestSoFarOfADensePatternIsProved(t *testing.T) {
	t.Parallel()
	var d strings.Builder
	const n = 1000
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		r := 120 + 12*math.Sin(20*math.Pi*float64(i)/n)
		fmt.Fprintf(&d, " %.4f,%.4f", 200+r*cos, 200+r*sin)
	}
	path := filepath.Join(t.TempDir(), "round.svg")
	require.NoError(t, os.WriteFile(path, []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400"><g id="round"><path class="seam" d="M`+d.String()+` Z"/><path class="grain" d="M 200,150 V 250"/></g></svg>`), 0o644))
	pieces, err := Pattern(path)
	require.NoError(t, err)
	pile, err := Scraps(nil, []string{"one: 30 x 20 cm", "two: 30 x 20 cm"})
	require.NoError(t, err)
	asked := Usual()
	asked.Time, asked.Keep = 60*time.Second, 1
	ctx, stop := context.WithCancel(t.Context())
	var mu sync.Mutex
	var best []*plan.Document
	asked.Best = func(d *plan.Document) {
		mu.Lock()
		defer mu.Unlock()
		best = append(best, d)
		stop()
	}
	defer stop()
	_, failed, err := asked.Find(ctx, []string{path}, pieces, []piece.Scrap(pile), nil)
	require.NoError(t, err)
	require.NoError(t, failed)
	require.NotEmpty(t, best)
	for _, d := range best {
		require.Empty(t, check.Option(d, 0))
	}
}
