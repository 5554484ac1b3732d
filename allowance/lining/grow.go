package lining

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// grow moves the corners of a block and takes the lines between them along.
//
// A lengthwise seam goes outwards, across the grain; a corner of it that the
// garment holds stays. A line that ends at the hem, or at a raised underarm,
// is cut shorter there, or runs on straight: the rest of it keeps its shape,
// so that its waist stays at the waist.
func (b *block) grow(o Options) error {
	n := len(b.edges)
	shift := make([]orb.Point, n) // of the corner where each edge starts
	for i := range b.edges {
		shift[i] = b.shift(i, o.EaseMM)
	}
	rails := make([]bool, n)
	for i := range b.edges {
		e := &b.edges[i]
		e.toBase = stretch(e.Line, shift[i], shift[(i+1)%n], 1)
		e.base = e.Line.Transform(e.toBase)
		if e.role == hem {
			continue
		}
		before, after := b.beside(i, -1), b.beside(i, 1)
		start, end := 0.0, 0.0 // by how much it is longer there
		if before.role == hem {
			start -= o.HemUpMM
		} else if raised(e, before) {
			start += o.ArmholeUpMM
		}
		if after.role == hem {
			end -= o.HemUpMM
		} else if raised(e, after) {
			end += o.ArmholeUpMM
		}
		rails[i] = before.role == hem || after.role == hem || raised(e, before) || raised(e, after)
		shorter := math.Max(-start, 0) + math.Max(-end, 0)
		if length := e.base.Length(); shorter > 0 && length-shorter < leastEdgeMM {
			return fmt.Errorf("--hem-up %s: %q (%s): %s is only %s long; give less", mm(o.HemUpMM), b.p.Name, b.p.File, b.called(i), mm(length))
		}
		e.base = longer(e.base, start, end)
	}
	corner := make([]orb.Point, n)
	for i := range b.edges {
		before := (i + n - 1) % n
		switch at := b.edges[i].Line.Start(); {
		case rails[before]:
			corner[i] = b.edges[before].base.End()
		case rails[i]:
			corner[i] = b.edges[i].base.Start()
		case b.edges[before].role == hem && b.edges[i].role == hem:
			corner[i] = plane.Along(at, b.inward(i), o.HemUpMM)
		default:
			corner[i] = plane.Add(at, shift[i])
		}
	}
	b.moved = make([]orb.Point, n)
	for i := range b.edges {
		e := &b.edges[i]
		from, to := corner[i], corner[(i+1)%n]
		if !rails[i] {
			e.toBase = stretch(e.Line, plane.Sub(from, e.Line.Start()), plane.Sub(to, e.Line.End()), 1)
			e.base = e.Line.Transform(e.toBase)
		}
		e.base[0].P0, e.base[len(e.base)-1].P1 = from, to
		e.height = bow(e.base)
	}
	most := 0.0
	for _, e := range b.edges {
		most = math.Max(most, e.share)
	}
	for i, l := range b.levels {
		start, end := o.EaseMM*most, o.EaseMM*most
		if b.onFold(l.Start()) {
			start = 0
		}
		if b.onFold(l.End()) {
			end = 0
		}
		b.levels[i] = longer(l, start, end) // it still reaches across
	}
	return nil
}

// onFold reports whether a point is on the fold that was drawn.
func (b *block) onFold(q orb.Point) bool {
	const nearMM = 3.0 // drawn lines are seldom on it to a hair
	return b.folded && math.Abs(toTheFold(b.p.Centre, q)) < nearMM
}

// leastEdgeMM is the least that is left of an edge.
const leastEdgeMM = 5.0

// shift is where the ease takes the corner at which edge i starts.
func (b *block) shift(i int, easeMM float64) orb.Point {
	var sum orb.Point
	count := 0.0
	for _, e := range []*edge{b.beside(i, -1), &b.edges[i]} {
		switch {
		case e.role == shell, e.role == fold:
			return orb.Point{}
		case b.eased(e):
			sum = plane.Along(sum, b.outward(e), easeMM*e.share)
			count++
		}
	}
	return plane.Scale(sum, 1/math.Max(1, count))
}

// outward is across the grain, out of the block at a lengthwise edge.
func (b *block) outward(e *edge) orb.Point {
	sin, cos := math.Sincos(b.p.GrainDeg * math.Pi / 180)
	across := orb.Point{-sin, cos}
	chord := plane.Sub(e.Line.End(), e.Line.Start())
	if plane.Dot(across, orb.Point{chord[1], -chord[0]}) < 0 { // of a line that runs clockwise
		return plane.Scale(across, -1)
	}
	return across
}

// inward is square into the block at the corner where edge i starts.
func (b *block) inward(i int) orb.Point {
	_, in := b.beside(i, -1).Line.At(b.beside(i, -1).Line.Length())
	_, out := b.edges[i].Line.At(0)
	d := plane.Unit(plane.Add(in, out))
	return orb.Point{-d[1], d[0]}
}

// raised reports whether an edge is raised where it meets another: it is a side
// seam or a sleeve's, and that is an armhole, a cap or a raglan seam.
func raised(e, beside *edge) bool {
	return isSide(e.Name) && !isArmhole(e.Name) && e.role == joint && isArmhole(beside.Name) && beside.role == joint
}

// unraisable is an armhole, a cap or a raglan edge with a seam that has no side or
// underarm seam beside it to be raised along: raised on the other pieces alone it could
// not be sewn. A yoke's armhole, which ends at those of the front and the back, is
// raised on these; where one of them is not, that one is named and not the yoke. It is
// empty where every one can be.
func unraisable(blocks []*block) (yoke piece.Ref) {
	for _, b := range blocks {
		meets, on := false, false
		var at *edge
		for i := range b.edges {
			e := &b.edges[i]
			if !isArmhole(e.Name) || e.role != joint {
				continue
			}
			meets = meets || raised(b.beside(i, -1), e) || raised(b.beside(i, 1), e)
			before, after := goesOn(blocks, b.beside(i, -1)), goesOn(blocks, b.beside(i, 1))
			on = on || before || after
			if at == nil && !(before && after) {
				at = e
			}
		}
		switch {
		case at == nil || meets:
		case !on:
			return piece.Ref{Piece: b.p.Name, Edge: at.Name}
		case yoke == piece.Ref{}:
			yoke = piece.Ref{Piece: b.p.Name, Edge: at.Name}
		}
	}
	return yoke
}

// goesOn reports whether a seam that an armhole ends on is one over which it goes on,
// to an armhole that is raised at its other end.
func goesOn(blocks []*block, e *edge) bool {
	return e.role == joint && slices.ContainsFunc(blocks, func(b *block) bool {
		for i := range b.edges {
			if !slices.Contains(e.Joins, piece.Ref{Piece: b.p.Name, Edge: b.edges[i].Name}) {
				continue
			}
			for _, step := range []int{-1, 1} {
				if next := b.beside(i, step); isArmhole(next.Name) && next.role == joint && raised(b.beside(i, 2*step), next) {
					return true
				}
			}
		}
		return false
	})
}

// armholesBare reports whether there are armholes, caps or raglan edges, and
// none of them has a seam.
func armholesBare(blocks []*block) bool {
	bare := false
	for _, b := range blocks {
		for i := range b.edges {
			if e := &b.edges[i]; isArmhole(e.Name) {
				if e.role == joint {
					return false
				}
				bare = bare || e.role == free
			}
		}
	}
	return bare
}

// called is what an edge is called in a sentence.
func (b *block) called(i int) string {
	switch e := &b.edges[i]; {
	case e.role == fold:
		return "the fold"
	case e.Name == "":
		return "an edge that meets the hem"
	case strings.HasSuffix(e.Name, "-"+facingEdge):
		return fmt.Sprintf("the stretch of the edge %s that is sewn to a facing", strings.TrimSuffix(e.Name, "-"+facingEdge))
	default:
		return "the edge " + e.Name
	}
}

// stretch is what takes a line to where its ends have moved, its bend times bow:
// along the straight line between its ends it is drawn out with them, and square
// to that it stays as it was. So it keeps its shape, and its curves stay curves.
func stretch(line curve.Path, start, end orb.Point, bow float64) curve.Matrix {
	const shortMM = 1.0 // between the ends: no direction to stretch in
	a, b := line.Start(), line.End()
	from, to := plane.Add(a, start), plane.Add(b, end)
	was, is := plane.Distance(a, b), plane.Distance(from, to)
	if was < shortMM || is < shortMM || start == end && bow == 1 {
		return curve.Shift((start[0]+end[0])/2, (start[1]+end[1])/2)
	}
	u, v := plane.Scale(plane.Sub(b, a), 1/was), plane.Scale(plane.Sub(to, from), 1/is)
	long := is / was
	// Into the frame of the old chord, drawn out, and out of that of the new.
	in := curve.Matrix{u[0], -u[1], u[1], u[0], 0, 0}
	out := curve.Matrix{v[0], v[1], -v[1], v[0], from[0], from[1]}
	return curve.Shift(-a[0], -a[1]).Then(in).Then(curve.Matrix{long, 0, 0, bow, 0, 0}).Then(out)
}

// longer is a line that runs on straight at its ends by so much, or is cut
// shorter where that is less than nothing.
func longer(line curve.Path, start, end float64) curve.Path {
	line = line.Between(math.Max(0, -start), line.Length()-math.Max(0, -end))
	if start > 0 {
		q, d := line.At(0)
		line = slices.Concat(curve.Path{curve.Line(plane.Along(q, d, -start), q)}, line)
	}
	if end > 0 {
		q, d := line.At(line.Length())
		line = slices.Concat(line, curve.Path{curve.Line(q, plane.Along(q, d, end))})
	}
	return line
}
