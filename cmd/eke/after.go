package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"eke/cmd/job"
	"eke/cmd/words"
	"eke/piece"
	"eke/piece/scraps"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/replan"
	"eke/split/wish"

	"github.com/spf13/cobra"
)

// needAfter refuses flags that only mean something with --after, and those that
// mean nothing with it.
func (f *planFlags) needAfter(cmd *cobra.Command) error {
	changed := cmd.Flags().Changed
	if f.after == "" {
		for _, name := range []string{"spoilt", "saved"} {
			if changed(name) {
				return fmt.Errorf("--%s is of parts of a plan: give --after DIR/option-K too, the option that they were cut by", name)
			}
		}
		return nil
	}
	if after, err := filepath.Abs(f.after); err == nil && f.out != "" {
		if out, err := filepath.Abs(f.out); err == nil && out == filepath.Dir(after) {
			return fmt.Errorf("-o %s would replace the plan that you cut by; name another folder", f.out)
		}
	}
	if f.lining {
		return errors.New("--after --lining: the lining has a plan of its own; go on from it with its own pattern, eke plan DIR/lining/PATTERN-lining.svg SCRAPS --after DIR/lining/option-K")
	}
	for _, name := range []string{"allowance", "dart-reach", "gap", "grain-tolerance"} {
		if changed(name) {
			return fmt.Errorf("--after --%s: what is cut was cut by the plan that you go on from, and its %s stays; leave out --%s", name, strings.ReplaceAll(name, "-", " "), name)
		}
	}
	return nil
}

// planFolder reads the plan that an option's folder belongs to, and finds the
// option in it.
func planFolder(dir string) (*plan.Document, int, error) {
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return nil, 0, fmt.Errorf("--after %s: there is no such folder; name the option that you cut by, such as out/option-1", dir)
	}
	full, err := filepath.Abs(dir)
	if err != nil {
		return nil, 0, err
	}
	d, err := job.ReadPlan(filepath.Join(filepath.Dir(full), job.PlanFile))
	switch {
	case err != nil:
		if _, none := os.Stat(filepath.Join(filepath.Dir(full), job.PlanFile)); none != nil {
			if _, whole := os.Stat(filepath.Join(full, job.PlanFile)); whole == nil {
				return nil, 0, fmt.Errorf("--after %s: that is all of a plan; name the option that you cut by, such as %s", dir, filepath.Join(dir, "option-1"))
			}
			return nil, 0, fmt.Errorf("--after %s: that is no folder of an option that eke plan wrote: there is no %s beside it", dir, job.PlanFile)
		}
		return nil, 0, fmt.Errorf("--after: %w", err)
	case len(d.Options) == 0:
		return nil, 0, fmt.Errorf("--after %s: its %s has no option", dir, job.PlanFile)
	}
	k := slices.IndexFunc(d.Options, func(o plan.Option) bool { return job.OptionFolder(&o) == filepath.Base(full) })
	if k < 0 {
		return nil, 0, fmt.Errorf("--after %s: its %s has no %s; it has %s to %s", dir, job.PlanFile, filepath.Base(full), job.OptionFolder(&d.Options[0]), job.OptionFolder(&d.Options[len(d.Options)-1]))
	}
	if faults := check.Option(d, k); len(faults) > 0 {
		return nil, 0, fmt.Errorf("--after %s: the plan in its %s is not right (%w); write it again with eke plan", dir, job.PlanFile, faults[0])
	}
	return d, k, nil
}

// savedOf reads what was saved of spoilt parts.
func savedOf(flags []string) (out []replan.Saved, err error) {
	for _, s := range flags {
		scrap, err := scraps.ParseFlag(s)
		if err != nil {
			why := err
			if bad := new(piece.Error); errors.As(err, &bad) {
				why = errors.New(bad.Problem)
			}
			return nil, fmt.Errorf("--saved %q: %w; write it as in \"front-upper: 20 x 30 cm\", across the grain by along it", s, why)
		}
		box := scrap.Outline.Bound()
		name := s[:strings.LastIndexByte(s, ':')]
		out = append(out, replan.Saved{Part: name, WidthMM: box.Max[0] - box.Min[0], LengthMM: box.Max[1] - box.Min[1]})
	}
	return out, nil
}

// runAfter goes on from an option of a plan.
func (f *planFlags) runAfter(cmd *cobra.Command, args []string, pieces []*piece.Piece, cloth []piece.Scrap, wishes []wish.Wish) error {
	old, k, err := planFolder(f.after)
	if err != nil {
		return err
	}
	st, err := replan.Start(old, k, pieces, cloth)
	if err != nil {
		return fmt.Errorf("--after %s: %w", f.after, err)
	}
	saved, err := savedOf(f.saved)
	if err != nil {
		return err
	}
	if err := st.Mark(named(f.cut), named(f.spoilt), saved); err != nil {
		return err
	}
	now := wishes
	if wishes, err = wishesOn(&old.Options[k], now); err != nil {
		return err
	}
	if err := againstHeld(wishes, len(now), job.OptionalAmong(pieces)); err != nil {
		return err
	}
	if least := st.SeamsCut(); f.maxSeams.limit != nil && *f.maxSeams.limit < least {
		return fmt.Errorf("--max-seams %d: what is cut has %s already; give --max-seams %d or more", *f.maxSeams.limit, words.Plural(least, "piecing seam"), least)
	}
	d, failed, err := f.findAfter(cmd, args, pieces, st, old, k, wishes)
	if err != nil {
		return err
	}
	if note := heldOnNote(wishes[len(now):]); note != "" && len(d.Options) == 0 && len(d.Unkept) == 0 {
		d.Notes = append(d.Notes, note)
	}
	if err := keepLining(d, old, k, f.after, f.out); err != nil {
		return err
	}
	return f.handOut(cmd, d, failed)
}

// named leaves out what is blank of a list.
func named(list []string) (out []string) {
	for _, s := range list {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// wishesOn are the wishes that are made now, and those of the older plan: they hold on,
// but for those that are made again now, as a must or as points.
func wishesOn(was *plan.Option, now []wish.Wish) ([]wish.Wish, error) {
	all := slices.Clone(now)
	for _, w := range was.Wishes {
		old, err := wish.Parse(w.Text)
		if err != nil {
			return nil, fmt.Errorf("a wish of the plan that is gone on from: %w", err)
		}
		again := func(o wish.Wish) bool { return wish.Plainly(o).String() == wish.Plainly(old).String() }
		if !slices.ContainsFunc(now, again) {
			all = append(all, old)
		}
	}
	for _, w := range all {
		if replan.BeforeCutting(w) && !slices.ContainsFunc(was.Wishes, func(o plan.Wish) bool { return o.Text == w.String() }) {
			return nil, fmt.Errorf("--after: %q is settled for the whole garment before anything is cut, and cannot be wished for now", w)
		}
	}
	return all, nil
}

// againstHeld refuses wishes made now, the first so many, that no plan can keep beside
// those of the older plan that hold on, which cannot be left out.
func againstHeld(all []wish.Wish, now int, optional func(piece string) bool) error {
	err := wish.Against(all, optional)
	if err == nil {
		return nil
	}
	for k := now; k < len(all); k++ {
		if wish.Against(slices.Delete(slices.Clone(all), k, k+1), optional) == nil {
			return fmt.Errorf("--after: %w; %q, a wish of the plan that you go on from, holds on: to make points of it, give it again as in --wish %q", err, all[k], "prefer "+all[k].String())
		}
	}
	return fmt.Errorf("--after: %w", err)
}

// heldOnNote names the wishes of the older plan that hold on as musts, where no plan was
// found and nobody may have thought of them any more.
func heldOnNote(held []wish.Wish) string {
	var names []string
	cure := ""
	for _, w := range held {
		if plain := wish.Plainly(w); plain.String() == w.String() && !replan.BeforeCutting(w) {
			names = append(names, fmt.Sprintf("%q", w))
			cure = cmp.Or(cure, fmt.Sprintf("%q", "prefer "+w.String()))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("wishes of the plan that you go on from hold on, and may stand in the way: %s; to make points of one, give it again as in --wish %s", words.List(names), cure)
}

// findAfter searches for plans to go on by and proves them, as find does.
func (f *planFlags) findAfter(cmd *cobra.Command, args []string, pieces []*piece.Piece, st *replan.State, old *plan.Document, k int, wishes []wish.Wish) (d *plan.Document, failed, err error) {
	asked := f.asked()
	progress := startProgress(cmd.ErrOrStderr(), f.time, f.show.quiet)
	defer progress.done()
	if d, failed, err = asked.GoOn(cmd.Context(), args, pieces, st, wishes); err != nil {
		return nil, nil, err
	}
	d.After = filepath.ToSlash(f.after)
	d.Fewest, d.FewestReason = fewestAfter(d.Options)
	for i := range d.Options {
		d.Options[i].Changes = replan.Changes(old, &old.Options[k], d, &d.Options[i])
		if faults := check.After(old, k, d, i, st.Pile()...); len(faults) > 0 {
			return nil, nil, job.Fault{Err: fmt.Errorf("a plan for %s failed its proof and was not written: %w", strings.Join(args, " "), faults[0])}
		}
	}
	return d, failed, nil
}

// fewestAfter says whether there are no plans to go on by with fewer seams, and why, or what
// they may be fewer than.
func fewestAfter(options []plan.Option) (fewest bool, why string) {
	if slices.ContainsFunc(options, func(o plan.Option) bool { return o.Seams == 0 }) {
		return true, "no seam is added"
	}
	return false, "what is cut stays as it is; with all cloth uncut there may be plans with fewer seams"
}
