package table

import (
	"context"
	"errors"
	"html/template"
	"path/filepath"
	"strings"
	"time"

	"eke/cmd/job"
	"eke/cmd/words"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"
	"eke/svg/report"
)

// run is one search for plans. The lock of the bench guards it.
type run struct {
	cancel  context.CancelFunc
	began   time.Time
	limit   time.Duration
	going   bool
	stopped bool // by hand
	best    search.Progress
	shown   template.HTML // the best so far, drawn
	failed  string        // why it came to nothing
}

type runState struct {
	Seconds  float64 `json:"seconds"`
	Of       float64 `json:"of"`
	Best     string  `json:"best"`
	Stopping bool    `json:"stopping,omitempty"`
}

func (r *run) state(now time.Time) *runState {
	s := &runState{Seconds: now.Sub(r.began).Seconds(), Of: r.limit.Seconds(), Best: "nothing yet", Stopping: r.stopped}
	if r.best.Found {
		s.Best = words.Plural(r.best.Seams, "added seam")
		if r.best.Seams == 0 {
			s.Best = "no added seam"
		}
	}
	return s
}

var errBusy = errors.New("a plan is being sought already; stop it first")

// finder looks for plans of what was read of these files.
type finder func(ctx context.Context, asked *job.Plan, args []string, l *laid) (d *plan.Document, failed, err error)

// start begins to look for plans for what lies on the table.
func (b *bench) start(asked job.Plan) error {
	return b.startWith(asked, func(ctx context.Context, asked *job.Plan, args []string, l *laid) (*plan.Document, error, error) {
		return asked.Find(ctx, args, l.pieces, l.pile, l.wishes)
	})
}

// startWith begins to look for plans in a way of its own.
func (b *bench) startWith(asked job.Plan, find finder) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.look()
	if b.run != nil && b.run.going {
		return errBusy
	}
	if why := b.laid.ready(); why != "" {
		return errors.New(why)
	}
	if err := job.CanWrite(filepath.Join(b.folder, b.out)); err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(b.context)
	r := &run{cancel: cancel, began: time.Now(), limit: asked.Time, going: true}
	b.run, b.asked = r, asked
	b.change(sectionPlan, sectionTake)
	// Read anew: the search is the only one to hold these.
	l, stamp := b.read(), b.stamp
	args := append([]string{b.pattern}, b.scraps...)
	best := make(chan *plan.Document, 1)
	b.work.Add(2)
	go func() {
		defer b.work.Done()
		b.drawBest(r, best)
	}()
	go func() {
		defer b.work.Done()
		defer cancel()
		defer close(best)
		b.search(ctx, r, asked, find, args, l, stamp, best)
	}()
	return nil
}

// search looks for plans and writes what it finds, as eke plan does.
func (b *bench) search(ctx context.Context, r *run, asked job.Plan, find finder, args []string, l *laid, stamp string, best chan *plan.Document) {
	asked.Found = func(p search.Progress) {
		b.mu.Lock()
		defer b.mu.Unlock()
		r.best = p
	}
	asked.Best = func(d *plan.Document) {
		select { // the latest is the one to draw
		case <-best:
		default:
		}
		best <- d
	}
	d, failed, err := find(ctx, &asked, args, l)
	if err == nil {
		err = job.Write(filepath.Join(b.folder, b.out), job.FilesAndLeft(d, b.units))
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	r.going = false
	if err == nil {
		b.plan, b.of = d, stamp
	}
	if err == nil && failed != nil && !errors.Is(failed, job.ErrNothing) {
		err = failed
	}
	if err != nil {
		r.failed = ownWords(words.OneLine(err))
	}
	b.change(sectionPlan, sectionTake)
}

// drawBest draws each better plan once it is proved, the latest only where they
// come faster than they are drawn.
func (b *bench) drawBest(r *run, best <-chan *plan.Document) {
	for d := range best {
		if len(check.Option(d, 0)) > 0 {
			continue // the next may do; what is written is proved again
		}
		var out strings.Builder
		if report.Choices(&out, d, b.units) != nil {
			continue
		}
		b.mu.Lock()
		r.shown = template.HTML(out.String())
		if r.going {
			b.change(sectionPlan)
		}
		b.mu.Unlock()
	}
}

// stop ends the search; what it has found is kept.
func (b *bench) stop() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.run != nil && b.run.going {
		b.run.stopped = true
		b.run.cancel()
	}
}
