package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"time"

	"eke/cmd/job"
	"eke/cmd/words"

	"eke/piece"
	"eke/split"
	"eke/split/optional"
	"eke/split/plan"
	"eke/split/rest"
	"eke/split/search"

	"github.com/spf13/cobra"
)

type restFlags struct {
	given scrapFlags
	bias  lengthValue
	gap   lengthValue
	also  string
	time  time.Duration
	json  bool
	unit  unitValue
}

func newRest() *cobra.Command {
	f := restFlags{bias: lengthValue{job.UsualTapeMM}, gap: lengthValue{3}}
	cmd := &cobra.Command{
		Use:   "rest SCRAPS…",
		Short: "Say what a pile still gives: bias tape, rectangles, small pieces",
		Long: `rest says, for each fabric of a pile, how much bias tape it gives, and the largest
rectangle along the grain and the largest square; and with --also, which pieces
of a pattern of small things can be cut from it. Nothing is told that was not
laid on the cloth: there may be more, and there is no less.

A pile is what eke plan leaves, option-1/left.svg, or any other scraps file.`,
		Example: `  eke rest out/option-1/left.svg
  eke rest samples/scraps.csv --bias 2in --also samples/small.svg`,
		Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	fl := cmd.Flags()
	f.given.flags(cmd)
	fl.Var(&f.bias, "bias", "width that bias tape is cut in, before it is folded")
	fl.StringVar(&f.also, "also", "", "a `pattern` of small things: as many of its pieces as go are laid on the pile")
	fl.Var(&f.gap, "gap", "cloth left free between two of them")
	fl.DurationVar(&f.time, "time", 10*time.Second, "how long to look for room for them at most")
	fl.Var(&f.unit, "units", "unit of the lengths in tables: mm, cm or in")
	fl.BoolVar(&f.json, "json", false, "print the answer as JSON on standard output instead of the tables")
	return cmd
}

func (f *restFlags) run(cmd *cobra.Command, args []string) error {
	if err := f.bias.within("--bias", rest.LeastTapeMM, rest.MostTapeMM); err != nil {
		return err
	}
	if err := f.gap.within("--gap", 0, 500); err != nil {
		return err
	}
	if f.time <= 0 {
		return fmt.Errorf("--time %v: give a time such as 10s", f.time)
	}
	pile, err := f.given.load(args)
	if err != nil {
		return err
	}
	var small []*piece.Piece
	if f.also != "" {
		if small, err = job.Pattern(f.also); err != nil {
			return err
		}
	}
	answer := restAnswer{WidthMM: f.bias.mm, Fabrics: rest.Document(rest.Of(job.Measured(pile, f.bias.mm), f.bias.mm))}
	if f.also != "" {
		if answer.Pieces, err = f.fits(cmd.Context(), split.Copies(small), pile); err != nil {
			return err
		}
	}
	if f.json {
		e := json.NewEncoder(cmd.OutOrStdout())
		e.SetIndent("", " ")
		e.SetEscapeHTML(false)
		return e.Encode(answer)
	}
	var notes []string
	for i := range pile {
		notes = append(notes, pile[i].Notes...)
	}
	for _, p := range small {
		notes = append(notes, p.Notes...)
	}
	notes = append(notes, notServed(small, pile)...)
	if s := job.ScrapSizeNote(nil, pile); s != "" {
		notes = append(notes, s)
	}
	if s := job.ShrinkNote(pile); s != "" {
		notes = append(notes, s)
	}
	note(cmd.OutOrStdout(), notes, f.unit.Unit)
	return f.print(cmd.OutOrStdout(), answer)
}

// notServed says of pieces that no scrap of a pile may be cut for, whatever its size.
func notServed(pieces []*piece.Piece, pile []piece.Scrap) []string {
	var names, asked, cloth []string
	o := search.Options{Rules: piece.Rules(pile)}
	cloths := func(fabric, kind, use string) string {
		is := cmp.Or(strings.TrimSpace(fabric+" "+kind), "cloth of no fabric")
		if use != "" {
			is += " for the " + use
		}
		return is
	}
	for _, p := range pieces {
		if slices.ContainsFunc(pile, func(s piece.Scrap) bool { return o.MayCut(p, &s) }) {
			continue
		}
		names = append(names, p.Name)
		if ask := cloths(strings.Join(p.Fabrics, " or "), p.Kind, p.Use); !slices.Contains(asked, ask) {
			asked = append(asked, ask)
		}
	}
	if len(names) == 0 {
		return nil
	}
	for _, s := range pile {
		if is := cloths(cmp.Or(s.Fabric, s.Name), s.Kind, s.Use); !slices.Contains(cloth, is) {
			cloth = append(cloth, is)
		}
	}
	return []string{fmt.Sprintf("no scrap may be cut for %s, whatever its size: asked for is %s, and there is %s", words.List(names), words.List(asked), words.List(cloth))}
}

// restAnswer is what rest says.
type restAnswer struct {
	WidthMM float64      `json:"width_mm"`
	Fabrics []plan.Gives `json:"fabrics"`
	Pieces  []smallPiece `json:"pieces,omitempty"`
}

// smallPiece is a piece of the pattern of small things.
type smallPiece struct {
	Piece string   `json:"piece"`
	Of    int      `json:"of"`   // how often it is asked for
	Fits  int      `json:"fits"` // of all laid together, how many found room
	From  []string `json:"from"` // the scraps they lie on
}

// fits lays as many copies of small pieces on a pile as go: they are optional
// pieces of a plan that has no others.
func (f *restFlags) fits(ctx context.Context, copies []*piece.Piece, pile []piece.Scrap) ([]smallPiece, error) {
	ctx, cancel := context.WithTimeout(ctx, f.time)
	defer cancel()
	o := search.Options{GapMM: f.gap.mm, GrainToleranceDeg: 2, Seed: 1, Workers: runtime.GOMAXPROCS(0), Rules: piece.Rules(pile)}
	none := split.Record{Settings: o.Settings(), Scraps: split.ScrapCopies(pile), Plans: []*split.Made{{Plan: new(split.Plan)}}}
	laid, err := optional.Add(ctx, none, copies, o)
	if err != nil {
		return nil, job.Fault{Err: err}
	}
	d := laid.Document()
	var out []smallPiece
	for _, c := range copies {
		k := slices.IndexFunc(out, func(s smallPiece) bool { return s.Piece == c.Name })
		if k < 0 {
			k = len(out)
			out = append(out, smallPiece{Piece: c.Name, From: []string{}})
		}
		out[k].Of++
		for _, p := range d.Options[0].Parts {
			if p.Piece == c.Name && p.Copy == c.Copy {
				out[k].Fits++
				if !slices.Contains(out[k].From, p.Scrap) {
					out[k].From = append(out[k].From, p.Scrap)
				}
			}
		}
	}
	return out, nil
}

func (f *restFlags) print(w io.Writer, a restAnswer) error {
	u := f.unit
	t := newGrid("fabric", "cloth", "tape", "strips", "one strip", "rectangle", "square")
	for _, g := range a.Fabrics {
		one := "–"
		if g.ContinuousMM > 0 {
			one = u.Tape(g.ContinuousMM)
		}
		t.add(g.Fabric, u.Area(g.AreaMM2), u.Tape(g.TapeMM), fmt.Sprint(g.Strips), one, u.AtMost(g.RectangleMM[0], g.RectangleMM[1]), u.AtMost(g.SquareMM))
	}
	if err := t.print(w); err != nil {
		return err
	}
	fmt.Fprintln(w, wrapped(restSays(u.Long(a.WidthMM))))
	if len(a.Pieces) == 0 {
		return nil
	}
	fmt.Fprintln(w)
	t = newGrid("piece", "fits", "from scrap")
	for _, p := range a.Pieces {
		t.add(p.Piece, fmt.Sprintf("%d of %d", p.Fits, p.Of), strings.Join(p.From, "; "))
	}
	if err := t.print(w); err != nil {
		return err
	}
	fmt.Fprintln(w, "all of them together, the smallest first")
	return nil
}

// restSays is what the columns of the table are.
func restSays(width string) string {
	return fmt.Sprintf("tape: bias tape %s wide, strips at 45° to the grain laid on the scraps and joined, the allowances of the joins taken off, a join fewer than strips; one strip: from the largest square, sewn to a tube and cut round and round; rectangle and square: the largest along the grain, length × width, each by itself", width)
}
