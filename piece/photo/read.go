package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"strings"

	"github.com/gen2brain/heic"
)

// A picture is refused beyond these, before its points are read.
const (
	maxBytes  = 128 << 20
	maxPixels = 52_000_000 // 52 megapixels: the largest that phones make by themselves
	maxSide   = 30_000
	minSide   = 200
	maxScans  = 40 // of a progressive JPEG; ten are usual
)

// mostPixels is how many points are kept of a picture: a larger one is made
// smaller by a whole factor.
const mostPixels = 16_000_000

// Read reads a photograph, JPEG, PNG or HEIC, and turns it as its EXIF data
// says. What is too large, cut short or no picture is refused from its header
// and the frame of its file alone.
func Read(r io.Reader, file string) (*Picture, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", file, err)
	}
	if len(data) > maxBytes {
		return nil, fmt.Errorf("%s has more than %d MB; save the picture smaller, as a JPEG", file, maxBytes>>20)
	}
	f, err := formatOf(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	w, h, err := f.size(data)
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s: its header cannot be read (%w); copy the picture again, or save it as a JPEG", file, err)
	case w > maxSide || h > maxSide:
		return nil, fmt.Errorf("%s is %d x %d points, more than %d a side; save the picture smaller: 4,000 are plenty", file, w, h, maxSide)
	case w*h > maxPixels:
		return nil, fmt.Errorf("%s is %d x %d points, more than %d million; save the picture smaller: 12 million are plenty", file, w, h, maxPixels/1_000_000)
	case w < minSide || h < minSide:
		return nil, fmt.Errorf("%s is %d x %d points, fewer than %d a side; take the picture itself, not its thumbnail", file, w, h, minSide)
	}
	if err := f.whole(data); err != nil {
		return nil, fmt.Errorf("%s: %w; copy the picture again", file, err)
	}
	img, err := f.decode(data)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read as a picture (%w); copy it again, or save it as a JPEG", file, err)
	}
	if b := img.Bounds(); b.Dx()*b.Dy() > maxPixels || b.Dx() < minSide || b.Dy() < minSide {
		return nil, fmt.Errorf("%s is %d x %d points, and its header says %d x %d; save the picture anew", file, b.Dx(), b.Dy(), w, h)
	}
	if blank(img) {
		return nil, fmt.Errorf("%s is of one colour all over, or too dark for anything to be seen in it; photograph the scraps anew, in more light", file)
	}
	turned := 1
	if f.exif != 0 {
		turned = orientation(data, f.exif)
	}
	p := newPicture(img, turned)
	if m, is := img.(*image.YCbCr); is && f.steps != nil {
		if steps, ok := f.steps(data); ok {
			p.coded = newCoded(m, steps, turned, shrink(m.Bounds()))
		}
	}
	return p, nil
}

// blank is whether a picture is of one colour at a hundred by a hundred points spread over it: a photograph has
// noise, and a scale sheet that lies between them all is too small to be read.
func blank(img image.Image) bool {
	const (
		points = 100
		same   = 0x300 // of 0xffff, in each part of the colour
	)
	b := img.Bounds()
	var least, most [3]uint32
	for i := range points * points {
		x, y := b.Min.X+(2*(i%points)+1)*b.Dx()/(2*points), b.Min.Y+(2*(i/points)+1)*b.Dy()/(2*points)
		red, green, blue, _ := img.At(x, y).RGBA()
		for ch, v := range [3]uint32{red, green, blue} {
			if i == 0 {
				least[ch], most[ch] = v, v
			}
			if least[ch], most[ch] = min(least[ch], v), max(most[ch], v); most[ch]-least[ch] > same {
				return false
			}
		}
	}
	return true
}

var errCutShort = errors.New("the picture is cut short")

// cutJPEG says what is wrong with the frame of a JPEG, or nothing: its
// segments up to the mark of its end (ITU-T T.81, annex B).
func cutJPEG(data []byte) error {
	const (
		soi, eoi, sos = 0xD8, 0xD9, 0xDA
		tem, rst0     = 0x01, 0xD0
	)
	scans := 0
	for i := 2; i+1 < len(data); {
		if data[i] != 0xFF {
			return errors.New("the picture is damaged")
		}
		m := data[i+1]
		switch {
		case m == 0xFF: // fill
			i++
			continue
		case m == eoi:
			if scans == 0 {
				return errCutShort
			}
			return nil
		case m == tem || m >= rst0 && m <= soi:
			i += 2
			continue
		}
		if i+4 > len(data) {
			return errCutShort
		}
		n := int(data[i+2])<<8 | int(data[i+3])
		if n < 2 || i+2+n > len(data) {
			return errCutShort
		}
		i += 2 + n
		if m != sos {
			continue
		}
		if scans++; scans > maxScans {
			return fmt.Errorf("the picture is made of more than %d scans", maxScans)
		}
		// The scan goes on to the next mark that is no stuffed byte and no
		// restart.
		for {
			k := bytes.IndexByte(data[i:], 0xFF)
			if k < 0 || i+k+1 >= len(data) {
				return errCutShort
			}
			i += k
			if next := data[i+1]; next == 0 || next >= rst0 && next < soi {
				i += 2
				continue
			}
			break
		}
	}
	return errCutShort
}

// cutPNG says what is wrong with the frame of a PNG, or nothing: its chunks up
// to IEND (ISO/IEC 15948, 5.3).
func cutPNG(data []byte) error {
	for i := 8; i+12 <= len(data); {
		n := int(data[i])<<24 | int(data[i+1])<<16 | int(data[i+2])<<8 | int(data[i+3])
		if n > len(data)-i-12 {
			return errCutShort
		}
		if string(data[i+4:i+8]) == "IEND" {
			return nil
		}
		i += 12 + n
	}
	return errCutShort
}

func jpegSize(data []byte) (w, h int, err error) {
	c, err := jpeg.DecodeConfig(bytes.NewReader(data))
	return c.Width, c.Height, err
}

func pngSize(data []byte) (w, h int, err error) {
	c, err := png.DecodeConfig(bytes.NewReader(data))
	return c.Width, c.Height, err
}

func decodeJPEG(data []byte) (image.Image, error) { return jpeg.Decode(bytes.NewReader(data)) }
func decodePNG(data []byte) (image.Image, error)  { return png.Decode(bytes.NewReader(data)) }

// decodeHEIC says in one line what the decoder says in many, a trace of its own among them.
func decodeHEIC(data []byte) (image.Image, error) {
	m, err := heic.Decode(bytes.NewReader(data))
	if err != nil {
		why, _, _ := strings.Cut(err.Error(), "\n")
		return nil, errors.New(strings.TrimRight(why, " :"))
	}
	return m, nil
}
