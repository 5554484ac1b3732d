package photo

import (
	"flag"
	"image"
	_ "image/png"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

var coinsFile = flag.String("coins", "/usr/lib/python3/dist-packages/skimage/data/coins.png", "a photograph of coins")

// A real photograph of flat things on a ground in uneven light, in greys: 24
// Greek coins from Pompeii (Brooklyn Museum), as Debian's python3-skimage
// 0.19.3 has it. There is no sheet in it: they are counted. The one at the top
// left is as light as the ground about it, and the one that is fifth is found
// in part. The picture is not kept here: its source says "no known copyright
// restrictions", which grants nothing. Where the package is not installed, the
// test is skipped.
func TestCoins(t *testing.T) {
	t.Parallel()
	file, err := os.Open(*coinsFile)
	if err != nil {
		t.Skip("python3-skimage is not installed: ", err)
	}
	defer file.Close()
	img, _, err := image.Decode(file)
	require.NoError(t, err)
	f := newField(newPicture(img, 1))
	g, err := newGround(f)
	require.NoError(t, err)
	all, _ := regions(segment(f, g), f, 150)
	whole := 0
	for _, r := range all {
		if r.box.Dx() > 33 && r.box.Dy() > 33 && r.box.Dx() < 75 && r.box.Dy() < 75 {
			whole++
		}
	}
	require.GreaterOrEqual(t, whole, 22)
}
