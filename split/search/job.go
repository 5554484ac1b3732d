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

// instance is one pattern to cut, as drawn or with seams moved.
type instance struct {
	table  *table
	moves  []split.Move
	pieces []*piece.Piece // every copy
	blanks []*blank       // whole, one a copy
	area   float64        // of all cutting lines
	fills  []float64      // of each scrap, see evenFills

	twin      []int // for each copy an earlier one with the same cutting line, or -1
	minCuts   []int // fewest seams each copy needs on any scraps at all
	wholeBins []int // how many scraps each copy fits whole
	measured  bool
	unsound   bool // a piece has no sound cutting line

	kinds []string // of cloth, that each copy is to come from; nil or empty for any
	// The group that each copy is in, which is cut from one kind of cloth; nil
	// where kinds do not matter.
	group []int
}

func newInstance(t *table, copies []*piece.Piece, moves []split.Move) *instance {
	return newInstanceOfKinds(t, copies, moves, nil)
}

// newInstanceOfKinds is a job whose copies are to come from the kinds of cloth given, or
// from any where that is empty.
func newInstanceOfKinds(t *table, copies []*piece.Piece, moves []split.Move, kinds []string) *instance {
	in := &instance{table: t, moves: moves, pieces: copies, kinds: slices.Clone(kinds)}
	for i, p := range copies {
		key := fmt.Sprintf("%s/%t", p.Name, p.Flipped)
		for _, m := range moves {
			if m.From.Piece == p.Name || m.To.Piece == p.Name {
				key += fmt.Sprintf("/%v>%v:%.2f%s", m.From, m.To, m.ByMM, m.Stays)
			}
		}
		if k := in.kindOf(i); k != "" {
			p, key = ofKind(p, k), key+"/"+k
		}
		b := newBlank(p, p.Outline, key)
		if b == nil {
			in.unsound = true
			return in
		}
		l := twinOf(b, in.blanks)
		if l >= 0 && slices.Equal(b.cut, in.blanks[l].cut) {
			b.shape = in.blanks[l].shape // which packing knows again
		}
		in.twin = append(in.twin, l)
		in.blanks = append(in.blanks, b)
		in.area += b.area
	}
	in.fills = in.evenFills()
	return in
}

// kindOf is the kind of cloth that the i-th copy is to come from, or empty.
func (in *instance) kindOf(i int) string {
	if in.kinds == nil {
		return ""
	}
	return in.kinds[i]
}

// twinOf is the place of the last blank that is cut along the same line: another
// copy of the piece, or its mirror image where the piece is symmetric.
func twinOf(b *blank, blanks []*blank) int {
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
func (in *instance) measure(ctx context.Context) {
	if in.measured || in.unsound {
		return
	}
	in.minCuts, in.wholeBins = make([]int, len(in.blanks)), make([]int, len(in.blanks))
	g := new(errgroup.Group)
	g.SetLimit(in.table.options.Workers)
	for i, b := range in.blanks {
		g.Go(func() error {
			for k := range in.table.bins {
				s := &in.table.bins[k]
				if _, ok := in.table.fitsOn(ctx, b, s); ok {
					in.wholeBins[i]++
				}
			}
			return nil
		})
	}
	_ = g.Wait()
	for i, b := range in.blanks {
		if in.wholeBins[i] > 0 {
			continue
		}
		g.Go(func() error {
			in.minCuts[i] = 2
			if in.table.oneCutSuffices(ctx, b) {
				in.minCuts[i] = 1
			}
			return nil
		})
	}
	_ = g.Wait()
	in.measured = ctx.Err() == nil
}

// oneCutSuffices reports whether a single seam could be enough: some scrap holds
// the core of a near part and some scrap that of the far part left over. Its
// no is proof.
func (t *table) oneCutSuffices(ctx context.Context, b *blank) bool {
	for _, w := range t.ways {
		spans := b.spansOf(w)
		most, least := math.Inf(-1), math.Inf(1)
		for k := range t.bins {
			s := &t.bins[k]
			if s.scrap.Copy > 1 || !t.allowed(b.piece, s.scrap) {
				continue
			}
			if ctx.Err() != nil {
				return true // not known
			}
			lower := func(near bool) bracket {
				fits := func(l float64) bool {
					return t.lowerBoundFits(ctx, b, b.cut, w, near, further(near, l, -b.allowanceOverlap(w, near, l)), s)
				}
				r := bracketOf(spans, near, fits)
				if r.ok {
					r = bisect(r, spans, near, fineLevelMM, fits)
				}
				return r
			}
			if r := lower(true); r.ok {
				most = math.Max(most, r.good)
			}
			if r := lower(false); r.ok {
				least = math.Min(least, r.good)
			}
		}
		if least <= most+2*fineLevelMM {
			return true
		}
	}
	return false
}

// minSeams is a lower bound on the added seams.
func (in *instance) minSeams(ctx context.Context) int {
	in.measure(ctx)
	sum := 0
	for _, k := range in.minCuts {
		sum += k
	}
	return sum
}

// compositions lists the ways to spread that many seams over the copies, none with
// fewer than it needs, the likeliest first. No copy gets more than each, but for
// one more than it needs. Like copies take theirs in order.
func (in *instance) compositions(seams, each, most int) [][]int {
	left := seams
	for _, k := range in.minCuts {
		left -= k
	}
	if left < 0 {
		return nil
	}
	var out [][]int
	cuts := append([]int(nil), in.minCuts...)
	var deal func(i, left int)
	deal = func(i, left int) {
		if len(out) >= most {
			return
		}
		if i == len(cuts) {
			if left == 0 {
				out = append(out, append([]int(nil), cuts...))
			}
			return
		}
		for extra := 0; extra <= left; extra++ {
			cuts[i] = in.minCuts[i] + extra
			if cuts[i] > min(maxCuts, max(each, in.minCuts[i]+1)) {
				break
			}
			if l := in.twin[i]; l >= 0 && extra > cuts[l]-in.minCuts[l] {
				break
			}
			deal(i+1, left-extra)
		}
		cuts[i] = in.minCuts[i]
	}
	deal(0, left)
	// A piece that many scraps hold whole is the last to be split.
	weight := func(cuts []int) (w int) {
		for i, k := range cuts {
			if k > in.minCuts[i] {
				w += (1 + in.wholeBins[i]) * (k - in.minCuts[i])
			}
		}
		return w
	}
	sort.SliceStable(out, func(a, b int) bool { return weight(out[a]) < weight(out[b]) })
	return out
}

// maxCuts is how many piecing seams one copy of a piece may take.
const maxCuts = 3

// oneAssignment reports whether no copy has a choice of scraps to lie on whole. The
// least seams must have been counted.
func (in *instance) oneAssignment() bool {
	for _, n := range in.wholeBins {
		if n > 1 {
			return false
		}
	}
	return true
}

// evenFills gives, for each scrap, how full it and all others would be if the
// pieces that may come from them were spread evenly, and no less than odd
// shapes fill that lie loosely.
func (in *instance) evenFills() []float64 {
	const loose = 0.74
	group := make([]int, len(in.table.bins)) // scraps that some piece may come from alike
	for s := range group {
		group[s] = s
	}
	home := make([]int, len(in.blanks)) // a scrap of each copy
	for i, b := range in.blanks {
		home[i] = -1
		for s := range in.table.bins {
			if !in.table.allowed(b.piece, in.table.bins[s].scrap) {
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
	for i, b := range in.blanks {
		if home[i] >= 0 {
			pieces[group[home[i]]] += b.area
		}
	}
	for s, g := range group {
		cloth[g] += in.table.bins[s].area
	}
	fills := make([]float64, len(group))
	for s, g := range group {
		fills[s] = math.Max(loose, pieces[g]/cloth[g])
	}
	return fills
}
