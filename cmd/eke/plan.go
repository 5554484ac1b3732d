package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"runtime"
	"sort"
	"strings"
	"time"

	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"

	"github.com/spf13/cobra"
)

type planFlags struct {
	out       string
	options   int
	seams     []string
	maxSeams  int
	allowance lengthValue
	gap       lengthValue
	tolerance angleValue
	time      time.Duration
	sort      string
	json      bool
	seed      uint64
	scraps    []string
}

func newPlan() *cobra.Command {
	f := planFlags{allowance: lengthValue{10}, gap: lengthValue{3}, tolerance: angleValue{2}}
	cmd := &cobra.Command{
		Use:   "plan PATTERN SCRAPS… -o DIR",
		Short: "Find piecing plans, rank them and write them out",
		Long: `plan finds where a seam may be added or moved so that every piece of the pattern
can be cut from the scraps, ranks what it finds by how little it shows, proves
each plan, and writes DIR: plan.json, report.html and a folder an option with
the parts and layouts at true size.`,
		Example: "  eke plan samples/tshirt.svg samples/scraps.csv -o out",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return f.run(cmd, args)
		},
	}
	fl := cmd.Flags()
	fl.StringVarP(&f.out, "output", "o", "", "folder to write; without it only the table is printed")
	fl.IntVar(&f.options, "options", 3, "how many plans to keep")
	fl.StringSliceVar(&f.seams, "seams", nil, "kinds of seam allowed: yoke, centre, panel, corner, or the name of a joined edge such as shoulder; all by default")
	fl.IntVar(&f.maxSeams, "max-seams", search.DefaultMaxSeams, "most piecing seams that may be added")
	fl.Var(&f.allowance, "allowance", "seam allowance of a piecing seam")
	fl.Var(&f.gap, "gap", "clearance between cutting lines on one scrap")
	fl.Var(&f.tolerance, "grain-tolerance", "how far a part may turn off the grain")
	fl.DurationVar(&f.time, "time", 20*time.Second, "how long to search at most")
	fl.StringVar(&f.sort, "sort", "seams", "order of the options: seams, length or intrusion")
	fl.BoolVar(&f.json, "json", false, "the plan as JSON on standard output instead of the table")
	fl.Uint64Var(&f.seed, "seed", 1, "same seed and same input give the same plan")
	fl.StringArrayVar(&f.scraps, "scrap", nil, `a scrap, as "navy rib: 42 x 60 cm": width across the grain by length along it`)
	return cmd
}

func (f *planFlags) validate() error {
	switch {
	case f.options < 1 || f.options > 50:
		return fmt.Errorf("--options %d: keep between 1 and 50", f.options)
	case f.maxSeams < 0:
		return fmt.Errorf("--max-seams %d: give 0 or more", f.maxSeams)
	case f.time <= 0:
		return fmt.Errorf("--time %v: give a time such as 20s", f.time)
	case f.tolerance.deg < 0 || f.tolerance.deg > 45:
		return fmt.Errorf("--grain-tolerance %v: give 0deg to 45deg", f.tolerance.String())
	case f.allowance.mm < 0 || f.allowance.mm > 100:
		return fmt.Errorf("--allowance %v: give 0mm to 100mm", f.allowance.String())
	case f.gap.mm < 0 || f.gap.mm > 500:
		return fmt.Errorf("--gap %v: give 0mm to 500mm", f.gap.String())
	}
	switch f.sort {
	case "seams", "length", "intrusion":
		return nil
	}
	return fmt.Errorf("--sort %s: give seams, length or intrusion", f.sort)
}

func (f *planFlags) run(cmd *cobra.Command, args []string) error {
	if err := f.validate(); err != nil {
		return err
	}
	pieces, err := loadPattern(args[0])
	if err != nil {
		return err
	}
	cloth, err := loadScraps(args[1:], f.scraps)
	if err != nil {
		return err
	}
	if err := validKinds(f.seams, pieces); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(cmd.Context(), f.time)
	defer cancel()
	o := search.Options{
		Keep: f.options, Kinds: f.seams, MaxSeams: f.maxSeams, AllowanceMM: f.allowance.mm, GapMM: f.gap.mm,
		GrainToleranceDeg: f.tolerance.deg, Seed: f.seed, Workers: runtime.GOMAXPROCS(0),
	}
	progress := newProgress(cmd.ErrOrStderr(), f.time)
	o.Progress = progress.found
	res, err := search.Run(ctx, pieces, cloth, o)
	progress.done()
	if err != nil {
		return err
	}
	d := f.document(args, pieces, cloth, res)
	if len(res.Plans) == 0 {
		d.Short = search.Short(cmd.Context(), pieces, cloth, o)
	}
	if faults := check.Document(d); len(faults) > 0 {
		return faultError{fmt.Errorf("a plan for %s failed its proof and was not written: %v", strings.Join(args, " "), faults[0])}
	}
	if f.out != "" {
		if err := writePlan(f.out, d); err != nil {
			return err
		}
	}
	if f.json {
		if err := d.Write(cmd.OutOrStdout()); err != nil {
			return err
		}
	} else if err := printPlan(cmd.OutOrStdout(), d, f.out); err != nil {
		return err
	}
	if len(d.Options) == 0 {
		return errNothing
	}
	return nil
}

// validKinds refuses a kind of seam that names nothing.
func validKinds(kinds []string, pieces []*piece.Piece) error {
	known := map[string]bool{"centre": true}
	for _, w := range split.Ways() {
		known[w.Kind()] = true
	}
	for _, p := range pieces {
		for _, e := range p.Outline {
			known[strings.ToLower(e.Name)] = true
		}
	}
	for _, k := range kinds {
		if !known[strings.ToLower(k)] {
			return fmt.Errorf("--seams %s: no such kind of seam and no edge of that name; give yoke, centre, panel or a joined edge such as shoulder", k)
		}
	}
	return nil
}

// document is the run as plan.json has it.
func (f *planFlags) document(args []string, pieces []*piece.Piece, cloth []piece.Scrap, res *search.Result) *plan.Document {
	var notes []string
	for _, p := range pieces {
		notes = append(notes, p.Notes...)
	}
	var every []*piece.Scrap
	for i := range cloth {
		every = append(every, cloth[i].Copies()...)
	}
	d := &plan.Document{
		Format: plan.Format, GapMM: f.gap.mm, GrainToleranceDeg: f.tolerance.deg, AllowanceMM: f.allowance.mm, Seed: f.seed,
		Pattern: args[0], ScrapFiles: args[1:], Pieces: split.DocumentPieces(res.Drawn), Scraps: split.DocumentScraps(every),
		Options: []plan.Option{}, Fewest: res.Fewest, FewestReason: res.Reason, Notes: notes,
	}
	for _, m := range res.Plans {
		d.Options = append(d.Options, split.DocumentOption(m, res.Drawn, every, 0))
	}
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
	for i := range d.Options {
		d.Options[i].Rank = i + 1
	}
	return d
}

// progress shows the best so far on a terminal, and nothing elsewhere.
type progress struct {
	w     io.Writer
	end   time.Time
	shown bool
}

func newProgress(w io.Writer, limit time.Duration) *progress {
	f, ok := w.(*os.File)
	if !ok || !isTerminal(f) {
		return &progress{}
	}
	return &progress{w: w, end: time.Now().Add(limit)}
}

func (p *progress) found(s search.Progress) {
	if p.w == nil {
		return
	}
	p.shown = true
	fmt.Fprintf(p.w, "\r\x1b[Kbest so far: %s, %.0f mm; %.0f s left, Ctrl-C keeps it", plural(s.Seams, "seam"), s.LengthMM, time.Until(p.end).Seconds())
}

func (p *progress) done() {
	if p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
