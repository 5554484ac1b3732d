package photo

import (
	"math"
	"slices"
)

// A print may have the ground's colour, as it is lit or in some shade: the ground
// then floods its stripes and checks, and the cloth lies in pieces. But a print
// repeats. Its gaps are what a disc cannot enter from the open ground, and they lie
// again and again between pieces that hang together by them, and have one colour.
// The more that colour is the ground's, the more of them it takes.
const (
	oftenOther  = 2 // of a colour that the ground has in no shade
	oftenShaded = 3
	oftenLit    = 8
	otherTimes  = 1.5 // what two colours are told by, from the ground as it is lit
	leastGap    = 12  // points
	slender     = 2.0 // of a gap that but one piece is about: its area, over its width squared
	mostlyShut  = 0.65
	unlike      = 1.5 // times as wide
	narrowGapMM = 4.0 // scraps lie a finger apart
)

// gapMM is how wide gaps are at most, the narrow ones first.
var gapMM = [...]float64{2.5, 4, 6.5, 10, 16, 25}

// mostLitMM is the widest that may have the ground's own colour.
const mostLitMM = 16

// gap is points that are not cloth and that a disc cannot enter.
type gap struct {
	points       []int
	pieces       []int32 // of cloth, that it lies between
	shut, open   int     // of its sides, at cloth and at what is not
	width        float64 // points
	narrow       bool    // what it lies between is hardly wider than a gap
	colour       lab
	lit, shaded  float64 // CIELAB units from the ground's, as it is lit and in the shade that suits it best
	within, root int     // gaps that hang together
}

// mostlyShut is whether a gap is shut in by cloth on most of its sides.
func (g *gap) mostlyShut() bool { return float64(g.shut) > mostlyShut*float64(g.shut+g.open) }

// isLit is whether it has the ground's own colour.
func (t *tracer) isLit(g *gap) bool { return g.lit < otherTimes*float64(t.ground.told()) }

// litPrint is whether gaps that have the ground's own colour were given to a patch
// of cloth.
func (t *tracer) litPrint(r region, ids []int32) bool {
	return t.completed(r, ids) || slices.ContainsFunc(t.repeated, func(g gap) bool { return t.isLit(&g) && ids[g.points[0]] == r.id })
}

// pieces is the cloth of the field in pieces, and how far a disc enters between
// them.
type pieces struct {
	ids     []int32
	off     []float64 // squares of how far each point is from cloth
	shut    []bool    // what is neither cloth nor entered
	narrow  []bool    // pieces that are hardly wider than the disc
	widthMM float64
}

// repeats gives the gaps of prints back to the cloth.
func (t *tracer) repeats() {
	f := t.f
	other := otherTimes * float64(t.ground.told())
	away := make([]bool, len(t.labels))
	rows(f.h, func(y int) {
		for k := y * f.w; k < (y+1)*f.w; k++ {
			if t.labels[k] == onGround {
				g, _ := t.ground.at(float64(k%f.w), float64(y))
				away[k] = toLab(f.mean(k)).apart(g) > other
			}
		}
	})
	var p *pieces
	for _, mm := range gapMM {
		reach := mm / 2 / t.mmPerFieldPoint()
		if reach < 1.2 {
			continue
		}
		if p == nil {
			p = t.pieces()
		}
		p.enter(t, mm, reach)
		mended := t.mend(p, p.gaps(t, away), false)
		if mm <= mostLitMM {
			mended = t.mend(p, p.gaps(t, nil), true) || mended
		}
		if mended {
			p = nil
		}
	}
}

func (t *tracer) pieces() *pieces {
	cloth := make([]bool, len(t.labels))
	for k, l := range t.labels {
		cloth[k] = l == onCloth
	}
	p := &pieces{off: squaresOff(cloth, t.f.w, t.f.h)}
	var count int32
	p.ids, count = components(cloth, t.f.w, t.f.h)
	p.narrow = make([]bool, count+1)
	return p
}

// enter finds what a disc of such a width cannot enter.
func (p *pieces) enter(t *tracer, mm, reach float64) {
	f := t.f
	p.widthMM = mm
	cloth, core := make([]bool, len(p.ids)), make([]bool, len(p.ids))
	for k, id := range p.ids {
		cloth[k], core[k] = id > 0, p.off[k] > reach*reach
	}
	for i := range p.narrow {
		p.narrow[i] = true
	}
	for k, is := range eroded(cloth, f.w, f.h, int(1.5*reach)) {
		if is {
			p.narrow[p.ids[k]] = false
		}
	}
	p.shut = make([]bool, len(cloth))
	for k, d := range squaresOff(core, f.w, f.h) {
		p.shut[k] = d > reach*reach && !cloth[k] && t.labels[k] != onSheet
	}
}

// gaps is those between pieces, of all points or of some.
func (p *pieces) gaps(t *tracer, of []bool) []gap {
	f := t.f
	is := make([]bool, len(p.shut))
	for k, shut := range p.shut {
		is[k] = shut && t.labels[k] != onCloth && (of == nil || of[k])
	}
	ids, count := components(is, f.w, f.h)
	all := make([]gap, count)
	for k, id := range ids {
		if id == 0 {
			continue
		}
		g := &all[id-1]
		g.points = append(g.points, k)
		g.width = max(g.width, 2*math.Sqrt(p.off[k]))
		x, y := k%f.w, k/f.w
		if x == 0 || y == 0 || x == f.w-1 || y == f.h-1 {
			g.open++
			continue
		}
		for _, q := range [4]int{k - 1, k + 1, k - f.w, k + f.w} {
			switch {
			case p.ids[q] > 0:
				g.shut++
				if !slices.Contains(g.pieces, p.ids[q]) {
					g.pieces = append(g.pieces, p.ids[q])
				}
			case !is[q]:
				g.open++
			}
		}
	}
	out := all[:0]
	for _, g := range all {
		if len(g.points) >= leastGap && len(g.pieces) > 0 {
			g.narrow = len(g.pieces) > 1
			for _, q := range g.pieces {
				g.narrow = g.narrow && p.narrow[q]
			}
			t.colourOf(&g, p.off)
			out = append(out, g)
		}
	}
	return out
}

// colourOf works out what a gap looks like, clear of the cloth about it.
func (t *tracer) colourOf(g *gap, off []float64) {
	f := t.f
	for _, clear := range [...]float64{9, 4, 2, 0} {
		var sum, ground [3]float32
		n := float32(0)
		for _, k := range g.points {
			if off[k] > clear {
				add(&sum, f.light[k])
				_, l := t.ground.at(float64(k%f.w), float64(k/f.w))
				add(&ground, l)
				n++
			}
		}
		if n < leastGap && clear > 0 {
			continue
		}
		for ch := range sum {
			sum[ch], ground[ch] = sum[ch]/n, ground[ch]/n
		}
		g.colour = toLab(sum)
		g.lit = g.colour.apart(toLab(ground))
		shade := min(max((sum[0]+2*sum[1]+sum[2])/max(ground[0]+2*ground[1]+ground[2], 1e-4), darkest), lightest)
		g.shaded = g.colour.apart(toLab([3]float32{ground[0] * shade, ground[1] * shade, ground[2] * shade}))
		return
	}
}

// hang finds which gaps hang together: those that have one colour and lie at one
// piece.
func hang(all []gap) {
	root := func(i int) int {
		for all[i].root != i {
			i = all[i].root
		}
		return i
	}
	at := map[int32][]int{}
	for i := range all {
		all[i].root = i
		for _, p := range all[i].pieces {
			for _, k := range at[p] {
				if all[k].colour.apart(all[i].colour) < likeUnits {
					all[root(i)].root = root(k)
				}
			}
			at[p] = append(at[p], i)
		}
	}
	for i := range all {
		all[i].within = root(i)
	}
}

// like is how many gaps that hang together with one are shut in by cloth too, and
// about as wide: moths eat holes of any size.
func like(all []gap, g *gap) (n int) {
	for i := range all {
		if o := &all[i]; o.within == g.within && o.open == 0 && max(o.width, g.width) < unlike*min(o.width, g.width) {
			n++
		}
	}
	return n
}

// mend gives gaps that come often enough to the cloth. It is whether there were any.
func (t *tracer) mend(p *pieces, all []gap, lit bool) (mended bool) {
	hang(all)
	type often struct{ other, shaded, lit int }
	count := make([]often, len(all))
	mayBeLit := func(g *gap) bool { return g.open == 0 || g.narrow || p.widthMM <= narrowGapMM && g.mostlyShut() }
	for i := range all {
		g := &all[i]
		c, n := &count[g.within], max(1, len(g.pieces)-1)
		if mayBeLit(g) {
			c.lit += n
		}
		if t.isLit(g) || !g.mostlyShut() || len(g.pieces) == 1 && g.open > 0 && float64(len(g.points)) < slender*g.width*g.width {
			continue
		}
		c.shaded += n
		if g.shaded > float64(t.ground.told()) {
			c.other += n
		}
	}
	known := map[int32][]gap{}
	for _, r := range t.repeated {
		known[p.ids[r.points[0]]] = append(known[p.ids[r.points[0]]], r)
	}
	for i := range all {
		g := &all[i]
		c := count[g.within]
		is := !t.isLit(g) && g.mostlyShut() && (c.shaded >= oftenShaded || c.other >= oftenOther)
		if lit {
			is = c.lit >= oftenLit && mayBeLit(g) && (g.open > 0 || g.narrow || like(all, g) >= oftenLit)
		}
		whole := true // all about it is of prints
		for _, q := range g.pieces {
			whole = whole && (known[q] != nil || p.narrow[q])
		}
		for _, q := range g.pieces {
			is = is || slices.ContainsFunc(known[q], func(r gap) bool {
				if t.isLit(g) && (!t.isLit(&r) || !whole || g.width > unlike*r.width || !g.mostlyShut()) {
					return false // the ground itself, or a hole, or its rim
				}
				return r.colour.apart(g.colour) < likeUnits && (whole || g.mostlyShut())
			})
		}
		if !is {
			continue
		}
		mended = true
		t.repeated = append(t.repeated, *g)
		for _, k := range g.points {
			t.labels[k] = onCloth
		}
	}
	return mended
}
