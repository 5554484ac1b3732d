package check

import (
	"fmt"
	"math"
	"slices"

	"eke/split/plan"

	"github.com/peterstace/simplefeatures/geom"
)

const (
	// mostFishEyes is how many darts with two points a piece can have, and
	// mostLegs how many lines of darts its parts, and still be proved.
	mostFishEyes = 32
	mostLegs     = 400
)

// eye is a dart with two points: apex, wide, apex, wide.
type eye [4]point

// side is from one apex by a wide corner to the other.
func (e eye) side(k int) []point { return []point{e[0], e[1+2*k], e[2]} }

func (e eye) rim() []point { return closed(e[:]) }

// takenEyes reads the darts with two points that seams took in, and proves that
// each is a dart of its piece whose sides can be sewn together.
func (o *optionProof) takenEyes() {
	for _, at := range o.order {
		if n := len(o.pieces[at].FishEyes); n > mostFishEyes {
			o.fail(Fault{Rule: NotProvable}, "piece %s has %d darts with two points, and %d can be proved", at, n, mostFishEyes)
			return
		}
		if o.pieces[at].Ready {
			continue
		}
		o.left[at] = o.fishEyesOf(at)
	}
	for _, m := range o.Option.Moved {
		at := id{m.Piece, m.Copy}
		for _, d := range m.FishEyes {
			f := Fault{Rule: FishEye, Seam: d.Seam}
			if o.isOf(f, at, d.Drawn) && o.takenEye(f, at, d) {
				o.eyes[at] = append(o.eyes[at], d)
			}
		}
		o.pierce(at)
	}
}

// fishEyes proves that each dart with two points that no seam took in is on
// its piece's parts: divided into two darts whose mouths meet, or as it was
// drawn, whole or crossed by a seam.
func (o *optionProof) fishEyes() {
	for _, d := range o.Divided {
		f := Fault{Rule: FishEye, Seam: d.Seam}
		if at := (id{d.Piece, d.Copy}); o.isOf(f, at, d.Drawn) {
			o.divided(f, at, d)
		}
	}
	for _, at := range o.order {
		for _, e := range o.left[at] {
			o.leftAlone(at, e)
			o.isToldEye(at, e)
		}
	}
}

// isOf finds a dart among those of its piece that the plan has not accounted for
// yet, and strikes it off that list.
func (o *optionProof) isOf(f Fault, at id, drawn eye) bool {
	for k, e := range o.left[at] {
		if rimsApart(e, drawn) <= markMM {
			o.left[at] = slices.Delete(slices.Clone(o.left[at]), k, k+1)
			return true
		}
	}
	o.fail(f, "piece %s has no such dart, or it is listed twice", at)
	return false
}

func (o *optionProof) fishEyesOf(at id) []eye {
	p := o.pieces[at]
	out := make([]eye, len(p.FishEyes))
	for k, e := range p.FishEyes {
		out[k] = e
	}
	return out
}

// lies are the places where a dart of a piece may be: as drawn, or turned about
// the apexes of darts that were taken in.
func (o *optionProof) lies(at id, e eye) (out []eye) {
	for _, l := range o.liesOf(at, e[:]) {
		out = append(out, eye(l))
	}
	return out
}

// rimsApart is how far the corners of two darts are from each other at most.
func rimsApart(a, b eye) float64 {
	most := 0.0
	for k := range a {
		most = math.Max(most, distance(a[k], b[k]))
	}
	return most
}

// takenEye proves that the sides of a dart that a seam took in can be sewn
// together, and that it is the dart drawn.
func (o *optionProof) takenEye(f Fault, at id, d plan.TakenFishEye) bool {
	sewn, drawn := eye(d.Sewn), eye(d.Drawn)
	near := false
	for _, e := range o.lies(at, drawn) {
		near = near || distance(e[0], sewn[0]) <= o.doc.DartReachMM+markMM && distance(e[2], sewn[2]) <= o.doc.DartReachMM+markMM
	}
	axis := func(e eye) (long, wide, place float64) {
		long = distance(e[0], e[2])
		for k := 1; k < 4; k += 2 {
			u, v := sub(e[2], e[0]), sub(e[k], e[0])
			wide += math.Abs(cross(u, v)) / long
			place += dot(u, v) / long / 2
		}
		return long, wide, place
	}
	long, wide, place := axis(drawn)
	sewnLong, sewnWide, sewnPlace := axis(sewn)
	one, two := length(sewn.side(0)), length(sewn.side(1))
	switch {
	case !near:
		o.fail(f, "the dart with two points lies further from where it was drawn than the reach of %g mm", o.doc.DartReachMM)
	case !(math.Abs(one-two) <= markMM):
		o.fail(f, "the sides of the dart with two points are %.2f and %.2f mm long", one, two)
	case !(math.Abs(long-sewnLong) <= markMM && math.Abs(wide-sewnWide) <= markMM && math.Abs(place-sewnPlace) <= markMM):
		o.fail(f, "the dart with two points is sewn %.2f by %.2f mm, and piece %s has it %.2f by %.2f", sewnLong, sewnWide, at, long, wide)
	default:
		return true
	}
	return false
}

// pierce takes what lay within the darts with two points that seams took in
// off what the parts of a piece must make up.
func (o *optionProof) pierce(at id) {
	target := o.target[at]
	if len(o.eyes[at]) == 0 || target == nil {
		return
	}
	var holes [][]point
	for _, d := range o.eyes[at] {
		holes = append(holes, d.Sewn[:])
	}
	r, err := target.pierced(holes)
	if err != nil {
		o.fail(Fault{Rule: FishEye}, "piece %s: a dart with two points that was taken in: %v", at, err)
		o.target[at] = nil
		return
	}
	o.target[at] = &r
}

// pierced is a region with holes.
func (r *region) pierced(holes [][]point) (region, error) {
	rings := []geom.LineString{simple(snapped(r.ring)).ExteriorRing()}
	for _, h := range holes {
		rings = append(rings, simple(snapped(h)).ExteriorRing())
	}
	polygon := geom.NewPolygon(rings)
	if err := polygon.Validate(); err != nil {
		return region{}, fmt.Errorf("it is no simple hole in the outline: %w", err)
	}
	out := *r
	out.holes, out.area, out.geom = holes, polygon.Area(), polygon.AsGeometry()
	return out, nil
}

// holds reports whether a point is in a region.
func (r *region) holds(q point) bool {
	for _, h := range r.holes {
		if within(h, q) {
			return false
		}
	}
	return within(r.ring, q)
}

// lieAcross adds, for each dart with two points that the seam took in, the
// seam's line with the one side of the dart in place of the other.
func (o *optionProof) lieAcross(s *seamProof, lines [][]point) [][]point {
	n := 0
	for _, d := range o.eyes[s.piece.id] {
		if d.Seam != s.Name {
			continue
		}
		if n++; n > mostDarts {
			o.fail(Fault{Rule: NotProvable, Seam: s.Name}, "it takes in more than %d darts with two points", mostDarts)
			break
		}
		from, off := along(s.Line, d.Sewn[0])
		to, off2 := along(s.Line, d.Sewn[2])
		if off = math.Max(off, off2); off > markMM {
			o.fail(Fault{Rule: FishEye, Seam: s.Name}, "an apex of a dart taken in is %.2f mm off it", off)
		}
		from, to = math.Min(from, to), math.Max(from, to)
		for _, l := range lines {
			other := make([]point, len(l))
			mm := 0.0
			for i, p := range l {
				if i > 0 {
					mm += distance(l[i-1], p)
				}
				if other[i] = p; mm > from && mm < to {
					other[i] = reflected(p, d.Sewn[0], d.Sewn[2])
				}
			}
			lines = append(lines, other)
		}
	}
	return lines
}

// reflected is a point's mirror image about the line through a and b.
func reflected(p, a, b point) point {
	u := sub(b, a)
	foot := between(a, b, dot(sub(p, a), u)/dot(u, u))
	return point{2*foot[0] - p[0], 2*foot[1] - p[1]}
}

// divided proves that a dart with two points was made two of that can be sewn,
// that they are what was drawn, that each is drawn on its side of the seam, and
// that their mouths meet.
func (o *optionProof) divided(f Fault, at id, d plan.DividedDart) {
	bent := 0
	for _, h := range d.Halves {
		switch len(h) {
		case 3:
		case 5:
			bent++
		default:
			o.fail(f, "half a dart has %d points", len(h))
			return
		}
		mid := len(h) / 2
		if one, two := length(h[:mid+1]), length(h[mid:]); !(math.Abs(one-two) <= legsMM+markMM) {
			o.fail(f, "the legs of a dart that opens on it are %.2f and %.2f mm long", one, two)
		}
	}
	a, b := d.Halves[0], d.Halves[1]
	if off := math.Max(distance(a[0], b[0]), distance(a[len(a)-1], b[len(b)-1])); !(off <= markMM) {
		o.fail(f, "the mouths of two darts that open on it are %.2f mm apart", off)
		return
	}
	known := false
	for _, e := range o.lies(at, d.Drawn) {
		for range 2 { // the first half may be either end's
			known = known || o.halfOf(e, a) && o.halfOf(e, b) && distance(e[0], a[len(a)/2]) <= markMM && distance(e[2], b[len(b)/2]) <= markMM
			e = eye{e[2], e[3], e[0], e[1]}
		}
	}
	if !known || bent > 1 {
		o.fail(f, "the two darts that open on it are not what piece %s has there", at)
	}
	legs, ok := o.legs(at)
	if !ok {
		return
	}
	for _, h := range d.Halves {
		if q, ok := drawnAlong(legs, h); !ok {
			o.fail(f, "a dart that opens on it is drawn on no part at %.1f, %.1f", q[0], q[1])
		}
	}
	o.mouths(f, at, d)
}

// halfOf reports whether a half is of a dart: it follows the dart's sides or,
// an ordinary one, opens as wide within reach of the dart's wide corners.
func (o *optionProof) halfOf(e eye, half []point) bool {
	n := len(half)
	ends := func(one, two point) bool {
		return distance(half[0], one) <= o.doc.DartReachMM+legsMM && distance(half[n-1], two) <= o.doc.DartReachMM+legsMM
	}
	if _, on := drawnAlong([][]point{e.rim()}, half); on || n == 5 {
		return on
	}
	wide := math.Abs(distance(half[0], half[2])-distance(e[1], e[3])) <= legsMM
	return wide && (ends(e[1], e[3]) || ends(e[3], e[1]))
}

// mouths proves that the two darts open on the seam, on parts on either side
// of it, opposite each other: on each part the two ends are on its own edge of
// the seam, equally far along.
func (o *optionProof) mouths(f Fault, at id, d plan.DividedDart) {
	var s *seamProof
	for _, t := range o.seams {
		if t.Name == d.Seam && t.piece.id == at {
			s = t
		}
	}
	if s == nil {
		o.fail(Fault{Rule: Names, Seam: d.Seam}, "piece %s has no such seam for a dart to open on", at)
		return
	}
	half := d.Halves[0]
	for _, q := range []point{half[0], half[len(half)-1]} {
		on := 0
		for _, p := range s.parts {
			for _, e := range p.edges {
				if e.Seam == s.Name && away(e.line, q) <= markMM {
					on++
					break
				}
			}
		}
		if on < 2 {
			o.fail(f, "%d parts have the mouth of a dart at %.1f, %.1f on it", on, q[0], q[1])
			return
		}
	}
	if !apexesApart(s, d) {
		o.fail(f, "both darts that open on it lie on one side of it")
	}
}

// apexesApart reports whether the two halves lie on either side of the seam: no
// part beside it holds the middles of both.
func apexesApart(s *seamProof, d plan.DividedDart) bool {
	var inner [2]point // a little into the half, in the middle of its mouth
	for k, h := range d.Halves {
		inner[k] = between(between(h[0], h[len(h)-1], 0.5), h[len(h)/2], 0.01)
	}
	for _, p := range s.parts {
		if within(p.seam.ring, inner[0]) && within(p.seam.ring, inner[1]) {
			return false
		}
	}
	return true
}

// legs are all lines of darts that are drawn on the parts of a piece.
func (o *optionProof) legs(at id) (out [][]point, ok bool) {
	for _, p := range o.of[at] {
		for _, d := range p.Darts {
			out = append(out, d[:])
		}
		for _, e := range p.FishEyes {
			out = append(out, eye(e).rim())
		}
		for _, l := range p.DartLegs {
			out = append(out, l[:])
		}
	}
	if len(out) > mostLegs {
		o.fail(Fault{Rule: NotProvable}, "piece %s has %d lines of darts on its parts, and %d can be proved", at, len(out), mostLegs)
		return nil, false
	}
	return out, true
}

// leftAlone proves that a dart that no seam took in or divided is drawn on the
// parts as it was on the piece.
func (o *optionProof) leftAlone(at id, e eye) {
	legs, ok := o.legs(at)
	if !ok {
		return
	}
	var missing point
	for k, e := range o.lies(at, e) {
		q, ok := drawnAlong(legs, e.rim())
		if ok {
			return
		}
		if k == 0 {
			missing = q
		}
	}
	o.fail(Fault{Rule: FishEye}, "a dart of piece %s with two points is drawn on no part at %.1f, %.1f", at, missing[0], missing[1])
}

// isToldEye proves that a dart with two points is on the list of one part that
// has it whole, or of parts that have some of it, and not of both.
func (o *optionProof) isToldEye(at id, e eye) {
	told := 0
	is := func(on [4]plan.Point) bool {
		return slices.ContainsFunc(o.lies(at, e), func(l eye) bool { return rimsApart(l, on) <= markMM })
	}
	crossed := false
	for _, p := range o.of[at] {
		for _, on := range p.FishEyes {
			if is(on) {
				told++
			}
		}
		crossed = crossed || slices.ContainsFunc(p.FishEyesCrossed, is)
	}
	if crossed {
		told++
	}
	if told != 1 && len(o.of[at]) > 0 && !o.shifted(at) {
		o.fail(Fault{Rule: FishEye}, "the dart of piece %s with points at %.1f, %.1f and %.1f, %.1f is told %d times, and is to be once: whole on a part, or crossed by seams", at, e[0][0], e[0][1], e[2][0], e[2][1], told)
	}
}

// drawnAlong reports whether some lines run all along another one, and where
// not. A stretch too short to draw does not count.
func drawnAlong(lines [][]point, line []point) (at point, ok bool) {
	const stepMM = 1.0
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		n := math.Max(1, math.Ceil(math.Min(distance(a, b), largestStretchMM)/stepMM))
		for k := 0.0; k < n; k++ {
			q := between(a, b, (k+0.5)/n)
			on := false
			for _, l := range lines {
				if on = away(l, q) <= markMM; on {
					break
				}
			}
			if !on {
				return q, false
			}
		}
	}
	return at, true
}

// largestStretchMM is more than any dart measures.
const largestStretchMM = 2000
