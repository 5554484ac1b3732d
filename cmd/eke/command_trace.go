package main

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"eke/piece"
	"eke/piece/photo"
	"eke/svg/draw"
	"eke/svg/measure"

	"github.com/paulmach/orb"
	"github.com/spf13/cobra"
)

type traceFlags struct {
	out   string
	paper string
	units unitValue
	quiet bool
}

func newTrace() *cobra.Command {
	var f traceFlags
	cmd := &cobra.Command{
		Use:   "trace PHOTO… -o SCRAPS.svg",
		Short: "Trace scraps from photographs of them",
		Long: `trace finds the scraps in a photograph (JPEG, PNG or HEIC) and writes their
outlines, holes and colours as a scraps file for plan and fit, and beside it the
picture with the outlines and numbers on it: SCRAPS-numbered.png. Look at it.

Lay the scraps flat and apart on a plain ground of another colour. In the midst
of them lay a scale sheet (eke sheets --scale-sheet), or a plain white sheet of
A4 or letter paper. Photograph them from straight above, in even light, with
some of the ground on all sides.

Each outline is drawn inward by as much as it is uncertain, which the table
says. Measure one scrap by hand before you cut anything.`,
		Example: `  eke trace pile.jpg -o scraps.svg
  eke trace pile.jpg more.heic --paper letter -o scraps.svg`,
		Args: atLeast(1),
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	fl := cmd.Flags()
	fl.StringVarP(&f.out, "output", "o", "", "the scraps `file` to write, a name that ends in .svg")
	fl.StringVar(&f.paper, "paper", "", "`size` of the plain white sheet: a4 or letter; told by its shape if not given")
	fl.Var(&f.units, "units", "mm, cm or in, for the table")
	fl.BoolVarP(&f.quiet, "quiet", "q", false, "say nothing but what went wrong")
	return cmd
}

// tracedPhoto is what was found in one picture, and where it is shown.
type tracedPhoto struct {
	path    string
	result  *photo.Result
	preview string
}

func (f *traceFlags) run(cmd *cobra.Command, paths []string) error {
	if err := f.canWrite(); err != nil {
		return err
	}
	progress := startProgress(cmd.ErrOrStderr(), 0, f.quiet)
	var all []tracedPhoto
	var err error
	for i, path := range paths {
		t := tracedPhoto{path: path, preview: f.preview(i, len(paths))}
		if t.result, err = f.trace(cmd.Context(), path); err != nil {
			break
		}
		all = append(all, t)
	}
	progress.done()
	if errors.Is(err, context.Canceled) {
		return fmt.Errorf("stopped before it was done, and nothing was written: %w", err)
	}
	if err != nil {
		return err
	}
	pile := together(all)
	if err := f.write(all, pile); err != nil {
		return err
	}
	for _, t := range all {
		for _, p := range t.result.Problems {
			fmt.Fprintln(cmd.ErrOrStderr(), wrapped(fmt.Sprintf("%s: %s", filepath.Base(t.path), p)))
		}
	}
	if len(pile) == 0 {
		return fmt.Errorf("no scrap was traced; see %s for why", f.preview(0, len(paths)))
	}
	if f.quiet {
		return nil
	}
	return f.print(cmd.OutOrStdout(), all)
}

// canWrite refuses names under which something is already, before any work is
// done: what stands there may have been drawn on by hand.
func (f *traceFlags) canWrite() error {
	if f.out == "" {
		return errors.New("say where the scraps go, such as -o scraps.svg")
	}
	if !strings.EqualFold(filepath.Ext(f.out), ".svg") {
		return fmt.Errorf("-o %s: scraps are written as SVG; give a name that ends in .svg", f.out)
	}
	if info, err := os.Stat(filepath.Dir(f.out)); err != nil || !info.IsDir() {
		return fmt.Errorf("-o %s: there is no folder %s", f.out, filepath.Dir(f.out))
	}
	return nil
}

// preview is the name of the picture that is written for a photograph.
func (f *traceFlags) preview(i, n int) string {
	base := strings.TrimSuffix(f.out, filepath.Ext(f.out)) + "-numbered"
	if n > 1 {
		base += fmt.Sprintf("-%d", i+1)
	}
	return base + ".png"
}

func (f *traceFlags) trace(ctx context.Context, path string) (*photo.Result, error) {
	r, err := open(path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	p, err := photo.Read(r, path)
	if err != nil {
		return nil, err
	}
	result, err := photo.Trace(ctx, p, photo.Options{Paper: f.paper})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return result, nil
}

// together is the scraps of all pictures, side by side, each with a name of its
// own.
func together(all []tracedPhoto) []piece.Scrap {
	const gapMM = 50
	var out []piece.Scrap
	right := 0.0
	for i, t := range all {
		box := orb.Bound{}
		for k, s := range t.result.Scraps {
			if b := s.Outline.Bound(); k == 0 {
				box = b
			} else {
				box = box.Union(b)
			}
		}
		move := func(ring orb.Ring) orb.Ring {
			moved := make(orb.Ring, len(ring))
			for k, q := range ring {
				moved[k] = orb.Point{q[0] - box.Min[0] + right, q[1] - box.Min[1]}
			}
			return moved
		}
		for _, s := range t.result.Scraps {
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

// write writes the scraps and the pictures, all or none, and over nothing.
func (f *traceFlags) write(all []tracedPhoto, pile []piece.Scrap) (err error) {
	type output struct {
		path string
		draw func(io.Writer) error
	}
	var outs []output
	if len(pile) > 0 {
		outs = append(outs, output{f.out, func(w io.Writer) error {
			return draw.Pile(w, "Scraps traced from photographs", "Outlines are drawn inward by what they are uncertain by. Measure one scrap by hand before you cut anything. Grain lines are upright in the picture, or along stripes; draw them where you know better.", pile)
		}})
	}
	for _, t := range all {
		img, err := t.result.Preview()
		if err != nil {
			return faultError{err}
		}
		outs = append(outs, output{t.preview, func(w io.Writer) error { return encode(w, img) }})
	}
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
			return fmt.Errorf("%s is there already, and may have been drawn on; choose another name with -o, or move it away", o.path)
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

func encode(w io.Writer, img image.Image) error {
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	return e.Encode(w, img)
}

// print says what was traced.
func (f *traceFlags) print(w io.Writer, all []tracedPhoto) error {
	u := f.units.Unit
	for i, t := range all {
		r := t.result
		if len(all) > 1 {
			fmt.Fprintf(w, "photo %d: %s\n", i+1, plain(t.path))
		}
		g := newGrid("no.", "scrap", "size", "area", "±", "holes", "colour", "grain")
		for _, s := range r.Scraps {
			b := s.Outline.Bound()
			grain := "upright"
			if turn := math.Round(s.GrainDeg - 90); turn != 0 {
				grain = fmt.Sprintf("%+.0f°", turn)
			}
			g.add(fmt.Sprint(s.Number), s.Name, u.Size(b.Max[1]-b.Min[1], b.Max[0]-b.Min[0]), u.Patch(s.MeasuredMM2), u.Fine(s.UncertainMM), fmt.Sprint(len(s.Holes)), s.Colour, grain)
		}
		if err := g.print(w); err != nil {
			return err
		}
		sheet := plural(r.Sheets, "scale sheet")
		if r.Plain != "" {
			sheet = "a plain sheet, " + r.Plain
		}
		said := fmt.Sprintf("scale from %s: a point of the picture is %s of cloth", sheet, fineMM(u, r.MMPerPoint))
		if r.Small > 0 {
			said += fmt.Sprintf("; %s too small to use left out", plural(r.Small, "thing"))
		}
		fmt.Fprintln(w, wrapped(said))
		fmt.Fprintf(w, "look at %s, where they are numbered\n\n", plain(t.preview))
	}
	_, err := fmt.Fprintln(w, wrapped(fmt.Sprintf("written to %s. Grain is upright in the picture, or turned to the right by so many degrees to lie along stripes or ribs, or across them: draw it anew where that is wrong. Outlines are drawn inward by what stands under ±. Measure one scrap by hand before you cut anything.", plain(f.out))))
	return err
}

// fineMM is a length below a millimetre.
func fineMM(u measure.Unit, mm float64) string {
	if u == measure.Inches {
		return fmt.Sprintf("%.3f in", mm/25.4)
	}
	return fmt.Sprintf("%.2f mm", mm)
}
