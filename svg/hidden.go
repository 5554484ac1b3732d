package svg

import "fmt"

// hiddenNotes says which outlines are out of sight: what a viewer does not show
// is not read, and may have been forgotten there.
func (g *gatherer) hiddenNotes() []string {
	var names []string
	named := map[string]bool{}
	var look func(e *element, name string)
	look = func(e *element, name string) {
		outline := g.outlines.has(g.meaning(e).word)
		if own := realName(&node{el: e}); own != "" && !outline {
			name = own
		}
		if outline && shapes[e.name] {
			if name == "" {
				name = e.String()
			}
			if !named[name] {
				named[name], names = true, append(names, name)
			}
		}
		for _, c := range e.children {
			look(c, name)
		}
	}
	looked := map[*element]bool{} // what is used twice is hidden twice
	for _, n := range g.d.hidden {
		if looked[n.el] {
			continue
		}
		looked[n.el] = true
		name := ""
		for a := n.parent; a != nil && !a.visible && name == ""; a = a.parent {
			name = realName(a)
		}
		look(n.el, name)
	}
	if len(names) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%s: hidden in the drawing, and not read: %s", g.d.file, list(names))}
}
