package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"eke/cmd/job"

	"eke/allowance/lining"
	"eke/piece"
	"eke/split/plan"
	"eke/split/wish"
	"eke/svg"

	"github.com/spf13/cobra"
)

// liningFolder is where in the folder of a plan the one of the lining is.
const liningFolder = "lining"

// liningStepStarts is how the step that puts the lining in starts.
const liningStepStarts = "Sew the lining by its own order, in "

// liningStep is the step of the garment's sewing order that puts the lining in. The plan
// of the lining is named from the folder of the garment's.
func liningStep(planned string) string {
	return liningStepStarts + planned + " and the report beside it; its last step says, edge by edge, how it is sewn in."
}

// tellLining says in the plan of a garment where that of its lining is, and in its
// sewing orders, where there is an order for the lining: last, or before a waistband or
// casing that takes the lining in.
func tellLining(d *plan.Document, planned string, sewn bool) {
	d.Lining = planned
	if !sewn {
		return
	}
	for k := range d.Options {
		order := d.Options[k].SewingOrder
		at := d.Options[k].WaistStep - 1
		if at < 0 {
			at = len(order)
		}
		d.Options[k].SewingOrder = slices.Insert(order, at, liningStep(planned))
	}
}

// keepLining says in a plan that goes on from an option of an older one, and is written
// to the folder out, what that one said of its lining, or of the garment that it is the
// lining of.
func keepLining(d, old *plan.Document, k int, after, out string) error {
	d.OfLining = old.OfLining
	d.Notes = slices.Concat(old.OfLining, d.Notes)
	if old.Lining == "" {
		return nil
	}
	after, err := filepath.Abs(after)
	if err != nil {
		return err
	}
	if out, err = filepath.Abs(out); err != nil {
		return err
	}
	planned := filepath.Join(filepath.Dir(after), filepath.FromSlash(old.Lining))
	if near, err := filepath.Rel(out, planned); err == nil { // there is none to another drive
		planned = near
	}
	sewn := slices.ContainsFunc(old.Options[k].SewingOrder, func(step string) bool { return strings.HasPrefix(step, liningStepStarts) })
	tellLining(d, filepath.ToSlash(planned), sewn)
	return nil
}

// needLining refuses flags that say how large a lining is where none is asked
// for.
func (f *planFlags) needLining(cmd *cobra.Command) error {
	if f.lining {
		if f.show.json && f.out == "" {
			return errors.New("--lining --json: give -o DIR too, for what is printed is the garment's plan, and the lining's is DIR/lining/plan.json")
		}
		return nil
	}
	for _, name := range []string{"ease", "armhole-up", "hem-up", "pleat"} {
		if cmd.Flags().Changed(name) {
			return fmt.Errorf("--%s is how large a lining is: give --lining too", name)
		}
	}
	return nil
}

// runLined plans the garment from the scraps that are not for the lining, and
// the lining from those that are. Each is a plan of its own, proved by itself;
// they share no scrap.
func (f *planFlags) runLined(cmd *cobra.Command, args []string, pieces []*piece.Piece, cloth []piece.Scrap, wishes []wish.Wish) error {
	var outer, inner []piece.Scrap
	for _, s := range cloth {
		if s.Use == piece.UseLining {
			inner = append(inner, s)
		} else {
			outer = append(outer, s)
		}
	}
	switch {
	case len(inner) == 0:
		return errors.New("--lining: no scrap says use: lining; write that beside the cloth for it, in a column use or as data-use")
	case len(outer) == 0:
		return errors.New("--lining: every scrap says use: lining, and none is left for the garment")
	}
	base := filepath.Base(filepath.FromSlash(args[0]))
	pattern := strings.TrimSuffix(base, filepath.Ext(base)) + "-lining.svg"
	m := &liningMaker{pieces, args[0], pattern, f.larger.options()}
	l, undrawn, err := m.firstLining()
	if err != nil {
		return err
	}
	d, failed, err := f.find(cmd, args, pieces, outer, wishes)
	if err != nil {
		return err
	}
	if len(d.Options) > 0 {
		if l, err = m.liningFor(d, l, undrawn); err != nil {
			return err
		}
	}
	var mix []wish.Wish // of the wishes only this one is of cloth and not of the garment's pieces and looks
	for _, w := range wishes {
		if _, ok := w.(wish.MixKinds); ok {
			mix = append(mix, w)
		}
	}
	in, failedIn, err := f.find(cmd, append([]string{pattern}, args[1:]...), l.asRead, inner, mix)
	if err != nil {
		return err
	}
	in.OfLining = liningNotes(l.Lining)
	in.Notes = slices.Concat(in.OfLining, in.Notes)
	tellLining(d, path.Join(liningFolder, job.PlanFile), len(in.Options) > 0)
	dir := f.out
	if f.out != "" {
		all := job.FilesAndLeft(d, f.show.units.Unit)
		inner := job.FilesAndLeft(in, f.show.units.Unit)
		for _, one := range append(inner, job.File{Name: pattern, Draw: func(w io.Writer) error { _, err := w.Write(l.drawn); return err }}) {
			one.Name = path.Join(liningFolder, one.Name)
			all = append(all, one)
		}
		if err := job.Write(f.out, all); err != nil {
			return err
		}
		dir = filepath.Join(f.out, liningFolder)
	}
	w := cmd.OutOrStdout()
	shown := f.show.result(w, d, f.out, f.show.options)
	if !f.show.json {
		if !f.show.quiet {
			fmt.Fprint(w, "\nThe lining\n\n")
		}
		f.show.instead = ""
		shown = errors.Join(shown, f.show.result(w, in, dir, f.show.options))
	}
	if shown != nil {
		return shown
	}
	if failed != nil {
		return failed
	}
	return failedIn
}

// madeLining is a lining and its pattern file.
type madeLining struct {
	*lining.Lining
	drawn  []byte
	asRead []*piece.Piece // as any reader of the file has them
}

// makeLining makes the lining of a garment and draws it, under the name of its file.
func makeLining(pieces []*piece.Piece, garment, name string, larger lining.Options) (*madeLining, error) {
	l, err := lining.Make(pieces, garment, larger)
	if err != nil {
		return nil, err
	}
	drawn, err := drawLining(l, garment)
	if err != nil {
		return nil, err
	}
	asRead, err := svg.Pattern(bytes.NewReader(drawn.Bytes()), name)
	if err != nil {
		return nil, job.Fault{Err: fmt.Errorf("the lining of %s cannot be read: %w", garment, err)}
	}
	return &madeLining{l, drawn.Bytes(), asRead}, nil
}
