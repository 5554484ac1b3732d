package draw

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"
)

// Plan is a plan document to draw from. Its lines, which the document has as
// path data, are read once, by the first drawing that needs them. Drawings may
// be made at the same time.
type Plan struct {
	doc     *plan.Document
	options []func() (*option, error)
	pieces  func() ([][]edge, error) // the edges of each
}

// Of is a plan document to draw from. Nobody may change it while it is drawn.
func Of(d *plan.Document) *Plan {
	p := &Plan{doc: d, pieces: sync.OnceValues(func() ([][]edge, error) { return pieceEdges(d) })}
	for i := range d.Options {
		p.options = append(p.options, sync.OnceValues(func() (*option, error) { return readOption(d, i) }))
	}
	return p
}

// option is an option of a plan, which counts from 0, with its lines read.
func (p *Plan) option(at int) (*option, error) {
	if err := p.has(at); err != nil {
		return nil, err
	}
	return p.options[at]()
}

// has refuses an option that the plan has not.
func (p *Plan) has(option int) error {
	if n := len(p.options); option < 0 || option >= n {
		return fmt.Errorf("there is no option %d: the plan has %d; choose one from 1 to %d", option+1, n, n)
	}
	return nil
}

type option struct {
	*plan.Option
	doc     *plan.Document
	at      int // in the document
	parts   []part
	numbers []int // of each part, in the order in which they are cut, from 1
}

// part is a part with its lines read, in the coordinates of its piece, and
// what is drawn of it that others tell.
type part struct {
	*plan.Part
	edges       []edge     // clockwise
	cut         curve.Path // closed
	fabric      string     // that its piece is to be cut from
	oneWay      bool       // its scrap has a nap
	allowanceMM float64    // that an edge has of which nothing else is said
}

// edge is a stretch of a seam line.
type edge struct {
	plan.Edge
	path   curve.Path
	sewnTo []string // edges of parts, "part/edge"
	says   string   // what it is and what it is sewn to
}

func readOption(d *plan.Document, at int) (*option, error) {
	o := &option{Option: &d.Options[at], doc: d, at: at}
	o.numbers = make([]int, len(o.Parts))
	for n, i := range o.CuttingOrder() {
		o.numbers[i] = n + 1
	}
	for i := range o.Parts {
		p := part{Part: &o.Parts[i], allowanceMM: d.AllowanceMM}
		if err := p.read(); err != nil {
			return nil, err
		}
		for _, whole := range d.Pieces {
			if whole.Name == p.Piece && whole.Copy == p.Copy {
				p.fabric = whole.Fabric
			}
		}
		for _, scrap := range d.Scraps {
			p.oneWay = p.oneWay || scrap.Nap && p.isFrom(&scrap)
		}
		o.parts = append(o.parts, p)
	}
	for _, p := range o.parts {
		for k := range p.edges {
			e := &p.edges[k]
			e.sewnTo, e.says = o.sewnTo(e, p.Part), edgeText(&e.Edge, o.PiecingSeams, p.Part)
		}
	}
	return o, nil
}

// read reads the lines of a part.
func (p *part) read() (err error) {
	if p.edges, err = readEdges(p.Name, p.SeamLine, p.Edges); err != nil {
		return err
	}
	if len(p.CutLine) < 3 {
		return fmt.Errorf("part %q has a cutting line of %d points; at least 3 are needed", p.Name, len(p.CutLine))
	}
	p.cut, err = cutPath(p.Part)
	return err
}

// isFrom reports whether a part is cut from a scrap.
func (p *part) isFrom(s *plan.Scrap) bool { return p.Scrap == s.Name && p.ScrapCopy == s.Copy }

// pieceEdges is the edges of every piece of a plan, as drawn.
func pieceEdges(d *plan.Document) (all [][]edge, err error) {
	all = make([][]edge, len(d.Pieces))
	for i, p := range d.Pieces {
		if all[i], err = readEdges(p.Name, p.SeamLine, p.Edges); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// readEdges reads the edges of a part or a piece, which run clockwise. One that
// gives none has one, its seam line.
func readEdges(name string, seamLine []plan.Point, given []plan.Edge) ([]edge, error) {
	if len(given) == 0 {
		if len(seamLine) < 3 {
			return nil, fmt.Errorf("part %q has a seam line of %d points; at least 3 are needed", name, len(seamLine))
		}
		return []edge{{path: closedPath(seamLine)}}, nil
	}
	edges := make([]edge, len(given))
	for i, e := range given {
		path, err := ParsePath(e.D)
		if err != nil {
			return nil, fmt.Errorf("part %q, edge %d %s: %w", name, i+1, e.Name, err)
		}
		edges[i] = edge{Edge: e, path: path}
	}
	return edges, follow(name, edges)
}

// follow refuses edges that do not follow one another.
func follow(name string, edges []edge) error {
	const gapMM = 0.5
	for i, e := range edges {
		next := edges[(i+1)%len(edges)]
		if gap := plane.Distance(e.path.End(), next.path.Start()); gap > gapMM {
			return fmt.Errorf("part %q, edge %d %s ends %.1f mm from where the next begins; edges must follow one another", name, i+1, e.Name, gap)
		}
	}
	return nil
}

// moved is edges after m, still clockwise.
func moved(edges []edge, m curve.Matrix) []edge {
	out := make([]edge, len(edges))
	for i, e := range edges {
		e.path = e.path.Transform(m)
		out[i] = e
	}
	if flips(m) {
		slices.Reverse(out)
		for i := range out {
			out[i].path = out[i].path.Reverse()
		}
	}
	return out
}

// pathOf is edges as one line.
func pathOf(edges []edge) curve.Path {
	var out curve.Path
	for _, e := range edges {
		out = append(out, e.path...)
	}
	return out
}

// sewnTo is which edges of which parts an edge of a part is sewn to. A name that
// holds what parts names from one another in a list cannot be in one.
func (o *option) sewnTo(e *edge, p *plan.Part) []string {
	if e.Seam == "" && len(e.Joins) == 0 {
		return nil
	}
	var out []string
	for _, other := range o.parts {
		if strings.ContainsAny(other.Name, "/,;") {
			continue
		}
		for _, f := range other.edges {
			var name string
			switch {
			case e.Seam != "" && f.Seam == e.Seam && other.Name != p.Name && other.Piece == p.Piece && other.Copy == p.Copy:
				name = token(e.Seam)
			case e.Seam == "" && f.Name != "" && f.Seam == "" && slices.Contains(e.Joins, other.Piece+"/"+f.Name):
				name = token(f.Name)
			default:
				continue
			}
			if f.path.Length() >= leastEdgeMM {
				out = append(out, plan.Plain(other.Name)+"/"+name)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
