package check

import (
	"math"
	"slices"

	"eke/split/plan"
)

// movedSeams proves that where a seam was moved, what one piece gives the
// other takes, and that the two new edges can be sewn together. A dart taken
// into a seam may also change an outline, and takes its own area with it.
func (o *optionProof) movedSeams() {
	group := map[string]string{} // of a piece's name; pieces that gave or took
	root := func(name string) string {
		for group[name] != "" {
			name = group[name]
		}
		return name
	}
	for _, m := range o.MovedSeams {
		if a, b := root(m.From), root(m.To); a != b {
			group[a] = b
		}
		o.movedEdges(m)
		o.endsMarked(m)
	}
	type sum struct {
		drawn, now, slack float64
		changed, whole    bool
	}
	sums := map[string]*sum{}
	for _, at := range o.order {
		p, now := o.pieces[at], o.target[at]
		name := root(p.Name)
		s := sums[name]
		if s == nil {
			s = &sum{whole: true}
			sums[name] = s
		}
		if now == nil {
			s.whole = false
			continue
		}
		s.changed = s.changed || o.moved[at]
		s.drawn += p.region.area
		s.now += now.area
		s.slack += SlackMM * length(closed(p.region.ring))
		for _, d := range o.taken[at] {
			s.drawn -= d.area
			s.slack += truedMM2
		}
		for _, d := range o.eyes[at] {
			s.drawn -= math.Abs(signedArea(d.Drawn[:]))
		}
	}
	for _, at := range o.order {
		name := root(o.pieces[at].Name)
		s := sums[name]
		delete(sums, name)
		if s == nil || !s.changed || !s.whole {
			continue
		}
		if math.Abs(s.drawn-s.now) > s.slack {
			o.fail(Fault{Rule: Moved}, "the area of piece %s and the pieces it changes with, less its darts taken in, goes from %.0f to %.0f mm²", name, s.drawn, s.now)
		}
	}
}

// movedEdges proves one moved seam: its two new edges are equally long, and
// their notches meet.
func (o *optionProof) movedEdges(m plan.MovedSeam) {
	fail := func(format string, args ...any) {
		o.fail(Fault{Rule: Moved}, "moved seam "+m.Join+": "+format, args...)
	}
	if math.Abs(m.FromLengthMM-m.ToLengthMM) > markMM {
		fail("its edges are said to be %.2f and %.2f mm long", m.FromLengthMM, m.ToLengthMM)
	}
	if m.From == m.To {
		fail("it goes from a piece to itself")
		return
	}
	fromEdge, toEdge := m.Edges()
	if fromEdge == "" || toEdge == "" {
		fail("it does not name an edge of %s, then one of %s", m.From, m.To)
		return
	}
	from, to := o.edgesOf(m.From, fromEdge), o.edgesOf(m.To, toEdge)
	if len(from.edges) == 0 || len(to.edges) == 0 {
		fail("no part of %s, or none of %s, has its edge", m.From, m.To)
		return
	}
	for _, at := range o.order {
		if (at.name == m.From || at.name == m.To) && !o.moved[at] {
			fail("the outline that piece %s has after it is not given", at)
		}
	}
	slack := markMM * float64(len(from.edges)+len(to.edges)) / 2
	if math.Abs(from.total-to.total) > slack {
		fail("its new edges are %.2f and %.2f mm long", from.total, to.total)
	}
	// A length said is that of one edge as drawn, of which there may be
	// several, split again or not.
	for _, s := range []struct {
		edges joined
		said  float64
	}{{from, m.FromLengthMM}, {to, m.ToLengthMM}} {
		if n := float64(s.edges.drawn); n > 0 && math.Abs(s.edges.total-n*s.said) > markMM*float64(len(s.edges.edges)) {
			fail("%s of its edges come to %.2f mm and not %.2f", plural(s.edges.drawn), s.edges.total, n*s.said)
		}
	}
	runs, others := rejoined(from.edges), rejoined(to.edges)
	if len(runs) != len(others) {
		return // a dart taken in has parted the one side: the marks are on other parts
	}
	used := make([]bool, len(others))
	for _, e := range runs {
		mate := -1
		for k, t := range others {
			if !used[k] && sewTogether(e, t) {
				mate = k
				break
			}
		}
		if mate < 0 {
			fail("the notches of part %s find no mates on %s", e.label, m.To)
			return
		}
		used[mate] = true
	}
}

// endsMarked proves that where an edge that the taker got with the strip meets one of
// its own, and it is sewn to another piece, there is a notch: no seam shows that place.
func (o *optionProof) endsMarked(m plan.MovedSeam) {
	_, edge := m.Edges()
	sewn := func(name string) bool {
		ref := m.From + "/" + name
		for _, at := range o.order {
			for _, e := range o.pieces[at].edges {
				if at.name == m.From && e.Name == name && len(e.Joins) > 0 || slices.Contains(e.Joins, ref) {
					return true
				}
			}
		}
		return false
	}
	for _, p := range o.parts {
		if p.broken || p.piece == nil || p.Piece != m.To {
			continue
		}
		for k, e := range p.edges {
			if e.From != m.From || e.Seam != "" || !sewn(e.Name) {
				continue
			}
			for _, step := range []int{-1, 1} {
				beside, end := p.edges[(k+step+len(p.edges))%len(p.edges)], e.line[0]
				if beside.Seam != "" || beside.From != "" || beside.Name == edge {
					continue
				}
				if step > 0 {
					end = e.line[len(e.line)-1]
				}
				if !slices.ContainsFunc(p.Notches, func(n plan.Notch) bool { return distance(n.At, end) <= markMM }) {
					o.fail(Fault{Rule: Moved, Part: p.label}, "moved seam %s: no notch shows where it was on %s, at %.1f, %.1f", m.Join, nameOf(e), end[0], end[1])
				}
			}
		}
	}
}

// joined is what carries one side of a join.
type joined struct {
	edges []edgeAt
	total float64 // length in mm
	drawn int     // how many such edges the piece had as drawn, over its copies
}

type edgeAt struct {
	part *partProof
	k    int // among the part's edges
}

func (e edgeAt) edge() drawnEdge { return e.part.edges[e.k] }

// cutOff reports whether the edge goes on, after its end (step 1) or before
// its start (-1), on another side of a piecing seam.
func (e edgeAt) cutOff(step int) bool {
	n := len(e.part.edges)
	return e.part.edges[(e.k+step+n)%n].Seam != ""
}

// run is an edge as it is once the piecing seams across it are sewn.
type run struct {
	label       string // of its first part
	first, last edgeAt
	lengthMM    float64
	marks       []mark
	levels      []levelMark
}

// rejoined puts the edges that piecing seams cut end to end again. Each is put
// before the one that starts nearest to its end, and not before any that starts
// near enough: a bit between two seams may be shorter than what marks may be off.
func rejoined(edges []edgeAt) []run {
	var runs []run
	for _, e := range edges {
		runs = append(runs, run{e.part.label, e, e, e.edge().lengthMM, e.part.marksOn(e.edge(), ""), e.part.levelsOn(e.edge())})
	}
	gap := func(a, b run) float64 {
		if a.last.part.piece != b.first.part.piece || !a.last.cutOff(1) || !b.first.cutOff(-1) {
			return math.Inf(1)
		}
		end, start := a.last.edge().line, b.first.edge().line
		return distance(end[len(end)-1], start[0])
	}
	for i := 0; i < len(runs); i++ {
		next, least := -1, math.Inf(1)
		for j := range runs {
			if off := gap(runs[i], runs[j]); i != j && off <= markMM && off < least {
				next, least = j, off
			}
		}
		if next < 0 {
			continue
		}
		runs[i] = runs[i].before(runs[next])
		runs = append(runs[:next], runs[next+1:]...)
		i = -1
	}
	return runs
}

// before is two runs as one, a first.
func (a run) before(b run) run {
	for _, m := range b.marks {
		m.mm += a.lengthMM
		if n := len(a.marks); n > 0 && m.mm-a.marks[n-1].mm <= markMM {
			continue // at the cut, and on both parts
		}
		a.marks = append(a.marks, m)
	}
	for _, l := range b.levels {
		l.mm += a.lengthMM
		a.levels = append(a.levels, l)
	}
	a.last, a.lengthMM = b.last, a.lengthMM+b.lengthMM
	return a
}

// edgesOf finds the edges of one name on the parts of a piece.
func (o *optionProof) edgesOf(name, edge string) joined {
	var j joined
	for _, p := range o.parts {
		if p.piece == nil || p.Piece != name {
			continue
		}
		for k, e := range p.edges {
			if e.Name == edge && e.Seam == "" && e.From == "" {
				j.edges = append(j.edges, edgeAt{p, k})
				j.total += e.lengthMM
			}
		}
	}
	for _, at := range o.order {
		if at.name != name {
			continue
		}
		for _, e := range o.pieces[at].edges {
			if e.Name == edge {
				j.drawn++
			}
		}
	}
	return j
}

// sewTogether reports whether the notches on two edges meet, sewn the one way
// round or, for a mirror image, the other.
func sewTogether(a, b run) bool {
	return meet(a.marks, b.marks) || meet(a.marks, mirrored(b.marks, b.lengthMM))
}

func plural(n int) string {
	if n == 1 {
		return "the one"
	}
	return "all"
}
