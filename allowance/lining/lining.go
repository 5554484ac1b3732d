package lining

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece"
)

// The defaults. Where they come from stands in the package comment.
const (
	DefaultEaseMM      = 6.0
	DefaultArmholeUpMM = 10.0
	DefaultHemUpMM     = 20.0
	DefaultPleatMM     = 20.0
)

// Options are how much larger a lining is. Nothing is a default of its own.
type Options struct {
	EaseMM      float64  // outwards at each lengthwise seam; shared out where more than usual go round
	ArmholeUpMM float64  // at the underarm
	HemUpMM     float64  // along the seams that meet the hem
	PleatMM     float64  // at the fold of a centre back; the whole back gets twice that
	Passed      []Passed // facings that the lining does not start at
}

// Lining is the pattern of a lining, as drawn on the page of the garment's.
type Lining struct {
	Drafts  []piece.Draft
	Pieces  []*piece.Piece     // the drafts, made
	Seams   []allowance.Walked // walked on the pieces, each edge counted as often as in the garment's
	LeftOut []LeftOut
	Facings []string // of the garment, those in Options.Passed too
	Notes   []string // what was done that a maker would not expect, and what to know when sewing
}

// LeftOut is a piece that is not lined.
type LeftOut struct{ Name, Why string }

// unequalMM is by how much the two sides of a seam may still differ: a
// thousandth of what can be seen.
const unequalMM = 0.02

// Make makes the lining of a garment. The error says what of the pattern, or of
// the options, stands in its way; file is for messages.
func Make(pieces []*piece.Piece, file string, o Options) (*Lining, error) {
	out := new(Lining)
	pieces = out.oneLayer(pieces)
	kept, facings, err := out.choose(pieces, file)
	if err != nil {
		return nil, err
	}
	facings = out.pass(kept, facings, o.Passed)
	kept = out.takeOffFacings(kept, facings)
	blocks, err := blocksOf(kept)
	if err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(blocks, (*block).joined) {
		return nil, fmt.Errorf("%s: no two edges of the pieces to be lined (%s) are joined, so nothing says where the ease goes; write on an edge what it is sewn to, such as joins: back/side", file, names(kept))
	}
	if bare := unraisable(blocks); o.ArmholeUpMM > 0 && bare != (piece.Ref{}) {
		o.ArmholeUpMM = 0
		out.note("the armhole is not raised, for no edge beside %s is a seam named side or underarm", bare)
	}
	if o.ArmholeUpMM > 0 && armholesBare(blocks) {
		out.note("the armhole is not raised, for nothing says that a sleeve is sewn to it; if one is, write on an edge of the two what it is sewn to, such as joins: sleeve/cap")
	}
	// A dart that is trued when its piece is made, or left out, changes the
	// length of the edge that it opens on; what a seam is then off is made up
	// for in the next round.
	const rounds = 8
	allow, wanted := map[string]float64{}, seamsOf(kept, pieces)
	for range rounds {
		if blocks, err = blocksOf(kept); err != nil {
			return nil, err
		}
		if err := out.fit(blocks, wanted, o, allow); err != nil {
			return nil, err
		}
		off := out.off(kept, wanted)
		worst, at := 0.0, ""
		for seam, mm := range off {
			allow[seam] += mm
			if math.Abs(mm) > math.Abs(worst) || math.Abs(mm) == math.Abs(worst) && seam < at {
				worst, at = mm, seam
			}
		}
		if math.Abs(worst) <= unequalMM {
			out.tellShares(blocks, o.EaseMM)
			for _, b := range blocks {
				out.tell(b, o)
			}
			out.walk(kept, wanted)
			return out, nil
		}
		err = fmt.Errorf("%s: %s differ by %s in the lining, for a dart opens there that cannot be kept as it is; write lining: no on one of them, or leave the dart out", file, at, mm(math.Abs(worst)))
	}
	return nil, err
}

func blocksOf(kept []*piece.Piece) ([]*block, error) {
	var blocks []*block
	for _, p := range kept {
		b, err := newBlock(p, kept)
		if err != nil {
			return nil, err
		}
		blocks = append(blocks, b)
	}
	shareOut(blocks)
	return blocks, nil
}

// fit makes the pieces of the lining. Allow is by how much more, beside what is
// drawn, the two sides of a seam are to differ while they are made equal.
func (l *Lining) fit(blocks []*block, wanted []equation, o Options, allow map[string]float64) error {
	for _, b := range blocks {
		if err := b.grow(o); err != nil {
			return err
		}
	}
	if err := equalise(blocks, wanted, allow); err != nil {
		return fmt.Errorf("%s: %w", blocks[0].p.File, err)
	}
	for _, b := range blocks {
		b.placeMarks()
		if o.PleatMM > 0 && b.isBack() {
			b.pleat(o.PleatMM, blocks)
		}
	}
	if err := l.drafts(blocks); err != nil {
		return err
	}
	meetNotches(blocks, l.Pieces)
	return l.drafts(blocks)
}

// off is by how much each seam of the pieces made is off, walked as that of the
// garment is.
func (l *Lining) off(kept []*piece.Piece, wanted []equation) map[string]float64 {
	out := map[string]float64{}
	for _, w := range wanted {
		out[w.String()] = -w.off(l.meanMM(kept))
	}
	return out
}

// meanMM is how long one edge of each name is on the pieces made, of those kept.
func (l *Lining) meanMM(kept []*piece.Piece) func(piece.Ref) float64 {
	return func(r piece.Ref) float64 {
		sum, n := 0.0, 1
		for k, p := range l.Pieces {
			if p.Name != r.Piece {
				continue
			}
			for _, i := range p.Outline.Edge(r.Edge) {
				sum += allowance.ClosedMM(p.Outline[i], p.Darts)
			}
			n = len(kept[k].Outline.Edge(r.Edge)) // a pleat parts one in two
		}
		return sum / float64(max(1, n))
	}
}

// walk walks the seams of the pieces made, each as that of the garment is walked, and
// notes where a facing takes more of the one side than of the other.
func (l *Lining) walk(kept []*piece.Piece, wanted []equation) {
	l.Seams = allowance.Walk(l.Pieces)
	for _, w := range wanted {
		for i := range l.Seams {
			if s := (equation{Walked: l.Seams[i]}); s.String() == w.String() {
				s.TimesA, s.TimesB, s.Walked.Seams = w.TimesA, w.TimesB, w.Seams
				s.AMM, s.BMM = s.sides(l.meanMM(kept))
				l.Seams[i] = s.Walked
			}
		}
		if w.coveredMM != 0 {
			l.note("%s", w.tellCovered())
		}
	}
}

// tellCovered says by how much the one side of a seam stays longer than the other, and of
// edges that are in it more than once on how many that is.
func (w equation) tellCovered() string {
	long, short, times := side(w.A), side(w.B), w.TimesA
	if w.coveredMM < 0 {
		long, short, times = short, long, w.TimesB
	}
	off := math.Abs(w.coveredMM)
	counted, of := "", "so much of it"
	if n := slices.Max(times); n > 1 {
		counted = fmt.Sprintf(" on all %d together", n)
		if n == 2 {
			counted = " on both sides together"
		}
		if slices.Min(times) == n {
			of = mm(off/float64(n)) + " of each"
		}
	}
	return fmt.Sprintf("%s is %s longer than %s%s: %s is sewn to what the garment has there, such as a facing", long, mm(off), short, counted, of)
}

// drafts draws the blocks, and proves that pieces can be made of them.
func (l *Lining) drafts(blocks []*block) error {
	l.Drafts, l.Pieces = nil, nil
	for _, b := range blocks {
		d := b.draft()
		p, err := piece.Make(d)
		if err != nil {
			var bad *piece.Error
			if errors.As(err, &bad) {
				facing := ""
				if slices.ContainsFunc(b.edges, func(e edge) bool { return e.Name == facingEdge }) {
					facing = "draw the ends of its facing onto its own edges, "
				}
				return fmt.Errorf("%s: the lining of %q cannot be drawn: %s; %sgive less ease, hem-up or pleat, or write lining: no on the piece", b.p.File, b.p.Name, bad.Problem, facing)
			}
			return err
		}
		allowance.TrueDarts(p)
		l.Drafts, l.Pieces = append(l.Drafts, d), append(l.Pieces, p)
	}
	return nil
}

func (l *Lining) note(format string, args ...any) {
	l.Notes = append(l.Notes, fmt.Sprintf(format, args...))
}

// tell notes what was done to a block that a maker would not expect.
func (l *Lining) tell(b *block, o Options) {
	if o.HemUpMM > 0 && !slices.ContainsFunc(b.edges, func(e edge) bool { return e.role == hem }) {
		why := "no edge is named hem"
		if slices.ContainsFunc(b.edges, func(e edge) bool { return hasWord(e.Name, "hem") }) {
			why = "its hem is sewn to another piece"
		}
		l.note("%s: %s, so its length stays", b.p.Name, why)
	}
	if b.pleatMM > 0 {
		l.note("%s: a pleat at the centre back, %s deep; the whole back is %s wider for it; fold it along the notches and sew it down for a little at either end", b.p.Name, mm(b.pleatMM), mm(2*b.pleatMM))
	}
	for _, n := range b.notes {
		l.note("%s: %s", b.p.Name, n)
	}
	if len(b.darts)+len(b.fishEyes) > 0 {
		l.note("%s: fold its darts and press them as pleats, sewn only where they open; that leaves the lining room", b.p.Name)
	}
}

// mm is a length as messages have it, to a tenth.
func mm(x float64) string { return fmt.Sprintf("%.4g mm", math.Round(x*10)/10) }

func names(pieces []*piece.Piece) string {
	var out []string
	for _, p := range pieces {
		out = append(out, p.Name)
	}
	return strings.Join(out, ", ")
}
