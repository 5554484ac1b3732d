package photo

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"eke/piece/race"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// corners is a picture whose four corners differ: red, green, blue and grey,
// clockwise from the top left.
func corners(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := [2][2]color.RGBA{{{200, 30, 30, 255}, {30, 200, 30, 255}}, {{120, 120, 120, 255}, {30, 30, 200, 255}}}[2*y/h][2*x/w]
			img.SetRGBA(x, y, c)
		}
	}
	return img
}

func jpegOf(t testing.TB, img image.Image) []byte {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}))
	return b.Bytes()
}

func pngOf(t testing.TB, img image.Image) []byte {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// turned is a JPEG with EXIF data that says how it is to be turned.
func turned(jpeg []byte, orientation int) []byte {
	tiff := []byte("MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00")
	tiff = append(tiff, byte(orientation), 0, 0, 0, 0, 0, 0)
	body := append([]byte("Exif\x00\x00"), tiff...)
	segment := append([]byte{0xFF, 0xE1, 0, byte(len(body) + 2)}, body...)
	return append(append(append([]byte{}, jpeg[:2]...), segment...), jpeg[2:]...)
}

// What is of one colour, however many points it has, is refused before anything is sought in it; a dark photograph's noise
// and a sheet are enough to be looked at.
func TestReadRefusesBlank(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		img     image.Image
		refused bool
	}{
		"black": {image.NewGray(image.Rect(0, 0, 2400, 1800)), true},
		"grey":  {grey(400, 300, image.Rectangle{}), true},
		"sheet": {grey(400, 300, image.Rect(100, 100, 107, 110)), false},
	} {
		_, err := Read(bytes.NewReader(pngOf(t, c.img)), "a.png")
		if c.refused {
			require.ErrorContains(t, err, "of one colour all over", name)
		} else {
			require.NoError(t, err, name)
		}
	}
}

// grey is a grey picture with a white part.
func grey(w, h int, white image.Rectangle) *image.Gray {
	m := image.NewGray(image.Rect(0, 0, w, h))
	for i := range m.Pix {
		if m.Pix[i] = 120; image.Pt(i%w, i/w).In(white) {
			m.Pix[i] = 240
		}
	}
	return m
}

func TestReadTurnsAsExifSays(t *testing.T) {
	plain := jpegOf(t, corners(320, 240))
	// Where the red corner comes to lie, and the green one: EXIF 2.32, tag
	// 0x0112 says which row and column the first ones are.
	for orientation, want := range map[int]string{
		1: "red green", 2: "green red", 3: "blue grey", 4: "grey blue", 5: "red grey", 6: "grey red", 7: "blue green", 8: "green blue",
	} {
		p, err := Read(bytes.NewReader(turned(plain, orientation)), "p.jpg")
		require.NoError(t, err)
		if orientation >= 5 {
			require.Equal(t, [2]int{240, 320}, [2]int{p.Width, p.Height})
		} else {
			require.Equal(t, [2]int{320, 240}, [2]int{p.Width, p.Height})
		}
		name := func(x, y int) string {
			c := p.pix[3*(y*p.Width+x):]
			switch {
			case c[0] > 160:
				return "red"
			case c[1] > 160:
				return "green"
			case c[2] > 160:
				return "blue"
			}
			return "grey"
		}
		require.Equal(t, want, name(20, 20)+" "+name(p.Width-20, 20), "orientation %d", orientation)
	}
}

func TestReadRefuses(t *testing.T) {
	t.Parallel()
	good := jpegOf(t, corners(320, 240))
	goodPNG := pngOf(t, corners(320, 240))
	sized := func(w, h uint32) []byte {
		out := bytes.Clone(goodPNG)
		binary.BigEndian.PutUint32(out[16:], w)
		binary.BigEndian.PutUint32(out[20:], h)
		binary.BigEndian.PutUint32(out[29:], crc(out[12:29]))
		return out
	}
	var scans []byte
	sos := bytes.Index(good, []byte{0xFF, 0xDA})
	scans = append(scans, good[:sos]...)
	for range maxScans + 1 {
		scans = append(scans, good[sos:len(good)-2]...)
	}
	scans = append(scans, 0xFF, 0xD9)
	for name, c := range map[string]struct {
		data []byte
		word string
	}{
		"nothing":           {nil, "empty"},
		"a letter":          {[]byte("dear all"), "no JPEG, PNG or HEIC"},
		"a GIF":             {[]byte("GIF89a\x01\x00\x01\x00"), "no JPEG, PNG or HEIC"},
		"half a JPEG":       {good[:len(good)/2], "cut short"},
		"half a PNG":        {goodPNG[:len(goodPNG)/2], "cut short"},
		"a JPEG's header":   {good[:20], "header"},
		"200 megapixels":    {sized(20_000, 10_000), "more than 52 million; save the picture smaller"},
		"a long strip":      {sized(30_001, 300), "more than 30000 a side; save the picture smaller"},
		"a thumbnail":       {jpegOf(t, corners(100, 80)), "thumbnail"},
		"too many scans":    {scans, "scans"},
		"a HEIC of nothing": {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00heicmif1"), "header"},
		"half a HEIC":       {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00heicmif1\x00\x00\x10\x00meta"), "header"},
	} {
		_, err := Read(bytes.NewReader(c.data), "p.jpg")
		require.ErrorContains(t, err, c.word, name)
		require.True(t, strings.HasPrefix(err.Error(), "p.jpg"), err)
	}
}

func crc(b []byte) uint32 {
	c := ^uint32(0)
	for _, x := range b {
		c ^= uint32(x)
		for range 8 {
			c = c>>1 ^ 0xEDB88320&-(c&1) // ISO/IEC 15948, annex D
		}
	}
	return ^c
}

// The HEIC pictures that the decoder's own module carries are read.
func TestReadHEIC(t *testing.T) {
	if race.On {
		t.Skip("the decoder runs on one core, and takes long")
	}
	t.Parallel()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/gen2brain/heic").Output()
	if err != nil {
		t.Skip("the decoder's module cannot be asked for: ", err)
	}
	data, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "testdata", "test8.heic"))
	if err != nil {
		t.Skip("the decoder's module has no such picture: ", err)
	}
	p, err := Read(bytes.NewReader(data), "p.heic")
	require.NoError(t, err)
	w, h, err := heicSize(data)
	require.NoError(t, err)
	require.Equal(t, [2]int{w, h}, [2]int{p.Width, p.Height})
	refused := 0
	for k := range 40 { // damage that the header does not show
		bad := bytes.Clone(data)
		for i := range 6 {
			bad[(k*7919+i*104729)%len(bad)] ^= byte(37 + k)
		}
		if _, err := Read(bytes.NewReader(bad), "p.heic"); err != nil {
			refused++
			require.NotContains(t, err.Error(), "\n")
		}
	}
	require.Positive(t, refused)
	_, err = Read(bytes.NewReader(data[:len(data)*2/3]), "p.heic")
	require.ErrorContains(t, err, "cut short")
}

// Colours are those of go-colorful, to a tenth of what the eye sees.
func TestColours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SliceOfN(rapid.Uint8(), 3, 3).Draw(t, "rgb")
		got := toLab([3]float32{linear[v[0]], linear[v[1]], linear[v[2]]})
		l, a, b := colorful.Color{R: float64(v[0]) / 255, G: float64(v[1]) / 255, B: float64(v[2]) / 255}.Lab()
		for i, want := range []float64{100 * l, 100 * a, 100 * b} {
			if d := float64(got[i]) - want; d > 0.1 || d < -0.1 {
				t.Fatalf("%v is %v, and not %v %v %v", v, got, 100*l, 100*a, 100*b)
			}
		}
		if got.hex() != fmt.Sprintf("#%02x%02x%02x", v[0], v[1], v[2]) && got.apart(toLab(got.light())) > 0.5 {
			t.Fatalf("%v is written %s", v, got.hex())
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add(turned(jpegOf(f, corners(210, 200)), 6))
	f.Add(pngOf(f, corners(210, 200)))
	f.Add([]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00heicmif1\x00\x00\x00\x2cmeta\x00\x00\x00\x00\x00\x00\x00\x20iprp\x00\x00\x00\x18ipco\x00\x00\x00\x10ispe\x00\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<20 {
			return
		}
		if f, err := formatOf(data); err == nil {
			if w, h, err := f.size(data); err == nil && w*h > 4_000_000 {
				return // within what is read, but slow to fuzz
			}
		}
		p, err := Read(bytes.NewReader(data), "p")
		if err == nil && len(p.pix) != 3*p.Width*p.Height {
			t.Fatal("a picture of another size than it says")
		}
	})
}
