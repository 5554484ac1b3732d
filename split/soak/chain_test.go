package soak

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/plane"
	"eke/piece/race"
	"eke/split/plan"
	"eke/split/remnant"
	"eke/split/search"
	"eke/svg"
	"eke/svg/draw"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

var chains = flag.Int("chains", 3, "how many chains of three garments are cut, each from what the one before left")

// TestChains cuts three garments one after the other from one pile, each from
// the file of what the one before has left, and holds them against the pile as
// it was at first: every plan is proved, areas add up, and no part lies on cloth
// that is cut already.
//
//	go test ./split/soak -run Chains -chains 200 -from 1000
func TestChains(t *testing.T) {
	if race.On {
		t.Skip("its searches end by time, and the race detector leaves them none")
	}
	t.Parallel()
	garments, bits := 0, 0
	for k := range *chains {
		c := newChain(*from + uint64(k))
		if w := c.run(); w != nil {
			keep(t, w.Rule, w.Document)
			t.Errorf("seed %d: %s: %s", c.seed, w.Rule, w.Detail)
		}
		garments, bits = garments+c.cut, bits+c.bits
	}
	t.Logf("%d chains, %d garments cut, %d bits left after them", *chains, garments, bits)
	if garments == 0 { // on a busy machine it may be few, for searches end by time
		t.Errorf("no garment was cut in %d chains", *chains)
	}
}

// chain is garments cut from one pile.
type chain struct {
	seed     uint64
	settings []setting
	cut      int // garments
	bits     int // left after each

	pile  []piece.Scrap
	first map[string]*root // by the name of what is left of it
	roots []*root
}

// root is a scrap of the first pile, as it is once washed, and what is cut from
// it in its own coordinates.
type root struct {
	scrap *piece.Scrap
	parts []orb.Ring
	sure  float64 // area that is stuffing or part so far
	shift map[string]orb.Point
}

func newChain(seed uint64) *chain {
	c := &chain{seed: seed}
	for k := range uint64(3) {
		c.settings = append(c.settings, random(7_000_000+3*seed+k))
	}
	return c
}

func (c *chain) run() (bad *wrong) {
	defer func() {
		if r := recover(); r != nil {
			bad = &wrong{Rule: "panic", Detail: fmt.Sprintf("%v\n%s", r, debug.Stack())}
		}
	}()
	rng := rand.New(rand.NewPCG(c.seed, 0x636861696e))
	var garments [][]*piece.Piece
	for k, s := range c.settings {
		pieces, scraps, err := s.draw()
		if err != nil {
			return &wrong{Rule: "drawing", Detail: err.Error()}
		}
		garments = append(garments, pieces)
		for i := range scraps {
			one := scraps[i]
			one.Name = fmt.Sprintf("%s of %d", one.Name, k+1)
			one.Shrink = []float64{0, 0, 0, 3, 12.5}[rng.IntN(5)]
			one.Note = fmt.Sprint("shelf ", rng.IntN(9))
			c.pile = append(c.pile, one)
		}
	}
	c.first = map[string]*root{}
	for i := range c.pile {
		w := c.pile[i].Washed()
		r := &root{scrap: &w, shift: map[string]orb.Point{w.Name: {}}}
		c.first[w.Name] = r
		c.roots = append(c.roots, r)
	}
	for k, s := range c.settings {
		if len(garments[k]) == 0 {
			continue
		}
		if w := c.garment(s, garments[k]); w != nil {
			return w
		}
	}
	return nil
}

// garment plans one from the pile, and makes what it leaves the pile.
func (c *chain) garment(s setting, pieces []*piece.Piece) *wrong {
	var cloth []piece.Scrap
	for i := range c.pile {
		cloth = append(cloth, c.pile[i].Washed())
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Duration(s.Millis)*time.Millisecond)
	defer cancel()
	o := s.options()
	o.Keep = 1
	res, err := search.Run(ctx, pieces, cloth, o)
	if err != nil {
		return &wrong{Rule: "error", Detail: err.Error()}
	}
	if len(res.Plans) == 0 {
		return nil
	}
	c.cut++
	s.Keep = 1
	d := s.document(res, cloth)
	if w := s.prove(d, res); w != nil {
		return w
	}
	pile, err := remnant.After(d, 0)
	if err != nil {
		return &wrong{"left", err.Error(), d}
	}
	var b bytes.Buffer
	if err := draw.Of(d).Left(&b, 0); err != nil {
		return &wrong{"left drawn", err.Error(), d}
	}
	var read []piece.Scrap
	if len(pile.Bits) > 0 {
		if read, err = svg.ReadScraps(&b, "left.svg"); err != nil {
			return &wrong{"left read", err.Error(), d}
		}
	}
	if len(read) != len(pile.Bits) {
		return &wrong{"left read", fmt.Sprintf("%d bits, and %d are read", len(pile.Bits), len(read)), d}
	}
	c.bits += len(read)
	c.pile = read
	if rule, detail := c.account(d, pile, read); rule != "" {
		return &wrong{rule, detail, d}
	}
	return nil
}

// account holds a plan and what it left against the first pile.
func (c *chain) account(d *plan.Document, pile *remnant.Pile, read []piece.Scrap) (rule, detail string) {
	for i, s := range d.Scraps {
		r := c.first[s.Name]
		if r.scrap.Count > 1 {
			continue // which of several alike, names do not tell
		}
		shift := r.shift[s.Name]
		for _, p := range d.Options[0].Parts {
			if p.Scrap != s.Name || p.ScrapCopy != s.Copy {
				continue
			}
			m := p.Placement
			var ring orb.Ring
			for _, q := range p.CutLine {
				ring = append(ring, orb.Point{m[0]*q[0] + m[2]*q[1] + m[4] - shift[0], m[1]*q[0] + m[3]*q[1] + m[5] - shift[1]})
			}
			for _, was := range r.parts {
				if mm := overlap(was, ring); mm > 0.15 {
					return "cut twice", fmt.Sprintf("part %s lies %.2f mm over one that was cut from %s before", p.Name, mm, r.scrap.Name)
				}
			}
			r.parts = append(r.parts, ring)
			r.sure += plane.Area(ring)
		}
		r.sure += pile.Scraps[i].StuffingMM2
	}
	now := map[*root]float64{}
	next := map[string]*root{}
	for i, b := range pile.Bits {
		was := d.Scraps[b.Of].Name
		r := c.first[was]
		washed := read[i].Washed()
		next[read[i].Name] = r
		at := plane.Sub(washed.Outline[0], orb.Point(b.Outline[0]))
		r.shift[read[i].Name] = plane.Add(r.shift[was], at)
		now[r] += washed.AreaMM2()
		if washed.Shrink != r.scrap.Shrink || washed.Note != r.scrap.Note || washed.Nap != r.scrap.Nap || washed.BothFaces != r.scrap.BothFaces || washed.Fabric != r.scrap.Fabric || washed.Kind != r.scrap.Kind {
			return "fact", fmt.Sprintf("%s is no longer what %s was", read[i].Name, r.scrap.Name)
		}
		off := math.Remainder(washed.GrainDeg-r.scrap.GrainDeg, 360)
		if math.Abs(off) > 1e-3 {
			return "fact", fmt.Sprintf("the grain of %s is %.5f degrees off that of %s", read[i].Name, off, r.scrap.Name)
		}
		if !strings.HasPrefix(read[i].Name, r.scrap.Name) {
			return "name", fmt.Sprintf("%s is left of %s", read[i].Name, r.scrap.Name)
		}
	}
	for _, r := range c.roots {
		// A part may reach over the edge by the slack of the proof, and rounding
		// may add a thousandth of a millimetre all round.
		slack := 1.0
		for _, p := range r.parts {
			slack += 1e-3 * around(p)
		}
		if whole := r.scrap.AreaMM2(); r.scrap.Count <= 1 && math.Abs(whole-r.sure-now[r]) > slack {
			return "area", fmt.Sprintf("%s had %.2f mm², parts and stuffing are %.2f and bits %.2f", r.scrap.Name, whole, r.sure, now[r])
		}
	}
	c.first = next
	return "", ""
}

// overlap is how wide what two parts share is, about.
func overlap(a, b orb.Ring) float64 {
	if !a.Bound().Intersects(b.Bound()) {
		return 0
	}
	g, err := geom.Intersection(polygon(a), polygon(b))
	if err != nil || g.IsEmpty() || g.Area() == 0 {
		return 0
	}
	return 2 * g.Area() / math.Max(g.Length(), boundary(g))
}

func boundary(g geom.Geometry) float64 { return g.Boundary().Length() }

func polygon(r orb.Ring) geom.Geometry {
	var xy []float64
	for _, q := range plane.Close(r) {
		xy = append(xy, q[0], q[1])
	}
	return geom.NewSingleRingPolygonXY(xy...).AsGeometry()
}

func around(r orb.Ring) float64 {
	sum := 0.0
	for i, a := range r {
		sum += plane.Distance(a, r[(i+1)%len(r)])
	}
	return sum
}
