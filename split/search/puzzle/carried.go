package puzzle

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/split"

	"github.com/paulmach/orb"
)

// The looks of a puzzle with a carried line: above it and below, and of the
// pieces that it does not cross.
const (
	Above     = "navy"
	Below     = "cream"
	Elsewhere = "rust"
)

// joins are how the pieces of a garment are sewn together.
var joins = map[string]map[string][]piece.Ref{
	"t-shirt": {
		"front/armhole": {{Piece: "sleeve", Edge: "cap-front"}}, "back/armhole": {{Piece: "sleeve", Edge: "cap-back"}},
		"front/side": {{Piece: "back", Edge: "side"}}, "front/shoulder": {{Piece: "back", Edge: "shoulder"}},
		"sleeve/underarm-front": {{Piece: "sleeve", Edge: "underarm-back"}},
	},
	"raglan": {
		"front/raglan": {{Piece: "sleeve", Edge: "raglan-front"}}, "back/raglan": {{Piece: "sleeve", Edge: "raglan-back"}},
		"front/side":            {{Piece: "back", Edge: "side"}},
		"sleeve/underarm-front": {{Piece: "sleeve", Edge: "underarm-back"}},
	},
}

// Carried makes the puzzle of a seed in which a cross seam of the front goes on
// through the joins that it meets: through the sleeves into the back, or below
// the underarm into the back. What lies above it is of one look, what lies below
// of another, and scraps are shared within a look.
func Carried(seed uint64, r Rules) (*Puzzle, error) {
	rng := rand.New(rand.NewPCG(seed, 0x6361727279))
	pieces, err := Garment(r.Garment, 0.75+0.4*rng.Float64(), rng)
	if err != nil {
		return nil, err
	}
	for _, p := range pieces {
		for i, e := range p.Outline {
			p.Outline[i].Joins = joins[r.Garment][p.Name+"/"+e.Name]
		}
	}
	p := &Puzzle{Pieces: pieces}
	for try := 0; ; try++ {
		parts, told, err := carriedParts(pieces, r, rng)
		if err != nil {
			if try == 50 {
				return nil, err
			}
			continue
		}
		p.Hidden, p.Seams = told, len(told)
		if r.OneLook {
			parts = map[string][]part{Above: append(append(parts[Above], parts[Below]...), parts[Elsewhere]...)}
		}
		for _, look := range []string{Above, Below, Elsewhere} {
			if err := p.growAll(parts[look], look, r, rng); err != nil {
				return nil, err
			}
		}
		break
	}
	for k := range r.Decoys {
		s := decoy(rng)
		if s.Fabric = Above; !r.OneLook {
			s.Fabric = []string{Above, Below, Elsewhere}[k%3]
		}
		p.Scraps = append(p.Scraps, s)
	}
	p.shuffle(rng)
	return p, nil
}

func (p *Puzzle) growAll(parts []part, look string, r Rules, rng *rand.Rand) error {
	rng.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	for i := 0; i < len(parts); {
		n := 1
		if i+1 < len(parts) && rng.Float64() < r.Share {
			n = 2
		}
		s, err := grow(parts[i:i+n], r, rng)
		if err != nil {
			return err
		}
		s.Fabric = look
		p.Scraps = append(p.Scraps, s)
		i += n
	}
	return nil
}

// carriedParts cuts the pieces by a line at a random level, by look.
func carriedParts(pieces []*piece.Piece, r Rules, rng *rand.Rand) (map[string][]part, []string, error) {
	of := func(name string) *piece.Piece {
		return pieces[slices.IndexFunc(pieces, func(p *piece.Piece) bool { return p.Name == name })]
	}
	front, back, sleeve := of("front"), of("back"), of("sleeve")
	outer, cap := "armhole", "cap"
	if r.Garment == "raglan" {
		outer, cap = "raglan", "raglan"
	}
	// The front's right edge on the page is sewn to the back's left one.
	arm := outermost(front, outer, 1)
	lines := map[string]split.Way{}
	levels := map[string]float64{}
	level := func(p *piece.Piece, at orb.Point) { lines[p.Name], levels[p.Name] = split.Yoke{}, at[1] }
	if rng.IntN(3) == 0 { // below the underarm
		side := outermost(front, "side", 1)
		mm := (0.1 + 0.7*rng.Float64()) * side.Line.Length()
		level(front, pointAt(side, mm))
		level(back, pointAt(mate(side, mm, outermost(back, "side", -1))))
	} else {
		mm := (0.3 + 0.55*rng.Float64()) * arm.Line.Length()
		start := pointAt(arm, mm)
		level(front, start)
		in := pointAt(mate(arm, mm, named(sleeve, cap+"-front")))
		own, behind := named(sleeve, cap+"-back"), outermost(back, outer, -1)
		if r.Round {
			level(back, orb.Point{0, start[1] - arm.Line.End()[1] + behind.Line.Start()[1]})
			at := crossing(behind, levels["back"])
			if len(at) != 1 {
				return nil, nil, fmt.Errorf("the line does not cross the back's armhole once")
			}
			lines["sleeve"] = split.CarriedStraight(in, pointAt(mate(behind, at[0].OnP, own)))
		} else {
			level(sleeve, in)
			at := crossing(own, in[1])
			if len(at) != 1 {
				return nil, nil, fmt.Errorf("the line does not cross the sleeve once at its back")
			}
			level(back, pointAt(mate(own, at[0].OnP, behind)))
		}
	}
	out := map[string][]part{}
	var told []string
	more := rng.Perm(2 * len(pieces)) // which parts are cut once more
	for _, p := range pieces {
		for _, c := range p.Copies() {
			way, cuts := lines[p.Name]
			outlines := map[string]piece.Outline{Elsewhere: c.Outline}
			if cuts {
				b := split.NewBody(c, c.Outline)
				if w, slants := way.(split.Carried); slants && c.Flipped {
					mid := c.Outline.Ring().Bound().Center()[0]
					way = split.CarriedStraight(orb.Point{2*mid - w.To[0], w.To[1]}, orb.Point{2*mid - w.From[0], w.From[1]})
				}
				if !split.In(way.Spans(b), levels[p.Name]) {
					return nil, nil, fmt.Errorf("no line cuts %s at %.1f", c.ID(), levels[p.Name])
				}
				near, far, _, err := split.Cut(c.Outline, way.Line(b, levels[p.Name]), split.Seam{Name: "A", AllowanceMM: 10})
				if err != nil {
					return nil, nil, err
				}
				outlines = map[string]piece.Outline{Above: near, Below: far}
				told = append(told, fmt.Sprintf("%s at %.1f", c.ID(), levels[p.Name]))
			}
			for _, look := range []string{Above, Below, Elsewhere} {
				o, has := outlines[look]
				if !has {
					continue
				}
				bits := []piece.Outline{o}
				if k := len(out[Above]) + len(out[Below]) + len(out[Elsewhere]); k < len(more) && more[k] < r.Seams {
					of := *c
					of.Outline = o
					var how []string
					var err error
					if bits, how, err = cutUp(&of, 1, rng); err != nil {
						return nil, nil, err
					}
					told = append(told, how...)
				}
				for _, o := range bits {
					cut, err := allowance.CutLine(o)
					if err != nil {
						return nil, nil, err
					}
					out[look] = append(out[look], part{cut: cut, grainDeg: c.GrainDeg})
				}
			}
		}
	}
	return out, told, nil
}

// named is the edge of that name.
func named(p *piece.Piece, name string) piece.Edge { return p.Outline[p.Outline.Edge(name)[0]] }

// outermost is the edge of that name furthest to the right of a piece that has
// two, or with side -1 to the left.
func outermost(p *piece.Piece, name string, side float64) piece.Edge {
	best := named(p, name)
	for _, i := range p.Outline.Edge(name) {
		if e := p.Outline[i]; side*e.Line.Bound().Center()[0] > side*best.Line.Bound().Center()[0] {
			best = e
		}
	}
	return best
}

// mate is where on another edge the point is sewn.
func mate(e piece.Edge, mm float64, f piece.Edge) (piece.Edge, float64) {
	return f, (1 - mm/e.Line.Length()) * f.Line.Length()
}

func pointAt(e piece.Edge, mm float64) orb.Point {
	at, _ := e.Line.At(mm)
	return at
}

// crossing is where a level crosses an edge.
func crossing(e piece.Edge, level float64) []curve.Crossing {
	return curve.Crossings(e.Line, curve.Polyline(orb.Point{-2000, level}, orb.Point{2000, level}))
}
