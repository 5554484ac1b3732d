package search

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"eke/piece"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"golang.org/x/sync/errgroup"
)

// job is one pattern to cut, as drawn or with seams moved.
type job struct {
	table  *table
	moves  []split.Move
	pieces []*piece.Piece // every copy
	blanks []*blank       // whole, one a copy
	area   float64        // of all cutting lines
	fills  []float64      // of each scrap, see evenFills

	like     []int // for each copy an earlier one with the same cutting line, or -1
	least    []int // fewest seams each copy needs on any scraps at all
	homes    []int // how many scraps each copy fits whole
	measured bool
	unsound  bool // a piece has no sound cutting line

	kinds []string // of cloth, that each copy is to come from; nil or empty for any
	// The group that each copy is in, which is cut from one kind of cloth; nil
	// where kinds do not matter.
	group []int
}

func newJob(t *table, copies []*piece.Piece, moves []split.Move) *job {
	return newJobOf(t, copies, moves, nil)
}

// newJobOf is a job whose copies are to come from the kinds of cloth given, or
// from any where that is empty.
func newJobOf(t *table, copies []*piece.Piece, moves []split.Move, kinds []string) *job {
	j := &job{table: t, moves: moves, pieces: copies, kinds: slices.Clone(kinds)}
	for i, p := range copies {
		key := fmt.Sprintf("%s/%t", p.Name, p.Flipped)
		for _, m := range moves {
			if m.From.Piece == p.Name || m.To.Piece == p.Name {
				key += fmt.Sprintf("/%v>%v:%.2f%s", m.From, m.To, m.ByMM, m.Stays)
			}
		}
		if k := j.kindOf(i); k != "" {
			p, key = ofKind(p, k), key+"/"+k
		}
		b := newBlank(p, p.Outline, key)
		if b == nil {
			j.unsound = true
			return j
		}
		l := likeOf(b, j.blanks)
		if l >= 0 && slices.Equal(b.cut, j.blanks[l].cut) {
			b.shape = j.blanks[l].shape // which packing knows again
		}
		j.like = append(j.like, l)
		j.blanks = append(j.blanks, b)
		j.area += b.area
	}
	j.fills = j.evenFills()
	return j
}

// kindOf is the kind of cloth that the i-th copy is to come from, or empty.
func (j *job) kindOf(i int) string {
	if j.kinds == nil {
		return ""
	}
	return j.kinds[i]
}

// likeOf is the place of the last blank that is cut along the same line: another
// copy of the piece, or its mirror image where the piece is symmetric.
func likeOf(b *blank, blanks []*blank) int {
	for i := len(blanks) - 1; i >= 0; i-- {
		if blanks[i].piece.Name == b.piece.Name && blanks[i].sameLine(b) {
			return i
		}
	}
	return -1
}

// sameLine reports whether two blanks have the same cutting line along the same
// grain, wherever they lie, to within the chords of its curves.
func (b *blank) sameLine(o *blank) bool {
	const toleranceMM = 0.1
	if math.Abs(b.length-o.length) > toleranceMM || math.Abs(b.width-o.width) > toleranceMM {
		return false
	}
	return b.within(o, toleranceMM) && o.within(b, toleranceMM)
}

// within reports whether no corner of a blank's cutting line lies further than
// that from another's.
func (b *blank) within(o *blank, mm float64) bool {
	from, _ := b.Frame.Box(b.cut)
	to, _ := o.Frame.Box(o.cut)
	line := orb.LineString(append(append(orb.Ring{}, o.cut...), o.cut[0]))
	for _, p := range b.cut {
		x, y := b.Frame.Place(p)
		if planar.DistanceFrom(line, o.Frame.At(x-from[0]+to[0], y-from[1]+to[1])) > mm {
			return false
		}
	}
	return true
}

// measure finds, for every copy, how many scraps hold it whole and the fewest
// seams it needs when it may choose among all scraps.
func (j *job) measure(ctx context.Context) {
	if j.measured || j.unsound {
		return
	}
	j.least, j.homes = make([]int, len(j.blanks)), make([]int, len(j.blanks))
	g := new(errgroup.Group)
	g.SetLimit(j.table.options.Workers)
	for i, b := range j.blanks {
		g.Go(func() error {
			for k := range j.table.sites {
				s := &j.table.sites[k]
				if _, ok := j.table.fitsOn(ctx, b, s); ok {
					j.homes[i]++
				}
			}
			return nil
		})
	}
	_ = g.Wait()
	for i, b := range j.blanks {
		if j.homes[i] > 0 {
			continue
		}
		g.Go(func() error {
			j.least[i] = 2
			if j.table.oneCutDoes(ctx, b) {
				j.least[i] = 1
			}
			return nil
		})
	}
	_ = g.Wait()
	j.measured = ctx.Err() == nil
}

// oneCutDoes reports whether a single seam could be enough: some scrap holds
// the core of a near part and some scrap that of the far part left over. Its
// no is proof.
func (t *table) oneCutDoes(ctx context.Context, b *blank) bool {
	for _, w := range t.ways {
		spans := b.spansOf(w)
		most, least := math.Inf(-1), math.Inf(1)
		for k := range t.sites {
			s := &t.sites[k]
			if s.scrap.Copy > 1 || !t.allowed(b.piece, s.scrap) {
				continue
			}
			if ctx.Err() != nil {
				return true // not known
			}
			core := func(near bool) bracket {
				fits := func(l float64) bool {
					return t.coreFits(ctx, b, b.cut, w, near, beyond(near, l, -b.poke(w, near, l)), s)
				}
				r := bracketOf(spans, near, fits)
				if r.ok {
					r = bisect(r, spans, near, levelMM, fits)
				}
				return r
			}
			if r := core(true); r.ok {
				most = math.Max(most, r.good)
			}
			if r := core(false); r.ok {
				least = math.Min(least, r.good)
			}
		}
		if least <= most+2*levelMM {
			return true
		}
	}
	return false
}

// leastSeams is a lower bound on the added seams.
func (j *job) leastSeams(ctx context.Context) int {
	j.measure(ctx)
	sum := 0
	for _, k := range j.least {
		sum += k
	}
	return sum
}

// shares lists the ways to spread that many seams over the copies, none with
// fewer than it needs, the likeliest first. No copy gets more than each, but for
// one more than it needs. Like copies take theirs in order.
func (j *job) shares(seams, each, most int) [][]int {
	left := seams
	for _, k := range j.least {
		left -= k
	}
	if left < 0 {
		return nil
	}
	var out [][]int
	ks := append([]int(nil), j.least...)
	var deal func(i, left int)
	deal = func(i, left int) {
		if len(out) >= most {
			return
		}
		if i == len(ks) {
			if left == 0 {
				out = append(out, append([]int(nil), ks...))
			}
			return
		}
		for extra := 0; extra <= left; extra++ {
			ks[i] = j.least[i] + extra
			if ks[i] > min(mostCuts, max(each, j.least[i]+1)) {
				break
			}
			if l := j.like[i]; l >= 0 && extra > ks[l]-j.least[l] {
				break
			}
			deal(i+1, left-extra)
		}
		ks[i] = j.least[i]
	}
	deal(0, left)
	// A piece that many scraps hold whole is the last to be split.
	weight := func(ks []int) (w int) {
		for i, k := range ks {
			if k > j.least[i] {
				w += (1 + j.homes[i]) * (k - j.least[i])
			}
		}
		return w
	}
	sort.SliceStable(out, func(a, b int) bool { return weight(out[a]) < weight(out[b]) })
	return out
}

// mostCuts is how many piecing seams one copy of a piece may take.
const mostCuts = 3

// oneDeal reports whether no copy has a choice of scraps to lie on whole. The
// least seams must have been counted.
func (j *job) oneDeal() bool {
	for _, n := range j.homes {
		if n > 1 {
			return false
		}
	}
	return true
}

// evenFills gives, for each scrap, how full it and all others would be if the
// pieces that may come from them were spread evenly, and no less than odd
// shapes fill that lie loosely.
func (j *job) evenFills() []float64 {
	const loose = 0.74
	group := make([]int, len(j.table.sites)) // scraps that some piece may come from alike
	for s := range group {
		group[s] = s
	}
	home := make([]int, len(j.blanks)) // a scrap of each copy
	for i, b := range j.blanks {
		home[i] = -1
		for s := range j.table.sites {
			if !j.table.allowed(b.piece, j.table.sites[s].scrap) {
				continue
			}
			if home[i] < 0 {
				home[i] = s
				continue
			}
			from, to := group[s], group[home[i]]
			for k := range group {
				if group[k] == from {
					group[k] = to
				}
			}
		}
	}
	pieces, cloth := make([]float64, len(group)), make([]float64, len(group))
	for i, b := range j.blanks {
		if home[i] >= 0 {
			pieces[group[home[i]]] += b.area
		}
	}
	for s, g := range group {
		cloth[g] += j.table.sites[s].area
	}
	fills := make([]float64, len(group))
	for s, g := range group {
		fills[s] = math.Max(loose, pieces[g]/cloth[g])
	}
	return fills
}
