package draw

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"
	"eke/svg/placing"

	svg "github.com/ajstarks/svgo/float"
	"github.com/paulmach/orb"
)

// Placing draws a scrap with its parts as a sheet of numbers has them: the
// edges and corners that are measured from with their letters, and the number
// of each part and the letters of its three corners. option counts from 0.
func (p *Plan) Placing(option int, sheet placing.Sheet) (Picture, error) {
	const (
		typeShare = 0.05 // of the picture's longer side
		leastType = 0.75 // of that, on a small part
	)
	o, err := p.option(option)
	if err != nil {
		return Picture{}, err
	}
	d := p.doc
	scrap := &d.Scraps[sheet.Scrap]
	outline := closedPath(scrap.Outline)
	box := outline.Bound()
	width, height := size(box)
	typeMM := typeShare * math.Max(width, height)
	var body bytes.Buffer
	out := &sticky{w: &body}
	c := &canvas{svg.New(out), out}
	c.filled(outline, "", "placing-cloth")
	for _, h := range scrap.Holes {
		c.filled(closedPath(h), "", "laid-hole")
	}
	letters := func(text string, at orb.Point, mm float64, class string) {
		box = box.Union(orb.Bound{Min: at, Max: at}.Pad(mm))
		c.svg.Text(at[0], at[1]+0.36*mm, text, attribute("class", class), attribute("font-size", number(mm)), attribute("text-anchor", "middle"))
	}
	var says []string
	for _, p := range sheet.Parts {
		part := &o.Parts[p.Part]
		cut := closedPath(part.CutLine).Transform(curve.Matrix(part.Placement))
		c.filled(cut, "", "laid-part")
		partWidth, partHeight := size(cut.Bound())
		mm := math.Min(typeMM, math.Max(leastType*typeMM, 0.3*math.Min(partWidth, partHeight)))
		in := Shape{Region: cut.Flatten(flattenMM), GrainDeg: turned(part.GrainDeg, curve.Matrix(part.Placement))}
		room := newFreeSpace(cut)
		middle := cut.Bound().Center()
		for _, k := range p.Corners {
			at := inward(k.At, middle, 0.9*mm)
			room.addWall([]orb.Point{{at[0] - mm/2, at[1]}, {at[0] + mm/2, at[1]}})
			c.filled(circle(k.At, 0.22*mm), "", "placing-dot")
			letters(k.Name, at, 0.8*mm, "words")
		}
		text := strconv.Itoa(o.numbers[p.Part])
		says = append(says, text+" "+plan.Plain(part.Name))
		if !in.setBlock(room, block{[]string{text}, 1}, 1.3*typeMM, leastType*typeMM) {
			in.leadOut(room, block{[]string{text}, 1}, leastType*typeMM)
		}
		c.arrows(in.Lines)
		for _, l := range in.Labels {
			letters(l.Text, l.At, l.SizeMM, "words placing-number")
		}
	}
	for _, e := range sheet.Edges {
		c.svg.Path(rounded(curve.Polyline(sheet.Corners[e[0]].At, sheet.Corners[e[1]].At)), attribute("class", "placing-edge"))
	}
	middle := outline.Bound().Center()
	for _, k := range sheet.Corners {
		c.filled(circle(k.At, 0.3*typeMM), "", "placing-corner")
		letters(k.Name, inward(k.At, middle, -1.1*typeMM), 1.1*typeMM, "words placing-letter")
	}
	box = box.Pad(2)
	width, height = size(box)
	var b bytes.Buffer
	said := fmt.Sprintf("Scrap %s with the corners that its parts are placed by: %s", d.ScrapName(scrap.Name, scrap.Copy), strings.Join(says, ", "))
	fmt.Fprintf(&b, "<svg role=\"img\" %s viewBox=\"%s %s %s %s\">\n", attribute("aria-label", said), number(box.Min[0]), number(box.Min[1]), number(width), number(height))
	b.Write(body.Bytes())
	b.WriteString("</svg>")
	return Picture{Name: d.ScrapName(scrap.Name, scrap.Copy), SVG: b.String(), WidthMM: width, HeightMM: height}, out.err
}

// inward is the point so far from at toward another.
func inward(at, toward orb.Point, mm float64) orb.Point {
	l := plane.Distance(at, toward)
	if l == 0 {
		return at
	}
	return plane.Along(at, plane.Sub(toward, at), mm/l)
}
