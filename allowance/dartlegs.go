package allowance

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// legsMM is by how much a dart's legs may differ. More is a step in the seam
// once the dart is sewn. (Common practice, no source.)
const legsMM = 1.0

// TrueDarts makes the legs of every dart of a piece equal where they differ by
// more than a millimetre, as a cutter does who folds the dart on paper: the
// shorter leg is lengthened along its own line, and the outline is led out to
// its end, from the next corner, dart leg or end of an edge on either side.
// The dart takes in as much as before, and the piece grows by a sliver,
// which the maker can trim; it is never made smaller. Where that would bend the
// outline sharply or make it cross itself, the dart is left as it was drawn.
// What was done is told in the piece's warnings.
func TrueDarts(p *piece.Piece) {
	for i := range p.Darts {
		d := p.Darts[i]
		one, two := plane.Distance(d.Leg1, d.Apex), plane.Distance(d.Leg2, d.Apex)
		if math.Abs(one-two) <= legsMM {
			continue
		}
		short, shortMM, longMM := d.Leg1, one, two
		if two < one {
			short, shortMM, longMM = d.Leg2, two, one
		}
		told := fmt.Sprintf("%s: the legs of a dart%s are %.1f mm and %.1f mm long, which leaves a step of %.1f mm where they are sewn together; ",
			p.Name, opensOn(p.Outline, short), longMM, shortMM, longMM-shortMM)
		if movedLegEnd(p, short, plane.Along(d.Apex, plane.Sub(short, d.Apex), longMM/shortMM)) {
			told += fmt.Sprintf("the shorter leg is lengthened to %.1f mm, and the outline led out to its end", longMM)
		} else {
			told += "it is left as drawn, for the outline cannot be led there without a sharp bend: draw the legs equal"
		}
		warn(p, told)
	}
	for _, f := range p.FishEyes {
		one, two := f.Side(0).Length(), f.Side(1).Length()
		if math.Abs(one-two) > legsMM {
			warn(p, fmt.Sprintf("%s: the two sides of a dart with two points are %.1f mm and %.1f mm long, and are sewn together; it is left as drawn: draw them equal", p.Name, math.Max(one, two), math.Min(one, two)))
		}
	}
}

// warn tells a warning once: the halves of a piece on the fold have the same.
func warn(p *piece.Piece, told string) {
	if !slices.Contains(p.Warnings, told) {
		p.Warnings = append(p.Warnings, told)
	}
}

// opensOn names the edge that a dart's leg ends on, in a sentence.
func opensOn(o piece.Outline, leg orb.Point) string {
	for _, e := range o {
		if _, away := e.Line.Nearest(leg); away < onLineMM && e.Name != "" {
			return " that opens on " + e.Name
		}
	}
	return ""
}

// movedLegEnd moves the point of a piece's outline where a dart's leg ends. The
// stretches that meet there, as far as the next fixed place on either side, are
// turned about that place and stretched a little. It reports whether that could
// be done; if not, p is unchanged.
func movedLegEnd(p *piece.Piece, from, to orb.Point) bool {
	const hairMM = 0.01 // an outline that comes nearer to itself touches itself
	o := slices.Clone(p.Outline)
	sides := 0
	for i, e := range o {
		at, away := e.Line.Nearest(from)
		if away > onLineMM {
			continue
		}
		stops := stopsOf(e.Line, p.Darts)
		changed, n, ok := movedPoint(e, stops, at, to)
		if !ok {
			return false
		}
		o[i] = changed
		sides += n
	}
	ring := o.Ring()
	_, crosses := piece.SelfCrossing(ring)
	if !crosses {
		_, crosses = piece.Neck(ring, hairMM)
	}
	if sides != 2 || crosses {
		return false
	}
	p.Outline = o
	for i := range p.Darts {
		for _, leg := range []*orb.Point{&p.Darts[i].Leg1, &p.Darts[i].Leg2} {
			if plane.Distance(*leg, from) < onLineMM {
				*leg = to
			}
		}
	}
	return true
}

// stop is a place along an edge that stays fixed.
type stop struct {
	mm  float64
	leg bool // a dart's leg ends there
}

// stopsOf are the places of a line that stay when one of its points is moved:
// its ends, its corners, and where darts' legs end on it.
func stopsOf(line curve.Path, darts []piece.Dart) []stop {
	const cornerDeg = 10
	out := []stop{{mm: 0}, {mm: line.Length()}}
	var mm float64
	for i := 1; i < len(line); i++ {
		if mm += line[i-1].Length(); line[i-1].TurnDeg(line[i]) > cornerDeg {
			out = append(out, stop{mm: mm})
		}
	}
	for _, d := range darts {
		for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
			if at, away := line.Nearest(leg); away < onLineMM {
				out = append(out, stop{at, true})
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].mm < out[j].mm })
	return out
}

// movedPoint is an edge with its point at so many mm along it moved to another
// place, and the number of the edge's stretches that end there. It fails where
// a stretch is so short that it would bend sharply. Across a dart's mouth,
// which is shaped by folding the dart, it may.
func movedPoint(e piece.Edge, stops []stop, at float64, to orb.Point) (piece.Edge, int, bool) {
	const sharp, atLegs = 1.0 / 3, 1.0 // of a stretch's length
	was, _ := e.Line.At(at)
	moved := plane.Distance(was, to)
	before, after := stop{mm: -1}, stop{mm: -1}
	for _, s := range stops {
		switch {
		case s.mm < at-onLineMM:
			before = s
		case s.mm > at+onLineMM && after.mm < 0:
			after = s
		}
	}
	ruler := e.Line.Ruler()
	var line curve.Path
	n, headMM := 0, 0.0
	gentle := true
	turned := func(from, upTo float64, fixed stop) curve.Path {
		n++
		stays, _ := e.Line.At(fixed.mm)
		most := sharp
		if fixed.leg {
			most = atLegs
		}
		gentle = gentle && moved < most*plane.Distance(stays, was)
		return ruler.Between(from, upTo).Transform(similar(stays, was, stays, to))
	}
	if before.mm >= 0 {
		if before.mm > 0 {
			line = append(line, ruler.Between(0, before.mm)...)
		}
		line = append(line, turned(before.mm, at, before)...)
		headMM = line.Length()
	}
	if after.mm >= 0 {
		line = append(line, turned(at, after.mm, after)...)
		if rest := ruler.Length(); after.mm < rest {
			line = append(line, ruler.Between(after.mm, rest)...)
		}
	}
	if n == 0 || !gentle {
		return e, 0, false
	}
	tailMM := line.Length() - headMM
	place := func(mm float64) float64 {
		switch {
		case before.mm >= 0 && mm > before.mm && mm < at:
			return before.mm + (mm-before.mm)*(headMM-before.mm)/(at-before.mm)
		case after.mm >= 0 && mm >= at && mm < after.mm:
			return headMM + (mm-at)*(tailMM-(ruler.Length()-after.mm))/(after.mm-at)
		case mm >= at:
			return headMM + tailMM - (ruler.Length() - mm)
		}
		return mm
	}
	notches := slices.Clone(e.Notches)
	for i := range notches {
		notches[i].AtMM = math.Max(0, math.Min(headMM+tailMM, place(notches[i].AtMM)))
	}
	for i := 1; i < len(line); i++ {
		line[i].P0 = line[i-1].P1
	}
	// The very same point for the leg, the edge and its neighbour.
	line[0].P0, line[len(line)-1].P1 = e.Line.Start(), e.Line.End()
	if before.mm < 0 {
		line[0].P0 = to
	}
	if after.mm < 0 {
		line[len(line)-1].P1 = to
	}
	e.Line, e.Notches = line, notches
	return e, n, true
}

// similar is the turn, shift and scaling that take a to c and b to d.
func similar(a, b, c, d orb.Point) curve.Matrix {
	u, v := plane.Sub(b, a), plane.Sub(d, c)
	re, im := plane.Dot(u, v)/plane.Dot(u, u), plane.Cross(u, v)/plane.Dot(u, u)
	return curve.Matrix{re, im, -im, re, c[0] - re*a[0] + im*a[1], c[1] - im*a[0] - re*a[1]}
}
