package main

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Cloth that is kept for the lining serves no other piece, and the lining is cut
// from it alone.
func TestClothKeptForTheLining(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "lining.svg", sides("", `data-use="lining"`, `data-use="lining"`))
	write(t, dir, "pile.csv", "name,length_cm,width_cm,use\nsatin,62,47,lining\nlinen,62,46,\n")
	for pattern, want := range map[string][2]string{"shirt.svg": {"linen", "kept for the lining, and so cut for no other piece: satin"}, "lining.svg": {"satin", "the lining is cut from what is kept for it alone: satin"}} {
		r := found(t, dir, "plan", pattern, "pile.csv", "-o", "out")
		require.Contains(t, oneRow(r.stdout), want[1])
		require.NotContains(t, oneRow(r.stdout), "no piece may be cut from")
		d := verified(t, filepath.Join(dir, "out"))
		for _, p := range d.Options[0].Parts {
			require.Equal(t, want[0], p.Scrap)
		}
	}
	r := found(t, dir, "fit", "shirt.svg", "pile.csv")
	require.Regexp(t, `(?m)^front  satin  not of its use`, r.stdout)
	write(t, dir, "satin.csv", "name,length_cm,width_cm,use\nsatin,62,47,lining\n")
	r = eke(t, dir, "plan", "shirt.svg", "satin.csv", "--time", "2s")
	require.Equal(t, exitNothing, r.code)
	require.Contains(t, oneRow(r.stdout), "no scrap but for the lining")
}
