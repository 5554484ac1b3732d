package draw

import (
	"fmt"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// withYoke is the t-shirt with a back of two pieces: a yoke, and what lies
// below, wider by what is pleated to it. The armhole runs over both.
func withYoke(pleatMM float64) *plan.Document {
	d := tshirt()
	var out []plan.Piece
	for _, p := range d.Pieces {
		if p.Name != "back" {
			out = append(out, p)
			continue
		}
		neck, shoulder, side, hem := p.Edges[0], p.Edges[1], p.Edges[3], p.Edges[4]
		armhole := must(ParsePath(p.Edges[2].D))
		at := 0.4 * armhole.Length()
		q, _ := armhole.At(at)
		upper, lower := p.Edges[2], p.Edges[2]
		upper.D, lower.D = armhole.Between(0, at).D(), armhole.Between(at, armhole.Length()).D()
		yoke := unfolded([]plan.Edge{neck, shoulder, upper, lines(line{"back", fmt.Sprintf("M%g,%g L0,%g", q[0], q[1], q[1]), "back/yoke", 10, ""})[0]})
		rest := []plan.Edge{lines(line{"yoke", fmt.Sprintf("M%g,%g L%g,%g", -pleatMM, q[1], q[0], q[1]), "yoke/back", 10, ""})[0], lower, side, hem}
		for i := range rest {
			rest[i].D = must(ParsePath(rest[i].D)).Transform(curve.Shift(pleatMM, 0)).D()
		}
		rest[3].D += " L0,640"
		rest = unfolded(rest)
		out = append(out,
			plan.Piece{Name: "yoke", Copy: 1, SeamLine: seamLine(yoke), GrainDeg: 90, Edges: yoke},
			plan.Piece{Name: "back", Copy: 1, SeamLine: seamLine(rest), GrainDeg: 90, Edges: rest})
	}
	d.Pieces = out
	return d
}

// Sleeves hang in the whole of an armhole that a yoke divides, whichever
// pieces the pattern says they are sewn to.
func TestSleevesHangInADividedArmhole(t *testing.T) {
	for name, joins := range map[string]map[string][]string{
		"sewn to both":     {"cap-back": {"yoke/armhole", "back/armhole"}},
		"sewn to the back": {"cap-back": {"back/armhole"}, "yoke": nil},
		"sewn to the yoke": {"cap-back": {"yoke/armhole"}, "back": nil},
	} {
		for _, pleatMM := range []float64{0, 25} {
			t.Run(fmt.Sprintf("%s, %g mm pleated", name, pleatMM), func(t *testing.T) {
				d := withYoke(pleatMM)
				for i := range d.Pieces {
					p := &d.Pieces[i]
					for k := range p.Edges {
						e := &p.Edges[k]
						if e.Name == "cap-back" {
							e.Joins = joins["cap-back"]
						}
						if _, alone := joins[p.Name]; alone && e.Name == "armhole" {
							e.Joins = nil
						}
					}
				}
				views, rest := laidFlat(t, d)
				require.Empty(t, rest)
				require.Len(t, views[1].body, 2)
				require.Len(t, views[1].sleeves, 2)
				for _, s := range views[1].sleeves {
					shown := apply(s.m, s.keep.clip(s.piece.ring()))
					box := orb.MultiPoint(shown).Bound()
					var tip, foot float64 // how far the cap's ends are from the shoulder's tip and the underarm
					tip, foot = 1e9, 1e9
					for _, b := range views[1].body {
						for _, e := range b.piece.edges {
							line := e.path.Transform(b.m)
							for _, q := range []orb.Point{line.Start(), line.End()} {
								if (q[0] > 0) != (box.Center()[0] > 0) {
									continue
								}
								if b.piece.Name == "yoke" && e.Name == "shoulder" && (q[0] > 150 || q[0] < -150) {
									tip = min(tip, plane.ToRing(shown, q))
								}
								if b.piece.Name == "back" && e.Name == "side" && q[1] < 300 {
									foot = min(foot, plane.ToRing(shown, q))
								}
							}
						}
					}
					require.Less(t, tip, 1.0)
					require.Less(t, foot, 1.0)
				}
			})
		}
	}
}

// A cap of several edges, one for each piece at the armhole, is one seam.
func TestACapOfSeveralEdges(t *testing.T) {
	d := withYoke(0)
	for i := range d.Pieces {
		p := &d.Pieces[i]
		var edges []plan.Edge
		for _, e := range p.Edges {
			switch {
			case e.Name == "armhole" && p.Name == "yoke":
				e.Joins = []string{"sleeve/cap-yoke"}
			case e.Name == "cap-back":
				path := must(ParsePath(e.D))
				at := 0.6 * path.Length()
				if p.Flipped { // drawn from the top down
					at = path.Length() - at
				}
				to := [2]string{"back", "yoke"}
				for n, d := range []string{path.Between(0, at).D(), path.Between(at, path.Length()).D()} {
					if p.Flipped {
						n = 1 - n
					}
					edges = append(edges, plan.Edge{Name: "cap-" + to[n], Joins: []string{to[n] + "/armhole"}, D: d})
				}
				continue
			}
			edges = append(edges, e)
		}
		p.Edges = edges
	}
	whole, _ := laidFlat(t, withYoke(0))
	views, rest := laidFlat(t, d)
	require.Empty(t, rest)
	require.Len(t, views[1].sleeves, 2)
	for i, s := range views[1].sleeves {
		for k := range s.m {
			require.InDelta(t, whole[1].sleeves[i].m[k], s.m[k], 0.5)
		}
	}
}
