package main

import (
	"fmt"
	"io"
	"strings"

	"eke/cmd/words"

	"eke/split/plan"
)

// missing is what plan shows where there is no plan.
func (s *show) missing(w io.Writer, d *plan.Document) error {
	fmt.Fprintln(w, "no plan was found")
	for _, u := range d.Unkept {
		fmt.Fprintln(w, wrapped(u.Words()))
		if u.Without != nil {
			without, cure := d.WithoutUnkept()
			fmt.Fprintln(w, wrapped("without "+without+" there is a plan with "+s.added(u.Without)+": "+cure))
			return nil
		}
	}
	if err := s.short(w, d); err != nil {
		return err
	}
	if err := s.needed(w, d); err != nil {
		return err
	}
	if m := d.MoreSeams; m != nil {
		fmt.Fprintln(w, "\n"+wrapped(fmt.Sprintf("--max-seams %d stands in the way: there is a plan with %s; give --max-seams %d", m.Allowed, s.added(m), m.Seams)))
	}
	if err := s.partial(w, d); err != nil {
		return err
	}
	if len(d.WouldDo) > 0 {
		fmt.Fprintln(w, "\nwhat to look for")
	}
	for i, want := range d.WouldDo {
		if i > 0 {
			fmt.Fprintln(w, "or")
		}
		fmt.Fprintln(w, wrapped(s.wouldDo(want)))
	}
	return nil
}

// wouldDo says what cloth to look for.
func (s *show) wouldDo(want plan.Wanted) string {
	var cloth []string
	for _, r := range want.Cloth {
		cloth = append(cloth, fmt.Sprintf("%s, at least %s (length x width)", words.Plain(r.Name()), s.units.AtLeast(r.LengthMM, r.WidthMM)))
	}
	return strings.Join(cloth, ", and ") + ", would do: beside the scraps at hand it makes a plan with " + seamCount(want.Seams) + "; a smaller one may do, though none was found in the time"
}

// added says how many seams a plan adds, and how long they are together.
func (s *show) added(of *plan.Seams) string {
	switch of.Seams {
	case 0:
		return seamCount(of.Seams)
	case 1:
		return seamCount(of.Seams) + ", " + s.units.Length(of.LengthMM) + " long"
	}
	return seamCount(of.Seams) + ", " + s.units.Length(of.LengthMM) + " long together"
}

func seamCount(n int) string {
	if n == 0 {
		return "no piecing seam"
	}
	return words.Plural(n, "piecing seam")
}

// short is by how much each piece misses the scraps, whole and with the best
// split.
func (s *show) short(w io.Writer, d *plan.Document) error {
	together := d.Together()
	if d.FitAlone {
		fmt.Fprintln(w, wrapped(together))
		return nil
	}
	t := newGrid("piece", "how", "closest", "short along", "short across")
	last := ""
	for _, m := range d.Short {
		name := m.Piece
		if name == last {
			name = ""
		}
		last = m.Piece
		how := "whole"
		if m.Split != "" {
			how, _, _ = strings.Cut(m.Split, ",") // which part comes from where is in closest
		}
		switch {
		case m.NotChecked:
			t.add(name, how, "not checked", "", "")
		case m.Scrap == "":
			t.add(name, m.Split, "", "", "")
		default:
			t.add(name, how, m.Scrap, s.units.Missing(m.AlongMM), s.units.Missing(m.AcrossMM))
		}
	}
	if err := t.print(w); err != nil {
		return err
	}
	if together != "" {
		fmt.Fprintln(w, wrapped(together))
	}
	if notChecked(d) {
		fmt.Fprintln(w, wrapped("there was no time to check the rows that say so; give more with --time, or ask eke fit"))
	}
	return nil
}

// notChecked reports whether the time did not reach some row.
func notChecked(d *plan.Document) bool {
	for _, m := range d.Short {
		if m.NotChecked {
			return true
		}
	}
	return false
}

// needed is the cloth that is needed against the cloth that is held.
func (s *show) needed(w io.Writer, d *plan.Document) error {
	if len(d.Cloth) == 0 {
		return nil
	}
	fmt.Fprintln(w)
	t := newGrid("cloth for", "from", "needed", "held")
	for _, c := range d.Cloth {
		from := words.Plain(c.Fabric)
		if from == "" {
			from = "any fabric"
		}
		const few = 3
		name := strings.Join(c.Pieces, ", ")
		if more := len(c.Pieces) - few; more > 1 {
			name = fmt.Sprintf("%s and %d more", strings.Join(c.Pieces[:few], ", "), more)
		}
		if c.All {
			name, from = "all pieces", ""
		}
		t.add(words.Plain(name), from, s.units.Area(c.NeededMM2), s.units.Area(c.HeldMM2))
		if len(c.Held) > 1 {
			for _, h := range c.Held {
				t.add("", "  of it "+h.Name(), "", s.units.Area(h.AreaMM2))
			}
		}
	}
	if err := t.print(w); err != nil {
		return err
	}
	note := "areas of the pieces with their allowances, before any piecing seam, and of the scraps they may be cut from"
	if len(d.Cloth) > 1 {
		note += "; cloth that may serve several rows is counted in each, and once for all pieces"
	}
	fmt.Fprintln(w, wrapped(note))
	return nil
}

// partial is what a plan for some of the pieces holds.
func (s *show) partial(w io.Writer, d *plan.Document) error {
	part := d.PartialPlan()
	if part == nil {
		return nil
	}
	o := &part.Options[0]
	total := len(part.Pieces) + len(d.Partial.LeftOver)
	fmt.Fprintln(w, "\n"+wrapped(fmt.Sprintf("a plan for %d of %s, %s; it leaves over: %s", len(part.Pieces), words.Plural(total, "piece"), words.Plural(o.Seams, "piecing seam"), leftOver(d))))
	if err := s.seams(w, o); err != nil {
		return err
	}
	return s.parts(w, d, o)
}

// leftOver names the copies that a partial plan does not hold.
func leftOver(d *plan.Document) string {
	var names []string
	for _, l := range d.Partial.LeftOver {
		names = append(names, words.Plain(d.CopyName(l.Piece, l.Copy)))
	}
	return strings.Join(names, ", ")
}
