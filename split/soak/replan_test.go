package soak

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"runtime/debug"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/replan"
	"eke/split/search"
)

var replans = flag.Int("replans", 3, "how often a plan is gone on from")

// TestReplans cuts some parts of random plans, spoils others, and plans what is
// left, twice in a row: cut parts stay where they are to the last digit, every new
// plan is proved, and the cloth under spoilt parts is left alone.
//
//	go test ./split/soak -run Replans -replans 200 -from 1000
func TestReplans(t *testing.T) {
	if race.On {
		t.Skip("its searches end by time, and the race detector leaves them none")
	}
	t.Parallel()
	var sum replanned
	for seed := *from; sum.again < *replans && seed < *from+4*uint64(*replans)+8; seed++ {
		r := replanned{}
		if w := r.run(seed); w != nil {
			keep(t, w.Rule, w.Document)
			t.Errorf("seed %d: %s: %s", seed, w.Rule, w.Detail)
		}
		sum.plans += r.plans
		sum.again += r.again
		sum.none += r.none
		sum.options += r.options
		sum.cut += r.cut
		sum.spoilt += r.spoilt
		sum.split += r.split
	}
	t.Logf("%d plans, gone on from %d times: %d new plans, in %d cases none; %d parts cut, %d spoilt, %d rests of pieces split anew", sum.plans, sum.again, sum.options, sum.none, sum.cut, sum.spoilt, sum.split)
	if sum.again == 0 {
		t.Error("no plan was gone on from")
	}
}

// replanned counts.
type replanned struct{ plans, again, none, options, cut, spoilt, split int }

func (r *replanned) run(seed uint64) (bad *wrong) {
	var d *plan.Document
	defer func() {
		if p := recover(); p != nil {
			bad = &wrong{Rule: "panic", Detail: fmt.Sprintf("%v\n%s", p, debug.Stack()), Document: d}
		}
	}()
	s := random(9_000_000 + seed)
	s.Keep = 1 + int(seed%2)
	pieces, scraps, err := s.draw()
	if err != nil {
		return &wrong{Rule: "drawing", Detail: err.Error()}
	}
	if len(pieces) == 0 {
		return nil
	}
	rng := rand.New(rand.NewPCG(seed, 0x7265706c616e))
	for k := range rng.IntN(10) { // so that there is something to go on with
		scraps = append(scraps, offcut(fmt.Sprint("spare ", k), 80+rng.Float64()*300, 80+rng.Float64()*300))
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Duration(s.Millis)*time.Millisecond)
	defer cancel()
	res, err := search.Run(ctx, pieces, scraps, s.options())
	if err != nil {
		return &wrong{Rule: "error", Detail: err.Error()}
	}
	if len(res.Plans) == 0 {
		return nil
	}
	r.plans++
	if d, err = reread(s.document(res, scraps)); err != nil {
		return &wrong{"reading", err.Error(), d}
	}
	k := rng.IntN(len(d.Options))
	for range 2 {
		next, w := r.step(s, d, k, pieces, scraps, rng)
		if w != nil || next == nil {
			return w
		}
		d, k = next, rng.IntN(len(next.Options))
	}
	return nil
}

// step goes on from an option. It gives nothing where there was no room.
func (r *replanned) step(s setting, d *plan.Document, k int, pieces []*piece.Piece, scraps []piece.Scrap, rng *rand.Rand) (*plan.Document, *wrong) {
	st, err := replan.Start(d, k, pieces, scraps)
	if err != nil {
		return nil, &wrong{"taken up", err.Error(), d}
	}
	o := &d.Options[k]
	var cut, spoilt []string
	several := map[string]int{}
	for _, p := range o.Parts {
		several[fmt.Sprint(p.Piece, p.Copy)]++
	}
	for _, p := range o.Parts {
		n := rng.IntN(6)
		switch {
		case n < 3:
			cut = append(cut, p.Name)
		case n == 3, n == 4 && several[fmt.Sprint(p.Piece, p.Copy)] > 1: // a rest of a piece that may be cut in part
			spoilt = append(spoilt, p.Name)
		}
	}
	var saved []replan.Saved
	if len(spoilt) > 0 && rng.IntN(2) == 0 {
		saved = append(saved, replan.Saved{Part: spoilt[0], WidthMM: 9, LengthMM: 7})
	}
	if err := st.Mark(cut, spoilt, saved); err != nil {
		return nil, &wrong{"marked", err.Error(), d}
	}
	r.again++
	r.cut, r.spoilt = r.cut+len(cut), r.spoilt+len(spoilt)
	ctx, cancel := context.WithTimeout(context.Background(), time.Duration(s.Millis)*time.Millisecond)
	defer cancel()
	opts := s.options()
	opts.MaxSeams = -1
	found, err := st.Plans(ctx, opts)
	if err != nil {
		return nil, &wrong{"planned", err.Error(), d}
	}
	if len(found) == 0 {
		r.none++
		if len(spoilt) == 0 {
			return nil, &wrong{"old layout", "nothing is spoilt, and no plan was found", d}
		}
		return nil, nil
	}
	var next *plan.Document
	for i := range found {
		one := found[i].Document()
		if next == nil {
			next = one
		} else {
			next.Options = append(next.Options, one.Options...)
		}
		r.split += anew(o, &one.Options[0])
	}
	if next, err = reread(next); err != nil {
		return nil, &wrong{"reading", err.Error(), next}
	}
	r.options += len(next.Options)
	if faults := check.Document(next); len(faults) > 0 {
		return nil, &wrong{string(faults[0].Rule), faults[0].Error(), next}
	}
	for i := range next.Options {
		if faults := check.After(d, k, next, i); len(faults) > 0 {
			return nil, &wrong{string(faults[0].Rule), faults[0].Error(), next}
		}
	}
	return next, nil
}

// anew counts the seams of a new plan between parts that are not cut, on a piece
// that has one that is.
func anew(was, now *plan.Option) (n int) {
	partly := map[string]bool{}
	isCut := map[string]bool{}
	for _, p := range now.Parts {
		if p.IsCut {
			partly[fmt.Sprint(p.Piece, p.Copy)] = true
			isCut[p.Name] = true
		}
	}
	for _, seam := range now.PiecingSeams {
		if !partly[fmt.Sprint(seam.Piece, seam.Copy)] {
			continue
		}
		old := false
		for _, o := range was.PiecingSeams {
			old = old || o.Name == seam.Name && o.Piece == seam.Piece && o.Copy == seam.Copy
		}
		if !old {
			n++
		}
	}
	return n
}

// reread is a document as a file has it.
func reread(d *plan.Document) (*plan.Document, error) {
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		return d, err
	}
	return plan.Read(&b)
}

// TestMadeAgain makes random plans again from their documents: nothing changes.
func TestMadeAgain(t *testing.T) {
	t.Parallel()
	made := 0
	for k := range uint64(24) {
		s := random(8_000_000 + k)
		pieces, _, err := s.draw()
		if err != nil || len(pieces) == 0 {
			continue
		}
		res, scraps := s.byHand(pieces, 6)
		if res == nil {
			continue
		}
		r := split.Record{Settings: s.options().Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(scraps), Plans: res.Plans}
		was, err := reread(r.Document())
		if err != nil {
			t.Fatal(err)
		}
		p, err := split.Again(&was.Options[0], res.Drawn, r.Scraps)
		if err != nil {
			t.Fatalf("seed %d: %v", k, err)
		}
		p.Scraps = res.Plans[0].Plan.Scraps // plans by hand say nothing of looks
		m, err := split.Make(p, was.AllowanceMM)
		if err != nil {
			t.Fatalf("seed %d: %v", k, err)
		}
		r.Plans = []*split.Made{m}
		now, err := reread(r.Document())
		if err != nil {
			t.Fatal(err)
		}
		made++
		if a, b := text(t, was.Options[0]), text(t, now.Options[0]); a != b {
			t.Errorf("seed %d: it is another when it is made again:\n%s", k, firstDifference(a, b))
		}
	}
	if made < 6 {
		t.Errorf("only %d plans were made again", made)
	}
}

func text(t *testing.T, o plan.Option) string {
	t.Helper()
	d := plan.Document{Options: []plan.Option{o}}
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func firstDifference(a, b string) string {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			lo := max(0, i-80)
			return a[lo:min(len(a), i+80)] + "\n---\n" + b[lo:min(len(b), i+80)]
		}
	}
	return "one is longer"
}
