package puzzle

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"eke/allowance"
	"eke/piece"
	"eke/split"
)

// Stripes makes the puzzle of a seed in which a garment is in level stripes, navy
// and cream, a whole one at the hem of the front. Seams is how many of the stripes
// are pieced by an upright seam. It gives the depths too.
func Stripes(seed uint64, r Rules) (p *Puzzle, depthsMM []float64, err error) {
	rng := rand.New(rand.NewPCG(seed, 0x73747269706573))
	pieces, err := Garment(r.Garment, 0.7+0.4*rng.Float64(), rng)
	if err != nil {
		return nil, nil, err
	}
	for _, q := range pieces {
		for i, e := range q.Outline {
			q.Outline[i].Joins = joins[r.Garment][q.Name+"/"+e.Name]
		}
	}
	p = &Puzzle{Pieces: pieces}
	depthsMM = []float64{35 + 5*float64(rng.IntN(9)), 35 + 5*float64(rng.IntN(9))}
	seq := split.StripeSequence{Looks: []string{Above, Below}, DepthsMM: depthsMM}
	copies := split.Copies(pieces)
	striping, err := split.NewStriping(copies)
	if err != nil {
		return nil, nil, err
	}
	lines := striping.Lines(seq, striping.HemMM()-seq.Down(rng.IntN(2)))
	type row struct {
		of      *piece.Piece
		outline piece.Outline
		look    string
	}
	var rows []row
	for _, c := range lines.Copies {
		of := copies[c.Copy]
		var down []int
		for n := range c.Tops {
			down = append(down, n)
		}
		slices.SortFunc(down, func(a, b int) int { return b - a })
		most := func(b *split.Body) string { // the look of the stripe that is most of it
			best, look := 0.0, ""
			for _, n := range down {
				if share := math.Min(b.Hi[1], c.Tops[n]+seq.DepthMM(n)) - math.Max(b.Lo[1], c.Tops[n]); share > best {
					best, look = share, seq.Look(n)
				}
			}
			return look
		}
		var cut func(o piece.Outline, k int)
		cut = func(o piece.Outline, k int) {
			b := split.NewBody(of, o)
			for ; k < len(down); k++ {
				level := c.Tops[down[k]]
				if !split.Crosses(b, level) {
					continue
				}
				ways := lines.Ways(b, level)
				for _, w := range ways {
					near, far, _, err := split.Cut(b.Outline, w.Line(b, level), split.Seam{Name: "A", AllowanceMM: 10})
					if err != nil {
						continue
					}
					cut(near, k+1)
					b = split.NewBody(of, far)
				}
				if len(ways) > 0 {
					break
				}
			}
			rows = append(rows, row{of, b.Outline, most(b)})
		}
		cut(of.Outline, 0)
	}
	parts := map[string][]part{}
	pieced := rng.Perm(len(rows))
	for k, w := range rows {
		outlines := []piece.Outline{w.outline}
		b := split.NewBody(w.of, w.outline)
		spans := split.Panel{}.Spans(b)
		if pieced[k] < r.Seams && len(spans) == 1 && b.Hi[0]-b.Lo[0] > 150 {
			level := spans[0].Lo + (0.25+0.5*rng.Float64())*(spans[0].Hi-spans[0].Lo)
			near, far, _, err := split.Cut(w.outline, split.Panel{}.Line(b, level), split.Seam{Name: "A", AllowanceMM: 10})
			if err != nil {
				return nil, nil, err
			}
			outlines = []piece.Outline{near, far}
			p.Hidden = append(p.Hidden, fmt.Sprintf("%s: a stripe at %.0f pieced at %.0f", w.of.ID(), b.Lo[1], level))
		}
		for _, o := range outlines {
			line, err := allowance.CutLine(o)
			if err != nil {
				return nil, nil, err
			}
			parts[w.look] = append(parts[w.look], part{cut: line, grainDeg: w.of.GrainDeg})
		}
	}
	for _, look := range []string{Above, Below} {
		had := len(p.Scraps)
		err := p.growAll(parts[look], look, r, rng)
		for try := 0; err != nil && try < 20; try++ { // low rows side by side may fall apart
			p.Scraps = p.Scraps[:had]
			err = p.growAll(parts[look], look, r, rng)
		}
		if err != nil {
			return nil, nil, err
		}
	}
	for k := range r.Decoys {
		s := decoy(rng)
		s.Fabric = []string{Above, Below}[k%2]
		p.Scraps = append(p.Scraps, s)
	}
	p.shuffle(rng)
	return p, depthsMM, nil
}
