package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"eke/split/plan"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
)

// edge is an edge of a test piece, drawn by its path data.
func edge(name string, allowanceMM float64, d string) plan.Edge {
	line, err := flatten(d, maxPoints)
	if err != nil {
		panic(err)
	}
	return plan.Edge{Name: name, AllowanceMM: allowanceMM, LengthMM: length(line), D: d}
}

func sewn(seam, d string) plan.Edge {
	e := edge("", 10, d)
	e.Seam = seam
	return e
}

// seamLine flattens edges end to end, more coarsely than the proof does: as
// far from the curve as a plan may be.
func seamLine(edges []plan.Edge) []point {
	var ring []point
	for _, e := range edges {
		line, _ := flatten(e.D, maxPoints)
		for i, q := range line[:len(line)-1] {
			if i%2 == 0 {
				ring = append(ring, q)
			}
		}
	}
	return ring
}

// cutLine grows a seam line by the allowances of its edges, with the geometry
// library's mitres.
func cutLine(t testing.TB, edges []plan.Edge) []point {
	least := math.Inf(1)
	for _, e := range edges {
		least = math.Min(least, e.AllowanceMM)
	}
	exact := geom.BufferSimplifyFactor(0)
	r, err := newRegion(seamLine(edges))
	require.NoError(t, err)
	all, err := geom.Buffer(r.geom, least, geom.BufferJoinStyleMitre(5), exact)
	require.NoError(t, err)
	flat := []geom.BufferOption{geom.BufferEndCapFlat(), geom.BufferJoinStyleMitre(5), exact}
	for i, e := range edges {
		line, _ := flatten(e.D, maxPoints)
		next := edges[(i+1)%len(edges)]
		beyond, _ := flatten(next.D, maxPoints)
		for _, strip := range []struct {
			line []point
			mm   float64
		}{{line, e.AllowanceMM}, {append(line[:len(line):len(line)], beyond[1:]...), math.Min(e.AllowanceMM, next.AllowanceMM)}} {
			if strip.mm == least {
				continue
			}
			var xy []float64
			for _, q := range strip.line {
				xy = append(xy, q[0], q[1])
			}
			grown, err := geom.Buffer(geom.NewLineStringXY(xy...).AsGeometry(), strip.mm, flat...)
			require.NoError(t, err)
			all, err = geom.Union(all, grown)
			require.NoError(t, err)
		}
	}
	polygon, ok := all.AsPolygon()
	require.True(t, ok)
	seq := polygon.ExteriorRing().Coordinates()
	var ring []point
	for i := range seq.Length() - 1 {
		xy := seq.GetXY(i)
		ring = append(ring, point{xy.X, xy.Y})
	}
	return ring
}

func notch(x, y float64, name string, count int, dx, dy float64) plan.Notch {
	return plan.Notch{At: point{x, y}, For: name, Count: count, Toward: point{dx, dy}}
}

// turned is the placement that turns by deg about the origin and shifts.
func turned(deg, dx, dy float64) [6]float64 {
	s, c := math.Sincos(deg * math.Pi / 180)
	return [6]float64{c, s, -s, c, dx, dy}
}

func rectangle(w, h float64) []point { return []point{{0, 0}, {w, 0}, {w, h}, {0, h}} }

func pieceOf(name string, copy int, fabric string, edges []plan.Edge, notches ...plan.Notch) plan.Piece {
	return plan.Piece{Name: name, Copy: copy, SeamLine: seamLine(edges), GrainDeg: 90, Fabric: fabric, Edges: edges, Notches: notches}
}

func partOf(t testing.TB, name, piece string, copy int, scrap string, scrapCopy int, at [6]float64, edges []plan.Edge, notches ...plan.Notch) plan.Part {
	return plan.Part{
		Name: name, Piece: piece, Copy: copy, GrainDeg: 90, Edges: edges, Notches: notches,
		SeamLine: seamLine(edges), CutLine: cutLine(t, edges),
		Scrap: scrap, ScrapCopy: scrapCopy, Placement: at,
	}
}

// garment is a plan that is right: a front with a curved neck in two by a
// yoke, a back in two by a curved panel line, a pair of mirrored sleeves whole
// on one scrap that lies either way up, and an L-shaped facing in the crook of
// another scrap.
func garment(t testing.TB) *plan.Document {
	d := &plan.Document{Format: plan.Format, Settings: plan.Settings{GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10}}
	o := plan.Option{Rank: 1, Seams: 2, Intrusion: 3, Cost: []plan.Term{{Name: "seams", Points: 2}, {Name: "length", Points: 1}}}

	const neck = "M0,0 C100,80 300,80 400,0"
	d.Pieces = append(d.Pieces, pieceOf("front", 1, "navy or Cream", []plan.Edge{
		edge("neck", 6, neck), edge("side", 10, "M400,0 L400,600"), edge("hem", 30, "M400,600 L0,600"), edge("side", 10, "M0,600 L0,0"),
	}, notch(400, 100, "side", 1, 1, 0), notch(0, 100, "side", 2, -1, 0), notch(200, 600, "hem", 1, 0, 1)))
	o.Parts = append(o.Parts,
		partOf(t, "front-upper", "front", 1, "navy", 1, turned(1.5, 40, 20), []plan.Edge{
			edge("neck", 6, neck), edge("side", 10, "M400,0 L400,250"), sewn("A", "M400,250 L0,250"), edge("side", 10, "M0,250 L0,0"),
		}, notch(400, 100, "side", 1, 1, 0), notch(0, 100, "side", 2, -1, 0), notch(120, 250, "A", 1, 0, 1), notch(300, 250, "A", 2, 0, 1)),
		partOf(t, "front-lower", "front", 1, "navy", 2, turned(0, 20, -235), []plan.Edge{
			sewn("A", "M0,250 L400,250"), edge("side", 10, "M400,250 L400,600"), edge("hem", 30, "M400,600 L0,600"), edge("side", 10, "M0,600 L0,250"),
		}, notch(200, 600, "hem", 1, 0, 1), notch(120, 250, "A", 1, 0, -1), notch(300, 250, "A", 2, 0, -1)),
	)
	o.PiecingSeams = append(o.PiecingSeams, plan.PiecingSeam{
		Name: "A", Kind: "yoke", Piece: "front", Copy: 1, Line: []point{{0, 250}, {400, 250}}, LengthMM: 400,
		Parts: []string{"front-upper", "front-lower"}, NotchesMM: []float64{120, 300}, AllowanceMM: 10,
	})

	const down, up = "M150,0 C190,130 110,270 150,400", "M150,400 C110,270 190,130 150,0"
	d.Pieces = append(d.Pieces, pieceOf("back", 1, "cream", []plan.Edge{
		edge("neck", 10, "M0,0 L300,0"), edge("side", 10, "M300,0 L300,400"), edge("hem", 10, "M300,400 L0,400"), edge("side", 10, "M0,400 L0,0"),
	}))
	line, _ := flatten(down, maxPoints)
	total := length(line)
	marks := []float64{total / 4, total / 2}
	left := []plan.Notch{}
	right := []plan.Notch{}
	for i, mm := range marks {
		q, dir := walk(line, mm)
		left = append(left, notch(q[0], q[1], "B", i+1, -dir[1], dir[0]))
		right = append(right, notch(q[0], q[1], "B", i+1, dir[1], -dir[0]))
	}
	// The left part's outward direction is to the right of a line that runs down.
	left, right = flip(left), flip(right)
	o.Parts = append(o.Parts,
		partOf(t, "back-left", "back", 1, "cream", 1, turned(180, 190, 425), []plan.Edge{
			edge("neck", 10, "M0,0 L150,0"), sewn("B", down), edge("hem", 10, "M150,400 L0,400"), edge("side", 10, "M0,400 L0,0"),
		}, left...),
		partOf(t, "back-right", "back", 1, "cream", 1, turned(0, 120, 15), []plan.Edge{
			edge("neck", 10, "M150,0 L300,0"), edge("side", 10, "M300,0 L300,400"), edge("hem", 10, "M300,400 L150,400"), sewn("B", up),
		}, right...),
	)
	o.PiecingSeams = append(o.PiecingSeams, plan.PiecingSeam{
		Name: "B", Kind: "panel", Piece: "back", Copy: 1, Line: line, LengthMM: total,
		Parts: []string{"back-left", "back-right"}, NotchesMM: marks, AllowanceMM: 10,
	})
	o.SeamLengthMM = 400 + total

	sleeve := []plan.Edge{edge("cap", 10, "M0,0 L120,0"), edge("underarm", 10, "M120,0 L90,150"), edge("hem", 10, "M90,150 L0,150"), edge("underarm", 10, "M0,150 L0,0")}
	mirror := []plan.Edge{edge("cap", 10, "M-120,0 L0,0"), edge("underarm", 10, "M0,0 L0,150"), edge("hem", 10, "M0,150 L-90,150"), edge("underarm", 10, "M-90,150 L-120,0")}
	d.Pieces = append(d.Pieces, pieceOf("sleeve", 1, "", sleeve), pieceOf("sleeve", 2, "", mirror))
	o.Parts = append(o.Parts,
		partOf(t, "sleeve", "sleeve", 1, "offcut", 1, [6]float64{-1, 0, 0, 1, 140, 20}, sleeve),
		partOf(t, "sleeve", "sleeve", 2, "offcut", 1, turned(0, 290, 20), mirror),
	)

	facing := []plan.Edge{
		edge("", 0, "M0,0 L200,0"), edge("", 10, "M200,0 L200,60"), edge("", 10, "M200,60 L60,60"),
		edge("", 10, "M60,60 L60,200"), edge("", 10, "M60,200 L0,200"), edge("", 10, "M0,200 L0,0"),
	}
	d.Pieces = append(d.Pieces, pieceOf("facing", 1, "", facing))
	o.Parts = append(o.Parts, partOf(t, "facing", "facing", 1, "corner", 1, turned(0, 20, 10), facing))

	d.Scraps = []plan.Scrap{
		{Name: "navy", Copy: 1, Outline: rectangle(470, 400), Holes: [][]point{{{180, 25}, {260, 25}, {220, 60}}}, GrainDeg: 90, Nap: true, Face: "one", Fabric: "Navy"},
		{Name: "navy", Copy: 2, Outline: rectangle(470, 400), GrainDeg: 90, Nap: true, Face: "one", Fabric: "Navy"},
		{Name: "cream", Copy: 1, Outline: rectangle(450, 450), GrainDeg: 90, Face: "one", Fabric: "CREAM"},
		{Name: "offcut", Copy: 1, Outline: rectangle(330, 200), GrainDeg: 270, Face: "both", Fabric: "plaid"},
		{Name: "corner", Copy: 1, Outline: []point{{0, 0}, {250, 0}, {250, 95}, {100, 95}, {100, 240}, {0, 240}}, GrainDeg: 90, Face: "one", Fabric: "plaid"},
	}
	d.Options = []plan.Option{o}
	return d
}

// walk is the point at mm along the line and the unit direction there.
func walk(line []point, mm float64) (at, dir point) {
	for i := 1; i < len(line); i++ {
		l := distance(line[i-1], line[i])
		if mm <= l {
			v := sub(line[i], line[i-1])
			return between(line[i-1], line[i], mm/l), point{v[0] / l, v[1] / l}
		}
		mm -= l
	}
	panic("the line is too short")
}

func flip(notches []plan.Notch) []plan.Notch {
	for i := range notches {
		n := &notches[i].Toward
		n[0], n[1] = -n[0], -n[1]
	}
	return notches
}

// shoulders is a plan that is right in which a strip of 30 mm along the
// shoulder goes from the front to the back.
func shoulders(t testing.TB) *plan.Document {
	d := &plan.Document{Format: plan.Format, Settings: plan.Settings{GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10}}
	body := func(top float64) []plan.Edge {
		y := func(format string) string { return strings.ReplaceAll(format, "TOP", fmt.Sprint(top)) }
		return []plan.Edge{
			edge("shoulder", 10, y("M0,TOP L100,TOP")), edge("armhole", 10, y("M100,TOP L100,300")),
			edge("hem", 10, "M100,300 L0,300"), edge("neck", 10, y("M0,300 L0,TOP")),
		}
	}
	front := pieceOf("front", 1, "", body(0), notch(40, 0, "shoulder", 1, 0, -1), notch(100, 15, "armhole", 2, 1, 0), notch(100, 200, "armhole", 1, 1, 0))
	back := pieceOf("back", 1, "", body(0), notch(60, 0, "shoulder", 1, 0, -1))
	d.Pieces = []plan.Piece{front, back}
	// The strip's armhole side comes to lie on the back's, turned round.
	grown := body(-30)
	strip := edge("neck", 10, "M0,0 L0,-30")
	strip.From = "front"
	other := edge("armhole", 10, "M100,-30 L100,0")
	other.From = "front"
	grown = []plan.Edge{grown[0], other, edge("armhole", 10, "M100,0 L100,300"), grown[2], edge("neck", 10, "M0,300 L0,0"), strip}
	o := plan.Option{
		Rank: 1,
		Parts: []plan.Part{
			partOf(t, "front", "front", 1, "short", 1, turned(0, 15, 15), body(30), notch(40, 30, "shoulder", 1, 0, -1), notch(100, 200, "armhole", 1, 1, 0)),
			partOf(t, "back", "back", 1, "long", 1, turned(0, 15, 45), grown, notch(60, -30, "shoulder", 1, 0, -1), notch(0, -15, "neck", 2, -1, 0)),
		},
		MovedSeams: []plan.MovedSeam{{Join: "front/shoulder back/shoulder", From: "front", To: "back", ByMM: 30, FromLengthMM: 100, ToLengthMM: 100}},
		Moved: []plan.MovedPiece{
			{Piece: "front", Copy: 1, SeamLine: seamLine(body(30))},
			{Piece: "back", Copy: 1, SeamLine: seamLine(body(-30))},
		},
	}
	d.Options = []plan.Option{o}
	d.Scraps = []plan.Scrap{
		{Name: "short", Copy: 1, Outline: rectangle(130, 330), GrainDeg: 90, Face: "one"},
		{Name: "long", Copy: 1, Outline: rectangle(130, 360), GrainDeg: 90, Face: "one"},
	}
	return d
}

// yokeAt is garment with the front's yoke at another height, and its lower
// part on cloth of its own.
func yokeAt(t testing.TB, low float64) *plan.Document {
	d := garment(t)
	o := &d.Options[0]
	at := func(format string) string { return strings.ReplaceAll(format, "LOW", fmt.Sprint(low)) }
	up, down := &o.Parts[0], &o.Parts[1]
	up.Edges = []plan.Edge{
		up.Edges[0], edge("side", 10, at("M400,0 L400,LOW")), sewn("A", at("M400,LOW L0,LOW")), edge("side", 10, at("M0,LOW L0,0")),
	}
	down.Edges = []plan.Edge{
		sewn("A", at("M0,LOW L400,LOW")), edge("side", 10, at("M400,LOW L400,600")), down.Edges[2], edge("side", 10, at("M0,600 L0,LOW")),
	}
	for _, p := range []*plan.Part{up, down} {
		p.SeamLine, p.CutLine = seamLine(p.Edges), cutLine(t, p.Edges)
		for i := range p.Notches {
			if p.Notches[i].For == "A" {
				p.Notches[i].At[1] = low
			}
		}
	}
	o.PiecingSeams[0].Line = []point{{0, low}, {400, low}}
	d.Scraps[0].Outline, d.Scraps[0].Holes = rectangle(480, 700), nil
	down.Placement = turned(0, 20, -low+40)
	return d
}
