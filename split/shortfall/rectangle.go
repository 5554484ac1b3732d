package shortfall

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/fit"
	"eke/split/plan"
	"eke/split/search"

	"github.com/paulmach/orb"
)

// kindOfCloth is cloth to look for.
type kindOfCloth struct {
	fabric, kind string
	nap          bool // as some of that cloth at hand has: what is looked for may have it too
}

// size is of a rectangle, in whole centimetres.
type size struct{ length, width int }

func (s size) area() int { return s.length * s.width }

// answer is sizes of each kind of cloth with which a plan was proved.
type answer struct {
	sizes []size
	used  []bool // whether anything is cut from it
	seams int
}

// WouldDo looks for the smallest rectangles of cloth that make a plan where there is none,
// for pieces that are left over. Ask gives a proved plan from scraps, the scraps at hand
// and one or more behind them, and nil where it finds none.
func WouldDo(ctx context.Context, left []*piece.Piece, scraps []piece.Scrap, o search.Options, ask func(context.Context, []piece.Scrap) *plan.Document) []plan.Wanted {
	q := &inquiry{scraps: scraps, options: o, ask: ask}
	return q.wouldDo(ctx, left, left)
}

// Quick is what a search is asked for that stops at the first plan.
func Quick(o search.Options) search.Options {
	o.First, o.Budgets = true, budgets
	return o
}

// wouldDo looks for the smallest rectangles that make a plan for all pieces:
// of each kind of cloth that a piece left over may be cut from, by itself; and
// where none does by itself, of all of them together.
func (q *inquiry) wouldDo(ctx context.Context, pieces, left []*piece.Piece) []plan.Wanted {
	kinds := q.kindsOfCloth(pieces, left)
	var out []plan.Wanted
	for i, k := range kinds {
		within(ctx, 1/float64(len(kinds)-i+1), func(ctx context.Context) {
			out = append(out, q.smallest(ctx, []kindOfCloth{k}, left)...)
		})
	}
	if len(out) == 0 && len(kinds) > 1 {
		out = q.smallest(ctx, kinds, left)
	}
	return withoutSpecialCases(out)
}

// withoutSpecialCases leaves out a rectangle of knit or woven where one of the
// same fabric, whatever its kind, does as well and is no larger.
func withoutSpecialCases(wanted []plan.Wanted) []plan.Wanted {
	special := func(w, of plan.Wanted) bool {
		if len(w.Cloth) != 1 || len(of.Cloth) != 1 || of.Seams > w.Seams {
			return false
		}
		a, b := w.Cloth[0], of.Cloth[0]
		return a.Kind != "" && b.Kind == "" && strings.EqualFold(a.Fabric, b.Fabric) && b.LengthMM <= a.LengthMM && b.WidthMM <= a.WidthMM
	}
	return slices.DeleteFunc(slices.Clone(wanted), func(w plan.Wanted) bool {
		return slices.ContainsFunc(wanted, func(of plan.Wanted) bool { return special(w, of) })
	})
}

// kindsOfCloth are the kinds of cloth that pieces left over may be cut from.
// Where several serve the very same pieces, only the first is listed. A piece
// that names no fabric is served by cloth of any, which is one kind more.
func (q *inquiry) kindsOfCloth(pieces, left []*piece.Piece) []kindOfCloth {
	var out []kindOfCloth
	seen := map[string]bool{}
	offer := func(k kindOfCloth) {
		s := scrapOf(k, size{1, 1})
		serves, useful := "", false
		for _, p := range pieces {
			may := q.options.MayCut(p, &s)
			serves += fmt.Sprint(may)
			useful = useful || may && slices.ContainsFunc(left, func(l *piece.Piece) bool { return l.Name == p.Name })
		}
		if key := serves + s.Kind; useful && !seen[key] {
			seen[key] = true
			for _, held := range q.scraps {
				k.nap = k.nap || held.Nap && (k.fabric == "" || strings.EqualFold(k.fabric, held.Fabric))
			}
			out = append(out, k)
		}
	}
	for _, p := range left {
		names := p.Fabrics
		if len(names) == 0 {
			names = []string{""}
		}
		for _, f := range names {
			kinds := q.kindsAtHand(f)
			if p.Kind != "" {
				kinds = []string{p.Kind}
			}
			for _, kind := range kinds {
				offer(kindOfCloth{fabric: f, kind: kind})
			}
		}
	}
	return out
}

// kindsAtHand are the kinds, knit or woven, of the scraps of a fabric, or of all
// scraps where there are none of it. New cloth is to be of such a kind too, so
// that it goes with what is at hand.
func (q *inquiry) kindsAtHand(fabric string) []string {
	var all, same []string
	for _, s := range q.scraps {
		all = append(all, s.Kind)
		if fabric != "" && strings.EqualFold(s.Fabric, fabric) {
			same = append(same, s.Kind)
		}
	}
	if len(same) > 0 {
		all = same
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// scrapOf is a rectangle of cloth with a right side, as a scrap.
func scrapOf(k kindOfCloth, s size) piece.Scrap {
	w, l := 10*float64(s.width), 10*float64(s.length)
	return piece.Scrap{
		Name: "cloth to look for, " + k.fabric + " " + k.kind, Fabric: k.fabric, Kind: k.kind, Nap: k.nap,
		Outline: orb.Ring{{0, 0}, {w, 0}, {w, l}, {0, l}}, GrainDeg: 90, Count: 1,
	}
}

// smallest shrinks one rectangle of each kind of cloth, from sizes that take
// all that is left over, as long as there is a plan. It starts anew from
// squares, from wide cloth and from long cloth, and gives the least area.
func (q *inquiry) smallest(ctx context.Context, kinds []kindOfCloth, left []*piece.Piece) []plan.Wanted {
	var best *answer
	area := func(a *answer) (sum int) {
		for _, s := range a.sizes {
			sum += s.area()
		}
		return sum
	}
	consider := func(a *answer) {
		if a != nil && (best == nil || area(a) < area(best)) {
			best = a
		}
	}
	const wide = 140 // cm, a common width of cloth (common practice, no source)
	start := make([]size, len(kinds))
	for i, k := range kinds {
		start[i] = q.enough(k, left, wide)
	}
	var failed [][]size
	first := q.attempt(ctx, kinds, start)
	if first == nil {
		return nil
	}
	consider(first)
	for _, shrinks := range [][]func(size, int) size{{both, byLength, byWidth}, {byLength, byWidth}, {byWidth, byLength}} {
		at := first
		for i := range kinds {
			for _, shrink := range shrinks {
				at = q.bisect(ctx, kinds, at, &failed, i, shrink)
				consider(at)
			}
		}
	}
	w := plan.Wanted{Seams: best.seams}
	for i, k := range kinds {
		if !best.used[i] {
			continue // it does without
		}
		w.Cloth = append(w.Cloth, plan.Rectangle{Fabric: k.fabric, Kind: k.kind, LengthMM: 10 * float64(best.sizes[i].length), WidthMM: 10 * float64(best.sizes[i].width)})
	}
	return []plan.Wanted{w}
}

// Ways to shrink a rectangle to n hundredths; each gives whole centimetres.
func byLength(s size, n int) size { return size{hundredths(s.length, n), s.width} }
func byWidth(s size, n int) size  { return size{s.length, hundredths(s.width, n)} }

// both keeps to what is nearest to a square.
func both(s size, n int) size {
	side := hundredths(max(s.length, s.width), n)
	return size{min(s.length, side), min(s.width, side)}
}

func hundredths(of, n int) int { return max(1, (of*n+99)/100) }

// noLarger reports whether no side is longer than another's.
func noLarger(a, b []size) bool {
	for i := range a {
		if a[i].length > b[i].length || a[i].width > b[i].width {
			return false
		}
	}
	return true
}

// bisect shrinks the i-th rectangle as far as plans are found. Failed are the
// sizes with which none was; what is no larger is not tried again.
func (q *inquiry) bisect(ctx context.Context, kinds []kindOfCloth, at *answer, failed *[][]size, i int, shrink func(size, int) size) *answer {
	const slice = 0.2 // of the time that is left
	from := at.sizes[i]
	for lo, hi := 0, 100; hi-lo > 1 && ctx.Err() == nil; {
		n := (lo + hi) / 2
		sizes := slices.Clone(at.sizes)
		s := shrink(from, n)
		sizes[i] = size{min(s.length, sizes[i].length), min(s.width, sizes[i].width)}
		if sizes[i] == at.sizes[i] {
			hi = n
			continue
		}
		var next *answer
		if !slices.ContainsFunc(*failed, func(f []size) bool { return noLarger(sizes, f) }) {
			within(ctx, slice, func(ctx context.Context) { next = q.attempt(ctx, kinds, sizes) })
		}
		if next == nil {
			*failed = append(*failed, sizes)
			lo = n
			continue
		}
		at, hi = next, n
	}
	return at
}

// enough is a rectangle that takes all the pieces left over that may be cut
// from such cloth, side by side in rows, larger ones first.
func (q *inquiry) enough(k kindOfCloth, left []*piece.Piece, wide int) size {
	s := scrapOf(k, size{1, 1})
	var boxes []size
	for _, p := range left {
		if !q.options.MayCut(p, &s) {
			continue
		}
		cut, err := split.CutLine(p, p.Outline)
		if err != nil {
			continue
		}
		upright := fit.Placement{Deg: 90 - p.GrainDeg}
		box := upright.Apply(cut).Bound()
		boxes = append(boxes, size{cm(box.Max[1] - box.Min[1] + q.options.GapMM), cm(box.Max[0] - box.Min[0] + q.options.GapMM)})
	}
	slices.SortStableFunc(boxes, func(a, b size) int { return b.length - a.length })
	out := size{1, 1}
	row := size{}
	for _, b := range boxes {
		if row.width > 0 && row.width+b.width > wide {
			out, row = size{out.length + row.length, max(out.width, row.width)}, size{}
		}
		row = size{max(row.length, b.length), row.width + b.width}
	}
	return size{out.length + row.length, max(out.width, row.width)}
}

// cm is whole centimetres that hold a length in mm.
func cm(mm float64) int { return int(math.Ceil(mm/10 - 1e-9)) }

// attempt looks for a plan with such cloth beside the scraps. What it leaves
// of each rectangle's sides is taken off.
func (q *inquiry) attempt(ctx context.Context, kinds []kindOfCloth, sizes []size) *answer {
	scraps := slices.Clone(q.scraps)
	for i, k := range kinds {
		s := scrapOf(k, sizes[i])
		for slices.ContainsFunc(scraps, func(other piece.Scrap) bool { return other.Name == s.Name }) {
			s.Name += "+"
		}
		scraps = append(scraps, s)
	}
	var d *plan.Document
	if q.ask != nil {
		d = q.ask(ctx, scraps)
	} else {
		d = q.proved(ctx, q.copies, scraps, q.quick())
	}
	if d == nil {
		return nil
	}
	out := &answer{seams: d.Options[0].Seams, sizes: slices.Clone(sizes), used: make([]bool, len(kinds))}
	trimmed, useful := slices.Clone(sizes), false
	for i := range kinds {
		s := &d.Scraps[len(d.Scraps)-len(kinds)+i]
		box, used := covered(&d.Options[0], s)
		if !used {
			continue
		}
		out.used[i], useful = true, true
		trimmed[i] = size{min(sizes[i].length, cm(box.Max[1]-box.Min[1])), min(sizes[i].width, cm(box.Max[0]-box.Min[0]))}
		x, y := box.Min[0], box.Min[1]
		w, l := 10*float64(trimmed[i].width), 10*float64(trimmed[i].length)
		s.Outline = []plan.Point{{x, y}, {x + w, y}, {x + w, y + l}, {x, y + l}}
	}
	if !useful {
		return nil // there was a plan without it, which is no answer to what to look for
	}
	if len(check.Document(d)) == 0 {
		out.sizes = trimmed
	}
	return out
}

// covered is the box round what is cut from a scrap.
func covered(o *plan.Option, s *plan.Scrap) (box orb.Bound, used bool) {
	for _, p := range o.Parts {
		if p.Scrap != s.Name || p.ScrapCopy != s.Copy {
			continue
		}
		m := p.Placement
		for _, c := range p.CutLine {
			at := orb.Point{m[0]*c[0] + m[2]*c[1] + m[4], m[1]*c[0] + m[3]*c[1] + m[5]}
			if !used {
				box, used = at.Bound(), true
			}
			box = box.Extend(at)
		}
	}
	return box, used
}
