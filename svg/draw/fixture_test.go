package draw

import (
	"math"

	"eke/piece/curve"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// A t-shirt by hand: the front on two scraps with a seam across it, the back
// and two sleeves whole, a band of rib; one scrap has a hole and one is left.
// The seam lines are those of a drafted t-shirt, curves and all.

type line struct {
	name, d, joins string
	allowanceMM    float64
	seam           string
}

// lines gives edges from drawn lines, each continuing the one before.
func lines(ls ...line) []plan.Edge {
	var out []plan.Edge
	for _, l := range ls {
		p := must(ParsePath(l.d))
		e := plan.Edge{Name: l.name, Seam: l.seam, AllowanceMM: l.allowanceMM, LengthMM: round(p.Length()), D: p.D()}
		if l.joins != "" {
			e.Joins = []string{l.joins}
		}
		out = append(out, e)
	}
	return out
}

// unfolded is a right half, from the top of the fold clockwise to its foot,
// with its mirror image.
func unfolded(half []plan.Edge) []plan.Edge {
	out := append([]plan.Edge{}, half...)
	for i := len(half) - 1; i >= 0; i-- {
		e := half[i]
		e.D = must(ParsePath(e.D)).Transform(curve.Matrix{-1, 0, 0, 1, 0, 0}).Reverse().D()
		out = append(out, e)
	}
	return out
}

func seamLine(edges []plan.Edge) []plan.Point {
	var out []plan.Point
	for _, e := range edges {
		points := must(ParsePath(e.D)).Flatten(0.5)
		for _, q := range points[:len(points)-1] {
			out = append(out, plan.Point{round(q[0]), round(q[1])})
		}
	}
	return out
}

// grown moves every side of a clockwise polygon out by mm, with mitres.
func grown(ring []plan.Point, mm float64) []plan.Point {
	n := len(ring)
	var out []plan.Point
	normal := func(a, b plan.Point) orb.Point {
		l := math.Hypot(b[0]-a[0], b[1]-a[1])
		return orb.Point{(b[1] - a[1]) / l, -(b[0] - a[0]) / l}
	}
	for i, q := range ring {
		u, v := normal(ring[(i+n-1)%n], q), normal(q, ring[(i+1)%n])
		k := mm / (1 + u[0]*v[0] + u[1]*v[1])
		out = append(out, plan.Point{round(q[0] + k*(u[0]+v[0])), round(q[1] + k*(u[1]+v[1]))})
	}
	return out
}

func round(x float64) float64 { return math.Round(x*1000)/1000 + 0 }

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func rectangle(w, h float64) []plan.Point { return []plan.Point{{0, 0}, {w, 0}, {w, h}, {0, h}} }

func drawnPart(name, piece string, copy int, edges []plan.Edge, scrap string, scrapCopy int, placement [6]float64, notches ...plan.Notch) plan.Part {
	seam := seamLine(edges)
	return plan.Part{
		Name: name, Piece: piece, Copy: copy, SeamLine: seam, CutLine: grown(seam, 10), Notches: notches,
		Scrap: scrap, ScrapCopy: scrapCopy, Placement: placement, GrainDeg: 90, Edges: edges,
	}
}

// tshirt is the plan.
func tshirt() *plan.Document {
	neckFront := line{"neck", "M0,95 C50,95 67.16,48.84 85,0", "", 10, ""}
	shoulderFront := line{"shoulder", "M85,0 L200,42", "back/shoulder", 10, ""}
	armholeFront := line{"armhole", "M200,42 C186.28,79.57 177,108 177,150 C177,198 208,235 250,235", "sleeve/cap-front", 10, ""}
	front := unfolded(lines(neckFront, shoulderFront, armholeFront,
		line{"side", "M250,235 C247,305 241,370 241,430 C241,490 255,566 258,636", "back/side", 10, ""},
		line{"hem", "M258,636 C178,639.4 90,640 0,640", "", 10, ""}))
	upper := unfolded(lines(neckFront, shoulderFront, armholeFront,
		line{"side", "M250,235 C247,305 241,370 241,430", "back/side", 10, ""}))
	across := lines(line{"", "M241,430 L-241,430", "", 10, "A"})
	upper = append(append(upper[:4:4], across...), upper[4:]...)
	lower := append(lines(line{"", "M-241,430 L241,430", "", 10, "A"}), unfolded(lines(
		line{"side", "M241,430 C241,490 255,566 258,636", "back/side", 10, ""},
		line{"hem", "M258,636 C178,639.4 90,640 0,640", "", 10, ""}))...)
	back := unfolded(lines(
		line{"neck", "M0,22 C48,22 80.88,11.27 85,0", "", 10, ""},
		line{"shoulder", "M85,0 L200,42", "front/shoulder", 10, ""},
		line{"armhole", "M200,42 C186.96,77.69 184,106 184,146 C184,198 212,235 250,235", "sleeve/cap-back", 10, ""},
		line{"side", "M250,235 C247,305 241,370 241,430 C241,490 255,566 258,636", "front/side", 10, ""},
		line{"hem", "M258,636 C178,639.4 90,640 0,640", "", 10, ""}))
	sleeve := lines(
		line{"cap-back", "M-175.74,138 C-140.59,136.5 -117.42,89.51 -94.9,64.86 C-66.45,33.72 -42.18,0 0,0", "back/armhole", 10, ""},
		line{"cap-front", "M0,0 C44.23,0 68.92,32.92 99.53,64.86 C123.75,90.15 147.45,136.5 184.31,138", "front/armhole", 10, ""},
		line{"underarm-front", "M184.31,138 L166,208.31", "sleeve/underarm-back", 10, ""},
		line{"hem", "M166,208.31 C111,222.63 -111,217.44 -166,210", "", 10, ""},
		line{"underarm-back", "M-166,210 L-175.74,138", "sleeve/underarm-front", 10, ""})
	var other []plan.Edge
	for i := len(sleeve) - 1; i >= 0; i-- {
		e := sleeve[i]
		e.D = must(ParsePath(e.D)).Transform(curve.Matrix{-1, 0, 0, 1, 0, 0}).Reverse().D()
		other = append(other, e)
	}
	band := lines(
		line{"neck", "M0,0 L387,0", "", 10, ""},
		line{"end-right", "M387,0 L387,36", "neckband/end-left", 10, ""},
		line{"neck-inside", "M387,36 L0,36", "", 10, ""},
		line{"end-left", "M0,36 L0,0", "neckband/end-right", 10, ""})

	seamNotches := func(out float64) []plan.Notch {
		return []plan.Notch{
			{At: plan.Point{-80, 430}, For: "A", Count: 1, Toward: plan.Point{0, out}},
			{At: plan.Point{120, 430}, For: "A", Count: 2, Toward: plan.Point{0, out}},
		}
	}
	piece := func(name string, copy int, edges []plan.Edge, fabric string) plan.Piece {
		return plan.Piece{Name: name, Copy: copy, SeamLine: seamLine(edges), GrainDeg: 90, Fabric: fabric, Edges: edges}
	}
	flipped := piece("sleeve", 2, other, "navy or cream")
	flipped.Flipped = true
	sleeve2 := drawnPart("sleeve-2", "sleeve", 2, other, "tunic sleeve", 2, [6]float64{1, 0, 0, 1, 205, 20})
	sleeve2.Flipped = true
	scrap := func(name string, copy int, outline []plan.Point, fabric, colour string) plan.Scrap {
		return plan.Scrap{Name: name, Copy: copy, Outline: outline, GrainDeg: 90, Face: "both", Fabric: fabric, Kind: "knit", Colour: colour}
	}
	dress := scrap("dress front", 1, []plan.Point{{0, 0}, {300, 12}, {560, 0}, {575, 470}, {540, 500}, {-12, 480}}, "navy", "#274060")
	tail := scrap("dress back", 1, rectangle(760, 250), "navy", "")
	tail.Holes = [][]plan.Point{{{630, 60}, {680, 40}, {700, 90}, {660, 130}, {622, 100}}}
	tail.Nap = true
	o := plan.Option{
		Rank: 1, Seams: 1, SeamLengthMM: 482, Intrusion: 12.4,
		Cost: []plan.Term{
			{Name: "seams added", Detail: "1 yoke", Points: 10},
			{Name: "length of the seams", Detail: "482 mm", Points: 2.4},
			{Name: "meets the back's waist level", Points: 0},
		},
		Parts: []plan.Part{
			drawnPart("front-upper", "front", 1, upper, "dress front", 1, [6]float64{1, 0, 0, 1, 280, 32}, append(seamNotches(1), plan.Notch{At: plan.Point{188.97, 197.88}, For: "armhole", Count: 1})...),
			drawnPart("front-lower", "front", 1, lower, "dress back", 1, [6]float64{1, 0, 0, 1, 300, -405}, seamNotches(-1)...),
			drawnPart("back", "back", 1, back, "tunic back", 1, [6]float64{1, 0, 0, 1, 290, 18}),
			drawnPart("sleeve-1", "sleeve", 1, sleeve, "tunic sleeve", 1, [6]float64{1, 0, 0, 1, 205, 20}),
			sleeve2,
			drawnPart("neckband", "neckband", 1, band, "cuff rib", 1, [6]float64{1, 0, 0, 1, 20, 18}),
		},
		PiecingSeams: []plan.PiecingSeam{{
			Name: "A", Kind: "yoke", Called: "cross seam", Piece: "front", Copy: 1, Line: []plan.Point{{-241, 430}, {241, 430}}, LengthMM: 482,
			Parts: []string{"front-upper", "front-lower"}, NotchesMM: []float64{161, 361}, AllowanceMM: 10,
			Press: "down, toward front-lower", Why: "at the waist, level with the notches of the side seam",
		}},
		Joins: []plan.Join{
			{A: "front/shoulder", B: "back/shoulder", AMM: 122.43, BMM: 122.43, DrawnAMM: 122.43, DrawnBMM: 122.43},
			{A: "front/armhole", B: "sleeve/cap-front", AMM: 229.4, BMM: 231.2, DifferenceMM: -1.8, DrawnAMM: 229.4, DrawnBMM: 231.2, Note: "ease as drawn"},
		},
		SewingOrder: []string{
			"Sew seam A: front-upper to front-lower, right sides together, matching the single and the double notch. Press down.",
			"Sew the shoulders, then set the band, the sleeves and the sides as the pattern says.",
		},
		Left: []plan.Left{
			{Scrap: "dress front", Copy: 1, AreaMM2: 71234}, {Scrap: "dress back", Copy: 1, AreaMM2: 65210},
			{Scrap: "tunic back", Copy: 1, AreaMM2: 98000}, {Scrap: "tunic sleeve", Copy: 1, AreaMM2: 31000},
			{Scrap: "tunic sleeve", Copy: 2, AreaMM2: 31000}, {Scrap: "cuff rib", Copy: 1, AreaMM2: 12300},
			{Scrap: "pocket", Copy: 1, AreaMM2: 21000, Untouched: true},
		},
	}
	moved := o
	moved.Rank, moved.Intrusion = 2, 15.1
	moved.MovedSeams = []plan.MovedSeam{{Join: "front/shoulder back/shoulder", From: "front", To: "back", ByMM: 30, FromLengthMM: 122.4, ToLengthMM: 122.4}}
	moved.Cost = append(append([]plan.Term{}, o.Cost...), plan.Term{Name: "seams moved", Detail: "shoulder by 30 mm", Points: 2.7})
	return &plan.Document{
		Format: plan.Format, Settings: plan.Settings{GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10, Seed: 1},
		Pattern: "tshirt.svg", ScrapFiles: []string{"scraps.csv"},
		Pieces: []plan.Piece{
			piece("front", 1, front, "navy"), piece("back", 1, back, "navy or cream"),
			piece("sleeve", 1, sleeve, "navy or cream"), flipped, piece("neckband", 1, band, "rib"),
		},
		Scraps: []plan.Scrap{
			dress, tail, scrap("tunic back", 1, rectangle(580, 690), "cream", "cornsilk"),
			scrap("tunic sleeve", 1, rectangle(420, 280), "cream", "cornsilk"), scrap("tunic sleeve", 2, rectangle(420, 280), "cream", "cornsilk"),
			scrap("cuff rib", 1, rectangle(440, 90), "rib", "url(javascript:alert(1))"), scrap("pocket", 1, rectangle(140, 150), "navy", ""),
		},
		Options: []plan.Option{o, moved},
		Fewest:  true, FewestReason: "the front is longer than any scrap of navy",
		Notes: []string{"tshirt.svg: the text on the pieces is not read"},
	}
}
