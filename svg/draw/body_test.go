package draw

import (
	"fmt"
	"slices"
	"testing"

	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// copies are a piece as drawn and its mirror image.
func copies(name string, edges []plan.Edge) []plan.Piece {
	return []plan.Piece{
		{Name: name, Copy: 1, GrainDeg: 90, Edges: edges, SeamLine: seamLine(edges)},
		{Name: name, Copy: 2, GrainDeg: 90, Flipped: true, Edges: unfolded(edges)[len(edges):], SeamLine: seamLine(unfolded(edges)[len(edges):])},
	}
}

func onTheFold(name string, half []plan.Edge) plan.Piece {
	edges := unfolded(half)
	return plan.Piece{Name: name, Copy: 1, GrainDeg: 90, Edges: edges, SeamLine: seamLine(edges)}
}

// hangsStraight requires that no piece of a view is turned or mirrored, and gives the
// box of each.
func hangsStraight(t *testing.T, f *flat) map[string]orb.Bound {
	t.Helper()
	boxes := map[string]orb.Bound{}
	for _, p := range f.body {
		require.InDelta(t, 1, p.m[0], 1e-9, p.piece.Name)
		require.InDelta(t, 1, p.m[3], 1e-9, p.piece.Name)
		boxes[p.piece.Name+[]string{"", " 1", " 2"}[p.piece.Copy]] = orb.MultiPoint(apply(p.m, p.piece.ring())).Bound()
	}
	return boxes
}

// Side panels lie beside the middle ones, armholes outward, and a skirt that is wider
// than the waist hangs straight below its middle.
func TestPrincessSeamsAndAGatheredSkirt(t *testing.T) {
	middle := lines(
		line{"neck", "M0,60 L60,0", "", 10, ""}, line{"shoulder", "M60,0 L105,15", "", 10, ""},
		line{"princess", "M105,15 C90,150 120,250 80,400", "side-front/princess", 10, ""},
		line{"waist", "M80,400 L0,400", "skirt-front/waist", 10, ""}, line{"centre-front", "M0,400 L0,60", "", 10, ""})
	side := lines(
		line{"shoulder", "M0,0 L45,15", "", 10, ""}, line{"armhole", "M45,15 L95,155", "", 10, ""},
		line{"side", "M95,155 L85,385", "", 10, ""}, line{"waist", "M85,385 L10,385", "skirt-front/waist", 10, ""},
		line{"princess", "M10,385 C-30,250 -10,150 0,0", "centre-front/princess", 10, ""})
	skirt := lines(line{"waist", "M0,0 L330,0", "", 10, ""}, line{"side", "M330,0 L330,600", "", 10, ""}, line{"hem", "M330,600 L0,600", "", 10, ""})
	d := &plan.Document{Pieces: append(copies("centre-front", middle), copies("side-front", side)...)}
	d.Pieces = append(d.Pieces, onTheFold("skirt-front", skirt))
	d.Pieces = append([]plan.Piece{d.Pieces[4]}, d.Pieces[:4]...) // whichever is drawn first
	views, rest := laidFlat(t, d)
	require.Empty(t, rest)
	box := hangsStraight(t, views[0])
	require.Len(t, box, 5)
	// The drawn halves are on the right of the page, their mirror images on the left.
	require.InDelta(t, box["centre-front 2"].Max[0], box["centre-front 1"].Min[0], 1)
	require.Greater(t, box["side-front 1"].Max[0], box["centre-front 1"].Max[0]+50)
	require.Less(t, box["side-front 2"].Min[0], box["centre-front 2"].Min[0]-50)
	require.InDelta(t, box["centre-front 1"].Min[0], box["skirt-front 1"].Center()[0], 1)
	require.InDelta(t, box["centre-front 1"].Max[1], box["skirt-front 1"].Min[1], 15)
}

// The legs of trousers hang side by side, however their crotch is curved.
func TestLegsHangSideBySide(t *testing.T) {
	leg := lines(
		line{"waist", "M0,0 L200,10", "", 10, ""}, line{"crotch", "M200,10 L205,150 C205,210 225,240 260,245", "leg-front/crotch", 10, ""},
		line{"inseam", "M260,245 L240,1000", "", 10, ""}, line{"hem", "M240,1000 L0,1000", "", 10, ""}, line{"side", "M0,1000 L0,0", "", 10, ""})
	views, rest := laidFlat(t, &plan.Document{Pieces: copies("leg-front", leg)})
	require.Empty(t, rest)
	box := hangsStraight(t, views[0])
	require.InDelta(t, box["leg-front 1"].Max[0], box["leg-front 2"].Min[0], 1e-6)
}

// Of a wrap both fronts hang from the back's shoulders, and what the upper hides of the
// lower is not marked.
func TestAWrapLapsOver(t *testing.T) {
	front := func(name, d0, d1, d2, d3, d4 string) plan.Piece {
		edges := lines(line{"shoulder", d0, "back/shoulder", 10, ""}, line{"armhole", d1, "", 10, ""}, line{"side", d2, "back/side", 10, ""}, line{"hem", d3, "", 10, ""}, line{"neck", d4, "", 10, ""})
		return plan.Piece{Name: name, Copy: 1, GrainDeg: 90, Edges: edges, SeamLine: seamLine(edges)}
	}
	left := front("left-front", "M60,0 L160,30", "M160,30 L200,180", "M200,180 L200,500", "M200,500 L-120,500", "M-120,500 L60,0")
	over := left
	over.Name, over.Edges = "right-front", unfolded(left.Edges)[len(left.Edges):]
	over.SeamLine = seamLine(over.Edges)
	back := onTheFold("back", lines(line{"neck", "M0,20 L60,0", "", 10, ""}, line{"shoulder", "M60,0 L160,30", "", 10, ""}, line{"armhole", "M160,30 L200,180", "", 10, ""}, line{"side", "M200,180 L200,500", "", 10, ""}, line{"hem", "M200,500 L0,500", "", 10, ""}))
	views, rest := laidFlat(t, &plan.Document{Pieces: []plan.Piece{back, over, left}})
	require.Empty(t, rest)
	box := hangsStraight(t, views[0])
	require.InDelta(t, 400, box["left-front 1"].Max[0]-box["right-front 1"].Min[0], 1e-6, "as wide as the back")
	under := views[0].body[0]
	require.Equal(t, "left-front", under.piece.Name)
	require.Len(t, under.over, 1)
	neck, _, ok := neckline(views[0])
	require.True(t, ok)
	for i, q := range neck { // down to where the fronts cross, and up again
		require.Less(t, q[1]-box["left-front 1"].Min[1], 180.0, "%d", i)
	}
	side := outside([]orb.Point{{box["right-front 1"].Min[0], 490}, {box["left-front 1"].Max[0], 490}}, rings(under.over))
	require.Len(t, side, 1)
	require.InDelta(t, box["right-front 1"].Max[0], side[0].Start()[0], 8)
}

// Fronts cut in one with their sleeves have their side seams nearer to the centre than the
// middle of each; their necks meet all the same.
func TestSleevesCutInOneWithTheFronts(t *testing.T) {
	front := lines(
		line{"neck", "M20,100 L110,0", "", 10, ""}, line{"shoulder", "M110,0 L580,130", "", 10, ""}, line{"wrist", "M580,130 L560,300", "", 10, ""},
		line{"sleeve", "M560,300 L290,255", "", 10, ""}, line{"side", "M290,255 L250,600", "", 10, ""}, line{"hem", "M250,600 L20,600", "", 10, ""}, line{"", "M20,600 L20,100", "", 10, ""})
	views, rest := laidFlat(t, &plan.Document{Pieces: copies("jacket front", front)})
	require.Empty(t, rest)
	box := hangsStraight(t, views[0])
	require.InDelta(t, box["jacket front 2"].Max[0], box["jacket front 1"].Min[0], 1)
}

// A hip yoke fills the corner of a front with a slanting pocket: it hangs at the waist, with its
// side above the front's, for so the side of the back names them. The crotch of the back
// reaches further than that of the front.
func TestAHipYokeHangsAtTheWaist(t *testing.T) {
	front := lines(
		line{"waist", "M60,0 L200,0", "", 10, ""}, line{"crotch", "M200,0 L205,150 C205,210 225,240 260,245", "front/crotch", 10, ""},
		line{"inseam", "M260,245 L260,700", "back/inseam", 10, ""}, line{"hem", "M260,700 L-30,700", "", 10, ""},
		line{"side", "M-30,700 L0,190", "back/side", 10, ""}, line{"pocket", "M0,190 L60,0", "", 10, ""})
	back := lines(
		line{"waist", "M0,0 L200,0", "", 10, ""}, line{"crotch", "M200,0 L205,150 C205,210 240,240 320,245", "back/crotch", 10, ""},
		line{"inseam", "M320,245 L320,700", "front/inseam", 10, ""}, line{"hem", "M320,700 L-40,700", "", 10, ""},
		line{"side", "M-40,700 L-10,190 L0,0", "hip-yoke/side", 10, ""})
	back[4].Joins = []string{"hip-yoke/side", "front/side"}
	yoke := lines(line{"waist", "M10,0 L60,0", "", 10, ""}, line{"", "M60,0 L170,0 L170,260 L0,260", "", 10, ""}, line{"", "M0,260 L0,190", "", 10, ""}, line{"side", "M0,190 L10,0", "back/side", 10, ""})
	views, rest := laidFlat(t, &plan.Document{Pieces: slices.Concat(copies("front", front), copies("back", back), copies("hip-yoke", yoke))})
	require.Empty(t, rest)
	box := hangsStraight(t, views[0])
	for _, side := range []string{" 1", " 2"} {
		require.InDelta(t, box["front"+side].Min[1], box["hip-yoke"+side].Min[1], 2, "level with the waist")
		outer := box["front"+side].Max[0] - 30 - box["hip-yoke"+side].Max[0] // the hem lies 30 mm further out than the pocket's end
		if box["hip-yoke"+side].Center()[0] < box["front 1"].Union(box["front 2"]).Center()[0] {
			outer = box["front"+side].Min[0] + 30 - box["hip-yoke"+side].Min[0]
		}
		require.InDelta(t, 0, outer, 15)
	}
}

// A wrap with sleeves in one with the body, a seam under them that runs level, and a
// gusset: each front hangs on its own side, and the gusset lies beside the garment.
func TestAWrapWithGussets(t *testing.T) {
	half := func(of string) []plan.Edge {
		return lines(
			line{"shoulder", "M72,0 L430,150", of + "shoulder", 10, ""}, line{"sleeve-hem", "M430,150 L385,262", "", 10, ""},
			line{"under-sleeve", "M385,262 L252,262", of + "under-sleeve", 10, ""},
			line{"gusset-sleeve", "M252,262 L205,205", "gusset/front-sleeve", 10, ""}, line{"gusset-body", "M205,205 L248,265", "gusset/front-body", 10, ""},
			line{"side", "M248,265 L262,520", of + "side", 10, ""})
	}
	left := append(half("back/"), lines(line{"hem", "M262,520 L-60,520", "", 10, ""}, line{"wrap", "M-60,520 L72,0", "", 10, ""})...)
	right := copies("", left)[1].Edges
	back := append(half(""), lines(line{"hem", "M262,520 L0,520", "", 10, ""})...)
	back = append(lines(line{"neck", "M0,20 L72,0", "", 10, ""}), back...)
	gusset := lines(line{"back-sleeve", "M0,-64 L36,0", "back/gusset-sleeve", 10, ""}, line{"back-body", "M36,0 L0,64", "back/gusset-body", 10, ""},
		line{"front-body", "M0,64 L-36,0", "front-right/gusset-body", 10, ""}, line{"front-sleeve", "M-36,0 L0,-64", "front-right/gusset-sleeve", 10, ""})
	single := func(name string, edges []plan.Edge) plan.Piece {
		return plan.Piece{Name: name, Copy: 1, GrainDeg: 90, Edges: edges, SeamLine: seamLine(edges)}
	}
	for first := range left { // wherever its outline starts
		turned := append(append([]plan.Edge{}, left[first:]...), left[:first]...)
		d := &plan.Document{Pieces: append([]plan.Piece{onTheFold("back", back), single("front-right", right), single("front-left", turned)}, copies("gusset", gusset)...)}
		views, rest := laidFlat(t, d)
		require.Len(t, rest, 2)
		box := hangsStraight(t, views[0])
		require.Len(t, box, 2)
		// Seen from in front, the wearer's left is on the right.
		require.InDelta(t, box["front-right 1"].Min[1], box["front-left 1"].Min[1], 1)
		require.InDelta(t, 860, box["front-left 1"].Max[0]-box["front-right 1"].Min[0], 2)
		require.Len(t, hangsStraight(t, views[1]), 1)
	}
}

// A line is parted into what some outlines leave free.
func TestOutside(t *testing.T) {
	square := func(x float64) []orb.Point { return []orb.Point{{x, -10}, {x + 20, -10}, {x + 20, 10}, {x, 10}} }
	got := outside([]orb.Point{{0, 0}, {100, 0}}, [][]orb.Point{square(-5), square(40)})
	require.Len(t, got, 2)
	require.InDeltaSlice(t, []float64{15, 40, 60, 100}, []float64{got[0].Start()[0], got[0].End()[0], got[1].Start()[0], got[1].End()[0]}, 1.5)
	line, from, to := longest([]orb.Point{{0, 0}, {100, 0}}, got)
	require.InDeltaSlice(t, []float64{0.6, 1}, []float64{from, to}, 0.015)
	require.InDelta(t, 100, line[len(line)-1][0], 1e-6)
	require.Len(t, outside([]orb.Point{{0, 0}, {100, 0}}, nil), 1)
}

// Of two equal copies that are sewn to each other at both sides one is the front and one the
// back, and tiers hang below each other, gathered or not.
func TestTiersHangInFrontAndBehind(t *testing.T) {
	tier := func(name, above, below string, wide, copy int) plan.Piece {
		d := func(format string, a ...any) string { return fmt.Sprintf(format, a...) }
		half := lines(line{"upper", d("M0,0 L%d,0", wide), above, 10, ""}, line{"side", d("M%[1]d,0 L%[1]d,200", wide), name + "/side", 10, ""}, line{"lower", d("M%d,200 L0,200", wide), below, 10, ""})
		p := onTheFold(name, half)
		p.Copy = copy
		return p
	}
	var pieces []plan.Piece
	for copy := 1; copy <= 2; copy++ {
		pieces = append(pieces, tier("tier one", "", "tier two/upper", 200, copy), tier("tier two", "tier one/lower", "", 300, copy))
	}
	views, rest := laidFlat(t, &plan.Document{Pieces: pieces})
	require.Empty(t, rest)
	for k, copy := range []string{" 1", " 2"} {
		box := hangsStraight(t, views[k])
		require.Len(t, box, 2)
		require.InDelta(t, box["tier one"+copy].Max[1], box["tier two"+copy].Min[1], 1)
		require.InDelta(t, box["tier one"+copy].Center()[0], box["tier two"+copy].Center()[0], 1)
	}
	// The two layers of a flap are no front and no back.
	views, rest = laidFlat(t, &plan.Document{Pieces: append(pieces, tier("flap", "", "", 80, 1), tier("flap", "", "", 80, 2))})
	require.Len(t, rest, 2)
	for k, copy := range []string{" 1", " 2"} {
		require.NotContains(t, hangsStraight(t, views[k]), "flap"+copy)
	}
}
