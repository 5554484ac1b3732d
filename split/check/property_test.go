package check

import (
	"math"
	"testing"

	"eke/piece/race"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// snug is garment with nothing to spare: each scrap that holds one part is
// that part's cutting line, and the sleeves are exactly the gap apart.
func snug(t testing.TB) *plan.Document {
	d := garment(t)
	o := &d.Options[0]
	for _, k := range []int{frontUpper, frontLower, facing} {
		p := &o.Parts[k]
		for i := range d.Scraps {
			if s := &d.Scraps[i]; s.Name == p.Scrap && s.Copy == p.ScrapCopy {
				s.Holes, s.Outline = nil, placedBy(p.Placement, p.CutLine)
			}
		}
	}
	a := placedBy(o.Parts[sleeve1].Placement, o.Parts[sleeve1].CutLine)
	b := placedBy(o.Parts[sleeve2].Placement, o.Parts[sleeve2].CutLine)
	d.GapMM = clearance(a, b, 1000)
	d.Scraps[2].Outline = []point{{-2000, -2000}, {2000, -2000}, {2000, 2000}, {-2000, 2000}}
	o.Parts[backLeft].Placement[4] = -1000 // well clear of the other
	return d
}

func placedBy(m [6]float64, ring []point) []point {
	out := make([]point, len(ring))
	for i, q := range ring {
		out[i] = point{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	}
	return out
}

// perturbation is a way for a plan to be wrong by some mm in some direction.
// Wrong is a size from which on it must be caught whatever the direction.
type perturbation struct {
	name  string
	wrong float64
	do    func(t *rapid.T, o *plan.Option, v point)
}

var perturbations = []perturbation{
	// The farthest point in the direction of the shift ends up the whole
	// shift off the cloth.
	{"a part on its scrap", SlackMM + hairMM, func(t *rapid.T, o *plan.Option, v point) {
		p := &o.Parts[rapid.SampledFrom([]int{frontUpper, frontLower, facing}).Draw(t, "part")]
		shift(p, v[0], v[1])
	}},
	// Their sides that face each other are upright: only the shift across
	// counts.
	{"two parts toward each other", SlackMM + hairMM, func(t *rapid.T, o *plan.Option, v point) {
		shift(&o.Parts[sleeve2], -math.Hypot(v[0], v[1]), 0)
	}},
	// Every outline here has sides both upright and level, one of which moves
	// by at least the shift over √2.
	{"a part in its piece", math.Sqrt2 * (SlackMM + 2*hairMM), func(t *rapid.T, o *plan.Option, v point) {
		p := &o.Parts[rapid.SampledFrom([]int{frontUpper, frontLower, backLeft, backRight, sleeve1, sleeve2, facing}).Draw(t, "part")]
		slide(p.SeamLine, v[0], v[1], everywhere)
	}},
	// The fixture's cutting lines reach a few hairs beyond their allowances.
	{"a cutting line about its part", math.Sqrt2 * (SlackMM + 5*hairMM), func(t *rapid.T, o *plan.Option, v point) {
		p := &o.Parts[rapid.SampledFrom([]int{frontUpper, frontLower, backLeft, backRight, sleeve1, sleeve2, facing}).Draw(t, "part")]
		slide(p.CutLine, v[0], v[1], everywhere)
		p.Scrap, p.ScrapCopy, p.Placement = "cream", 1, turned(180, 0, 0)
		p.Placement[4], p.Placement[5] = 1500, -1000
	}},
	{"a notch along its seam", markMM + hairMM, func(t *rapid.T, o *plan.Option, v point) {
		p := &o.Parts[rapid.SampledFrom([]int{frontUpper, frontLower}).Draw(t, "part")]
		for i := range p.Notches {
			if p.Notches[i].For == "A" {
				p.Notches[i].At[0] += math.Hypot(v[0], v[1])
				return
			}
		}
	}},
	{"a drawn notch", markMM + hairMM, func(t *rapid.T, o *plan.Option, v point) {
		n := &o.Parts[frontUpper].Notches[rapid.IntRange(0, 1).Draw(t, "notch")]
		n.At[0], n.At[1] = n.At[0]+v[0], n.At[1]+v[1]
	}},
	{"a piecing seam", markMM + hairMM, func(t *rapid.T, o *plan.Option, v point) {
		slide(o.PiecingSeams[0].Line, 0, math.Hypot(v[0], v[1]), everywhere)
	}},
}

func TestPerturbedPlans(t *testing.T) {
	race.SkipAlone(t)
	require.Empty(t, Document(snug(t)))
	for _, p := range perturbations {
		t.Run(p.name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				angle := rapid.Float64Range(0, 2*math.Pi).Draw(rt, "direction")
				small := rapid.Bool().Draw(rt, "small")
				mm := rapid.Float64Range(0, 0.01).Draw(rt, "by")
				if !small {
					mm = p.wrong + rapid.Float64Range(0, 5).Draw(rt, "more")
				}
				d := snug(t)
				if p.name == "a cutting line about its part" {
					d.Scraps[2].Nap, d.Scraps[2].GrainDeg = false, 90
					for i := range d.Pieces {
						d.Pieces[i].Fabric = ""
					}
				}
				p.do(rt, &d.Options[0], point{mm * math.Cos(angle), mm * math.Sin(angle)})
				got := Document(d)
				if small && len(got) > 0 {
					rt.Fatalf("off by %.4f mm and refused: %v", mm, got)
				}
				if !small && len(got) == 0 {
					rt.Fatalf("off by %.4f mm and proved", mm)
				}
			})
		})
	}
}

// The verdict is the same however the scrap lies on its page.
func TestTurnedScraps(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := garment(t)
		o := &d.Options[0]
		for i := range d.Scraps {
			s := &d.Scraps[i]
			deg := rapid.Float64Range(-720, 720).Draw(rt, "deg")
			m := turned(deg, rapid.Float64Range(-2000, 2000).Draw(rt, "dx"), rapid.Float64Range(-2000, 2000).Draw(rt, "dy"))
			s.Outline = placedBy(m, s.Outline)
			for k, h := range s.Holes {
				s.Holes[k] = placedBy(m, h)
			}
			s.GrainDeg += deg
			for k := range o.Parts {
				if p := &o.Parts[k]; p.Scrap == s.Name && p.ScrapCopy == s.Copy {
					p.Placement = after(p.Placement, m)
				}
			}
		}
		if got := Document(d); len(got) > 0 {
			rt.Fatalf("%v", got)
		}
	})
}

// after is the matrix that applies a first and b after it.
func after(a, b [6]float64) [6]float64 {
	return [6]float64{
		b[0]*a[0] + b[2]*a[1], b[1]*a[0] + b[3]*a[1], b[0]*a[2] + b[2]*a[3], b[1]*a[2] + b[3]*a[3],
		b[0]*a[4] + b[2]*a[5] + b[4], b[1]*a[4] + b[3]*a[5] + b[5],
	}
}

// A grain just off by more than the tolerance is caught, at any angle, and
// half a turn counts only on cloth with a nap.
func TestGrainOff(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := rapid.Float64Range(-1000, 1000).Draw(rt, "a")
		off := rapid.Float64Range(0, 90).Draw(rt, "off")
		require.InDelta(t, off, grainOff(a, a+off, false), 1e-9)
		require.InDelta(t, off, grainOff(a+off+180, a, false), 1e-9)
		require.InDelta(t, 180-off, grainOff(a+off+180, a, true), 1e-9)
		require.InDelta(t, off, grainOff(a-off+360, a, true), 1e-9)
	})
}
