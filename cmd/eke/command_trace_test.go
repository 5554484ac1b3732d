package main

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/piece/photo/staged"
	"eke/piece/plane"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// shot writes a picture to a folder as a JPEG.
func shot(t *testing.T, dir, name string, img image.Image) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 90}))
	write(t, dir, name, b.String())
}

// A staged photograph becomes a file of scraps that the other commands read,
// and a picture of what was found.
func TestTrace(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	scene := staged.Random(8, 1000)
	shot(t, dir, "pile.jpg", scene.Picture())
	r := eke(t, dir, "trace", "pile.jpg", "-o", "scraps.svg")
	require.Equal(t, 0, r.code, r.stderr)
	requireNarrow(t, r.stdout)
	require.Contains(t, r.stdout, "scale from a plain sheet, a4")
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "Measure one scrap by hand before you cut anything")
	require.Contains(t, r.stderr, "cut off by the picture's edge; step back")
	require.Equal(t, []string{"pile.jpg", "scraps-numbered.png", "scraps.svg"}, listed(t, dir))

	f, err := os.Open(filepath.Join(dir, "scraps.svg"))
	require.NoError(t, err)
	defer f.Close()
	pile, err := svg.ReadScraps(f, "scraps.svg")
	require.NoError(t, err)
	whole, area := 0, 0.0
	for _, s := range scene.Scraps {
		if s.Fate == staged.Whole {
			whole++
			area += plane.Area(s.Outline)
		}
	}
	require.Len(t, pile, whole)
	got := 0.0
	for _, s := range pile {
		require.Empty(t, s.Notes)
		require.NotEmpty(t, s.Colour)
		require.Contains(t, s.Note, "traced, ±")
		require.Regexp(t, `^(top|bottom|middle|left|right)`, s.Name)
		got += plane.Area(s.Outline)
	}
	require.InEpsilon(t, area, got, 0.03)

	preview, err := os.Open(filepath.Join(dir, "scraps-numbered.png"))
	require.NoError(t, err)
	defer preview.Close()
	img, err := png.Decode(preview)
	require.NoError(t, err)
	require.Equal(t, 1000, img.Bounds().Dx())

	shot(t, dir, "copy.jpg", scene.Picture())
	refused(t, dir, []string{"trace", "pile.jpg", "copy.jpg", "-o", "two.svg"}, "copy.jpg: the same photograph as pile.jpg")

	require.Contains(t, found(t, dir, "fit", sample(t, "tshirt.svg"), "scraps.svg").stdout, "front")

	// What is there may have been drawn on, and is not written over.
	refused(t, dir, []string{"trace", "pile.jpg", "-o", "scraps.svg"}, "scraps.svg is there already")
	require.NoError(t, os.Remove(filepath.Join(dir, "scraps.svg")))
	refused(t, dir, []string{"trace", "pile.jpg", "-o", "scraps.svg"}, "scraps-numbered.png is there already")
}

func TestTraceRefuses(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	// Cloth on a floor, and nothing that gives the scale.
	img := image.NewRGBA(image.Rect(0, 0, 400, 300))
	for y := range 300 {
		for x := range 400 {
			c := color.RGBA{120, 90, 60, 255}
			if x > 100 && x < 220 && y > 80 && y < 200 {
				c = color.RGBA{20, 40, 120, 255}
			}
			img.SetRGBA(x, y, c)
		}
	}
	shot(t, dir, "bare.jpg", img)
	data, err := os.ReadFile(filepath.Join(dir, "bare.jpg"))
	require.NoError(t, err)
	write(t, dir, "half.jpg", string(data[:len(data)/2]))
	write(t, dir, "letter.jpg", "dear all")
	for _, name := range []string{"folder", "taken-numbered-2.png"} {
		require.NoError(t, os.Mkdir(filepath.Join(dir, name), 0o755))
	}
	for _, c := range []struct {
		args  []string
		words []string
	}{
		{[]string{"bare.jpg", "-o", "out.svg"}, []string{"bare.jpg", "scale sheet", "--scale-sheet"}},
		{[]string{"half.jpg", "-o", "out.svg"}, []string{"half.jpg", "cut short"}},
		{[]string{"letter.jpg", "-o", "out.svg"}, []string{"letter.jpg", "JPEG, PNG or HEIC"}},
		{[]string{"folder", "-o", "out.svg"}, []string{"folder is a folder"}},
		{[]string{"none.jpg", "-o", "out.svg"}, []string{"none.jpg: there is no such file"}},
		{[]string{"bare.jpg"}, []string{"-o scraps.svg"}},
		{[]string{"bare.jpg", "-o", "out.png"}, []string{".svg"}},
		{[]string{"bare.jpg", "-o", "nowhere/out.svg"}, []string{"no folder nowhere"}},
		{[]string{"", "-o", "out.svg"}, []string{"the name of a file is empty"}},
		{[]string{"none.jpg", "-o", "out.svg", "--paper", "a3"}, []string{"--paper", "a4 or letter"}},
		{[]string{"bare.jpg", "half.jpg", "bare.jpg", "-o", "out.svg"}, []string{"the same photograph"}},
		{[]string{"half.jpg", "bare.jpg", "-o", "taken.svg"}, []string{"taken-numbered-2.png is there already"}},
		{[]string{"bare.jpg", "-o", "bare.jpg"}, []string{".svg"}},
		{nil, []string{"PHOTO"}},
	} {
		refused(t, dir, append([]string{"trace"}, c.args...), c.words...)
	}
}
