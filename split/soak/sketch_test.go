package soak

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"eke/piece"
	"eke/svg"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The sewing orders of the samples can be sewn step by step.
func TestSewingOrdersOfTheSamples(t *testing.T) {
	for _, name := range []string{"tshirt.svg", "tshirt-child.svg", "raglan-child.svg", "cardigan.svg", "cardigan-child.svg", "blouse.svg"} {
		t.Run(name, func(t *testing.T) {
			pieces, err := sample(name)
			require.NoError(t, err)
			require.NotZero(t, orders(t, pieces, 8))
		})
	}
}

// So can those of garments of many kinds.
func TestSewingOrders(t *testing.T) {
	made := 0
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]func(*rand.Rand) string{sketch, sketch, shirt}).Draw(t, "kind")
		drawing := kind(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0)))
		if rapid.Bool().Draw(t, "foreign") {
			drawing = foreign.Replace(drawing)
		}
		pieces, err := svg.Pattern(strings.NewReader(drawing), "sketch.svg")
		require.NoError(t, err, drawing)
		made += orders(t, pieces, 2)
	})
	require.NotZero(t, made)
}

// foreign gives edges names that say nothing of when they are sewn.
var foreign = strings.NewReplacer("neck", "hals", "shoulder", "schulter", "armhole", "armloch", "cap-", "kugel-", "side", "seite", "waist", "taille",
	"centre", "mitte", "princess", "teilung", "underarm", "unterarm", "hem", "saum", "crown", "krone")

// orders holds the sewing orders of some plans by hand, and counts them.
func orders(t require.TestingT, pieces []*piece.Piece, plans int) (made int) {
	for n := range plans {
		s := setting{Seed: uint64(n), AllowanceMM: 10}
		if res, cloth := s.byHand(pieces, n); res != nil {
			made++
			require.NoError(t, ordered(s, s.document(res, cloth), res))
		}
	}
	return made
}

// sketch is the drawing of a garment of straight lines, drawn at random: open in front
// or not, with princess seams, a gathered skirt, sleeves with or without cuffs, and a
// collar of one layer or two, a hood of two halves or three pieces, a facing or a
// band at the neck.
func sketch(rng *rand.Rand) string {
	b := &sheet{}
	draw := b.draw
	maybe := func() bool { return rng.IntN(2) == 0 }
	const two, one = `data-cut="2" data-mirrored="yes"`, ``
	open, princess, skirt, sleeve := maybe(), maybe(), maybe(), maybe()
	halfBack, finish := rng.IntN(4) == 0, rng.IntN(6)
	const band, collar, layers, halves, hood, facing = 0, 1, 2, 3, 4, 5

	bottom := "hem"
	if skirt {
		bottom = "waist"
	}
	body := func(name, other string, deep float64, inTwo, isOpen bool) {
		neck := map[int]string{band: "neckband/neck", collar: "collar/neck", layers: "collar/neck, undercollar/neck", halves: "hood/neck-" + name, hood: "hood-side/neck-" + name, facing: name + "-facing/neck"}[finish]
		if finish == hood && name == "back" {
			neck += ", hood-centre/neck"
		}
		centre, copies := corner{0, 400, "fold", "", ""}, one
		if inTwo {
			centre, copies = corner{0, 400, "centre", name + "/centre", ""}, two
			if princess {
				centre.joins = "centre-" + centre.joins
			}
			if isOpen {
				centre.joins = ""
			}
		}
		to := map[bool]string{true: "skirt-" + name + "/waist"}[skirt]
		cap := map[bool]string{true: "sleeve/cap-" + name}[sleeve]
		if !princess {
			draw(name, copies, corner{0, deep, "neck", neck, ""}, corner{60, 0, "shoulder", other + "/shoulder", ""}, corner{150, 30, "armhole", cap, ""}, corner{170, 150, "+", "", ""},
				corner{200, 170, "side", other + "/side", ""}, corner{200, 400, bottom, to, ""}, centre)
			return
		}
		draw("centre-"+name, copies, corner{0, deep, "neck", neck, ""}, corner{60, 0, "shoulder", "centre-" + other + "/shoulder", ""}, corner{105, 15, "princess", "side-" + name + "/princess", ""},
			corner{105, 400, bottom, to, ""}, centre)
		draw("side-"+name, two, corner{105, 15, "shoulder", "side-" + other + "/shoulder", ""}, corner{150, 30, "armhole", cap, ""}, corner{170, 150, "+", "", ""},
			corner{200, 170, "side", "side-" + other + "/side", ""}, corner{200, 400, bottom, to, ""}, corner{105, 400, "princess", "centre-" + name + "/princess", ""})
	}
	of := func(name, edge string) string {
		if princess {
			return "centre-" + name + "/" + edge
		}
		return name + "/" + edge
	}
	const deepFront, deepBack, shoulder = 60.0, 20.0, 60.0
	body("front", "back", deepFront, open || finish == halves || finish == hood, open || finish == halves || finish == hood)
	body("back", "front", deepBack, halfBack, false)
	if skirt {
		wide := []float64{200, 330}[rng.IntN(2)]
		for _, p := range [][2]string{{"front", "back"}, {"back", "front"}} {
			to := p[0] + "/waist"
			if princess {
				to = "centre-" + p[0] + "/waist, side-" + p[0] + "/waist"
			}
			draw("skirt-"+p[0], one, corner{0, 0, "waist", to, "80%"}, corner{wide, 0, "side", "skirt-" + p[1] + "/side", ""}, corner{wide, 500, "hem", "", ""}, corner{0, 500, "fold", "", ""})
		}
	}
	if sleeve {
		prefix := map[bool]string{true: "side-"}[princess]
		cuff, wrist := maybe(), ""
		if cuff {
			wrist = "cuff/top"
		}
		const high = 48.7 // so that each half of the cap is as long as an armhole
		draw("sleeve", two, corner{0, high, "cap-back", prefix + "back/armhole", ""}, corner{150, 0, "cap-front", prefix + "front/armhole", ""}, corner{300, high, "underarm-front", "sleeve/underarm-back", ""},
			corner{280, 300, "hem", wrist, "40%"}, corner{20, 300, "underarm-back", "sleeve/underarm-front", ""})
		if cuff {
			ends := [2]string{"cuff/end-b", "cuff/end-a"}
			if maybe() {
				ends = [2]string{} // it is not said that it is a ring
			}
			draw("cuff", two, corner{0, 0, "top", "sleeve/hem", ""}, corner{200, 0, "end-a", ends[0], ""}, corner{200, 60, "", "", ""}, corner{0, 60, "end-b", ends[1], ""})
		}
	}
	front, back := math.Hypot(shoulder, deepFront), math.Hypot(shoulder, deepBack)
	necks := of("front", "neck") + ", " + of("back", "neck")
	switch finish {
	case band:
		ends := [2]string{"neckband/end-b", "neckband/end-a"}
		if open {
			ends = [2]string{}
		}
		draw("neckband", one, corner{0, 0, "neck", necks, ""}, corner{2 * (front + back), 0, "end-a", ends[0], ""}, corner{2 * (front + back), 40, "", "", ""}, corner{0, 40, "end-b", ends[1], ""})
	case collar, layers:
		outer := ""
		if finish == layers {
			outer = "undercollar/outer"
		}
		draw("collar", one, corner{0, 60, "fold", "", ""}, corner{0, 0, "outer", outer, ""}, corner{front + back, 0, "", "", ""}, corner{front + back, 60, "neck", necks, ""})
		if finish == layers {
			draw("undercollar", one, corner{0, 60, "fold", "", ""}, corner{0, 0, "outer", "collar/outer", ""}, corner{front + back, 0, "", "", ""}, corner{front + back, 60, "neck", necks, ""})
		}
	case halves:
		draw("hood", two, corner{0, 0, "opening", "", ""}, corner{200, 0, "centre", "hood/centre", ""}, corner{front + back, 250, "neck-back", of("back", "neck"), ""}, corner{front, 250, "neck-front", of("front", "neck"), ""}, corner{0, 250, "opening", "", ""})
	case hood:
		const centre = 30.0
		draw("hood-side", two, corner{0, 0, "opening", "", ""}, corner{front + back - centre, 0, "crown", "hood-centre/crown-a, hood-centre/crown-b", ""}, corner{front + back - centre, 250, "neck-back", of("back", "neck"), ""}, corner{front, 250, "neck-front", of("front", "neck"), ""}, corner{0, 250, "opening", "", ""})
		draw("hood-centre", one, corner{0, 0, "front", "", ""}, corner{2 * centre, 0, "crown-a", "hood-side/crown", ""}, corner{2 * centre, 250, "neck", of("back", "neck"), ""}, corner{0, 250, "crown-b", "hood-side/crown", ""})
	case facing:
		for _, p := range []struct {
			name, other string
			deep        float64
		}{{"front", "back", deepFront}, {"back", "front", deepBack}} {
			draw(p.name+"-facing", one, corner{0, p.deep, "neck", of(p.name, "neck"), ""}, corner{shoulder, 0, "shoulder", p.other + "-facing/shoulder", ""}, corner{100, 13.3, "", "", ""}, corner{0, p.deep + 60, "fold", "", ""})
		}
	}
	if maybe() {
		draw("tie", two, corner{0, 0, "end", "", ""}, corner{600, 0, "", "", ""}, corner{600, 50, "", "", ""}, corner{0, 50, "", "", ""})
	}
	return b.String()
}

// shirt is the drawing of a shirt of straight lines, drawn at random: its yoke, collar,
// stand and cuffs of one layer or two, these open or rings, with its bands down the front hemmed with it or
// not, and with a stand or without.
func shirt(rng *rand.Rand) string {
	b := &sheet{}
	maybe := func() bool { return rng.IntN(2) == 0 }
	layers := func() string { return map[bool]string{true: `data-cut="2"`}[maybe()] }
	const two = `data-cut="2" data-mirrored="yes"`
	stand, self := maybe(), maybe()
	joined := func(edge string, is bool) string { return map[bool]string{true: edge}[is] }
	necks, standing := "collar/neck", "yoke/neck, front/neck"
	if stand {
		standing = "stand/top"
	}
	neck := func(edge string) string {
		if stand {
			return "stand/" + edge
		}
		return necks
	}
	b.draw("front", two, corner{0, 60, "neck", neck("neck-front"), ""}, corner{60, 0, "shoulder", "yoke/shoulder", ""}, corner{150, 30, "armhole", "sleeve/cap-front", ""}, corner{170, 150, "+", "", ""},
		corner{200, 170, "side", "back/side", ""}, corner{200, 400, "hem", "", ""}, corner{0, 400, "centre-front", "band/centre-front", ""})
	b.draw("yoke", layers(), corner{0, 90, "fold", "", ""}, corner{0, 20, "neck", neck("neck-back"), ""}, corner{60, 0, "shoulder", "front/shoulder", ""}, corner{150, 30, "armhole", "sleeve/cap-back", ""}, corner{150, 90, "bottom", "back/top", ""})
	b.draw("back", "", corner{0, 350, "fold", "", ""}, corner{0, 0, "top", "yoke/bottom", ""}, corner{150, 0, "armhole", "sleeve/cap-back", ""}, corner{170, 100, "+", "", ""},
		corner{200, 120, "side", "front/side", ""}, corner{200, 350, "hem", "", ""})
	const capBack, capFront, high = 190, 148, 55 // so that the cap is as long as the armholes
	b.draw("sleeve", two, corner{0, high, "cap-back", "yoke/armhole, back/armhole", ""}, corner{capBack, 0, "cap-front", "front/armhole", ""}, corner{capBack + capFront, high, "underarm-front", "sleeve/underarm-back", ""},
		corner{320, 300, "wrist", "cuff/top", "40%"}, corner{20, 300, "underarm-back", "sleeve/underarm-front", ""})
	cuffs := []string{two, `data-cut="4" data-mirrored="yes"`}[rng.IntN(2)]
	ring := maybe()
	b.draw("cuff", cuffs, corner{0, 0, "top", "sleeve/wrist", ""}, corner{250, 0, "end-a", joined("cuff/end-b", ring), ""}, corner{250, 60, "bottom", joined("cuff/bottom", cuffs != two && maybe()), ""}, corner{0, 60, "end-b", joined("cuff/end-a", ring), ""})
	front, back := math.Hypot(60, 60), math.Hypot(60, 20)
	const bandMM = 20.0
	long := front + back
	if stand {
		long += bandMM
		b.draw("stand", layers(), corner{0, 30, "fold", "", ""}, corner{0, 0, "top", "collar/neck", ""}, corner{long, 0, "end", "", ""}, corner{long, 30, "band-end", "band/top", ""}, corner{front + back, 30, "neck-front", "front/neck", ""}, corner{back, 30, "neck-back", "yoke/neck", ""})
	}
	collars := layers()
	self = self && collars != ""
	b.draw("collar", collars, corner{0, 60, "fold", "", ""}, corner{0, 0, "outer", joined("collar/outer", self), ""}, corner{long, 0, "point", joined("collar/point", self), ""}, corner{long, 60, "neck", standing, ""})
	b.draw("band", two, corner{0, 0, "top", joined("stand/band-end", stand), ""}, corner{bandMM, 0, "edge", "", ""}, corner{bandMM, 340, []string{"hem", "bottom"}[rng.IntN(2)], "", ""}, corner{0, 340, "centre-front", "front/centre-front", ""})
	return b.String()
}

// corner of a piece, and the edge that starts there; "+" goes on with the one before.
type corner struct {
	x, y              float64
	edge, joins, ease string
}

// sheet is a drawing of pieces, one below the other.
type sheet struct {
	strings.Builder
	y float64
}

// draw adds a piece: its corners, each with the name of the edge that starts there, and
// what that is sewn to.
func (b *sheet) draw(name, facts string, at ...corner) {
	var d []string
	high := 0.0
	for _, c := range at {
		d = append(d, fmt.Sprintf("%g,%g", c.x, c.y+b.y))
		high = math.Max(high, c.y)
	}
	fmt.Fprintf(b, `<g id="%s" %s><path class="seam" d="M %s Z"/><path class="grain" d="M %g,%g v 20"/>`, name, facts, strings.Join(d, " L "), at[0].x+10, b.y+high/2)
	for i := 0; i < len(at); {
		k := i + 1
		for k < len(at) && at[k].edge == "+" {
			k++
		}
		if e := at[i]; e.edge != "" {
			class := "edge " + e.edge
			if e.edge == "fold" {
				class = "fold"
			}
			fmt.Fprintf(b, `<path class="%s" d="M %s"`, class, strings.Join(append(d[i:k:k], d[k%len(at)]), " L "))
			if e.joins != "" {
				fmt.Fprintf(b, ` data-joins="%s"`, e.joins)
			}
			if e.ease != "" {
				fmt.Fprintf(b, ` data-ease="%s"`, e.ease)
			}
			b.WriteString("/>")
		}
		i = k
	}
	b.WriteString("</g>\n")
	b.y += high + 50
}

func (b *sheet) String() string {
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="%gmm" viewBox="0 0 1000 %g">`+"\n%s</svg>", b.y, b.y, b.Builder.String())
}
