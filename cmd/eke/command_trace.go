package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"eke/cmd/job"
	"eke/cmd/words"
	"eke/piece/photo"
	"eke/piece/scalesheet"
	"eke/split"
	"eke/svg/measure"

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
says, and by what thick cloth hides of the ground on the side away from the
camera. Measure one scrap by hand before you cut anything.`,
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

func (f *traceFlags) run(cmd *cobra.Command, paths []string) error {
	if err := f.canWrite(len(paths)); err != nil {
		return err
	}
	if f.paper != "" {
		if _, err := scalesheet.ParsePaper(f.paper); err != nil {
			return fmt.Errorf("--paper: %w", err)
		}
	}
	if err := allDiffer(paths); err != nil {
		return err
	}
	progress := startProgress(cmd.ErrOrStderr(), 0, f.quiet)
	var all []job.Traced
	var err error
	for i, path := range paths {
		t := job.Traced{Path: path, Preview: f.preview(i, len(paths))}
		if t.Result, err = job.Trace(cmd.Context(), path, f.paper); err != nil {
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
	pile := job.Together(all)
	if err := job.WriteTraced(f.out, all, pile); err != nil {
		return err
	}
	for _, t := range all {
		for _, p := range t.Result.Problems {
			fmt.Fprintln(cmd.ErrOrStderr(), wrapped(fmt.Sprintf("%s: %s", filepath.Base(t.Path), p)))
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
func (f *traceFlags) canWrite(photos int) error {
	if f.out == "" {
		return errors.New("say where the scraps go, such as -o scraps.svg")
	}
	if !strings.EqualFold(filepath.Ext(f.out), ".svg") {
		return fmt.Errorf("-o %s: scraps are written as SVG; give a name that ends in .svg", f.out)
	}
	if info, err := os.Stat(filepath.Dir(f.out)); err != nil || !info.IsDir() {
		return fmt.Errorf("-o %s: there is no folder %s", f.out, filepath.Dir(f.out))
	}
	if err := job.Absent(f.out); err != nil {
		return err
	}
	for i := range photos {
		if err := job.Absent(f.preview(i, photos)); err != nil {
			return err
		}
	}
	return nil
}

// allDiffer refuses a photograph that is given twice, be it as a copy: its scraps would
// be cut twice.
func allDiffer(paths []string) error {
	bySize := map[int64][]string{}
	for _, path := range paths {
		info, err := os.Stat(path)
		if err != nil || !info.Mode().IsRegular() {
			continue // who reads it says what is wrong
		}
		for _, other := range bySize[info.Size()] {
			if same, err := sameBytes(path, other); err != nil {
				return err
			} else if same {
				return fmt.Errorf("%s: the same photograph as %s, and its scraps would be there twice; give each photograph once", path, other)
			}
		}
		bySize[info.Size()] = append(bySize[info.Size()], path)
	}
	return nil
}

// sameBytes reports whether two files of one size hold the same.
func sameBytes(path, other string) (bool, error) {
	var sums [2][sha256.Size]byte
	for i, p := range []string{path, other} {
		f, err := os.Open(p)
		if err != nil {
			return false, err
		}
		h := sha256.New()
		_, err = io.Copy(h, f)
		f.Close()
		if err != nil {
			return false, err
		}
		h.Sum(sums[i][:0])
	}
	return sums[0] == sums[1], nil
}

// preview is the name of the picture that is written for a photograph.
func (f *traceFlags) preview(i, n int) string {
	base := strings.TrimSuffix(f.out, filepath.Ext(f.out)) + "-numbered"
	if n > 1 {
		base += fmt.Sprintf("-%d", i+1)
	}
	return base + ".png"
}

// print says what was traced.
func (f *traceFlags) print(w io.Writer, all []job.Traced) error {
	u := f.units.Unit
	for i, t := range all {
		r := t.Result
		if len(all) > 1 {
			fmt.Fprintf(w, "photo %d: %s\n", i+1, words.Plain(t.Path))
		}
		plusMinus := "±"
		if u == measure.Inches {
			plusMinus = "± in"
		}
		g := newGrid("no.", "scrap", "length × width", "area", plusMinus, "holes", "colour", "grain")
		for _, s := range r.Scraps {
			lo, hi := split.FrameOf(s.GrainDeg).Box(s.Outline)
			g.add(fmt.Sprint(s.Number), s.Name, u.Size(hi[1]-lo[1], hi[0]-lo[0]), u.FinePatch(s.MeasuredMM2), uncertainty(u, s.UncertainMM), fmt.Sprint(len(s.Holes)), s.Colour, grainOf(&s))
		}
		if err := g.print(w); err != nil {
			return err
		}
		sheet := words.Plural(r.Sheets, "scale sheet")
		if r.Plain != "" {
			sheet = "a plain sheet, " + r.Plain
			if r.Sheets > 1 {
				sheet = fmt.Sprintf("%d plain sheets, %s", r.Sheets, r.Plain)
			}
		}
		said := fmt.Sprintf("scale from %s: a point of the picture is %s of cloth", sheet, fineMM(u, r.MMPerPoint))
		if r.PrintUnseen {
			said += "; the paper is so much like the ground that it cannot be told whether it was printed at 100 %: measure its square"
		}
		if r.Small > 0 {
			said += fmt.Sprintf("; %s too small to use left out", words.Plural(r.Small, "thing"))
		}
		fmt.Fprintln(w, wrapped(said))
		fmt.Fprintf(w, "look at %s, where they are numbered\n\n", words.Plain(t.Preview))
	}
	said := []string{fmt.Sprintf("written to %s; %s.", words.Plain(f.out), sizesSay),
		"Grain lies along stripes or across them, turned to the right of upright by so many degrees. Where the table says upright it is taken for granted, ribs and checks or not: draw it anew where that is wrong.",
		"Stains are looked for on cloth of one colour only, and on no small scrap: draw others in as a flaw.",
		"No fabric is known: write it beside each scrap in the file, such as data-fabric=\"navy jersey\". Without, all cloth counts as alike, and serves only pieces that ask for none."}
	if len(all) > 1 {
		said = append(said, "A scrap that is in two photographs is in the file twice: delete one.")
	}
	said = append(said, "Outlines are drawn inward by what stands under ±, and a little more on the side away from the camera. Measure one scrap by hand before you cut anything.")
	_, err := fmt.Fprintln(w, wrapped(strings.Join(said, " ")))
	return err
}

// grainOf is how far the grain of a scrap lies to the right of upright, where stripes
// tell.
func grainOf(s *photo.Scrap) string {
	if !s.Stripes {
		return "upright"
	}
	return fmt.Sprintf("%+.0f°", math.Round(s.GrainDeg-90))
}

// uncertainty is what stands under ±: it is too little to be said in sixteenths of an
// inch, and what is not said in inches has a unit.
func uncertainty(u measure.Unit, mm float64) string {
	if u == measure.Inches {
		return fmt.Sprintf("%.3f", mm/25.4)
	}
	return u.Fine(mm)
}

// fineMM is a length below a millimetre.
func fineMM(u measure.Unit, mm float64) string {
	if u == measure.Inches {
		return fmt.Sprintf("%.3f in", mm/25.4)
	}
	return fmt.Sprintf("%.2f mm", mm)
}
