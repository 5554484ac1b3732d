package svg

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
)

// joinEdges checks that every piece has a name of its own and that every
// join's edges exist, and makes each join known to both.
func joinEdges(pieces []*piece.Piece) error {
	byName := map[string]*piece.Piece{}
	var names []string
	for _, p := range pieces {
		key := strings.ToLower(p.Name)
		if byName[key] != nil {
			return &piece.Error{File: p.File, Piece: p.Name, Problem: "two pieces have this name", Cure: "rename one, or draw it once and say cut: 2"}
		}
		byName[key] = p
		names = append(names, p.Name)
	}
	for _, p := range pieces {
		for i := range p.Outline {
			e := &p.Outline[i]
			for k, ref := range e.Joins {
				wrong := func(problem, cure string) error {
					return &piece.Error{File: p.File, Piece: p.Name, Element: "edge " + e.Name, Problem: fmt.Sprintf("joins: %s: %s", ref, problem), Cure: cure}
				}
				to := byName[strings.ToLower(ref.Piece)]
				if to == nil {
					return wrong(fmt.Sprintf("there is no piece %q", ref.Piece), "the pieces are "+list(names))
				}
				e.Joins[k].Piece = to.Name
				if len(to.Outline.Edge(ref.Edge)) == 0 {
					return wrong(fmt.Sprintf("%q has no edge %q", to.Name, ref.Edge), edgesCure(to))
				}
			}
		}
	}
	for _, p := range pieces {
		for _, e := range p.Outline {
			for _, ref := range e.Joins {
				to := byName[strings.ToLower(ref.Piece)]
				back := piece.Ref{Piece: p.Name, Edge: e.Name}
				for _, i := range to.Outline.Edge(ref.Edge) {
					if o := &to.Outline[i]; !slices.Contains(o.Joins, back) {
						o.Joins = append(o.Joins[:len(o.Joins):len(o.Joins)], back)
					}
				}
			}
		}
	}
	return nil
}

func edgesCure(p *piece.Piece) string {
	var names []string
	for _, e := range p.Outline {
		if e.Name != "" && !slices.Contains(names, e.Name) {
			names = append(names, e.Name)
		}
	}
	if len(names) == 0 {
		return "name that edge of it, as in edge shoulder"
	}
	return "its edges are " + list(names)
}

// list is names as a sentence has them.
func list(names []string) string {
	const most = 12
	if len(names) > most {
		names = append(names[:most:most], "…")
	}
	return strings.Join(names, ", ")
}
