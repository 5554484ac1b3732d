package main

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sort"
	"strings"
	"time"

	"eke/allowance"
	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/remnant"
	"eke/split/search"
	"eke/split/wish"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"
)

type planFlags struct {
	out       string
	options   int
	seams     []string
	maxSeams  seamsValue
	allowance lengthValue
	dartReach lengthValue
	gap       lengthValue
	tolerance angleValue
	time      time.Duration
	sort      string
	seed      uint64
	show      show
	scraps    scrapFlags
	wishes    []string
	lining    bool
	cut       []string    // pieces, or parts with after
	after     string      // the folder of the option that is gone on from
	spoilt    []string    // parts
	saved     []string    // of them
	larger    liningFlags // than the garment, a lining
}

func newPlan() *cobra.Command {
	f := planFlags{allowance: lengthValue{10}, dartReach: lengthValue{split.DartReachMM}, gap: lengthValue{3}, tolerance: angleValue{2}, larger: defaultLining()}
	cmd := &cobra.Command{
		Use:   "plan PATTERN SCRAPS… -o DIR",
		Short: "Find piecing plans, rank them and write them out",
		Long: `plan finds where a seam may be added or moved so that every piece of the pattern
can be cut from the scraps, ranks what it finds by how little it shows, proves
each plan, and writes DIR: plan.json, report.html and a folder an option with
the parts and layouts at true size.

With --lining it plans the garment and then its lining (eke help lining) from
the scraps that say use: lining, and writes that plan to DIR/lining.

With --after it goes on from a plan that you have begun to cut by, with the same
pattern and scraps: say with --cut which parts are cut, and with --spoilt which
went wrong. What is cut stays exactly as it is, and so do its seams; the report
says in one list what changes. The result can be gone on from in its turn.`,
		Example: `  eke plan samples/tshirt.svg samples/scraps.csv -o out
  eke plan samples/tshirt.svg samples/scraps.csv --after out/option-1 --cut back --spoilt front -o out2`,
		Args: atLeast(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return f.run(cmd, args)
		},
	}
	fl := cmd.Flags()
	fl.StringVarP(&f.out, "output", "o", "", "`folder` to write; without it only the table is printed")
	fl.IntVar(&f.options, "options", 3, "`number` of plans to keep")
	fl.StringSliceVar(&f.seams, "seams", nil, "`kinds` of seam allowed: "+strings.Join(addedSeamKinds(), ", ")+" (a yoke is any seam across the grain, a panel any lengthwise seam), or the name of a joined edge, such as shoulder, whose seam may move; all by default")
	fl.Var(&f.maxSeams, "max-seams", "greatest `number` of piecing seams that may be added; by default as many as it takes")
	fl.Var(&f.allowance, "allowance", "seam allowance of a piecing seam")
	fl.Var(&f.dartReach, "dart-reach", dartReachUsage)
	fl.Var(&f.gap, "gap", "cloth left free between two cutting lines on one scrap: more is easier to cut apart, less gets more parts out of a scrap")
	fl.Var(&f.tolerance, "grain-tolerance", "how far a part may turn off the grain")
	fl.DurationVar(&f.time, "time", 20*time.Second, "how long to search at most; where nothing is found, the last sixth of it goes to saying what is missing")
	fl.StringVar(&f.sort, "sort", "seams", "`order` of the options: seams (fewest first), length (shortest first) or intrusion (how much it shows, least first)")
	fl.Uint64Var(&f.seed, "seed", 1, "the `number` that chance starts from: with the same one you get the same plan again, with another perhaps a better one or other options to choose from")
	f.scraps.flags(cmd)
	fl.StringArrayVar(&f.wishes, "wish", nil, wishUsage)
	fl.StringSliceVar(&f.cut, "cut", nil, "`pieces` that are cut already, as \"back, sleeve\", as if they said ready: yes: they take no cloth, and seams to them stay where they are; with --after parts of that plan, which stay where they lie")
	fl.StringVar(&f.after, "after", "", "`folder` of an option, such as out/option-1, that you have begun to cut by: parts in --cut stay as they are, and the others are planned again where that is better or needed")
	fl.StringSliceVar(&f.spoilt, "spoilt", nil, "`parts` of the plan after which you go on that came to nothing: their cloth is gone, and they are planned again")
	fl.StringArrayVar(&f.saved, "saved", nil, "`what` can still be used of a spoilt part, as \"front-upper: 20 x 30 cm\", across the grain by along it; as often as needed")
	fl.BoolVar(&f.lining, "lining", false, "plan the lining too, from the scraps that say use: lining; --time is then for each of the two")
	f.larger.flags(cmd)
	f.show.flags(cmd)
	return cmd
}

func (f *planFlags) validate() error {
	switch {
	case f.options < 1 || f.options > 50:
		return fmt.Errorf("--options %d: keep between 1 and 50", f.options)
	case f.time <= 0:
		return fmt.Errorf("--time %v: give a time such as 20s", f.time)
	case f.sort != "seams" && f.sort != "length" && f.sort != "intrusion":
		return fmt.Errorf("--sort %s: give seams, length or intrusion", f.sort)
	}
	if err := f.allowance.within("--allowance", 0, 100); err != nil {
		return err
	}
	if err := f.dartReach.within("--dart-reach", 0, 100); err != nil {
		return err
	}
	if err := f.gap.within("--gap", 0, 500); err != nil {
		return err
	}
	if err := f.larger.validate(); err != nil {
		return err
	}
	return f.tolerance.check()
}

func (f *planFlags) run(cmd *cobra.Command, args []string) error {
	if err := errors.Join(f.validate(), f.needLining(cmd), f.needAfter(cmd)); err != nil {
		return err
	}
	pieces, err := loadPattern(args[0])
	if err != nil {
		return err
	}
	if f.after == "" {
		if err := cutAlready(pieces, f.cut); err != nil {
			return err
		}
	}
	cloth, err := f.scraps.load(args[1:])
	if err != nil {
		return err
	}
	wishes, err := loadWishes(args[0], f.wishes, pieces, cloth)
	if err != nil {
		return err
	}
	if err := validSeamKinds(f.seams, pieces); err != nil {
		return err
	}
	if err := canWrite(f.out); err != nil {
		return err
	}
	if f.after != "" {
		return f.runAfter(cmd, args, pieces, cloth, wishes)
	}
	if f.lining {
		return f.runLined(cmd, args, pieces, cloth, wishes)
	}
	d, failed, err := f.find(cmd, args, pieces, cloth, wishes)
	if err != nil {
		return err
	}
	if f.out != "" {
		if err := writePlan(f.out, append(files(d, f.show.units.Unit), leftFiles(d)...)); err != nil {
			return err
		}
	}
	return errors.Join(f.show.result(cmd.OutOrStdout(), d, f.out, f.show.options), failed)
}

// find searches for plans and proves what it finds. failed is what the run is
// to end with once the document is shown; err is that there is none to show.
func (f *planFlags) find(cmd *cobra.Command, args []string, pieces []*piece.Piece, cloth []piece.Scrap, wishes []wish.Wish) (d *plan.Document, failed, err error) {
	copies, err := copiesOfPattern(pieces)
	if err != nil {
		return nil, nil, err
	}
	end := time.Now().Add(f.time)
	laid := end.Add(-f.afterwards(pieces))
	searched := laid.Add(-copies.forOptional(f.time))
	ctx, cancel := context.WithDeadline(cmd.Context(), searched)
	defer cancel()
	o := search.Options{
		Keep: f.options, Kinds: f.seams, MaxSeams: f.maxSeams.most(), AllowanceMM: f.allowance.mm, GapMM: f.gap.mm,
		GrainToleranceDeg: f.tolerance.deg, DartReachMM: f.dartReach.mm, Seed: f.seed, Workers: runtime.GOMAXPROCS(0),
		Wishes: wishes, Rules: piece.Rules(cloth), Ready: copies.ready,
	}
	progress := startProgress(cmd.ErrOrStderr(), f.time, f.show.quiet)
	// A search that has found nothing leaves time to say what is missing.
	giveUp := time.AfterFunc(time.Until(searched.Add(-f.toTellWhatIsMissing())), cancel)
	o.Progress = func(p search.Progress) {
		giveUp.Stop()
		progress.found(p)
	}
	res, err := search.RunCopies(ctx, copies.main, cloth, o)
	giveUp.Stop()
	if err != nil {
		progress.done()
		return nil, nil, err
	}
	lay, cancelLay := context.WithDeadline(cmd.Context(), laid)
	defer cancelLay()
	if d, err = f.document(lay, args, pieces, copies, cloth, res, o); err != nil {
		progress.done()
		return nil, nil, err
	}
	if !res.Settled {
		d.Notes = append(d.Notes, f.stoppedNote(res, cmd.Context().Err() != nil))
	}
	if len(res.Plans) == 0 {
		if note := apartNote(copies.pieces, cloth, o); note != "" {
			d.Notes = append(d.Notes, note)
		}
		if u := res.Unkept; u != nil {
			d.Unkept = []plan.Unkept{{Text: u.Wish.String(), Why: u.Why}}
		}
		failed = missing(cmd.Context(), searched, d, copies.pieces, cloth, o, res.Settled)
	}
	progress.done()
	unproved := keepProved(d, args)
	if unproved != nil && len(d.Options) == 0 {
		return nil, nil, unproved
	}
	if err := errors.Join(remnant.Tell(d), tellGives(d)); err != nil {
		return nil, nil, faultError{err}
	}
	if failed = errors.Join(unproved, failed); failed == nil && len(d.Options) == 0 {
		failed = errNothing
	}
	return d, failed, nil
}

// afterwards is how much of the time is kept for proving, drawing and writing
// what was found. It grows with the number of parts, up to a quarter of all the
// time, and for outlines of thousands of points by up to half of it more.
func (f *planFlags) afterwards(pieces []*piece.Piece) time.Duration {
	const (
		least = 300 * time.Millisecond
		each  = 20 * time.Millisecond  // for a part of some hundred points, on one core
		dense = 300 * time.Microsecond // for every point more
		few   = 500
	)
	parts, points := 0, 0
	for _, p := range pieces {
		parts += max(1, p.Count)
		points += max(0, len(p.Outline.Ring())-few) * max(1, p.Count)
	}
	onEach := func(work time.Duration) time.Duration {
		return work * time.Duration(f.options) / time.Duration(runtime.GOMAXPROCS(0))
	}
	return min(f.time/4, least+onEach(each*time.Duration(parts))) + min(f.time/2, onEach(dense*time.Duration(points)))
}

// keepProved drops the options that fail their proof; the first failure is a
// fault of eke's own.
func keepProved(d *plan.Document, args []string) error {
	faults := make([][]check.Fault, len(d.Options))
	g := new(errgroup.Group)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for k := range d.Options {
		g.Go(func() error {
			faults[k] = check.Option(d, k)
			return nil
		})
	}
	_ = g.Wait()
	var failed error
	proved := []plan.Option{}
	for k, o := range d.Options {
		if len(faults[k]) == 0 {
			proved = append(proved, o)
		} else if failed == nil {
			failed = faultError{fmt.Errorf("a plan for %s failed its proof and was not written: %w", strings.Join(args, " "), faults[k][0])}
		}
	}
	if d.Options = proved; failed == nil && len(proved) == 0 {
		if faults := check.Document(d); len(faults) > 0 {
			failed = faultError{fmt.Errorf("the plan for %s failed its proof and was not written: %w", strings.Join(args, " "), faults[0])}
		}
	}
	for i := range d.Options {
		d.Options[i].Rank = i + 1
	}
	return failed
}

// addedSeamKinds is what a seam that is added may be.
func addedSeamKinds() []string {
	var out []string
	for _, w := range split.Ways() {
		if !slices.Contains(out, w.Kind()) {
			out = append(out, w.Kind())
		}
	}
	return out
}

// validSeamKinds refuses a kind of seam that names nothing.
func validSeamKinds(kinds []string, pieces []*piece.Piece) error {
	known := map[string]bool{}
	for _, k := range addedSeamKinds() {
		known[k] = true
	}
	for _, p := range pieces {
		for _, e := range p.Outline {
			known[strings.ToLower(e.Name)] = len(e.Joins) > 0 || known[strings.ToLower(e.Name)]
		}
	}
	for _, k := range kinds {
		if !known[strings.ToLower(k)] {
			return fmt.Errorf("--seams %s: no such kind of seam and no edge of that name; give %s or a joined edge such as shoulder", k, strings.Join(addedSeamKinds(), ", "))
		}
	}
	return nil
}

// besideNote warns a maker who allows a kind of seam that is tried in some
// places only, and not the kind that serves everywhere else. It says which
// places these are, and is empty where there is no such kind.
func besideNote(kinds []string) string {
	allowed := func(kind string) bool {
		return slices.ContainsFunc(kinds, func(k string) bool { return strings.EqualFold(k, kind) })
	}
	for _, w := range split.Ways() {
		if t := w.Traits(); t.Beside != "" && allowed(w.Kind()) && !allowed(t.Beside) {
			return fmt.Sprintf("a %s is tried only %s; for seams elsewhere too, give --seams %q", w.Kind(), t.Where, strings.Join(append(slices.Clone(kinds), t.Beside), ","))
		}
	}
	return ""
}

// document is the run as plan.json has it.
func (f *planFlags) document(ctx context.Context, args []string, pieces []*piece.Piece, copies patternCopies, cloth []piece.Scrap, res *search.Result, o search.Options) (*plan.Document, error) {
	notes := notesOn(pieces, cloth, o)
	if note := besideNote(f.seams); note != "" {
		notes = append(notes, note)
	}
	d, err := copies.document(ctx, res.Plans, res.Drawn, cloth, o)
	if err != nil {
		return nil, err
	}
	d.Pattern, d.ScrapFiles = args[0], args[1:]
	d.Fewest, d.FewestReason = res.Fewest, res.Reason
	d.Warnings, d.Notes = allowance.Warnings(pieces), notes
	f.inOrder(d)
	for i := range d.Options {
		d.Options[i].Rank = i + 1
		d.Options[i].Wishes = wish.Told(o.Wishes, d, &d.Options[i])
	}
	return d, nil
}

// inOrder puts the options in the order that was asked for.
func (f *planFlags) inOrder(d *plan.Document) {
	sort.SliceStable(d.Options, func(i, j int) bool {
		a, b := d.Options[i], d.Options[j]
		switch f.sort {
		case "length":
			return a.SeamLengthMM < b.SeamLengthMM
		case "intrusion":
			return a.Intrusion < b.Intrusion
		}
		return false // as found: seams, then intrusion
	})
}
