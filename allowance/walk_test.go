package allowance

import (
	"slices"
	"testing"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// sewn is a piece with straight edges of the given names and lengths; only
// the lengths and joins matter to a walk.
func sewn(name string, count int, edges ...piece.Edge) *piece.Piece {
	return &piece.Piece{Name: name, Count: count, Outline: edges}
}

func straightEdge(name string, mm float64, joins ...piece.Ref) piece.Edge {
	return piece.Edge{Name: name, Line: curve.Polyline(orb.Point{0, 0}, orb.Point{mm, 0}), Joins: joins}
}

func TestWalk(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	front := sewn("front", 1,
		straightEdge("shoulder", 120, ref("back", "shoulder")), straightEdge("armhole", 230, ref("sleeve", "cap")),
		straightEdge("armhole", 230, ref("sleeve", "cap")), straightEdge("shoulder", 120, ref("back", "shoulder")),
		straightEdge("neck", 250, ref("neckband", "long"), ref("collar", "neck")))
	back := sewn("back", 1,
		straightEdge("shoulder", 121, ref("front", "shoulder")), straightEdge("armhole", 240, ref("sleeve", "cap")),
		straightEdge("armhole", 240, ref("sleeve", "cap")), straightEdge("shoulder", 121, ref("front", "shoulder")),
		straightEdge("neck", 150, ref("neckband", "long")))
	sleeve := sewn("sleeve", 2, straightEdge("cap", 480, ref("front", "armhole"), ref("back", "armhole")),
		straightEdge("under", 90, ref("sleeve", "under")), straightEdge("under", 92, ref("sleeve", "under")))
	neckband := sewn("neckband", 1, straightEdge("long", 390, ref("front", "neck"), ref("back", "neck")))

	got := Walk([]*piece.Piece{front, back, sleeve, neckband})
	require.Equal(t, []Walked{
		{A: []piece.Ref{ref("front", "shoulder")}, B: []piece.Ref{ref("back", "shoulder")}, TimesA: []int{1}, TimesB: []int{1}, AMM: 120, BMM: 121, Seams: 2},
		{A: []piece.Ref{ref("front", "armhole"), ref("back", "armhole")}, B: []piece.Ref{ref("sleeve", "cap")}, TimesA: []int{1, 1}, TimesB: []int{1}, AMM: 470, BMM: 480, Seams: 2},
		{A: []piece.Ref{ref("front", "neck"), ref("back", "neck")}, B: []piece.Ref{ref("neckband", "long")}, TimesA: []int{1, 1}, TimesB: []int{1}, AMM: 400, BMM: 390, Seams: 1},
		{A: []piece.Ref{ref("sleeve", "under")}, B: []piece.Ref{ref("sleeve", "under")}, TimesA: []int{1}, TimesB: []int{1}, AMM: 90, BMM: 92, Seams: 2},
	}, got)
	require.InDelta(t, 10, got[2].DifferenceMM(), 1e-9)
}

// A pocket bag covers a stretch of a side seam, whichever is drawn first: its four
// copies are not laid end to end along one side. One about as long as its edge is walked
// as any other, and so is a piece of another name, or one that is gathered: four bags laid
// end to end would be gathered into one side, and no maker means that.
func TestWalkAlongAStretch(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	for _, c := range []struct {
		name            string
		bagMM, easeMM   float64
		stretch, warned bool
	}{
		{"pocket-bag", 150, 0, true, false}, {"pocket-bag", 150, 30, false, true}, {"gusset", 150, 0, false, true}, {"pocket", 560, 0, false, false}, {"pocket", 500, 0, false, true},
	} {
		opening := straightEdge("opening", c.bagMM, ref("front", "side"))
		opening.Ease = piece.Ease{MM: c.easeMM}
		pieces := []*piece.Piece{
			sewn(c.name, 4, opening),
			sewn("front", 2, straightEdge("side", 567, ref("back", "side"), ref(c.name, "opening"))),
			sewn("back", 2, straightEdge("side", 567, ref("front", "side"))),
		}
		pieces[1].Mirrored, pieces[2].Mirrored = true, true
		for range 2 {
			require.Equal(t, c.warned, len(Warnings(pieces)) > 0, "%+v", c)
			if c.stretch {
				got := Walk(pieces)
				require.Contains(t, got, Walked{A: []piece.Ref{ref(c.name, "opening")}, B: []piece.Ref{ref("front", "side")}, TimesA: []int{1}, TimesB: []int{1}, AMM: 150, BMM: 567, Seams: 4, Stretch: true})
				require.Len(t, got, 2)
			}
			slices.Reverse(pieces)
		}
	}
}

// A facing and a collar on one neck edge are two seams, not one.
func TestWalkLayers(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	got := Walk([]*piece.Piece{
		sewn("front", 1, straightEdge("neck", 250, ref("facing", "neck"), ref("collar", "neck"))),
		sewn("facing", 1, straightEdge("neck", 249, ref("front", "neck"))),
		sewn("collar", 1, straightEdge("neck", 252, ref("front", "neck"))),
	})
	require.Len(t, got, 2)
	require.Equal(t, 249.0, got[0].BMM)
	require.Equal(t, 252.0, got[1].BMM)
}

// Both layers of a collar go on one neck; both fronts have a neck of their own.
func TestWalkLayersOfCopies(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	got := Walk([]*piece.Piece{
		sewn("front", 2, straightEdge("neck", 120, ref("collar", "front"))),
		sewn("back", 1, straightEdge("neck", 160, ref("collar", "back"))),
		sewn("collar", 2, straightEdge("front", 121, ref("front", "neck")), straightEdge("front", 121, ref("front", "neck")),
			straightEdge("back", 161, ref("back", "neck"))),
	})
	require.Len(t, got, 2)
	for _, w := range got {
		require.InDelta(t, -1, w.DifferenceMM(), 1e-9)
	}
	require.Equal(t, 2, got[0].Seams)
}

// Both layers of a collar go round front and back: two seams, each of the whole neck.
func TestWalkLayersOfARow(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	necks := []piece.Ref{ref("front", "neck"), ref("back", "neck")}
	collars := []piece.Ref{ref("collar", "neck"), ref("undercollar", "neck")}
	got := Walk([]*piece.Piece{
		sewn("front", 2, straightEdge("neck", 120, collars...)), sewn("back", 1, straightEdge("neck", 160, collars...)),
		sewn("collar", 1, straightEdge("neck", 401, necks...)), sewn("undercollar", 1, straightEdge("neck", 399, necks...)),
	})
	require.Len(t, got, 2)
	require.InDelta(t, 1, got[0].DifferenceMM(), 1e-9)
	require.InDelta(t, -1, got[1].DifferenceMM(), 1e-9)
}

// In a row one piece may lie in layers: both of a yoke that is cut twice on the fold
// meet the same collar as one neck of either front.
func TestWalkLayersInARow(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	necks := []piece.Ref{ref("front", "neck"), ref("yoke", "neck")}
	yoke := sewn("yoke", 2, straightEdge("neck", 80, ref("collar", "neck")), straightEdge("neck", 80, ref("collar", "neck")))
	front, collar := sewn("front", 2, straightEdge("neck", 120, ref("collar", "neck"))), sewn("collar", 1, straightEdge("neck", 401, necks...))
	yoke.Centre = &piece.Axis{}
	got := Walk([]*piece.Piece{front, yoke, collar})
	require.Len(t, got, 1)
	require.Equal(t, []int{2, 2}, got[0].TimesA)
	require.InDelta(t, -1, got[0].DifferenceMM(), 1e-9)
	yoke.Centre, yoke.Outline = nil, yoke.Outline[:1] // a left and a right half
	got = Walk([]*piece.Piece{front, yoke, collar})
	require.InDelta(t, -1, got[0].DifferenceMM(), 1e-9)
}

// A yoke that is drawn whole and cut twice lies in layers too, whatever way its grain
// runs; a front that is cut twice and not alike on both sides is a left and a right.
func TestWalkLayersDrawnWhole(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	necks := []piece.Ref{ref("front", "neck"), ref("yoke", "neck")}
	front, collar := sewn("front", 2, straightEdge("neck", 120, ref("collar", "neck"))), sewn("collar", 1, straightEdge("neck", 401, necks...))
	for name, c := range map[string]struct {
		grainDeg, aside float64
		timesYoke       int
	}{
		"grain down": {90, 0, 1}, "grain across": {0, 0, 2}, "not alike on both sides": {90, 30, 2},
	} {
		q := []orb.Point{{0, 0}, {160, 0}, {200, 30 + c.aside}, {200, 100}, {-40, 100}, {-40, 30}}
		var o piece.Outline
		for i, edge := range []string{"neck", "shoulder", "armhole", "bottom", "armhole", "shoulder"} {
			o = append(o, piece.Edge{Name: edge, Line: curve.Polyline(q[i], q[(i+1)%len(q)])})
		}
		o[0].Joins = []piece.Ref{ref("collar", "neck")}
		yoke := &piece.Piece{Name: "yoke", Count: 2, Outline: o, GrainDeg: c.grainDeg}
		got := Walk([]*piece.Piece{front, yoke, collar})
		require.Len(t, got, 1, name)
		require.Equal(t, []int{2, c.timesYoke}, got[0].TimesA, name)
		require.Equal(t, c.timesYoke == 1, got[0].Sewable(), name)
	}
}

// The shoulders of two fronts are no row, though together they are as long as both of
// the back's: nothing joins them end to end. Necks that a shoulder seam joins are one.
func TestWalkRowsHangTogether(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	back := sewn("back", 1, straightEdge("shoulder", 120, ref("left", "shoulder"), ref("right", "shoulder")), straightEdge("neck", 200, ref("band", "long")),
		straightEdge("shoulder", 120, ref("left", "shoulder"), ref("right", "shoulder")), straightEdge("hem", 500))
	front := func(name string) *piece.Piece {
		return sewn(name, 1, straightEdge("shoulder", 121, ref("back", "shoulder")), straightEdge("neck", 150, ref("band", "long")), straightEdge("hem", 250))
	}
	band := sewn("band", 1, straightEdge("long", 500, ref("left", "neck"), ref("back", "neck"), ref("right", "neck")))
	got := Walk([]*piece.Piece{back, front("left"), front("right"), band})
	require.Len(t, got, 3)
	for i, name := range []string{"left", "right"} {
		require.Equal(t, []piece.Ref{ref(name, "shoulder")}, got[i].B)
		require.InDelta(t, -1, got[i].DifferenceMM(), 1e-9)
	}
	require.Len(t, got[2].A, 3)
}

// Gathers that the pattern tells of do not make one seam of several: each
// sleeve has its own cuff and armhole, and two skirt panels go round one band.
func TestWalkGathersEveryCopyOnce(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	eased := func(name string, mm, share float64, joins ...piece.Ref) piece.Edge {
		e := straightEdge(name, mm, joins...)
		e.Ease.Share = share
		return e
	}
	for _, c := range []struct {
		name     string
		pieces   []*piece.Piece
		aMM, bMM float64
		seams    int
	}{
		{"two sleeves into two cuffs", []*piece.Piece{
			sewn("sleeve", 2, eased("wrist", 210, 0.5, ref("cuff", "top"))),
			sewn("cuff", 2, straightEdge("top", 140, ref("sleeve", "wrist"))),
		}, 210, 140, 2},
		{"two puffed sleeves into the armholes of a body cut on the fold", []*piece.Piece{
			sewn("front", 1, straightEdge("armhole", 230, ref("sleeve", "cap")), straightEdge("armhole", 230, ref("sleeve", "cap"))),
			sewn("sleeve", 2, eased("cap", 390, 0.7, ref("front", "armhole"))),
		}, 230, 390, 2},
		{"two panels into one band", []*piece.Piece{
			sewn("panel", 2, eased("waist", 520, 0.6, ref("band", "bottom"))),
			sewn("band", 1, straightEdge("bottom", 720, ref("panel", "waist"))),
		}, 1040, 720, 1},
		{"a front and a back into one band", []*piece.Piece{
			sewn("front", 1, eased("waist", 520, 0.6, ref("band", "bottom"))),
			sewn("back", 1, eased("waist", 520, 0.6, ref("band", "bottom"))),
			sewn("band", 1, straightEdge("bottom", 720, ref("front", "waist"), ref("back", "waist"))),
		}, 1040, 720, 1},
	} {
		got := Walk(c.pieces)
		require.Len(t, got, 1, c.name)
		require.Equal(t, []float64{c.aMM, c.bMM}, []float64{got[0].AMM, got[0].BMM}, c.name)
		require.Equal(t, c.seams, got[0].Seams, c.name)
		require.True(t, got[0].Sewable(), c.name)
	}
}

// A length of ease tells by how much the sides differ, and so whether each of two
// layers takes in the whole of a sleeve, or one lies beside the other.
func TestWalkTellsLayersByTheirEase(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	for _, c := range []struct {
		onCuffMM, onSleeveMM float64
		cuffMM               float64
	}{
		{89, 0, 250}, {90, 0, 250}, {100, 0, 250}, {89, 89, 250}, {0, 89, 250},
		{80.6, 0, 500}, {0, 161.2, 500}, // frills of two widths each
	} {
		cuff, wrist := straightEdge("top", 250, ref("sleeve", "wrist")), straightEdge("wrist", 338.8, ref("cuff", "top"))
		cuff.Ease.MM, wrist.Ease.MM = c.onCuffMM, c.onSleeveMM
		pieces := []*piece.Piece{sewn("sleeve", 2, wrist), sewn("cuff", 4, cuff)}
		pieces[0].Mirrored, pieces[1].Mirrored = true, true
		got := Walk(pieces)
		require.Len(t, got, 1)
		require.Equal(t, []float64{338.8, c.cuffMM}, []float64{got[0].AMM, got[0].BMM}, "%+v", c)
	}
}

func TestWalkClosesDarts(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	front := sewn("front", 1, straightEdge("side", 220, ref("back", "side")))
	front.Outline[0].Notches = []piece.Notch{{AtMM: 50, Count: 1}, {AtMM: 113, Count: 1}, {AtMM: 180, Count: 2}}
	front.Darts = []piece.Dart{{Leg1: orb.Point{100, 0}, Apex: orb.Point{110, 90}, Leg2: orb.Point{126, 0}}}
	back := sewn("back", 1, straightEdge("side", 194, ref("front", "side")))
	back.Outline[0].Notches = []piece.Notch{{AtMM: 194 - 154, Count: 2}, {AtMM: 194 - 50, Count: 1}}
	got := Walk([]*piece.Piece{front, back})
	require.Len(t, got, 1)
	require.InDelta(t, 194, got[0].AMM, 1e-9)
	require.InDelta(t, 0, got[0].DifferenceMM(), 1e-9)
	require.Equal(t, []Mate{{50, 50, 1}, {154, 154, 2}}, got[0].Mates)
	require.Zero(t, got[0].Single)
}

// Cutting an edge in two, or mirroring its piece, changes no walk.
func TestWalkIsTheSameInTwo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := randomOutline(t)
		join := piece.Ref{Piece: "back", Edge: "side"}
		o[0].Name, o[0].Joins = "side", []piece.Ref{join}
		back := sewn("back", 1, straightEdge("side", o[0].Line.Length()*rapid.Float64Range(0.95, 1.05).Draw(t, "ease"), piece.Ref{Piece: "front", Edge: "side"}))
		whole := Walk([]*piece.Piece{{Name: "front", Outline: o}, back})
		at := o[0].Line.Length() * rapid.Float64Range(0.1, 0.9).Draw(t, "cut")
		halves := append(piece.Outline{o[0].Between(0, at), o[0].Between(at, o[0].Line.Length())}, o[1:]...)
		front := &piece.Piece{Name: "front", Outline: halves.Transform(curve.Mirror(orb.Point{3, 4}, orb.Point{-7, 1}))}
		two := Walk([]*piece.Piece{front, back})
		require.Len(t, two, 1)
		require.InDelta(t, whole[0].AMM, two[0].AMM, 1e-6)
	})
}

// A bib that is too narrow for its band, both cut twice, is told as it was drawn: two bibs
// beside each other would be nearer to the band's length, and are not meant.
func TestWalkTellsWhatIsDrawnWrong(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	for bib, want := range map[float64][2]float64{210: {210, 310}, 155: {310, 310}} { // of the narrower ones two go side by side
		got := Walk([]*piece.Piece{sewn("bib", 2, straightEdge("bottom", bib, ref("band", "top"))), sewn("band", 2, straightEdge("top", 310, ref("bib", "bottom")))})
		require.Len(t, got, 1)
		require.Equal(t, want, [2]float64{got[0].AMM, got[0].BMM})
	}
}

// mirroredPair is a left and a right with an edge so long, and onFold a piece on the fold
// with half of the edge so long on either side: unfolded it is one.
func mirroredPair(name, edge string, mm float64, joins ...piece.Ref) *piece.Piece {
	p := sewn(name, 2, straightEdge(edge, mm, joins...))
	p.Mirrored = true
	return p
}

func onFold(name, edge string, halfMM float64, joins ...piece.Ref) *piece.Piece {
	p := sewn(name, 1, straightEdge(edge, 2*halfMM, joins...))
	p.Centre = &piece.Axis{}
	return p
}

// A left and a right are sewn on beside what is cut on the fold, and beside each other:
// no reading takes one of them alone, on either side, to make a wrong length right.
func TestWalkLeftAndRightAreNoLayers(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	hooded := func(frontMM, sideMM float64) []*piece.Piece {
		return []*piece.Piece{
			mirroredPair("front", "neck", frontMM, ref("hood-side", "neck")), onFold("back", "neck", 70, ref("hood-side", "neck"), ref("hood-strip", "nape")),
			mirroredPair("hood-side", "neck", sideMM, ref("front", "neck"), ref("back", "neck")), onFold("hood-strip", "nape", 33, ref("back", "neck")),
		}
	}
	banded := func(bandMM float64) []*piece.Piece {
		return []*piece.Piece{
			onFold("front", "waist", 150, ref("waistband", "long")), mirroredPair("back", "waist", 140, ref("waistband", "long")),
			sewn("waistband", 1, straightEdge("long", bandMM, ref("front", "waist"), ref("back", "waist"))),
		}
	}
	panelled := func(frontMM, sideMM float64) []*piece.Piece {
		up, down := []piece.Ref{ref("bodice-front", "waist"), ref("bodice-side", "waist")}, []piece.Ref{ref("skirt-front", "waist"), ref("skirt-side", "waist")}
		return []*piece.Piece{
			onFold("bodice-front", "waist", 100, down...), mirroredPair("bodice-side", "waist", 120, down...),
			onFold("skirt-front", "waist", frontMM, up...), mirroredPair("skirt-side", "waist", sideMM, up...),
		}
	}
	tiered := func(bandMM float64) []*piece.Piece {
		waist := ref("waistband", "long")
		return []*piece.Piece{
			onFold("skirt-front", "waist", 150, waist), mirroredPair("skirt-back", "waist", 140, waist), onFold("overlay-front", "waist", 150, waist), mirroredPair("overlay-back", "waist", 140, waist),
			sewn("waistband", 1, straightEdge("long", bandMM, ref("skirt-front", "waist"), ref("skirt-back", "waist"), ref("overlay-front", "waist"), ref("overlay-back", "waist"))),
		}
	}
	for _, c := range []struct {
		name     string
		pieces   []*piece.Piece
		aMM, bMM float64 // the lengths of the whole seam
	}{
		{"a waistband for a skirt and an overlay whose fold was forgotten", tiered(290), 1160, 290},
		{"a hood 78 mm too long", hooded(62, 138), 264, 342},
		{"a hood 42 mm too long", hooded(80, 138), 300, 342},
		{"a hood that fits", hooded(80, 117), 300, 300},
		{"a waistband whose fold was forgotten", banded(290), 580, 290},
		{"and one as long as the back", banded(280), 580, 280},
		{"a waistband with one back forgotten", banded(440), 580, 440},
		{"a waistband that fits", banded(580), 580, 580},
		{"a skirt too wide for its bodice", panelled(140, 160), 440, 600},
		{"and one that is told from a shorter one", panelled(140, 140), 440, 560},
		{"a skirt that fits", panelled(120, 100), 440, 440},
	} {
		got := Walk(c.pieces)
		require.Len(t, got, 1, c.name)
		seams := float64(got[0].Seams)
		require.InDelta(t, c.aMM, got[0].AMM*seams, 1e-9, c.name)
		require.InDelta(t, c.bMM, got[0].BMM*seams, 1e-9, c.name)
		require.Equal(t, c.aMM == c.bMM, len(Warnings(c.pieces)) == 0, c.name)
	}
}

// What can be a layer still is one: a collar of two pieces that are sewn to each other, a
// flap that is cut as a left and a right, the two long edges of a band that is folded, and
// the lining beside its garment in a waistband.
func TestWalkRealLayers(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	ended := func(name, other string, mm float64) *piece.Piece {
		return sewn(name, 1, straightEdge("neck", mm, ref("front", "neck"), ref("back", "neck")), straightEdge("end", 60, ref(other, "end")), straightEdge("fall", mm), straightEdge("end", 60, ref(other, "end")))
	}
	necks := []piece.Ref{ref("collar", "neck"), ref("undercollar", "neck")}
	waist := ref("waistband", "long")
	for _, c := range []struct {
		name   string
		pieces []*piece.Piece
		seams  int
	}{
		{"a collar and an undercollar", []*piece.Piece{
			mirroredPair("front", "neck", 120, necks...), onFold("back", "neck", 80, necks...), ended("collar", "undercollar", 401), ended("undercollar", "collar", 399),
		}, 3},
		{"a collar of two on a front cut on the fold", []*piece.Piece{
			onFold("front", "neck", 120, ref("collar", "neck")), onFold("back", "neck", 80, ref("collar", "neck")), sewn("collar", 2, straightEdge("neck", 401, ref("front", "neck"), ref("back", "neck"))),
		}, 1},
		{"a flap of two layers", []*piece.Piece{
			sewn("front", 1, straightEdge("slit", 140, ref("flap", "top"))), mirroredPair("flap", "top", 140, ref("front", "slit")),
		}, 1},
		{"a yoke of two layers that is drawn a little uneven", []*piece.Piece{
			sewn("back", 1, straightEdge("top", 420, ref("yoke", "bottom"))), sewn("yoke", 2, straightEdge("bottom", 421, ref("back", "top"))),
		}, 1},
		{"a band that is folded", []*piece.Piece{
			onFold("front", "waist", 150, waist), mirroredPair("back", "waist", 140, waist), sewn("waistband", 1, straightEdge("long", 580, ref("front", "waist"), ref("back", "waist")), straightEdge("long", 580, ref("front", "waist"), ref("back", "waist"))),
		}, 1},
		{"a skirt and an overlay in a waistband", []*piece.Piece{
			onFold("skirt-front", "waist", 150, waist), mirroredPair("skirt-back", "waist", 140, waist), onFold("overlay-front", "waist", 150, waist), mirroredPair("overlay-back", "waist", 140, waist),
			sewn("waistband", 1, straightEdge("long", 580, ref("skirt-front", "waist"), ref("skirt-back", "waist"), ref("overlay-front", "waist"), ref("overlay-back", "waist"))),
		}, 2},
		{"a lining in a waistband", []*piece.Piece{
			mirroredPair("skirt-front", "waist", 150, waist), mirroredPair("lining-front", "waist", 150, waist),
			sewn("waistband", 1, straightEdge("long", 300, ref("skirt-front", "waist"), ref("lining-front", "waist"))),
		}, 2},
	} {
		require.Len(t, Walk(c.pieces), c.seams, c.name)
		require.Empty(t, Warnings(c.pieces), c.name)
	}
}
