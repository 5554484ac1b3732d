// Package puzzle makes piecing puzzles with a known answer: it cuts the
// pieces of a garment by a hidden plan, and grows scraps round the parts. Who
// solves the puzzle with no more seams than were hidden in it has done well.
//
// It serves tests and benchmarks. Everything is drawn from a seed.
package puzzle

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Rules say what puzzle to make.
type Rules struct {
	Garment string  // "t-shirt", "vest" or "raglan"
	Seams   int     // hidden piecing seams, no more than two in one copy
	OneCopy bool    // all of them are in one copy
	SlackMM float64 // how far the scrap reaches beyond its parts
	Share   float64 // how likely a part shares a scrap with the one before
	Decoys  int     // scraps of no use
	GapMM   float64
	TurnDeg float64 // parts lie up to this far off the grain

	// Of a puzzle with a carried line.
	OneLook bool // all scraps are of one look, so that parts on either side of the line may share one
	Round   bool // the line runs as far below the underarm behind as in front, and slants on the sleeves between

	Sewn    bool    // pieces say to which they are sewn, so that seams may be moved
	MovedMM float64 // one seam is moved in the hidden plan, by no more than that; 0 for none

	RepeatMM float64 // of striped cloth, whose parts lie dead on the grain; 0 for plain
}

// Puzzle is a pattern and its scraps.
type Puzzle struct {
	Pieces []*piece.Piece
	Scraps []piece.Scrap
	Hidden []string // what was hidden, for the reader of a failing seed
	Seams  int
}

// New makes the puzzle of a seed.
func New(seed uint64, r Rules) (*Puzzle, error) {
	rng := rand.New(rand.NewPCG(seed, 0x656b65))
	pieces, err := Garment(r.Garment, 0.75+0.4*rng.Float64(), rng)
	if err != nil {
		return nil, err
	}
	p := &Puzzle{Pieces: pieces, Seams: r.Seams}
	var copies []*piece.Piece
	for _, q := range pieces {
		copies = append(copies, q.Copies()...)
	}
	if r.Sewn {
		Sew(r.Garment, copies)
		Sew(r.Garment, pieces)
		if r.MovedMM > 0 {
			if copies, p.Hidden, err = moveOne(copies, r.MovedMM, rng); err != nil {
				return nil, err
			}
		}
	}
	var parts []part
	cuts := r.cuts(copies, rng)
	for i, c := range copies {
		outlines, told, err := cutUp(c, cuts[i], rng)
		if err != nil {
			return nil, err
		}
		p.Hidden = append(p.Hidden, told...)
		for _, o := range outlines {
			cut, err := allowance.CutLine(o)
			if err != nil {
				return nil, err
			}
			parts = append(parts, part{cut: cut, grainDeg: c.GrainDeg})
		}
	}
	rng.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	for i := 0; i < len(parts); {
		n := 1
		if i+1 < len(parts) && rng.Float64() < r.Share {
			n = 2
		}
		s, err := grow(parts[i:i+n], r, rng)
		if err != nil {
			return nil, err
		}
		p.Scraps = append(p.Scraps, s)
		i += n
	}
	for range r.Decoys {
		p.Scraps = append(p.Scraps, decoy(rng))
	}
	p.shuffle(rng)
	return p, nil
}

// cuts is how often each copy is cut.
func (r *Rules) cuts(copies []*piece.Piece, rng *rand.Rand) []int {
	cuts := make([]int, len(copies))
	for n := 0; n < r.Seams; {
		k := rng.IntN(len(copies))
		switch {
		case copies[k].Name == "band":
		case r.OneCopy:
			cuts[k], n = r.Seams, r.Seams
		case cuts[k] < 2:
			cuts[k]++
			n++
		}
	}
	return cuts
}

// Sew tells each piece of a garment, or each copy of one, to which others it is sewn.
func Sew(garment string, pieces []*piece.Piece) {
	if garment == "vest" {
		garment = "t-shirt"
	}
	sewn := map[string][]piece.Ref{}
	for from, to := range joins[garment] {
		name, edge, _ := strings.Cut(from, "/")
		for _, t := range to {
			sewn[from] = append(sewn[from], t)
			back := t.Piece + "/" + t.Edge
			sewn[back] = append(sewn[back], piece.Ref{Piece: name, Edge: edge})
		}
	}
	for _, p := range pieces {
		for i, e := range p.Outline {
			p.Outline[i].Joins = sewn[p.Name+"/"+e.Name]
		}
	}
}

// moveOne moves one seam, by no more than that, of a garment that has one to be moved.
func moveOne(copies []*piece.Piece, mostMM float64, rng *rand.Rand) ([]*piece.Piece, []string, error) {
	moves := split.Moves(copies)
	if len(moves) == 0 {
		return copies, nil, nil
	}
	m := moves[rng.IntN(len(moves))]
	shapes := m.Shapes(copies)
	m = shapes[rng.IntN(len(shapes))]
	m.ByMM = split.LeastMoveMM + (mostMM-split.LeastMoveMM)*rng.Float64()
	for m.ByMM >= split.LeastMoveMM {
		if moved, err := m.Apply(copies); err == nil {
			return moved, []string{m.String()}, nil
		}
		m.ByMM *= 0.8
	}
	return nil, nil, fmt.Errorf("no seam can be moved so far")
}

// decoy is a scrap of no use.
func decoy(rng *rand.Rand) piece.Scrap {
	w, h := 60+120*rng.Float64(), 60+160*rng.Float64()
	return piece.Scrap{Outline: orb.Ring{{0, 0}, {w, 0}, {w * (0.6 + 0.4*rng.Float64()), h}, {0, h}}, GrainDeg: 90, Count: 1}
}

// shuffle puts the scraps in any order, and names them in it.
func (p *Puzzle) shuffle(rng *rand.Rand) {
	rng.Shuffle(len(p.Scraps), func(i, j int) { p.Scraps[i], p.Scraps[j] = p.Scraps[j], p.Scraps[i] })
	for i := range p.Scraps {
		p.Scraps[i].Name = fmt.Sprintf("scrap %d", i+1)
	}
}

type part struct {
	cut      orb.Ring
	grainDeg float64
	stripeMM float64 // how far down a stripe runs, on striped cloth
}

// cutUp cuts one copy n times, by yokes and centre seams.
func cutUp(c *piece.Piece, n int, rng *rand.Rand) (parts []piece.Outline, told []string, err error) {
	parts = []piece.Outline{c.Outline}
	for len(parts) < n+1 {
		k := rng.IntN(len(parts))
		b := split.NewBody(c, parts[k])
		var w split.Way = split.Yoke{}
		if rng.IntN(3) == 0 {
			w = split.Panel{}
		}
		spans := w.Spans(b)
		if len(spans) == 0 {
			return nil, nil, fmt.Errorf("no %s cuts %s", w.Kind(), c.ID())
		}
		s := spans[rng.IntN(len(spans))]
		for _, t := range spans {
			if t.Hi-t.Lo > s.Hi-s.Lo {
				s = t
			}
		}
		level := s.Lo + (0.2+0.6*rng.Float64())*(s.Hi-s.Lo)
		if _, panel := w.(split.Panel); panel {
			if centre := split.CentreOf(b); split.In(spans, centre) {
				level = centre
			}
		}
		near, far, _, err := split.Cut(parts[k], w.Line(b, level), split.Seam{Name: "A", AllowanceMM: 10})
		if err != nil {
			return nil, nil, err
		}
		parts = append(append(append([]piece.Outline{}, parts[:k]...), near, far), parts[k+1:]...)
		told = append(told, fmt.Sprintf("%s: %s at %.1f", c.ID(), w.Kind(), level))
	}
	return parts, told, nil
}

// grow lays parts side by side and grows a scrap round them.
func grow(parts []part, r Rules, rng *rand.Rand) (piece.Scrap, error) {
	var all geom.Geometry
	across := 0.0
	var firstTurn, firstDY float64
	for i, p := range parts {
		turn := 90 - p.grainDeg + (2*rng.Float64()-1)*r.TurnDeg
		if rng.IntN(2) == 0 {
			turn += 180
		}
		ring := turned(p.cut, turn)
		box := ring.Bound()
		dx, dy := across-box.Min[0], -box.Min[1]
		if i > 0 {
			dy += (2*rng.Float64() - 1) * 60
			dy += r.ontoStripe(p, parts[0], turn, firstTurn, dy, firstDY)
		} else {
			firstTurn, firstDY = turn, dy
		}
		for k := range ring {
			ring[k] = orb.Point{ring[k][0] + dx, ring[k][1] + dy}
		}
		if i > 0 {
			ring = slidUp(ring, all, r.GapMM+0.5)
			box = ring.Bound()
			across = box.Min[0]
		}
		across += box.Max[0] - box.Min[0] + r.GapMM + 1
		g, err := geom.Union(all, polygon(ring))
		if err != nil {
			return piece.Scrap{}, err
		}
		all = g
	}
	// Joined by cloth between them, then grown, then roughened outwards.
	if len(parts) > 1 {
		closed, err := geom.Buffer(all, 20)
		if err != nil {
			return piece.Scrap{}, err
		}
		if closed, err = geom.Buffer(closed, -20); err != nil {
			return piece.Scrap{}, err
		}
		if all, err = geom.Union(all, closed); err != nil {
			return piece.Scrap{}, err
		}
	}
	cloth, err := geom.Buffer(all, r.SlackMM, geom.BufferQuadSegments(2), geom.BufferJoinStyleMitre(1.5))
	if err != nil {
		return piece.Scrap{}, err
	}
	if cloth, err = cloth.Simplify(math.Min(1, r.SlackMM/4)); err != nil {
		return piece.Scrap{}, err
	}
	box := ringOf(cloth).Bound()
	for range 3 + rng.IntN(5) {
		ring := ringOf(cloth)
		at := ring[rng.IntN(len(ring))]
		size := 0.08 * (box.Max[0] - box.Min[0] + box.Max[1] - box.Min[1]) * (0.3 + rng.Float64())
		var bump orb.Ring
		start := rng.Float64() * 2 * math.Pi
		for k := range 5 {
			a := start + 2*math.Pi*float64(k)/5
			d := size * (0.4 + 0.6*rng.Float64())
			bump = append(bump, orb.Point{at[0] + d*math.Cos(a), at[1] + d*math.Sin(a)})
		}
		if cloth, err = geom.Union(cloth, polygon(bump)); err != nil {
			return piece.Scrap{}, err
		}
	}
	if holds, err := geom.Covers(polygon(ringOf(cloth)), all); err != nil || !holds {
		return piece.Scrap{}, fmt.Errorf("the scrap has lost a part (%v)", err)
	}
	// The whole scrap lies on the table at any angle.
	deg := 360 * rng.Float64()
	outline := turned(ringOf(cloth), deg)
	if plane.SignedArea(outline) < 0 {
		for i, j := 0, len(outline)-1; i < j; i, j = i+1, j-1 {
			outline[i], outline[j] = outline[j], outline[i]
		}
	}
	grainDeg := math.Mod(90+deg, 360)
	return piece.Scrap{Outline: outline, GrainDeg: grainDeg, Count: 1, Stripe: r.stripesOf(outline, grainDeg, parts[0].stripeAt(firstTurn)+firstDY)}, nil
}

// slidUp moves a ring to the left until it is near to what lies there.
func slidUp(r orb.Ring, others geom.Geometry, gapMM float64) orb.Ring {
	for range 40 {
		d, ok := geom.Distance(polygon(r), others)
		if !ok || d-gapMM < 0.2 {
			break
		}
		for k := range r {
			r[k][0] -= d - gapMM
		}
	}
	return r
}

func turned(r orb.Ring, deg float64) orb.Ring {
	m := curve.Turn(deg, orb.Point{})
	out := make(orb.Ring, len(r))
	for i, q := range r {
		out[i] = m.Apply(q)
	}
	return out
}

func polygon(r orb.Ring) geom.Geometry {
	var xy []float64
	for _, q := range plane.Close(r) {
		xy = append(xy, q[0], q[1])
	}
	return geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(xy, geom.DimXY))}).AsGeometry()
}

// ringOf is the outer ring of the largest polygon of a geometry.
func ringOf(g geom.Geometry) orb.Ring {
	var best geom.Polygon
	for _, d := range g.Dump() {
		if p, ok := d.AsPolygon(); ok && p.Area() > best.Area() {
			best = p
		}
	}
	seq := best.ExteriorRing().Coordinates()
	var out orb.Ring
	for i := range seq.Length() - 1 {
		xy := seq.GetXY(i)
		out = append(out, orb.Point{xy.X, xy.Y})
	}
	return out
}
