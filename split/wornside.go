package split

import (
	"math"
	"slices"
	"strings"
	"unicode"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
)

// Copies is every copy of every piece, each told which side of the body it is
// worn on where that can be known. In this order (common practice, no source):
//
//   - the pattern says so, by the fact side or by left or right in the name;
//   - the piece is a front or a back, drawn right side up: of a front whose
//     sides are to the right of its centre on the page that is the left of the
//     body, of a back the right. A facing and a lining are worn right side in;
//   - it is sewn to a piece of which it is known: right sides together one edge
//     runs against the other, so only one of two mirror images can be meant;
//   - it goes round from front to back, as a sleeve or a leg in one piece: one whose front
//     is to the right is the right one;
//   - nothing of all that: the drawn one is the right, which is the half of the
//     body that is drafted, and its centre is to the right as a front's is.
func Copies(pieces []*piece.Piece) []*piece.Piece {
	var bodies []*sided
	for _, p := range pieces {
		bodies = append(bodies, newSided(p))
	}
	tellSides(bodies)
	var out []*piece.Piece
	for _, b := range bodies {
		out = append(out, b.copies(bodies)...)
	}
	markSeams(out)
	return out
}

// sided is a drawn piece and what is found of its side. Left is 1 where the
// piece as drawn, or of a whole one the half to the right on the page, is worn
// on the left of the body, -1 where on the right, and 0 while it is not known.
type sided struct {
	*piece.Piece
	left   float64
	whole  bool    // it has both sides of the body
	frame  Frame   // the grain downwards, the piece upright
	centre float64 // across
	width  float64
}

func newSided(p *piece.Piece) *sided {
	s := &sided{Piece: p, frame: FrameOf(p.GrainDeg), whole: !p.Mirrored && sideWord(p.Name) == 0 && p.Side == ""}
	top, hasTop := s.mean(1, "shoulder", "neck", "cap", "raglan")
	bottom, hasBottom := s.mean(1, "hem", "waist")
	if !hasTop {
		top, hasTop = s.mean(1, "waist")
		bottom, hasBottom = s.mean(1, "hem")
	}
	if hasTop && hasBottom && top > bottom { // drawn upside down
		s.frame.Down[0], s.frame.Down[1] = -s.frame.Down[0], -s.frame.Down[1]
		s.frame.Right[0], s.frame.Right[1] = -s.frame.Right[0], -s.frame.Right[1]
	}
	lo, hi := s.frame.Box(p.Outline.Ring())
	s.centre, s.width = (lo[0]+hi[0])/2, hi[0]-lo[0]
	if c := p.Centre; c != nil {
		a, _ := s.frame.Place(c.A)
		b, _ := s.frame.Place(c.B)
		s.centre = (a + b) / 2
	}
	return s
}

// mean is where the middles of the edges lie whose names have a word that
// starts with one of those: across, or with axis 1 down.
func (s *sided) mean(axis int, words ...string) (at float64, ok bool) {
	sum, n := 0.0, 0.0
	for _, e := range s.Outline {
		if slices.ContainsFunc(wordsOf(e.Name), func(w string) bool {
			return slices.ContainsFunc(words, func(start string) bool { return strings.HasPrefix(w, start) })
		}) {
			across, down := s.middle(e)
			sum, n = sum+[2]float64{across, down}[axis], n+1
		}
	}
	return sum / math.Max(n, 1), n > 0
}

func (s *sided) middle(e piece.Edge) (across, down float64) {
	at, _ := e.Line.At(e.Line.Length() / 2)
	return s.frame.Place(at)
}

// half is 1 for an edge of a piece with both sides of the body that lies to
// the right of its centre, -1 for one to the left, and 0 for one on it. An edge
// of any other piece is on the side that the piece is on.
func (s *sided) half(e piece.Edge) float64 {
	if !s.whole {
		return 1
	}
	across, _ := s.middle(e)
	return sign(across-s.centre, s.width/20)
}

// sign is that of x, 0 for one too small to tell.
func sign(x, least float64) float64 {
	if math.Abs(x) < least {
		return 0
	}
	return math.Copysign(1, x)
}

// tellSides finds the side of one piece after another, the surest ground first,
// and of all that are sewn to it.
func tellSides(all []*sided) {
	grounds := []func(*sided) float64{
		(*sided).asSaid,
		func(s *sided) float64 { return s.asBody("front", 1) },
		func(s *sided) float64 { return s.asBody("back", -1) },
		(*sided).asSleeve,
		func(s *sided) float64 {
			if s.Mirrored {
				return -1
			}
			return 0
		},
	}
	for _, ground := range grounds {
		for _, s := range all {
			if s.left != 0 {
				continue
			}
			s.left = ground(s)
			for queue := []*sided{s}; len(queue) > 0 && s.left != 0; queue = queue[1:] {
				for _, other := range all {
					if other.left == 0 {
						if other.left = sewnSide(queue[0], other); other.left != 0 {
							queue = append(queue, other)
						}
					}
				}
			}
		}
	}
}

// sideWord is 1 for a name that says left, -1 for one that says right.
func sideWord(name string) float64 {
	left, right := slices.Contains(wordsOf(name), "left"), slices.Contains(wordsOf(name), "right")
	switch {
	case left == right:
		return 0
	case left:
		return 1
	}
	return -1
}

func wordsOf(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
}

func (s *sided) asSaid() float64 {
	if s.Side != "" {
		return sideWord(s.Side)
	}
	return sideWord(s.Name)
}

// asBody is the side of a piece that is a front, or a back, as left is: 0 for
// any other. sense is 1 where an outer edge on the right means the left of the
// body, as on a front, and -1 where it means the right, as on a back. A facing
// and a lining are worn the other way out.
func (s *sided) asBody(word string, sense float64) float64 {
	if !s.is(word) {
		return 0
	}
	if hasWord(s.Name, "facing") || hasWord(s.Name, "lining") {
		sense = -sense
	}
	if s.whole {
		return sense
	}
	return sense * s.outer()
}

// is reports whether a piece is a front, or a back: its name says so, or its
// centre does.
func (s *sided) is(word string) bool {
	other := map[string]string{"front": "back", "back": "front"}[word]
	if hasWord(s.Name, "sleeve") || hasWord(s.Name, other) {
		return false
	}
	return hasWord(s.Name, word) || s.hasCentre(word) && !s.hasCentre(other)
}

// hasCentre reports whether an edge runs down the middle of the front, or of the back. A leg
// in one piece has both.
func (s *sided) hasCentre(word string) bool {
	return hasEdge(s.Piece, "centre-"+word) || hasEdge(s.Piece, "center-"+word)
}

// outer is 1 where the edges toward the side of the body lie to the right of
// those toward its centre, -1 where to the left.
func (s *sided) outer() float64 {
	out, hasOut := s.mean(0, "armhole", "side", "raglan", "outseam")
	in, hasIn := s.mean(0, "centre", "center", "neck", "crotch", "inseam", "fold")
	switch {
	case !hasOut && !hasIn:
		return 0
	case !hasOut:
		out = s.centre
	case !hasIn:
		in = s.centre
	}
	return sign(out-in, s.width/20)
}

// asSleeve is the side of a sleeve, or of a leg in one piece: its front is to the right on the
// right one.
func (s *sided) asSleeve() float64 {
	if s.whole {
		return 0
	}
	return -s.frontward()
}

// frontward is 1 where a sleeve's front lies to the right of its back, as the
// names of its edges and what they are sewn to tell.
func (s *sided) frontward() float64 {
	var sum, n [2]float64
	for _, e := range s.Outline {
		for k, word := range []string{"front", "back"} {
			if hasWord(e.Name, word) || slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return hasWord(r.Piece, word) }) {
				across, _ := s.middle(e)
				sum[k], n[k] = sum[k]+across, n[k]+1
			}
		}
	}
	if n[0] == 0 || n[1] == 0 || s.is("front") || s.is("back") {
		return 0
	}
	if found := sign(sum[0]/n[0]-sum[1]/n[1], s.width/20); found != 0 {
		return found
	}
	return s.namedFrontward()
}

// namedFrontward is frontward by the order in which a cap that is drawn as one edge names
// the front and the back.
func (s *sided) namedFrontward() float64 {
	frontOrBack := func(r piece.Ref) int { return oneOf(hasWord(r.Piece, "front"), hasWord(r.Piece, "back")) }
	for _, e := range s.Outline {
		if len(e.Joins) != 2 || frontOrBack(e.Joins[0])*frontOrBack(e.Joins[1]) >= 0 {
			continue
		}
		first, _ := s.frame.Place(e.Line.Start())
		last, _ := s.frame.Place(e.Line.End())
		if listedBackwards(s.Piece, e) {
			first, last = last, first
		}
		return sign(last-first, s.width/20) * float64(frontOrBack(e.Joins[1]))
	}
	return 0
}

// sewnSide is the side that a piece has for it to be sewn to one whose side is
// known; 0 where they are not joined, or the join does not tell: that of a back to the
// bit of a sleeve's cap that goes round a yoke as well does not, for the other end of
// that bit and the back's side are both sewn to the front.
func sewnSide(known, other *sided) float64 {
	for i, e := range known.Outline {
		for k, f := range other.Outline {
			if e.Name == "" || f.Name == "" || known == other || !Joined(e, known.Piece, f, other.Piece) || other.SewnToItself() && len(f.Joins) > 1 || known.SewnToItself() && len(e.Joins) > 1 {
				continue
			}
			if side := known.left * known.half(e) * other.half(f) * sameSide(known, i, other, k); side != 0 {
				return side
			}
		}
	}
	return 0
}

// sameSide is 1 where edge i of one piece as drawn is sewn to edge k of the
// other as drawn, and -1 where to that of its mirror image: what comes before
// the one must go with what comes after the other, or else one runs down the
// grain where the other runs up.
func sameSide(a *sided, i int, b *sided, k int) float64 {
	before, after := a.beside(i, -1), a.beside(i, 1)
	last, next := b.beside(k, -1), b.beside(k, 1)
	against := goTogether(before, a.Piece, next, b.Piece) + goTogether(after, a.Piece, last, b.Piece)
	along := goTogether(before, a.Piece, last, b.Piece) + goTogether(after, a.Piece, next, b.Piece)
	if against != along {
		return sign(float64(against-along), 0.5)
	}
	return -a.downward(a.Outline[i]) * b.downward(b.Outline[k])
}

func (s *sided) beside(i, step int) piece.Edge {
	return s.Outline[(i+step+len(s.Outline))%len(s.Outline)]
}

// downward is 1 for an edge that runs down the grain, -1 for one that runs up,
// and 0 for one that lies across it.
func (s *sided) downward(e piece.Edge) float64 {
	_, from := s.frame.Place(e.Line.Start())
	_, to := s.frame.Place(e.Line.End())
	return sign(to-from, 0.35*plane.Distance(e.Line.Start(), e.Line.End()))
}

// copies is every copy of the piece, told its side.
func (s *sided) copies(all []*sided) []*piece.Piece {
	out := s.Piece.Copies()
	pair := s.isPair(all)
	for i, c := range out {
		mirrored := c.Flipped != s.Flipped
		c.Side, c.Across = "", s.across(mirrored)
		switch {
		case s.Mirrored && mirrored:
			c.Side = sideName(-s.left)
		case s.Mirrored, !s.whole && s.Count == 1:
			c.Side = sideName(s.left)
		case pair:
			c.Side = sideName(float64(1 - 2*i))
		}
		if each := len(out) / 2; s.Mirrored && each > 1 {
			c.SideCopy = i%each + 1
		}
	}
	return out
}

func sideName(left float64) string {
	if left > 0 {
		return "left"
	}
	return "right"
}

// across is what the parts to the left and to the right of a lengthwise seam
// are called, as the grain runs down the page.
func (s *sided) across(mirrored bool) [2]string {
	var right float64 // 1 where the part to the right is the one named first
	var names [2]string
	switch {
	case s.whole:
		right, names = s.left, [2]string{"left", "right"}
	case s.frontward() != 0:
		right, names = s.frontward(), [2]string{"front", "back"}
	case s.outer() != 0:
		right, names = s.outer(), [2]string{"outer", "inner"}
	default: // as a front's, or a back's
		right, names = s.left, [2]string{"outer", "inner"}
		if s.is("back") {
			right = -right
		}
	}
	if right == 0 {
		return [2]string{}
	}
	if f := FrameOf(s.GrainDeg); f.Right != s.frame.Right {
		right = -right
	}
	if (right > 0) == mirrored {
		return names
	}
	return [2]string{names[1], names[0]}
}

// isPair reports whether two equal copies of a piece are one for the left and
// one for the right: all that they are sewn to is such.
func (s *sided) isPair(all []*sided) bool {
	if s.Mirrored || s.Count != 2 || s.Centre != nil {
		return false
	}
	sewn := false
	for _, other := range all {
		if other == s || !slices.ContainsFunc(s.Outline, func(e piece.Edge) bool {
			return slices.ContainsFunc(other.Outline, func(f piece.Edge) bool {
				return e.Name != "" && f.Name != "" && Joined(e, s.Piece, f, other.Piece)
			})
		}) {
			continue
		}
		if !other.Mirrored || other.Count != 2 {
			return false
		}
		sewn = true
	}
	return sewn
}

// wornOn is which side of the body an edge of a copy is worn on: that of the
// copy, or of a whole piece that of its half.
func wornOn(p *piece.Piece, e piece.Edge) string {
	if p.Side != "" || p.Across[0] != "left" && p.Across[0] != "right" {
		return p.Side
	}
	b := NewBody(p, p.Outline)
	at, _ := e.Line.At(e.Line.Length() / 2)
	across, _ := b.Frame.Place(at)
	switch sign(across-CentreOf(b), (b.Hi[0]-b.Lo[0])/20) {
	case 1:
		return p.Across[1]
	case -1:
		return p.Across[0]
	}
	return ""
}

// SidesOf is what the parts on either side of a seam are called: as worn, and
// alike on mirrored copies. Of a band that goes round the body, and has its grain along
// it, none is the upper: one comes first.
func SidesOf(w Way, b *Body, levelMM float64) (near, far string) {
	if near, far = w.Sides(); near == "" {
		near, far = sidesOfLine(w.Line(b, levelMM), b.Frame)
	}
	if runs := w.Traits().Runs; onBias(b.Piece) && near != "corner" && (runs == Along || runs == Across) {
		return diagonalSides(w, b.Piece)
	}
	if liesAround(b.Piece) {
		switch near {
		case "upper":
			near, far = "first", "last"
		case "lower":
			near, far = "last", "first"
		}
	}
	if worn := b.Piece.Across; worn[0] != "" {
		switch near {
		case "left":
			near, far = worn[0], worn[1]
		case "right":
			near, far = worn[1], worn[0]
		}
	}
	return near, far
}

// liesAround reports whether a piece is a band that goes round the waist, the neck or a
// wrist, and has its grain along it: down the piece is then round the body. One that
// goes down an open front has its grain along it too, and hangs.
func liesAround(p *piece.Piece) bool {
	if !isTrim(p.Name) || hasWord(p.Name, "facing") {
		return false
	}
	around := slices.ContainsFunc([]string{"waistband", "neckband", "cuff", "collar", "stand"}, func(word string) bool { return piece.HasTrimWord(p.Name, word) })
	for _, e := range p.Outline {
		for _, r := range e.Joins {
			switch {
			case hasWord(r.Edge, "centre"), hasWord(r.Edge, "center"), hasWord(r.Edge, "opening"):
				return false
			case hasWord(r.Edge, "waist"), hasWord(r.Edge, "neck"), hasWord(r.Edge, "wrist"), hasWord(r.Edge, "hem"):
				around = true
			}
		}
	}
	const longer = 2
	lo, hi := FrameOf(p.GrainDeg).Box(p.Outline.Ring())
	return around && hi[1]-lo[1] > longer*(hi[0]-lo[0])
}

// sidesOfLine names what is on the left of a line and on its right, by how it
// lies.
func sidesOfLine(line curve.Path, f Frame) (near, far string) {
	across1, down1 := f.Place(line.Start())
	across2, down2 := f.Place(line.End())
	across, down := across2-across1, down2-down1
	switch {
	case math.Abs(across) >= math.Abs(down) && across > 0:
		return "upper", "lower"
	case math.Abs(across) >= math.Abs(down):
		return "lower", "upper"
	case down > 0:
		return "right", "left"
	}
	return "left", "right"
}
