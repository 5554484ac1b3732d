package draw

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	svg "github.com/ajstarks/svgo/float"
	"github.com/paulmach/orb"
)

// Laid draws every scrap that an option uses with its parts laid on it, for a
// page that also holds Cloths, the scrap with the largest part first. WidthMM
// tells their sizes against each other; scraps says which of the plan's each
// one is.
func (p *Plan) Laid(option int) (pictures []Picture, scraps []int, err error) {
	o, err := p.option(option)
	if err != nil {
		return nil, nil, err
	}
	d := p.doc
	shapes := make([]Shape, len(d.Scraps))
	widest := 0.0
	for i := range d.Scraps {
		if !o.cutsInto(&d.Scraps[i]) {
			continue
		}
		if shapes[i], err = scrapShape(d, &d.Scraps[i], o.parts); err != nil {
			return nil, nil, err
		}
		w, _ := size(orb.MultiPoint(shapes[i].Region).Bound())
		widest = math.Max(widest, w)
	}
	of, _ := cloths(d)
	for _, k := range o.CuttingOrder() {
		part := &o.parts[k]
		i := slices.IndexFunc(d.Scraps, func(s plan.Scrap) bool { return part.isFrom(&s) })
		if i < 0 {
			return nil, nil, fmt.Errorf("part %q is cut from scrap %q (%d), which the plan does not have", part.Name, part.Scrap, part.ScrapCopy)
		}
		if slices.Contains(scraps, i) {
			continue
		}
		p, err := laid(o, &d.Scraps[i], shapes[i], clothFill(of[i]), widest*typeShare)
		if err != nil {
			return nil, nil, err
		}
		pictures, scraps = append(pictures, p), append(scraps, i)
	}
	for i := range d.Scraps { // on which something was spoilt, and no more
		if slices.Contains(scraps, i) || !o.cutsInto(&d.Scraps[i]) {
			continue
		}
		p, err := laid(o, &d.Scraps[i], shapes[i], clothFill(of[i]), widest*typeShare)
		if err != nil {
			return nil, nil, err
		}
		pictures, scraps = append(pictures, p), append(scraps, i)
	}
	return pictures, scraps, nil
}

// Scraps draws scraps of a plan as they are before anything is cut, for a page
// that also holds their Cloths, in the order given.
func (p *Plan) Scraps(scraps []int) (pictures []Picture, err error) {
	d := p.doc
	of, _ := cloths(d)
	for _, i := range scraps {
		s, err := scrapShape(d, &d.Scraps[i], nil)
		if err != nil {
			return nil, err
		}
		w, h := size(orb.MultiPoint(s.Region).Bound())
		p, err := laid(nil, &d.Scraps[i], s, clothFill(of[i]), typeShare*math.Max(w, h))
		if err != nil {
			return nil, err
		}
		pictures = append(pictures, p)
	}
	return pictures, nil
}

// laid draws a scrap with the parts on it that an option cuts from it; uncut
// where o is nil.
func laid(o *option, scrap *plan.Scrap, s Shape, fill string, typeMM float64) (Picture, error) {
	var body bytes.Buffer
	out := &sticky{w: &body}
	c := &canvas{svg.New(out), out}
	box := orb.MultiPoint(s.Region).Bound()
	space := newFreeSpace(closedRing(s.Region))
	c.filled(closedRing(s.Region), fill, "laid-cloth")
	for _, h := range scrap.Holes {
		hole := closedPath(h)
		c.filled(hole, "", "laid-hole")
		space.addHole(hole)
		space.addWall(hole.Flatten(flattenMM))
	}
	stripes := stripesOf(scrap)
	c.striped(stripes.within(ringsOf(scrap)...))
	var labels []Label
	var says []string
	var parts []part
	if o != nil {
		parts = o.parts
	}
	for i, p := range parts {
		if !p.isFrom(scrap) {
			continue
		}
		m := curve.Matrix(p.Placement)
		cut := closedPath(p.CutLine).Transform(m)
		space.addHole(cut)
		space.addWall(cut.Flatten(flattenMM))
		c.filled(cut, "", "laid-part")
		text := strconv.Itoa(o.numbers[i]) + " " + plan.Plain(p.Name)
		if p.IsCut {
			c.hatch(cut, false, 0.8*typeMM)
			text += ", cut"
		}
		ring := cut.Flatten(flattenMM)
		c.striped(stripes.within(ring[:len(ring)-1]))
		for _, e := range moved(p.edges, m) {
			if e.Seam != "" {
				c.svg.Path(rounded(e.path), attribute("class", "laid-seam"))
			}
		}
		says = append(says, text)
		in := Shape{GrainDeg: turned(p.GrainDeg, m), OneWay: s.OneWay}
		in.Region = cut.Flatten(flattenMM)
		room := newFreeSpace(cut)
		full := block{wrap(text, 18), 3}
		if !in.setBlock(room, full, typeMM, typeMM*0.85) && !in.setBlock(room, block{[]string{strconv.Itoa(o.numbers[i])}, 1}, typeMM, typeMM*0.7) {
			in.leadOut(room, block{[]string{text}, 1}, typeMM*0.85)
		}
		in.grainline(room, typeMM*0.6)
		c.arrows(in.Lines)
		labels = append(labels, in.Labels...)
	}
	if o != nil {
		names, cuts := o.spoiltOn(scrap)
		for k, cut := range cuts {
			space.addHole(cut)
			space.addWall(cut.Flatten(flattenMM))
			c.filled(cut, "", "laid-spoilt")
			c.hatch(cut, true, 0.8*typeMM)
			says = append(says, names[k])
			in := Shape{Region: cut.Flatten(flattenMM)}
			if room := newFreeSpace(cut); !in.setBlock(room, block{wrap(names[k], 18), 3}, typeMM, typeMM*0.7) {
				in.leadOut(room, block{[]string{names[k]}, 1}, typeMM*0.7)
			}
			c.arrows(in.Lines)
			labels = append(labels, in.Labels...)
		}
	}
	cloth := Shape{Region: s.Region, GrainDeg: s.GrainDeg, OneWay: s.OneWay}
	// The parts show the grain too: the scrap's own arrow is drawn where it
	// does not crowd an edge.
	if a, b := space.chord(cloth.grain()); space.clearance(plane.Along(a, plane.Sub(b, a), 0.5), 0) > 0.4*typeMM {
		cloth.grainline(space, typeMM*0.6)
	}
	for _, l := range cloth.Lines {
		c.svg.Path(rounded(l.Path), attribute("class", "laid-halo"))
	}
	c.arrows(cloth.Lines)
	for _, l := range labels {
		box = box.Union(l.bound().Pad(0.2 * typeMM))
		c.svg.Text(l.At[0], l.At[1]+0.36*l.SizeMM, l.Text, attribute("class", "words"), attribute("font-size", number(l.SizeMM)), attribute("text-anchor", "middle"),
			attribute("transform", fmt.Sprintf("rotate(%s %s %s)", number(l.TurnDeg), number(l.At[0]), number(l.At[1]))))
	}
	box = box.Pad(2)
	width, height := size(box)
	said := "Scrap " + s.Name
	if len(says) > 0 {
		said += " with " + strings.Join(says, ", ") + " laid on it"
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "<svg role=\"img\" %s viewBox=\"%s %s %s %s\">\n", attribute("aria-label", said), number(box.Min[0]), number(box.Min[1]), number(width), number(height))
	b.Write(body.Bytes())
	b.WriteString("</svg>")
	return Picture{Name: s.Name, SVG: b.String(), WidthMM: width, HeightMM: height}, out.err
}

// hatch paints the hatching of cloth that is cut already, or spoilt.
func (c *canvas) hatch(cut curve.Path, crossed bool, apartMM float64) {
	for _, path := range hatched(cut, crossed, apartMM) {
		c.svg.Path(rounded(path), attribute("class", "laid-hatch"))
	}
}

// arrows paints grainlines and leaders.
func (c *canvas) arrows(lines []Line) {
	for _, l := range lines {
		switch l.Stroke {
		case Grain:
			c.svg.Path(rounded(l.Path), attribute("class", "laid-grain"))
		case GrainTip:
			c.filled(l.Path, "", "laid-tip")
		case Leader:
			c.svg.Path(rounded(l.Path), attribute("class", "laid-leader"))
		}
	}
}
