package split_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// oblong is a rectangular piece, of which each side is an edge, from the top round by
// the right: its name, and after a blank what else its path says.
func oblong(id, facts string, y, wide, high int, top, right, bottom, left string) string {
	out := fmt.Sprintf(`<g id=%q %s><path class="seam" d="M 0,%d h %d v %d h %d Z"/><path class="grain" d="M 5,%d v 10"/>`, id, facts, y, wide, high, -wide, y+5)
	for i, edge := range []string{top, right, bottom, left} {
		name, more, _ := strings.Cut(edge, " ")
		line := []string{fmt.Sprintf("M 0,%d h %d", y, wide), fmt.Sprintf("M %d,%d v %d", wide, y, high), fmt.Sprintf("M %d,%d h %d", wide, y+high, -wide), fmt.Sprintf("M 0,%d v %d", y+high, -high)}[i]
		switch name {
		case "":
		case "fold":
			out += fmt.Sprintf(`<path class="fold" d="%s"/>`, line)
		default:
			out += fmt.Sprintf(`<path class="edge %s" %s d="%s"/>`, name, more, line)
		}
	}
	return out + "</g>"
}

func to(edge, joins string) string { return fmt.Sprintf("%s data-joins=%q", edge, joins) }

// orderOf is the sewing order of a drawing of some pieces.
func orderOf(t *testing.T, groups ...string) []string {
	t.Helper()
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="6000mm" viewBox="0 0 2000 6000">`+strings.Join(groups, "")+`</svg>`), "p.svg")
	require.NoError(t, err)
	drawn := split.Copies(pieces)
	_, d := proved(t, cutting(drawn, "", nil), drawn)
	return d.Options[0].SewingOrder
}

const pair = `data-cut="2" data-mirrored="yes"`

// A shirt of oblongs, with a band down an open front, a yoke and a stand that are cut
// twice, a collar whose layers are joined to each other, and cuffs whose layers are not.
func shirt() []string {
	return []string{
		oblong("front", pair, 0, 200, 400, to("neck", "stand/neck-front"), to("side", "back/side"), "hem", to("centre-front", "band/centre-front")),
		oblong("back", "", 500, 210, 400, to("top", "yoke/bottom"), to("side", "front/side"), "hem", "fold"),
		oblong("yoke", `data-cut="2"`, 1000, 210, 90, to("neck", "stand/neck-back"), "", to("bottom", "back/top"), "fold"),
		`<g id="stand" data-cut="2"><path class="seam" d="M 0,1200 h 410 h 20 v 30 h -430 Z"/><path class="grain" d="M 5,1205 v 10"/><path class="fold" d="M 0,1200 v 30"/>` +
			`<path class="edge top" data-joins="collar/neck" d="M 0,1230 h 430"/><path class="edge neck-back" data-joins="yoke/neck" d="M 0,1200 h 210"/>` +
			`<path class="edge neck-front" data-joins="front/neck" d="M 210,1200 h 200"/><path class="edge band-end" data-joins="band/top" d="M 410,1200 h 20"/><path class="edge end" d="M 430,1200 v 30"/></g>`,
		oblong("collar", `data-cut="2"`, 1300, 430, 60, to("outer", "collar/outer"), to("point", "collar/point"), to("neck", "stand/top"), "fold"),
		oblong("band", pair, 1400, 20, 400, to("top", "stand/band-end"), to("centre-front", "front/centre-front"), "bottom", "edge"),
		oblong("sleeve", pair, 1900, 250, 300, "", to("underarm-b", "sleeve/underarm-a"), to("wrist", "cuff/top"), to("underarm-a", "sleeve/underarm-b")),
		oblong("cuff", `data-cut="4" data-mirrored="yes"`, 2300, 250, 60, to("top", "sleeve/wrist"), "end-a", "bottom", "end-b"),
	}
}

// Layers that are cut are sewn: to each other where they are turned, and with what goes
// between them. A band is on before a stand goes over its end and a hem under it.
func TestLayersAreSewn(t *testing.T) {
	starts(t, orderOf(t, shirt()...),
		"Go on",
		"Sew band on: band/centre-front to front/centre-front.",
		"Sew the seam: back/top to yoke/bottom; back goes between yoke-1 and yoke-2.",
		"Sew collar-1 to collar-2, right sides together: collar/point to collar/point and collar/outer to collar/outer; turn right sides out, and press.",
		"Sew collar and stand together: stand/top to collar/neck; collar, turned, goes between stand-1 and stand-2; there stand/end, which the pattern joins to nothing, is sewn layer to layer.",
		"Sew stand on: stand/neck-front to front/neck, stand/neck-back to yoke/neck and stand/band-end to band/top; front, all layers of yoke and band go between stand-1 and stand-2.",
		"Sew the long seams: front/side to back/side and sleeve/underarm-b to sleeve/underarm-a.",
		"Sew cuff-right-1 to cuff-right-2 and cuff-left-1 to cuff-left-2, right sides together: cuff/end-a, cuff/bottom and cuff/end-b, which the pattern joins to nothing; turn right sides out, and press.",
		"Sew cuff on: cuff/top to sleeve/wrist; sleeve goes between cuff-right-1 and cuff-right-2 and between cuff-left-1 and cuff-left-2.",
		"Turn up the hems and sew them: front/hem (10 mm), back/hem (10 mm) and band/bottom (10 mm).",
	)
	hemmed := strings.Replace(strings.Join(shirt(), "\n"), `"edge bottom"  d="M 20,1800`, `"edge hem" data-allowance="25mm" d="M 20,1800`, 1)
	require.Contains(t, hemmed, "25mm")
	order := orderOf(t, hemmed)
	require.Equal(t, "Turn up the hems and sew them: front/hem (10 mm), back/hem (10 mm) and band/hem (25 mm).", order[len(order)-1])
}

// A shirt whose collar and stand name only the edges that are joined, with a button
// stand at either front: that is sewn on before the stand at the neck, whose one edge
// goes round all; the collar is turned before; and no copies are left to be closed.
func TestLayersWithoutNames(t *testing.T) {
	starts(t, orderOf(t,
		oblong("front", pair, 0, 200, 400, to("neck", "stand/attach"), to("side", "back/side"), "hem", to("centre-front", "button-stand/edge")),
		oblong("back", "", 500, 200, 400, to("neck", "stand/attach"), to("side", "front/side"), "hem", "fold"),
		oblong("button-stand", pair, 1000, 30, 400, to("top", "stand/attach"), "", "", to("edge", "front/centre-front")),
		oblong("stand", `data-cut="2"`, 1500, 430, 30, to("top", "collar/attach"), "", to("attach", "back/neck, front/neck, button-stand/top"), "fold"),
		oblong("collar", `data-cut="2"`, 1600, 430, 60, "", "", to("attach", "stand/top"), "fold"),
	),
		"Go on",
		"Sew button-stand on: button-stand/edge to front/centre-front.",
		"Sew collar-1 to collar-2, right sides together: the edges of collar without a name, which the pattern joins to nothing; turn right sides out, and press.",
		"Sew collar and stand together: stand/top to collar/attach; collar, turned, goes between stand-1 and stand-2; there the edges of stand without a name, which the pattern joins to nothing, are sewn layer to layer.",
		"Sew the side seams: front/side to back/side.",
		"Sew stand on: stand/attach to front/neck + back/neck + button-stand/top; front, back and button-stand go between stand-1 and stand-2.",
		"Turn up the hems",
	)
}

// What is longer than what it is sewn to is said with the difference: ribbing is
// stretched to it, anything else gathered, or the other side stretched.
func TestDifferenceIsSaid(t *testing.T) {
	for name, c := range map[string]struct{ facts, want string }{
		"ribbing":         {`data-kind="knit"`, "Sew band on: band/low to top/neck; stretch band/low evenly, for it is 53 mm shorter than top/neck."},
		"a band of cloth": {"", "Sew band on: band/low to top/neck; top/neck is 53 mm longer than band/low: gather it, or stretch the other side."},
	} {
		t.Run(name, func(t *testing.T) {
			starts(t, orderOf(t,
				oblong("top", "", 0, 453, 400, to("neck", "band/low"), "", "", ""),
				oblong("band", c.facts, 500, 400, 60, "", "", "low data-ease=\"53mm\"", ""),
			), "Go on", c.want)
		})
	}
}

// A band whose front is left out, as an optional piece may be, has an order too.
func TestBandOfWhatIsLeftOut(t *testing.T) {
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="6000mm" viewBox="0 0 2000 6000">`+strings.Join(shirt(), "")+`</svg>`), "p.svg")
	require.NoError(t, err)
	drawn := split.Copies(slices.DeleteFunc(pieces, func(p *piece.Piece) bool { return p.Name == "front" }))
	_, d := proved(t, cutting(drawn, "", nil), drawn)
	require.Contains(t, strings.Join(d.Options[0].SewingOrder, " "), "Sew stand on: stand/neck-back to yoke/neck and stand/band-end to band/top")
}

// What lies side by side is not taken for layers.
func TestCopiesSideBySideAreNoLayers(t *testing.T) {
	for name, c := range map[string]struct {
		groups []string
		want   []string
	}{
		"a band of two halves": {[]string{
			oblong("body", "", 0, 400, 400, to("neck", "band/long"), "", "", ""),
			oblong("band", pair, 500, 200, 40, to("long", "body/neck"), to("end", "band/end"), "", ""),
		}, []string{"Sew the ends of band together: band/end to band/end.", "Sew band on: band/long to body/neck."}},
		"rings": {[]string{
			oblong("leg", pair, 0, 400, 400, "", to("a", "leg/b"), to("low", "cuff/top"), to("b", "leg/a")),
			oblong("cuff", `data-cut="2"`, 500, 200, 40, to("top", "leg/low"), to("end", "cuff/end"), "", "fold"),
		}, []string{"Sew the seams: leg/a to leg/b.", "Sew the ends of cuff together: cuff/end to cuff/end.", "Sew cuff on: cuff/top to leg/low."}},
		"panels that go round": {[]string{
			oblong("top", "", 0, 400, 400, "", to("a", "top/b"), to("low", "panel/top"), to("b", "top/a")),
			oblong("panel", `data-cut="2"`, 500, 200, 400, to("top", "top/low"), to("side", "panel/side"), "", to("side", "panel/side")),
		}, []string{"Sew the long seams: top/a to top/b and panel/side to panel/side.", "Sew the seam: top/low to panel/top."}},
	} {
		t.Run(name, func(t *testing.T) {
			order := orderOf(t, c.groups...)
			starts(t, order, append([]string{"Go on"}, c.want...)...)
			require.NotContains(t, strings.Join(order, " "), "between")
		})
	}
}

// Wide allowances that nothing is sewn to are turned in, whatever their edge is called,
// and a facing's hem is sewn to its piece's. A narrow one, one that runs down, and one
// of a piece whose allowances are all wide are none of this.
func TestWhatIsTurnedIn(t *testing.T) {
	leg := func(edge, mm string) string {
		return oblong("leg", pair+` data-allowance="10mm"`, 0, 300, 500, fmt.Sprintf("%s data-allowance=%q", edge, mm), to("inseam-a", "leg/inseam-b"), "", to("inseam-b", "leg/inseam-a"))
	}
	const seam = "Sew the seams: leg/inseam-a to leg/inseam-b."
	for name, c := range map[string]struct {
		groups []string
		want   []string
	}{
		"a waist":          {[]string{leg("waist", "35mm")}, []string{seam, "Turn in and sew down leg/waist (35 mm); of a casing leave a gap"}},
		"a casing":         {[]string{leg("casing", "12mm")}, []string{seam, "Turn in and sew down leg/casing (12 mm); of a casing"}},
		"a waist casing":   {[]string{leg("waist-casing", "35mm")}, []string{seam, "Turn in and sew down leg/waist-casing (35 mm); of a casing"}},
		"of another name":  {[]string{leg("oben", "35mm")}, []string{seam, "Turn up the hems and sew them: leg/oben (35 mm)."}},
		"a narrow waist":   {[]string{leg("waist", "12mm")}, []string{seam}},
		"all as wide":      {[]string{strings.Replace(leg("waist", "35mm"), "10mm", "35mm", 1)}, []string{seam}},
		"down the opening": {[]string{oblong("front", pair, 0, 300, 500, to("shoulder", "front/shoulder"), `opening data-allowance="40mm"`, "", "")}, []string{"Sew the shoulder seam"}},
		"a pocket's": {[]string{leg("", ""), oblong("pocket", `data-allowance="10mm"`, 600, 100, 100, `top data-allowance="30mm"`, "", "", "")},
			[]string{"Turn in and sew down pocket/top (30 mm) before pocket is sewn on.", "Sew pocket on", seam}},
		"a pocket's hem": {[]string{leg("", ""), oblong("patch pocket", `data-allowance="10mm"`, 600, 100, 100, `hem data-allowance="12mm"`, "", "", "")},
			[]string{"Turn in and sew down patch pocket/hem (12 mm) before patch pocket is sewn on.", "Sew patch pocket on", seam}},
		"a facing's hem": {[]string{
			oblong("front", pair, 0, 200, 400, "", to("side", "back/side"), `hem data-allowance="20mm"`, to("centre-front", "facing/centre-front")),
			oblong("back", "", 500, 200, 400, "", to("side", "front/side"), `hem data-allowance="20mm"`, "fold"),
			oblong("facing", pair, 1000, 60, 400, "", "inner", "hem", to("centre-front", "front/centre-front")),
		}, []string{"Sew facing on", "Sew the side seam", "Turn up the hems and sew them: front/hem (20 mm) and back/hem (20 mm); before, fold the facings back, right sides together, sew facing/hem (10 mm) to the hem where the hem is folded, and turn them in."}},
		"a skirt's lining": {[]string{
			oblong("front", `data-use="lining"`, 0, 200, 400, "waist", to("side", "back/side"), "hem", "fold"),
			oblong("back", `data-use="lining"`, 500, 200, 400, "waist", to("side", "front/side"), "hem", "fold"),
		}, []string{"Sew the side seam", "Turn up the hems", "Put the lining into the garment, wrong sides together, and sew it to it, by hand where no machine reaches: " +
			"front/waist and back/waist to the garment's, before a waistband or a casing takes in both; where there is none, or it is on already, turned under as well; front/hem"}},
		"a lining of what has a casing": {[]string{
			oblong("front", `data-use="lining"`, 0, 200, 400, "casing", to("side", "back/side"), "", "fold"),
			oblong("back", `data-use="lining"`, 500, 200, 400, "casing", to("side", "front/side"), "", "fold"),
		}, []string{"Sew the side seam", "Turn in", "Put the lining into the garment, wrong sides together, and sew it to it, by hand where no machine reaches: front/casing and back/casing to the garment's, before a waistband or a casing takes in both"}},
		"a lining": {[]string{
			oblong("front", pair+` data-use="lining"`, 0, 200, 400, "armhole", to("side", "back/side"), "hem", "facing"),
			oblong("back", `data-use="lining"`, 500, 200, 400, "armhole", to("side", "front/side"), "hem", "fold"),
		}, []string{"Sew the side seam", "Turn up the hems", "Put the lining into the garment, wrong sides together, and sew it to it, by hand where no machine reaches: front/facing to the inner edges of the facings; " +
			"front/armhole and back/armhole to the garment's edges of the same names, turned under so that the lining does not show; front/hem and back/hem to the garment's hem allowance, once that is turned up, or left to hang free."}},
		"a lining of what ends in a band": {[]string{
			oblong("front", pair+` data-use="lining"`, 0, 200, 400, "neck", to("side", "back/side"), "hem-seam", "facing"),
			oblong("back", `data-use="lining"`, 500, 200, 400, "neck", to("side", "front/side"), "hem-seam", "fold"),
		}, []string{"Sew the side seam", "Put the lining into the garment, wrong sides together, and sew it to it, by hand where no machine reaches: front/facing to the inner edges of the facings; " +
			"front/neck and back/neck to the garment's edges of the same names, turned under so that the lining does not show; front/hem-seam and back/hem-seam to the seam by which a band or the like holds the garment's edge there: turned under, over its allowances, or caught in it."}},
	} {
		t.Run(name, func(t *testing.T) {
			starts(t, orderOf(t, c.groups...), append([]string{"Go on"}, c.want...)...)
		})
	}
}

// An end of a strap that is joined says how it is sewn on though the other, of the same
// name, is joined to nothing.
func TestOneEndOfStrap(t *testing.T) {
	order := orderOf(t,
		oblong("front", "", 0, 150, 300, "top", to("side", "back/side"), "", "fold"),
		oblong("back", "", 500, 150, 300, "top", to("side", "front/side"), "", "fold"),
		oblong("strap", `data-cut="2"`, 1000, 20, 350, to("end", "front/top"), "", "end", ""),
	)
	require.Contains(t, strings.Join(order, " "), "strap/end to front/top; it lies along a stretch of front/top, 20 mm long")
	require.NotContains(t, strings.Join(order, " "), "between")
}

// What is not in layers, or not as a collar is, is told as what it is.
func TestWhatGoesBetween(t *testing.T) {
	const four = `data-cut="4" data-mirrored="yes"`
	front := func(neck string) string {
		return oblong("front", pair, 0, 200, 400, neck, to("side", "back/side"), "", to("centre-front", "facing/centre-front"))
	}
	back := oblong("back", "", 500, 200, 400, to("neck", "collar/neck-back"), to("side", "front/side"), "", "fold")
	for name, c := range map[string]struct {
		groups     []string
		want, none []string
	}{
		"pockets in the side seams": {[]string{
			oblong("front", "", 0, 200, 400, "", to("side", "back/side, pocket/opening"), "", "fold"),
			oblong("back", "", 500, 200, 400, "", to("side", "front/side, pocket/opening"), "", "fold"),
			oblong("pocket", four, 1000, 150, 160, "", to("opening", "front/side, back/side"), "", to("bag", "pocket/bag")),
		}, []string{"Sew pocket on", ". Sew the side seams: front/side to back/side; leave open along the opening of pocket. Close pocket: pocket/bag to pocket/bag."}, []string{"between", "turn right", "layer"}},
		"pockets that hang from the waist": {[]string{
			oblong("bodice front", "", 0, 200, 300, to("shoulder", "bodice back/shoulder"), to("side", "bodice back/side"), to("waist", "skirt front/waist, pocket/top"), "fold"),
			oblong("bodice back", "", 500, 200, 300, to("shoulder", "bodice front/shoulder"), to("side", "bodice front/side"), to("waist", "skirt back/waist, pocket/top"), "fold"),
			oblong("skirt front", "", 1000, 200, 500, to("waist", "bodice front/waist, pocket/top"), to("side", "skirt back/side, pocket/opening"), "", "fold"),
			oblong("skirt back", "", 1600, 200, 500, to("waist", "bodice back/waist, pocket/top"), to("side", "skirt front/side, pocket/opening"), "", "fold"),
			oblong("pocket", four, 2200, 150, 160, to("top", "skirt front/waist, skirt back/waist, bodice front/waist, bodice back/waist"), to("bag", "pocket/bag"), to("bag", "pocket/bag"), to("opening", "skirt front/side, skirt back/side")),
		}, []string{"skirt front/side to skirt back/side; leave open along the opening of pocket.", "bodice back/waist to skirt back/waist."}, nil},
		"a pocket in a level seam": {[]string{
			oblong("yoke", "", 0, 200, 100, "", "", to("low", "front/high, pocket/mouth"), "fold"),
			oblong("front", "", 500, 200, 300, to("high", "yoke/low, pocket/mouth"), "", "", "fold"),
			oblong("pocket", four, 1000, 150, 160, to("mouth", "yoke/low, front/high"), to("bag", "pocket/bag"), to("bag", "pocket/bag"), to("bag", "pocket/bag")),
		}, []string{"leave open along the opening of pocket."}, nil},
		"a patch pocket whose side is caught in a seam": {[]string{
			oblong("skirt", `data-cut="2"`, 0, 200, 400, "", to("side", "skirt/side, pocket/side"), "", "fold"),
			oblong("pocket", pair, 500, 150, 160, "", to("side", "skirt/side"), "bottom", "edge"),
		}, []string{"skirt/side to skirt/side"}, []string{"leave open"}},
		"a flap that is caught in a seam": {[]string{
			oblong("front", "", 0, 200, 300, to("shoulder", "back/shoulder, shoulder flap/base"), to("side", "back/side"), "", "fold"),
			oblong("back", "", 500, 200, 300, to("shoulder", "front/shoulder, shoulder flap/base"), to("side", "front/side"), "", "fold"),
			oblong("shoulder flap", `data-cut="2"`, 1000, 100, 50, to("base", "front/shoulder, back/shoulder"), "end", "tip", "end"),
		}, []string{"Sew the shoulder seam: front/shoulder to back/shoulder."}, []string{"leave open"}},
		"a band that is caught in a seam": {[]string{
			oblong("front", "", 0, 200, 300, "", to("side", "back/side, side band/in"), "", "fold"),
			oblong("back", "", 500, 200, 300, "", to("side", "front/side, side band/in"), "", "fold"),
			oblong("side band", four, 1000, 50, 300, "", to("in", "front/side, back/side"), "", to("out", "side band/out")),
		}, []string{"front/side to back/side"}, []string{"leave open"}},
		"a waistband of four halves": {[]string{
			oblong("front", "", 0, 200, 400, to("waist", "waistband/bottom"), to("side", "back/side"), "", "fold"),
			oblong("back", "", 500, 200, 400, to("waist", "waistband/bottom"), to("side", "front/side"), "", "fold"),
			oblong("waistband", four, 1000, 400, 40, to("top", "waistband/top"), "front-end", to("bottom", "front/waist, back/waist"), to("centre-back", "waistband/centre-back")),
		}, []string{
			"Sew the ends of waistband together: waistband/centre-back to waistband/centre-back; each layer by itself.",
			"right sides together: waistband/top to waistband/top; waistband/front-end, which the pattern joins to nothing, the same way; turn",
			"front and back go between waistband-right-1 and waistband-right-2",
		}, nil},
		"cuffs that are rings": {[]string{
			oblong("sleeve", pair, 0, 250, 300, "", to("underarm-b", "sleeve/underarm-a"), to("wrist", "cuff/top"), to("underarm-a", "sleeve/underarm-b")),
			oblong("cuff", four, 500, 250, 60, to("top", "sleeve/wrist"), to("end-a", "cuff/end-b"), "bottom", to("end-b", "cuff/end-a")),
		}, []string{
			"Sew the ends of cuff together: cuff/end-a to cuff/end-b; each layer by itself.",
			"right sides together: cuff/bottom, which the pattern joins to nothing; turn",
			"sleeve goes between cuff-right-1 and cuff-right-2 and between cuff-left-1 and cuff-left-2.",
		}, []string{"cuff, turned, goes"}},
		"a collar between a front and its facing": {[]string{
			front(to("neck", "collar/neck-front")), back,
			oblong("facing", pair, 1000, 200, 400, to("neck", "collar/neck-front"), "inner", "", to("centre-front", "front/centre-front")),
			`<g id="collar" data-cut="2"><path class="seam" d="M 0,1500 h 400 v 70 h -400 Z"/><path class="grain" d="M 20,1520 v 30"/><path class="fold" d="M 0,1500 v 70"/>` +
				`<path class="edge neck-back" data-joins="back/neck" d="M 0,1500 h 200"/><path class="edge neck-front" data-joins="front/neck, facing/neck" d="M 200,1500 h 200"/>` +
				`<path class="edge end" data-joins="collar/end" d="M 400,1500 v 70"/><path class="edge outer" data-joins="collar/outer" d="M 400,1570 h -400"/></g>`,
		}, []string{"back goes between collar-1 and collar-2", "; collar, turned, goes between front and facing."}, []string{"front and facing go between", "gap"}},
		"a tab that is closed all round": {[]string{
			oblong("front", "", 0, 200, 400, "", to("side", "back/side"), "", "fold"),
			oblong("back", "", 500, 200, 400, "", to("side", "front/side"), "", "fold"),
			oblong("pocket-flap", four, 1000, 100, 50, to("a", "pocket-flap/a"), to("b", "pocket-flap/b"), to("c", "pocket-flap/c"), to("d", "pocket-flap/d")),
		}, []string{"; leave a gap to turn it by; turn right sides out, press, and close the gap."}, nil},
		"a bib between bands of two layers that meet at the side": {[]string{
			oblong("front", "", 0, 200, 400, to("waist", "front band/bottom"), to("side", "back/side"), "hem", "fold"),
			oblong("back", "", 500, 200, 400, to("waist", "back band/bottom"), to("side", "front/side"), "hem", "fold"),
			oblong("front band", `data-cut="2"`, 1000, 200, 40, to("top", "bib/bottom"), to("end", "back band/end"), to("bottom", "front/waist"), "fold"),
			oblong("back band", `data-cut="2"`, 1100, 200, 40, "", to("end", "front band/end"), to("bottom", "back/waist"), "fold"),
			oblong("bib", `data-cut="2"`, 1200, 200, 150, to("top", "bib/top"), to("side", "bib/side"), to("bottom", "front band/top"), "fold"),
		}, []string{
			"Sew bib-1 to bib-2, right sides together: bib/side to bib/side and bib/top to bib/top; turn right sides out, and press.",
			"Sew back band and front band together: front band/end to back band/end; each layer by itself: front band-1 to back band-1 and front band-2 to back band-2.",
			"Sew the side seams: front/side to back/side.",
			"front and bib, turned, go between front band-1 and front band-2; back goes between back band-1 and back band-2.",
		}, []string{"all layers"}},
		"a shirt whose front is as its back": {[]string{
			oblong("body", `data-cut="2"`, 0, 200, 400, to("shoulder", "body/shoulder"), "armhole", to("low", "band/top"), "fold"),
			oblong("band", `data-cut="2"`, 500, 200, 40, to("top", "body/low"), to("end", "band/end"), "", "fold"),
		}, []string{"Sew the shoulder seam: body/shoulder to body/shoulder."}, []string{"turn right", "between"}},
		"a top whose front is as its back, with bands all round": {[]string{
			`<g id="body" data-cut="2"><path class="seam" d="M 0,20 L 80,0 L 400,60 V 200 L 280,210 L 230,260 V 600 H 0 Z"/><path class="grain" d="M 40,60 v 60"/><path class="fold" d="M 0,600 V 20"/>` +
				`<path class="edge neck" data-joins="neckband/in" d="M 0,20 L 80,0"/><path class="edge overarm" data-joins="body/overarm" d="M 80,0 L 400,60"/><path class="edge wrist" data-joins="cuff/in" d="M 400,60 V 200"/>` +
				`<path class="edge underarm" data-joins="body/underarm" d="M 400,200 L 280,210"/><path class="edge curve" data-joins="body/curve" d="M 280,210 L 230,260"/><path class="edge side" data-joins="body/side" d="M 230,260 V 600"/><path class="edge low" data-joins="hem band/in" d="M 230,600 H 0"/></g>`,
			oblong("neckband", "", 800, 330, 40, "", to("end", "neckband/end"), to("in", "body/neck"), to("end", "neckband/end")),
			oblong("cuff", `data-cut="2"`, 1000, 280, 60, "", to("end", "cuff/end"), to("in", "body/wrist"), to("end", "cuff/end")),
			oblong("hem band", "", 1300, 920, 60, "", to("end", "hem band/end"), to("in", "body/low"), to("end", "hem band/end")),
		}, []string{"body/side to body/side", "Sew neckband on: neckband/in to body/neck", "Sew cuff on: cuff/in to body/wrist"}, []string{"turn right", "between", "layer"}},
		"a bag with a facing": {[]string{
			oblong("bag", `data-cut="2"`, 0, 400, 420, to("top", "facing/bottom"), to("side", "bag/side"), to("bottom", "bag/bottom"), to("side", "bag/side")),
			oblong("facing", "", 500, 800, 50, "", to("end", "facing/end"), to("bottom", "bag/top"), to("end", "facing/end")),
		}, []string{"Sew the bottom seam: bag/bottom to bag/bottom.", "Sew the side seams: bag/side to bag/side.", "Sew facing on: facing/bottom to bag/top."}, []string{"turn right", "layer"}},
		"a bag with a band of as many": {[]string{
			oblong("bag", `data-cut="2"`, 0, 400, 420, to("top", "band/bottom"), to("side", "bag/side"), to("bottom", "bag/bottom"), to("side", "bag/side")),
			oblong("band", `data-cut="2"`, 500, 400, 80, "", to("end", "band/end"), to("bottom", "bag/top"), to("end", "band/end")),
		}, []string{"Sew band on: band/bottom to bag/top."}, []string{"turn right", "layer", "between"}},
		"a bag with cuffs of two layers": {[]string{
			oblong("bag", `data-cut="2"`, 0, 400, 420, to("top", "cuff/bottom"), to("side", "bag/side"), to("bottom", "bag/bottom"), to("side", "bag/side")),
			oblong("cuff", `data-cut="4"`, 500, 400, 80, "", to("end", "cuff/end"), to("bottom", "bag/top"), to("end", "cuff/end")),
		}, []string{"Sew the bottom seam: bag/bottom to bag/bottom.", "bag goes between cuff-1 and cuff-2 and between cuff-3 and cuff-4."}, []string{"Sew bag-1"}},
		"a hat": {[]string{
			oblong("crown", `data-cut="2"`, 0, 200, 150, to("top", "crown/top"), to("side", "crown/side"), to("brim", "brim/inner"), to("side", "crown/side")),
			oblong("brim", `data-cut="2"`, 500, 200, 60, "outer", to("end", "brim/end"), to("inner", "crown/brim"), to("end", "brim/end")),
		}, []string{"crown/top to crown/top", "crown/side to crown/side and brim/end to brim/end"}, []string{"turn right", "between"}},
		"a sleeve on a yoke of two layers and a back of one": {[]string{
			oblong("back", "", 500, 210, 400, to("top", "yoke/bottom"), to("armhole", "sleeve/cap-back"), "hem", "fold"),
			oblong("yoke", `data-cut="2"`, 1000, 210, 90, "neck", to("armhole", "sleeve/cap-yoke"), to("bottom", "back/top"), "fold"),
			`<g id="sleeve" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,1900 h 490 v 300 h -490 Z"/><path class="grain" d="M 5,1950 v 10"/>` +
				`<path class="edge cap-yoke" data-joins="yoke/armhole" d="M 0,1900 h 90"/><path class="edge cap-back" data-joins="back/armhole" d="M 90,1900 h 400"/></g>`,
		}, []string{"back goes between yoke-1 and yoke-2", "all layers of yoke go into the seam"}, []string{"sleeve goes between"}},
		"the facing of a pocket's opening": {[]string{
			oblong("front", "", 0, 200, 400, "", to("side", "back/side"), "", "fold"),
			oblong("back", "", 500, 200, 400, "", to("side", "front/side"), "", "fold"),
			oblong("pocket", "", 1000, 150, 150, "", to("opening", "pocket facing/opening"), "", "fold"),
			oblong("pocket facing", pair, 1200, 60, 150, "", to("opening", "pocket/opening"), "", ""),
		}, []string{"together: pocket/opening to pocket facing/opening.", "Sew pocket on; the pattern does not say to what."}, []string{"facing on"}},
		"copies that are a ring": {[]string{
			oblong("top", `data-cut="2"`, 0, 200, 400, "", to("a", "top/b"), to("low", "tier/high"), to("b", "top/a")),
			oblong("tier", `data-cut="3"`, 500, 150, 400, to("high", "top/low"), to("a", "tier/b"), "hem", to("b", "tier/a")),
		}, []string{"top/low to tier/high"}, []string{"close them first"}},
		"a standard front": {[]string{
			oblong("standard-front", "", 0, 200, 400, "", to("side", "back/side"), "", "fold"),
			oblong("back", "", 500, 200, 400, "", to("side", "standard-front/side"), "", "fold"),
		}, []string{"Sew the side seams: standard-front/side to back/side."}, []string{"on:"}},
		"a lining beside a facing": {[]string{
			oblong("front", pair+` data-use="lining"`, 0, 200, 400, to("shoulder", "back/shoulder"), to("side", "back/side"), "hem", "facing"),
			oblong("back", `data-use="lining"`, 500, 200, 400, to("shoulder", "front/shoulder"), to("side", "front/side"), "shoulder-facing", "fold"),
		}, []string{"sew it to it, by hand where no machine reaches: front/facing to the inner edges of the facings; back/shoulder-facing to the shoulder of the facing that ends there;"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			order := strings.Join(orderOf(t, c.groups...), " ")
			for _, want := range c.want {
				require.Contains(t, order, want)
			}
			for _, none := range c.none {
				require.NotContains(t, order, none)
			}
		})
	}
}
