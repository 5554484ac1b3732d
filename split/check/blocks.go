package check

import (
	"math"
	"slices"
	"strings"

	"eke/split/plan"
)

// blocks proves what is said of a grid of blocks: that its lines lie as far apart as
// the blocks are large, that the piecing seams of its pieces run along them and
// nowhere else, so that a block is one part, that level lines meet at joins as is
// said, and which blocks side by side have one look. It proves too that a wish for
// blocks is kept by these.
func (o *optionProof) blocks() {
	b := o.Option.Blocks
	for _, w := range o.Wishes {
		words := strings.Fields(strings.TrimPrefix(w.Text, "prefer "))
		if !w.Kept || len(words) != 2 || !strings.EqualFold(words[0], "blocks") {
			continue
		}
		if mm, err := parseMM(words[1]); b == nil || err != nil || math.Abs(mm-b.SizeMM) > markMM {
			o.fail(Fault{Rule: Blocks}, "the wish %q is said to be kept, and there are no such blocks", w.Text)
		}
	}
	if b == nil {
		return
	}
	if !(b.SizeMM > markMM) {
		o.fail(Fault{Rule: Blocks}, "blocks are %g mm large", b.SizeMM)
		return
	}
	p := &blockProof{optionProof: o, Blocks: b}
	found := len(o.found)
	least, most := 0, 0
	for i := range p.Pieces {
		surely, perhaps := p.piece(&p.Pieces[i])
		least, most = least+surely, most+perhaps
	}
	if !slices.ContainsFunc(p.Pieces, func(s plan.BlockedPiece) bool { return s.Piece == p.Lead }) {
		o.fail(Fault{Rule: Blocks}, "%s, which leads, is in no blocks", p.Lead)
	}
	if len(o.found) > found {
		return
	}
	if p.Larger < least || p.Larger > most {
		o.fail(Fault{Rule: Blocks}, "%d blocks are said to reach over a line, and %d do", p.Larger, least)
	}
	p.sideBySide()
	lines := &stripeProof{optionProof: o, Stripes: &plan.Stripes{Lead: b.Lead, Pieces: b.Rows(), Meets: b.Meets}, rule: Blocks}
	lines.meets()
}

// blockProof is the blocks of an option under proof.
type blockProof struct {
	*optionProof
	*plan.Blocks
}

func (p *blockProof) extentAcross(whole *pieceProof, line []point) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, q := range line {
		x := p.across(whole, q)
		lo, hi = math.Min(lo, x), math.Max(hi, x)
	}
	return lo, hi
}

// across is along the line a quarter turn from down, to the right of it.
func (p *blockProof) across(whole *pieceProof, q point) float64 {
	sin, cos := math.Sincos(whole.GrainDeg * math.Pi / 180)
	if sin < -1e-9 || math.Abs(sin) <= 1e-9 && cos < 0 {
		sin, cos = -sin, -cos
	}
	return q[0]*sin - q[1]*cos
}

// piece proves the lines of one copy, and counts the parts that reach over one: surely,
// and with those that rounding decides.
func (p *blockProof) piece(b *plan.BlockedPiece) (surely, perhaps int) {
	at := id{b.Piece, b.Copy}
	f := Fault{Rule: Blocks}
	whole := p.pieces[at]
	if whole == nil {
		p.fail(f, "there is no piece %s", at)
		return 0, 0
	}
	top, bottom := extentDown(whole.GrainDeg, whole.SeamLine)
	left, right := p.extentAcross(whole, whole.SeamLine)
	for k, band := range b.Bands {
		if k > 0 && (math.Abs(band.FromMM-b.Bands[k-1].ToMM) > markMM || band.Stripe <= b.Bands[k-1].Stripe || !onOne(b.LevelsMM, band.FromMM)) {
			p.fail(f, "on piece %s row %d begins at %.1f mm, which is no line of the grid or not where the one above it ends", at, band.Stripe, band.FromMM)
		}
	}
	if n := len(b.Bands); n == 0 || b.Bands[0].FromMM > top+markMM || b.Bands[n-1].ToMM < bottom-markMM {
		p.fail(f, "the rows of piece %s do not reach from its top to its lower end", at)
	}
	if strings.EqualFold(b.Piece, p.Lead) {
		p.evenly(at, "level", b.LevelsMM, top, bottom)
	}
	p.evenly(at, "upright", b.UprightsMM, left, right)
	for _, x := range b.UprightsMM {
		if halves := (x - b.CentreMM) / (p.SizeMM / 2); math.Abs(halves-math.Round(halves))*p.SizeMM/2 > markMM {
			p.fail(f, "an upright line of piece %s lies at %.1f mm, and the lines are counted from its centre at %.1f", at, x, b.CentreMM)
		}
	}
	if b.CentreMM < left || b.CentreMM > right {
		p.fail(f, "the centre of piece %s is said to be at %.1f mm, beside it", at, b.CentreMM)
	}
	for _, s := range p.seams {
		if s.piece != whole || len(s.Line) < 2 {
			continue
		}
		upper, lower := extentDown(whole.GrainDeg, s.Line)
		from, to := p.extentAcross(whole, s.Line)
		if !(lower-upper <= markMM && onOne(b.LevelsMM, (upper+lower)/2)) && !(to-from <= markMM && onOne(b.UprightsMM, (from+to)/2)) {
			p.fail(Fault{Rule: Blocks, Seam: s.Name}, "it runs along no line of the grid")
		}
	}
	for _, part := range p.of[at] {
		upper, lower := extentDown(whole.GrainDeg, part.SeamLine)
		from, to := p.extentAcross(whole, part.SeamLine)
		over := math.Max(over(upper, lower, b.LevelsMM), over(from, to, b.UprightsMM))
		if over > overMM+markMM {
			surely++
		}
		if over > overMM-markMM {
			perhaps++
		}
	}
	return surely, perhaps
}

// evenly proves that lines lie as far apart as the blocks are large, and that none is
// left out at an end.
func (p *blockProof) evenly(at id, which string, lines []float64, lo, hi float64) {
	last := lo
	for k, x := range append(slices.Clone(lines), hi) {
		switch apart := x - last; {
		case k == 0 && apart < -markMM || (k == 0 || k == len(lines)) && apart > p.SizeMM+markMM:
			p.fail(Fault{Rule: Blocks}, "of the %s lines of piece %s one is missing before %.1f mm", which, at, x)
		case k > 0 && k < len(lines) && math.Abs(apart-p.SizeMM) > markMM:
			p.fail(Fault{Rule: Blocks}, "%s lines of piece %s lie %.1f mm apart, and blocks are %.1f", which, at, apart, p.SizeMM)
		}
		last = x
	}
}

// onOne reports whether one of some lines lies there.
func onOne(lines []float64, at float64) bool {
	return slices.ContainsFunc(lines, func(x float64) bool { return math.Abs(x-at) <= markMM })
}

// overMM is by how much a block reaches over a line that is not one of its sides.
const overMM = 0.5

// over is how far from both ends one of some lines lies between them.
func over(lo, hi float64, lines []float64) (most float64) {
	for _, x := range lines {
		most = math.Max(most, math.Min(x-lo, hi-x))
	}
	return most
}

// sideBySide finds the pairs of blocks of a copy that share a stretch of a seam and
// have one look, and holds them against those that are said. Pairs across a join are
// held to having one look and edges that are sewn together.
func (p *blockProof) sideBySide() {
	type pair [2]id // of the parts
	said := map[pair]bool{}
	for _, a := range p.Alike {
		x, y := id{a.Parts[0], a.Copies[0]}, id{a.Parts[1], a.Copies[1]}
		said[pair{x, y}], said[pair{y, x}] = true, true
	}
	joined := &carriedProof{optionProof: p.optionProof, Carried: &plan.Carried{}}
	var blocks []*partProof
	for _, b := range p.Pieces {
		blocks = append(blocks, p.of[id{b.Piece, b.Copy}]...)
	}
	proved := map[pair]bool{}
	for i, a := range blocks {
		for _, b := range blocks[i+1:] {
			x, y := id{a.Name, a.Copy}, id{b.Name, b.Copy}
			alleged := said[pair{x, y}]
			alike := a.scrap != nil && b.scrap != nil && strings.EqualFold(lookOf(a.scrap.Scrap), lookOf(b.scrap.Scrap))
			proved[pair{x, y}], proved[pair{y, x}] = alike, alike
			if a.piece == b.piece && touching(a, b) {
				if alike != alleged {
					p.fail(Fault{Rule: Blocks, Part: a.label}, "it lies beside %s, and whether they have one look is not as it is said", b.label)
				}
				continue
			}
			if alleged && !slices.ContainsFunc(a.edges, func(e drawnEdge) bool {
				return e.Seam == "" && slices.ContainsFunc(joined.partners(a.Part.Piece+"/"+e.Name), func(to string) bool {
					return slices.ContainsFunc(b.edges, func(g drawnEdge) bool { return g.Seam == "" && strings.EqualFold(b.Part.Piece+"/"+g.Name, to) })
				})
			}) {
				p.fail(Fault{Rule: Blocks, Part: a.label}, "it is said to lie beside %s, and they share no seam", b.label)
			}
		}
	}
	for _, a := range p.Alike {
		if x, y := (id{a.Parts[0], a.Copies[0]}), (id{a.Parts[1], a.Copies[1]}); !proved[pair{x, y}] {
			p.fail(Fault{Rule: Blocks}, "%s and %s are said to lie side by side in one look", x, y)
		}
	}
}

// touching reports whether two parts of a copy share a stretch of a piecing seam.
func touching(a, b *partProof) bool {
	const leastMM = 8
	for _, e := range a.edges {
		for _, g := range b.edges {
			if e.Seam == "" || e.Seam != g.Seam || len(e.line) < 2 || len(g.line) < 2 {
				continue
			}
			from, to := e.line[0], e.line[len(e.line)-1]
			long := distance(from, to)
			x, _ := nearest(g.line[0], from, to)
			y, _ := nearest(g.line[len(g.line)-1], from, to)
			if math.Abs(y-x)*long > leastMM {
				return true
			}
		}
	}
	return false
}
