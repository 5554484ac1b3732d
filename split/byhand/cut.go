package byhand

import (
	"fmt"
	"hash/fnv"
	"math"
	"slices"
	"sync"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// node is a cut of a copy, or with nothing on either side a part. It does not
// change; what is cut otherwise has other nodes from there up.
type node struct {
	line      string // which line it is
	way       Way
	level     float64
	near, far *node
}

func (n *node) isPart() bool { return n.near == nil }

// parts are those of a branch, near before far.
func (n *node) parts() []*node {
	if n.isPart() {
		return []*node{n}
	}
	return append(n.near.parts(), n.far.parts()...)
}

// cuts are those of a branch, each before those of its near side, and they before
// those of its far side.
func (n *node) cuts() []*node {
	if n.isPart() {
		return nil
	}
	return append(append([]*node{n}, n.near.cuts()...), n.far.cuts()...)
}

// with is a branch in which one node is another.
func (n *node) with(old, now *node) *node {
	if n == old {
		return now
	}
	if n.isPart() {
		return n
	}
	near, far := n.near.with(old, now), n.far.with(old, now)
	if near == n.near && far == n.far {
		return n
	}
	c := *n
	c.near, c.far = near, far
	return &c
}

// tree is a branch as plans have it, and place where its parts lie, as far as they
// do.
func (n *node) tree(takeInMM float64, place func(*node, *split.Tree)) *split.Tree {
	t := new(split.Tree)
	if n.isPart() {
		if place != nil {
			place(n, t)
		}
		return t
	}
	t.Way, t.LevelMM, t.TakeInMM = n.way.split, n.level, takeInMM
	t.Near, t.Far = n.near.tree(takeInMM, place), n.far.tree(takeInMM, place)
	return t
}

// cutCopy is a copy as its lines cut it.
type cutCopy struct {
	copy  int
	piece *piece.Piece // with moved seams
	root  *node
	made  *split.Made // of it alone
	parts []*Part
	cuts  []*node // in the order of the seams made
}

// Part is what the lines leave of a copy.
type Part struct {
	Name    string
	Copy    int
	Outline piece.Outline // seam line
	Cut     orb.Ring      // cutting line, in the copy's own coordinates
	Handle  orb.Point     // its middle: where it is held
	Of      *piece.Piece

	node     *node
	body     *split.Body
	blank    *search.Blank
	document plan.Part // with what its cloth and its proof ask for
	single   func() *check.Single
	key      string // tells it from every part that may lie otherwise
	slot     string // where among its copy's parts it is
	path     func() curve.Path
}

// Path is the cutting line for drawing, curves beside curves.
func (p *Part) Path() curve.Path { return p.path() }

// Polygon is the cutting line in straight stretches: sooner made, and as exact.
func (p *Part) Polygon() curve.Path {
	return curve.Polyline(append(slices.Clone(p.Cut), p.Cut[0])...)
}

// cut cuts one copy.
func (g *Given) cut(copy int, p *piece.Piece, root *node) (*cutCopy, error) {
	t := root.tree(g.options.DartReachMM, nil)
	made, err := split.Make(&split.Plan{Pieces: []*piece.Piece{p}, Trees: []*split.Tree{t}}, g.options.AllowanceMM)
	if err != nil {
		return nil, err
	}
	c := &cutCopy{copy: copy, piece: p, root: root, made: made, cuts: root.cuts()}
	for i, s := range made.Seams {
		if !split.In(s.Way.Spans(s.Body), s.LevelMM) {
			return nil, fmt.Errorf("%s: the %s at %.0f mm cannot stay where it is, for what it cuts is another now; move or remove it first", p.ID(), s.Way.Called(s.Kind, s.Line, p), s.LevelMM-c.cuts[i].way.origin(g.bodies[copy]))
		}
	}
	leaves := root.parts()
	for i := range made.Parts {
		m := &made.Parts[i]
		part := &Part{Name: m.Name, Copy: copy, Outline: m.Outline, Cut: m.Cut, Of: m.Of, node: leaves[i], slot: fmt.Sprintf("%d %d of %d", copy, i, len(leaves))}
		part.body = made.Body(m.Leaf)
		part.blank = search.NewBlank(m.Of, m.Outline, m.Cut)
		part.Handle = middle(m.Cut)
		hash := fnv.New128a()
		fmt.Fprintf(hash, "%q %q %q %v", p.Name, p.Fabrics, p.Kind, p.GrainDeg)
		for _, q := range m.Cut {
			q = orb.Point{math.Round(q[0]*1e4) / 1e4, math.Round(q[1]*1e4) / 1e4}
			part.document.CutLine = append(part.document.CutLine, plan.Point(q))
			fmt.Fprintf(hash, " %.4f %.4f", q[0], q[1])
		}
		part.key = string(hash.Sum(nil))
		of := &g.pieces[copy]
		part.document.Name, part.document.Piece, part.document.Copy, part.document.GrainDeg = part.Name, of.Name, of.Copy, of.GrainDeg
		part.single = sync.OnceValue(func() *check.Single { return check.NewSingle(of, &part.document) })
		part.path = sync.OnceValue(func() curve.Path {
			if path, err := split.CutPath(part.Of, part.Outline); err == nil {
				return path
			}
			return part.Polygon()
		})
		c.parts = append(c.parts, part)
	}
	return c, nil
}

// middle is the centroid of a ring, or where that lies outside the middle of its
// box.
func middle(r orb.Ring) orb.Point {
	closed := append(slices.Clone(r), r[0])
	if at, area := planar.CentroidArea(closed); area != 0 && planar.RingContains(closed, at) {
		return at
	}
	return r.Bound().Center()
}
