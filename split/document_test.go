package split_test

import (
	"fmt"
	"strings"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// After piecing comes the garment, and of no piece it is said that it is pieced
// where none is. Moved seams are sewn where they lie now.
func TestSewingOrder(t *testing.T) {
	drawn := only(sample(t, "tshirt.svg"), "front")
	drawn = append(drawn, only(sample(t, "tshirt.svg"), "back")...)
	move := split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30}
	now, err := move.Apply(drawn)
	require.NoError(t, err)
	whole := func(pieces []*piece.Piece) *split.Plan { return cutting(pieces, "", nil) }
	pieced := cutting(drawn, "front", byHand(t, split.Yoke{}, below(300)))
	shifted := whole(now)
	shifted.Moves = []split.Move{move}
	alone := only(sample(t, "tshirt.svg"), "front")
	const goOn = "Go on with the garment, right sides together, notches meeting: "
	for name, c := range map[string]struct {
		plan  *split.Plan
		drawn []*piece.Piece
		order []string // how its steps start
		has   string
	}{
		"nothing changed": {whole(drawn), drawn, []string{goOn + "no piece is pieced.", "Sew the shoulder seams", "Sew the side seams", "Turn up the hems"}, "Press each seam before another crosses it."},
		"a moved seam":    {shifted, drawn, []string{goOn + "no piece is pieced.", "Sew the shoulder seams", "Sew the side seams", "Turn up the hems"}, "front/shoulder to back/shoulder; the seam lies 30 mm over on the side of front; 30 mm of front/armhole lie on back, up to the notch."},
		"a yoke":          {pieced, drawn, []string{"Sew A", goOn + "each pieced piece is whole now.", "Sew the shoulder seams", "Sew the side seams", "Turn up the hems"}, "front/side to back/side."},
		"nothing joined":  {whole(alone), alone, []string{"Sew the pattern as drawn: no piece is pieced."}, ""},
		"no join, a yoke": {cutting(alone, "front", byHand(t, split.Yoke{}, below(300))), alone, []string{"Sew A", "Go on with the pattern as drawn: each pieced piece is whole now."}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			_, d := proved(t, c.plan, c.drawn)
			starts(t, d.Options[0].SewingOrder, c.order...)
			require.Contains(t, strings.Join(d.Options[0].SewingOrder, " "), c.has)
		})
	}
}

// starts requires steps that start so.
func starts(t *testing.T, order []string, want ...string) {
	t.Helper()
	require.Len(t, order, len(want), "%q", order)
	for i, w := range want {
		require.True(t, strings.HasPrefix(order[i], w), "%q: %q", w, order[i])
	}
}

// The samples from end to end: what a seam runs over is sewn before it, rings
// are closed before they go round a tube, a band down an open front comes after
// the hem that it covers, and a facing after the collar.
func TestSewingOrderOfTheSamples(t *testing.T) {
	for name, want := range map[string][]string{
		"tshirt.svg": {
			"Go on", "Sew the shoulder seams: front/shoulder to back/shoulder.", "Sew the ends of neckband together", "Sew neckband on, to front/neck and back/neck",
			"Set in the sleeves while they lie flat: sleeve/cap-front to front/armhole and sleeve/cap-back to back/armhole; ease in 2 mm of sleeve/cap-front",
			"Sew side and underarm, each in one go from hem to hem: front/side to back/side and sleeve/underarm-front to sleeve/underarm-back.",
			"Turn up the hems and sew them: front/hem (20 mm), back/hem (20 mm) and sleeve/hem (20 mm).",
		},
		"raglan-child.svg": {
			"Go on", "Sew the raglan seams: front/raglan to sleeve/raglan-front and back/raglan to sleeve/raglan-back.", "Sew the ends of neckband together",
			"Sew neckband on, to front/neck, back/neck and sleeve/neck", "Sew side and underarm", "Sew the ends of cuff together", "Sew cuff on, to sleeve/wrist", "Turn up the hems",
		},
		"cardigan.svg": {
			"Go on", "Sew the shoulder seams", "Set in the sleeves", "Sew side and underarm", "Turn up the hems",
			"Sew band on: band/neck-front to front/neck, band/centre-front to front/centre-front and band/neck-back to back/neck.",
		},
		"blouse.svg": {
			"Sew the darts first", "Go on", "Sew the shoulder seams",
			"Sew collar-1 to collar-2, right sides together: collar/front and collar/top, which the pattern joins to nothing; turn right sides out, and press.",
			"Sew collar on: collar/neck-front to front/neck and collar/neck-back to back/neck; front and back go between collar-1 and collar-2.",
			"Sew facing on: facing/centre-front to front/centre-front.", "Sew the side seams: front/side to back/side.", "Sew binding on; the pattern does not say to what.",
			"Turn in and sew down front/waist (20 mm) and back/waist (20 mm); of a casing leave a gap to draw the elastic in by.",
		},
	} {
		t.Run(name, func(t *testing.T) {
			drawn := sample(t, name)
			_, d := proved(t, cutting(drawn, "", nil), drawn)
			starts(t, d.Options[0].SewingOrder, want...)
		})
	}
}

// Patterns whose edges have other names are sewn by how the edges lie and what
// they run over: rings are closed first, and what joins a row after the row.
func TestSewingOrderByJoins(t *testing.T) {
	tube := func(name string, y, high int, top, bottom string) string {
		return fmt.Sprintf(`<g id=%q><path class="seam" d="M 0,%d h 300 v %d h -300 Z"/><path class="grain" d="M 50,%d v 20"/><path class="edge a" d="M 0,%d v %d"/><path class="edge b" data-joins="%s/a" d="M 300,%d v %d"/><path class="edge top" %s d="M 0,%d h 300"/><path class="edge low" %s d="M 0,%d h 300"/></g>`,
			name, y, high, y+10, y, high, name, y, high, top, y, bottom, y+high)
	}
	for name, c := range map[string]struct {
		groups []string
		want   []string
	}{
		"a ring round a tube": {[]string{tube("cuff", 0, 60, `data-joins="leg/low"`, ""), tube("leg", 100, 500, "", "")}, []string{"Sew the seam: leg/b to leg/a.", "Sew the ends of cuff together", "Sew cuff on: cuff/top to leg/low"}},
		"a row, then the band": {[]string{
			`<g id="waistband"><path class="seam" d="M 0,0 h 600 v 40 h -600 Z"/><path class="grain" d="M 50,10 v 20"/><path class="edge low" data-joins="rug/o, voor/o" d="M 600,40 H 0"/></g>`,
			`<g id="voor"><path class="seam" d="M 0,100 h 300 v 400 h -300 Z"/><path class="grain" d="M 50,110 v 20"/><path class="edge o" d="M 0,100 h 300"/><path class="edge zij" data-joins="rug/zij" d="M 300,100 v 400"/></g>`,
			`<g id="rug"><path class="seam" d="M 400,100 h 300 v 400 h -300 Z"/><path class="grain" d="M 450,110 v 20"/><path class="edge o" d="M 400,100 h 300"/><path class="edge zij" d="M 400,100 v 400"/></g>`,
		}, []string{"Sew the zij seam: voor/zij to rug/zij", "Sew waistband on: waistband/low to "}},
		"legs that nothing joins": {[]string{
			`<g id="waistband"><path class="seam" d="M 0,0 h 800 v 40 h -800 Z"/><path class="grain" d="M 50,10 v 20"/><path class="edge low" data-joins="front/waist, back/waist" d="M 800,40 H 0"/></g>`,
			`<g id="front" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,100 h 200 v 600 h -200 Z"/><path class="grain" d="M 50,110 v 20"/><path class="edge waist" d="M 0,100 h 200"/><path class="edge side" data-joins="back/side" d="M 200,100 v 600"/><path class="edge crotch" d="M 0,100 v 200"/><path class="edge inseam" data-joins="back/inseam" d="M 0,300 v 400"/></g>`,
			`<g id="back" data-cut="2" data-mirrored="yes"><path class="seam" d="M 400,100 h 200 v 600 h -200 Z"/><path class="grain" d="M 450,110 v 20"/><path class="edge waist" d="M 400,100 h 200"/><path class="edge side" d="M 400,100 v 600"/><path class="edge crotch" d="M 600,100 v 200"/><path class="edge inseam" d="M 600,300 v 400"/></g>`,
		}, []string{"Sew the long seams", "Sew waistband on: waistband/low to front/waist + back/waist; first close front/crotch and back/crotch, which the pattern joins to nothing"}},
		"a hood of two halves": {[]string{
			`<g id="body"><path class="seam" d="M 0,0 h 300 v 400 h -300 Z"/><path class="grain" d="M 50,10 v 20"/><path class="edge neck" data-joins="hood/neck" d="M 0,0 h 300"/></g>`,
			`<g id="hood" data-cut="2" data-mirrored="yes"><path class="seam" d="M 400,0 h 150 v 200 h -150 Z"/><path class="grain" d="M 450,10 v 20"/><path class="edge back" data-joins="hood/back" d="M 400,0 v 200"/><path class="edge neck" d="M 400,200 h 150"/></g>`,
		}, []string{"Sew the back seam: hood/back to hood/back.", "Sew body/neck to hood/neck."}},
		"a waist between seams": {[]string{
			strings.Replace(tube("top", 0, 200, "", `data-joins="skirt/top"`), "edge low", "edge waist", 1), tube("skirt", 300, 400, "", ""),
		}, []string{"Sew the long seams: top/b to top/a and skirt/b to skirt/a.", "Sew top/waist to skirt/top."}},
		"two shoulders of one back": {[]string{
			`<g id="back"><path class="seam" d="M 0,0 h 100 l 20,30 h 60 l 20,-30 h 100 v 400 h -300 Z"/><path class="grain" d="M 50,10 v 20"/><path class="edge shoulder" data-joins="one/shoulder, other/shoulder" d="M 0,0 h 100"/><path class="edge shoulder" data-joins="one/shoulder, other/shoulder" d="M 200,0 h 100"/></g>`,
			`<g id="one"><path class="seam" d="M 400,0 h 100 v 400 h -100 Z"/><path class="grain" d="M 450,10 v 20"/><path class="edge shoulder" d="M 400,0 h 100"/></g>`,
			`<g id="other"><path class="seam" d="M 600,0 h 100 v 400 h -100 Z"/><path class="grain" d="M 650,10 v 20"/><path class="edge shoulder" d="M 600,0 h 100"/></g>`,
		}, []string{"Sew the shoulder seams: back/shoulder to one/shoulder and back/shoulder to other/shoulder."}},
		"a collar of two layers, and a tie": {[]string{
			`<g id="body"><path class="seam" d="M 0,0 h 300 v 400 h -300 Z"/><path class="grain" d="M 50,10 v 20"/><path class="edge neck" data-joins="collar/neck" d="M 0,0 h 300"/></g>`,
			`<g id="collar"><path class="seam" d="M 400,0 h 300 v 60 h -300 Z"/><path class="grain" d="M 450,10 v 20"/><path class="edge neck" d="M 400,0 h 300"/><path class="edge outer" data-joins="undercollar/outer" d="M 400,60 h 300"/></g>`,
			`<g id="undercollar"><path class="seam" d="M 400,100 h 300 v 60 h -300 Z"/><path class="grain" d="M 450,110 v 20"/><path class="edge neck" d="M 400,100 h 300"/><path class="edge outer" d="M 400,160 h 300"/></g>`,
			`<g id="tie"><path class="seam" d="M 400,200 h 300 v 60 h -300 Z"/><path class="grain" d="M 450,210 v 20"/></g>`,
		}, []string{
			"The pattern does not say to what tie is sewn", "Sew collar and undercollar together: collar/outer to undercollar/outer.",
			"Sew collar on: collar/neck to body/neck; undercollar/neck goes into the same seam, as a layer of collar.",
		}},
		"a name that is no evidence": {[]string{
			tube("leg", 0, 400, "", ""),
			`<g id="fly-facing"><path class="seam" d="M 400,0 h 50 v 180 h -50 Z"/><path class="grain" d="M 420,10 v 20"/><path class="edge centre-front" d="M 400,0 v 180"/></g>`,
			`<g id="fly-shield"><path class="seam" d="M 500,0 h 50 v 180 h -50 Z"/><path class="grain" d="M 520,10 v 20"/><path class="edge centre-front" d="M 500,0 v 180"/></g>`,
		}, []string{"The pattern does not say to what fly-shield is sewn", "Sew fly-facing on; the pattern does not say to what.", "Sew the seam: leg/b to leg/a."}},
	} {
		t.Run(name, func(t *testing.T) {
			pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+strings.Join(c.groups, "")+`</svg>`), "p.svg")
			require.NoError(t, err)
			drawn := split.Copies(pieces)
			_, d := proved(t, cutting(drawn, "", nil), drawn)
			starts(t, d.Options[0].SewingOrder, append([]string{"Go on"}, c.want...)...)
		})
	}
}

// What is said of seams that are felt when the garment is worn: many in one
// piece, or one at the underarm, and nothing of others, or of a band's.
func TestWear(t *testing.T) {
	drawn := sample(t, "tshirt.svg")
	for name, c := range map[string]struct {
		piece string
		lines []splitLine
		want  []string
	}{
		"none":                     {"front", nil, nil},
		"one out of the way":       {"front", []splitLine{{split.Yoke{}, 400}}, nil},
		"one at the underarm":      {"front", []splitLine{{split.Yoke{}, 240}}, []string{"in front, A lies at the underarm, where cloth rubs"}},
		"one high in the armhole":  {"front", []splitLine{{split.Yoke{}, 120}}, nil},
		"one 50 mm below it":       {"front", []splitLine{{split.Yoke{}, 285}}, nil},
		"two at the underarm":      {"front", []splitLine{{split.Yoke{}, 234.8}, {split.Yoke{}, 249}}, []string{"in front, A and B lie at the underarm, where cloth rubs"}},
		"three":                    {"front", []splitLine{{split.Yoke{}, 350}, {split.Yoke{}, 420}, {split.Yoke{}, 500}}, []string{"3 piecing seams of front lie against the skin: A, B, C"}},
		"a band's are in its fold": {"neckband", []splitLine{{split.Panel{}, 100}, {split.Panel{}, 200}, {split.Panel{}, 300}}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			p := cutting(drawn, "", nil)
			for i, q := range p.Pieces {
				if q.Name != c.piece {
					continue
				}
				whole := split.NewBody(q, q.Outline)
				for _, l := range c.lines {
					from := whole.Lo[1]
					if l.way.Traits().Runs != split.Across {
						from = whole.Lo[0]
					}
					require.NotZero(t, p.Trees[i].ByHand(q, l.way, from+l.mm, 0))
				}
			}
			_, d := proved(t, p, drawn)
			require.Equal(t, c.want, d.Options[0].Wear)
		})
	}
}

type splitLine struct {
	way split.Way
	mm  float64
}
