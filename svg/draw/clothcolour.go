package draw

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"eke/split/plan"

	"golang.org/x/image/colornames"
)

func rgb(hex uint32) color.RGBA {
	return color.RGBA{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 0xff}
}

var rgbFunction = regexp.MustCompile(`^rgb\( *([0-9]{1,3}) *[, ] *([0-9]{1,3}) *[, ] *([0-9]{1,3}) *\)$`)

// ParseColour reads what a scrap says of its colour: a name that cloth goes by or CSS
// has, #rgb, #rrggbb or rgb(r, g, b), or words with such a name among them.
func ParseColour(s string) (c color.RGBA, ok bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	if c, ok := worn[s]; ok {
		return c, true
	}
	if c, ok := colornames.Map[s]; ok {
		return c, true
	}
	if hex, found := strings.CutPrefix(s, "#"); found {
		if len(hex) == 3 {
			hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
		}
		if x, err := strconv.ParseUint(hex, 16, 32); err == nil && len(hex) == 6 {
			return rgb(uint32(x)), true
		}
	}
	if m := rgbFunction.FindStringSubmatch(s); m != nil {
		var v [3]uint8
		for i := range v {
			x, _ := strconv.Atoi(m[i+1])
			v[i] = uint8(min(x, 255))
		}
		return color.RGBA{v[0], v[1], v[2], 0xff}, true
	}
	return colourWord(s)
}

// worn are colours that cloth is named by and CSS does not know, or not as cloth has
// them: its dark grey is lighter than its grey, its brown a red and its chocolate
// orange. The values are chosen.
var worn = map[string]color.RGBA{
	"cream": rgb(0xfbf1d3), "ecru": rgb(0xe6dcc3), "mustard": rgb(0xcf9b22), "burgundy": rgb(0x6d2035),
	"charcoal": rgb(0x3c4145), "rust": rgb(0xa94e2c), "denim": rgb(0x4a6688), "sage": rgb(0x9aa88a),
	"oatmeal": rgb(0xded3bd), "sand": rgb(0xd8c49a), "camel": rgb(0xb98a56), "taupe": rgb(0x8b7e72), "stone": rgb(0xb9b2a3),
	"caramel": rgb(0xa8682f), "cocoa": rgb(0x5c3d2e), "mocha": rgb(0x7a5c49), "coffee": rgb(0x4b3527),
	"lemon": rgb(0xf4e04d), "ochre": rgb(0xc0882b), "ocher": rgb(0xc0882b), "apricot": rgb(0xf4b183), "peach": rgb(0xf7c6a5),
	"copper": rgb(0xb06a3b), "brick": rgb(0x9e4434), "terracotta": rgb(0xc0643f),
	"poppy": rgb(0xd93a2b), "scarlet": rgb(0xc4201f), "cherry": rgb(0xa8142f), "raspberry": rgb(0xb0234f), "berry": rgb(0x7b2246), "cerise": rgb(0xd02f6b),
	"claret": rgb(0x6e1a2b), "bordeaux": rgb(0x5c1a28), "wine": rgb(0x66203a), "rose": rgb(0xd98a9c), "blush": rgb(0xefc4c0),
	"lilac": rgb(0xbfa3d0), "mauve": rgb(0xa78aa6), "grape": rgb(0x5b3a75), "aubergine": rgb(0x452440), "eggplant": rgb(0x452440), "amethyst": rgb(0x8a62b0),
	"sky": rgb(0x8fc3e8), "periwinkle": rgb(0x8f99d6), "cornflower": rgb(0x5f83d0), "cobalt": rgb(0x1f4aa8), "sapphire": rgb(0x1d3f91),
	"midnight": rgb(0x1a2147), "ink": rgb(0x20294a), "petrol": rgb(0x1f5566), "peacock": rgb(0x146b7d),
	"mint": rgb(0xb2dec5), "jade": rgb(0x3f9c78), "emerald": rgb(0x1b8a5a), "moss": rgb(0x6b7440), "forest": rgb(0x24482f), "pistachio": rgb(0xb7c98a),
	"slate": rgb(0x5b6670), "anthracite": rgb(0x33373b), "graphite": rgb(0x45494d), "ash": rgb(0xb0b3b0), "bronze": rgb(0x8a6d3b),
	"khaki": rgb(0x9c8f66), "darkkhaki": rgb(0x6f6745), "chocolate": rgb(0x4a2e22), "brown": rgb(0x6b4630), "violet": rgb(0x7a4fa0), "plum": rgb(0x6d2f5a),
	"darkgrey": rgb(0x55595c), "darkgray": rgb(0x55595c),
}

// unknown is what cloth is drawn in whose colour nothing tells.
var unknown = rgb(0xc6c8c3)

// cloth is how a look is drawn in every picture.
type cloth struct {
	colour   color.RGBA
	hatching int
}

// cloths are the cloths of a plan and which of them each scrap is. Scraps of
// one look have one hatching, and one colour unless they give several: then
// each has its own, and those that give none are drawn as if the look's
// colour were not known.
func cloths(d *plan.Document) (of []int, all []cloth) {
	given := map[string][]color.RGBA{} // by look
	for _, s := range d.Scraps {
		l := lookOf(s)
		if c, ok := scrapColour(s); ok && !slices.Contains(given[l], c) {
			given[l] = append(given[l], c)
		}
	}
	hatching := map[string]int{} // by look
	plain := false
	for _, s := range d.Scraps {
		l := lookOf(s)
		c, known := scrapColour(s)
		if !known && len(given[l]) == 1 {
			c, known = given[l][0], true
		}
		if !known {
			c, known = colourWord(saidLook(s))
		}
		if !known {
			c = unknown
		}
		if _, seen := hatching[l]; !seen {
			if known && !plain {
				hatching[l], plain = 0, true
			} else {
				hatching[l] = len(hatching) + 1
			}
		}
		n := slices.Index(all, cloth{c, hatching[l]})
		if n < 0 {
			n = len(all)
			all = append(all, cloth{c, hatching[l]})
		}
		of = append(of, n)
	}
	return of, all
}

// Colours are the colours in which the scraps of a plan are drawn, as CSS has them.
func Colours(d *plan.Document) []string {
	of, all := cloths(d)
	out := make([]string, len(of))
	for i, k := range of {
		c := all[k].colour
		out[i] = fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
	}
	return out
}

// lookOf is what tells a scrap from others to the eye: its look or fabric, or
// else its name.
func lookOf(s plan.Scrap) string {
	if l := strings.Join(strings.Fields(strings.ToLower(saidLook(s))), " "); l != "" {
		return l
	}
	return "\x00" + s.Name
}

// saidLook is the look that the list of scraps gives one; empty where its name
// stands in for it.
func saidLook(s plan.Scrap) string {
	if s.Look != "" && s.Look != s.Name {
		return s.Look
	}
	return s.Fabric
}

// scrapColour is the colour that one scrap gives, by itself or, where its
// look is not named by a colour, in its name.
func scrapColour(s plan.Scrap) (color.RGBA, bool) {
	if c, ok := ParseColour(s.Colour); ok {
		return c, true
	}
	if _, ok := colourWord(saidLook(s)); ok {
		return color.RGBA{}, false
	}
	return colourWord(s.Name)
}

// finishes of cloth are said by a word that is a colour elsewhere.
var finishes = []string{"stone wash", "stone washed", "sand wash", "sand washed", "peach skin"}

// colourWord is the first colour that a text has as a word, or as two, as in light blue.
// Linen is a colour to CSS, and a fabric to anyone who sews.
func colourWord(text string) (color.RGBA, bool) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
	for i, word := range words {
		two := words[i:min(i+2, len(words))]
		if slices.Contains(finishes, strings.Join(two, " ")) {
			continue
		}
		for _, said := range []string{strings.Join(two, ""), word} {
			if c, ok := worn[said]; ok {
				return c, true
			}
			if c, ok := colornames.Map[said]; ok && said != "linen" {
				return c, true
			}
		}
	}
	return color.RGBA{}, false
}

// hatchings are drawn in a square of 24 mm, one to a look.
var hatchings = []string{
	"M-6 18 L6 30 M-6 -6 L30 30 M18 -6 L30 6",
	"M-6 6 L6 -6 M-6 30 L30 -6 M18 30 L30 18",
	"M0 12 H24",
	"M12 0 V24",
	"M4 6 h3 M16 18 h3 M4 18 h3 M16 6 h3",
	"M0 12 H24 M12 0 V24",
	"M0 18 L6 6 L12 18 L18 6 L24 18",
	"M8 12 a4 4 0 1 0 8 0 a4 4 0 1 0 -8 0",
	"M-6 -6 L30 30 M-6 30 L30 -6",
	"M0 8 H12 V20 H24",
	"M4 4 h7 v7 h-7 Z",
}

// hatch is the n-th hatching from 1, and how the square it is drawn in is
// changed where there are more looks than hatchings. Hatching 0 is none.
func hatch(n int) (d, change string) {
	if n == 0 {
		return "", ""
	}
	round := (n - 1) / len(hatchings)
	if round > 0 {
		change = fmt.Sprintf("rotate(%d) scale(%g)", 20*(round/3), []float64{1, 0.55, 1.6}[round%3])
	}
	return hatchings[(n-1)%len(hatchings)], change
}

// Cloths writes the fills of scraps of a plan as an SVG of no size, for a page
// that holds pictures of them. A fill is a colour under the look's hatching.
func (p *Plan) Cloths(w io.Writer, scraps []int) error {
	out := &sticky{w: w}
	fmt.Fprint(out, `<svg class="cloths" width="0" height="0" aria-hidden="true" focusable="false"><defs>`)
	of, all := cloths(p.doc)
	written := map[int]bool{}
	for _, i := range scraps {
		n := of[i]
		if written[n] {
			continue
		}
		written[n] = true
		lines, change := hatch(all[n].hatching)
		if change != "" {
			change = fmt.Sprintf(` patternTransform="%s"`, change)
		}
		fmt.Fprintf(out, `<pattern id="cloth-%d" width="24" height="24" patternUnits="userSpaceOnUse"%s><rect width="24" height="24" fill="%s"/>`, n, change, hex(all[n].colour))
		if lines != "" {
			fmt.Fprintf(out, `<path d="%s" fill="none" stroke="%s" stroke-width="2"/>`, lines, hex(shade(all[n].colour)))
		}
		fmt.Fprint(out, `</pattern>`)
	}
	fmt.Fprint(out, `</defs></svg>`)
	return out.err
}

func clothFill(n int) string { return fmt.Sprintf("url(#cloth-%d)", n) }

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// shade is the colour a cloth is hatched in: darker on a light cloth, lighter
// on a dark one.
func shade(c color.RGBA) color.RGBA {
	toward := 0.0
	if lightness(c) < 0.18 {
		toward = 255
	}
	mix := func(v uint8) uint8 { return uint8(math.Round(float64(v)*0.68 + toward*0.32)) }
	return color.RGBA{mix(c.R), mix(c.G), mix(c.B), 0xff}
}

// lightness is the relative luminance of WCAG 2.1, 0 black to 1 white.
func lightness(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}
