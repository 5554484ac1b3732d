package search

import (
	"context"
	"fmt"
	"math"
	"sort"

	"eke/piece"
	"eke/split"

	"golang.org/x/sync/errgroup"
)

// job is one pattern to cut, as drawn or with seams moved.
type job struct {
	table  *table
	moves  []split.Move
	pieces []*piece.Piece // every copy
	blanks []*blank       // whole, one a copy
	area   float64        // of all cutting lines

	least    []int // fewest seams each copy needs on any scraps at all
	homes    []int // how many scraps each copy fits whole
	measured bool
	unsound  bool // a piece has no sound cutting line
}

func newJob(t *table, copies []*piece.Piece, moves []split.Move) *job {
	j := &job{table: t, moves: moves, pieces: copies}
	for _, p := range copies {
		key := fmt.Sprintf("%s/%t", p.Name, p.Flipped)
		for _, m := range moves {
			if m.From.Piece == p.Name || m.To.Piece == p.Name {
				key += fmt.Sprintf("/%v>%v:%.2f%s", m.From, m.To, m.ByMM, m.Stays)
			}
		}
		b := newBlank(p, p.Outline, key)
		if b == nil {
			j.unsound = true
			return j
		}
		j.blanks = append(j.blanks, b)
		j.area += b.area
	}
	return j
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
				fits := func(l float64) bool { return t.coreFits(ctx, b, b.cut, w, near, l, s) }
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
// fewer than it needs, the likeliest first. Like copies take theirs in order.
func (j *job) shares(seams, most int) [][]int {
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
			if ks[i] > mostCuts {
				break
			}
			if i > 0 && j.blanks[i].key == j.blanks[i-1].key && ks[i] > ks[i-1] {
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
