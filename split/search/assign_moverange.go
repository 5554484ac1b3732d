package search

import (
	"context"
	"fmt"
	"math"
	"slices"

	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// sureShape is what is certain of a copy where seams are moved within some ranges.
type sureShape struct {
	key    string
	ring   orb.Ring
	wideMM float64 // it is across the grain, at most
	farMM  float64 // how far from where it is drawn it may reach
}

// within is the same for ranges of how far seams are moved, with nothing known yet but
// what was asked before.
func (a *exhaustion) within(ranges []plan.MoveRange) *exhaustion {
	in := *a
	in.ranges, in.facts, in.order, in.cases, in.stuck, in.discs = ranges, map[uint64]*fact{}, nil, nil, nil, false
	in.crowds, in.crowdsAsked = nil, map[string]bool{}
	in.families, in.allow = slices.Clone(a.families), slices.Clone(a.allow)
	in.shapes, in.sure, in.room, in.inParts = nil, nil, nil, nil
	for i, b := range a.blanks {
		s := sureShape{ring: b.Ring, wideMM: b.Hi[0] - b.Lo[0]}
		if len(a.joints) > 0 {
			outline, reach, key := a.proof.Sure(ranges, a.copyOf(i))
			if key != "" {
				s.key, s.ring = key, nil
				for _, q := range outline {
					s.ring = append(s.ring, orb.Point(q))
				}
				in.reaches(i, &s, reach)
			}
		}
		in.sure = append(in.sure, s)
	}
	for i := range a.blanks {
		in.shapes = append(in.shapes, in.wholeOf(i))
	}
	half := in.table.options.GapMM / 2
	for i := range a.blanks {
		less := math.Max(0, in.allow[i]-in.table.options.AllowanceMM)
		in.room = append(in.room, in.sayableOf(i, nil, true, 0, -half-areaSureMM).area)
		in.inParts = append(in.inParts, math.Min(in.room[i], in.sayableOf(i, nil, true, 0, less-half-areaSureMM).area))
	}
	return &in
}

// reaches finds how far a copy may reach, and at which levels lines may cut it: more
// than those of the copy as drawn. An arc bends by a part of the copy's width, which is
// not known, and about its middle.
func (a *exhaustion) reaches(i int, s *sureShape, reach []plan.Point) {
	const offMM = 4
	b := a.blanks[i]
	s.farMM = offMM
	lo, hi := b.Lo, b.Hi
	for _, q := range reach {
		across, down := b.Frame.Place(orb.Point(q))
		lo, hi = orb.Point{math.Min(lo[0], across), math.Min(lo[1], down)}, orb.Point{math.Max(hi[0], across), math.Max(hi[1], down)}
	}
	lo, hi = plane.Add(lo, orb.Point{-offMM, -offMM}), plane.Add(hi, orb.Point{offMM, offMM})
	for k := range 2 {
		s.farMM = math.Max(s.farMM, math.Max(b.Lo[k]-lo[k], hi[k]-b.Hi[k]))
	}
	s.wideMM = hi[0] - lo[0]
	if len(reach) > 0 { // what it takes may have less round it
		for _, p := range a.blanks {
			for _, e := range p.piece.Outline {
				for _, j := range e.Joins {
					if j.Piece == b.piece.Name || p.piece.Name == b.piece.Name {
						a.allow[i] = math.Min(a.allow[i], math.Min(a.leastOf(j.Piece), a.leastOf(p.piece.Name)))
					}
				}
			}
		}
	}
	off := 0.0
	if len(s.ring) >= 3 {
		sureLo, sureHi := b.Frame.Box(s.ring)
		off = arcOff(b.Lo[0], b.Hi[0], math.Min(lo[0], sureLo[0]), sureLo[0], sureHi[0], math.Max(hi[0], sureHi[0]))
	}
	families := slices.Clone(a.families[i])
	for k := range families {
		f := &families[k]
		if f.is.Bend != 0 {
			f.off = off
		}
		for _, q := range reach {
			l := f.level(f.way.LevelOf(b.Body, orb.Point(q)))
			f.lo, f.hi = math.Min(f.lo, l+sliverMM), math.Max(f.hi, l-sliverMM)
		}
		f.lo, f.hi = f.lo-offMM-f.off, f.hi+offMM+f.off
	}
	a.families[i] = families
}

// leastOf is the least allowance of a piece's edges.
func (a *exhaustion) leastOf(piece string) float64 {
	least := math.Inf(1)
	for _, b := range a.blanks {
		if b.piece.Name == piece {
			least = math.Min(least, leastAllowance(b.piece))
		}
	}
	return least
}

// arcOff is how far an arc may lie off that across a piece from lo to hi, where the piece
// starts between from and sureFrom and ends between sureTo and to.
func arcOff(lo, hi, from, sureFrom, sureTo, to float64) (most float64) {
	const (
		bendRatio = 1.0 / 12
		n         = 8.0
		clear     = 1.15
	)
	at := func(lo, hi, x float64) float64 {
		half := math.Max((hi-lo)/2, 1)
		off := (x-lo)/half - 1
		return bendRatio * 2 * half * off * off
	}
	for i := 0.0; i <= n; i++ {
		for j := 0.0; j <= n; j++ {
			for k := 0.0; k <= 4*n; k++ {
				x := sureFrom + k/(4*n)*(sureTo-sureFrom)
				most = math.Max(most, math.Abs(at(from+i/n*(sureFrom-from), sureTo+j/n*(to-sureTo), x)-at(lo, hi, x)))
			}
		}
	}
	return clear*most + 0.6
}

// settleMoved goes through all plans, however their seams are moved: first those that
// move none, for without these there is no use in the others.
func (a *exhaustion) settleMoved(ctx context.Context, out *plan.AtLeast) bool {
	var stay []plan.MoveRange
	for i, j := range a.joints {
		if a.sameSeam(j) == i {
			stay = append(stay, plan.MoveRange{From: j.From, To: j.To})
		}
	}
	return a.settle(ctx, stay, &plan.AtLeast{Seams: out.Seams}) && a.settle(ctx, nil, out)
}

// settle goes through all plans with seams moved within some ranges. Where they find
// places, the ranges are parted.
func (a *exhaustion) settle(ctx context.Context, ranges []plan.MoveRange, out *plan.AtLeast) bool {
	const most = 400
	in := a.within(ranges)
	if in.exhaust(ctx, out.Seams-1) {
		out.Moved = append(out.Moved, in.said())
		return len(out.Moved) < most
	}
	if ctx.Err() != nil {
		return false
	}
	parts := in.parted()
	for _, part := range parts {
		if !a.settle(ctx, part, out) {
			return false
		}
	}
	return len(parts) > 0
}

// parted is ranges that together are those looked at: those of the seam that leaves most
// open of the copies that find places are parted. It is none where no seam does.
func (a *exhaustion) parted() (out [][]plan.MoveRange) {
	names := map[string]bool{}
	for _, i := range a.stuck {
		names[a.blanks[i].piece.Name] = true
	}
	best, most := -1, 0.0
	for i, j := range a.joints {
		if a.sameSeam(j) != i {
			continue
		}
		if !names[pieceOf(j.From)] && !names[pieceOf(j.To)] {
			continue
		}
		open := j.MostMM * 3
		if k := a.rangeOf(j); k >= 0 {
			r := a.ranges[k]
			open = 0
			if r.MostMM > 0 {
				open = r.MostMM - r.LeastMM
				if !r.Even && r.Stays == "" {
					open += r.LeastMM / 2
				}
			}
		}
		if open *= a.lengthOf(j.From); open > most {
			best, most = i, open
		}
	}
	if best < 0 {
		return nil
	}
	with := func(r plan.MoveRange) {
		ranges := slices.Clone(a.ranges)
		if k := a.rangeOf(r); k >= 0 {
			ranges[k] = r
		} else {
			ranges = append(ranges, r)
		}
		out = append(out, ranges)
	}
	j := a.joints[best]
	k := a.rangeOf(j)
	if k < 0 {
		with(plan.MoveRange{From: j.From, To: j.To})
		for _, way := range a.joints {
			if way.Even && (way.From == j.From && way.To == j.To || way.From == j.To && way.To == j.From) {
				with(plan.MoveRange{From: way.From, To: way.To, LeastMM: way.LeastMM, MostMM: way.MostMM})
			}
		}
		return out
	}
	r := a.ranges[k]
	const finestMM = 1.0
	switch any := !r.Even && r.Stays == ""; {
	case any && (r.MostMM < 1.6*r.LeastMM || r.MostMM-r.LeastMM < 4):
		for _, way := range a.joints {
			if way.From == r.From && way.To == r.To {
				way.LeastMM, way.MostMM = r.LeastMM, r.MostMM
				with(way)
			}
		}
	case r.MostMM-r.LeastMM < finestMM:
		return nil
	default:
		mid := math.Round(2*math.Sqrt(r.LeastMM*r.MostMM)) / 2
		if mid <= r.LeastMM || mid >= r.MostMM {
			mid = (r.LeastMM + r.MostMM) / 2
		}
		lower, upper := r, r
		lower.MostMM, upper.LeastMM = mid, mid
		with(lower)
		with(upper)
	}
	return out
}

// rangeOf is which of the ranges is of the same seam, or -1.
func (a *exhaustion) rangeOf(j plan.MoveRange) int {
	return slices.IndexFunc(a.ranges, func(r plan.MoveRange) bool { return sameSeam(r, j) })
}

// sameSeam is the first of the moves that are of the same seam.
func (a *exhaustion) sameSeam(j plan.MoveRange) int {
	return slices.IndexFunc(a.joints, func(r plan.MoveRange) bool { return sameSeam(r, j) })
}

func sameSeam(r, j plan.MoveRange) bool {
	return r.From == j.From && r.To == j.To || r.From == j.To && r.To == j.From
}

func pieceOf(ref string) string {
	for i := len(ref) - 1; i >= 0; i-- {
		if ref[i] == '/' {
			return ref[:i]
		}
	}
	return ref
}

// lengthOf is that of all edges of that name.
func (a *exhaustion) lengthOf(ref string) (mm float64) {
	for _, b := range a.blanks {
		for _, e := range b.piece.Outline {
			if fmt.Sprintf("%s/%s", b.piece.Name, e.Name) == ref {
				mm += e.Line.Length()
			}
		}
	}
	return mm
}
