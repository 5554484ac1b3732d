package check

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/split/plan"

	"github.com/peterstace/simplefeatures/geom"
)

// AtLeast proves that no plan has fewer added seams than the document says, and
// gives what it cannot prove; nothing where the document says no such thing. Each
// copy or part that is said to lie nowhere is looked for everywhere. Then all ways
// to share out fewer seams among the copies are gone through, and each must be a
// case in which some copies find no places.
//
// What it holds against a plan is less than what a plan must keep, so it leaves no
// plan out: of a copy that is cut twice, one side of the first line is a part, and the
// second cuts what is certain of the other; parts of copies that are all cut share a
// scrap where its area is enough, and that which discs reach, at some levels of their
// lines; and no wish counts.
// It proves nothing of parts already cut, nor of lines that are carried, stripes and
// blocks. A copy with darts needs no cloth once it is cut, for a dart taken in changes
// its parts. Where seams may be moved, ranges of how far must together be all, and in
// each only what every copy has for certain counts.
//
// It may take some seconds, and says so where ctx ends first.
func AtLeast(ctx context.Context, d *plan.Document) []Fault {
	if d.AtLeast == nil {
		return nil
	}
	c := shared(d)
	return append(c.faults, c.atLeast(ctx)...)
}

// atLeast says nothing where there is a fault in what all options share.
func (c *common) atLeast(ctx context.Context) []Fault {
	if c.doc.AtLeast == nil || len(c.faults) > 0 {
		return nil
	}
	return c.leastProof().faults(ctx)
}

func (p *leastProof) faults(ctx context.Context) []Fault {
	if err := p.prove(ctx, p.doc.AtLeast); err != nil {
		return []Fault{{Rule: Fewest, Option: AllOptions, Detail: err.Error()}}
	}
	return nil
}

func (c *common) leastProof() *leastProof {
	return &leastProof{common: c, known: map[cannot]bool{}, placed: map[placedOf][]*lying{}, crowdsKnown: map[string]bool{}, bodies: map[bodyOn]*cloud{}, discs: map[clothDiscs]float64{}, reach: map[id]point{}, grounds: map[id]*ground{}, cloth: map[id]float64{}, room: map[id]float64{}}
}

// AtLeastProof proves at_least of a document while it is being made: first bit by bit
// what lies nowhere, then all of it.
type AtLeastProof struct{ proof *leastProof }

// NewAtLeastProof is about a document's pieces and scraps, and seams of some kinds.
func NewAtLeastProof(d *plan.Document, kinds []string) (*AtLeastProof, error) {
	c := shared(d)
	if len(c.faults) > 0 {
		return nil, c.faults[0]
	}
	p := c.leastProof()
	return &AtLeastProof{p}, p.prepare(kinds)
}

// Nowhere reports whether something is proved to lie nowhere, as is said, where seams
// are moved within some ranges.
func (a *AtLeastProof) Nowhere(ctx context.Context, ranges []plan.MoveRange, f *plan.Cannot) bool {
	return a.proof.within(ranges) == nil && a.proof.nowhere(ctx, f) == nil
}

// Crowded reports whether it is proved that some parts do not all lie on a scrap, where
// seams are moved within some ranges.
func (a *AtLeastProof) Crowded(ctx context.Context, ranges []plan.MoveRange, f *plan.Crowd) bool {
	return a.proof.within(ranges) == nil && a.proof.crowded(ctx, f) == nil
}

// Faults is what AtLeast gives. What was proved already is not proved again.
func (a *AtLeastProof) Faults(ctx context.Context) []Fault { return a.proof.faults(ctx) }

// leastProof is what is proved so far.
type leastProof struct {
	*common
	*plan.AtLeast
	kinds       []string // of seam that count
	joints      []joint  // seams that may be moved
	copies      []id     // that every plan cuts
	scrapAt     []id
	clouds      map[id]*cloud     // what is certain of each copy within the ranges that are looked at; nil where nothing is
	body        map[id]string     // which of all that may be
	bodies      map[bodyOn]*cloud // all that were
	grounds     map[id]*ground
	cloth       map[id]float64           // the area of each scrap
	room        map[id]float64           // with half the gap round it
	discs       map[clothDiscs]float64   // as far as discs reach
	reach       map[id]point             // of each scrap, across its grain and along
	turnSin     float64                  // the sine of the grain's tolerance
	whole       map[pair]bool            // a copy that does not lie on a scrap
	beside      map[trio]bool            // nor beside another
	ends        map[sideOn][2]float64    // up to which level something lies beyond a line on a scrap, and from which it lies before
	firsts      map[sideOf][]float64     // levels of first cuts of which something is known; of copies it is not said which
	besides     map[sideLevels][]float64 // levels of parts beside which something is known
	areas       int                      // that were measured
	known       map[cannot]bool          // what is proved to lie nowhere
	crowds      []crowd                  // what does not lie on a scrap together
	placed      map[placedOf][]*lying    // what is proved to lie nowhere by itself
	crowdsKnown map[string]bool          // all that are proved
}

// bodyOn is what is certain of a copy, by its key.
type bodyOn struct {
	at  id
	key string
}

// cannot is a plan.Cannot that can be compared.
type cannot struct {
	plan.Cannot
	cut, first, besideCut plan.CutSide
	beside                plan.CopyOf
	body, besideBody      string
}

func (p *leastProof) keyOf(f *plan.Cannot) cannot {
	c := cannot{Cannot: *f, body: p.body[id{f.Piece, f.Copy}]}
	if f.Cut != nil {
		c.cut = *f.Cut
	}
	if f.First != nil {
		c.first = *f.First
	}
	if f.Beside != nil {
		c.beside, c.besideBody = *f.Beside, p.body[id{f.Beside.Piece, f.Beside.Copy}]
	}
	if f.BesideCut != nil {
		c.besideCut = *f.BesideCut
	}
	c.Cut, c.First, c.Beside, c.BesideCut = nil, nil, nil, nil
	return c
}

type pair struct{ copy, scrap id }

type trio struct{ copy, scrap, beside id }

// sideOn is the parts of a copy that some lines make, on a scrap; beside another
// copy, or beside none. First is what was left of the copy by the first of two cuts.
type sideOn struct {
	trio
	lines lines
	first sideOf
	// Of the copy beside it only this part lies there; all of it where there is none.
	besideCut sideOf
}

// sideLevels is the parts of a copy on one side of some lines.
type sideLevels struct {
	copy   id
	lines  lines
	before bool
}

func (p *leastProof) prove(ctx context.Context, said *plan.AtLeast) error {
	p.AtLeast = said
	if err := p.scope(); err != nil {
		return err
	}
	if len(p.joints) == 0 {
		if len(said.Moved) > 0 {
			return fmt.Errorf("ranges are told of seams that may be moved, and none may")
		}
		return p.proveWithin(ctx, &plan.Moved{Cannot: said.Cannot, Crowds: said.Crowds, Cases: said.Cases})
	}
	if len(said.Moved) == 0 {
		return fmt.Errorf("the seam at %s of piece %s may be moved", p.joints[0].sides[0].edge, p.joints[0].sides[0].piece)
	}
	if len(said.Cannot)+len(said.Crowds)+len(said.Cases) > 0 {
		return fmt.Errorf("what cannot be is told without how far seams are moved")
	}
	if err := p.allMoves(said.Moved); err != nil {
		return err
	}
	for i := range said.Moved {
		if err := p.proveWithin(ctx, &said.Moved[i]); err != nil {
			return fmt.Errorf("ranges %d of how far seams are moved: %w", i+1, err)
		}
	}
	return nil
}

// proveWithin proves it where seams are moved within some ranges.
func (p *leastProof) proveWithin(ctx context.Context, said *plan.Moved) error {
	facts, cases := said.Cannot, said.Cases
	p.whole, p.beside, p.ends, p.firsts, p.besides = map[pair]bool{}, map[trio]bool{}, map[sideOn][2]float64{}, map[sideOf][]float64{}, map[sideLevels][]float64{}
	p.crowds = nil
	if err := p.within(said.Ranges); err != nil {
		return err
	}
	for i := range cases {
		if err := p.sound(cases[i].Copies); err != nil {
			return fmt.Errorf("case %d: %w", i+1, err)
		}
	}
	if err := p.complete(cases); err != nil {
		return err
	}
	for i := range facts {
		f := &facts[i]
		if err := p.nowhere(ctx, f); err != nil {
			return fmt.Errorf("that %s cannot lie on %s: %w", told(f), id{f.Scrap, f.ScrapCopy}, err)
		}
		p.learn(f)
	}
	for i := range said.Crowds {
		f := &said.Crowds[i]
		if err := p.crowded(ctx, f); err != nil {
			return fmt.Errorf("that %s cannot lie on %s together: %w", toldTogether(f), id{f.Scrap, f.ScrapCopy}, err)
		}
		c, _ := crowdOf(f)
		p.crowds = append(p.crowds, c)
	}
	for i := range cases {
		if err := p.noPlaces(ctx, cases[i].Copies); err != nil {
			return fmt.Errorf("case %d: %w", i+1, err)
		}
	}
	return nil
}

// told is what lies nowhere.
func told(f *plan.Cannot) string {
	what := id{f.Piece, f.Copy}.String()
	for _, c := range []*plan.CutSide{f.First, f.Cut} {
		if c != nil {
			what += fmt.Sprintf(", cut by a %s, %s %.1f,", c.Way, c.Side, c.LevelMM)
		}
	}
	return what
}

// scope finds the copies, and refuses what nothing is proved of.
func (p *leastProof) scope() error {
	d := p.doc
	const most = 3
	if p.Seams < 1 || p.Seams > most {
		return fmt.Errorf("at least %d seams are said to be needed, and this is about 1 to %d", p.Seams, most)
	}
	fewest := math.MaxInt
	for i := range d.Options {
		o := &d.Options[i]
		fewest = min(fewest, o.Seams)
		if len(o.Carried) > 0 || o.Stripes != nil || o.Blocks != nil || o.StripeMatch != nil {
			return fmt.Errorf("option %d has carried lines, stripes or blocks", i+1)
		}
		if len(o.Spoilt) > 0 || slices.ContainsFunc(o.Parts, func(q plan.Part) bool { return q.IsCut }) {
			return fmt.Errorf("option %d has parts that are cut already", i+1)
		}
	}
	if d.After != "" {
		return fmt.Errorf("it goes on from %s", d.After)
	}
	if fewest < p.Seams {
		return fmt.Errorf("at least %d seams are said to be needed, and an option has %d", p.Seams, fewest)
	}
	if d.Fewest && fewest > p.Seams {
		return fmt.Errorf("%d seams are said to be the fewest possible, and it is told why at least %d are needed", fewest, p.Seams)
	}
	if err := p.kindsOfSeam(); err != nil {
		return err
	}
	return p.prepare(p.Kinds)
}

// prepare makes ready what is the same whatever is said, once for some kinds of seam.
func (p *leastProof) prepare(kinds []string) error {
	if len(p.copies) > 0 && slices.Equal(p.kinds, kinds) {
		return nil
	}
	p.kinds, p.copies, p.scrapAt = kinds, nil, nil
	for _, at := range p.order {
		if q := p.pieces[at]; !q.Optional && !q.Ready {
			p.copies = append(p.copies, at)
		}
	}
	const roundDeg = 0.002
	p.turnSin = math.Sin((p.doc.GrainToleranceDeg + roundDeg) * math.Pi / 180)
	var err error
	if p.joints, err = p.findJoints(kinds); err != nil {
		return err
	}
	for i := range p.doc.Scraps {
		at := id{p.doc.Scraps[i].Name, p.doc.Scraps[i].Copy}
		p.scrapAt = append(p.scrapAt, at)
		along := direction(p.scraps[at].GrainDeg)
		lo, hi := reachOf(p.scraps[at].Outline, point{along[1], -along[0]}, along)
		p.reach[at] = sub(hi, lo)
		if len(p.scraps[at].Outline) > mostLine {
			return fmt.Errorf("scrap %s has too many points", at)
		}
		if p.cloth[at], p.room[at], err = p.scraps[at].areaMM2(p.doc.GapMM / 2); err != nil {
			return fmt.Errorf("scrap %s: %w", at, err)
		}
	}
	return nil
}

// within makes ready what is certain of each copy where seams are moved within some
// ranges.
func (p *leastProof) within(ranges []plan.MoveRange) error {
	moves, broken, err := p.movesWithin(ranges)
	if err != nil {
		return err
	}
	p.clouds, p.body = map[id]*cloud{}, map[id]string{}
	for _, at := range p.copies {
		p.body[at] = p.bodyKey(at, moves, broken)
		known := bodyOn{at, p.body[at]}
		c, ok := p.bodies[known]
		if !ok && !broken[at.name] {
			body, err := p.bodyOf(at, moves)
			if err != nil {
				return err
			}
			if body != nil {
				if c, err = cloudOf(p.pieces[at], body, p.doc.AllowanceMM, p.doc.GapMM); err != nil {
					return err
				}
			}
		}
		p.bodies[known] = c
		if c != nil {
			p.clouds[at] = c
		}
	}
	return nil
}

// kindsOfSeam refuses kinds that are not known.
func (p *leastProof) kindsOfSeam() error {
	known := map[string]bool{"yoke": true, "panel": true, "centre": true, "corner": true, "curved yoke": true}
	for _, at := range p.order {
		for _, e := range p.pieces[at].edges {
			known[strings.ToLower(e.Name)] = true
		}
	}
	for _, k := range p.Kinds {
		if !known[strings.ToLower(k)] {
			return fmt.Errorf("there is no kind of seam %q", k)
		}
	}
	return nil
}

// nowhere proves that a copy or a part lies nowhere on a scrap.
func (p *leastProof) nowhere(ctx context.Context, f *plan.Cannot) error {
	if p.known[p.keyOf(f)] {
		return nil
	}
	at, on := id{f.Piece, f.Copy}, id{f.Scrap, f.ScrapCopy}
	c := p.clouds[at]
	if c == nil || p.scraps[on] == nil {
		return fmt.Errorf("there is no such piece to cut, or no such scrap")
	}
	l := c.lyingWhole(at)
	if f.Cut != nil {
		q, err := partSaid(f.Cut, f.First)
		if err != nil {
			return err
		}
		if l, err = c.lyingPart(at, q); err != nil {
			return err
		}
	} else if f.First != nil {
		return fmt.Errorf("a first cut is told, and no other")
	}
	beside, err := p.neighbourOf(f)
	if err != nil {
		return err
	}
	const sameArea = 0.02
	switch f.By {
	case "area":
		has, needs := p.cloth[on], 0.0
		for _, one := range []*lying{l, beside} {
			if one == nil {
				continue
			}
			mm2, err := one.needsMM2()
			if err != nil {
				return err
			}
			needs += mm2
		}
		if needs <= has+1 {
			return fmt.Errorf("it needs %.0f mm² for certain, and the scrap has %.0f", needs, has)
		}
		if math.Abs(f.HasMM2-has) > sameArea*has || math.Abs(f.NeedsMM2-needs) > sameArea*needs || f.NeedsMM2 <= f.HasMM2 {
			return fmt.Errorf("its area is given as %.0f of %.0f mm², and is %.0f of %.0f", f.NeedsMM2, f.HasMM2, needs, has)
		}
	case "placing":
		if f.OffMM < leewayMM {
			return fmt.Errorf("that it is off by %g mm says nothing: a plan may be off by %g", f.OffMM, leewayMM)
		}
		if !p.allowed(at, on) || beside != nil && !p.allowed(beside.at, on) {
			break
		}
		if !p.placedNowhere(ctx, l, on, f.OffMM, beside) {
			if ctx.Err() != nil {
				return fmt.Errorf("there was no time to prove it")
			}
			return fmt.Errorf("no proof was found that it is off by %g mm everywhere", f.OffMM)
		}
	default:
		return fmt.Errorf("there is no proof by %q", f.By)
	}
	p.known[p.keyOf(f)] = true
	return nil
}

// areaMM2 is that of the cloth, and with some mm round it. Holes may lie over one another
// or over the rim.
func (s *scrapProof) areaMM2(roundMM float64) (mm2, room float64, err error) {
	left := s.outline.geom
	for i := range s.holes {
		if left, err = geom.Difference(left, s.holes[i].geom); err != nil {
			return 0, 0, err
		}
	}
	const clear = 1.02 // for the chords of round corners
	round, err := geom.Buffer(left, clear*roundMM, geom.BufferQuadSegments(8))
	return left.Area(), round.Area(), err
}

func (c *cloud) dartsIn() bool { return len(c.piece.Darts)+len(c.piece.FishEyes) > 0 }

// allowed reports whether a copy may be cut from a scrap, whatever its shape.
func (p *leastProof) allowed(at, on id) bool {
	c, s := p.pieces[at], p.scraps[on]
	return s.allows(c.Fabric) && (s.Use == "" || s.Use == c.Use) && (c.Kind == "" || s.Kind == "" || c.Kind == s.Kind)
}

// lying is a copy or a part of it that is to lie somewhere.
type lying struct {
	at      id
	cloud   *cloud
	part    part // none of the whole
	piece   *pieceProof
	points  []point
	rings   [][]point // its outline, simplified
	allowMM float64
}

// needsMM2 is how much cloth it needs, its allowance and all.
func (l *lying) needsMM2() (float64, error) {
	if l.part == (part{}) {
		return l.cloud.wholeMM2, nil
	}
	return l.cloud.areaMM2(l.part)
}

// neighbourOf is what lies beside what is said to lie nowhere, or nil.
func (p *leastProof) neighbourOf(f *plan.Cannot) (*lying, error) {
	if f.Beside == nil {
		if f.BesideCut != nil {
			return nil, fmt.Errorf("it is not said of which piece the part beside it is")
		}
		return nil, nil
	}
	at := id{f.Beside.Piece, f.Beside.Copy}
	c := p.clouds[at]
	if c == nil || f.BesideCut == nil && at == (id{f.Piece, f.Copy}) {
		return nil, fmt.Errorf("there is no piece %s to lie beside", at)
	}
	if f.BesideCut == nil {
		return c.lyingWhole(at), nil
	}
	if f.Cut == nil {
		return nil, fmt.Errorf("a whole piece is said to lie beside a part, which is told of the part beside the piece")
	}
	side, err := sideSaid(f.BesideCut)
	if err != nil {
		return nil, err
	}
	return c.lyingPart(at, part{cut: side})
}

func (c *cloud) lyingWhole(at id) *lying {
	return &lying{at: at, cloud: c, piece: c.piece, points: c.whole, rings: [][]point{c.ring}, allowMM: c.wholeFrom}
}

func (c *cloud) lyingPart(at id, q part) (*lying, error) {
	if c.dartsIn() {
		return nil, fmt.Errorf("the piece has darts, which a cut may take in")
	}
	l := &lying{at: at, cloud: c, part: q, piece: c.piece, points: c.points(q), allowMM: c.allowMM}
	var err error
	l.rings, err = c.rings(q)
	return l, err
}

// placedNowhere searches all poses.
func (p *leastProof) placedNowhere(ctx context.Context, one *lying, on id, offMM float64, beside *lying) bool {
	if beside != nil {
		return p.togetherNowhere(ctx, []*lying{beside, one}, on, offMM)
	}
	if len(one.points) == 0 {
		return false
	}
	// What a first cut leaves is often the same for all that the second is made of.
	of := placedOf{one.at, on, offMM, one.allowMM, len(one.points)}
	for _, o := range p.placed[of] {
		if slices.Equal(o.points, one.points) && slices.EqualFunc(o.rings, one.rings, slices.Equal) {
			return true
		}
	}
	steps := enoughSteps
	q := p.placingOf(one, on, offMM, &steps)
	if !q.nowhere(ctx, p.roots(q, one.piece, p.scraps[on])) {
		return false
	}
	p.placed[of] = append(p.placed[of], one)
	return true
}

// placedOf tells apart most of what is proved to lie nowhere by itself.
type placedOf struct {
	at, on         id
	offMM, allowMM float64
	points         int
}

// enoughSteps is how often it is looked at a point, about a second.
const enoughSteps = 5_000_000

func (p *leastProof) placingOf(l *lying, on id, offMM float64, steps *int) *placing {
	g := p.grounds[on]
	if g == nil {
		g = groundOf(p.scraps[on])
		p.grounds[on] = g
	}
	return &placing{part: following(discsWithin(l.rings), l.points), deepMM: l.allowMM - offMM, cloth: g, steps: steps}
}

// togetherNowhere searches all poses of some parts on a scrap, of more than two those of the
// largest first.
func (p *leastProof) togetherNowhere(ctx context.Context, all []*lying, on id, offMM float64) bool {
	steps := enoughSteps
	if len(all) > 2 {
		all = slices.Clone(all)
		area := func(l *lying) (mm2 float64) {
			for _, ring := range l.rings {
				mm2 += math.Abs(signedArea(ring))
			}
			return mm2
		}
		slices.SortStableFunc(all, func(a, b *lying) int { return cmp.Compare(area(b), area(a)) })
	}
	var parts []*placing
	var roots [][]poseBox
	var rings [][][]point
	for i, l := range all {
		if len(l.points) == 0 || len(l.rings) == 0 {
			return false
		}
		q := p.placingOf(l, on, offMM, &steps)
		parts, roots = append(parts, q), append(roots, p.roots(q, l.piece, p.scraps[on]))
		if i == len(all)-1 {
			break
		}
		var seen [][]point
		for _, ring := range l.rings {
			var from []point
			for _, v := range ring {
				from = append(from, sub(v, q.part.middle))
			}
			seen = append(seen, from)
		}
		rings = append(rings, seen)
	}
	t := newGroup(parts, roots, rings, func(i, k int) float64 {
		return all[i].allowMM + all[k].allowMM + p.doc.GapMM - 2*offMM - simpleMM
	})
	return t.nowhere(ctx)
}

// roots are all poses that the grain, its tolerance and the cloth's faces allow.
func (p *leastProof) roots(q *placing, of *pieceProof, s *scrapProof) []poseBox {
	const roundDeg = 0.002
	var out []poseBox
	for _, flip := range []bool{false, true} {
		if flip && s.Face != "both" {
			continue
		}
		deg := s.GrainDeg - of.GrainDeg
		if flip {
			deg = s.GrainDeg + of.GrainDeg - 180
		}
		for _, half := range []float64{0, 180} {
			if half > 0 && s.Nap {
				continue
			}
			if b, ok := q.root(deg+half, p.doc.GrainToleranceDeg+roundDeg, flip); ok {
				out = append(out, b)
			}
		}
	}
	return out
}

// learn keeps what was proved.
func (p *leastProof) learn(f *plan.Cannot) {
	t := trio{copy: id{f.Piece, f.Copy}, scrap: id{f.Scrap, f.ScrapCopy}}
	if f.Beside != nil {
		t.beside = id{f.Beside.Piece, f.Beside.Copy}
	}
	switch {
	case f.Cut == nil && f.Beside == nil:
		p.whole[pair{t.copy, t.scrap}] = true
	case f.Cut == nil:
		p.beside[t] = true
		p.beside[trio{t.beside, t.scrap, t.copy}] = true
	default:
		q, err := partSaid(f.Cut, f.First)
		if err != nil {
			return
		}
		k := sideOn{trio: t, lines: q.cut.lines, first: q.first}
		if f.BesideCut != nil {
			if k.besideCut, err = sideSaid(f.BesideCut); err != nil {
				return
			}
			of := sideLevels{t.beside, k.besideCut.lines, k.besideCut.before}
			if !slices.Contains(p.besides[of], k.besideCut.levelMM) {
				p.besides[of] = append(p.besides[of], k.besideCut.levelMM)
			}
		}
		ends, ok := p.ends[k]
		if !ok {
			ends = [2]float64{math.Inf(-1), math.Inf(1)}
		}
		if q.cut.before {
			ends[1] = math.Min(ends[1], q.cut.levelMM)
		} else {
			ends[0] = math.Max(ends[0], q.cut.levelMM)
		}
		p.ends[k] = ends
		if f.First != nil {
			of := q.first
			of.levelMM = 0
			if !slices.Contains(p.firsts[of], q.first.levelMM) {
				p.firsts[of] = append(p.firsts[of], q.first.levelMM)
			}
		}
	}
}

// complete proves that each way to share out fewer seams is one of the cases.
func (p *leastProof) complete(cases []plan.SeamCase) error {
	const most = 2_000_000
	at := map[id]int{}
	for i, c := range p.copies {
		at[c] = i
	}
	seams, tried := make([]int, len(p.copies)), 0
	var share func(i, left int) error
	share = func(i, left int) error {
		if tried++; tried > most {
			return fmt.Errorf("there are too many pieces to go through all cases")
		}
		if i < len(seams) {
			for n := 0; n <= left; n++ {
				seams[i] = n
				if err := share(i+1, left-n); err != nil {
					return err
				}
			}
			seams[i] = 0
			return nil
		}
		for _, c := range cases {
			if !slices.ContainsFunc(c.Copies, func(s plan.SeamsOf) bool { return seams[at[id{s.Piece, s.Copy}]] != s.Seams }) {
				return nil
			}
		}
		cut := "no seam is added"
		for i, n := range seams {
			if n > 0 {
				cut += fmt.Sprintf(", but %d to %s", n, p.copies[i])
			}
		}
		return fmt.Errorf("no case is left for when %s", cut)
	}
	return share(0, p.Seams-1)
}
