package svg

import (
	"errors"
	"fmt"
	"slices"

	"eke/piece"

	"github.com/paulmach/orb"
)

// nested gives a bare shape that lies inside a scrap's outline to that scrap: a
// hole that is drawn beside its group. What has a name or facts of its own may as well
// be a scrap, and of two bare ones neither can be known to be cloth.
func (d *drawing) nested(all []found) ([]found, error) {
	if len(all) < 2 || !slices.ContainsFunc(all, func(f found) bool { return f.bare }) {
		return all, nil
	}
	rims := make([]orb.Ring, len(all))
	for i, f := range all {
		k := slices.IndexFunc(f.marks, func(m mark) bool { return m.word == "outline" })
		var err error
		if _, rims[i], err = (&markReader{d: d, name: f.name}).ring(f.marks[k]); err != nil {
			var wrong *piece.Error
			if f.bare && errors.As(err, &wrong) {
				with := *wrong
				with.Cure += "; " + onlyDrawing
				return nil, &with
			}
			return nil, err
		}
	}
	nest := nest{d: d, all: all, rims: rims}
	holes := map[int]bool{}
	for i := range all {
		within, err := nest.around(i)
		if err != nil {
			return nil, err
		}
		if within < 0 {
			continue
		}
		hole, err := nest.hole(i, within)
		if err != nil {
			return nil, err
		}
		if hole {
			all[within].plain = append(all[within].plain, all[i].marks[0].n)
			holes[i] = true
		}
	}
	var out []found
	for i, f := range all {
		if !holes[i] {
			out = append(out, f)
		}
	}
	return out, nil
}

// nest is scraps that may lie inside each other, and their outlines.
type nest struct {
	d     *drawing
	all   []found
	rims  []orb.Ring
	pairs int // of points, looked at
}

// around is the scrap whose outline a scrap lies inside, where either is bare, and
// one that is not rather than one that is; -1 if there is none.
func (t *nest) around(i int) (int, error) {
	within := -1
	box := t.rims[i].Bound()
	for j := range t.all {
		out := t.rims[j].Bound()
		wanted := t.all[j].bare || t.all[i].bare
		if i == j || !wanted || within >= 0 && !t.all[within].bare || !out.Contains(box.Min) || !out.Contains(box.Max) {
			continue
		}
		if t.pairs += len(t.rims[j]) + len(t.rims[i])*len(sidesNear(t.rims[j], box)); t.pairs > maxHolePairs {
			return -1, t.d.errorf(t.all[i].marks[0].n.el, fmt.Sprintf("its outline has %d points, and that around it %d", len(t.rims[i]), len(t.rims[j])), "simplify their paths")
		}
		if strictlyInside(t.rims[i], t.rims[j]) {
			within = j
		}
	}
	return within, nil
}

// hole reports whether a scrap is a hole of another that it lies inside, or else a
// scrap that lies in a hole; where neither is known it asks.
func (t *nest) hole(i, within int) (bool, error) {
	in, around := t.all[i], t.all[within]
	const cure = "name the cloth outline and what is missing from it hole, both in one group; draw scraps beside each other"
	switch {
	case around.bare && in.bare:
		return false, t.d.errorf(in.marks[0].n.el, fmt.Sprintf("it lies inside the outline of %s, and no word says which of the two is cloth", around.marks[0].n.el), cure)
	case around.bare:
		return false, t.d.errorf(around.marks[0].n.el, fmt.Sprintf("the scrap %q lies inside it, and no word says which of the two is cloth", in.name), cure+"; "+onlyDrawing)
	case !in.ownAway(around):
		return true, nil
	}
	r := markReader{d: t.d, name: around.name}
	for _, m := range around.marks {
		if m.word != "hole" {
			continue
		}
		_, ring, err := r.ring(m)
		if err != nil {
			return false, err
		}
		box := ring.Bound()
		if b := t.rims[i].Bound(); !box.Contains(b.Min) || !box.Contains(b.Max) {
			continue
		}
		if t.pairs += len(ring) + len(t.rims[i])*len(sidesNear(ring, t.rims[i].Bound())); t.pairs > maxHolePairs {
			return false, t.d.errorf(in.marks[0].n.el, fmt.Sprintf("its outline has %d points, and the hole around it %d", len(t.rims[i]), len(ring)), "simplify their paths")
		}
		if strictlyInside(t.rims[i], ring) {
			return false, nil
		}
	}
	return false, t.d.errorf(in.marks[0].n.el, fmt.Sprintf("it lies inside the outline of %q and has a name or facts of its own, and no word says whether it is a scrap or missing from that one", around.name), cure)
}

// ownAway reports whether a bare shape has facts, or is in a group with a name or
// facts, that another scrap is not in.
func (f found) ownAway(other found) bool {
	for n := f.marks[0].n; n != nil && !other.marks[0].n.in(n); n = n.parent {
		if n.group() && realName(n) != "" {
			return true
		}
		about := facts{nodes: []*node{n}}
		if slices.ContainsFunc(scrapFacts, func(key string) bool { _, _, ok := about.get(key); return ok }) {
			return true
		}
	}
	return false
}
