package photo

import (
	"cmp"
	"image"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// What a piece of cloth looks like is how much of each of its few colours it has. Pieces of one
// print that are as large as its repeat have nearly the same of each, however many those are.
const (
	tileMM      = 3.0
	tileClear   = 3    // points of the field from the patch's edge: those are a mixture with the ground
	mostColours = 6    // of a patch; prints have fewer
	oneColour   = 13.0 // CIELAB units within which colours are one: threads and folds differ by less
	fewOfColour = 4    // of the sample; what is more alone is noise
)

// amounts is how much there is of each colour of a patch.
type amounts [mostColours]float64

func (a *amounts) add(b amounts) {
	for i, v := range b {
		a[i] += v
	}
}

// apart is how far the looks of two pieces are apart, from 0 to 1: the distance of what parts of
// them the colours are (E. Hellinger, 1909).
func (a amounts) apart(b amounts) float64 {
	var allA, allB, same float64
	for i := range a {
		allA, allB, same = allA+a[i], allB+b[i], same+math.Sqrt(a[i]*b[i])
	}
	if allA == 0 || allB == 0 {
		return 0
	}
	return math.Sqrt(max(0, 1-same/math.Sqrt(allA*allB)))
}

// shared is what part of two looks is the same, from 0 to 1.
func (a amounts) shared(b amounts) (part float64) {
	var allA, allB float64
	for i := range a {
		allA, allB = allA+a[i], allB+b[i]
	}
	for i := range a {
		part += min(a[i]/max(1, allA), b[i]/max(1, allB))
	}
	return part
}

// tiling is a patch of cloth in square tiles.
type tiling struct {
	box   image.Rectangle // in the field
	side  int             // of a tile, in points of the field
	by    int             // points of the picture that those are
	w, h  int
	cloth []bool // tiles that are all cloth
	looks []amounts
}

func (t *tracer) tiling(r region, ids []int32) *tiling {
	f := t.f
	side := max(2, int(math.Round(tileMM/t.mmPerFieldPoint())))
	p := &tiling{box: r.box, side: side, by: f.by, w: r.box.Dx() / side, h: r.box.Dy() / side}
	p.cloth, p.looks = make([]bool, p.w*p.h), make([]amounts, p.w*p.h)
	inner := t.inner(r, ids, tileClear)
	count := make([]int, p.w*p.h)
	for _, k := range inner {
		if x, y := (k%f.w-r.box.Min.X)/side, (k/f.w-r.box.Min.Y)/side; x < p.w && y < p.h {
			count[y*p.w+x]++
		}
	}
	for i, n := range count {
		p.cloth[i] = n == side*side
	}
	mid := r.box.Min.Add(r.box.Max).Div(2)
	_, usual := t.ground.at(float64(mid.X), float64(mid.Y))
	look := func(k int) lab { // in the light of the patch's middle
		_, g := t.ground.at(float64(k%f.w), float64(k/f.w))
		times := float32(luminance(usual) / max(1e-3, luminance(g)))
		c := toLab([3]float32{f.light[k][0] * times, f.light[k][1] * times, f.light[k][2] * times})
		c[0] *= 0.7 // lightness counts for less
		return c
	}
	const most = 2000
	var sample []lab
	for _, k := range scattered(inner, most) {
		sample = append(sample, look(k))
	}
	if len(sample) == 0 {
		return p
	}
	colours := coloursOf(sample)
	rows(p.h, func(y int) {
		for x := range p.w {
			i := y*p.w + x
			for n := 0; p.cloth[i] && n < side*side; n += 2 { // every other point is enough
				k := (r.box.Min.Y+y*side+n/side)*f.w + r.box.Min.X + x*side + n%side
				p.looks[i][nearest(colours, look(k))]++
			}
		}
	})
	return p
}

// coloursOf is the colours of a sample: those that are farthest from each other, each then the mean
// of what is nearest to it (S. Lloyd, Least squares quantization in PCM, 1982).
func coloursOf(sample []lab) []lab {
	colours := []lab{meanColour(sample)}
	far := make([]float64, len(sample)) // from the nearest
	for i := range far {
		far[i] = math.Inf(1)
	}
	for len(colours) < mostColours {
		var order []int
		for i, c := range sample {
			if far[i] = min(far[i], c.apart(colours[len(colours)-1])); far[i] > oneColour {
				order = append(order, i)
			}
		}
		slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(far[b], far[a]), a-b) })
		next := slices.IndexFunc(order, func(i int) bool {
			n := 0
			for _, k := range order {
				if sample[k].apart(sample[i]) < oneColour/2 {
					n++
				}
			}
			return n > fewOfColour
		})
		if next < 0 {
			break
		}
		colours = append(colours, sample[order[next]])
	}
	for range 6 {
		of := make([][]lab, len(colours))
		for _, c := range sample {
			i := nearest(colours, c)
			of[i] = append(of[i], c)
		}
		for i, all := range of {
			if len(all) > 0 {
				colours[i] = meanColour(all)
			}
		}
	}
	return colours
}

func meanColour(all []lab) (m lab) {
	for _, c := range all {
		for ch, v := range c {
			m[ch] += v / float32(len(all))
		}
	}
	return m
}

// nearest is which of some colours is nearest to one.
func nearest(colours []lab, c lab) (best int) {
	least := math.Inf(1)
	for i, o := range colours {
		if d := c.apart(o); d < least {
			best, least = i, d
		}
	}
	return best
}

// middle is the middle of a tile, in the picture.
func (p *tiling) middle(i int) orb.Point {
	by, side := float64(p.by), float64(p.side)
	return orb.Point{by * (float64(p.box.Min.X) + (float64(i%p.w)+0.5)*side), by * (float64(p.box.Min.Y) + (float64(i/p.w)+0.5)*side)}
}

// within is the tiles of cloth whose middles are within a ring, in the picture.
func (p *tiling) within(ring []orb.Point) []bool {
	in := make([]bool, len(p.cloth))
	step := float64(p.by * p.side)
	crossings := make([][]float64, p.h) // of each row of middles
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if a[1] > b[1] {
			a, b = b, a
		}
		row := func(y float64) int { return int(math.Ceil((y-float64(p.by*p.box.Min.Y))/step - 0.5)) }
		for y := max(0, row(a[1])); y < min(p.h, row(b[1])); y++ {
			part := (p.middle(y * p.w)[1] - a[1]) / (b[1] - a[1])
			crossings[y] = append(crossings[y], a[0]+part*(b[0]-a[0]))
		}
	}
	for y, all := range crossings {
		slices.Sort(all)
		for n := 0; n+1 < len(all); n += 2 {
			from, to := (all[n]-p.middle(0)[0])/step, (all[n+1]-p.middle(0)[0])/step
			for x := max(0, int(math.Ceil(from))); x < p.w && float64(x) < to; x++ {
				in[y*p.w+x] = p.cloth[y*p.w+x]
			}
		}
	}
	return in
}

// Another cloth is told from the rest of a patch by that pieces of the rest, of the same shape,
// are all far more alike. Of staged scraps that lie alone, parts cut off between two turns of their outline are
// no more than 1.6 times as unlike.
const (
	partUnlike = 0.21 // of looks, at least
	partTimes  = 2.5  // as unlike as pieces of the rest are
	partUsual  = 0.07 // that those are, at least: they are few
	partTiles  = 8    // at least
	restPieces = 8    // at least
	mostPieces = 60
)

// sliver is whether a part of the patch or the rest of it has next to no tile: it lies along the
// outline, where light and blur make other colours of the cloth's.
func (p *tiling) sliver(in []bool) bool {
	part, rest := 0, 0
	for i, is := range p.cloth {
		switch {
		case !is:
		case in[i]:
			part++
		default:
			rest++
		}
	}
	return min(part, rest) < partTiles
}

// Parts of a print with few motifs look unlike by how many of those each happens to hold. Where they have much
// of their looks in common, that they are two cloths is sure only if the one is no small part, and
// the rest many times as large: scraps that lie alone were else told to be two. Staged pairs with
// as much in common have such a rest, or are seen to lie on each other (overlay).
const (
	mostShared = 0.2 // of looks
	manyTiles  = 50  // of the part
	manyTimes  = 4   // as large as the part the rest is
)

// sharing is whether a part of the patch may be of one print with the rest of it, however unlike they look.
func (p *tiling) sharing(in []bool) bool {
	var n [2]int
	var looks [2]amounts
	for i, is := range p.cloth {
		if !is {
			continue
		}
		k := 0
		if in[i] {
			k = 1
		}
		n[k]++
		looks[k].add(p.looks[i])
	}
	few, many := min(n[0], n[1]), max(n[0], n[1])
	return looks[0].shared(looks[1]) > mostShared && (few < manyTiles || many < manyTimes*few)
}

// unlike is how many times as unlike the rest of the patch a part of it is as pieces of the rest are; 0
// where that cannot be told.
func (p *tiling) unlike(in []bool) float64 {
	var part, rest []int
	var lookPart, lookRest amounts
	for i, is := range p.cloth {
		switch {
		case !is:
		case in[i]:
			part = append(part, i)
			lookPart.add(p.looks[i])
		default:
			rest = append(rest, i)
			lookRest.add(p.looks[i])
		}
	}
	isPart := true
	if len(part) > len(rest) {
		part, rest, lookPart, lookRest, isPart = rest, part, lookRest, lookPart, false
	}
	off := lookPart.apart(lookRest)
	if len(part) < partTiles || off < partUnlike {
		return 0
	}
	const tiles, tries, whole = 200, 300, 0.9
	some := scattered(part, tiles)
	usual, n := partUsual, 0
	for try, to := range scattered(rest, tries) {
		from := some[try%len(some)]
		dx, dy := to%p.w-from%p.w, to/p.w-from/p.w
		var look amounts
		hit := 0
		for _, k := range some {
			x, y := k%p.w+dx, k/p.w+dy
			if i := y*p.w + x; x >= 0 && y >= 0 && x < p.w && y < p.h && p.cloth[i] && in[i] != isPart {
				hit++
				look.add(p.looks[i])
			}
		}
		if float64(hit) < whole*float64(len(some)) {
			continue
		}
		usual = max(usual, look.apart(lookRest))
		if n++; n == mostPieces {
			break
		}
	}
	if n < restPieces {
		return 0
	}
	return off / usual
}
