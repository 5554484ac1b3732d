package byhand

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"

	"eke/split/check"
	"eke/split/fit"
	"eke/split/plan"
	"eke/split/remnant"
	"eke/split/search"

	"golang.org/x/sync/errgroup"
)

// Fit says whether a part fits on what is free of a scrap.
type Fit struct {
	Scrap  int
	OK     bool    // at a place that is proved
	OverMM float64 // else by how much it hangs off at the best place known, along the grain or across it, whichever is more
	AtMost bool    // there was no time to look at all of it: it may hang off by less, or fit
}

// free is what is left of a scrap: bits, each a scrap of its own.
type free struct {
	places *search.Places
	bins   []int
	key    string
}

// laidPart is a part where it lies on a scrap.
type laidPart struct {
	part *Part
	at   fit.Placement
}

func (l laidPart) String() string {
	return fmt.Sprintf("%x %v", l.part.key, l.at)
}

// others are the parts that lie on a scrap, but for one.
func (p *Plan) others(scrap int, but *Part) (out []laidPart) {
	for _, part := range p.Parts() {
		if l, ok := p.on[part.node]; ok && l.scrap == scrap && (but == nil || part.node != but.node) {
			out = append(out, laidPart{part, l.at})
		}
	}
	return out
}

// freeOf is what some parts leave of a scrap, the gap kept.
func (g *Given) freeOf(scrap int, others []laidPart) *free {
	if len(others) == 0 {
		return &free{places: g.places, bins: []int{scrap}}
	}
	var key strings.Builder
	fmt.Fprint(&key, scrap)
	for _, o := range others {
		fmt.Fprint(&key, " ", o)
	}
	if f, ok := g.frees.get(key.String()); ok {
		return f
	}
	f := &free{key: key.String()}
	d := &plan.Document{Scraps: []plan.Scrap{g.cloths[scrap]}, Options: []plan.Option{{}}}
	for _, o := range others {
		d.Options[0].Parts = append(d.Options[0].Parts, *g.document(o.part, scrap, o.at))
	}
	// Where the overlay gives up there is no cloth to be sure of.
	if bits, err := remnant.Free(d, 0, g.options.GapMM); err == nil {
		cloth, _ := remnant.Scraps(bits, g.scraps[scrap:scrap+1])
		f.places = search.NewPlaces(cloth, g.options)
		for i := range cloth {
			f.bins = append(f.bins, i)
		}
	}
	g.frees.set(f.key, f)
	return f
}

// document is a part where it lies, as far as its cloth and its proof ask for it.
func (g *Given) document(p *Part, scrap int, at fit.Placement) *plan.Part {
	s, out := &g.cloths[scrap], p.document
	out.Scrap, out.ScrapCopy, out.Placement = s.Name, s.Copy, at.Matrix()
	return &out
}

type lyingKey struct {
	part  string
	scrap int
	at    fit.Placement
}

// lies is what the proof says of a part where it lies.
func (g *Given) lies(p *Part, scrap int, at fit.Placement) *check.Lying {
	key := lyingKey{p.key, scrap, at}
	l, ok := g.lyings.get(key)
	if !ok {
		l = g.proofs[scrap].Lies(p.single(), at.Matrix())
		g.lyings.set(key, l)
	}
	return l
}

// question names a part, a scrap and what lies on it.
type question struct {
	part  string
	scrap int
	free  string
}

type answer struct {
	ok     bool
	at     fit.Placement
	overMM float64
}

// slot names a part of a copy, whatever its shape is just now, and a scrap.
type slot struct {
	part  string
	scrap int
}

// look is one part that is looked at on one scrap.
type look struct {
	fit    Fit // AtMost until the answer is certain
	part   *Part
	free   *free
	misfit bool          // it is certain that it does not fit
	bin    int           // the bit of the scrap that it hangs off least
	over   fit.Placement // where on it
}

// Fits says of parts of the plan, each by itself, on which scraps they fit: every
// scrap that the rules let them be cut from. A part that lies on a scrap is looked
// at as if it were lifted. What ctx leaves no time for is told as AtMost.
func (p *Plan) Fits(ctx context.Context, parts []*Part) [][]Fit {
	all := make([][]*look, len(parts))
	var open []*look
	for i, part := range parts {
		for scrap := range p.given.scraps {
			if !p.given.places.MayCut(part.blank, scrap) {
				continue
			}
			l := &look{fit: Fit{Scrap: scrap, OverMM: math.Inf(1), AtMost: true}, part: part}
			all[i] = append(all[i], l)
			open = append(open, l)
		}
	}
	p.lookAt(ctx, open)
	out := make([][]Fit, len(parts))
	for i := range all {
		for _, l := range all[i] {
			if math.IsInf(l.fit.OverMM, 1) { // nobody came to look
				l.fit.OverMM = l.part.blank.LongestMM()
			}
			out[i] = append(out[i], l.fit)
		}
	}
	return out
}

// lookAt answers looks, those first that hang off least.
func (p *Plan) lookAt(ctx context.Context, open []*look) {
	p.onAll(ctx, open, (*Plan).glance)
	p.onAll(ctx, open, (*Plan).search)
	p.onAll(ctx, open, (*Plan).estimate)
	slices.SortStableFunc(open, func(a, b *look) int { return cmp.Compare(a.fit.OverMM, b.fit.OverMM) })
	p.onAll(ctx, open, (*Plan).hang)
}

// best is where a part fits on a scrap, or else hangs off least as far as is known.
func (p *Plan) best(ctx context.Context, part *Part, scrap int) fit.Placement {
	l := &look{fit: Fit{Scrap: scrap, OverMM: math.Inf(1), AtMost: true}, part: part}
	p.lookAt(ctx, []*look{l})
	if l.free != nil {
		if a, ok := p.given.answers.get(l.question()); ok {
			return a.at
		}
	}
	if !math.IsInf(l.fit.OverMM, 1) {
		return l.over
	}
	return fit.Middle(p.given.places.Cloth(scrap), part.blank.Shape, p.given.places.Turns(part.blank, scrap)[0])
}

// onAll does a thing to looks on all cores until ctx ends.
func (p *Plan) onAll(ctx context.Context, looks []*look, do func(*Plan, context.Context, *look)) {
	g := new(errgroup.Group)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for _, l := range looks {
		if ctx.Err() != nil {
			break
		}
		g.Go(func() error {
			if ctx.Err() == nil {
				do(p, ctx, l)
			}
			return nil
		})
	}
	_ = g.Wait()
}

func (l *look) question() question { return question{l.part.key, l.fit.Scrap, l.free.key} }

// settled takes down an answer that is certain.
func (p *Plan) settled(l *look, a answer) {
	l.fit.OK, l.fit.OverMM, l.fit.AtMost = a.ok, a.overMM, false
	p.given.answers.set(l.question(), a)
	p.given.seen.set(slot{l.part.slot, l.fit.Scrap}, a.at)
}

// fits takes down a placement, if the proof confirms it.
func (p *Plan) fits(l *look, at fit.Placement) bool {
	if len(p.given.lies(l.part, l.fit.Scrap, at).Faults) > 0 {
		return false
	}
	p.settled(l, answer{ok: true, at: at})
	return true
}

// glance is what can be said without a search: what is remembered, what is ruled out,
// and whether the place will do where the part lay when it had another shape.
func (p *Plan) glance(_ context.Context, l *look) {
	g, b := p.given, l.part.blank
	l.free = g.freeOf(l.fit.Scrap, p.others(l.fit.Scrap, l.part))
	if a, ok := g.answers.get(l.question()); ok {
		l.fit.OK, l.fit.OverMM, l.fit.AtMost = a.ok, a.overMM, false
		return
	}
	l.misfit = true
	was, known := g.seen.get(slot{l.part.slot, l.fit.Scrap})
	for _, bin := range l.free.bins {
		if l.free.places.RuledOut(b, bin) {
			continue
		}
		l.misfit = false
		if known && l.free.places.Cloth(bin).Lies(b.Shape, was) && p.fits(l, was) {
			return
		}
	}
}

// search looks for a place, to the end unless ctx ends first.
func (p *Plan) search(ctx context.Context, l *look) {
	if !l.fit.AtMost || l.misfit || l.free == nil {
		return
	}
	for _, bin := range l.free.bins {
		if l.free.places.RuledOut(l.part.blank, bin) {
			continue
		}
		if at, ok := l.free.places.Place(ctx, l.part.blank, bin); ok && p.fits(l, at) {
			return
		}
	}
	l.misfit = ctx.Err() == nil
}

// estimate finds a place at which the part hangs off, and by how much it does there.
func (p *Plan) estimate(_ context.Context, l *look) {
	if !l.fit.AtMost || l.free == nil {
		return
	}
	b := l.part.blank
	was, known := p.given.seen.get(slot{l.part.slot, l.fit.Scrap})
	for _, bin := range l.free.bins {
		at := fit.Middle(l.free.places.Cloth(bin), b.Shape, l.free.places.Turns(b, bin)[0])
		if known && len(l.free.bins) == 1 {
			at = was
		}
		along, across := fit.OverhangAt(l.free.places.Cloth(bin), b.Shape, at, l.free.places.GrainDeg(bin))
		if over := max(along, across); over < l.fit.OverMM {
			l.fit.OverMM, l.bin, l.over = over, bin, at
		}
	}
}

// hang searches for the place at which the part hangs off least.
func (p *Plan) hang(ctx context.Context, l *look) {
	if !l.fit.AtMost || !l.misfit || l.free == nil {
		return
	}
	at, over := l.over, l.fit.OverMM
	for _, bin := range l.free.bins {
		from := l.over
		if bin != l.bin {
			from = fit.Middle(l.free.places.Cloth(bin), l.part.blank.Shape, l.free.places.Turns(l.part.blank, bin)[0])
		}
		to, along, across := l.free.places.Overhang(ctx, l.part.blank, bin, from)
		if o := max(along, across); o < over {
			at, over = to, o
		}
	}
	l.fit.OverMM, l.over = over, at
	if ctx.Err() == nil {
		p.settled(l, answer{at: at, overMM: over})
	}
}
