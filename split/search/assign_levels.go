package search

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"

	"eke/split"
	"eke/split/fit"
)

// searchState is how far the search for the levels of a component has come, so
// that a later budget goes on from there.
type searchState struct {
	mu    sync.Mutex
	trail fit.Trail
	turns bool // whether each bin was settled in turn
	found *fit.Solution
}

// solveLevels looks for levels and places of a component, and remembers how far it
// came.
func (a *assignment) solveLevels(ctx context.Context, comp *component, r *relaxation, question componentQuestion) bool {
	st := a.table.states.getOrSet(question, new(searchState))
	st.mu.Lock()
	defer st.mu.Unlock()
	if st.found == nil && st.trail.Attempts < a.attempts {
		trail := st.trail
		joint := a.joint(comp, r)
		found, ok := joint.Pack(ctx, &trail, a.attempts, a.table.options.Seed)
		a.table.work.Add(attemptWork * int64(max(1, trail.Attempts-st.trail.Attempts)))
		if !ok && !st.turns && len(comp.cuts) <= mostTurned && ctx.Err() == nil {
			found, ok = joint.PackInTurn(ctx, turnPoses, a.table.options.Seed)
			a.table.work.Add(attemptWork)
			st.turns = ctx.Err() == nil
		}
		switch {
		case ok:
			st.found = found
		case ctx.Err() == nil:
			st.trail = trail
		}
	}
	if st.found == nil {
		return false
	}
	for k, c := range comp.cuts {
		c.tree.LevelMM = st.found.Levels[k]
	}
	for k, s := range comp.bins {
		for i, l := range a.on[s] {
			l.leaf.Placement = st.found.At[k][i]
		}
	}
	return true
}

// turnPoses is how hard each bin is packed in turn: where two parts lie as they were
// planted, some 1,500 poses find a place for all but one pair in ten.
const turnPoses = 2000

// mostTurned is how many cuts a component has at most whose bins are settled in turn:
// with more of them it takes longer than another attempt, and comes to less.
const mostTurned = 1

// componentQuestion names a component: which parts of what lie where.
type componentQuestion struct{ trees string }

func (a *assignment) componentQuestion(comp *component) componentQuestion {
	var b strings.Builder
	for _, i := range comp.depths {
		k := a.order[i]
		fmt.Fprintf(&b, "%s:%s", a.instance.blanks[k].key, treeShape(a.trees[k]))
		for _, leaf := range a.trees[k].Leaves() {
			fmt.Fprintf(&b, ",%d", leaf.Scrap)
		}
		b.WriteByte(';')
	}
	if comp.wide() {
		b.WriteString("wide")
	}
	if a.stands != nil { // it begins with other levels, and has fewer attempts
		b.WriteString("grown")
	}
	for _, c := range comp.cuts {
		if c.fixed {
			fmt.Fprintf(&b, ",%.2f", c.reach.Lo)
		}
	}
	if a.ranges > 1 {
		for _, c := range comp.cuts {
			if c.first {
				fmt.Fprintf(&b, ",%.0f-%.0f", c.reach.Lo, c.reach.Hi)
			}
		}
	}
	return componentQuestion{b.String()}
}

// joint puts a component to fit.Joint.
func (a *assignment) joint(comp *component, r *relaxation) *fit.Joint {
	j := &fit.Joint{GapMM: a.table.options.GapMM, Start: r.start, Starts: maxStarts, Least: r.minStarts(), Workers: a.table.options.Workers}
	for _, s := range comp.bins {
		j.Cloths = append(j.Cloths, a.table.bins[s].cloth)
	}
	for _, c := range comp.cuts {
		span := a.slideRange(c)
		j.Lo, j.Hi = append(j.Lo, span.Lo), append(j.Hi, span.Hi)
	}
	c := &cutter{a: a, comp: comp, last: map[int]lastCut{}}
	j.Cut = c.cut
	return j
}

// slideRange is where a cut may slide: its room, widened by how coarsely that is
// known, as far as the piece reaches.
func (a *assignment) slideRange(c slidingCut) split.Span {
	lo, hi := c.spans[0].Lo, c.spans[len(c.spans)-1].Hi
	if c.fixed {
		return split.Span{Lo: math.Max(lo, c.room.Lo), Hi: math.Min(hi, c.room.Hi)}
	}
	if whole := a.instance.blanks[a.order[c.depth]].spansOf(c.tree.Way); len(whole) > 0 {
		// What is cut before it may slide too, and leave it more.
		lo, hi = math.Min(lo, whole[0].Lo), math.Max(hi, whole[len(whole)-1].Hi)
	}
	return split.Span{Lo: math.Max(lo, c.room.Lo-coarseLevelMM), Hi: math.Min(hi, c.room.Hi+coarseLevelMM)}
}
