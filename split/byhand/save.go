package byhand

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"

	"eke/piece"
	"eke/split"
	"eke/split/fit"
)

// Format is the first field of a plan that is saved as far as it has come.
const Format = "eke-by-hand/1"

// saved is a plan as it is written down: what she did, and nothing that follows
// from it.
type saved struct {
	Format string      `json:"format"`
	Last   int         `json:"last"`
	Moves  []savedMove `json:"moved_seams,omitempty"`
	Copies []savedCopy `json:"pieces,omitempty"`
}

type savedMove struct {
	Line  string  `json:"line"`
	Piece string  `json:"piece"`
	Edge  string  `json:"edge"`
	ByMM  float64 `json:"by_mm"`
}

type savedCopy struct {
	Piece string    `json:"piece"`
	Copy  int       `json:"copy"`
	Cut   savedNode `json:"cut"`
}

type savedNode struct {
	Line    string     `json:"line,omitempty"`
	Way     string     `json:"way,omitempty"`
	LevelMM float64    `json:"level_mm,omitempty"`
	Near    *savedNode `json:"near,omitempty"`
	Far     *savedNode `json:"far,omitempty"`
	On      *savedOn   `json:"on,omitempty"`
}

type savedOn struct {
	Scrap string  `json:"scrap"`
	Copy  int     `json:"copy"`
	DX    float64 `json:"dx_mm"`
	DY    float64 `json:"dy_mm"`
	Deg   float64 `json:"deg"`
}

// Save writes a plan down.
func (p *Plan) Save() ([]byte, error) {
	s := saved{Format: Format, Last: p.last}
	for _, m := range p.moves {
		s.Moves = append(s.Moves, savedMove{m.id, m.from.Piece, m.from.Edge, m.byMM})
	}
	for _, c := range p.copies {
		if n := p.savedNode(c.root); n.Way != "" || n.On != nil {
			s.Copies = append(s.Copies, savedCopy{c.piece.Name, c.piece.Copy, *n})
		}
	}
	return json.MarshalIndent(s, "", " ")
}

func (p *Plan) savedNode(n *node) *savedNode {
	if !n.isPart() {
		return &savedNode{Line: n.line, Way: n.way.Key, LevelMM: n.level, Near: p.savedNode(n.near), Far: p.savedNode(n.far)}
	}
	out := new(savedNode)
	if l, ok := p.on[n]; ok {
		s := p.given.scraps[l.scrap]
		out.On = &savedOn{s.Name, max(1, s.Copy), l.at.DX, l.at.DY, l.at.Deg}
	}
	return out
}

// Restore is the plan that was written down, as far as this pattern and this pile
// can have it: pieces whose lines cannot be drawn any more are whole, and parts
// whose scrap is gone lie nowhere. It is an error only where nothing was written
// down that can be read.
func (g *Given) Restore(data []byte) (*Plan, error) {
	var s saved
	if err := json.Unmarshal(data, &s); err != nil || s.Format != Format {
		return nil, fmt.Errorf("that is no plan by hand that can be read")
	}
	p := g.start
	for _, m := range s.Moves {
		drawn := slices.ContainsFunc(g.drawn, func(c *piece.Piece) bool { return c.Name == m.Piece })
		if !drawn || !(math.Abs(m.ByMM) <= mostMM) {
			continue
		}
		if now, err := p.withMove(piece.Ref{Piece: m.Piece, Edge: m.Edge}, m.ByMM); err == nil && len(now.moves) > len(p.moves) {
			now.moves[len(now.moves)-1].id = m.Line
			p = now
		}
	}
	out := *p
	out.on, out.last = map[*node]lying{}, max(s.Last, p.last)
	out.copies = slices.Clone(p.copies)
	for _, sc := range s.Copies {
		for i, c := range p.copies {
			if c.piece.Name != sc.Piece || c.piece.Copy != sc.Copy {
				continue
			}
			on := map[*node]lying{}
			root, ok := g.restored(&sc.Cut, on, 0)
			if !ok {
				continue
			}
			cut, err := g.cut(i, c.piece, root)
			if err != nil {
				continue
			}
			out.copies[i] = cut
			maps.Copy(out.on, on)
		}
	}
	return &out, nil
}

// restored is a branch that was written down. It is false for one that no plan
// has.
func (g *Given) restored(s *savedNode, on map[*node]lying, deep int) (*node, bool) {
	const deepest = 200
	if deep > deepest {
		return nil, false
	}
	n := new(node)
	if s.Way == "" {
		if s.On != nil && math.Abs(s.On.DX) <= mostMM && math.Abs(s.On.DY) <= mostMM && math.Abs(s.On.Deg) <= mostMM {
			for k, c := range g.scraps {
				if c.Name == s.On.Scrap && max(1, c.Copy) == s.On.Copy {
					on[n] = lying{k, fit.Placement{DX: s.On.DX, DY: s.On.DY, Deg: s.On.Deg}}
				}
			}
		}
		return n, true
	}
	var ok [3]bool
	n.line, n.level = s.Line, s.LevelMM
	if n.way, ok[0] = wayOf(s.Way); !ok[0] || s.Near == nil || s.Far == nil || s.Line == "" || !(math.Abs(n.level) <= mostMM) {
		return nil, false
	}
	n.near, ok[1] = g.restored(s.Near, on, deep+1)
	n.far, ok[2] = g.restored(s.Far, on, deep+1)
	return n, ok[1] && ok[2]
}

// Empty reports whether nothing is drawn and nothing laid.
func (p *Plan) Empty() bool {
	return len(p.on)+len(p.moves) == 0 && !anyCut(p.copies)
}

func anyCut(copies []*cutCopy) bool {
	for _, c := range copies {
		if !c.root.isPart() {
			return true
		}
	}
	return false
}

// made is the plan carried out as a whole, each part in its place. Parts that lie
// nowhere have no scrap.
func (p *Plan) made() (*split.Made, error) {
	s := &split.Plan{Pieces: p.pieces}
	for _, m := range p.moves {
		s.Moves = append(s.Moves, m.Move)
	}
	whole := true
	for _, c := range p.copies {
		s.Trees = append(s.Trees, c.root.tree(p.given.options.DartReachMM, func(n *node, t *split.Tree) {
			l, ok := p.on[n]
			if t.Scrap, t.Placement = l.scrap, l.at; !ok {
				t.Scrap, whole = len(p.given.scraps), false
			}
		}))
	}
	if whole {
		s.Scraps = p.given.scraps
	}
	return split.Make(s, p.given.options.AllowanceMM)
}
