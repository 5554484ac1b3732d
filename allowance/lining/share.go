package lining

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"eke/piece"

	"github.com/paulmach/orb"
)

// The lengthwise edges that usually go round a body, at the sides of its front and its
// back, and round a sleeve. Where more do, as with princess and centre seams, they share
// what these would get. An edge has one share all along, the least that is due to it at
// any level: where others have more the lining is somewhat less than so much larger.
// (Common practice, no source.)
const (
	usualRoundBody   = 4
	usualRoundSleeve = 2
)

// place is a place on a lengthwise edge of one copy of a piece, or of one half of it where
// that is cut on the fold.
type place struct {
	of               *block
	copy, half, edge int
}

// shareOut counts for each lengthwise edge how many go round where it does, at the level
// where most do but for one, and what is its share of the ease. One level alone may be where
// a seam of the back's ends a little below that of the front's, and the walk round goes
// astray.
func shareOut(blocks []*block) {
	const levels = 9
	for _, b := range blocks {
		for i := range b.edges {
			e := &b.edges[i]
			if !b.eased(e) {
				continue
			}
			var found [levels]dueShare
			for k := range levels {
				round, sleeve := around(blocks, place{of: b, edge: i}, (float64(k)+0.5)/levels)
				usual := usualRoundBody
				if sleeve {
					usual = usualRoundSleeve
				}
				found[k].share = 1
				if share := float64(usual) / float64(len(round)); share < 1 {
					found[k] = dueShare{share, round, usual}
				}
			}
			slices.SortStableFunc(found[:], func(a, b dueShare) int { return cmp.Compare(a.share, b.share) })
			e.dueShare = found[1]
		}
	}
}

// eased reports whether a lining's ease is given at an edge.
func (b *block) eased(e *edge) bool {
	return e.role == joint && b.lengthwise(e) && !isArmhole(e.Name)
}

// around walks round the garment from a place on an edge, so far along it, over pieces and
// through seams, as far as that goes, and returns the edges met, each as often as it goes
// round. All of them may be a sleeve's.
func around(blocks []*block, from place, share float64) (round []*edge, sleeve bool) {
	sleeve = true
	seen := map[place]bool{from: true}
	type step struct {
		at    place
		share float64
	}
	queue := []step{{from, share}}
	add := func(at place, share float64) {
		if !seen[at] {
			seen[at] = true
			queue = append(queue, step{at, share})
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		now := queue[0]
		round = append(round, &now.at.of.edges[now.at.edge])
		sleeve = sleeve && now.at.of.isSleeve()
		if to, share, ok := now.at.across(now.share); ok {
			add(to, share)
		}
		for _, to := range now.at.through(blocks, now.share) {
			if share := now.share; to.runsDown() == now.at.runsDown() {
				add(to, share)
			} else {
				add(to, 1-share)
			}
		}
	}
	return round, sleeve
}

func (b *block) isSleeve() bool {
	return endsWord(b.p.Name, "sleeve") || slices.ContainsFunc(b.edges, func(e edge) bool { return e.role == joint && endsWord(e.Name, "cap") })
}

// across is the place at the other side of the piece, at the same level.
func (p place) across(share float64) (to place, at float64, ok bool) {
	b := p.of
	to = p
	if b.folded {
		to.half = 1 - p.half
		return to, share, true
	}
	e := &b.edges[p.edge]
	q, _ := e.Line.At(share * e.Line.Length())
	level := b.level(q)
	for i := range b.edges {
		f := &b.edges[i]
		if !b.eased(f) || b.toRight(f) == b.toRight(e) {
			continue
		}
		if from, end := b.level(f.Line.Start()), b.level(f.Line.End()); (level-from)*(level-end) <= 0 {
			to.edge = i
			return to, (level - from) / (end - from), true
		}
	}
	return p, 0, false
}

// level is how far down the grain a point is, of a piece that is drawn upright.
func (b *block) level(q orb.Point) float64 {
	sin, cos := math.Sincos(b.p.GrainDeg * math.Pi / 180)
	if sin < 0 {
		sin, cos = -sin, -cos
	}
	return q[0]*cos + q[1]*sin
}

func (p place) runsDown() bool {
	line := p.of.edges[p.edge].Line
	return p.of.level(line.End()) > p.of.level(line.Start())
}

// toRight reports on which side of the piece a lengthwise edge is.
func (b *block) toRight(e *edge) bool {
	sin, cos := math.Sincos(b.p.GrainDeg * math.Pi / 180)
	out := b.outward(e)
	return out[1]*cos-out[0]*sin > 0
}

// through are the places to which one is sewn. Left is sewn to left; a piece to itself by
// an edge of another name as a tube, or, where there are several copies that are no left
// and right, from each to the next.
func (p place) through(blocks []*block, share float64) (out []place) {
	b, e := p.of, &p.of.edges[p.edge]
	ref, ok := sewnThere(blocks, e, share)
	if !ok {
		return nil
	}
	k := slices.IndexFunc(blocks, func(q *block) bool { return q.p.Name == ref.Piece })
	to := place{of: blocks[k]}
	count := max(1, b.p.Count)
	switch own := to.of == b; {
	case own && ref.Edge == e.Name:
		return p.throughLike()
	case own && (b.p.Mirrored || b.isSleeve()):
		to.copy, to.half = p.copy, p.half
	case own && ref.Edge > e.Name:
		to.copy, to.half = (p.copy+1)%count, p.half
	case own:
		to.copy, to.half = (p.copy+count-1)%count, p.half
	case to.of.folded:
		to.half = p.side()
	case to.of.p.Count > 1:
		to.copy = p.side()
	}
	for i := range to.of.edges {
		if to.edge = i; to.of.edges[i].Name == ref.Edge && to.of.eased(&to.of.edges[i]) {
			out = append(out, to)
		}
	}
	return out
}

// throughLike are the places to which one is sewn where an edge is sewn to its like, of
// the same name and on the same piece. A sleeve with both its edges there is a tube of its
// own; what else has two sides of one name goes on to the next copy, right side to left.
// Else copies are turned over in turn and sewn to their neighbours, right side to right
// and left to left; of a sleeve, two and two.
func (p place) throughLike() (out []place) {
	b, e := p.of, &p.of.edges[p.edge]
	var opposite []int // the edges of the name on the other side
	for i := range b.edges {
		if f := &b.edges[i]; f.Name == e.Name && b.eased(f) && b.toRight(f) != b.toRight(e) {
			opposite = append(opposite, i)
		}
	}
	to, onRight, turned := p, b.isSleeve() || b.toRight(e), false
	edges := opposite
	switch {
	case b.folded:
		to.half, onRight, edges = 1-p.half, p.half == 0, []int{p.edge}
	case len(opposite) == 0 || b.p.Mirrored && !b.isSleeve():
		edges, turned = []int{p.edge}, p.copy%2 == 1
	}
	if tube := b.isSleeve() && (b.folded || len(opposite) > 0); !tube {
		step, count := -1, max(1, b.p.Count)
		if onRight != turned {
			step = 1
		}
		to.copy = (p.copy + count + step) % count
	}
	for _, to.edge = range edges {
		out = append(out, to)
	}
	return out
}

// side is which of two sides of the body a place is on.
func (p place) side() int {
	switch {
	case p.of.folded:
		return p.half
	case p.of.p.Count > 1:
		return p.copy
	case p.of.toRight(&p.of.edges[p.edge]):
		return 1
	}
	return 0
}

// sewnThere is what is sewn to an edge so far along it: of several in a row the one there,
// of layers the first.
func sewnThere(blocks []*block, e *edge, share float64) (piece.Ref, bool) {
	const aRow = 0.85 // of the edge, which the others make up
	lengths, sum := make([]float64, len(e.Joins)), 0.0
	for k, r := range e.Joins {
		for _, b := range blocks {
			for i := range b.edges {
				if f := &b.edges[i]; b.p.Name == r.Piece && f.Name == r.Edge {
					lengths[k] = f.Line.Length()
				}
			}
		}
		sum += lengths[k]
	}
	longest := slices.Max(append(lengths, 0))
	if sum == 0 {
		return piece.Ref{}, false
	}
	if own := e.Line.Length(); longest < aRow*own && sum*aRow < own {
		at := 0.0
		for k, r := range e.Joins {
			if at += lengths[k]; share*sum <= at {
				return r, true
			}
		}
	}
	return e.Joins[0], true
}

// tellShares notes where the ease is shared out, once for all edges that go round as one.
func (l *Lining) tellShares(blocks []*block, easeMM float64) {
	if easeMM <= 0 {
		return
	}
	type ring struct {
		round, usual int
		even         bool // all that go round there have that share
	}
	names := map[ring][]string{}
	var order []ring
	for _, b := range blocks {
		for i := range b.edges {
			e := &b.edges[i]
			if len(e.round) == 0 {
				continue
			}
			uneven := slices.ContainsFunc(e.round, func(f *edge) bool { return f.share != e.share })
			r := ring{len(e.round), e.usual, !uneven}
			if names[r] == nil {
				order = append(order, r)
			}
			if name := (piece.Ref{Piece: b.p.Name, Edge: e.Name}).String(); !slices.Contains(names[r], name) {
				names[r] = append(names[r], name)
			}
		}
	}
	for _, r := range order {
		all, inAll := easeMM*float64(r.usual), ""
		if r.even {
			inAll = ", " + mm(all) + " in all"
		}
		l.note("%s: %d lengthwise edges go round there, so each of these goes out by %s and not by %s%s", strings.Join(names[r], ", "), r.round, mm(all/float64(r.round)), mm(easeMM), inAll)
	}
}
