package split

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"unicode"

	"eke/split/plan"
)

// A way is written into plan.json by the name of its type, and what its fields
// hold; so one that is new needs nothing said of it here.

// wayNamed is a way of the name of its type, with nothing in its fields.
func wayNamed(name string) (Way, bool) {
	for _, w := range slices.Concat(Ways(), []Way{Shoulder{}, Carried{}, &Drawn{}}) {
		if wayName(w) == name {
			return w, true
		}
	}
	return nil, false
}

// wayName is the name of a way's type, as plan.json writes names.
func wayName(w Way) string {
	t := reflect.TypeOf(w)
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	var out []rune
	for i, r := range t.Name() {
		if unicode.IsUpper(r) && i > 0 {
			out = append(out, ' ')
		}
		out = append(out, unicode.ToLower(r))
	}
	return string(out)
}

// writeWay is a way as plan.json has it: its name and its fields, if it has any.
func writeWay(w Way) (name string, of json.RawMessage, err error) {
	of, err = json.Marshal(w)
	if bytes.Equal(of, []byte("{}")) {
		of = nil
	}
	return wayName(w), of, err
}

// readWay is the way that was written so.
func readWay(name string, of json.RawMessage) (Way, error) {
	w, ok := wayNamed(name)
	if !ok {
		return nil, fmt.Errorf("there is no way to split named %q", name)
	}
	t := reflect.TypeOf(w)
	pointer := t.Kind() == reflect.Pointer
	if pointer {
		t = t.Elem()
	}
	v := reflect.New(t)
	if len(of) > 0 {
		if err := json.Unmarshal(of, v.Interface()); err != nil {
			return nil, fmt.Errorf("the way to split %q: %w", name, err)
		}
	}
	if d, ok := v.Interface().(*Drawn); ok && len(d.Path) == 0 {
		return nil, fmt.Errorf("the way to split %q has no line", name)
	}
	if pointer {
		return v.Interface().(Way), nil
	}
	return v.Elem().Interface().(Way), nil
}

// documentCut is how a seam was made. It is nil where that cannot be written: then
// nobody goes on from the plan.
func (m *Made) documentCut(i int) *plan.Cut {
	s := &m.Seams[i]
	way, of, err := writeWay(s.Way)
	if err != nil {
		return nil
	}
	c := &plan.Cut{Way: way, Of: of, LevelMM: s.LevelMM, TakeInMM: s.TakeInMM}
	first := i
	for first > 0 && m.Seams[first-1].Piece == s.Piece {
		first--
	}
	tree := m.Plan.Trees[s.Piece]
	cuts := tree.Cuts()
	at := cuts[i-first]
	side := func(t *Tree) (out plan.Side) {
		if k := slices.Index(cuts, t); k >= 0 {
			out.Seam = m.Seams[first+k].Name
		}
		for _, p := range m.Parts {
			if p.Leaf == t {
				out.Part = p.Name
			}
		}
		return out
	}
	c.Near, c.Far = side(at.Near), side(at.Far)
	for _, n := range s.Notches {
		c.Counts = append(c.Counts, n.Count)
	}
	if line := m.Plan.Carry; line != nil && s.Carried {
		c.Carried, c.AboveNear = true, line.Cut(s.Piece).AboveNear
	}
	return c
}
