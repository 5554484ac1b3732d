package soak

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"
	"eke/svg"
	"eke/svg/draw"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// wrong is what a setting fails by. Rule is alike for like failures.
type wrong struct {
	Rule, Detail string
	Document     *plan.Document
}

// outcome is what became of a setting.
type outcome struct {
	plans   int // found by the search
	byHand  int // proved beside
	settled bool
	late    time.Duration // how long the search ran on after its time
	wrong   *wrong
}

// run searches, and proves what was found.
func (s setting) run() (out outcome) {
	defer func() {
		if r := recover(); r != nil {
			out.wrong = &wrong{Rule: "panic", Detail: fmt.Sprintf("%v\n%s", r, debug.Stack())}
		}
	}()
	pieces, scraps, err := s.draw()
	if err != nil {
		out.wrong = &wrong{Rule: "drawing", Detail: err.Error()}
		return out
	}
	if len(pieces) == 0 {
		return out
	}
	limit := time.Duration(s.Millis) * time.Millisecond
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start := time.Now()
	res, err := search.Run(ctx, pieces, scraps, s.options())
	out.late = time.Since(start) - limit
	if err != nil {
		out.wrong = &wrong{Rule: "error", Detail: err.Error()}
		return out
	}
	out.plans, out.settled = len(res.Plans), res.Settled
	if out.wrong = s.prove(s.document(res, scraps), res); out.wrong == nil {
		out.byHand, out.wrong = s.proveByHand(pieces)
	}
	return out
}

// prove writes a plan, reads it again, and has it judged.
func (s setting) prove(d *plan.Document, res *search.Result) *wrong {
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		return &wrong{"writing", err.Error(), d}
	}
	read, err := plan.Read(&b)
	if err != nil {
		return &wrong{"reading", err.Error(), d}
	}
	if faults := check.Document(read); len(faults) > 0 {
		return &wrong{string(faults[0].Rule), faults[0].Error(), d}
	}
	for _, judge := range []func(setting, *plan.Document, *search.Result) error{obeys, keepsClear, hasNoHairs, ordered, drawsAlike, secondJudge} {
		var bad *ruleError
		if err := judge(s, read, res); errors.As(err, &bad) {
			return &wrong{bad.rule, bad.detail, d}
		}
	}
	return nil
}

// byHand is why a plan that was made by hand has the seams it has.
const byHand = "by hand"

type ruleError struct{ rule, detail string }

func (e *ruleError) Error() string { return e.rule + ": " + e.detail }

func fault(rule, format string, args ...any) error {
	return &ruleError{rule, fmt.Sprintf(format, args...)}
}

func (s setting) document(res *search.Result, scraps []piece.Scrap) *plan.Document {
	r := split.Record{Settings: s.options().Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(scraps), Plans: res.Plans}
	d := r.Document()
	d.Fewest, d.FewestReason = res.Fewest, res.Reason
	return d
}

// obeys holds the plans against the flags.
func obeys(s setting, d *plan.Document, _ *search.Result) error {
	if d.FewestReason == byHand {
		return nil
	}
	if len(d.Options) > s.Keep {
		return fault("keep", "%d plans where %d were asked for", len(d.Options), s.Keep)
	}
	kinds := s.options().Kinds
	for k, o := range d.Options {
		if o.Seams > s.MaxSeams {
			return fault("max seams", "option %d adds %d seams, and %d are allowed", k+1, o.Seams, s.MaxSeams)
		}
		if k > 0 && o.Seams < d.Options[k-1].Seams {
			return fault("order", "option %d has fewer seams than the one before", k+1)
		}
		if len(kinds) == 0 {
			continue
		}
		for _, seam := range o.PiecingSeams {
			// A panel line may run in the middle too.
			if !slices.Contains(kinds, seam.Kind) && !(slices.Contains(kinds, "panel") && seam.Kind == "centre") {
				return fault("kinds", "option %d has a %s, and %v are allowed", k+1, seam.Kind, kinds)
			}
		}
		for _, m := range o.MovedSeams {
			if !slices.ContainsFunc(kinds, func(kind string) bool { return strings.Contains(m.Join, "/"+kind) }) {
				return fault("kinds", "option %d moves %s, and %v are allowed", k+1, m.Join, kinds)
			}
		}
	}
	return nil
}

// keepsClear holds the piecing seams against the zones that no seam may
// cross, which plan.json does not have.
func keepsClear(_ setting, _ *plan.Document, res *search.Result) error {
	for k, m := range res.Plans {
		for i := range m.Seams {
			seam := &m.Seams[i]
			for _, keep := range m.Plan.Pieces[seam.Piece].Keeps {
				if len(curve.Crossings(keep.Line, seam.Line)) > 0 {
					return fault("keep zone", "option %d, seam %s crosses a keep zone", k+1, seam.Name)
				}
				if mid, _ := seam.Line.At(seam.Line.Length() / 2); keep.Closed && planar.RingContains(orb.Ring(keep.Line.Flatten(curve.FlattenMM)), mid) {
					return fault("keep zone", "option %d, seam %s lies in a keep zone", k+1, seam.Name)
				}
			}
		}
	}
	return nil
}

// hasNoHairs holds the parts against what a line needs to have a direction.
func hasNoHairs(_ setting, _ *plan.Document, res *search.Result) error {
	for k, m := range res.Plans {
		for _, part := range m.Parts {
			for i, e := range part.Outline {
				for _, s := range e.Line {
					if l := s.Length(); l < curve.HairMM {
						return fault("hair", "option %d, part %s: edge %d (%s%s) has a segment of %.5f mm", k+1, part.Name, i, e.Name, e.Seam, l)
					}
				}
			}
		}
	}
	return nil
}

// drawsAlike draws one plan in a few, and reads the drawing again.
func drawsAlike(s setting, d *plan.Document, _ *search.Result) error {
	if len(d.Options) == 0 || s.Seed%4 != 0 {
		return nil
	}
	k := int(s.Seed/4) % len(d.Options)
	if err := draw.Of(d).Layout(io.Discard, k); err != nil {
		return fault("layout", "option %d: %v", k+1, err)
	}
	var b bytes.Buffer
	if err := draw.Of(d).Pieces(&b, k); err != nil {
		return fault("pieces", "option %d: %v", k+1, err)
	}
	again, err := asDrawn(&b, "pieces.svg")
	if err != nil {
		return fault("reading pieces", "option %d: %v", k+1, err)
	}
	if len(again) != len(d.Options[k].Parts) {
		return fault("reading pieces", "option %d: %d parts were drawn and %d read", k+1, len(d.Options[k].Parts), len(again))
	}
	for i, p := range again {
		part := d.Options[k].Parts[i]
		var want float64
		for _, e := range part.Edges {
			want += e.LengthMM
		}
		if got := p.Outline.Length(); got < want-0.01 || got > want+0.01 {
			return fault("reading pieces", "option %d, part %s: drawn %.4f mm round, read %.4f", k+1, part.Name, want, got)
		}
	}
	return nil
}

// asDrawn reads the pieces of a drawing, and leaves the legs of darts as long
// as they are drawn.
func asDrawn(r io.Reader, file string) ([]*piece.Piece, error) {
	drafts, err := svg.ReadPattern(r, file)
	if err != nil {
		return nil, err
	}
	var out []*piece.Piece
	for _, d := range drafts {
		p, err := piece.Make(d)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}
