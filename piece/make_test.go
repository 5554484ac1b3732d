package piece

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func line(element string, points ...orb.Point) DraftLine {
	return DraftLine{Element: element, Line: curve.Polyline(points...)}
}

func edgeOf(name string, points ...orb.Point) DraftEdge {
	return DraftEdge{DraftLine: line(`path "edge-`+name+`"`, points...), Name: name, AllowanceMM: -1}
}

// rectangle is a draft 100 wide and 200 long, upper left corner at the
// origin, with a grainline.
func rectangle(change ...func(*Draft)) Draft {
	d := Draft{
		Name: "front", File: "p.svg", AllowanceMM: -1,
		Outline: line(`path "seam"`, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 200}, orb.Point{0, 200}, orb.Point{0, 0}),
		Grains:  []DraftLine{line(`path "grain"`, orb.Point{50, 20}, orb.Point{50, 180})},
	}
	d.Outline.Closed = true
	for _, f := range change {
		f(&d)
	}
	return d
}

func made(t *testing.T, d Draft) *Piece {
	t.Helper()
	p, err := Make(d)
	require.NoError(t, err)
	return p
}

// outlined is a draft with another outline.
func outlined(points ...orb.Point) func(*Draft) {
	return func(d *Draft) {
		d.Outline.Line = curve.Polyline(append(points, points[0])...)
	}
}

func TestMakeErrors(t *testing.T) {
	nan := math.NaN()
	with := func(f func(*Draft)) Draft { return rectangle(f) }
	dart := func(points ...orb.Point) Draft {
		return with(func(d *Draft) { d.Darts = []DraftLine{line(`path "dart"`, points...)} })
	}
	fold := func(points ...orb.Point) Draft {
		return with(func(d *Draft) { d.Folds = []DraftLine{line(`path "fold"`, points...)} })
	}
	edges := func(e ...DraftEdge) Draft { return with(func(d *Draft) { d.Edges = e }) }
	tests := []struct {
		name string
		d    Draft
		want string
	}{
		{"no name", with(func(d *Draft) { d.Name = "" }), `p.svg: a piece has no name; give its group an id, a label or a title`},
		{"no outline", with(func(d *Draft) { d.Outline.Line = nil }), `p.svg: "front", path "seam": the outline has no length; draw a closed outline`},
		{"an outline that is one point", with(outlined(orb.Point{5, 5}, orb.Point{5, 5}, orb.Point{5, 5})), `the outline has no length`},
		{"open", with(func(d *Draft) { d.Outline.Line, d.Outline.Closed = d.Outline.Line[:3], false }), `path "seam": the outline is open: its ends are 200.0 mm apart; close the path in the drawing`},
		{"not a number", with(outlined(orb.Point{0, 0}, orb.Point{nan, 0}, orb.Point{9, 9})), `a coordinate is not a number or beyond 20 m; check the drawing's units and scale`},
		{"endless", with(outlined(orb.Point{0, 0}, orb.Point{math.Inf(1), 0}, orb.Point{9, 9})), `a coordinate is not a number or beyond 20 m`},
		{"too large", with(outlined(orb.Point{0, 0}, orb.Point{1e308, 0}, orb.Point{9, 9})), `a coordinate is not a number or beyond 20 m`},
		{"no area", with(outlined(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{50, 0})), `the outline encloses no area; draw the outline of the whole piece, and check the drawing's units`},
		{"as much on either side", with(outlined(orb.Point{0, 0}, orb.Point{100, 100}, orb.Point{100, 0}, orb.Point{0, 100})), `the outline crosses or touches itself near x 50.0 mm, y 50.0 mm`},
		{"no area, from its middle", with(outlined(orb.Point{50, 0}, orb.Point{100, 0}, orb.Point{0, 0})), `the outline encloses no area`},
		{"tiny", with(outlined(orb.Point{0, 0}, orb.Point{0.5, 0}, orb.Point{0.5, 0.5})), `the outline encloses no area`},
		{"a figure of eight", with(outlined(orb.Point{0, 0}, orb.Point{100, 100}, orb.Point{100, 0}, orb.Point{0, 90})), `the outline crosses or touches itself near x`},
		{"touches itself at a corner", with(outlined(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 100}, orb.Point{60, 100}, orb.Point{50, 0}, orb.Point{40, 100}, orb.Point{0, 100})), `the outline crosses or touches itself near x`},
		{"touches itself along a side", with(outlined(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 100}, orb.Point{50, 100}, orb.Point{50, 50}, orb.Point{50, 120}, orb.Point{0, 120})), `the outline has a hairline spike at x 50.0 mm, y 50.0 mm; delete that point in the drawing`},
		{"a spike outward", with(outlined(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 50}, orb.Point{150, 50}, orb.Point{100, 50.01}, orb.Point{100, 100}, orb.Point{0, 100})), `the outline has a hairline spike at x 150.0 mm, y 50.0 mm`},
		{"a spike inward", with(outlined(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 50}, orb.Point{50, 50}, orb.Point{100, 50.01}, orb.Point{100, 100}, orb.Point{0, 100})), `the outline has a hairline spike at x 50.0 mm, y 50.0 mm`},
		{"too many points", with(func(d *Draft) { d.Outline.Line = zigzag(15000) }), `the outline has 30003 points; simplify the path to under 6000`},
		{"too many curves", with(func(d *Draft) { d.Outline.Line = scallops(1200) }), `the outline has 1200 curves; simplify the path to under 1000`},

		{"no grain", with(func(d *Draft) { d.Grains = nil }), `p.svg: "front": the piece has no grainline; draw a straight line along the grain and name it grain`},
		{"two grains", with(func(d *Draft) { d.Grains = append(d.Grains, line(`path "grain-2"`, orb.Point{1, 1}, orb.Point{1, 9})) }), `p.svg: "front", path "grain-2": a second grainline; keep one`},
		{"a grain that is a point", with(func(d *Draft) { d.Grains = []DraftLine{{Element: `path "grain"`, Point: orb.Point{5, 5}}} }), `path "grain": the grainline has no length; draw it at least 1 mm long, along the grain`},
		{"a short grain", with(func(d *Draft) { d.Grains = []DraftLine{line(`path "grain"`, orb.Point{5, 5}, orb.Point{5, 5.5})} }), `the grainline has no length`},
		{"a grain that comes back", with(func(d *Draft) {
			d.Grains = []DraftLine{line(`path "grain"`, orb.Point{5, 5}, orb.Point{5, 50}, orb.Point{5, 5})}
		}), `the grainline has no length`},
		{"mirrored once", with(func(d *Draft) { d.Mirrored = true }), `p.svg: "front": mirrored: yes with cut: 1; a mirrored piece is cut an even number of times, such as cut: 2`},
		{"mirrored thrice", with(func(d *Draft) { d.Mirrored, d.Count = true, 3 }), `mirrored: yes with cut: 3`},

		{"a point for an edge", edges(DraftEdge{DraftLine: DraftLine{Element: "circle"}, Name: "hem"}), `p.svg: "front", circle: the line has no length; draw it along the outline`},
		{"an edge off the outline", edges(edgeOf("hem", orb.Point{0, 210}, orb.Point{100, 210})), `path "edge-hem": the line runs up to 10.0 mm off the outline; draw it along the outline, or copy that part of it`},
		{"an edge that bows off the outline", edges(edgeOf("hem", orb.Point{0, 200}, orb.Point{50, 230}, orb.Point{100, 200})), `mm off the outline`},
		{"an edge across the piece", edges(edgeOf("hem", orb.Point{0, 0}, orb.Point{100, 200})), `mm off the outline`},
		{"an edge that comes back", edges(edgeOf("hem", orb.Point{0, 200}, orb.Point{50, 200}, orb.Point{0, 200})), `the line covers none of the outline`},
		{"edges that overlap", edges(edgeOf("hem", orb.Point{0, 200}, orb.Point{80, 200}), edgeOf("side", orb.Point{60, 200}, orb.Point{100, 200})), `it overlaps edge`},
		{"an edge within another", edges(edgeOf("hem", orb.Point{0, 200}, orb.Point{100, 200}), edgeOf("slit", orb.Point{40, 200}, orb.Point{60, 200})), `it overlaps edge slit by 20.0 mm`},
		{"an edge and the fold overlap", with(func(d *Draft) {
			d.Folds = []DraftLine{line(`path "fold"`, orb.Point{0, 0}, orb.Point{0, 200})}
			d.Edges = []DraftEdge{edgeOf("side", orb.Point{0, 50}, orb.Point{0, 100})}
		}), `it overlaps edge`},
		{"a notch off the outline", with(func(d *Draft) {
			d.Notches = []DraftLine{line(`path "notch"`, orb.Point{20, 100}, orb.Point{25, 100})}
		}), `path "notch": the notch is 20.0 mm off the outline; draw it across the outline`},
		{"a notch that is a point off the outline", with(func(d *Draft) { d.Notches = []DraftLine{{Element: "circle", Point: orb.Point{50, 50}}} }), `circle: the notch is 50.0 mm off the outline`},

		{"a dart of two points", dart(orb.Point{40, 200}, orb.Point{50, 120}), `p.svg: "front", path "dart": a dart is an open path of three points, or a closed path of four; draw it from the leg's end to the apex to the other leg's end`},
		{"a dart that is a triangle", dart(orb.Point{40, 200}, orb.Point{50, 120}, orb.Point{60, 200}, orb.Point{40, 200}), `a dart drawn as a closed path has 3 corners; give it four`},
		{"a dart that is a point", with(func(d *Draft) { d.Darts = []DraftLine{{Element: "circle"}} }), `a dart is an open path of three points`},
		{"a dart leg off the outline", dart(orb.Point{40, 190}, orb.Point{50, 120}, orb.Point{60, 200}), `a dart leg ends 10.0 mm off the outline; end both legs on the outline`},
		{"a dart without width", dart(orb.Point{40, 200}, orb.Point{50, 120}, orb.Point{40.5, 200}), `the dart has no width or no length; draw leg, apex and leg at three different places`},
		{"a dart without length", dart(orb.Point{40, 200}, orb.Point{40, 199.5}, orb.Point{60, 200}), `the dart has no width or no length`},
		{"a dart drawn in another order", dart(orb.Point{40, 200}, orb.Point{60, 280}, orb.Point{60, 200}), `the dart's apex is 80.0 mm outside the outline; draw leg, apex and leg in this order`},
		{"darts that cross", with(func(d *Draft) {
			d.Darts = []DraftLine{line(`path "dart-1"`, orb.Point{30, 200}, orb.Point{60, 100}, orb.Point{40, 200}), line(`path "dart-2"`, orb.Point{60, 200}, orb.Point{30, 100}, orb.Point{70, 200})}
		}), `path "dart-2": two darts cross; move one so that their legs do not meet`},
		{"darts that share an apex", with(func(d *Draft) {
			d.Darts = []DraftLine{line(`path "dart-1"`, orb.Point{30, 200}, orb.Point{50, 100}, orb.Point{40, 200}), line(`path "dart-2"`, orb.Point{60, 200}, orb.Point{50, 100}, orb.Point{70, 200})}
		}), `two darts cross`},

		{"two folds", with(func(d *Draft) {
			d.Folds = []DraftLine{line(`path "fold"`, orb.Point{0, 0}, orb.Point{0, 200}), line(`path "fold-2"`, orb.Point{100, 0}, orb.Point{100, 200})}
		}), `path "fold-2": a second fold; a piece is cut on one fold at most`},
		{"a fold off the outline", fold(orb.Point{50, 0}, orb.Point{50, 200}), `path "fold": the line runs up to 50.0 mm off the outline`},
		{"a fold round a corner", fold(orb.Point{0, 100}, orb.Point{0, 200}, orb.Point{50, 200}), `path "fold": the fold is not straight; draw the fold along a straight edge of the outline`},
		{"a fold that ends on its edge", fold(orb.Point{0, 20}, orb.Point{0, 200}), `path "fold": the straight edge runs on for 20.0 mm past its end near x 0.0 mm, y 20.0 mm; draw the fold as long as the edge`},
		{"a whole piece with a fold at a nick", rectangle(outlined(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 200}, orb.Point{-50, 200}, orb.Point{-50, 100}, orb.Point{0, 100}), func(d *Draft) {
			d.Folds = []DraftLine{line(`path "fold"`, orb.Point{0, 0}, orb.Point{0, 100})}
		}), `the outline runs over the fold near x -50.0 mm, y 200.0 mm; draw only the half on one side of the fold`},
		{"a level that is a point", with(func(d *Draft) { d.Levels = []DraftLine{{Element: "circle"}} }), `circle: a level is a line, and this is a point; draw it across the piece`},
		{"a level beside the piece", with(func(d *Draft) { d.Levels = []DraftLine{line(`path "level"`, orb.Point{120, 50}, orb.Point{220, 50})} }), `path "level": the level lies outside the piece; draw it across the piece, or group it with its own`},
		{"a keep beside the piece", with(func(d *Draft) {
			k := line(`rect "keep"`, orb.Point{120, 50}, orb.Point{220, 50}, orb.Point{220, 90}, orb.Point{120, 50})
			k.Closed = true
			d.Keeps = []DraftLine{k}
		}), `rect "keep": the keep zone lies outside the piece; draw it on the piece, or group it with its own`},
		{"a keep that is a point", with(func(d *Draft) { d.Keeps = []DraftLine{{Element: "circle"}} }), `circle: a keep zone is an outline or a line, and this is a point; draw it round what no seam may cross`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Make(tt.d)
			require.Error(t, err)
			assert.Contains(t, err.Error(), tt.want)
			var known *Error
			require.ErrorAs(t, err, &known)
			assert.Equal(t, "p.svg", known.File)
			assert.NotEmpty(t, known.Cure)
		})
	}
}

func zigzag(n int) curve.Path {
	points := []orb.Point{{0, 0}}
	for i := range n {
		points = append(points, orb.Point{float64(i) / 10, 5}, orb.Point{float64(i)/10 + 0.05, 0})
	}
	return curve.Polyline(append(points, orb.Point{0, 500}, orb.Point{0, 0})...)
}

func scallops(n int) curve.Path {
	var p curve.Path
	for i := range n {
		x := float64(i)
		p = append(p, curve.Quadratic(orb.Point{x, 0}, orb.Point{x + 0.5, 0.1}, orb.Point{x + 1, 0}))
	}
	return append(p, curve.Polyline(p.End(), orb.Point{0, 500}, orb.Point{0, 0})...)
}

// What is forgiven: each drawing gives the same rectangle.
func TestMakeForgives(t *testing.T) {
	corners := []orb.Point{{0, 0}, {100, 0}, {100, 200}, {0, 200}}
	turned := []orb.Point{corners[0], corners[3], corners[2], corners[1]}
	repeated := []orb.Point{{0, 0}, {0, 0}, {100, 0}, {100, 0}, {100, 0}, {100, 200}, {0, 200}, {0, 200}, {0, 0}}
	collinear := []orb.Point{{0, 0}, {30, 0}, {60, 0}, {100, 0}, {100, 200}, {50, 200}, {0, 200}, {0, 100}}
	for name, d := range map[string]Draft{
		"drawn the other way":    rectangle(outlined(turned...)),
		"points drawn twice":     rectangle(outlined(repeated...)),
		"points along the sides": rectangle(outlined(collinear...)),
		"open by a hair":         rectangle(func(d *Draft) { d.Outline.Line[3].P1 = orb.Point{0, 0.05}; d.Outline.Closed = false }),
		"closed by a line":       rectangle(func(d *Draft) { d.Outline.Line = d.Outline.Line[:3] }),
		"starting in mid-side":   rectangle(outlined(orb.Point{50, 0}, corners[1], corners[2], corners[3], corners[0])),
		"grain drawn upwards":    rectangle(func(d *Draft) { d.Grains[0].Line = d.Grains[0].Line.Reverse() }),
		"curves that are straight": rectangle(func(d *Draft) {
			for i, s := range d.Outline.Line {
				d.Outline.Line[i].Curved = true
				d.Outline.Line[i].C0, d.Outline.Line[i].C1 = s.At(1./3), s.At(2./3)
			}
		}),
	} {
		t.Run(name, func(t *testing.T) {
			p := made(t, d)
			ring := p.Outline.Ring()
			assert.InDelta(t, 20000, plane.SignedArea(ring), 10, "positive: clockwise on the page")
			require.Len(t, p.Outline, 4)
			var lengths []float64
			for i, e := range p.Outline {
				assert.Equal(t, e.Line.End(), p.Outline[(i+1)%4].Line.Start())
				assert.Equal(t, float64(DefaultAllowanceMM), e.AllowanceMM)
				lengths = append(lengths, math.Round(e.Line.Length()))
			}
			assert.ElementsMatch(t, []float64{100, 200, 100, 200}, lengths)
			assert.Equal(t, 90.0, math.Abs(p.GrainDeg))
			_, crossed := SelfCrossing(ring)
			assert.False(t, crossed)
		})
	}
}

func TestEdges(t *testing.T) {
	p := made(t, rectangle(func(d *Draft) {
		d.AllowanceMM = 12
		hem := edgeOf("hem", orb.Point{2, 200.5}, orb.Point{98, 199}) // ends snap to the corners
		hem.AllowanceMM = 30
		side := edgeOf("side", orb.Point{100, 0}, orb.Point{100, 120})
		d.Edges = []DraftEdge{hem, side, edgeOf("slit", orb.Point{100, 200}, orb.Point{100, 121})} // which meet
	}))
	var got []string
	for _, e := range p.Outline {
		got = append(got, e.Name)
	}
	assert.Equal(t, []string{"side", "slit", "hem", "", ""}, got)
	assert.InDelta(t, 121, p.Outline[0].Line.Length(), 1.01)
	assert.InDelta(t, 200, p.Outline[0].Line.Length()+p.Outline[1].Line.Length(), 1e-6)
	assert.InDelta(t, 100, p.Outline[2].Line.Length(), 1e-6)
	assert.Equal(t, []float64{12, 12, 30}, []float64{p.Outline[0].AllowanceMM, p.Outline[1].AllowanceMM, p.Outline[2].AllowanceMM})

	// An edge may run over the outline's start, and round all of it.
	p = made(t, rectangle(func(d *Draft) {
		d.Edges = []DraftEdge{edgeOf("top", orb.Point{0, 90}, orb.Point{0, 0}, orb.Point{90, 0})}
	}))
	assert.InDelta(t, 180, p.Outline[p.Outline.Edge("top")[0]].Line.Length(), 1e-6)
	p = made(t, rectangle(func(d *Draft) {
		d.Edges = []DraftEdge{{DraftLine: DraftLine{Element: "path", Line: d.Outline.Line}, Name: "rim", AllowanceMM: 5}}
	}))
	require.Len(t, p.Outline, 1)
	assert.InDelta(t, 600, p.Outline[0].Line.Length(), 1e-6)
}

// An edge of a millimetre or two beside a corner keeps its length, and its
// neighbour keeps clear of it.
func TestEdgeBesideACorner(t *testing.T) {
	for _, mm := range []float64{1.1, 1.5, 2, 2.7, 2.99, 3.5, 5} {
		p := made(t, rectangle(func(d *Draft) {
			d.Edges = []DraftEdge{
				edgeOf("stub", orb.Point{100, 200 - mm}, orb.Point{100, 200}), edgeOf("hem", orb.Point{100, 200}, orb.Point{0, 200}),
				edgeOf("side", orb.Point{100, 0}, orb.Point{100, 200 - mm}),
			}
		}))
		for name, want := range map[string]float64{"stub": mm, "side": 200 - mm, "hem": 100} {
			at := p.Outline.Edge(name)
			require.Len(t, at, 1, "%s of %g mm", name, mm)
			assert.InDelta(t, want, p.Outline[at[0]].Line.Length(), 1e-6, "%s beside %g mm", name, mm)
		}
	}
}

func TestNotches(t *testing.T) {
	notch := func(points ...orb.Point) DraftLine { return line("notch", points...) }
	dot := func(x, y float64) DraftLine { return DraftLine{Element: "notch", Point: orb.Point{x, y}} }
	notches := func(l ...DraftLine) string {
		p := made(t, rectangle(func(d *Draft) { d.Notches = l }))
		var out []string
		for _, e := range p.Outline {
			for _, n := range e.Notches {
				at, _ := e.Line.At(n.AtMM)
				out = append(out, strings.Repeat("|", n.Count)+number(at[0])+","+number(at[1]))
			}
		}
		return strings.Join(out, " ")
	}
	for _, tt := range []struct {
		name string
		in   []DraftLine
		want string
	}{
		{"across", []DraftLine{notch(orb.Point{95, 60}, orb.Point{105, 60})}, "|100,60"},
		{"from inside to the line", []DraftLine{notch(orb.Point{95, 60}, orb.Point{100, 60})}, "|100,60"},
		{"short of the line", []DraftLine{notch(orb.Point{90, 60}, orb.Point{96, 60})}, "|100,60"},
		{"slanting", []DraftLine{notch(orb.Point{95, 55}, orb.Point{105, 65})}, "|100,60"},
		{"a point", []DraftLine{dot(100, 60)}, "|100,60"},
		{"a point beside the line", []DraftLine{dot(103, 60)}, "|100,60"},
		{"double", []DraftLine{dot(100, 64), dot(100, 60)}, "||100,62"},
		{"triple", []DraftLine{dot(100, 66), dot(100, 60), dot(100, 63)}, "|||100,63"},
		{"four are a triple and one", []DraftLine{dot(100, 60), dot(100, 63), dot(100, 66), dot(100, 69)}, "|||100,63 |100,69"},
		{"two far apart", []DraftLine{dot(100, 60), dot(100, 80)}, "|100,60 |100,80"},
		{"two round a corner are not a double", []DraftLine{dot(97, 0), dot(100, 3)}, "|97,0 |100,3"},
		{"at a corner", []DraftLine{dot(100, 0)}, "|100,0"},
		{"at the corner where the outline starts", []DraftLine{dot(0, 0)}, "|0,0"},
	} {
		assert.Equal(t, tt.want, notches(tt.in...), tt.name)
	}
}

// A notch drawn beyond what the allowance of its edge explains is noted: one edge of the
// piece has a wide one, as a hem.
func TestNotchesDrawnOff(t *testing.T) {
	made := func(in DraftLine) []string {
		p := made(t, rectangle(func(d *Draft) {
			hem := edgeOf("hem", orb.Point{0, 200}, orb.Point{100, 200})
			hem.AllowanceMM = 40
			d.Edges, d.Notches = []DraftEdge{hem}, []DraftLine{in}
		}))
		return p.Notes
	}
	require.Equal(t, []string{"front: a notch, notch, is drawn 30 mm off the outline; it counts where it points: if that is not the place, draw it across the outline"},
		made(line("notch", orb.Point{136, 60}, orb.Point{130, 60})))
	require.Len(t, made(line("notch", orb.Point{62, 60}, orb.Point{70, 60})), 1, "within the piece")
	require.Empty(t, made(line("notch", orb.Point{116, 60}, orb.Point{110, 60})), "from the cutting line")
	require.Empty(t, made(line("notch", orb.Point{40, 240}, orb.Point{40, 232})), "from that of the hem")
	require.Empty(t, made(line("notch", orb.Point{95, 60}, orb.Point{105, 60})), "across the outline")
}

func number(x float64) string {
	return strconv.FormatFloat(math.Abs(math.Round(x*10)/10), 'f', -1, 64)
}

// half is a draft cut on the fold along its left side, with everything that
// is carried across.
func half() Draft {
	return rectangle(func(d *Draft) {
		d.Folds = []DraftLine{line("fold", orb.Point{0, 200}, orb.Point{0, 0})}
		d.Edges = []DraftEdge{
			edgeOf("neck", orb.Point{0, 0}, orb.Point{40, 0}), edgeOf("shoulder", orb.Point{40, 0}, orb.Point{100, 0}),
			edgeOf("side", orb.Point{100, 0}, orb.Point{100, 200}), edgeOf("hem", orb.Point{0, 200}, orb.Point{100, 200}),
		}
		d.Notches = []DraftLine{line("notch", orb.Point{95, 60}, orb.Point{105, 60}), line("notch", orb.Point{-4, -4}, orb.Point{4, 4})}
		d.Darts = []DraftLine{line("dart", orb.Point{40, 200}, orb.Point{50, 120}, orb.Point{60, 200})}
		d.Levels = []DraftLine{line("level", orb.Point{1, 90}, orb.Point{100, 90})}
		d.Keeps = []DraftLine{{Element: "keep", Closed: true, Line: curve.Polyline(orb.Point{10, 10}, orb.Point{20, 10}, orb.Point{20, 20}, orb.Point{10, 10})}}
	})
}

func TestUnfold(t *testing.T) {
	p := made(t, half())
	assert.InDelta(t, 40000, plane.SignedArea(p.Outline.Ring()), 1e-6)
	require.NotNil(t, p.Centre)
	var names []string
	reflected := 0
	for _, e := range p.Outline {
		names = append(names, e.Name)
		if e.Reflected {
			reflected++
		}
		switch e.Name {
		case "neck":
			assert.InDelta(t, 80, e.Line.Length(), 1e-6, "one edge over the fold")
			require.Len(t, e.Notches, 1, "the notch at the fold's end, once")
			assert.InDelta(t, 40, e.Notches[0].AtMM, 0.1)
		case "hem":
			assert.InDelta(t, 200, e.Line.Length(), 1e-6)
		case "side":
			assert.Len(t, e.Notches, 1)
		}
	}
	assert.ElementsMatch(t, strings.Fields("neck shoulder shoulder side side hem"), names)
	assert.Equal(t, 2, reflected)
	assert.Len(t, p.Darts, 2)
	assert.Len(t, p.Keeps, 2)
	require.Len(t, p.Levels, 1, "one line over the fold")
	assert.InDelta(t, 200, p.Levels[0].Length(), 0.1)
	assert.InDelta(t, -100, p.Outline.Ring().Bound().Min[0], 1e-6)

	d := half()
	d.Notches = []DraftLine{line("notch", orb.Point{-5, 100}, orb.Point{5, 100})}
	p = made(t, d)
	assert.Equal(t, []string{"front: the notch in the middle of the fold is left out, for the whole piece has no edge there"}, p.Notes)
}

// A notch that is a line from one side of the page to the other is noted.
func TestLongNotch(t *testing.T) {
	for long, noted := range map[float64]bool{10: false, 99: false, 101: true, 5500: true} {
		p := made(t, rectangle(func(d *Draft) {
			d.Notches = []DraftLine{line("notch", orb.Point{5, 50}, orb.Point{5 - long, 50})}
		}, outlined(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{150, 200}, orb.Point{0, 200})))
		require.Equal(t, noted, len(p.Notes) == 1, "%v: %v", long, p.Notes)
	}
}

func TestCopies(t *testing.T) {
	d := rectangle(func(d *Draft) { d.Count, d.Mirrored = 4, true }, outlined(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{150, 200}, orb.Point{0, 200}))
	d.Notches = []DraftLine{line("notch", orb.Point{-3, 50}, orb.Point{3, 50})}
	copies := made(t, d).Copies()
	require.Len(t, copies, 4)
	for i, c := range copies {
		assert.Equal(t, i+1, c.Copy)
		assert.Equal(t, i >= 2, c.Flipped)
		assert.InDelta(t, 25000, plane.SignedArea(c.Outline.Ring()), 1e-6)
		assert.Equal(t, 90.0, c.GrainDeg)
	}
	assert.Equal(t, "front 3", copies[2].ID())
	// The slanting side is on the right of a copy and on the left of its image.
	slant := func(p *Piece) float64 { return p.Outline.Ring().Bound().Max[0] - centroid(p.Outline.Ring())[0] }
	assert.Greater(t, slant(copies[0]), slant(copies[3]))
	assert.Equal(t, "front", made(t, rectangle()).Copies()[0].ID())
}

func centroid(r orb.Ring) orb.Point {
	var x, y, a float64
	for i, p := range r {
		q := r[(i+1)%len(r)]
		c := p[0]*q[1] - q[0]*p[1]
		x, y, a = x+(p[0]+q[0])*c, y+(p[1]+q[1])*c, a+c
	}
	return orb.Point{x / (3 * a), y / (3 * a)}
}

func TestFabricRule(t *testing.T) {
	rule := FabricRule{}
	scrap := &Scrap{Fabric: "Navy "}
	assert.True(t, rule.MayCut(&Piece{}, scrap), "a piece that gives none may come from any")
	assert.True(t, rule.MayCut(&Piece{Fabrics: ParseFabrics("cream or navy")}, scrap))
	assert.False(t, rule.MayCut(&Piece{Fabrics: ParseFabrics("cream")}, scrap))
	assert.False(t, rule.MayCut(&Piece{Fabrics: []string{"navy"}}, &Scrap{}))
	assert.Equal(t, []string{"navy", "light cream"}, ParseFabrics(" navy or  light cream or "))
}

func TestScrapCopies(t *testing.T) {
	s := Scrap{Name: "navy", Count: 2, Outline: orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}}, Holes: []orb.Ring{{{1, 1}, {1, 3}, {3, 3}, {3, 1}}}}
	assert.Equal(t, 96.0, s.AreaMM2(), "a hole counts whichever way it was drawn")
	c := s.Copies()
	require.Len(t, c, 2)
	assert.Equal(t, "navy 2", c[1].ID())
	s.Count = 0
	require.Len(t, s.Copies(), 1)
	assert.Equal(t, "navy", s.Copies()[0].ID())
}

func TestSelfCrossing(t *testing.T) {
	for name, tt := range map[string]struct {
		r       orb.Ring
		crosses bool
	}{
		"a square":                {orb.Ring{{0, 0}, {9, 0}, {9, 9}, {0, 9}}, false},
		"a bow tie":               {orb.Ring{{0, 0}, {9, 9}, {9, 0}, {0, 9}}, true},
		"a corner on a side":      {orb.Ring{{0, 0}, {9, 0}, {9, 9}, {5, 0}, {0, 9}}, true},
		"two corners in one":      {orb.Ring{{0, 0}, {5, 5}, {9, 0}, {9, 9}, {5, 5}, {0, 9}}, true},
		"a side twice":            {orb.Ring{{0, 0}, {9, 0}, {9, 5}, {14, 5}, {9, 5}, {9, 9}, {0, 9}}, true},
		"points along a side":     {orb.Ring{{0, 0}, {3, 0}, {6, 0}, {9, 0}, {9, 9}, {0, 9}}, false},
		"a comb, wide":            {comb(200, false), false},
		"a comb, tall":            {comb(200, true), false},
		"a sharp but sound point": {orb.Ring{{0, 0}, {100, 1}, {0, 2}}, false},
	} {
		_, crossed := SelfCrossing(tt.r)
		assert.Equal(t, tt.crosses, crossed, name)
	}
}

// comb is an outline of many long teeth.
func comb(teeth int, tall bool) orb.Ring {
	var r orb.Ring
	for i := range teeth {
		y := float64(4 * i)
		r = append(r, orb.Point{0, y}, orb.Point{100, y + 1}, orb.Point{100, y + 2}, orb.Point{0, y + 3})
	}
	r = append(r, orb.Point{-5, float64(4 * teeth)}, orb.Point{-5, 0})
	if tall {
		for i, p := range r {
			r[i] = orb.Point{p[1], p[0]}
		}
	}
	return r
}

// Cloth that is set apart for the lining serves the lining alone, and the lining
// is cut from other cloth only where none is set apart.
func TestUseRule(t *testing.T) {
	shell, lining := &Piece{}, &Piece{Use: UseLining}
	cloth, satin := Scrap{}, Scrap{Use: UseLining}
	for _, c := range []struct {
		pile             []Scrap
		p                *Piece
		onCloth, onSatin bool
	}{
		{[]Scrap{cloth, satin}, shell, true, false},
		{[]Scrap{cloth, satin}, lining, false, true},
		{[]Scrap{cloth}, shell, true, false},
		{[]Scrap{cloth}, lining, true, true},
	} {
		rule := UseRuleFor(c.pile)
		assert.Equal(t, c.onCloth, rule.MayCut(c.p, &cloth))
		assert.Equal(t, c.onSatin, rule.MayCut(c.p, &satin))
	}
}
