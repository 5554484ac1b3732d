package photo

import (
	"bytes"
	"errors"
	"image"
	"slices"

	"github.com/bep/imagemeta"
)

// format is a kind of file that holds a picture.
type format struct {
	size   func([]byte) (w, h int, err error) // from the header
	whole  func([]byte) error                 // whether the file's frame reaches its end
	decode func([]byte) (image.Image, error)
	exif   imagemeta.ImageFormat // where its EXIF data is sought; 0 where the decoder turns the picture
	steps  func([]byte) ([3][64]uint16, bool)
}

var (
	jpegFormat = format{jpegSize, cutJPEG, decodeJPEG, imagemeta.JPEG, stepsOf}
	pngFormat  = format{pngSize, cutPNG, decodePNG, imagemeta.PNG, nil}
	heicFormat = format{heicSize, cutHEIC, decodeHEIC, 0, nil}
)

// formatOf tells a file's kind from its first bytes.
func formatOf(data []byte) (format, error) {
	switch {
	case len(data) == 0:
		return format{}, errors.New("the file is empty")
	case bytes.HasPrefix(data, []byte("\xFF\xD8\xFF")):
		return jpegFormat, nil
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		return pngFormat, nil
	case len(data) >= 12 && string(data[4:8]) == "ftyp" && slices.Contains(heicBrands, string(data[8:12])):
		return heicFormat, nil
	}
	return format{}, errors.New("it is no JPEG, PNG or HEIC picture; save it as one of them")
}

// orientation is the way a picture is to be turned, 1 to 8 (EXIF 2.32, tag
// 0x0112); 1, as it is, where nothing readable is said.
func orientation(data []byte, f imagemeta.ImageFormat) int {
	out := 1
	_, err := imagemeta.Decode(imagemeta.Options{
		R:               bytes.NewReader(data),
		ImageFormat:     f,
		Sources:         imagemeta.EXIF,
		LimitNumTags:    500,
		ShouldHandleTag: func(tag imagemeta.TagInfo) bool { return tag.Tag == "Orientation" && tag.Namespace == "IFD0" },
		HandleTag: func(tag imagemeta.TagInfo) error {
			if v, ok := tag.Value.(uint16); ok && v >= 1 && v <= 8 {
				out = int(v)
			}
			return imagemeta.ErrStopWalking
		},
	})
	if err != nil {
		return 1 // a picture with damaged EXIF data is shown as it is, as viewers do
	}
	return out
}
