package photo

import (
	"cmp"
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Two scraps that touch or overlap make one patch, whose outline turns in where
// the one passes over the other. A line between two such places that parts the
// patch into two looks is taken for where they meet. Two of one cloth that lie
// the same way cannot be told from one scrap.
const (
	turnsInDeg  = 22    // at least, over the reach
	mostTurns   = 16    // that are looked at: dents that a print makes in the outline turn in, too
	sameLook    = 0.45  // similarity of two looks, 0 to 1, below which they are two cloths
	otherWay    = 25.0  // degrees between the stripes of two looks
	stripesWay  = 0.7   // coherence of stripes that are surely such: fine weaves beat with the picture's points, here in one way and there in another
	clearOfEdge = 7     // points of the field, from the outline to where stripes are looked for: its blur, and what a JPEG makes of that, run along it
	leastSide   = 400.0 // mm² of the smaller of the two
)

// Where the one scrap's edge meets the other's at a blunt angle the outline hardly turns. If
// it turns sharply at the other end of the line, and the looks are not to be mistaken, that
// will do.
const (
	sharplyDeg = 35   // at least
	bluntlyDeg = 10   // the same, at the other end
	mostBlunt  = 60   // that are looked at
	otherLook  = 0.25 // similarity of two looks that are not to be mistaken
)

// turnReaches is how many nodes each way it is over which an outline turns: in some places the
// field has rounded it, and in others another corner is near.
var turnReaches = [...]int{7, 10}

// seam is where two scraps in one patch meet, in the picture, if it may be two, whether it
// surely is, and whether they would lie flush there: a border print looks so too.
func (t *tracer) seam(r region, ids []int32, tiles *tiling) (line []orb.Point, sure, flush bool) {
	ring := smoothed(r.rings[0], 2)
	places := turnsIn(ring, bluntlyDeg)
	turnIn := func(least float64, most int) (out []int) {
		for _, q := range places[:min(most, len(places))] {
			if q.deg >= least {
				out = append(out, q.node)
			}
		}
		return out
	}
	usual, sharp, blunt := turnIn(turnsInDeg, mostTurns), turnIn(sharplyDeg, mostTurns), turnIn(bluntlyDeg, mostBlunt)
	if len(blunt) < 2 {
		return nil, false, false
	}
	looks := t.looks(r, ids)
	if len(looks.at) < 40 {
		return nil, false, false
	}
	turns := func(line []orb.Point) bool {
		return slices.ContainsFunc(line, func(q orb.Point) bool { return lasts(ring, slices.Index(ring, q), float64(t.f.by)) })
	}
	alike, unlike := t.partings(ring, usual, usual, &looks, tiles)
	alikeBluntly, unlikeBluntly := t.partings(ring, sharp, blunt, &looks, tiles)
	for _, p := range [...]struct {
		parting
		is bool
	}{
		{alike, alike.value < sameLook},
		{alikeBluntly, alikeBluntly.value < otherLook},
		{unlike, unlike.value > partTimes},
		{unlikeBluntly, unlikeBluntly.value > partTimes},
	} {
		switch {
		case !p.is:
		case !tiles.sharing(p.in) && turns(p.line):
			return p.line, true, false
		case line == nil:
			line = p.line
		}
	}
	if p := t.colourSeam(r, ids, ring, usual, &looks, tiles); p != nil {
		lasting := turns(p)
		return p, lasting, !lasting
	}
	return line, false, line != nil && !turns(line)
}

// parting is a line across a patch that parts it into two sides.
type parting struct {
	line  []orb.Point
	in    []bool  // the tiles on one of them
	value float64 // how alike the sides are, or how unlike
}

// partings is the lines from one of some nodes of a ring to one of others that part the patch into
// the two looks that are least alike, and into what is most unlike by its tiles.
func (t *tracer) partings(ring []orb.Point, from, to []int, l *looks, p *tiling) (alike, unlike parting) {
	alike.value = 1
	t.chords(ring, from, to, func(chord, side []orb.Point) {
		in := p.within(side)
		if p.sliver(in) {
			return
		}
		if s := l.alike(side, t.f); s < alike.value {
			alike = parting{chord, in, s}
		}
		if s := p.unlike(in); s > unlike.value {
			unlike = parting{chord, in, s}
		}
	})
	return alike, unlike
}

// chords does something with each line from one of some nodes of a ring to one of others that
// parts it into two sides as large as scraps, and with one of the sides.
func (t *tracer) chords(ring []orb.Point, from, to []int, do func(chord, side []orb.Point)) {
	const every = 3 // nodes are enough
	var coarse []orb.Point
	for i := 0; i < len(ring); i += every {
		coarse = append(coarse, ring[i])
	}
	perPoint := t.out.MMPerPoint
	whole := plane.Area(coarse) * perPoint * perPoint
	for _, a := range from {
		for _, b := range to {
			if b == a || b > a && slices.Contains(from, b) && slices.Contains(to, a) {
				continue // the same line the other way
			}
			lo, hi := min(a, b)/every, max(a, b)/every
			side := coarse[lo : hi+1]
			if area := plane.Area(side) * perPoint * perPoint; area < leastSide || whole-area < leastSide || leaves(coarse, lo, hi) {
				continue
			}
			do([]orb.Point{ring[a], ring[b]}, side)
		}
	}
}

// Where one cloth ends and another begins, the outline of the two turns in; a
// print's colours change anywhere on it, and often.
const (
	seamUnits    = 14.0 // CIELAB units that the two cloths differ by
	seamShare    = 0.08 // of the patch, of the smaller
	seamSides    = 0.85 // of the outline on either side of the seam that has the side's own colour
	seamInPoints = 6.0  // of the field, from the outline to where the colour is looked at
	seamNear     = 10   // nodes from a change of colour to a turn
)

// colourSeam is where two scraps in one patch meet, if they are of two colours that
// change at turns of the outline; nil if they are not.
func (t *tracer) colourSeam(r region, ids []int32, ring []orb.Point, turns []int, l *looks, p *tiling) []orb.Point {
	f := t.f
	main, minor, share := twoMeans(l.colours)
	if main.apart(minor) < seamUnits || share < seamShare {
		return nil
	}
	n := len(ring)
	normals := outward(ring, 4)
	is := make([]float64, n) // 1 in the smaller
	for i, q := range ring {
		at := plane.Along(q, normals[i], -seamInPoints*float64(f.by))
		x, y := min(max(int(at[0])/f.by, 0), f.w-1), min(max(int(at[1])/f.by, 0), f.h-1)
		c := f.colour[y*f.w+x]
		c[0] *= 0.7
		if c.apart(minor) < c.apart(main) {
			is[i] = 1
		}
	}
	is = medians(is, 5)
	var changes []int // of colour, at a turn
	others := 0
	for i := range is {
		if is[i] == is[(i+1)%n] {
			continue
		}
		if slices.ContainsFunc(turns, func(o int) bool { d := (i - o + n) % n; return min(d, n-d) <= seamNear }) {
			changes = append(changes, i)
		} else {
			others++
		}
	}
	// One that lies right across another parts it.
	if len(changes) >= 4 && others == 0 && t.inOnePlace(r, ids, main, minor) {
		return []orb.Point{ring[changes[0]], ring[changes[1]]}
	}
	for i, from := range changes {
		for _, to := range changes[:i] {
			if parted(is, to, from) && !p.sliver(p.within(ring[to:from+1])) && t.inOnePlace(r, ids, main, minor) {
				return []orb.Point{ring[to], ring[from]}
			}
		}
	}
	return nil
}

// parted is whether the nodes from one on to another are of one colour, and the
// others of the other one.
func parted(is []float64, from, to int) bool {
	var within, all float64
	for i, v := range is {
		if all += v; i > from && i <= to {
			within += v
		}
	}
	in, out := within/float64(to-from), (all-within)/float64(len(is)-(to-from))
	return max(in, out) >= seamSides && min(in, out) <= 1-seamSides
}

// inOnePlace is whether the smaller colour of a patch lies in it in one place above
// all, as large as a scrap, and not here and there, as in a print.
func (t *tracer) inOnePlace(r region, ids []int32, main, minor lab) bool {
	f := t.f
	w, h := r.box.Dx(), r.box.Dy()
	is := make([]bool, w*h)
	for i := range is {
		if k := f.at(r.box, i); ids[k] == r.id {
			c := f.colour[k]
			c[0] *= 0.7
			is[i] = c.apart(minor) < c.apart(main)
		}
	}
	places, count := components(eroded(is, w, h, 1), w, h)
	size := make([]int, count+1)
	whole := 0
	for _, id := range places {
		if id > 0 {
			size[id]++
			whole++
		}
	}
	perPoint := t.mmPerFieldPoint()
	largest := slices.Max(size)
	return 2*largest > whole && float64(largest)*perPoint*perPoint >= leastSide
}

// inturn is a place where a ring turns into the cloth.
type inturn struct {
	node int
	deg  float64
}

// turnsIn is where a ring turns into the cloth most, by so much at least, apart from each
// other, the sharpest first.
func turnsIn(ring []orb.Point, least float64) (out []inturn) {
	n := len(ring)
	longest := slices.Max(turnReaches[:])
	if n < 4*longest {
		return nil
	}
	all := make([]inturn, n)
	for i := range ring {
		all[i].node = i
		for _, reach := range turnReaches {
			u := plane.Sub(ring[i], ring[(i-reach+n)%n])
			v := plane.Sub(ring[(i+reach)%n], ring[i])
			// The ring runs clockwise on the page; to the left is into the cloth's
			// outside.
			all[i].deg = max(all[i].deg, -plane.TurnDeg(u, v))
		}
	}
	slices.SortStableFunc(all, func(a, b inturn) int { return cmp.Compare(b.deg, a.deg) })
	for _, q := range all {
		if q.deg < least {
			break
		}
		if !slices.ContainsFunc(out, func(o inturn) bool { d := (q.node - o.node + n) % n; return min(d, n-d) < 2*turnReaches[0] }) {
			out = append(out, q)
		}
	}
	return out
}

// A print that runs along an edge of its cloth parts it too, and where its colours make a dent in the
// outline that turns in. Beyond a dent the outline goes on as before it, in the same line: its two arms beside a place,
// each led on to there as it runs, straight or rounded, meet. Where an arm is too short to
// tell, that is not taken for a dent.
const (
	lastsNear  = 12  // nodes from a place to where an arm begins: a dent 6 points of the field wide and deep is over there
	lastsFar   = 44  // and to where it ends: the steps of the field turn an arm so long by 2 degrees at most
	leastArm   = 16  // nodes: the steps turn a shorter one by more than 3
	armStep    = 4   // nodes that an arm is made shorter by until no corner is in it
	roundedDeg = 4   // that one half of the longest arm is turned from the other where it is rounded: the steps make 3.8 of a straight one, and more of a shorter one
	kinkedDeg  = 24  // the same where there is a corner in it: that of a disc of radius 40 nodes
	mostStep   = 2.5 // nodes that the two arms may be apart where they are led on to: the steps and what is left of a dent make 2 of one line (reckoned)
)

// lasts is whether a ring, with nodes so many points of the picture apart, has turned into the cloth beyond a node, too,
// or goes on beside the line that it came in.
func lasts(ring []orb.Point, node int, by float64) bool {
	before, way, ok := armTo(ring, node, -1)
	after, on, also := armTo(ring, node, 1)
	if !ok || !also {
		return true
	}
	on = plane.Scale(on, -1)
	if -plane.TurnDeg(way, on) >= bluntlyDeg {
		return true
	}
	return math.Abs(plane.Cross(plane.Unit(plane.Add(way, on)), plane.Sub(after, before))) > mostStep*by
}

// armTo is where the arm of a ring beside a node, that many nodes a step away, leads to at the node, and which way it comes there. ok is false
// where that cannot be told.
func armTo(ring []orb.Point, node, step int) (to, way orb.Point, ok bool) {
	n := len(ring)
	at := func(k int) orb.Point { return ring[round(node+step*k, n)] }
	for far := min(lastsFar, n/8); far-lastsNear >= leastArm; far -= armStep {
		mid := (lastsNear + far) / 2
		arm := plane.Sub(at(lastsNear), at(far))
		turn := plane.TurnDeg(plane.Sub(at(mid), at(far)), plane.Sub(at(lastsNear), at(mid)))
		switch {
		case math.Abs(turn) > kinkedDeg:
			continue
		case math.Abs(turn) < roundedDeg*float64(lastsFar-lastsNear)/float64(far-lastsNear):
			turn = 0
		}
		// As it has turned from the middle of its one half to that of the other.
		led := func(nodes int) orb.Point {
			sin, cos := math.Sincos(turn * float64(nodes) / (float64(far-lastsNear) / 2) * math.Pi / 180)
			return plane.Unit(orb.Point{cos*arm[0] - sin*arm[1], sin*arm[0] + cos*arm[1]})
		}
		long := plane.Length(arm) / float64(far-lastsNear) * lastsNear
		return plane.Along(at(lastsNear), led(mid-lastsNear/2), long), led(mid), true
	}
	return to, way, false
}

// leaves is whether the line between two nodes of a ring leaves it.
func leaves(ring []orb.Point, a, b int) bool {
	const steps = 16
	for k := 2; k < steps-1; k++ {
		if !plane.Holds(ring, plane.Lerp(ring[a], ring[b], float64(k)/steps)) {
			return true
		}
	}
	return false
}

// fewLooks is how many places say what something looks like, at least.
const fewLooks = 12

// alikeSmall is how similar the colours on both sides of a line are where one of them is
// small: in says which places of the patch are there.
func (l *looks) alikeSmall(ring []orb.Point, in []bool, f *field) float64 {
	bound := orb.Ring(ring).Bound()
	var within []int
	for _, k := range l.points {
		if q := f.middle(k); bound.Contains(q) && plane.Holds(ring, q) {
			within = append(within, k)
		}
	}
	if len(within) < fewLooks {
		return 1
	}
	var colours, rest []lab
	for _, k := range scattered(within, 4*fewLooks) {
		colours = append(colours, f.lookOf(k))
	}
	var both, one, other float64
	for i, c := range l.colours {
		if in[i] {
			continue
		}
		rest = append(rest, c)
		for k, s := range l.similar[i] {
			if !in[k] {
				other += s
			}
		}
	}
	for _, c := range colours {
		for _, s := range similarTo(c, colours) {
			one += s
		}
		for _, s := range similarTo(c, rest) {
			both += s
		}
	}
	return both / math.Sqrt(one*other)
}

// looks is what a patch looks like at places all over it.
type looks struct {
	at       []orb.Point  // in the picture
	colours  []lab        // lightness counts for less
	similar  [][]float64  // of the colours of two places, 0 to 1
	points   []int        // of the field, all those that they may be taken from
	gradient [][3]float64 // the structure tensor's xx, xy and yy
}

func (t *tracer) looks(r region, ids []int32) looks {
	const most = 320
	points := t.inner(r, ids, 3)
	deep := t.inner(r, ids, clearOfEdge)
	out := looks{points: points}
	for _, k := range scattered(points, most) {
		out.colours = append(out.colours, t.f.lookOf(k))
		out.at = append(out.at, t.f.middle(k))
		var g [3]float64
		if _, is := slices.BinarySearch(deep, k); is {
			g = t.f.tensor(k)
		}
		out.gradient = append(out.gradient, g)
	}
	for _, c := range out.colours {
		out.similar = append(out.similar, similarTo(c, out.colours))
	}
	return out
}

// scattered is so many of some places, evenly all over them: steps of the golden ratio
// miss the beat of stripes.
func scattered[T any](all []T, most int) (out []T) {
	for i := range min(most, len(all)) {
		out = append(out, all[int(math.Mod(float64(i)*0.6180339887498949, 1)*float64(len(all)))])
	}
	return out
}

// lookOf is the colour of a point, of which lightness counts for less.
func (f *field) lookOf(k int) lab {
	c := f.colour[k]
	c[0] *= 0.7
	return c
}

// middle is where the middle of a point of the field is in the picture.
func (f *field) middle(k int) orb.Point {
	return orb.Point{(float64(k%f.w) + 0.5) * float64(f.by), (float64(k/f.w) + 0.5) * float64(f.by)}
}

// similarTo is how similar a colour is to others, 0 to 1.
func similarTo(c lab, others []lab) []float64 {
	const width = 9.0 // CIELAB units over which colours are alike
	out := make([]float64, len(others))
	for k, o := range others {
		d := c.apart(o) / width
		out[k] = math.Exp(-d * d / 2)
	}
	return out
}

// alike is how similar the looks on both sides of a line are, of which one side
// is a ring: by colour (the kernel two-sample statistic: A. Gretton et al.,
// 2012), and by the way of stripes.
func (l *looks) alike(ring []orb.Point, f *field) float64 {
	in := make([]bool, len(l.at))
	bound := orb.Ring(ring).Bound()
	n := 0
	for i, q := range l.at {
		if in[i] = bound.Contains(q) && plane.Holds(ring, q); in[i] {
			n++
		}
	}
	switch {
	case len(in)-n < fewLooks:
		return 1
	case n < fewLooks:
		return l.alikeSmall(ring, in, f)
	}
	var both, one, other float64
	var tensors [2][3]float64
	var points [2]int
	for i := range in {
		side := 0
		if in[i] {
			side = 1
		}
		if l.gradient[i] != ([3]float64{}) {
			points[side]++
			for ch := range 3 {
				tensors[side][ch] += l.gradient[i][ch]
			}
		}
		for k, s := range l.similar[i] {
			switch {
			case in[i] && in[k]:
				one += s
			case !in[i] && !in[k]:
				other += s
			case in[i]:
				both += s
			}
		}
	}
	same := both / math.Sqrt(one*other)
	a, okA := acrossStripes(tensors[0], points[0], stripesWay)
	b, okB := acrossStripes(tensors[1], points[1], stripesWay)
	if d := math.Mod(math.Abs(a-b)*180/math.Pi, 180); okA && okB && min(d, 180-d) > otherWay {
		same = min(same, 0.3)
	}
	return same
}
