package photo

import (
	"encoding/binary"
	"errors"
)

// heicBrands are the file types that HEVC pictures have (ISO/IEC 23008-12,
// annex B).
var heicBrands = []string{"heic", "heix", "heim", "heis", "mif1"}

// box is one of the boxes that the file is made of (ISO/IEC 14496-12, 4.2).
type box struct {
	kind string
	body []byte
}

// boxes is what the bytes are made of.
func boxes(data []byte) ([]box, error) {
	var out []box
	for len(data) > 0 {
		if len(data) < 8 {
			return nil, errCutShort
		}
		n, head := uint64(binary.BigEndian.Uint32(data)), uint64(8)
		switch n {
		case 0:
			n = uint64(len(data))
		case 1:
			if len(data) < 16 {
				return nil, errCutShort
			}
			n, head = binary.BigEndian.Uint64(data[8:]), 16
		}
		if n < head || n > uint64(len(data)) {
			return nil, errCutShort
		}
		out = append(out, box{string(data[4:8]), data[head:n]})
		data = data[n:]
	}
	return out, nil
}

// inside is the bytes of the box at the end of a path of kinds; skip is how
// many bytes stand before the boxes in it.
func inside(data []byte, kind string, skip int) ([]byte, error) {
	all, err := boxes(data)
	if err != nil {
		return nil, err
	}
	for _, b := range all {
		if b.kind == kind && len(b.body) >= skip {
			return b.body[skip:], nil
		}
	}
	return nil, errors.New("it has no box " + kind)
}

// cutHEIC says what is wrong with the frame of a HEIC file, or nothing.
func cutHEIC(data []byte) error {
	_, err := boxes(data)
	return err
}

// heicSize is the largest size that any picture in the file has: that of the
// whole, whose tiles and thumbnail are smaller.
func heicSize(data []byte) (w, h int, err error) {
	for _, step := range []struct {
		kind string
		skip int
	}{{"meta", 4}, {"iprp", 0}, {"ipco", 0}} {
		if data, err = inside(data, step.kind, step.skip); err != nil {
			return 0, 0, err
		}
	}
	props, err := boxes(data)
	if err != nil {
		return 0, 0, err
	}
	for _, p := range props {
		if p.kind != "ispe" || len(p.body) < 12 {
			continue
		}
		pw, ph := binary.BigEndian.Uint32(p.body[4:]), binary.BigEndian.Uint32(p.body[8:])
		if pw > maxSide || ph > maxSide {
			return maxSide + 1, maxSide + 1, nil
		}
		if int(pw)*int(ph) > w*h {
			w, h = int(pw), int(ph)
		}
	}
	if w == 0 {
		return 0, 0, errors.New("it says no size")
	}
	return w, h, nil
}
