package draw

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"

	"eke/split/plan"

	"golang.org/x/image/colornames"
)

// tones are the colours of scraps that give none of their own. They differ in
// lightness as well as in hue, so that they can be told apart with any kind
// of colour blindness; the hatching tells them apart without colour.
var tones = []color.RGBA{
	rgb(0xface55), rgb(0x1f337f), rgb(0xe27940), rgb(0x97c6f2), rgb(0x5c204d),
	rgb(0xfcf3d1), rgb(0x3d7a6a), rgb(0xf398b0), rgb(0x665b31), rgb(0x918be6),
}

func rgb(hex uint32) color.RGBA {
	return color.RGBA{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 0xff}
}

var rgbFunction = regexp.MustCompile(`^rgb\( *([0-9]{1,3}) *[, ] *([0-9]{1,3}) *[, ] *([0-9]{1,3}) *\)$`)

// ParseColour reads a CSS colour: a name, #rgb, #rrggbb or rgb(r, g, b).
// Nothing else counts as a colour.
func ParseColour(s string) (c color.RGBA, ok bool) {
	s = strings.ToLower(strings.TrimSpace(s))
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
	return color.RGBA{}, false
}

// cloths gives each scrap of a plan the number of its cloth: copies of a
// scrap are one cloth.
func cloths(d *plan.Document) (of []int, first []int) {
	seen := map[string]int{}
	for i, s := range d.Scraps {
		n, ok := seen[s.Name]
		if !ok {
			n = len(first)
			seen[s.Name] = n
			first = append(first, i)
		}
		of = append(of, n)
	}
	return of, first
}

// worn are colours that cloth is named by and CSS does not know.
var worn = map[string]color.RGBA{
	"cream": rgb(0xfbf1d3), "ecru": rgb(0xe6dcc3), "mustard": rgb(0xcf9b22), "burgundy": rgb(0x6d2035),
	"charcoal": rgb(0x3c4145), "rust": rgb(0xa94e2c), "denim": rgb(0x4a6688), "sage": rgb(0x9aa88a),
}

// clothColour is the colour a cloth is drawn in: the scrap's own, or the first
// that its fabric or its name has as a word, or the next of the tones.
func clothColour(s plan.Scrap, n int) color.RGBA {
	if c, ok := ParseColour(s.Colour); ok {
		return c
	}
	for _, word := range strings.Fields(strings.ToLower(s.Fabric + " " + s.Name)) {
		if c, ok := worn[word]; ok {
			return c
		}
		if c, ok := colornames.Map[word]; ok {
			return c
		}
	}
	return tones[n%len(tones)]
}

// hatchings are drawn in a square of 24 mm, one to a cloth.
var hatchings = []string{
	"",
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

// Cloths writes the fills of scraps of a plan, one of each kind, as an SVG of
// no size, for a page that holds pictures of them. A fill is the scrap's
// colour under a hatching of its own.
func Cloths(w io.Writer, d *plan.Document, scraps []int) error {
	out := &sticky{w: w}
	fmt.Fprint(out, `<svg class="cloths" width="0" height="0" aria-hidden="true" focusable="false"><defs>`)
	of, first := cloths(d)
	for _, i := range scraps {
		n := of[i]
		c := clothColour(d.Scraps[first[n]], n)
		fmt.Fprintf(out, `<pattern id="cloth-%d" width="24" height="24" patternUnits="userSpaceOnUse"><rect width="24" height="24" fill="%s"/>`, n, hex(c))
		if h := hatchings[n%len(hatchings)]; h != "" {
			fmt.Fprintf(out, `<path d="%s" fill="none" stroke="%s" stroke-width="2"/>`, h, hex(shade(c)))
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
