package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"eke/cmd/job"

	"eke/piece"
	"eke/split"
	"eke/split/plan"
	"eke/split/wish"

	"github.com/spf13/cobra"
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
pattern and scraps, and cloth that you have found since: say with --cut which
parts are cut, and with --spoilt which went wrong. What is cut stays exactly as
it is, and so do its seams; the report says in one list what changes. The result
can be gone on from in its turn.`,
		Example: `  eke plan samples/tshirt.svg samples/scraps.csv -o out
  eke plan samples/tshirt.svg samples/scraps.csv --after out/option-1 --cut back`,
		Args: atLeast(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return f.run(cmd, args)
		},
	}
	fl := cmd.Flags()
	fl.StringVarP(&f.out, "output", "o", "", "`folder` to write; without it only the table is printed")
	fl.IntVar(&f.options, "options", 3, "`number` of plans to keep")
	fl.StringSliceVar(&f.seams, "seams", nil, "`kinds` of seam allowed: "+strings.Join(job.SeamKinds(), ", ")+" (a yoke is any seam across the grain, a panel any lengthwise seam), or the name of a joined edge, such as shoulder, whose seam may move; all by default")
	fl.Var(&f.maxSeams, "max-seams", "greatest `number` of piecing seams that may be added; by default as many as it takes")
	fl.Var(&f.allowance, "allowance", "seam allowance of a piecing seam")
	fl.Var(&f.dartReach, "dart-reach", dartReachUsage)
	fl.Var(&f.gap, "gap", "cloth left free between two cutting lines on one scrap: more is easier to cut apart, less gets more parts out of a scrap")
	fl.Var(&f.tolerance, "grain-tolerance", "how far a part may turn off the grain")
	fl.DurationVar(&f.time, "time", 20*time.Second, "how long to search at most; where nothing is found, the last sixth of it goes to saying what is missing")
	fl.StringVar(&f.sort, "sort", "seams", "`order` of the options: seams (fewest first), length (shortest first) or intrusion (how much it shows, least first)")
	fl.Uint64Var(&f.seed, "seed", 1, "the `number` that chance starts from: with the same one you get the same plan again unless --time cuts the search short, with another perhaps a better one or other options to choose from")
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
	defer job.RoomyHeap()()
	if err := errors.Join(f.validate(), f.needLining(cmd), f.needAfter(cmd)); err != nil {
		return err
	}
	pieces, err := job.Pattern(args[0])
	if err != nil {
		return err
	}
	if f.after == "" {
		if err := job.CutAlready(pieces, f.cut); err != nil {
			return err
		}
	}
	cloth, err := f.scraps.load(args[1:])
	if err != nil {
		return err
	}
	wishes, err := job.Wishes(args[0], f.wishes, pieces, cloth)
	if err != nil {
		return err
	}
	for i := range f.seams { // "yoke, panel", as people write it
		if f.seams[i] = strings.TrimSpace(f.seams[i]); !slices.ContainsFunc(job.SeamKinds(), func(kind string) bool { return strings.EqualFold(kind, f.seams[i]) }) {
			f.seams[i] = piece.EdgeName(f.seams[i])
		}
	}
	if err := job.ValidSeamKinds(f.seams, pieces); err != nil {
		return err
	}
	if err := job.CanWrite(f.out); err != nil {
		return err
	}
	f.show.instead = job.OtherPattern(f.out, args[0])
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
	return f.handOut(cmd, d, failed)
}

// handOut writes what was found and shows it. failed is what the run is to end
// with.
func (f *planFlags) handOut(cmd *cobra.Command, d *plan.Document, failed error) error {
	if f.out != "" {
		if err := job.Write(f.out, job.FilesAndLeft(d, f.show.units.Unit)); err != nil {
			return err
		}
	}
	return errors.Join(f.show.result(cmd.OutOrStdout(), d, f.out, f.show.options), failed)
}

// asked is what the flags ask of a search.
func (f *planFlags) asked() job.Plan {
	return job.Plan{
		Keep: f.options, Kinds: f.seams, MaxSeams: f.maxSeams.most(), AllowanceMM: f.allowance.mm, DartReachMM: f.dartReach.mm, GapMM: f.gap.mm,
		GrainToleranceDeg: f.tolerance.deg, Time: f.time, Sort: f.sort, Seed: f.seed,
	}
}

// find searches for plans and proves what it finds, and shows how far it is.
func (f *planFlags) find(cmd *cobra.Command, args []string, pieces []*piece.Piece, cloth []piece.Scrap, wishes []wish.Wish) (d *plan.Document, failed, err error) {
	p := f.asked()
	progress := startProgress(cmd.ErrOrStderr(), f.time, f.show.quiet)
	defer progress.done()
	p.Found = progress.found
	return p.Find(cmd.Context(), args, pieces, cloth, wishes)
}
