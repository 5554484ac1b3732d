package search

import (
	"context"
	"fmt"
	"slices"

	"eke/piece"
	"eke/split"

	"golang.org/x/sync/errgroup"
)

// instance is one pattern to cut, as drawn or with seams moved.
type instance struct {
	table  *table
	moves  []split.Move
	pieces []*piece.Piece // every copy
	blanks []*blank       // whole, one a copy
	area   float64        // of all cutting lines
	fills  []float64      // of each bin, see evenFills

	twin      []int // for each copy an earlier one with the same cutting line, or -1
	mirror    []int // for each copy an earlier one that is nearly its mirror image, or -1
	minCuts   []int // fewest seams each copy needs on any bins at all
	wholeBins []int // how many bins each copy fits whole
	measured  bool
	unsound   bool      // a piece has no sound cutting line
	drawn     *instance // the same with no seam moved, if its copies are measured; else nil

	kinds []string // of cloth, that each copy is to come from; nil or empty for any
	// The group that each copy is in, which is cut from one kind of cloth; nil
	// where kinds do not matter.
	group []int
	bonds *lookBonds // between the looks of copies; nil where there are none

	nearMisses []nearMiss // of the last iteration

	carried *carriedParts         // what was cut before, and stands for copies; nil where nothing was
	matched *split.MatchedStripes // the cloth's own stripes that meet; nil where none are made to
}

// newInstanceOfKinds is an instance whose copies come from the kinds of cloth
// given, or from any where that is empty.
func newInstanceOfKinds(t *table, copies []*piece.Piece, moves []split.Move, kinds []string) *instance {
	in := &instance{table: t, moves: moves, pieces: copies, kinds: slices.Clone(kinds)}
	for i, p := range copies {
		if !in.add(in.blankOf(i, p, moves)) {
			return in
		}
	}
	in.fills = in.evenFills()
	return in
}

// blankOf is the i-th copy, with those seams moved, whole and ready to be cut; nil where it
// has no sound cutting line.
func (in *instance) blankOf(i int, p *piece.Piece, moves []split.Move) *blank {
	key := fmt.Sprintf("%s/%t", p.Name, p.Flipped)
	if p.Rest != "" {
		key += "/" + p.Rest
	}
	for _, m := range moves {
		if m.From.Piece == p.Name || m.To.Piece == p.Name {
			key += fmt.Sprintf("/%v>%v:%.2f%s", m.From, m.To, m.ByMM, m.Stays)
		}
	}
	if k := in.kindOf(i); k != "" {
		p, key = ofKind(p, k), key+"/"+k
	}
	return newBlank(p, p.Outline, key)
}

// withMove is the instance, which is measured, with a seam moved. Its copies are given.
func (in *instance) withMove(copies []*piece.Piece, m split.Move) *instance {
	out := newInstanceOfKinds(in.table, copies, []split.Move{m}, in.kinds)
	out.drawn = in
	out.bonds, out.group = bondsOf(out.blanks, in.table.options.Wishes, in.table.options.tidy), in.group
	return out
}

// add adds a blank to be cut; false for one that has no sound cutting line.
func (in *instance) add(b *blank) bool {
	if b == nil {
		in.unsound = true
		return false
	}
	l := twinOf(b, in.blanks)
	if l >= 0 && slices.Equal(b.cut, in.blanks[l].cut) {
		b.shape = in.blanks[l].shape // the same pointer, so that packing reuses its tables
	}
	in.twin = append(in.twin, l)
	in.mirror = append(in.mirror, mirrorOf(b, in.blanks))
	in.blanks = append(in.blanks, b)
	in.area += b.area
	return true
}

// plan is a plan with those trees of cuts, one for each blank.
func (in *instance) plan(trees []*split.Tree) *split.Plan {
	p := &split.Plan{Moves: in.moves, Pieces: in.pieces, Scraps: in.table.scraps, Blocks: in.table.options.blocks(), Matched: in.matched}
	if in.carried != nil {
		p.Trees, p.Carry = in.carried.joined(trees), in.carried.line
		return p
	}
	p.Trees = split.CloneTrees(trees)
	return p
}

// kindOf is the kind of cloth that the i-th copy is to come from, or empty.
func (in *instance) kindOf(i int) string {
	if in.kinds == nil {
		return ""
	}
	return in.kinds[i]
}

// measure finds, for every copy, how many bins hold it whole, and the fewest seams
// it needs when it may choose among all bins.
func (in *instance) measure(ctx context.Context) {
	if in.measured || in.unsound {
		return
	}
	in.minCuts, in.wholeBins = make([]int, len(in.blanks)), make([]int, len(in.blanks))
	g := new(errgroup.Group)
	g.SetLimit(in.table.options.Workers)
	for i, b := range in.blanks {
		if in.asDrawn(i) {
			in.wholeBins[i], in.minCuts[i] = in.drawn.wholeBins[i], in.drawn.minCuts[i]
			continue
		}
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
		if in.asDrawn(i) {
			continue
		}
		if in.table.options.blockOf(b.piece) != nil {
			in.wholeBins[i], in.minCuts[i] = 0, 1
			continue
		}
		if in.wholeBins[i] > 0 {
			continue
		}
		if in.drawn != nil && (in.drawn.minCuts[i] == 1 || in.moves[0].To.Piece == b.piece.Name) {
			in.minCuts[i] = max(1, in.drawn.minCuts[i]) // what takes a strip needs no fewer than before
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

// asDrawn reports whether the i-th copy is one that no moved seam touches, and is measured.
func (in *instance) asDrawn(i int) bool {
	return in.drawn != nil && in.drawn.blanks[i].key == in.blanks[i].key
}

// minSeams is a certain lower bound on the added seams.
func (in *instance) minSeams(ctx context.Context) int {
	in.measure(ctx)
	sum := 0
	for _, k := range in.minCuts {
		sum += k
	}
	return sum
}

// maxCuts is how many piecing seams one copy of a piece may take.
const maxCuts = 3

// oneAssignment reports whether no whole copy has a choice of bins. The copies must
// have been measured.
func (in *instance) oneAssignment() bool {
	for _, n := range in.wholeBins {
		if n > 1 {
			return false
		}
	}
	return true
}
