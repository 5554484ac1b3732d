package draw

import (
	"math"
	"strings"
	"testing"

	"eke/piece/curve"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// collared is the t-shirt with a collar, cut twice, whose sewn edge is at the
// top of the drawing or at its foot.
func collared(atFoot bool) *plan.Document {
	d := tshirt()
	edges := unfolded(lines(
		line{"neck-back", "M0,0 L90,0", "back/neck", 10, ""},
		line{"neck-front", "M90,0 L230,0", "front/neck", 10, ""},
		line{"end", "M230,0 L230,40", "", 10, ""},
		line{"top", "M230,40 L0,40", "", 10, ""}))
	if atFoot {
		edges = unfolded(lines(
			line{"top", "M0,0 L230,0", "", 10, ""},
			line{"end", "M230,0 L230,40", "", 10, ""},
			line{"neck-front", "M230,40 L90,40", "front/neck", 10, ""},
			line{"neck-back", "M90,40 L0,40", "back/neck", 10, ""}))
	}
	for n := 1; n <= 2; n++ {
		d.Pieces = append(d.Pieces, plan.Piece{Name: "collar", Copy: n, Edges: edges, SeamLine: seamLine(edges), GrainDeg: 90})
	}
	return d
}

// A collar lies on the body along the whole neck, and what it shows goes on
// from the front to the back at each shoulder: the wearer's left is to the
// right in front and to the left behind.
func TestACollarGoesRoundTheNeck(t *testing.T) {
	for _, atFoot := range []bool{false, true} {
		views, rest := laidFlat(t, collared(atFoot))
		require.Equal(t, []string{"collar"}, rest, "the collar's other copy is under it")
		at := map[string]float64{} // by the wearer's side
		for _, f := range views {
			lengths := 0.0
			for _, r := range f.bands {
				if r.piece.Name != "collar" {
					continue
				}
				require.Less(t, r.width, 0.0, "it lies over the body")
				require.InDelta(t, 40, -r.width, 1)
				lengths += math.Abs(r.to - r.from)
				for _, end := range []struct{ x, part float64 }{{r.line[0][0], r.from}, {r.line[len(r.line)-1][0], r.to}} {
					if math.Abs(end.x) < 50 {
						require.InDelta(t, map[string]float64{"back": 0.5, "front": math.Round(end.part)}[f.name], end.part, 1e-6, "at the middle")
						continue
					}
					side := "left"
					if (end.x > 0) != (f.name == "front") {
						side = "right"
					}
					if known, ok := at[side]; ok {
						require.InDelta(t, known, end.part, 1e-6, "%s at the %s shoulder", f.name, side)
					}
					at[side] = end.part
				}
			}
			require.InDelta(t, map[string]float64{"front": 280. / 460, "back": 180. / 460}[f.name], lengths, 1e-6)
		}
		require.Len(t, at, 2)
		require.InDelta(t, 1, at["left"]+at["right"], 1e-6)
		// Turned down, with its right side out and its sewn edge up, a collar
		// lies on the back as it is drawn: its right on the wearer's right.
		require.Equal(t, !atFoot, at["right"] > at["left"])
	}
}

// One edge of a band that goes round several shows the bit that is sewn to each; the
// one that its ends meet in goes on past them.
func TestBitsOfABandInARow(t *testing.T) {
	band := edge{path: curve.Polyline(orb.Point{0, 0}, orb.Point{400, 0})}
	band.Stretches = []plan.Stretch{{To: "back/neck", Copy: 1, FromMM: 0, ToMM: 80}, {To: "front/neck", Copy: 2, FromMM: 80, ToMM: 310}, {To: "back/neck", Copy: 1, FromMM: 310, ToMM: 400}}
	piece := func(name string, copy int) *whole {
		return &whole{Piece: &plan.Piece{Name: name, Copy: copy}, edges: []edge{{Edge: plan.Edge{Name: "neck"}}}}
	}
	from, to, ok := band.bitAlong(piece("front", 2), 0)
	require.True(t, ok)
	require.Equal(t, []float64{310, 80}, []float64{from, to})
	from, to, ok = band.bitAlong(piece("back", 1), 0)
	require.True(t, ok)
	require.Equal(t, []float64{480, 310}, []float64{from, to})
	_, _, ok = band.bitAlong(piece("front", 1), 0)
	require.False(t, ok)

	r := ribbon{line: []orb.Point{{0, 0}, {100, 0}, {200, 0}}, width: 10, from: 1.2, to: 0.8}
	_, at := r.bits()
	require.InDeltaSlice(t, []float64{0.1, 0.9}, at, 1e-9)
}

// A band whose joins do not say which bit of it goes where shows each bit once.
func TestABandInARowShowsOnce(t *testing.T) {
	d := tshirt()
	band := &d.Pieces[len(d.Pieces)-1]
	require.Equal(t, "neckband", band.Name)
	for k := range band.Edges {
		if e := &band.Edges[k]; e.Name == "neck" {
			e.Joins, e.Stretches = []string{"front/neck", "back/neck"}, nil
		}
	}
	views, _ := laidFlat(t, d)
	var shown float64
	for _, f := range views {
		for _, r := range f.bands {
			shown += math.Abs(r.to - r.from)
		}
	}
	require.InDelta(t, 1, shown, 1e-9)
}

// A seam that runs along a folded band shows as far from its fold as it lies, whichever
// half it is in, for as long as it is.
func TestASeamAlongABandShows(t *testing.T) {
	const length, depth = 387.0, 36.0
	checked := 0 // ends of a seam whose place was measured
	drawn := func(from, to, off float64) (seams []curve.Path) {
		d := tshirt()
		o := &d.Options[0]
		neck := &d.Pieces[len(d.Pieces)-1].Edges[0]
		neck.Joins = []string{"front/neck", "back/neck"}
		neck.Stretches = []plan.Stretch{{To: "front/neck", Copy: 1, FromMM: 0, ToMM: 224}, {To: "back/neck", Copy: 1, FromMM: 224, ToMM: 387}} // about their shares
		o.PiecingSeams = append(o.PiecingSeams, plan.PiecingSeam{Name: "B", Kind: "yoke", Piece: "neckband", Copy: 1, Line: []plan.Point{{from, off}, {to, off}}})
		g, err := Of(d).garment(0)
		require.NoError(t, err)
		views, _ := g.outfit.lay()
		for _, v := range views {
			v.innerBands = nil
			_, err := g.view(v)
			require.NoError(t, err)
			for _, m := range g.labels {
				if m.text == "B" {
					seams = append(seams, m.seam)
				}
			}
			for _, r := range v.bands {
				require.InDelta(t, depth/2, r.width, 1e-9)
				for _, m := range g.labels {
					if m.text == "B" {
						for _, s := range []orb.Point{m.seam.Start(), m.seam.End()} {
							_, away := curve.Polyline(r.line...).Nearest(s)
							if away < depth { // of this stretch of the band
								checked++
								require.InDelta(t, 8, away, 0.5, "10 mm from the fold, which is 18 mm from the edge")
							}
						}
					}
				}
			}
		}
		return seams
	}
	mm := func(seams []curve.Path) (sum float64) {
		for _, s := range seams {
			sum += s.Length()
		}
		return sum
	}
	for _, off := range []float64{8, depth - 8} {
		checked = 0
		seams := drawn(0, length, off)
		require.GreaterOrEqual(t, checked, 2*len(seams), "both ends of each")
		all := mm(seams)
		require.Greater(t, all, 300.0)
		third := drawn(0, length/3, off)
		require.InDelta(t, all/3, mm(third), 30, "the places along a band are 10 mm apart, and stretched with it")
	}
	none := drawn(100, 102, 8)
	require.Empty(t, none, "as good as nothing of it")
}

// Where nothing tells which bit of a band goes where, the pictures mark no seam across
// it, and say so; one that runs along all of it shows.
func TestNoSeamOfABandIsMarkedAtAGuess(t *testing.T) {
	for name, c := range map[string]struct {
		line []plan.Point
		note string
	}{
		"across":       {[]plan.Point{{100, 0}, {100, 36}}, "Not marked: B, for the joins do not tell which bit of the neckband goes where."},
		"along a bit":  {[]plan.Point{{0, 8}, {200, 8}}, "Not marked: B, for the joins do not tell which bit of the neckband goes where."},
		"along it all": {[]plan.Point{{0, 8}, {387, 8}}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			d := tshirt()
			o := &d.Options[0]
			o.PiecingSeams = append(o.PiecingSeams, plan.PiecingSeam{Name: "B", Kind: "panel", Piece: "neckband", Copy: 1, Line: c.line})
			pictures, note, err := Of(d).Garment(0)
			require.NoError(t, err)
			require.Equal(t, c.note, note)
			all := ""
			for _, p := range pictures {
				all += p.SVG
			}
			require.Equal(t, c.note == "", strings.Contains(all, ">B</text>"))
		})
	}
}
