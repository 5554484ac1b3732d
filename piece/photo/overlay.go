package photo

import (
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A scrap that lies on another, within its outline or over it, is seen as a place of another look:
// squares of one cloth that are larger than its repeat look alike. So does not a very large print; it is
// said. Of staged scraps that lie alone, the two means of such squares are no more than 0.13 apart.
const (
	overlayMM    = 36.0 // the square's side: prints' repeats are smaller
	overlayApart = 0.35 // of looks: a quarter of the square is another cloth
	overlayClear = 0.95 // of the square that is cloth, at least
	fewSquares   = 20
	inOnePlace   = 0.7 // of the squares of the one look that hang together
	inTwoPlaces  = 0.9 // the same, where the other cloth lies right across it
	acrossApart  = 0.5 // of looks, there: wide stripes lie in few places, too
)

// overlay is the points, in the picture, of a patch of cloth that may be another scrap on it.
func (t *tracer) overlay(p *tiling) (where []orb.Point) {
	side := int(overlayMM / t.mmPerFieldPoint() / float64(p.side))
	at, looks := p.squares(side)
	if len(at) < fewSquares {
		return nil
	}
	minor, apart := twoLooks(looks)
	if apart < overlayApart {
		return nil
	}
	is, other := make([]bool, len(p.cloth)), make([]bool, len(p.cloth))
	for i, k := range at {
		is[k], other[k] = minor[i], !minor[i]
	}
	one, two := p.together(is)
	if whole, _ := p.together(other); one < inOnePlace {
		if whole < inOnePlace || two < inTwoPlaces || apart < acrossApart {
			return nil
		}
		is = other
	}
	for k, is := range is {
		if is {
			where = append(where, p.middle(k+side/2*p.w+side/2))
		}
	}
	return where
}

// onLineMM is how far from a line squares have so much of both its sides that they may count as either.
const onLineMM = overlayMM / 4

// borders is whether what overlay found lies on one side of a line, as a border does, and on neither
// side alone another cloth lies.
func (t *tracer) borders(line, where []orb.Point, p *tiling) bool {
	along := plane.Unit(plane.Sub(line[1], line[0]))
	off := func(q orb.Point) float64 { return plane.Cross(along, plane.Sub(q, line[0])) * t.out.MMPerPoint }
	left := slices.ContainsFunc(where, func(q orb.Point) bool { return off(q) < -onLineMM })
	right := slices.ContainsFunc(where, func(q orb.Point) bool { return off(q) > onLineMM })
	if left && right {
		return false
	}
	for _, way := range [...]float64{-1, 1} {
		side := *p
		side.cloth = slices.Clone(p.cloth)
		for i := range side.cloth {
			side.cloth[i] = side.cloth[i] && way*off(p.middle(i)) > 0
		}
		if t.overlay(&side) != nil {
			return false
		}
	}
	return true
}

// squares is the squares of so many tiles a side that are all cloth, by their first tile, and what
// they look like.
func (p *tiling) squares(side int) (at []int, looks []amounts) {
	type sum struct {
		look  amounts
		cloth int
	}
	across := p.w + 1
	sums := make([]sum, across*(p.h+1)) // of all tiles above and to the left
	for y := range p.h {
		for x := range p.w {
			s, left, above, both := &sums[(y+1)*across+x+1], &sums[(y+1)*across+x], &sums[y*across+x+1], &sums[y*across+x]
			s.cloth = left.cloth + above.cloth - both.cloth
			for c := range s.look {
				s.look[c] = left.look[c] + above.look[c] - both.look[c] + p.looks[y*p.w+x][c]
			}
			if p.cloth[y*p.w+x] {
				s.cloth++
			}
		}
	}
	for y := 0; y+side <= p.h; y++ {
		for x := 0; x+side <= p.w; x++ {
			a, b, c, d := &sums[(y+side)*across+x+side], &sums[(y+side)*across+x], &sums[y*across+x+side], &sums[y*across+x]
			if float64(a.cloth-b.cloth-c.cloth+d.cloth) < overlayClear*float64(side*side) {
				continue
			}
			var look amounts
			for i := range look {
				look[i] = a.look[i] - b.look[i] - c.look[i] + d.look[i]
			}
			at, looks = append(at, y*p.w+x), append(looks, look)
		}
	}
	return at, looks
}

// twoLooks parts looks into two by their means, and says which are of the fewer, and how far apart the
// means are.
func twoLooks(all []amounts) (minor []bool, apart float64) {
	const rounds = 8
	farthest := func(from amounts) (out amounts) {
		most := -1.0
		for _, l := range all {
			if d := l.apart(from); d > most {
				out, most = l, d
			}
		}
		return out
	}
	var means [2]amounts
	for _, l := range all {
		means[0].add(l)
	}
	means[0] = farthest(means[0])
	means[1] = farthest(means[0])
	minor = make([]bool, len(all))
	n := 0
	for range rounds {
		var sums [2]amounts
		n = 0
		for i, l := range all {
			if minor[i] = l.apart(means[1]) < l.apart(means[0]); minor[i] {
				sums[1].add(l)
				n++
			} else {
				sums[0].add(l)
			}
		}
		means = sums
	}
	if 2*n > len(all) {
		for i := range minor {
			minor[i] = !minor[i]
		}
	}
	return minor, means[0].apart(means[1])
}

// together is what part of some tiles hangs together in one place, and in two.
func (p *tiling) together(is []bool) (one, two float64) {
	places, count := components(is, p.w, p.h)
	size := make([]int, count+2)
	all := 0
	for _, id := range places {
		if id > 0 {
			size[id]++
			all++
		}
	}
	slices.Sort(size)
	n := len(size)
	return float64(size[n-1]) / float64(max(1, all)), float64(size[n-1]+size[n-2]) / float64(max(1, all))
}
