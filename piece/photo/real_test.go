package photo

import (
	"flag"
	"image"
	_ "image/jpeg"
	_ "image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// Real photographs of flat things on a ground, from packages of Debian 12. There is
// no sheet in them, so it is only asked what is told from the ground. They are not
// kept here; where a package is not installed, its tests are skipped.
var (
	coinsFile  = flag.String("coins", "/usr/lib/python3/dist-packages/skimage/data/coins.png", "a photograph of coins, of python3-skimage")
	opencvData = flag.String("opencv", "/usr/share/doc/opencv-doc/examples/data", "the folder of photographs of opencv-doc")
)

// clothIn is what is told from the ground in a part of a photograph, or in all of it
// for an empty box.
func clothIn(t *testing.T, file string, box image.Rectangle) []region {
	t.Helper()
	r, err := os.Open(file)
	if err != nil {
		t.Skip("its package is not installed: ", err)
	}
	defer r.Close()
	img, _, err := image.Decode(r)
	require.NoError(t, err)
	if !box.Empty() {
		img = img.(interface {
			SubImage(image.Rectangle) image.Image
		}).SubImage(box)
	}
	f := newField(newPicture(img, 1))
	g, err := newGround(f)
	require.NoError(t, err)
	all, _ := regions(segment(f, g), f, 150)
	return all
}

// In uneven light, in greys: 24 Greek coins from Pompeii (Brooklyn Museum), as
// python3-skimage 0.19.3 has it. The one at the top left is as light as the ground
// about it, and the one that is fifth is found in part. The picture's source says
// "no known copyright restrictions".
func TestCoins(t *testing.T) {
	t.Parallel()
	whole := 0
	for _, r := range clothIn(t, *coinsFile, image.Rectangle{}) {
		if r.box.Dx() > 33 && r.box.Dy() > 33 && r.box.Dx() < 75 && r.box.Dy() < 75 {
			whole++
		}
	}
	require.GreaterOrEqual(t, whole, 22)
}

// Six blades that are alike, on a table lit from below (pca_test1.jpg of opencv-doc
// 4.6.0, the picture of its tutorial on principal component analysis), with what lies
// about the table left out. The camera looks at it askance, so that the areas in the
// picture change evenly from place to place, and by some 15 % from end to end.
func TestBladesThatAreAlike(t *testing.T) {
	t.Parallel()
	var areas, at []float64
	for _, r := range clothIn(t, filepath.Join(*opencvData, "pca_test1.jpg"), image.Rect(118, 24, 640, 530)) {
		if r.rim {
			continue
		}
		require.Len(t, r.rings, 1, "a blade has no hole")
		centre, area := planar.CentroidArea(r.rings[0])
		areas, at = append(areas, math.Abs(area)), append(at, 1, centre[0], centre[1])
	}
	require.Len(t, areas, 6)
	var plane mat.Dense
	x, y := mat.NewDense(6, 3, at), mat.NewDense(6, 1, areas)
	require.NoError(t, plane.Solve(x, y))
	var fitted mat.Dense
	fitted.Mul(x, &plane)
	for k, a := range areas {
		require.InEpsilon(t, fitted.At(k, 0), a, 0.015, "blade %d", k)
	}
}

// Sweets on white paper (smarties.png of opencv-doc 4.6.0): six that lie by themselves,
// two pairs that touch, and four at the picture's edge. They are thick, and of one the
// shadow is taken for a part of it; the others fill the circle about their middle.
func TestSweetsAreRound(t *testing.T) {
	t.Parallel()
	round, single, pairs, rim := 0, 0, 0, 0
	for _, r := range clothIn(t, filepath.Join(*opencvData, "smarties.png"), image.Rectangle{}) {
		ring := r.rings[0]
		switch area := plane.Area(ring); {
		case r.rim:
			rim++
		case area > 4000:
			pairs++
		default:
			single++
			centre, _ := planar.CentroidArea(ring)
			far := 0.0
			for _, q := range ring {
				far = max(far, planar.Distance(centre, q))
			}
			if area > 0.85*math.Pi*far*far {
				round++
			}
		}
	}
	require.Equal(t, []int{6, 2, 4}, []int{single, pairs, rim}, "by themselves, pairs, at the edge")
	require.GreaterOrEqual(t, round, 5)
}
