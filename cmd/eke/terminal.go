package main

import (
	"fmt"
	"io"
	"os"

	"eke/split/plan"

	"golang.org/x/term"
)

func isTerminal(f *os.File) bool { return term.IsTerminal(int(f.Fd())) }

// printPlan is what plan shows: the options by rank, then the seams of each;
// or what is missing.
func printPlan(w io.Writer, d *plan.Document, dir string) error {
	for _, n := range d.Notes {
		fmt.Fprintln(w, "note: "+plain(n))
	}
	if len(d.Options) == 0 {
		return printShort(w, d)
	}
	t := newGrid("option", "seams", "length", "intrusion", "moved", "scraps used", "cloth left")
	for _, o := range d.Options {
		used, left := 0, 0.0
		for _, l := range o.Left {
			if !l.Untouched {
				used++
			}
			left += l.AreaMM2
		}
		t.add(fmt.Sprint(o.Rank), fmt.Sprint(o.Seams), fmt.Sprintf("%.0f mm", o.SeamLengthMM), fmt.Sprintf("%.1f", o.Intrusion),
			fmt.Sprint(len(o.MovedSeams)), fmt.Sprintf("%d of %d", used, len(o.Left)), fmt.Sprintf("%.2f m²", left/1e6))
	}
	if err := t.print(w); err != nil {
		return err
	}
	if d.Fewest {
		fmt.Fprintf(w, "fewest possible: %s\n", d.FewestReason)
	} else {
		fmt.Fprintf(w, "perhaps not the fewest: %s\n", d.FewestReason)
	}
	for _, o := range d.Options {
		fmt.Fprintf(w, "\noption %d\n", o.Rank)
		if err := printOption(w, d, &o); err != nil {
			return err
		}
	}
	if dir != "" {
		fmt.Fprintf(w, "\nwritten to %s: open %s/report.html\n", plain(dir), plain(dir))
	}
	return nil
}

func printOption(w io.Writer, d *plan.Document, o *plan.Option) error {
	if len(o.PiecingSeams) > 0 {
		t := newGrid("seam", "kind", "joins", "length")
		for _, s := range o.PiecingSeams {
			parts := ""
			for i, p := range s.Parts {
				if i > 0 {
					parts += " + "
				}
				parts += p
			}
			t.add(s.Name, s.Kind, parts, fmt.Sprintf("%.0f mm", s.LengthMM))
		}
		if err := t.print(w); err != nil {
			return err
		}
	}
	for _, m := range o.MovedSeams {
		fmt.Fprintf(w, "moved: %s, %.0f mm from %s to %s\n", plain(m.Join), m.ByMM, plain(m.From), plain(m.To))
	}
	t := newGrid("part", "from scrap")
	for _, p := range o.Parts {
		from := p.Scrap
		if copiesOf(d, p.Scrap) > 1 {
			from = fmt.Sprintf("%s, number %d", p.Scrap, p.ScrapCopy)
		}
		t.add(p.Name, from)
	}
	return t.print(w)
}

func copiesOf(d *plan.Document, scrap string) (n int) {
	for _, s := range d.Scraps {
		if s.Name == scrap {
			n++
		}
	}
	return n
}

func printShort(w io.Writer, d *plan.Document) error {
	fmt.Fprintln(w, "no plan fits")
	if len(d.Short) == 0 {
		fmt.Fprintln(w, "each piece fits some scrap by itself, or in two parts, but not all of them together; add cloth, or allow more seams or more time")
		return nil
	}
	t := newGrid("piece", "closest", "short along", "short across", "how")
	for _, s := range d.Short {
		how := s.Split
		if how == "" {
			how = "whole"
		}
		t.add(s.Piece, s.Scrap, missing(s.AlongMM), missing(s.AcrossMM), how)
	}
	return t.print(w)
}
