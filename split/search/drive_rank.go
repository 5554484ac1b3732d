package search

import (
	"context"
	"fmt"
	"sort"
	"strings"

	"eke/piece"
	"eke/split"
)

// keep adds plans to those found and keeps the list in order and short.
func (d *driver) keep(plans []*split.Made) {
	seen := map[string]bool{}
	for _, m := range d.found {
		seen[exactSignature(m)] = true
	}
	for _, m := range plans {
		if s := exactSignature(m); !seen[s] {
			seen[s] = true
			d.found = append(d.found, m)
		}
	}
	d.rank()
	if most := 8 * d.options.Keep; len(d.found) > most {
		d.found = d.found[:most]
	}
}

// rank orders plans: fewest seams, then least intrusive, of those alike in that the ones
// with the fewest seams in front (common practice, no source), then by what they look
// like, so that the order never depends on chance.
func (d *driver) rank() {
	plans := d.found
	cost := make(map[*split.Made]float64, len(plans))
	for _, m := range plans {
		d.weighPreferred(m)
		cost[m] = split.Intrusion(split.Cost(m))
	}
	sort.SliceStable(plans, func(i, j int) bool {
		a, b := plans[i], plans[j]
		if len(a.Seams) != len(b.Seams) {
			return len(a.Seams) < len(b.Seams)
		}
		if cost[a] != cost[b] {
			return cost[a] < cost[b]
		}
		if front := seamsInFront(a) - seamsInFront(b); front != 0 {
			return front < 0
		}
		return signature(a, d.table.scraps) < signature(b, d.table.scraps)
	})
}

// seamsInFront is how many piecing seams are in pieces of the front, by their names, that are
// seen: in no facing, band or the like, and in no lining.
func seamsInFront(m *split.Made) (n int) {
	for i := range m.Seams {
		p := m.Plan.Pieces[m.Seams[i].Piece]
		name := strings.ToLower(p.Name)
		if strings.Contains(name, "front") && !isBack(p) && piece.TrimWord(p.Name) == "" && p.Use != piece.UseLining && !strings.Contains(name, "lining") {
			n++
		}
	}
	return n
}

// finish slides the levels of what was found to where they cost least, and
// keeps as many as were asked for.
func (d *driver) finish(ctx context.Context) {
	if d.options.First {
		d.found = d.found[:min(1, len(d.found))]
	} else {
		for i, m := range d.found {
			d.found[i] = d.refine(ctx, m)
		}
		d.rank()
		d.found = d.distinct()
		d.dropUnkept()
		d.found = withBestLooking(d.found, d.options.Keep)
	}
	ctx, cancel := outlasting(ctx, timeToLayTrue)
	defer cancel()
	for _, m := range d.found {
		d.table.layTrue(ctx, m)
	}
}

// distinct keeps, of the plans in order, the best of those that look the same
// to a maker, and none that is an earlier one with seams to no purpose.
func (d *driver) distinct() []*split.Made {
	seen := map[string]bool{}
	var out []*split.Made
	for _, m := range d.found {
		s := signature(m, d.table.scraps)
		if seen[s] {
			continue
		}
		seen[s] = true
		pointless := false
		for _, better := range out {
			pointless = pointless || d.addsOnly(m, better)
		}
		if !pointless {
			out = append(out, m)
		}
	}
	return out
}

// addsOnly reports whether a plan is another one with more seams, added or
// moved: every piece is as in the other or is split more.
func (d *driver) addsOnly(m, other *split.Made) bool {
	seams, moves := len(m.Seams)-len(other.Seams), len(m.Plan.Moves)-len(other.Plan.Moves)
	if seams < 0 || moves < 0 || seams+moves == 0 || split.LookPoints(m) < split.LookPoints(other) {
		return false
	}
	for i, t := range m.Plan.Trees {
		o := other.Plan.Trees[i]
		if t.Seams() <= o.Seams() && treeSignature(t, d.table.scraps) != treeSignature(o, d.table.scraps) {
			return false
		}
	}
	return true
}

// signature is what a maker would see of a plan: which pieces are split, how,
// and from which cloth. Two plans that differ by millimetres, or by which of
// two like scraps a whole piece comes from, have the same.
func signature(m *split.Made, scraps []*piece.Scrap) string {
	var out []string
	for i, t := range m.Plan.Trees {
		p := m.Plan.Pieces[i]
		out = append(out, p.Name+":"+treeSignature(t, scraps))
	}
	sort.Strings(out) // the copies of a piece in either order
	for _, mv := range m.Plan.Moves {
		out = append(out, fmt.Sprintf("%v>%v", mv.From, mv.To))
	}
	return strings.Join(out, ";")
}

// exactSignature is signature with every scrap by its own name, and tells whether
// the stripes of the cloth are made to meet.
func exactSignature(m *split.Made) string {
	var out []string
	for i, t := range m.Plan.Trees {
		from := m.Plan.Pieces[i].ID() + ":" + treeShape(t)
		for _, leaf := range t.Leaves() {
			from += fmt.Sprintf(",%d", leaf.Scrap)
		}
		out = append(out, from)
	}
	for _, mv := range m.Plan.Moves {
		out = append(out, mv.String())
	}
	if m.Plan.Matched != nil {
		out = append(out, "stripes meet")
	}
	return strings.Join(out, ";")
}

func treeShape(t *split.Tree) string {
	if t.Way == nil {
		return ""
	}
	return wayID(t.Way) + "(" + treeShape(t.Near) + "," + treeShape(t.Far) + ")"
}

func treeSignature(t *split.Tree, scraps []*piece.Scrap) string {
	if t.Way == nil {
		return scraps[t.Scrap].TheLook()
	}
	return fmt.Sprintf("%s(%s,%s)", t.Way.Kind(), treeSignature(t.Near, scraps), treeSignature(t.Far, scraps))
}
