package job

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"os"
	"path/filepath"

	"eke/piece"
	"eke/piece/photo"
	"eke/svg/draw"

	"github.com/paulmach/orb"
)

// Traced is what was found in one picture, and where it is shown.
type Traced struct {
	Path    string
	Result  *photo.Result
	Preview string // a PNG, where it is written
	Flat    string // a JPEG of the ground beside the scraps, if it is wanted
}

// Trace finds the scraps in a photograph. Paper is the size of a plain white sheet in
// it, or empty.
func Trace(ctx context.Context, path, paper string) (*photo.Result, error) {
	r, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	p, err := photo.Read(r, path)
	if err != nil {
		return nil, err
	}
	result, err := photo.Trace(ctx, p, photo.Options{Paper: paper})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return result, nil
}

// Together is the scraps of all pictures, side by side, each with a name of its
// own.
func Together(all []Traced) []piece.Scrap {
	const gapMM = 50
	var out []piece.Scrap
	right := 0.0
	for i, t := range all {
		box := t.box()
		move := func(ring orb.Ring) orb.Ring {
			moved := make(orb.Ring, len(ring))
			for k, q := range ring {
				moved[k] = orb.Point{q[0] - box.Min[0] + right, q[1] - box.Min[1]}
			}
			return moved
		}
		for _, s := range t.Result.Scraps {
			one := s.Scrap
			if len(all) > 1 {
				one.Name = fmt.Sprintf("photo %d %s", i+1, one.Name)
			}
			one.Outline = move(one.Outline)
			one.Holes = nil
			for _, h := range s.Holes {
				one.Holes = append(one.Holes, move(h))
			}
			out = append(out, one)
		}
		right += box.Max[0] - box.Min[0] + gapMM
	}
	return out
}

// box holds the outlines of all scraps of the picture.
func (t *Traced) box() orb.Bound {
	box := orb.Bound{}
	for k, s := range t.Result.Scraps {
		if b := s.Outline.Bound(); k == 0 {
			box = b
		} else {
			box = box.Union(b)
		}
	}
	return box
}

// WriteOnGround writes the scraps of one picture over the ground that it shows, and
// the pictures, all or none, and over nothing.
func (t *Traced) WriteOnGround(path string) error {
	img, at := t.Result.Flat()
	from := t.box().Min
	for k := range from {
		at.Min[k], at.Max[k] = at.Min[k]-from[k], at.Max[k]-from[k]
	}
	var pile []piece.DrawnScrap
	for _, s := range Together([]Traced{*t}) {
		pile = append(pile, s.Drawn())
	}
	preview, err := t.Result.Preview()
	if err != nil {
		return Fault{err}
	}
	outs := []output{{t.Preview, func(w io.Writer) error { return encode(w, preview) }}}
	if len(pile) > 0 {
		outs = append(outs, output{path, func(w io.Writer) error {
			return draw.DrawnPile(w, tracedTitle, tracedNote, pile, []piece.Ground{{File: filepath.Base(t.Flat), Box: at}})
		}}, output{t.Flat, func(w io.Writer) error { return jpeg.Encode(w, img, &jpeg.Options{Quality: 85}) }})
	}
	return writeNew(outs)
}

// WriteTraced writes the scraps and the pictures, all or none, and over nothing.
func WriteTraced(path string, all []Traced, pile []piece.Scrap) error {
	var outs []output
	if len(pile) > 0 {
		outs = append(outs, output{path, func(w io.Writer) error { return DrawTraced(w, pile) }})
	}
	for _, t := range all {
		img, err := t.Result.Preview()
		if err != nil {
			return Fault{err}
		}
		outs = append(outs, output{t.Preview, func(w io.Writer) error { return encode(w, img) }})
	}
	return writeNew(outs)
}

// output is a file to be written.
type output struct {
	path string
	draw func(io.Writer) error
}

// Absent refuses a name under which something is.
func Absent(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return isThere(path)
	}
	return nil
}

func isThere(path string) error {
	return fmt.Errorf("%s is there already, and may have been drawn on; choose another name with -o, or move it away", path)
}

// writeNew writes files, all or none, and over nothing.
func writeNew(outs []output) (err error) {
	var done []string
	defer func() {
		if err != nil {
			for _, path := range done {
				os.Remove(path)
			}
		}
	}()
	for _, o := range outs {
		w, err := os.OpenFile(o.path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, os.ErrExist) {
			return isThere(o.path)
		}
		if err != nil {
			return fmt.Errorf("%s cannot be written: %w", o.path, errors.Unwrap(err))
		}
		done = append(done, o.path)
		if err := errors.Join(o.draw(w), w.Close()); err != nil {
			return fmt.Errorf("%s cannot be written: %w", o.path, err)
		}
	}
	return nil
}

// DrawTraced draws traced scraps as a file of scraps.
func DrawTraced(w io.Writer, pile []piece.Scrap) error {
	return draw.Pile(w, tracedTitle, tracedNote, pile)
}

const (
	tracedTitle = "Scraps traced from photographs"
	tracedNote  = "Outlines are drawn inward by what they are uncertain by, and a little more on the side away from the camera. Measure one scrap by hand before you cut anything. Grain lines are upright in the picture, or along stripes; draw them where you know better."
)

func encode(w io.Writer, img image.Image) error {
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	return e.Encode(w, img)
}
