package svg

import (
	"fmt"
	"strings"
)

// What is drawn without a name that is known is drawing only, but for what can hardly
// be anything else: a closed line on a scrap is a hole. To lose a little cloth is less
// than to cut a part across one.

const onlyDrawing = "or hide or remove it, if it is only drawing"

// in reports whether a node is another or lies within it.
func (n *node) in(other *node) bool {
	for ; n != nil; n = n.parent {
		if n == other {
			return true
		}
	}
	return false
}

// unexplained are those of some shapes of which nothing else is said: neither they
// nor a group of theirs is almost named as a mark is.
func (f found) unexplained(w words, shapes []*node) []*node {
	var out []*node
	for _, n := range shapes {
		said := false
		for a := n; a != nil && (len(f.groups) == 0 || a != f.groups[0]); a = a.parent {
			meant, _ := w.meant(a.el)
			said = said || meant != ""
		}
		if !said {
			out = append(out, n)
		}
	}
	return out
}

// takenForHoles says which shapes of a scrap were taken for holes.
func (f found) takenForHoles(holes []mark) []string {
	names := called(holes)
	switch len(names) {
	case 0:
		return nil
	case 1:
		return []string{fmt.Sprintf("%s: %s, a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none", f.name, names[0])}
	}
	return []string{fmt.Sprintf("%s: %s, closed lines without a known name, are taken for holes; name them hole or flaw, or hide or remove those that are none", f.name, few(names))}
}

// unknown gathers the shapes of a drawing that no word speaks of and that are not
// read, for one note.
type unknown struct {
	things []string // the pieces or scraps they are in
	shapes [][]string
}

func (u *unknown) add(thing string, shapes []*node) {
	if len(shapes) == 0 {
		return
	}
	var names []string
	for _, n := range shapes {
		names = append(names, n.el.called())
	}
	u.things, u.shapes = append(u.things, thing), append(u.shapes, names)
}

// note names them, the first of each.
func (u *unknown) note(file, cure string) []string {
	const most = 6
	if len(u.things) == 0 {
		return nil
	}
	var said []string
	more := 0
	for i, names := range u.shapes {
		if i < most {
			said = append(said, u.things[i]+": "+few(names))
		} else {
			more += len(names)
		}
	}
	if more > 0 {
		said = append(said, fmt.Sprintf("and %d elsewhere", more))
	}
	return []string{fmt.Sprintf("%s: not read, for they have no known name: %s. %s", file, strings.Join(said, "; "), cure)}
}

// The classes of what is only drawing in the files that eke writes; those of a
// part on a scrap have laid before them.
var ourClasses = words{"outer", "snip", "tip", "ring", "arrow", "leg", "leader", "hatch", "stripe"}

// ourDrawing reports whether an element is drawn as in one of eke's own files, and
// means nothing.
func (n *node) ourDrawing() bool {
	for ; n != nil; n = n.parent {
		if class := n.el.get("class"); ourClasses.has(class) || class == "laid" || strings.HasPrefix(class, "laid-") {
			return true
		}
	}
	return false
}

// called is the element as a note tells it: where nothing else names it, its class.
func (e *element) called() string {
	s, class := e.String(), clean(cut(e.get("class")))
	if class == "" || strings.HasSuffix(s, `"`) {
		return s
	}
	return fmt.Sprintf("%s, %q", s, class)
}

// called are the elements of some marks as a note tells them, each once.
func called(marks []mark) []string {
	var names []string
	for i, m := range marks {
		if i == 0 || m.n != marks[i-1].n {
			names = append(names, m.n.el.called())
		}
	}
	return names
}

// few are the first of some names, and how many more there are.
func few(names []string) string {
	const most = 3
	if len(names) > most+1 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	if len(names) > 1 {
		return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
	}
	return strings.Join(names, "")
}
