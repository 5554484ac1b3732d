package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/split/plan"
)

// carriedMM is how far the ends of a carried line may be from meeting.
const carriedMM = 1.0

// carried proves that each line which is said to be carried is one: where a seam
// of it ends on an edge that is sewn to another, a seam of it ends there on the
// other side of the join, and all that lies above it is of one look, and all that
// lies below. It proves too that a wish for it is kept by one.
func (o *optionProof) carried() {
	for i := range o.Carried {
		c := &carriedProof{optionProof: o, Carried: &o.Carried[i], f: Fault{Rule: CarriedLine, Seam: strings.Join(o.Carried[i].Seams, ", ")}}
		c.prove()
	}
	for _, c := range o.Carried {
		// Lines that run round each sleeve are several, of one wish.
		on := map[id]bool{}
		for _, d := range o.Carried {
			for _, s := range o.seams {
				if slices.Contains(d.Seams, s.Name) && d.Piece == c.Piece && d.To == c.To && d.Above == c.Above && d.Below == c.Below {
					on[s.piece.id] = true
				}
			}
		}
		for _, at := range o.order {
			if strings.EqualFold(at.name, c.Piece) && !on[at] {
				o.fail(Fault{Rule: CarriedLine, Seam: strings.Join(c.Seams, ", ")}, "no seam of it is on piece %s", at)
			}
		}
	}
	for _, w := range o.Wishes {
		words := strings.Fields(strings.TrimPrefix(w.Text, "prefer "))
		if !w.Kept || len(words) < 2 || !strings.EqualFold(words[0], "carry") {
			continue
		}
		if !slices.ContainsFunc(o.Carried, func(c plan.Carried) bool {
			said := c.Piece
			if c.To != "" {
				said += " to " + c.To
			}
			return strings.EqualFold(strings.Join(words[1:], " "), strings.Join(strings.Fields(said), " "))
		}) {
			o.fail(Fault{Rule: CarriedLine}, "the wish %q is said to be kept, and no such line is carried", w.Text)
		}
	}
}

// carriedProof is one carried line under proof.
type carriedProof struct {
	*optionProof
	*plan.Carried
	f    Fault
	ends []*carriedEnd
}

// carriedEnd is an end of one of its seams, in mm along the edge that it is on,
// darts closed.
type carriedEnd struct {
	seam  *seamProof
	edge  drawnEdge
	nth   int // of the piece's edges
	mm    float64
	round float64 // in mm round the whole piece
	// How the line runs there: along the edge, and out of the piece.
	along, out float64
	other      *carriedEnd   // of the same seam
	side       int           // 1 where what comes before it round the piece is above the line, -1 below, 0 not known
	mates      []*carriedEnd // that it meets
}

func (c *carriedProof) prove() {
	found := len(c.found)
	leads := map[id]bool{}
	for _, name := range c.Seams {
		at := slices.IndexFunc(c.seams, func(s *seamProof) bool { return s.Name == name })
		if at < 0 {
			c.fail(c.f, "there is no seam %s", name)
			return
		}
		s := c.seams[at]
		if leads[s.piece.id] {
			c.fail(c.f, "it crosses piece %s twice", s.piece.id)
			return
		}
		leads[s.piece.id] = true
		if !c.addEnds(s) {
			return
		}
	}
	if len(c.ends) == 0 {
		c.fail(c.f, "it has no seams")
		return
	}
	c.meet()
	c.past()
	if len(c.found) == found {
		c.sameLooks()
	}
}

// addEnds finds the edges of its piece that a seam ends on.
func (c *carriedProof) addEnds(s *seamProof) bool {
	if len(s.Line) < 2 {
		c.fail(c.f, "seam %s has no line", s.Name)
		return false
	}
	n := len(s.Line)
	var pair []*carriedEnd
	for _, l := range [2][2]point{{s.Line[0], s.Line[1]}, {s.Line[n-1], s.Line[n-2]}} {
		at := slices.IndexFunc(s.piece.edges, func(e drawnEdge) bool { return away(e.line, l[0]) <= markMM })
		if at < 0 {
			c.fail(c.f, "seam %s does not end on an edge of piece %s", s.Name, s.piece.id)
			return false
		}
		e := s.piece.edges[at]
		mm, _ := along(e.line, l[0])
		end := &carriedEnd{seam: s, edge: e, nth: at}
		end.round, _ = along(closed(s.piece.SeamLine), l[0])
		tangent := sub(atMM(e.line, mm+0.5), atMM(e.line, mm-0.5))
		run := sub(l[0], l[1])
		size := math.Sqrt(dot(tangent, tangent)) * math.Sqrt(dot(run, run))
		end.along, end.out = dot(run, tangent)/size, cross(run, tangent)/size
		for _, d := range s.piece.Darts {
			from, off1 := along(e.line, d[0])
			to, off2 := along(e.line, d[2])
			if math.Max(off1, off2) > markMM {
				continue
			}
			from, to = math.Min(from, to), math.Max(from, to)
			if mm > from+markMM && mm < to-markMM {
				c.fail(c.f, "seam %s ends in the mouth of a dart of piece %s", s.Name, s.piece.id)
				return false
			}
			if mm >= to-markMM {
				end.mm -= to - from
			}
		}
		end.mm += mm
		pair = append(pair, end)
	}
	pair[0].other, pair[1].other = pair[1], pair[0]
	c.ends = append(c.ends, pair...)
	return true
}

// atMM is the point that far along a line, its ends if that is beyond.
func atMM(line []point, mm float64) point {
	for i := 1; i < len(line); i++ {
		l := distance(line[i-1], line[i])
		if mm <= l && l > 0 {
			return between(line[i-1], line[i], math.Max(0, mm/l))
		}
		mm -= l
	}
	return line[len(line)-1]
}

// sewnPlaces are where on an edge a point of another may be sewn, in mm along it, darts
// closed. There are several where the one is sewn on in a row with others and nothing here
// tells in which order; none where the row has others there.
func (c *carriedProof) sewnPlaces(from seamEdge, mm float64, to seamEdge) []float64 {
	const alike = 1e-6
	own, its := c.sewnLength(from.ref()), c.sewnLength(to.ref())
	if row := c.partners(from.ref()); c.inRow(from.ref(), row) {
		var out []float64
		for _, lo := range c.starts(to, from, row) {
			if hi := lo + its*own/c.total(row); mm >= lo-alike && mm <= hi+alike {
				out = append(out, its*(1-(mm-lo)/(hi-lo)))
			}
		}
		return out
	}
	if row := c.partners(to.ref()); c.inRow(to.ref(), row) {
		var out []float64
		for _, lo := range c.starts(from, to, row) {
			out = append(out, lo+(1-mm/own)*own*its/c.total(row))
		}
		return out
	}
	return []float64{its * (1 - mm/own)}
}

// placesOn are those on any edge of a name.
func (c *carriedProof) placesOn(from seamEdge, mm float64, to string) (out []float64) {
	for _, e := range c.like(to) {
		out = append(out, c.sewnPlaces(from, mm, e)...)
	}
	return out
}

func (c *carriedProof) total(row []string) float64 {
	var sum float64
	for _, r := range row {
		sum += c.sewnLength(r)
	}
	return sum
}

// inRow reports whether several edges are sewn to one in a row, one after the
// other, and not in layers.
func (c *carriedProof) inRow(edge string, row []string) bool {
	if len(row) < 2 {
		return false
	}
	own, worst := c.sewnLength(edge), 0.0
	for _, r := range row {
		worst = math.Max(worst, math.Abs(own-c.sewnLength(r)))
	}
	return math.Abs(own-c.total(row)) < worst
}

// sewnLength is how long the edge of that name is, darts closed.
func (c *carriedProof) sewnLength(ref string) float64 {
	for _, at := range c.order {
		p := c.pieces[at]
		for _, e := range p.edges {
			if !strings.EqualFold(p.Name+"/"+e.Name, ref) {
				continue
			}
			l := e.lengthMM
			for _, d := range p.Darts {
				if from, to := away(e.line, d[0]), away(e.line, d[2]); math.Max(from, to) <= markMM {
					a, _ := along(e.line, d[0])
					b, _ := along(e.line, d[2])
					l -= math.Abs(b - a)
				}
			}
			return l
		}
	}
	return 0
}

// partners are the edges that the one of that name is sewn to: it names them, or
// they name it. A facing is a layer behind them, and no line goes on into it.
func (c *carriedProof) partners(ref string) []string {
	return slices.DeleteFunc(c.sewnTo(ref), func(r string) bool { return isFacing(pieceNamed(r)) })
}

func isFacing(name string) bool { return strings.Contains(strings.ToLower(name), "facing") }

// past proves of what it is said to go past that each is a facing, is sewn to an edge on
// which it ends, and has no seam of it; and that each facing is told of at which it ends for
// good, since nothing else is sewn there.
func (c *carriedProof) past() {
	for _, e := range c.ends {
		for _, r := range e.edge.Joins {
			name := pieceNamed(r)
			if len(c.partners(e.ref())) == 0 && isFacing(name) && !slices.ContainsFunc(c.Past, func(p string) bool { return strings.EqualFold(p, name) }) {
				c.fail(c.f, "seam %s ends at %s, and the line is not said to go past it", e.seam.Name, name)
			}
		}
	}
	for _, name := range c.Past {
		if !isFacing(name) {
			c.fail(c.f, "it is said to go past %s, which is no facing", name)
		}
		if !slices.ContainsFunc(c.ends, func(e *carriedEnd) bool {
			return slices.ContainsFunc(e.edge.Joins, func(r string) bool { return strings.EqualFold(pieceNamed(r), name) })
		}) {
			c.fail(c.f, "it is said to go past %s, and ends on no edge that is sewn to it", name)
		}
		if slices.ContainsFunc(c.ends, func(e *carriedEnd) bool { return strings.EqualFold(e.seam.Piece, name) }) {
			c.fail(c.f, "it is said to go past %s, and crosses it", name)
		}
	}
}

// sewnTo are the edges that the one of that name names, or that name it.
func (c *carriedProof) sewnTo(ref string) []string {
	var out []string
	add := func(r string) {
		if !slices.ContainsFunc(out, func(o string) bool { return strings.EqualFold(o, r) }) && c.sewnLength(r) > 0 {
			out = append(out, r)
		}
	}
	for _, at := range c.order {
		p := c.pieces[at]
		for _, e := range p.edges {
			here := p.Name + "/" + e.Name
			for _, j := range e.Joins {
				switch {
				case strings.EqualFold(here, ref):
					add(j)
				case strings.EqualFold(j, ref):
					add(here)
				}
			}
		}
	}
	return out
}

func (e *carriedEnd) ref() string { return e.seam.piece.Name + "/" + e.edge.Name }

func (e *carriedEnd) seamEdge() seamEdge { return seamEdge{e.seam.piece, e.edge, e.nth} }

// meet proves that every end meets another one at every join that it comes to.
func (c *carriedProof) meet() {
	var worst, turn float64
	for _, e := range c.ends {
		if c.To != "" && strings.EqualFold(e.seam.Piece, c.To) {
			continue
		}
		row := c.partners(e.ref())
		inRow, shared := c.inRow(e.ref(), row), c.shared(e.ref(), row)
		missed := ""
		for _, r := range row {
			if inRow && len(c.placesOn(e.seamEdge(), e.mm, r)) == 0 {
				missed = "nothing tells what is sewn there"
				continue
			}
			if c.To != "" && !slices.ContainsFunc(c.ends, func(o *carriedEnd) bool { return strings.EqualFold(o.seam.Piece, pieceNamed(r)) }) {
				continue // as far as another piece, it goes only where that leads
			}
			mate, off := c.mateOf(e, r)
			switch {
			case mate != nil && off <= carriedMM:
				e.mates = append(e.mates, mate)
				worst = math.Max(worst, off)
				turn = math.Max(turn, math.Acos(math.Max(-1, math.Min(1, e.along*mate.along+e.out*mate.out)))*180/math.Pi)
			case inRow:
				missed = "no seam of it meets it there"
			case mate == nil:
				missed = fmt.Sprintf("no seam of it ends on %s, which is sewn to that", r)
			default:
				missed = fmt.Sprintf("%s ends %.2f mm off where %s is sewn to it", mate.seam.Name, off, r)
			}
			if shared && len(e.mates) > 0 || !shared && !inRow && missed != "" {
				break
			}
		}
		if missed != "" && (len(e.mates) == 0 || !shared && !inRow) {
			c.fail(c.f, "seam %s ends %.1f mm along %s, and %s", e.seam.Name, e.mm, e.ref(), missed)
			return
		}
	}
	if c.To != "" && !slices.ContainsFunc(c.ends, func(o *carriedEnd) bool { return strings.EqualFold(o.seam.Piece, c.To) }) {
		c.fail(c.f, "it does not come to %s", c.To)
	}
	if len(c.ends) == 2 && len(c.partners(c.ends[0].ref()))+len(c.partners(c.ends[1].ref())) == 0 {
		c.fail(c.f, "it comes to no join")
	}
	if math.Abs(worst-c.OffMM) > markMM {
		c.fail(c.f, "its ends are said to be %.2f mm off at most, and are %.2f", c.OffMM, worst)
	}
	const lineDeg = 3.0 // how far the first stretch of a flattened line may be off its tangent
	if math.Abs(turn-c.TurnDeg) > lineDeg {
		c.fail(c.f, "it is said to turn by %.1f degrees at most, and turns by %.1f", c.TurnDeg, turn)
	}
}

// shared reports whether several edges are each sewn to one of those of a name, and
// not all of them to each, as a left and a right front are to the sides of a back.
// There are as many, and they are about as long: the layers of a collar go round two
// edges at once.
func (c *carriedProof) shared(ref string, row []string) bool {
	const longer = 1.5
	if len(row) < 2 || c.inRow(ref, row) {
		return false
	}
	own, sum := c.sewnLength(ref), 0
	for _, r := range row {
		its := c.sewnLength(r)
		if math.Max(own, its) > longer*math.Min(own, its) {
			return false
		}
		sum += c.count(r)
	}
	return c.count(ref) == sum
}

// count is how many edges of that name there are, on all copies.
func (c *carriedProof) count(ref string) (n int) {
	for _, at := range c.order {
		p := c.pieces[at]
		for _, e := range p.edges {
			if strings.EqualFold(p.Name+"/"+e.Name, ref) {
				n++
			}
		}
	}
	return n
}

// mateOf is the end on the edge of that name that is nearest to where it is sewn, of
// those that no other end there has taken.
func (c *carriedProof) mateOf(e *carriedEnd, ref string) (mate *carriedEnd, off float64) {
	off = math.Inf(1)
	for _, o := range c.ends {
		if !strings.EqualFold(o.ref(), ref) || o == e || o.other != e && c.taken(o, e.ref()) {
			continue
		}
		for _, mm := range c.sewnPlaces(e.seamEdge(), e.mm, o.seamEdge()) {
			if d := math.Abs(o.mm - mm); d < off {
				mate, off = o, d
			}
		}
	}
	return mate, off
}

// taken reports whether an end on the edge of that name has this one for a mate.
func (c *carriedProof) taken(mate *carriedEnd, ref string) bool {
	return slices.ContainsFunc(c.ends, func(e *carriedEnd) bool {
		return strings.EqualFold(e.ref(), ref) && slices.Contains(e.mates, mate)
	})
}

// sameLooks proves that the parts above the line are of one look, and those below.
// Above is, on the piece whose seam it is, further up the grain.
func (c *carriedProof) sameLooks() {
	for _, e := range c.ends {
		if !strings.EqualFold(e.seam.Piece, c.Piece) {
			continue
		}
		// The middle of what comes before the end, round the piece to the other end.
		ring := closed(e.seam.piece.SeamLine)
		whole := length(ring)
		middle := func(from, to float64) float64 {
			const steps = 64
			if to < from {
				to += whole
			}
			var sum float64
			for k := range steps {
				q := atMM(ring, math.Mod(from+(to-from)*(float64(k)+0.5)/steps, whole))
				sum += downOf(e.seam.piece.GrainDeg, q)
			}
			return sum / steps
		}
		e.side = -1
		if middle(e.other.round, e.round) < middle(e.round, e.other.round) {
			e.side = 1
		}
	}
	for changed := true; changed; {
		changed = false
		for _, e := range c.ends {
			if e.side == 0 {
				continue
			}
			if e.other.side == 0 {
				e.other.side, changed = -e.side, true
			}
			for _, mate := range e.mates {
				if mate.side == 0 {
					mate.side, changed = -e.side, true
				}
			}
		}
	}
	for _, e := range c.ends {
		if e.side == 0 {
			c.fail(c.f, "nothing tells which side of seam %s is above the line", e.seam.Name)
			return
		}
		if e.other.side != -e.side {
			c.fail(c.f, "both sides of seam %s would be above the line", e.seam.Name)
			return
		}
		for _, mate := range e.mates {
			if mate.side != -e.side {
				c.fail(c.f, "what is above %s is below %s", e.seam.Name, mate.seam.Name)
				return
			}
		}
		for _, p := range c.of[e.seam.piece.id] {
			// Of the parts, those that lie between the other end and this one.
			before, has := c.liesBefore(p, e)
			if !has || p.scrap == nil {
				continue
			}
			side, want, where := e.side, c.Above, "above"
			if !before {
				side = -side
			}
			if side < 0 {
				want, where = c.Below, "below"
			}
			if got := lookOf(p.scrap.Scrap); !strings.EqualFold(got, want) {
				f := c.f
				f.Part = p.label
				c.fail(f, "it lies %s the line and is %s, and the rest is %s", where, got, want)
				return
			}
		}
	}
}

// liesBefore reports whether a part lies on the side of the seam that comes before
// an end of it round the piece. It is not known of one that is not on the outline.
func (c *carriedProof) liesBefore(p *partProof, e *carriedEnd) (before, has bool) {
	ring := closed(e.seam.piece.SeamLine)
	whole := length(ring)
	back := func(mm float64) float64 { return math.Mod(e.round-mm+2*whole, whole) }
	for _, q := range p.SeamLine {
		mm, off := along(ring, q)
		if off > markMM || away(e.seam.Line, q) < 1 {
			continue
		}
		return back(mm) < back(e.other.round), true
	}
	return false, false
}

// lookOf is what the eye takes a scrap for.
func lookOf(s *plan.Scrap) string {
	switch {
	case s.Look != "":
		return s.Look
	case s.Fabric != "":
		return s.Fabric
	}
	return s.Name
}
