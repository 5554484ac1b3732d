package job

import (
	"context"
	"errors"
	"fmt"
	"runtime"
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

	"golang.org/x/sync/errgroup"
)

// Plan is what is asked of a search for plans.
type Plan struct {
	Keep              int      // options
	Kinds             []string // of seam that are allowed; all where there are none
	MaxSeams          int      // that may be added; below zero as many as it takes
	AllowanceMM       float64  // of a piecing seam
	DartReachMM       float64
	GapMM             float64 // between cutting lines on one scrap
	GrainToleranceDeg float64
	Time              time.Duration
	Sort              string // "seams", "length" or "intrusion"
	Seed              uint64
	Found             func(search.Progress) // told of each better plan, or nil
	Best              func(*plan.Document)  // given each better plan, not yet proved, or nil
}

// Usual is what is asked for unless a maker says otherwise.
func Usual() Plan {
	return Plan{Keep: 3, MaxSeams: -1, AllowanceMM: 10, DartReachMM: split.DartReachMM, GapMM: 3, GrainToleranceDeg: 2, Time: 20 * time.Second, Sort: "seams", Seed: 1}
}

// Find searches for plans and proves what it finds. failed is what the run is
// to end with once the document is shown; err is that there is none to show.
func (f *Plan) Find(ctx context.Context, args []string, pieces []*piece.Piece, cloth []piece.Scrap, wishes []wish.Wish) (d *plan.Document, failed, err error) {
	copies, err := CopiesOf(pieces)
	if err != nil {
		return nil, nil, err
	}
	end := time.Now().Add(f.Time)
	laid := end.Add(-f.Afterwards(pieces))
	searched := laid.Add(-copies.ForOptional(f.Time))
	until, cancel := context.WithDeadline(ctx, searched)
	defer cancel()
	o := search.Options{
		Keep: f.Keep, Kinds: f.Kinds, MaxSeams: f.MaxSeams, AllowanceMM: f.AllowanceMM, GapMM: f.GapMM,
		GrainToleranceDeg: f.GrainToleranceDeg, DartReachMM: f.DartReachMM, Seed: f.Seed, Workers: runtime.GOMAXPROCS(0),
		Wishes: wishes, Rules: piece.Rules(cloth), Ready: copies.Ready, Optional: copies.Extras,
	}
	// A search that has found nothing leaves time to say what is missing.
	giveUp := time.AfterFunc(time.Until(searched.Add(-f.ToTellWhatIsMissing())), cancel)
	prove := f.toProveFewest(copies.Main, o)
	var endSearch context.CancelFunc // and not the finishing of what it has found
	o.Enough, endSearch = context.WithCancel(until)
	defer endSearch()
	var inTime *time.Timer
	defer func() {
		if inTime != nil {
			inTime.Stop()
		}
	}()
	o.Progress = func(p search.Progress) {
		giveUp.Stop()
		if inTime == nil && prove > 0 && p.Seams > 0 {
			inTime = time.AfterFunc(time.Until(searched.Add(-prove-search.ToFinish(f.Time))), endSearch)
		}
		if f.Found != nil {
			f.Found(p)
		}
		if f.Best != nil {
			r := split.Record{Settings: o.Settings(), Drawn: copies.Main, Ready: copies.Ready, Scraps: split.ScrapCopies(cloth), Plans: []*split.Made{p.Plan}}
			f.Best(r.Document())
		}
	}
	res, err := search.RunCopies(until, copies.Main, cloth, o)
	giveUp.Stop()
	o.Enough = nil // the searches after it have times of their own
	if err != nil {
		return nil, nil, err
	}
	lay, cancelLay := context.WithDeadline(ctx, laid)
	defer cancelLay()
	if d, err = f.document(lay, args, pieces, copies, cloth, res, o); err != nil {
		return nil, nil, err
	}
	if prove > 0 && !res.Fewest && ctx.Err() == nil {
		if why, ok := proveFewest(lay, d, copies.Main, cloth, o); ok {
			res.Fewest, res.Reason = true, why
			d.Fewest, d.FewestReason = true, why
		}
	}
	if !res.Settled {
		d.Notes = append(d.Notes, f.stoppedNote(res, ctx.Err() != nil))
	}
	for _, u := range res.Foregone {
		d.Notes = append(d.Notes, fmt.Sprintf("%q is preferred, and the plans here are without it: %s", u.Wish, u.Why))
	}
	if len(res.Plans) == 0 {
		if note := ApartNote(copies.Pieces, cloth, o); note != "" {
			d.Notes = append(d.Notes, note)
		}
		if u := res.Unkept; u != nil {
			d.Unkept = []plan.Unkept{{Text: u.Wish.String(), Why: u.Why}}
		}
		failed = missing(ctx, searched, d, copies.Pieces, cloth, o, res.Settled)
	}
	unproved := KeepProved(d, args)
	if unproved != nil && len(d.Options) == 0 {
		return nil, nil, unproved
	}
	if err := errors.Join(remnant.Tell(d), TellGives(d)); err != nil {
		return nil, nil, Fault{err}
	}
	if failed = errors.Join(unproved, failed); failed == nil && len(d.Options) == 0 {
		failed = ErrNothing
	}
	return d, failed, nil
}

// Afterwards is how much of the time is kept for proving, drawing and writing
// what was found. It grows with the number of parts, up to a quarter of all the
// time, and for outlines of thousands of points by up to half of it more.
func (f *Plan) Afterwards(pieces []*piece.Piece) time.Duration {
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
		return work * time.Duration(f.Keep) / time.Duration(runtime.GOMAXPROCS(0))
	}
	return min(f.Time/4, least+onEach(each*time.Duration(parts))) + min(f.Time/2, onEach(dense*time.Duration(points)))
}

// KeepProved drops the options that fail their proof; the first failure is a
// fault of eke's own.
func KeepProved(d *plan.Document, args []string) error {
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
			failed = Fault{fmt.Errorf("a plan for %s failed its proof and was not written: %w", strings.Join(args, " "), faults[k][0])}
		}
	}
	if len(proved) < len(d.Options) { // one that is dropped may have had fewer seams
		d.Fewest, d.FewestReason, d.AtLeast = false, "a plan that was found failed its proof", nil
	}
	if d.Options = proved; failed == nil && len(proved) == 0 {
		if faults := check.Document(d); len(faults) > 0 {
			failed = Fault{fmt.Errorf("the plan for %s failed its proof and was not written: %w", strings.Join(args, " "), faults[0])}
		}
	}
	for i := range d.Options {
		d.Options[i].Rank = i + 1
	}
	return failed
}

// document is the run as plan.json has it.
func (f *Plan) document(ctx context.Context, args []string, pieces []*piece.Piece, copies Copies, cloth []piece.Scrap, res *search.Result, o search.Options) (*plan.Document, error) {
	notes := NotesOn(pieces, cloth, o)
	if note := besideNote(f.Kinds); note != "" {
		notes = append(notes, note)
	}
	d, err := copies.document(ctx, res.Plans, res.Drawn, cloth, o)
	if err != nil {
		return nil, err
	}
	d.Pattern, d.ScrapFiles = args[0], args[1:]
	d.Fewest, d.FewestReason = res.Fewest, res.Reason
	d.Warnings, d.Notes = allowance.Warnings(pieces), notes
	f.InOrder(d)
	for i := range d.Options {
		d.Options[i].Rank = i + 1
		d.Options[i].Wishes = wish.Told(o.Wishes, d, &d.Options[i])
	}
	return d, nil
}

// InOrder puts the options in the order that was asked for.
func (f *Plan) InOrder(d *plan.Document) {
	sort.SliceStable(d.Options, func(i, j int) bool {
		a, b := d.Options[i], d.Options[j]
		switch f.Sort {
		case "length":
			return a.SeamLengthMM < b.SeamLengthMM
		case "intrusion":
			return a.Intrusion < b.Intrusion
		}
		return false // as found: seams, then intrusion
	})
}
