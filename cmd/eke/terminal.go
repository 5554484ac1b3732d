package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"eke/cmd/words"

	"eke/split/plan"
	"eke/svg/measure"

	"github.com/spf13/cobra"
)

// show is how a result is shown on the terminal.
type show struct {
	units   unitValue
	quiet   bool
	verbose bool
	json    bool
	instead string // the pattern of another plan that was in the folder written to
}

// flags adds what every command that shows a plan takes.
func (s *show) flags(cmd *cobra.Command) {
	fl := cmd.Flags()
	fl.Var(&s.units, "units", "unit of the lengths in tables and in the report: mm, cm or in")
	fl.BoolVarP(&s.quiet, "quiet", "q", false, "show no tables, only what went wrong")
	fl.BoolVarP(&s.verbose, "verbose", "v", false, "show the cost term by term and the sewing order too")
	fl.BoolVar(&s.json, "json", false, "print plan.json on standard output instead of tables")
	cmd.PreRunE = func(*cobra.Command, []string) error {
		if s.quiet && (s.verbose || s.json) {
			return errors.New("--quiet shows nothing, and --verbose and --json show more; give one of them")
		}
		return nil
	}
}

// result shows a document as was asked for. Dir is where it was written, or
// empty.
func (s *show) result(w io.Writer, d *plan.Document, dir string, print func(io.Writer, *plan.Document) error) error {
	switch {
	case s.json:
		return d.Write(w)
	case s.quiet:
		warn(w, d.Warnings, s.units.Unit)
		if len(d.Options) == 0 {
			fmt.Fprintln(w, "no plan was found")
		}
		return nil
	}
	warn(w, d.Warnings, s.units.Unit)
	note(w, d.Notes, s.units.Unit)
	if err := print(w, d); err != nil {
		return err
	}
	if dir != "" {
		instead := ""
		if s.instead != "" {
			instead = fmt.Sprintf(", in place of the plan for %s that was there", words.Plain(s.instead))
		}
		fmt.Fprintf(w, "\nwritten to %s%s: open %s/report.html\n", words.Plain(dir), instead, words.Plain(dir))
	}
	return nil
}

// warn prints what of a pattern cannot be sewn well as it was drawn.
func warn(w io.Writer, warnings []string, u measure.Unit) {
	for _, text := range warnings {
		fmt.Fprintln(w, wrapped("warning: "+u.Text(text)))
	}
	if len(warnings) > 0 {
		fmt.Fprintln(w)
	}
}

// note prints what a maker should know of how her files were read.
func note(w io.Writer, notes []string, u measure.Unit) {
	for _, n := range notes {
		fmt.Fprintln(w, wrapped("note: "+u.Text(n)))
	}
	if len(notes) > 0 {
		fmt.Fprintln(w)
	}
}

// options is what plan shows: the options by rank, then the seams of each; or
// what is missing.
func (s *show) options(w io.Writer, d *plan.Document) error {
	if len(d.Options) == 0 {
		return s.missing(w, d)
	}
	t := newGrid("option", "seams", "length", "intrusion", "moved", "scraps used", "cloth left")
	allUsed := true
	for _, o := range d.Options {
		used, left := 0, 0.0
		for _, l := range o.Left {
			if !l.Untouched {
				used++
			}
			allUsed = allUsed && !l.Untouched
			left += l.AreaMM2
		}
		t.add(fmt.Sprint(o.Rank), fmt.Sprint(o.Seams), s.units.Length(o.SeamLengthMM), fmt.Sprintf("%.1f", o.Intrusion),
			fmt.Sprint(len(o.MovedSeams)), fmt.Sprintf("%d of %d", used, len(o.Left)), s.units.Area(left))
	}
	if err := t.print(w); err != nil {
		return err
	}
	fmt.Fprintln(w, "intrusion: how much it shows, in points; less is better")
	if !allUsed {
		fmt.Fprintln(w, "cloth left: of all scraps, those not used too")
	}
	if d.Fewest {
		fmt.Fprintln(w, wrapped("fewest possible: "+d.FewestReason))
	} else {
		fmt.Fprintln(w, wrapped("perhaps not the fewest: "+d.FewestReason))
	}
	for _, o := range d.Options {
		fmt.Fprintf(w, "\noption %d\n", o.Rank)
		if err := s.seams(w, &o); err != nil {
			return err
		}
		if err := s.parts(w, d, &o); err != nil {
			return err
		}
		if cut, left := d.OptionalPieces(&o); len(cut)+len(left) > 0 {
			fmt.Fprintln(w, wrapped("optional: "+optionalSays(cut, left, d.UnlikeOptional(&o))))
		}
		if err := s.more(w, &o); err != nil {
			return err
		}
	}
	return nil
}

// optionalSays is which optional pieces an option cuts, in a sentence.
func optionalSays(cut, left, unlike []string) string {
	var says []string
	if len(cut) > 0 {
		says = append(says, words.List(cut)+" cut from what is left")
	}
	if len(unlike) > 0 {
		says = append(says, "in unlike looks: "+strings.Join(unlike, "; "))
	}
	if len(left) > 0 {
		says = append(says, "no room was found for "+words.List(left))
	}
	return strings.Join(says, "; ")
}

// parts is which part of an option comes from which scrap.
func (s *show) parts(w io.Writer, d *plan.Document, o *plan.Option) error {
	t := newGrid("part", "from scrap")
	if slices.ContainsFunc(o.Parts, func(p plan.Part) bool { return p.IsCut }) {
		t = newGrid("part", "from scrap", "")
	}
	for _, p := range o.Parts {
		from := p.Scrap
		if copiesOf(d, p.Scrap) > 1 {
			from = fmt.Sprintf("%s, number %d", p.Scrap, p.ScrapCopy)
		}
		if p.IsCut {
			t.add(p.Name, from, "cut already")
		} else {
			t.add(p.Name, from)
		}
	}
	if err := t.print(w); err != nil {
		return err
	}
	for _, c := range o.Changes {
		fmt.Fprintln(w, wrapped("changed: "+s.units.Text(c)))
	}
	return nil
}

// seams is the seams of an option, added and moved.
func (s *show) seams(w io.Writer, o *plan.Option) error {
	if len(o.PiecingSeams) > 0 {
		t := newGrid("seam", "kind", "joins", "length")
		for _, p := range o.PiecingSeams {
			const aRow = 2
			for from := 0; from < len(p.Parts); from += aRow {
				joins := strings.Join(p.Parts[from:min(from+aRow, len(p.Parts))], " + ")
				if from == 0 {
					t.add(p.Name, p.Called, joins, s.units.Length(p.LengthMM))
				} else {
					t.add("", "", "+ "+joins, "")
				}
			}
		}
		if err := t.print(w); err != nil {
			return err
		}
	}
	for _, n := range o.Notes {
		fmt.Fprintln(w, wrapped("note: "+s.units.Text(n)))
	}
	for _, k := range o.Wishes {
		kept := "kept"
		if !k.Kept {
			kept = "not kept"
		}
		fmt.Fprintln(w, wrapped(fmt.Sprintf("wish: %s: %s: %s", k.Text, kept, k.How)))
	}
	for _, m := range o.MovedSeams {
		fmt.Fprintln(w, wrapped(fmt.Sprintf("moved: %s, %s from %s to %s", m.Words(), s.units.Length(m.ByMM), m.From, m.To)))
	}
	return nil
}

// more is what --verbose adds of an option.
func (s *show) more(w io.Writer, o *plan.Option) error {
	if !s.verbose {
		return nil
	}
	t := newGrid("cost", "points", "why")
	for _, c := range o.Cost {
		t.add(c.Name, fmt.Sprintf("%.1f", c.Points), s.units.Text(c.Detail))
	}
	t.add("intrusion", fmt.Sprintf("%.1f", o.Intrusion), "how much it shows")
	if err := t.print(w); err != nil {
		return err
	}
	for i, step := range o.SewingOrder {
		fmt.Fprintln(w, wrapped(fmt.Sprintf("%d. %s", i+1, s.units.Text(step))))
	}
	return nil
}

// sizesSay is what sizes in tables are.
const sizesSay = "length is along the grain, width across it"

// cloth is what split shows: the seams, and what each part needs.
func (s *show) cloth(w io.Writer, d *plan.Document) error {
	o := &d.Options[0]
	if err := s.seams(w, o); err != nil {
		return err
	}
	t := newGrid("part", "needs, length × width")
	for i, p := range o.Parts {
		corner := d.Scraps[i].Outline[2] // of the cloth it just fits
		t.add(p.Name, s.units.Size(corner[1], corner[0]))
	}
	if err := t.print(w); err != nil {
		return err
	}
	fmt.Fprintln(w, sizesSay)
	return s.more(w, o)
}

func copiesOf(d *plan.Document, scrap string) (n int) {
	for _, s := range d.Scraps {
		if s.Name == scrap {
			n++
		}
	}
	return n
}
