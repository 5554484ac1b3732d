//go:build geos

package check

import (
	"math"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/assert"
	"github.com/twpayne/go-geos"
	"pgregory.net/rapid"
)

// With the build tag geos the geometry of a plan is judged a second time by
// GEOS, the C++ library, in its own words: only buffers, overlays and
// distances, none of this package's clipping or shortcuts.

type judged struct{ scrap, tiles, allowance bool }

func ours(faults []Fault) judged {
	var j judged
	for _, f := range faults {
		switch f.Rule {
		case Overhang, Hole, Gap:
			j.scrap = true
		case Missing, Overlap, Beyond:
			j.tiles = true
		case Allowance:
			j.allowance = true
		}
	}
	return j
}

func polygonOf(ring []point) *geos.Geom {
	var coords [][]float64
	for _, q := range closed(ring) {
		coords = append(coords, []float64{q[0], q[1]})
	}
	return geos.NewPolygon([][][]float64{coords})
}

func lineOf(line []point) *geos.Geom {
	var coords [][]float64
	for _, q := range line {
		coords = append(coords, []float64{q[0], q[1]})
	}
	return geos.NewLineString(coords)
}

func disc(g *geos.Geom, mm float64) *geos.Geom { return g.Buffer(mm, 16) }

// holdsDisc reports whether a disc of that diameter fits in g.
func holdsDisc(g *geos.Geom, mm float64) bool { return !disc(g, -mm/2).IsEmpty() }

func theirs(d *plan.Document) judged {
	var j judged
	o := d.Options[0]
	laid := map[id][]*geos.Geom{}
	parts := map[id][]*geos.Geom{}
	for _, p := range o.Parts {
		cut := polygonOf(placedBy(p.Placement, p.CutLine))
		at := id{p.Scrap, p.ScrapCopy}
		for _, s := range d.Scraps {
			if (id{s.Name, s.Copy}) != at {
				continue
			}
			if !disc(polygonOf(s.Outline), SlackMM).Covers(cut) {
				j.scrap = true
			}
			for _, h := range s.Holes {
				hole := polygonOf(h)
				if disc(hole, -SlackMM).Intersects(cut) || disc(cut, -SlackMM).Intersects(hole) {
					j.scrap = true
				}
			}
		}
		for _, other := range laid[at] {
			if d.GapMM > SlackMM && cut.Distance(other) < d.GapMM-SlackMM ||
				d.GapMM <= SlackMM && disc(cut, d.GapMM-SlackMM).Intersects(other) {
				j.scrap = true
			}
		}
		laid[at] = append(laid[at], cut)

		seam := polygonOf(p.SeamLine)
		of := id{p.Piece, p.Copy}
		for _, other := range parts[of] {
			if holdsDisc(seam.Intersection(other), SlackMM+hairMM) {
				j.tiles = true
			}
		}
		parts[of] = append(parts[of], seam)
		if cutsShort(p, polygonOf(p.CutLine)) {
			j.allowance = true
		}
	}
	for _, p := range d.Pieces {
		of := id{p.Name, p.Copy}
		if len(parts[of]) == 0 {
			j.tiles = true
			continue
		}
		union := parts[of][0]
		for _, g := range parts[of][1:] {
			union = union.Union(g)
		}
		if holdsDisc(polygonOf(p.SeamLine).SymDifference(union), SlackMM+hairMM) {
			j.tiles = true
		}
	}
	return j
}

// cutsShort reports whether the cutting line leaves an edge less than its
// allowance, straight out from it or round a bend within it.
func cutsShort(p plan.Part, cut *geos.Geom) bool {
	loose := disc(cut, hairMM)
	if holdsDisc(polygonOf(p.SeamLine).Difference(cut), SlackMM+hairMM) {
		return true
	}
	for _, e := range p.Edges {
		line, err := flatten(e.D, maxPoints)
		if err != nil || e.AllowanceMM <= SlackMM {
			continue
		}
		// Off both ends, where a narrower allowance may step in.
		line = cropped(line, SlackMM+hairMM)
		strip := lineOf(line).BufferWithStyle(e.AllowanceMM-SlackMM-hairMM, 32, geos.BufCapStyleFlat, geos.BufJoinStyleRound, 5)
		if holdsDisc(strip.Difference(loose), hairMM) {
			return true
		}
	}
	return false
}

// cropped is the line without mm at either end.
func cropped(line []point, mm float64) []point {
	total := length(line)
	first, _ := walk(line, mm)
	last, _ := walk(line, total-mm)
	out := []point{first}
	for i, q := range line {
		if at := length(line[:i+1]); at > mm && at < total-mm {
			out = append(out, q)
		}
	}
	return append(out, last)
}

func TestGeosAgrees(t *testing.T) {
	assert.Equal(t, judged{}, theirs(garment(t)))
	for _, b := range faults {
		t.Run(b.name, func(t *testing.T) {
			d := garment(t)
			b.do(d, &d.Options[0])
			got := Document(d)
			for _, f := range got {
				switch f.Rule {
				case Numbers, Outline, Names, Edges, Placement:
					t.Skip("no geometry to judge")
				}
			}
			// Less allowance said than the piece's is no matter of outlines.
			if want := theirs(d); want.allowance || !ours(got).allowance {
				assert.Equal(t, want, ours(got), "%v", got)
			}
		})
	}
}

func TestGeosAgreesOnPerturbedPlans(t *testing.T) {
	for _, p := range perturbations[:4] {
		t.Run(p.name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				angle := rapid.Float64Range(0, 2*math.Pi).Draw(rt, "direction")
				mm := rapid.Float64Range(0, 0.3).Draw(rt, "by")
				if mm > 0.04 && mm < p.wrong+0.01 {
					return // where the two may round otherwise
				}
				d := snug(t)
				p.do(rt, &d.Options[0], point{mm * math.Cos(angle), mm * math.Sin(angle)})
				want, got := theirs(d), Document(d)
				for _, f := range got {
					// Without edges there is no allowance to judge.
					want.allowance = want.allowance && f.Rule != Edges
				}
				if want != ours(got) {
					rt.Fatalf("GEOS finds %v, and the proof %v", want, got)
				}
			})
		})
	}
}
