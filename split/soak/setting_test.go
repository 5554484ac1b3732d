package soak

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/split/search"
	"eke/split/search/puzzle"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// setting is what a run is made from. Each field's zero is its plainest
// value, and leaves what the others make as it is.
type setting struct {
	Seed    uint64
	Garment string // one of package puzzle, or a pattern of the samples
	Puzzle  puzzle.Rules

	Joins      bool
	Notches    int // on each piece at most
	Darts      int
	FishEyes   int
	Keeps      int
	Levels     int
	Allowances bool // each edge its own
	Turned     bool // pieces lie at any angle
	Fabrics    bool // scraps are navy or cream, and some pieces ask for one

	Rectangles int // scraps beside the puzzle's
	Ragged     bool
	Holes      int
	Nap        bool
	Faces      bool
	Counts     bool
	Rows       bool // a row of alike scraps for each piece, in place of the puzzle's

	Kinds        string // parted by commas
	Keep         int
	MaxSeams     int
	AllowanceMM  float64
	GapMM        float64
	ToleranceDeg float64
	Workers      int
	DartReachMM  float64
	Millis       int // how long to search
	ByHand       int // plans made by hand
}

// random draws a setting.
func random(seed uint64) setting {
	rng := rand.New(rand.NewPCG(seed, 0x736f616b))
	maybe := func(p float64) bool { return rng.Float64() < p }
	of := func(xs ...float64) float64 { return xs[rng.IntN(len(xs))] }
	s := setting{
		Seed: seed,
		Puzzle: puzzle.Rules{
			Seams: rng.IntN(4), SlackMM: of(5, 15, 40, 80, 120), Share: of(0, 0.3, 0.6), Decoys: rng.IntN(4),
			GapMM: of(0, 1, 3, 8), TurnDeg: of(0, 1, 2),
		},
		Joins: maybe(0.7), Turned: maybe(0.4), Allowances: maybe(0.4), Fabrics: maybe(0.2),
		Ragged: maybe(0.4), Nap: maybe(0.3), Faces: maybe(0.3), Counts: maybe(0.3),
		Keep: int(of(1, 2, 5, 10)), MaxSeams: rng.IntN(5), AllowanceMM: of(0, 5, 6.35, 10, 15, 25), ToleranceDeg: of(0, 0.5, 2, 5, 20),
		Workers: 1 + rng.IntN(2), Millis: int(of(300, 500, 800, 1500)),
		DartReachMM: of(0, 15, 15, 40), ByHand: 4,
	}
	// Room for allowances that are wider than the puzzle's.
	s.Puzzle.SlackMM += max(0, s.AllowanceMM-10)
	if s.Allowances {
		s.Puzzle.SlackMM += 20
	}
	s.GapMM = s.Puzzle.GapMM
	s.MaxSeams += s.Puzzle.Seams
	switch rng.IntN(8) {
	case 0:
		s.Garment = []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"}[rng.IntN(3)]
	default:
		s.Garment = []string{"t-shirt", "vest", "raglan"}[rng.IntN(3)]
	}
	if maybe(0.5) {
		s.Notches = 1 + rng.IntN(6)
	}
	if maybe(0.4) {
		s.Darts = 1 + rng.IntN(3)
	}
	if maybe(0.3) {
		s.Keeps = 1 + rng.IntN(2)
	}
	if maybe(0.3) {
		s.Levels = 1 + rng.IntN(3)
	}
	if maybe(0.5) || strings.HasSuffix(s.Garment, ".svg") {
		s.Rectangles = 1 + rng.IntN(8)
	}
	if maybe(0.3) {
		s.Holes = 1 + rng.IntN(3)
	}
	if maybe(0.3) {
		s.Kinds = []string{"yoke", "centre", "panel", "shoulder", "yoke,shoulder", "panel,yoke", "side,centre", "raglan,yoke"}[rng.IntN(8)]
	}
	s.Rows = maybe(0.25)
	if maybe(0.4) {
		s.FishEyes = 1 + rng.IntN(3)
	}
	return s
}

// stream is the chance that one part of a setting is drawn by, so that a
// simpler setting draws the rest alike.
func (s setting) stream(what string) *rand.Rand {
	h := uint64(14695981039346656037)
	for _, c := range []byte(what) {
		h = (h ^ uint64(c)) * 1099511628211
	}
	return rand.New(rand.NewPCG(s.Seed, h))
}

func (s setting) options() search.Options {
	o := search.Options{
		Keep: s.Keep, MaxSeams: s.MaxSeams, AllowanceMM: s.AllowanceMM, GapMM: s.GapMM,
		GrainToleranceDeg: s.ToleranceDeg, DartReachMM: s.DartReachMM, Seed: s.Seed, Workers: s.Workers,
	}
	if s.Kinds != "" {
		o.Kinds = strings.Split(s.Kinds, ",")
	}
	return o
}

// draw makes the pieces and the scraps.
func (s setting) draw() ([]*piece.Piece, []piece.Scrap, error) {
	var pieces []*piece.Piece
	var scraps []piece.Scrap
	if strings.HasSuffix(s.Garment, ".svg") {
		var err error
		if pieces, err = sample(s.Garment); err != nil {
			return nil, nil, err
		}
	} else {
		r := s.Puzzle
		r.Garment = s.Garment
		p, err := puzzle.New(s.Seed, r)
		if err != nil {
			return nil, nil, nil // no puzzle has this seed
		}
		pieces, scraps = p.Pieces, p.Scraps
	}
	for _, p := range pieces {
		s.dress(p)
	}
	if s.Joins {
		join(pieces)
	}
	if s.Turned {
		rng := s.stream("turned")
		for _, p := range pieces {
			turnPiece(p, 360*rng.Float64())
		}
	}
	if s.Fabrics {
		rng := s.stream("fabrics of pieces")
		for _, p := range pieces {
			p.Fabrics = [][]string{nil, nil, {"navy"}, {"cream"}, {"navy", "cream"}}[rng.IntN(5)]
		}
	}
	return pieces, s.pile(pieces, scraps), nil
}

func sample(name string) ([]*piece.Piece, error) {
	f, err := os.Open(filepath.Join("..", "..", "samples", name))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	pieces, err := svg.Pattern(f, name)
	if err != nil {
		return nil, err
	}
	for _, p := range pieces {
		p.Fabrics = nil
	}
	return pieces, nil
}

// dress adds marks to a piece, such as piece.Make would have let through.
func (s setting) dress(p *piece.Piece) {
	ring := p.Outline.Ring()
	within := func(q orb.Point) bool { return planar.RingContains(ring, q) }
	if s.Allowances {
		rng := s.stream("allowances " + p.Name)
		byName := map[string]float64{}
		for i := range p.Outline {
			e := &p.Outline[i]
			mm := []float64{0, 3, 6, 10, 10, 12.7, 15, 30}[rng.IntN(8)]
			if before, ok := byName[e.Name]; ok && e.Name != "" {
				mm = before // the two halves are alike
			}
			e.AllowanceMM, byName[e.Name] = mm, mm
		}
	}
	rng := s.stream("notches " + p.Name)
	for range s.Notches {
		e := &p.Outline[rng.IntN(len(p.Outline))]
		n := piece.Notch{AtMM: rng.Float64() * e.Line.Length(), Count: 1 + rng.IntN(3)}
		at, clear := 0, true
		for _, o := range e.Notches {
			clear = clear && math.Abs(o.AtMM-n.AtMM) > 12
			if o.AtMM < n.AtMM {
				at++
			}
		}
		if clear {
			e.Notches = append(e.Notches[:at:at], append([]piece.Notch{n}, e.Notches[at:]...)...)
		}
	}
	rng = s.stream("darts " + p.Name)
	for range s.Darts {
		e := p.Outline[rng.IntN(len(p.Outline))]
		width, depth := 8+20*rng.Float64(), 50+90*rng.Float64()
		mid := rng.Float64() * e.Line.Length()
		if mid < width || e.Line.Length()-mid < width {
			continue
		}
		a, _ := e.Line.At(mid - width/2)
		b, _ := e.Line.At(mid + width/2)
		at, dir := e.Line.At(mid)
		lean := (rng.Float64() - 0.5) * 20
		d := piece.Dart{Leg1: a, Apex: orb.Point{at[0] - dir[1]*depth + dir[0]*lean, at[1] + dir[0]*depth + dir[1]*lean}, Leg2: b}
		if within(d.Apex) && clearOf(d, p) {
			p.Darts = append(p.Darts, d)
		}
	}
	rng = s.stream("darts with two points " + p.Name)
	for range s.FishEyes {
		s.fishEye(rng, p)
	}
	box := ring.Bound()
	inside := func(rng *rand.Rand) orb.Point {
		for {
			q := orb.Point{box.Min[0] + rng.Float64()*(box.Max[0]-box.Min[0]), box.Min[1] + rng.Float64()*(box.Max[1]-box.Min[1])}
			if within(q) {
				return q
			}
		}
	}
	rng = s.stream("keeps " + p.Name)
	for range s.Keeps {
		q, w, h := inside(rng), 10+50*rng.Float64(), 10+50*rng.Float64()
		if rng.IntN(3) == 0 {
			p.Keeps = append(p.Keeps, piece.Keep{Line: curve.Polyline(q, orb.Point{q[0] + w, q[1] + h})})
			continue
		}
		p.Keeps = append(p.Keeps, piece.Keep{Closed: true, Line: curve.Polyline(q, orb.Point{q[0] + w, q[1]}, orb.Point{q[0] + w/2, q[1] + h}, q)})
	}
	rng = s.stream("levels " + p.Name)
	for range s.Levels {
		q := inside(rng)
		if rng.IntN(2) == 0 {
			p.Levels = append(p.Levels, curve.Polyline(orb.Point{box.Min[0], q[1]}, orb.Point{box.Max[0], q[1]}))
		} else {
			p.Levels = append(p.Levels, curve.Polyline(orb.Point{q[0], box.Min[1]}, orb.Point{q[0], box.Max[1]}))
		}
	}
}

// fishEye adds a dart with two points to a piece, more or less along its grain.
func (s setting) fishEye(rng *rand.Rand, p *piece.Piece) {
	box := p.Outline.Ring().Bound()
	at := orb.Point{box.Min[0] + rng.Float64()*(box.Max[0]-box.Min[0]), box.Min[1] + rng.Float64()*(box.Max[1]-box.Min[1])}
	up, down, wide, off := 40+100*rng.Float64(), 40+120*rng.Float64(), 3+12*rng.Float64(), []float64{0, 0, 0.3, 3}[rng.IntN(4)]
	f := piece.FishEye{
		Apex: [2]orb.Point{{at[0], at[1] - up}, {at[0], at[1] + down}},
		Wide: [2]orb.Point{{at[0] - wide, at[1]}, {at[0] + wide, at[1] + off*rng.Float64()}},
	}
	tilt := []float64{0, 0, 1, 5, 40}[rng.IntN(5)]
	f = f.Transform(curve.Turn(p.GrainDeg-90+tilt*(rng.Float64()-0.5), at))
	clear := f.Inside(p.Outline.Path())
	for _, d := range p.Darts {
		clear = clear && len(curve.Crossings(f.Line(), curve.Polyline(d.Leg1, d.Apex, d.Leg2))) == 0 && !planar.RingContains(f.Ring(), d.Apex) &&
			!planar.RingContains(orb.Ring{d.Leg1, d.Apex, d.Leg2, d.Leg1}, f.Apex[0])
	}
	for _, o := range p.FishEyes {
		clear = clear && len(curve.Crossings(f.Line(), o.Line())) == 0
	}
	if clear {
		p.FishEyes = append(p.FishEyes, f)
	}
}

// clearOf reports whether a dart's legs lie in the piece and cross no other's.
func clearOf(d piece.Dart, p *piece.Piece) bool {
	legs := curve.Polyline(d.Leg1, d.Apex, d.Leg2)
	path := p.Outline.Path()
	for _, leg := range legs {
		// Off the outline, where the leg starts.
		short := leg.Between(0.02, 1)
		if leg.P0 == d.Apex {
			short = leg.Between(0, 0.98)
		}
		if len(curve.Crossings(path, curve.Path{short})) > 0 {
			return false
		}
	}
	for _, o := range p.Darts {
		other := curve.Polyline(o.Leg1, o.Apex, o.Leg2)
		if len(curve.Crossings(legs, other)) > 0 {
			return false
		}
		if mouthHolds(path, d, o) || mouthHolds(path, o, d) {
			return false
		}
	}
	return true
}

// mouthHolds reports whether a leg of one dart ends in the mouth of another.
func mouthHolds(path curve.Path, mouth, o piece.Dart) bool {
	along := func(q orb.Point) float64 { mm, _ := path.Nearest(q); return mm }
	round, from := path.Length(), along(mouth.Leg1)
	wide := math.Mod(along(mouth.Leg2)-from+round, round)
	if wide > round/2 { // its legs are drawn in the other order
		from, wide = along(mouth.Leg2), round-wide
	}
	for _, leg := range []orb.Point{o.Leg1, o.Leg2} {
		if in := math.Mod(along(leg)-from+1+round, round); in < wide+2 {
			return true
		}
	}
	return false
}

// join sews edges of one name on different pieces together.
func join(pieces []*piece.Piece) {
	for i, p := range pieces {
		for _, q := range pieces[i+1:] {
			for k := range p.Outline {
				e := &p.Outline[k]
				if e.Name == "" || e.Name == "hem" || e.Name == "neck" || e.Name == "armhole" || len(q.Outline.Edge(e.Name)) == 0 || len(e.Joins) > 0 {
					continue
				}
				e.Joins = []piece.Ref{{Piece: q.Name, Edge: e.Name}}
				for _, m := range q.Outline.Edge(e.Name) {
					q.Outline[m].Joins = []piece.Ref{{Piece: p.Name, Edge: e.Name}}
				}
			}
		}
	}
}

func turnPiece(p *piece.Piece, deg float64) {
	m := curve.Turn(deg, orb.Point{})
	p.Outline = p.Outline.Transform(m)
	for i, d := range p.Darts {
		p.Darts[i] = piece.Dart{Leg1: m.Apply(d.Leg1), Apex: m.Apply(d.Apex), Leg2: m.Apply(d.Leg2)}
	}
	for i, f := range p.FishEyes {
		p.FishEyes[i] = f.Transform(m)
	}
	for i := range p.Levels {
		p.Levels[i] = p.Levels[i].Transform(m)
	}
	for i := range p.Keeps {
		p.Keeps[i].Line = p.Keeps[i].Line.Transform(m)
	}
	if p.Centre != nil {
		p.Centre = &piece.Axis{A: m.Apply(p.Centre.A), B: m.Apply(p.Centre.B)}
	}
	p.GrainDeg += deg
}

// pile is the puzzle's scraps and some more.
func (s setting) pile(pieces []*piece.Piece, scraps []piece.Scrap) []piece.Scrap {
	if s.Rows {
		scraps = s.rows(pieces)
	}
	rng := s.stream("rectangles")
	most := max(s.Rectangles, 0)
	if len(scraps) == 0 {
		// A sample's pieces come from these alone.
		for _, p := range pieces {
			most += rng.IntN(1 + p.Count)
		}
		most = max(most, 1)
	}
	for k := range most {
		p := pieces[rng.IntN(len(pieces))]
		w, h := extents(p)
		scraps = append(scraps, offcut(fmt.Sprintf("offcut %d", k+1), (w+30)*(0.5+rng.Float64()), (h+30)*(0.5+rng.Float64())))
	}
	each := func(what string, do func(*rand.Rand, *piece.Scrap)) {
		rng := s.stream(what)
		for i := range scraps {
			do(rng, &scraps[i])
		}
	}
	if s.Ragged {
		each("ragged", func(rng *rand.Rand, c *piece.Scrap) {
			if len(c.Outline) != 4 {
				return
			}
			var out orb.Ring
			deep := 0.1 * math.Min(c.Outline[2][0], c.Outline[2][1])
			for i, a := range c.Outline {
				b := c.Outline[(i+1)%4]
				out = append(out, a)
				for _, t := range []float64{0.25, 0.5, 0.75} {
					in := rng.Float64() * deep / math.Hypot(b[0]-a[0], b[1]-a[1])
					out = append(out, orb.Point{a[0] + t*(b[0]-a[0]) - in*(b[1]-a[1]), a[1] + t*(b[1]-a[1]) + in*(b[0]-a[0])})
				}
			}
			deg := 360 * rng.Float64()
			m := curve.Turn(deg, orb.Point{})
			for i := range out {
				out[i] = m.Apply(out[i])
			}
			c.Outline, c.GrainDeg = out, c.GrainDeg+deg
		})
	}
	if s.Holes > 0 {
		each("holes", func(rng *rand.Rand, c *piece.Scrap) {
			for range rng.IntN(s.Holes + 1) {
				hole(rng, c)
			}
		})
	}
	if s.Nap {
		each("nap", func(rng *rand.Rand, c *piece.Scrap) { c.Nap = rng.IntN(2) == 0 })
	}
	if s.Faces {
		each("faces", func(rng *rand.Rand, c *piece.Scrap) { c.BothFaces = rng.IntN(2) == 0 })
	}
	if s.Counts {
		each("counts", func(rng *rand.Rand, c *piece.Scrap) { c.Count = max(c.Count, 1+rng.IntN(3)) })
	}
	if s.Fabrics {
		each("fabrics", func(rng *rand.Rand, c *piece.Scrap) { c.Fabric = []string{"navy", "Cream", ""}[rng.IntN(3)] })
	}
	return scraps
}

// rows is a row of alike scraps for each piece: enough for all its copies, whole
// or in two or three parts as long or as wide.
func (s setting) rows(pieces []*piece.Piece) []piece.Scrap {
	rng := s.stream("rows")
	var out []piece.Scrap
	for _, p := range pieces {
		w, h := extents(p)
		parts := 1 + rng.IntN(3)
		if rng.IntN(2) == 0 {
			w /= float64(parts)
		} else {
			h /= float64(parts)
		}
		spare := 2*s.AllowanceMM + s.Puzzle.SlackMM
		c := offcut("of "+p.Name, w+spare, h+spare)
		c.Count = p.Count*parts + rng.IntN(2)
		out = append(out, c)
	}
	return out
}

// extents are a piece's across and along its grain.
func extents(p *piece.Piece) (w, h float64) {
	box := p.Outline.Transform(curve.Turn(90-p.GrainDeg, orb.Point{})).Ring().Bound()
	return box.Max[0] - box.Min[0], box.Max[1] - box.Min[1]
}

// offcut is a rectangle of cloth.
func offcut(name string, w, h float64) piece.Scrap {
	return piece.Scrap{Name: name, Outline: orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}}, GrainDeg: 90, Count: 1}
}

// hole cuts a triangle out of a scrap, clear of its rim and other holes.
func hole(rng *rand.Rand, c *piece.Scrap) {
	box := c.Outline.Bound()
	at := orb.Point{box.Min[0] + rng.Float64()*(box.Max[0]-box.Min[0]), box.Min[1] + rng.Float64()*(box.Max[1]-box.Min[1])}
	size := 10 + 40*rng.Float64()
	var out orb.Ring
	start := 2 * math.Pi * rng.Float64()
	for k := range 3 {
		sin, cos := math.Sincos(start + 2*math.Pi*float64(k)/3)
		out = append(out, orb.Point{at[0] + size*cos, at[1] + size*sin})
	}
	for _, r := range append([]orb.Ring{c.Outline}, c.Holes...) {
		for i := range r {
			if planar.DistanceFromSegment(r[i], r[(i+1)%len(r)], at) < size+2 {
				return
			}
		}
	}
	if !planar.RingContains(c.Outline, at) {
		return
	}
	for _, h := range c.Holes {
		if planar.RingContains(h, at) {
			return
		}
	}
	c.Holes = append(c.Holes, out)
}
