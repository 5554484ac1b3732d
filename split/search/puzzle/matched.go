package puzzle

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"eke/allowance"
	"eke/piece"

	"github.com/paulmach/orb"
)

// Matched makes the puzzle of a seed in which all cloth is striped across the
// grain, and the stripes meet at the lower ends of the side seams and half way up
// the front's armholes. It says how far down each piece a stripe runs; the same
// for all is to be added to it, less than a repeat, which is hidden.
func Matched(seed uint64, r Rules) (p *Puzzle, downMM map[string]float64, err error) {
	rng := rand.New(rand.NewPCG(seed, 0x6d61746368))
	pieces, err := Garment(r.Garment, 0.75+0.4*rng.Float64(), rng)
	if err != nil {
		return nil, nil, err
	}
	for _, q := range pieces {
		for i, e := range q.Outline {
			q.Outline[i].Joins = joins[r.Garment][q.Name+"/"+e.Name]
		}
	}
	of := func(name string) *piece.Piece {
		return pieces[slices.IndexFunc(pieces, func(p *piece.Piece) bool { return p.Name == name })]
	}
	front, back, sleeve := of("front"), of("back"), of("sleeve")
	outer, cap := "armhole", "cap-front"
	if r.Garment == "raglan" {
		outer, cap = "raglan", "raglan-front"
	}
	lowest := func(e piece.Edge) float64 { return max(e.Line.Start()[1], e.Line.End()[1]) }
	arm := outermost(front, outer, 1)
	mm := arm.Line.Length() / 2
	downMM = map[string]float64{
		"front":  0,
		"back":   lowest(named(back, "side")) - lowest(named(front, "side")),
		"sleeve": pointAt(mate(arm, mm, named(sleeve, cap)))[1] - pointAt(arm, mm)[1],
	}
	hidden := r.RepeatMM * rng.Float64()
	p = &Puzzle{Pieces: pieces, Seams: r.Seams, Hidden: []string{fmt.Sprintf("stripes at %.1f", hidden)}}
	var parts []part
	more := rng.Perm(4)
	k := 0
	for _, q := range pieces {
		for _, c := range q.Copies() {
			cuts := 0
			if more[k] < r.Seams {
				cuts = 1
			}
			k++
			outlines, told, err := cutUp(c, cuts, rng)
			if err != nil {
				return nil, nil, err
			}
			p.Hidden = append(p.Hidden, told...)
			for _, o := range outlines {
				cut, err := allowance.CutLine(o)
				if err != nil {
					return nil, nil, err
				}
				parts = append(parts, part{cut: cut, grainDeg: c.GrainDeg, stripeMM: hidden + downMM[q.Name]})
			}
		}
	}
	if err := p.growAll(parts, "striped", r, rng); err != nil {
		return nil, nil, err
	}
	for range r.Decoys {
		s := decoy(rng)
		s.Fabric, s.Stripe = "striped", piece.Stripe{RepeatMM: r.RepeatMM, FirstMM: r.RepeatMM * rng.Float64()}
		p.Scraps = append(p.Scraps, s)
	}
	p.shuffle(rng)
	return p, downMM, nil
}

// ontoStripe is how far down a part is moved for its stripes to run where those of
// the first one on a scrap do.
func (r Rules) ontoStripe(p, first part, turn, firstTurn, dy, firstDY float64) float64 {
	if r.RepeatMM == 0 {
		return 0
	}
	return math.Remainder(first.stripeAt(firstTurn)+firstDY-p.stripeAt(turn)-dy, r.RepeatMM)
}

// stripeAt is how far down a stripe of a part runs once the part is turned by
// nothing or by half a turn.
func (p part) stripeAt(turn float64) float64 {
	if math.Abs(math.Remainder(turn, 360)) > 90 {
		return -p.stripeMM
	}
	return p.stripeMM
}

// stripesOf are the stripes of a scrap that was turned on the table, one of which
// ran so far down before.
func (r Rules) stripesOf(outline orb.Ring, grainDeg, atMM float64) piece.Stripe {
	s := piece.Stripe{RepeatMM: r.RepeatMM}
	if r.RepeatMM == 0 {
		return s
	}
	sin, cos := math.Sincos(grainDeg * math.Pi / 180)
	if across := piece.AcrossStripes(grainDeg, false); across[0]*cos+across[1]*sin < 0 {
		atMM = -atMM
	}
	if s.FirstMM = math.Mod(atMM-s.Top(outline, grainDeg), r.RepeatMM); s.FirstMM < 0 {
		s.FirstMM += r.RepeatMM
	}
	return s
}
