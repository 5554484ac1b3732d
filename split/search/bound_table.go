package search

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"

	"eke/piece"
	"eke/split"
	"eke/split/fit"
)

// table answers, and remembers, what fits where. Its answers depend on the
// question alone, so any number of workers may ask in any order.
type table struct {
	scraps  []*piece.Scrap // every copy
	bins    []bin
	looks   []string // of all scraps
	options Options
	ways    []split.Way
	cloth   float64 // area of all scraps

	cuts         memo[cutQuestion, cutResult]
	fits         memo[fitQuestion, fitResult]
	brackets     memo[levelQuestion, bracket]
	packs        memo[packQuestion, packResult]
	states       memo[componentQuestion, *searchState]
	lowerPacks   memo[lowerPackQuestion, lowerPack]
	lowerRetries memo[lowerPackQuestion, bool] // from other starts

	work atomic.Int64 // done so far, in tries
}

// bin is a copy of a scrap, made ready for placing. All copies of one scrap have
// the same class. A class is compared as text where any order will do.
type bin struct {
	class  string
	look   int // among the looks of all scraps
	scrap  *piece.Scrap
	cloth  *fit.Cloth
	area   float64
	length float64 // extent along the grain
	width  float64 // extent across it
}

func newTable(scraps []piece.Scrap, o Options) *table {
	t := &table{options: o, ways: split.WaysOf(o.allows)}
	for i := range scraps {
		look := slices.Index(t.looks, strings.ToLower(scraps[i].TheLook()))
		if look < 0 {
			look, t.looks = len(t.looks), append(t.looks, strings.ToLower(scraps[i].TheLook()))
		}
		cloth := fit.NewCloth(scraps[i].Outline, scraps[i].Holes)
		lo, hi := split.FrameOf(scraps[i].GrainDeg).Box(scraps[i].Outline)
		for _, c := range scraps[i].Copies() {
			t.scraps = append(t.scraps, c)
			t.bins = append(t.bins, bin{
				class: fmt.Sprint(i), look: look, scrap: c, cloth: cloth, area: c.AreaMM2(),
				width: hi[0] - lo[0], length: hi[1] - lo[1],
			})
			t.cloth += c.AreaMM2()
		}
	}
	return t
}

// rotations lay a piece's grain along a scrap's, to within a tolerance: one way
// up, or both where the cloth has no nap. Where the piece's stripes have their
// place, there is no tolerance: turned by a degree they would be 9 mm off half a
// metre away.
func rotations(p *piece.Piece, s *piece.Scrap, toleranceDeg float64) []fit.Turn {
	deg := s.GrainDeg - p.GrainDeg
	if s.Striped() && p.Stripes != nil && !p.Stripes.Loose {
		out := []fit.Turn{{Deg: deg, Lines: stripeLines(p, s, false)}}
		if !s.Nap {
			out = append(out, fit.Turn{Deg: deg + 180, Lines: stripeLines(p, s, true)})
		}
		return out
	}
	return turnsAbout(deg, s, toleranceDeg)
}

// turnsAbout are a turn and the opposite one, or the first alone where the cloth has a nap.
func turnsAbout(deg float64, s *piece.Scrap, toleranceDeg float64) []fit.Turn {
	out := []fit.Turn{{Deg: deg, ToleranceDeg: toleranceDeg}}
	if !s.Nap {
		out = append(out, fit.Turn{Deg: deg + 180, ToleranceDeg: toleranceDeg})
	}
	return out
}

func (t *table) allowed(p *piece.Piece, s *piece.Scrap) bool { return t.forbids(p, s) == "" }

// forbids names the rule that keeps a piece off a scrap; empty where none does.
func (t *table) forbids(p *piece.Piece, s *piece.Scrap) string {
	for _, r := range t.options.Rules {
		if !r.MayCut(p, s) {
			return r.String()
		}
	}
	return ""
}

// fitsOn places one part alone on a bin, and remembers.
func (t *table) fitsOn(ctx context.Context, b *blank, s *bin) (fit.Placement, bool) {
	if t.ruledOut(b, s) {
		return fit.Placement{}, false
	}
	question := fitQuestion{b.key, s.class}
	r, ok := t.fits.get(question)
	if !ok {
		r.at, r.ok = t.place(ctx, b, s)
		if ctx.Err() != nil {
			return r.at, r.ok
		}
		if t.fits.set(question, r) {
			t.work.Add(placeWork)
		}
	}
	return r.at, r.ok
}

// place is fitsOn without remembering.
func (t *table) place(ctx context.Context, b *blank, s *bin) (fit.Placement, bool) {
	if t.ruledOut(b, s) {
		return fit.Placement{}, false
	}
	return fit.Place(ctx, s.cloth, b.shape, rotations(b.piece, s.scrap, t.options.GrainToleranceDeg))
}

// fitQuestion names a blank and a class of bins, fitResult where it lies there.
type fitQuestion struct{ part, class string }

type fitResult struct {
	at fit.Placement
	ok bool
}
