package photo

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"strings"
	"testing"

	"eke/piece/race"
	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A plain sheet that lies across the joints of tiles, which run to the picture's edge, is found; and one
// that has a lighter strip or a lighter board at its side.
func TestPlainSheetOnFloor(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	for name, c := range map[string]struct {
		beside image.Rectangle
		grey   uint8 // of that
	}{
		"joints":          {},
		"a lighter strip": {image.Rect(393, 200, 440, 208), 215},
		"a lighter board": {image.Rect(393, 140, 463, 240), 196},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m := image.NewRGBA(image.Rect(0, 0, 600, 450))
			fill := func(r image.Rectangle, v uint8) {
				draw.Draw(m, r, image.NewUniform(color.RGBA{v, v - v/8, v - v/5, 255}), image.Point{}, draw.Src)
			}
			fill(m.Rect, 170)
			for at := 75; at < 600; at += 120 {
				fill(image.Rect(at, 0, at+4, 450), 90)
				fill(image.Rect(0, at, 600, at+4), 90)
			}
			fill(c.beside, c.grey)
			white := image.Rect(185, 130, 185+208, 130+147)
			draw.Draw(m, white, image.NewUniform(color.RGBA{235, 235, 232, 255}), image.Point{}, draw.Src)
			r, err := Trace(t.Context(), newPicture(m, 1), Options{})
			require.NoError(t, err)
			require.Equal(t, "a4", r.Plain)
			require.InDelta(t, 297.0/208, r.MMPerPoint, 0.01)
		})
	}
}

// Seen slanted through a long lens or a wide one, a sheet has not the shape that the usual lens would give
// it. Where a maker says what paper it is, it is one all the same; else it may be taken for another
// paper, and then it is known that it might be this one. What has another shape is none.
func TestShapedByAnyLens(t *testing.T) {
	t.Parallel()
	tr := &tracer{p: &Picture{Width: 4000, Height: 3000}}
	a4, err := scalesheet.ParsePaper("a4")
	require.NoError(t, err)
	corners := func(focal, slantDeg, wide, high float64) (out [4]orb.Point) {
		s, c := math.Sincos(slantDeg * math.Pi / 180)
		far := 1200 * focal // mm
		for i, q := range [4]orb.Point{{-wide, -high}, {wide, -high}, {wide, high}, {-wide, high}} {
			x, y := q[0]/2, q[1]/2
			z := far + s*y
			out[i] = orb.Point{2000 + 2500*focal*x/z, 1500 + 2500*focal*c*y/z}
		}
		return out
	}
	for _, c := range []struct {
		focal, slant, wide, high float64
		said                     bool
		paper, or                string
	}{
		{usualFocal, 0, 210, 297, false, "a4", ""},
		{usualFocal, 5, 210, 297, false, "a4", ""},
		{usualFocal, 30, 210, 297, false, "a4", "letter"},
		{2.35, 30, 210, 297, false, "letter", "a4"},
		{2.35, 30, 210, 297, true, "a4", "letter"},
		{1.65, 25, 210, 297, false, "", ""},
		{1.65, 25, 210, 297, true, "a4", "letter"},
		{0.6, 30, 210, 297, true, "a4", ""},
		{usualFocal, 5, 210, 210, true, "", ""},
	} {
		at := corners(c.focal, c.slant, c.wide, c.high)
		p, ok := tr.shaped(at, scalesheet.Papers)
		if c.said {
			p, ok = tr.seenBy(focals, at, []scalesheet.Paper{a4}, wholePicture)
		}
		require.Equal(t, c.paper != "", ok, "%v %v", c, p.paper.Name)
		if !ok {
			continue
		}
		require.Equal(t, c.paper, p.paper.Name, "%v", c)
		or := ""
		if other := tr.orElse(p); other != nil {
			or = other.Name
		}
		require.Equal(t, c.or, or, "%v", c)
	}
}

// What is stretched, or cut out of a photograph, shows a sheet in a shape that no camera sees. It is taken for the
// paper that a maker names, and it is said; without, the maker is asked for it.
func TestSaidSheet(t *testing.T) {
	t.Parallel()
	m := image.NewRGBA(image.Rect(0, 0, 600, 450))
	draw.Draw(m, m.Rect, image.NewUniform(color.RGBA{90, 80, 70, 255}), image.Point{}, draw.Src)
	draw.Draw(m, image.Rect(185, 130, 185+208, 130+136), image.NewUniform(color.RGBA{235, 235, 232, 255}), image.Point{}, draw.Src)
	_, err := Trace(t.Context(), newPicture(m, 1), Options{})
	require.ErrorContains(t, err, "(middle) has not the shape of A4 or letter paper as a camera sees it")
	require.ErrorContains(t, err, "(--paper a4)")
	r, err := Trace(t.Context(), newPicture(m, 1), Options{Paper: "a4"})
	require.NoError(t, err)
	require.Equal(t, "a4", r.Plain)
	require.Contains(t, fmt.Sprint(r.Problems), "has not quite the shape of a4")

	// Letter, 279.4 x 215.9 mm, is none that a4 would be seen as.
	draw.Draw(m, m.Rect, image.NewUniform(color.RGBA{90, 80, 70, 255}), image.Point{}, draw.Src)
	draw.Draw(m, image.Rect(185, 130, 185+194, 130+150), image.NewUniform(color.RGBA{235, 235, 232, 255}), image.Point{}, draw.Src)
	_, err = Trace(t.Context(), newPicture(m, 1), Options{Paper: "a4"})
	require.ErrorContains(t, err, "the white sheet has the shape of letter, not of a4; say --paper letter")
	r, err = Trace(t.Context(), newPicture(m, 1), Options{Paper: "letter"})
	require.NoError(t, err)
	require.Equal(t, "letter", r.Plain)

	// A third cut off at one side, seen 20° aside.
	tr := &tracer{p: &Picture{Width: 2680, Height: 3000}}
	a4, err := scalesheet.ParsePaper("a4")
	require.NoError(t, err)
	var at [4]orb.Point
	s, c := math.Sincos(20 * math.Pi / 180)
	for i, q := range [4]orb.Point{{-105, -148.5}, {105, -148.5}, {105, 148.5}, {-105, 148.5}} {
		turned := orb.Point{(q[0] + q[1]) * math.Sqrt2 / 2, (q[1] - q[0]) * math.Sqrt2 / 2}
		z := 1200 + s*turned[1]
		at[i] = orb.Point{2000 - 1320 + 2900*turned[0]/z, 1500 + 2900*c*turned[1]/z}
	}
	_, ok := tr.seenBy(focals, at, []scalesheet.Paper{a4}, wholePicture)
	require.False(t, ok)
	_, ok = tr.seenBy(focals, at, []scalesheet.Paper{a4}, partOfPicture)
	require.True(t, ok)
}

// In a stretched picture A4 may have more of the shape of letter. What lies between them is not taken for either in
// silence, what is no nearer to the other is, and so is what a maker names.
func TestBetweenPapers(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		wide, high  int // of the sheet, in points
		said, paper string
		doubt       bool
	}{
		{400, 309, "", "letter", false},
		{400, 303, "", "letter", true}, // A4 of 400 by 283, stretched by 7 %
		{400, 303, "letter", "letter", false},
		{400, 303, "a4", "a4", false},
		{400, 316, "", "letter", false}, // off letter the other way
		{400, 283, "", "a4", false},
		{400, 290, "", "a4", true},
		{400, 276, "", "a4", false},
	} {
		m := image.NewRGBA(image.Rect(0, 0, 1200, 900))
		draw.Draw(m, m.Rect, image.NewUniform(color.RGBA{90, 80, 70, 255}), image.Point{}, draw.Src)
		draw.Draw(m, image.Rect(370, 260, 370+c.wide, 260+c.high), image.NewUniform(color.RGBA{235, 235, 232, 255}), image.Point{}, draw.Src)
		r, err := Trace(t.Context(), newPicture(m, 1), Options{Paper: c.said})
		require.NoError(t, err)
		require.Equal(t, c.paper, r.Plain, "%+v", c)
		require.Equal(t, c.doubt, strings.Contains(fmt.Sprint(r.Problems), "its shape lies between"), "%+v: %v", c, r.Problems)
		if c.said != "" {
			require.Contains(t, fmt.Sprint(r.Problems), "has not quite the shape of "+c.said)
		}
	}
}

// Of two pale things in the shape of a sheet, which cannot both be one, the clearly whiter is taken.
func TestWhitestSheet(t *testing.T) {
	t.Parallel()
	for grey, found := range map[uint8]bool{170: true, 225: false} {
		m := image.NewRGBA(image.Rect(0, 0, 600, 450))
		fill := func(r image.Rectangle, v uint8) {
			draw.Draw(m, r, image.NewUniform(color.RGBA{v, v, v - 3, 255}), image.Point{}, draw.Src)
		}
		fill(m.Rect, 80)
		fill(image.Rect(40, 60, 40+208, 60+147), 240)
		fill(image.Rect(320, 60, 320+150, 60+106), grey)
		r, err := Trace(t.Context(), newPicture(m, 1), Options{})
		if !found {
			require.ErrorContains(t, err, "more than one white thing")
			continue
		}
		require.NoError(t, err)
		require.InDelta(t, 297.0/208, r.MMPerPoint, 0.01)
		require.Contains(t, fmt.Sprint(r.Problems), "the whitest is taken")
	}
}
