package draw

import (
	"strings"
	"testing"

	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// shirt is a shirt of oblongs: two fronts, a back under a yoke that is cut twice, a stand
// and a collar that are cut twice too, and sleeves with cuffs of two layers.
func shirt() *plan.Document {
	d := &plan.Document{}
	add := func(name string, copies int, mirrored bool, edges []plan.Edge) {
		for k := range copies {
			p := plan.Piece{Name: name, Copy: k + 1, GrainDeg: 90, Edges: edges}
			if mirrored {
				p.Side = "right"
				if k >= copies/2 {
					p.Side, p.Flipped, p.Edges = "left", true, unfolded(edges)[len(edges):]
				}
			}
			d.Pieces = append(d.Pieces, p)
		}
	}
	add("front", 2, true, lines(line{"neck", "M0,60 L60,0", "stand/neck-front", 10, ""}, line{"shoulder", "M60,0 L150,30", "yoke/shoulder", 10, ""},
		line{"armhole", "M150,30 L200,170", "sleeve/cap-front", 10, ""}, line{"side", "M200,170 L200,400", "back/side", 10, ""}, line{"hem", "M200,400 L0,400", "", 10, ""}, line{"centre", "M0,400 L0,60", "", 10, ""}))
	add("yoke", 2, false, unfolded(lines(line{"neck", "M0,20 L60,0", "stand/neck-back", 10, ""}, line{"shoulder", "M60,0 L150,30", "front/shoulder", 10, ""},
		line{"armhole", "M150,30 L150,90", "sleeve/cap-back", 10, ""}, line{"bottom", "M150,90 L0,90", "back/top", 10, ""})))
	add("back", 1, false, unfolded(lines(line{"top", "M0,0 L150,0", "yoke/bottom", 10, ""}, line{"armhole", "M150,0 L200,120", "sleeve/cap-back", 10, ""},
		line{"side", "M200,120 L200,350", "front/side", 10, ""}, line{"hem", "M200,350 L0,350", "", 10, ""})))
	add("sleeve", 2, true, lines(line{"cap-back", "M0,55 L190,0", "yoke/armhole, back/armhole", 10, ""}, line{"cap-front", "M190,0 L340,55", "front/armhole", 10, ""},
		line{"underarm", "M340,55 L320,300", "", 10, ""}, line{"wrist", "M320,300 L20,300", "cuff/top", 10, ""}, line{"underarm", "M20,300 L0,55", "", 10, ""}))
	add("stand", 2, false, unfolded(lines(line{"top", "M0,0 L148,0", "collar/neck", 10, ""}, line{"end", "M148,0 L148,30", "", 10, ""},
		line{"neck-front", "M148,30 L63,30", "front/neck", 10, ""}, line{"neck-back", "M63,30 L0,30", "yoke/neck", 10, ""})))
	add("collar", 2, false, unfolded(lines(line{"outer", "M0,0 L148,0", "collar/outer", 10, ""}, line{"point", "M148,0 L148,60", "collar/point", 10, ""}, line{"neck", "M148,60 L0,60", "stand/top", 10, ""})))
	add("cuff", 4, true, lines(line{"top", "M0,0 L300,0", "sleeve/wrist", 10, ""}, line{"end", "M300,0 L300,60", "", 10, ""}, line{"bottom", "M300,60 L0,60", "", 10, ""}, line{"end", "M0,60 L0,0", "", 10, ""}))
	return d
}

// Of layers one is drawn on the garment, each where it is sewn, and the note says of
// the others that they lie under it. A collar is turned down over its stand.
func TestLayersAreDrawnOnce(t *testing.T) {
	views, rest := laidFlat(t, shirt())
	require.Equal(t, []string{"yoke", "stand", "collar", "cuff", "cuff"}, rest)
	require.Len(t, views, 2)
	require.Len(t, views[0].body, 2)
	require.Len(t, views[1].body, 2)
	for _, f := range views {
		require.Len(t, f.sleeves, 2)
		of := map[string]int{}
		for _, b := range f.bands {
			require.Contains(t, []string{"stand1", "collar1", "cuff1", "cuff3"}, b.piece.Name+string(rune('0'+b.piece.Copy)))
			of[b.piece.Name]++
		}
		require.Equal(t, of["stand"], of["collar"])
		require.NotZero(t, of["collar"])
		require.Equal(t, 2, of["cuff"])
	}
	yoke, back := views[1].body[0], views[1].body[1]
	require.Equal(t, "yoke", yoke.piece.Name)
	a, b := orb.MultiPoint(apply(yoke.m, yoke.piece.ring())).Bound(), orb.MultiPoint(apply(back.m, back.piece.ring())).Bound()
	require.InDelta(t, a.Center()[0], b.Center()[0], 1e-6)
	require.InDelta(t, a.Max[1], b.Min[1], 1e-6)

	o, err := Of(shirt()).outfit(new(plan.Option))
	require.NoError(t, err)
	_, loose := o.lay()
	require.Equal(t, "Drawn beside the garment: yoke, stand, collar, cuff (a layer under one that is drawn on it).", o.besideNote(loose))
}

// A stand of which one edge goes all round the neck tells so by its length: the collar, sewn to
// the stand that is drawn, lay on one half of the neck alone.
func TestAStandGoesAllRound(t *testing.T) {
	d := shirt()
	stand := lines(line{"top", "M-148,0 L148,0", "collar/neck", 10, ""}, line{"", "M148,0 L148,30", "", 10, ""}, line{"neck", "M148,30 L-148,30", "front/neck", 10, ""}, line{"", "M-148,30 L-148,0", "", 10, ""})
	stand[2].Joins = []string{"yoke/neck", "front/neck"}
	for i := range d.Pieces {
		p := &d.Pieces[i]
		if p.Name == "stand" {
			p.Edges = stand
			continue
		}
		for k := range p.Edges {
			if p.Edges[k].Name == "neck" && p.Name != "collar" {
				p.Edges[k].Joins = []string{"stand/neck"}
			}
		}
	}
	views, rest := laidFlat(t, d)
	require.Equal(t, []string{"yoke", "stand", "collar", "cuff", "cuff"}, rest)
	for k, halves := range []int{2, 2} {
		n := 0
		for _, b := range views[k].bands {
			if b.piece.Name == "collar" {
				n++
			}
		}
		require.Equal(t, halves, n, views[k].name)
	}
}

// A front that is cut twice, once for the back, is no layer, and neither are two cuffs,
// one for each sleeve.
func TestCopiesSideBySideAreDrawn(t *testing.T) {
	d := shirt()
	for i := range d.Pieces {
		p := &d.Pieces[i]
		if p.Name != "yoke" {
			continue
		}
		for k := range p.Edges {
			if p.Edges[k].Name == "bottom" {
				p.Edges[k].Joins = []string{"yoke/bottom"}
			}
		}
	}
	o, err := Of(d).outfit(new(plan.Option))
	require.NoError(t, err)
	for _, p := range o.pieces {
		require.False(t, p.Name == "yoke" && o.under[p])
	}
	cuffs := &plan.Document{Pieces: []plan.Piece{
		{Name: "sleeve", Copy: 1, GrainDeg: 90, Edges: lines(line{"cap-", "M0,0 L100,0", "", 10, ""}, line{"", "M100,0 L100,300", "", 10, ""}, line{"wrist", "M100,300 L0,300", "", 10, ""}, line{"", "M0,300 L0,0", "", 10, ""})},
		{Name: "cuff", Copy: 1, GrainDeg: 90, Edges: lines(line{"top", "M0,0 L100,0", "sleeve/wrist", 10, ""}, line{"", "M100,0 L100,20 L0,20 L0,0", "", 10, ""})},
	}}
	for k := range 2 {
		again := cuffs.Pieces[k]
		again.Copy = 2
		cuffs.Pieces = append(cuffs.Pieces, again)
	}
	o, err = Of(cuffs).outfit(new(plan.Option))
	require.NoError(t, err)
	require.Empty(t, o.under)
}

// A slender gore that runs from waist to hem is of the body, and no band; the number of
// a gore that the next laps over is set where it is seen.
func TestGoresAreNoBands(t *testing.T) {
	gore := func(name string, copy int, edges []plan.Edge) plan.Piece {
		return plan.Piece{Name: name, Copy: copy, GrainDeg: 90, Edges: edges}
	}
	half := lines(line{"waist", "M0,0 L60,0", "waistband/long", 10, ""}, line{"princess", "M60,0 L140,600", "side-back/princess", 10, ""}, line{"hem", "M140,600 L0,600", "", 10, ""}, line{"centre-back", "M0,600 L0,0", "centre-back/centre-back", 10, ""})
	side := lines(line{"waist", "M0,0 L70,0", "waistband/long", 10, ""}, line{"side", "M70,0 L150,600", "side-front/side", 10, ""}, line{"hem", "M150,600 L-80,600", "", 10, ""}, line{"princess", "M-80,600 L0,0", "centre-back/princess", 10, ""})
	d := &plan.Document{Pieces: []plan.Piece{
		gore("side-back", 1, side), gore("side-back", 2, unfolded(side)[len(side):]), gore("centre-back", 1, half), gore("centre-back", 2, unfolded(half)[len(half):]),
		{Name: "waistband", Copy: 1, Edges: lines(line{"long", "M0,40 L260,40", "centre-back/waist, side-back/waist", 10, ""}, line{"", "M260,40 L260,0 L0,0 L0,40", "", 10, ""})},
	}}
	views, rest := laidFlat(t, d)
	require.Empty(t, rest)
	require.Len(t, views, 1)
	require.Len(t, views[0].body, 4)
	require.Len(t, views[0].bands, 4, "the waistband stands over all")

	option := plan.Option{}
	o, err := Of(d).outfit(new(plan.Option))
	require.NoError(t, err)
	for _, w := range o.pieces {
		part := plan.Part{Name: w.Name + string(rune('0'+w.Copy)), Piece: w.Name, Copy: w.Copy, Edges: w.Edges}
		for _, q := range w.ring() {
			part.SeamLine = append(part.SeamLine, plan.Point(q))
		}
		part.CutLine = part.SeamLine
		option.Parts = append(option.Parts, part)
	}
	d.Options = []plan.Option{option}
	g, err := Of(d).garment(0)
	require.NoError(t, err)
	p, err := g.view(views[0])
	require.NoError(t, err)
	for i, b := range views[0].body {
		number := p.labels[i]
		for _, above := range rings(views[0].body[i+1:]) {
			require.False(t, plane.Holds(above, number.at), "the number of %s is hidden", b.piece.Name)
		}
	}
	require.False(t, strings.Contains(p.body, "NaN"))
}

// Where a seam takes in a dart the body shows no gap: what lies between the parts is
// painted in the cloth beside it.
func TestNoGapWhereADartIsTakenIn(t *testing.T) {
	ring := []orb.Point{{0, 0}, {200, 0}, {200, 400}, {0, 400}}
	outline := []plan.Point{{0, 0}, {200, 0}, {200, 190}, {120, 195}, {120, 205}, {200, 215}, {200, 400}, {0, 400}}
	require.Equal(t, []orb.Point{{200, 190}, {120, 195}, {120, 205}, {200, 215}}, notchAt(outline, ring, plan.Point{110, 200}))
	require.Empty(t, notchAt([]plan.Point{{0, 0}, {200, 0}, {200, 400}, {0, 400}}, ring, plan.Point{110, 200}))
}

// A sleeve's rib is its cuff by another name, and no sleeve.
func TestASleevesRibIsItsCuff(t *testing.T) {
	d := shirt()
	for i := range d.Pieces {
		p := &d.Pieces[i]
		if p.Name == "cuff" {
			p.Name = "sleeve-rib"
		}
		for k, e := range p.Edges {
			if len(e.Joins) > 0 && e.Joins[0] == "cuff/top" {
				p.Edges[k].Joins = []string{"sleeve-rib/top"}
			}
		}
	}
	views, rest := laidFlat(t, d)
	require.Equal(t, []string{"yoke", "stand", "collar", "sleeve-rib", "sleeve-rib"}, rest)
	for _, f := range views {
		require.Len(t, f.sleeves, 2)
		for _, s := range f.sleeves {
			require.Equal(t, "sleeve", s.piece.Name)
		}
	}
}
