package table

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"eke/cmd/job"
	"eke/cmd/words"
	"eke/piece"
	"eke/split/byhand"
	"eke/split/search"
)

// hand is what is made by hand: the work, and what on the table it is made of.
type hand struct {
	work *byhand.Work
	of   string
}

// handFile is where it is kept in the table's folder.
const handFile = "by-hand.json"

const (
	liveTime  = 50 * time.Millisecond  // that a live answer may look for what fits
	wholeTime = 300 * time.Millisecond // that an answer about all parts may
	againTime = 3 * time.Second        // that one may for which a page asks again to know all
)

// handOf is what work by hand is made of: what lies there, and what is asked of a
// plan. The lock is held.
func (b *bench) handOf() string {
	return fmt.Sprint(b.stamp, b.asked.AllowanceMM, b.asked.GapMM, b.asked.DartReachMM, b.asked.GrainToleranceDeg)
}

// byHand is the work by hand on what lies on the table, with its plan as it is now.
// Where other things lie there than before, what can be kept of it is.
func (b *bench) byHand() (*byhand.Work, *byhand.Plan, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.look()
	of := b.handOf()
	if b.hand != nil && b.hand.of == of {
		return b.hand.work, b.hand.work.Plan, nil
	}
	if why := b.laid.ready(); why != "" {
		return nil, nil, errors.New(why)
	}
	given, err := b.given()
	if err != nil {
		return nil, nil, err
	}
	var work *byhand.Work
	if b.hand != nil {
		if work, err = b.hand.work.On(given); err != nil {
			return nil, nil, err
		}
	} else {
		work = byhand.NewWork(given.Start())
		if kept, err := b.root.ReadFile(handFile); err == nil {
			if was, err := given.Restore(kept); err == nil {
				work = byhand.NewWork(was)
			}
		}
	}
	b.hand = &hand{work, of}
	b.handVersion++
	return work, work.Plan, nil
}

// given prepares what lies on the table for work by hand. The lock is held.
func (b *bench) given() (*byhand.Given, error) {
	l := b.read()
	copies, err := job.CopiesOf(l.pieces)
	if err != nil {
		return nil, err
	}
	return byhand.New(copies.Main, copies.Ready, l.pile, search.Options{
		AllowanceMM: b.asked.AllowanceMM, GapMM: b.asked.GapMM, GrainToleranceDeg: b.asked.GrainToleranceDeg, DartReachMM: b.asked.DartReachMM,
		Seed: b.asked.Seed, Wishes: l.wishes, Rules: piece.Rules(l.pile), Ready: copies.Ready,
	})
}

var errMeanwhile = errors.New("something else was changed in the same moment; try again")

// step takes a step of the work: do makes the next plan of the one that there is, and
// says what it did.
func (b *bench) step(do func(*byhand.Plan) (*byhand.Plan, string, error)) error {
	for range 3 {
		work, plan, err := b.byHand()
		if err != nil {
			return err
		}
		now, said, err := do(plan)
		if err != nil {
			return err
		}
		if b.stepped(work, plan, func() bool { work.Do(now, said); return true }) {
			return nil
		}
	}
	return errMeanwhile
}

// stepped takes a step, if there is one to take, and keeps what there is then. It is
// false where the plan is no longer the one that the step was made of.
func (b *bench) stepped(work *byhand.Work, plan *byhand.Plan, take func() bool) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.hand == nil || b.hand.work != work || work.Plan != plan {
		return false
	}
	if take() {
		b.handVersion++
		b.keepHand()
	}
	return true
}

// isHand reports whether a file is one that work by hand was kept in.
func isHand(was string) bool { return strings.Contains(was, `"format": "`+byhand.Format+`"`) }

// keepHand writes down what is made by hand. The lock is held. What cannot be
// written is said on the page, and the work goes on.
func (b *bench) keepHand() {
	data, err := b.hand.work.Plan.Save()
	if err == nil {
		err = job.CanOverwrite(b.path(handFile), isHand, "is no work by hand")
	}
	if err == nil {
		err = b.root.WriteFile(handFile, data, 0o644)
	}
	b.handLost = ""
	if err != nil {
		b.handLost = "What is made by hand is not kept when the table is put away: " + words.OneLine(err)
	}
}

// handRoutes are the requests about work by hand.
func (b *bench) handRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /hand", func(w http.ResponseWriter, r *http.Request) { b.answerHand(w, r, nil) })
	mux.HandleFunc("GET /hand/try", b.tryHand)
	changes := func(path string, do func(*http.Request) error) {
		mux.HandleFunc("POST /hand/"+path, func(w http.ResponseWriter, r *http.Request) {
			err := r.ParseForm()
			if err == nil {
				err = do(r)
			}
			b.answerHand(w, r, err)
		})
	}
	for path, next := range handSteps {
		changes(path, func(r *http.Request) error {
			return b.step(func(p *byhand.Plan) (*byhand.Plan, string, error) { return next(r.Context(), p, form{r.PostForm}) })
		})
	}
	changes("finish", b.finishHand)
	changes("write", func(*http.Request) error { return b.writeHand() })
	changes("undo", func(*http.Request) error { return b.backOrForth((*byhand.Work).Undo, "there is nothing to undo") })
	changes("redo", func(*http.Request) error { return b.backOrForth((*byhand.Work).Redo, "there is nothing to do again") })
}

// backOrForth goes a step back or forth, where there is one.
func (b *bench) backOrForth(take func(*byhand.Work) bool, none string) error {
	for range 3 {
		work, plan, err := b.byHand()
		if err != nil {
			return err
		}
		there := false
		if b.stepped(work, plan, func() bool { there = take(work); return there }) {
			if !there {
				return errors.New(none)
			}
			return nil
		}
	}
	return errMeanwhile
}

// handSteps are the steps that a page may ask for, each with what is said of it.
var handSteps = map[string]func(context.Context, *byhand.Plan, form) (*byhand.Plan, string, error){
	"line": func(_ context.Context, p *byhand.Plan, f form) (*byhand.Plan, string, error) {
		at, err := f.number("at")
		if err != nil {
			return nil, "", err
		}
		now, id, err := p.WithLine(f.Get("part"), f.Get("way"), at)
		if err != nil {
			return nil, "", err
		}
		l := lineOf(now, id)
		return now, fmt.Sprintf("A %s in %s, at %.0f mm.", l.Called, now.Copies()[l.Copy].ID(), l.AtMM), nil
	},
	"move": func(_ context.Context, p *byhand.Plan, f form) (*byhand.Plan, string, error) {
		at, err := f.number("at")
		if err != nil {
			return nil, "", err
		}
		was := lineOf(p, f.Get("line"))
		now, err := p.Moved(f.Get("line"), at)
		if err != nil {
			return nil, "", err
		}
		if l := lineOf(now, f.Get("line")); l.ID != "" {
			return now, fmt.Sprintf("The %s in %s is at %.0f mm.", l.Called, now.Copies()[l.Copy].ID(), l.AtMM), nil
		}
		return now, fmt.Sprintf("The %s is where the pattern has it.", was.Called), nil
	},
	"remove": func(_ context.Context, p *byhand.Plan, f form) (*byhand.Plan, string, error) {
		was := lineOf(p, f.Get("line"))
		now, err := p.Removed(f.Get("line"))
		if err != nil {
			return nil, "", err
		}
		if was.Way.Key == byhand.ShoulderKey {
			return now, "The shoulder seam is where the pattern has it.", nil
		}
		return now, fmt.Sprintf("The %s in %s is gone.", was.Called, p.Copies()[was.Copy].ID()), nil
	},
	"shoulder": func(_ context.Context, p *byhand.Plan, f form) (*byhand.Plan, string, error) {
		copy, err := copyAsked(p, f)
		if err != nil {
			return nil, "", err
		}
		by, err := f.number("by")
		if err != nil {
			return nil, "", err
		}
		now, err := p.WithShoulder(copy, by)
		if err != nil {
			return nil, "", err
		}
		switch s, _ := now.Shoulder(copy); {
		case s.ByMM > 0:
			return now, fmt.Sprintf("The shoulder seam lies %.0f mm further forward.", s.ByMM), nil
		case s.ByMM < 0:
			return now, fmt.Sprintf("The shoulder seam lies %.0f mm further back.", -s.ByMM), nil
		}
		return now, "The shoulder seam is where the pattern has it.", nil
	},
	"place": func(ctx context.Context, p *byhand.Plan, f form) (*byhand.Plan, string, error) {
		part, spot, err := f.spot(f.Has("x") || f.Has("y"))
		if err != nil {
			return nil, "", err
		}
		place := func() (*byhand.Plan, byhand.Lay, error) { return p.Placed(ctx, part, spot) }
		if !f.Has("x") && !f.Has("y") {
			place = func() (*byhand.Plan, byhand.Lay, error) {
				ctx, cancel := context.WithTimeout(ctx, againTime)
				defer cancel()
				return p.Fitted(ctx, part, spot.Scrap)
			}
		}
		now, lay, err := place()
		if err != nil {
			return nil, "", err
		}
		said := fmt.Sprintf("%s lies on %s", part, p.Given().Scraps()[spot.Scrap].ID())
		if !lay.OK {
			said += ", but " + lay.Trouble()
		}
		return now, said + ".", nil
	},
	"lift": func(_ context.Context, p *byhand.Plan, f form) (*byhand.Plan, string, error) {
		now, err := p.Lifted(f.Get("part"))
		return now, f.Get("part") + " lies on no scrap.", err
	},
	"clear": func(_ context.Context, p *byhand.Plan, f form) (*byhand.Plan, string, error) {
		if p.Empty() {
			return nil, "", errors.New("nothing is drawn and nothing laid")
		}
		return p.Given().Start(), "Nothing is drawn and nothing laid.", nil
	},
}

// lineOf is a line of a plan, and the zero Line where there is none of that name.
func lineOf(p *byhand.Plan, id string) byhand.Line {
	for i := range p.Copies() {
		for _, l := range p.Lines(i) {
			if l.ID == id {
				return l
			}
		}
	}
	return byhand.Line{}
}

// copyAsked is the copy that a request names: by its number, or by its piece, the
// first one.
func copyAsked(p *byhand.Plan, f form) (int, error) {
	if name := f.Get("piece"); name != "" {
		for i, c := range p.Copies() {
			if c.Name == name {
				return i, nil
			}
		}
		return 0, fmt.Errorf("the pattern has no piece %q that is to be cut", name)
	}
	return f.whole("copy")
}

// form is what a page sent.
type form struct{ url.Values }

func (f form) number(name string) (float64, error) {
	x, err := strconv.ParseFloat(strings.TrimSpace(f.Get(name)), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("%s: give a number", name)
	}
	return x, nil
}

func (f form) whole(name string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(f.Get(name)))
	if err != nil {
		return 0, fmt.Errorf("%s: give a whole number", name)
	}
	return n, nil
}

// spot is where a part is to lie, with the place on the scrap where that is said. It
// stays where it is put if a page says so (snap=no).
func (f form) spot(place bool) (part string, s byhand.Spot, err error) {
	part, s.Still = f.Get("part"), f.Get("snap") == "no"
	if s.Scrap, err = f.whole("scrap"); err != nil {
		return
	}
	for k, name := range []string{"x", "y"} {
		if !place {
			break
		}
		if s.At[k], err = f.number(name); err != nil {
			return
		}
	}
	if f.Get("turn") != "" {
		s.TurnDeg, err = f.number("turn")
	}
	return
}
