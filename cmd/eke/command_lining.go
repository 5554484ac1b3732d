package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"eke/cmd/job"
	"eke/cmd/words"

	"eke/allowance/lining"
	"eke/piece"
	"eke/split"
	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/measure"

	"github.com/spf13/cobra"
)

// liningFlags are how much larger a lining is.
type liningFlags struct {
	ease, armholeUp, hemUp, pleat lengthValue
}

func defaultLining() liningFlags {
	return liningFlags{lengthValue{lining.DefaultEaseMM}, lengthValue{lining.DefaultArmholeUpMM}, lengthValue{lining.DefaultHemUpMM}, lengthValue{lining.DefaultPleatMM}}
}

func (f *liningFlags) flags(cmd *cobra.Command) {
	fl := cmd.Flags()
	fl.Var(&f.ease, "ease", "how far each lengthwise seam of the lining goes out beyond the garment's; where more than four seam edges go round a body, or two round a sleeve, they share what those would get")
	fl.Var(&f.armholeUp, "armhole-up", "how far the underarm is raised, on body and sleeve: the lining goes round the armhole's seam allowances there")
	fl.Var(&f.hemUp, "hem-up", "how much shorter the lining is at edges named hem")
	fl.Var(&f.pleat, "pleat", "depth of the pleat at a centre back that is on the fold: the whole back is wider by twice that; 0mm for none")
}

// The most that a lining may be larger: more is another garment.
const (
	mostEaseMM      = 30
	mostArmholeUpMM = 40
	mostHemUpMM     = 500
	mostPleatMM     = 100
	leastPleatMM    = 5
)

func (f *liningFlags) validate() error {
	for _, c := range []struct {
		flag string
		v    *lengthValue
		most float64
	}{{"--ease", &f.ease, mostEaseMM}, {"--armhole-up", &f.armholeUp, mostArmholeUpMM}, {"--hem-up", &f.hemUp, mostHemUpMM}, {"--pleat", &f.pleat, mostPleatMM}} {
		if err := c.v.within(c.flag, 0, c.most); err != nil {
			return err
		}
	}
	if f.pleat.mm > 0 && f.pleat.mm < leastPleatMM {
		return fmt.Errorf("--pleat %v: give 0mm for none, or %dmm to %dmm", &f.pleat, leastPleatMM, mostPleatMM)
	}
	return nil
}

func (f *liningFlags) options() lining.Options {
	return lining.Options{EaseMM: f.ease.mm, ArmholeUpMM: f.armholeUp.mm, HemUpMM: f.hemUp.mm, PleatMM: f.pleat.mm}
}

func newLining() *cobra.Command {
	f := defaultLining()
	var out string
	var unit unitValue
	quiet := false
	cmd := &cobra.Command{
		Use:   "lining PATTERN -o FILE",
		Short: "Make the pattern of a lining from that of the garment",
		Long: `lining makes a pattern of the garment's lining, a little larger than it: ease at
the lengthwise seams, the underarm raised, the hem shorter, a pleat at a centre
back on the fold. Facings, bands, cuffs, collars and pieces that say lining: no
are left out, and where a facing is the lining starts at its inner edge. The two
sides of each seam are equally long, and notches meet.

FILE is a pattern like any other: eke plan makes the lining from scraps, in one
go with the garment with eke plan --lining.`,
		Example: `  eke lining samples/cardigan.svg -o lining.svg
  eke lining samples/blouse.svg --ease 5mm --pleat 15mm -o lining.svg`,
		Args: just(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.validate(); err != nil {
				return err
			}
			if err := svgName(out, args[0]); err != nil {
				return err
			}
			pieces, err := job.Pattern(args[0])
			if err != nil {
				return err
			}
			l, err := lining.Make(pieces, args[0], f.options())
			if err != nil {
				return err
			}
			drawn, err := drawLining(l, args[0])
			if err != nil {
				return err
			}
			if out != "" {
				if err := job.WriteOver(out, isMade, notMade, func(w io.Writer) error { _, err := drawn.WriteTo(w); return err }); err != nil {
					return err
				}
			}
			if quiet {
				return nil
			}
			return printLining(cmd.OutOrStdout(), l, pieces, out, unit.Unit)
		},
	}
	f.flags(cmd)
	fl := cmd.Flags()
	fl.StringVarP(&out, "output", "o", "", "the pattern `file` to write, a name that ends in .svg; without it only the table is printed")
	fl.Var(&unit, "units", "unit of the lengths in tables: mm, cm or in")
	fl.BoolVarP(&quiet, "quiet", "q", false, "say nothing but what went wrong")
	return cmd
}

// isMade reports whether an SVG is one that eke wrote.
func isMade(was string) bool { return strings.Contains(was, "<!-- made by eke -->") }

const notMade = "eke did not write it"

// svgName refuses a name for a lining that does not say what it is, or that is
// the garment's own.
func svgName(path, pattern string) error {
	if path == "" {
		return nil
	}
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		return fmt.Errorf("-o %s is a folder; name the file in it, such as %s", path, filepath.Join(path, "lining.svg"))
	}
	if ext := filepath.Ext(path); !strings.EqualFold(ext, ".svg") {
		return fmt.Errorf("-o %s: a pattern is an SVG; give a name that ends in .svg, such as %s.svg", path, strings.TrimSuffix(path, ext))
	}
	if was, err2 := os.Stat(pattern); err == nil && err2 == nil && os.SameFile(info, was) {
		return fmt.Errorf("-o %s is the garment's own pattern; give the lining another name", path)
	}
	return job.CanOverwrite(path, isMade, notMade)
}

// drawLining is the pattern file of a lining.
func drawLining(l *lining.Lining, pattern string) (*bytes.Buffer, error) {
	base := filepath.Base(filepath.FromSlash(pattern))
	var b bytes.Buffer
	title := "Lining of " + plan.Plain(strings.TrimSuffix(base, filepath.Ext(base)))
	about := "Seam lines at true size; allowances are facts of the edges. It may be cut from any cloth.\n"
	if err := draw.Pattern(&b, title, about, l.Drafts); err != nil {
		return nil, job.Fault{Err: fmt.Errorf("the lining cannot be drawn: %w", err)}
	}
	return &b, nil
}

// printLining is what was made: what is left out, what to know, each piece and
// each seam.
func printLining(w io.Writer, l *lining.Lining, pieces []*piece.Piece, out string, u measure.Unit) error {
	note(w, liningNotes(l), u)
	t := newGrid("piece", "lining, length × width", "garment")
	for _, p := range l.Pieces {
		for _, q := range pieces {
			if q.Name == p.Name {
				t.add(p.Name, sizeOf(p, u), sizeOf(q, u))
			}
		}
	}
	if err := t.print(w); err != nil {
		return err
	}
	fmt.Fprintf(w, "of the seam lines: %s\n\n", sizesSay)
	t = newGrid("seam", "sewn to", "length", "difference")
	for _, s := range l.Seams {
		t.add(edgesOf(s.A), edgesOf(s.B), u.Length(s.AMM), u.Length(math.Abs(s.DifferenceMM())))
	}
	if err := t.print(w); err != nil {
		return err
	}
	if out != "" {
		fmt.Fprintf(w, "\nwritten to %s: eke plan makes it from scraps\n", words.Plain(out))
	}
	return nil
}

// sizeOf is how long and wide the seam line of a piece is.
func sizeOf(p *piece.Piece, u measure.Unit) string {
	lo, hi := split.FrameOf(p.GrainDeg).Box(p.Outline.Ring())
	return u.Size(hi[1]-lo[1], hi[0]-lo[0])
}

// liningNotes is what a maker should know of a lining.
func liningNotes(l *lining.Lining) []string {
	var notes []string
	for _, o := range l.LeftOut {
		notes = append(notes, fmt.Sprintf("%s is not lined: %s", o.Name, o.Why))
	}
	return append(notes, l.Notes...)
}

func edgesOf(refs []piece.Ref) string {
	var out []string
	for _, r := range refs {
		out = append(out, r.String())
	}
	return strings.Join(out, " + ")
}
