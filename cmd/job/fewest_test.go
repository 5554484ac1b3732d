package job

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

// No plan is the one with the fewest seams once a plan is dropped for failing its
// proof: that one may have had fewer.
func TestFewestIsNotSaidOfWhatIsLeft(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "front.svg")
	require.NoError(t, os.WriteFile(path, []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400"><g id="front"><path class="seam" d="M 0,0 H 150 V 200 H 0 Z"/><path class="grain" d="M 75,50 V 150"/></g></svg>`), 0o644))
	pieces, err := Pattern(path)
	require.NoError(t, err)
	pile, err := Scraps(nil, []string{"one: 20 x 20 cm", "two: 20 x 20 cm"})
	require.NoError(t, err)
	asked := Usual()
	asked.Time = 5 * time.Second
	d, failed, err := asked.Find(t.Context(), []string{path}, pieces, []piece.Scrap(pile), nil)
	require.NoError(t, err)
	require.NoError(t, failed)
	require.Greater(t, len(d.Options), 1)
	require.True(t, d.Fewest)
	require.NoError(t, KeepProved(d, []string{path}))
	require.True(t, d.Fewest)
	d.Options[0].SeamLengthMM += 5
	require.Error(t, KeepProved(d, []string{path}))
	require.NotEmpty(t, d.Options)
	require.False(t, d.Fewest)
	require.NotContains(t, d.FewestReason, "bound")
}
