package draw

import (
	"slices"
	"strings"
	"testing"

	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func laidFlat(t *testing.T, d *plan.Document) (views []*flat, rest []string) {
	t.Helper()
	o, err := Of(d).outfit(new(plan.Option))
	require.NoError(t, err)
	views, loose := o.lay()
	for _, r := range loose {
		rest = append(rest, r.Name)
	}
	return views, rest
}

func TestSleevesHangAtTheArmholes(t *testing.T) {
	views, rest := laidFlat(t, tshirt())
	require.Empty(t, rest)
	require.Len(t, views, 2)
	for i, f := range views {
		require.Equal(t, []string{"front", "back"}[i], f.name)
		require.Len(t, f.body, 1)
		require.Len(t, f.sleeves, 2)
		body := orb.MultiPoint(apply(f.body[0].m, f.body[0].piece.ring())).Bound()
		sides := map[bool]int{}
		for _, s := range f.sleeves {
			require.Greater(t, s.m[0]*s.m[3]-s.m[1]*s.m[2], 0.0, "no sleeve is mirrored: there is one for each side")
			shown := apply(s.m, s.keep.clip(s.piece.ring()))
			box := orb.MultiPoint(shown).Bound()
			right := box.Center()[0] > body.Center()[0]
			sides[right]++
			// Most of it is outside the body, and none much above it.
			if right {
				require.Greater(t, box.Max[0], body.Max[0]+50)
				require.Greater(t, box.Min[0], body.Center()[0])
			} else {
				require.Less(t, box.Min[0], body.Min[0]-50)
				require.Less(t, box.Max[0], body.Center()[0])
			}
			require.Greater(t, box.Min[1], body.Min[1]-20)
			require.Less(t, box.Max[1], body.Center()[1])
			// The ends of the cap are at the ends of the armhole.
			ends := 0
			for _, e := range f.body[0].piece.edges {
				if e.Name != "armhole" {
					continue
				}
				a := e.path.Transform(f.body[0].m)
				for _, q := range []orb.Point{a.Start(), a.End()} {
					if plane.ToRing(shown, q) < 1 {
						ends++
					}
				}
			}
			require.Equal(t, 2, ends, "sleeve %d of the %s", s.piece.Copy, f.name)
		}
		require.Equal(t, map[bool]int{false: 1, true: 1}, sides, "one on each side")
		require.NotEmpty(t, f.bands, "the neckband has a neck edge of the same name")
	}
	// The half of a sleeve sewn to the front is on the front.
	one := views[0].sleeves[slices.IndexFunc(views[0].sleeves, func(p placed) bool { return p.piece.Copy == 1 })]
	other := views[1].sleeves[slices.IndexFunc(views[1].sleeves, func(p placed) bool { return p.piece.Copy == 1 })]
	require.Greater(t, one.keep.depth(orb.Point{150, 150}), 0.0)
	require.Less(t, one.keep.depth(orb.Point{-150, 150}), 0.0)
	require.Greater(t, other.keep.depth(orb.Point{-150, 150}), 0.0)
}

// A cap drawn as one edge that joins both armholes is hung just as well.
func TestOneCapForBothArmholes(t *testing.T) {
	d := tshirt()
	for i := range d.Pieces {
		p := &d.Pieces[i]
		for k := range p.Edges {
			if p.Edges[k].Name == "armhole" {
				p.Edges[k].Joins = []string{"sleeve/cap"}
			}
		}
		if p.Name != "sleeve" {
			continue
		}
		var edges []plan.Edge
		for _, e := range p.Edges {
			if n := len(edges); strings.HasPrefix(e.Name, "cap-") && n > 0 && edges[n-1].Name == "cap" {
				_, tail, _ := strings.Cut(e.D, " ")
				edges[n-1].D += " " + tail
				continue
			}
			if strings.HasPrefix(e.Name, "cap-") {
				e.Name, e.Joins = "cap", []string{"front/armhole", "back/armhole"}
			}
			edges = append(edges, e)
		}
		p.Edges = edges
	}
	views, rest := laidFlat(t, d)
	require.Empty(t, rest)
	require.Len(t, views[0].sleeves, 2)
	require.Len(t, views[1].sleeves, 2)
}

// Two mirrored half fronts lie side by side, armholes outward.
func TestHalfFronts(t *testing.T) {
	d := tshirt()
	half := d.Pieces[0]
	half.Edges = lines(
		line{"neck", "M0,95 C50,95 67.16,48.84 85,0", "", 10, ""},
		line{"shoulder", "M85,0 L200,42", "back/shoulder", 10, ""},
		line{"armhole", "M200,42 C186.28,79.57 177,108 177,150 C177,198 208,235 250,235", "sleeve/cap-front", 10, ""},
		line{"side", "M250,235 L258,636", "back/side", 10, ""},
		line{"hem", "M258,636 L0,640", "", 10, ""},
		line{"opening", "M0,640 L0,95", "", 10, ""})
	mirror := half
	mirror.Copy, mirror.Flipped = 2, true
	mirror.Edges = unfolded(half.Edges)[len(half.Edges):]
	d.Pieces = append([]plan.Piece{half, mirror}, d.Pieces[1:]...)
	views, _ := laidFlat(t, d)
	require.Len(t, views[0].body, 2)
	a := orb.MultiPoint(apply(views[0].body[0].m, views[0].body[0].piece.ring())).Bound()
	b := orb.MultiPoint(apply(views[0].body[1].m, views[0].body[1].piece.ring())).Bound()
	require.InDelta(t, a.Min[0], b.Max[0], 1e-6, "the second lies to the left of the first")
	require.Len(t, views[0].sleeves, 2)
}

// Raglan sleeves reach the neck, and every cuff is on the sleeve of its number.
func TestRaglanSleevesAndCuffs(t *testing.T) {
	d := &plan.Document{}
	body := func(name string) plan.Piece {
		return plan.Piece{Name: name, Copy: 1, GrainDeg: 90, Edges: unfolded(lines(
			line{"neck", "M0,40 L60,20", "", 10, ""},
			line{"raglan", "M60,20 L180,180", "sleeve/raglan-" + name, 10, ""},
			line{"side", "M180,180 L180,500", "", 10, ""},
			line{"hem", "M180,500 L0,500", "", 10, ""}))}
	}
	sleeve := lines(
		line{"raglan-back", "M-160,180 L-40,0", "back/raglan", 10, ""},
		line{"neck", "M-40,0 L40,0", "", 10, ""},
		line{"raglan-front", "M40,0 L160,180", "front/raglan", 10, ""},
		line{"underarm", "M160,180 L100,600", "", 10, ""},
		line{"wrist", "M100,600 L-100,600", "", 10, ""},
		line{"underarm", "M-100,600 L-160,180", "", 10, ""})
	cuff := lines(
		line{"wrist", "M0,0 L200,0", "", 10, ""}, line{"", "M200,0 L200,120", "", 10, ""},
		line{"", "M200,120 L0,120", "", 10, ""}, line{"", "M0,120 L0,0", "", 10, ""})
	d.Pieces = []plan.Piece{body("front"), body("back")}
	for copy := 1; copy <= 2; copy++ {
		s, c := sleeve, cuff
		if copy == 2 {
			s = unfolded(sleeve)[len(sleeve):]
		}
		d.Pieces = append(d.Pieces, plan.Piece{Name: "sleeve", Copy: copy, GrainDeg: 90, Edges: s, Flipped: copy == 2},
			plan.Piece{Name: "cuff", Copy: copy, GrainDeg: 90, Edges: c})
	}
	views, rest := laidFlat(t, d)
	require.Empty(t, rest)
	for _, f := range views {
		require.Len(t, f.sleeves, 2)
		require.Len(t, f.bands, 2)
		for _, b := range f.bands {
			s := f.sleeves[slices.IndexFunc(f.sleeves, func(p placed) bool { return p.piece.Copy == b.piece.Copy })]
			require.Less(t, plane.ToRing(apply(s.m, s.piece.ring()), b.line[len(b.line)/2]), 1.0)
		}
	}
}

func TestPiecesInARowWhereJoinsDoNotSay(t *testing.T) {
	d := tshirt()
	for i := range d.Pieces {
		d.Pieces[i].Name = "shape " + string(rune('a'+i))
		for k := range d.Pieces[i].Edges {
			d.Pieces[i].Edges[k].Name, d.Pieces[i].Edges[k].Joins = "", nil
		}
	}
	pictures, note, err := Of(d).Garment(0)
	require.NoError(t, err)
	require.Len(t, pictures, 1)
	require.Equal(t, "pieces", pictures[0].Name)
	require.Contains(t, note, "do not say how the pieces go together")
}

// What was cut before is in no picture, and a side of the garment of which nothing is
// cut now is left out.
func TestNothingIsDrawnOfWhatWasCutBefore(t *testing.T) {
	names := []string{"front", "back", "sleeve", "neckband"}
	for cut := 1; cut < 1<<len(names); cut++ {
		d := tshirt()
		o := &d.Options[0]
		now := func(piece string) bool { return cut>>slices.Index(names, piece)&1 == 1 }
		for i := range d.Pieces {
			d.Pieces[i].Ready = !now(d.Pieces[i].Name)
		}
		o.Parts = slices.DeleteFunc(o.Parts, func(p plan.Part) bool { return !now(p.Piece) })
		if !now("front") {
			o.PiecingSeams, o.Seams = nil, 0
		}
		pictures, _, err := Of(d).Garment(0)
		require.NoError(t, err)
		require.NotEmpty(t, pictures)
		for _, p := range pictures {
			require.Greater(t, p.WidthMM, 0.0, "%s of %b", p.Name, cut)
			require.NotContains(t, p.SVG, "Inf", "%s of %b", p.Name, cut)
		}
	}
	// A tabard: nothing is seen of its back from in front.
	side := func(other string) []plan.Edge {
		return lines(line{"shoulder", "M0,0 L200,0", other + "/shoulder", 10, ""}, line{"side", "M200,0 L200,400", other + "/side", 10, ""},
			line{"hem", "M200,400 L0,400", "", 10, ""}, line{"side", "M0,400 L0,0", other + "/side", 10, ""})
	}
	d := tshirt()
	d.Pieces = []plan.Piece{
		{Name: "front", Copy: 1, SeamLine: seamLine(side("back")), GrainDeg: 90, Edges: side("back")},
		{Name: "back", Copy: 1, SeamLine: seamLine(side("front")), GrainDeg: 90, Edges: side("front"), Ready: true},
	}
	o := &d.Options[0]
	o.PiecingSeams, o.Parts = nil, []plan.Part{drawnPart("front", "front", 1, side("back"), "dress front", 1, [6]float64{1, 0, 0, 1, 20, 20})}
	pictures, _, err := Of(d).Garment(0)
	require.NoError(t, err)
	require.Len(t, pictures, 1)
	require.Equal(t, "front", pictures[0].Name)
	require.NotContains(t, pictures[0].SVG, "Inf")
}

func TestEveryPartIsOnThePictures(t *testing.T) {
	d := tshirt()
	pictures, note, err := Of(d).Garment(0)
	require.NoError(t, err)
	require.Empty(t, note)
	all := ""
	for _, p := range pictures {
		all += p.SVG
	}
	for i := range d.Options[0].Parts[:5] {
		require.Contains(t, all, ">"+string(rune('1'+i))+"</text>")
	}
	require.Contains(t, all, ">A</text>")
	laid, scraps, err := Of(d).Laid(0)
	require.NoError(t, err)
	require.Len(t, laid, 6)
	require.Len(t, scraps, 6)
}

func TestHalf(t *testing.T) {
	h := halfPlane{orb.Point{0, 0}, orb.Point{0, 10}} // down the page: the half to the left of it
	square := []orb.Point{{-4, 1}, {4, 1}, {4, 5}, {-4, 5}}
	got := h.clip(square)
	require.Len(t, got, 4)
	for _, q := range got {
		require.LessOrEqual(t, q[0], 0.0)
	}
	bits := h.cut([]orb.Point{{-4, 1}, {4, 2}, {-4, 3}})
	require.Equal(t, [][]orb.Point{{{-4, 1}, {0, 1.5}}, {{0, 2.5}, {-4, 3}}}, bits)
}

// Where the shoulder seam moved to the front, the back's cloth shows on the
// front as far as the drawn shoulder, and the back shows no more than before.
func TestAMovedSeamShowsWhereItLies(t *testing.T) {
	d := tshirt()
	pictures, _, err := Of(d).Garment(1)
	require.NoError(t, err)
	of, _ := cloths(d)
	back := clothFill(of[2])
	require.Contains(t, pictures[0].SVG, `class="flat-part" fill="`+back+`"`)
	require.NotContains(t, pictures[0].SVG, "clipPath")
	require.Equal(t, 1, strings.Count(pictures[1].SVG, "<clipPath"))
	plain, _, err := Of(d).Garment(0)
	require.NoError(t, err)
	require.NotContains(t, plain[0].SVG, `class="flat-part" fill="`+back+`"`)
	require.NotContains(t, plain[1].SVG, "clipPath")
}

// What is drawn beside the garment is told with the reason.
func TestWhyPiecesAreBeside(t *testing.T) {
	d := tshirt()
	d.Options[0].Parts = nil
	square := []plan.Point{{0, 0}, {90, 0}, {90, 110}, {0, 110}}
	for _, name := range []string{"back facing", "chest pocket", "tab", "hood", "front lining", "tab"} {
		d.Pieces = append(d.Pieces, plan.Piece{Name: name, Copy: 1, SeamLine: square, GrainDeg: 90})
	}
	pocket := plan.Piece{Name: "side pocket", Copy: 1, SeamLine: square, GrainDeg: 90}
	pocket.Edges = []plan.Edge{{Name: "mouth", D: "M0,0 L90,0 L90,110 L0,110 L0,0", Joins: []string{"front/side"}}}
	tie := plan.Piece{Name: "tie", Copy: 1, SeamLine: square, GrainDeg: 90}
	tie.Edges = []plan.Edge{{Name: "end", D: "M0,0 L90,0 L90,110 L0,110 L0,0", Joins: []string{"front/side", "tie/end"}}}
	d.Pieces = append(d.Pieces, pocket, tie)
	_, note, err := Of(d).Garment(0)
	require.NoError(t, err)
	require.Equal(t, "Drawn beside the garment: back facing, front lining (inside it); chest pocket (to be sewn onto or into it, where no join tells); "+
		"tab (for which the joins tell no place); hood (standing off it); side pocket (to be sewn onto or into it); tie (sewn to the front, where the picture does not show it).", note)
}

// An undercollar is told by the collar that it is sewn to.
func TestTheUndercollarIsTold(t *testing.T) {
	d := collared(false)
	d.Options[0].Parts = nil
	under := plan.Piece{Name: "undercollar", Copy: 1, GrainDeg: 90, Edges: lines(
		line{"outer", "M0,0 L90,0", "collar/outer", 10, ""}, line{"", "M90,0 L90,60", "", 10, ""}, line{"", "M90,60 L0,60", "", 10, ""}, line{"", "M0,60 L0,0", "", 10, ""})}
	under.SeamLine = seamLine(under.Edges)
	for i := range d.Pieces {
		if p := &d.Pieces[i]; p.Name == "collar" {
			p.Edges[len(p.Edges)/2].Name = "outer"
		}
	}
	d.Pieces = append(d.Pieces, under)
	_, note, err := Of(d).Garment(0)
	require.NoError(t, err)
	require.Contains(t, note, "undercollar (under the collar)")
}

// The second of two pieces that go to the same place is told as that.
func TestTheUndersideIsTold(t *testing.T) {
	d := tshirt()
	under := d.Pieces[len(d.Pieces)-1]
	require.Equal(t, "neckband", under.Name)
	under.Copy = 2
	d.Pieces = append(d.Pieces, under)
	o, err := Of(d).outfit(new(plan.Option))
	require.NoError(t, err)
	require.Equal(t, "Drawn beside the garment: neckband (the same as one that is drawn on it).", o.besideNote(o.pieces[len(o.pieces)-1:]))
}
