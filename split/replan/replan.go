// Package replan goes on from a plan once the shears have been at work: some parts
// are cut and stay where they are, some are spoilt and their cloth is gone, and
// the others may be planned anew.
//
// Start takes up an option of a plan document, with the pattern and the scraps it
// was made for; it refuses others. Mark says what became of parts. Plans then
// gives plans for the whole garment: each has the cut parts as they were, to the
// last digit, and is carried out by package split as any plan is.
//
// # How
//
// The document says of each seam how it was made, so the old plan can be made
// again (split.Again). A cut whose line no longer matters, for nothing on either
// side of it is cut, is forgotten. What then hangs together and is not cut is a
// rest: a copy that is whole, or what a cut left of one. Rests are searched for as
// pieces are (split/search), on the cloth that is free: the scraps less what is
// cut and what is spoilt, with the gap round it (split/remnant). What is found
// for a rest takes its place in the old tree of cuts. So a rest may be split anew,
// and its seam to what is cut stays.
//
// This is done in stages. First only what is spoilt is planned, and all the rest lies
// where it lay; then ever more is freed: what shares a scrap with it, what lies on cloth
// that it might be cut from, and last all that is not cut. Of plans with as many seams
// the one that moves the fewest parts is preferred.
//
// Begin takes up a plan that is begun by hand in the same way: parts that she has laid
// stay as if they were cut, and so does every line that she has drawn.
package replan

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/plan"
	"eke/split/remnant"
	"eke/split/wish"

	"github.com/paulmach/orb"
)

// State is a plan that is gone on from.
type State struct {
	old    *plan.Document
	at     int // of its options, the one that is gone on from
	option *plan.Option

	all     []*piece.Piece // every copy of the pattern
	ready   []*piece.Piece
	drawn   []*piece.Piece // those that the option cuts, as drawn
	scraps  []*piece.Scrap // those that were saved too
	pile    []string       // the names of those that were not
	made    *split.Made    // the option, made again
	cut     map[string]bool
	gone    map[string]bool // parts that were spoilt now
	spoilt  []plan.Part     // now and before
	begun   bool            // by hand: what lies on cloth is not cut yet, and every line stays
	settled bool
}

// Start takes up option k of a plan of those pieces and scraps. It is an error
// where they are others than the plan was made for; it says what differs. The pile may
// have grown since.
func Start(old *plan.Document, k int, pieces []*piece.Piece, cloth []piece.Scrap) (*State, error) {
	s := &State{old: old, at: k, option: &old.Options[k], cut: map[string]bool{}, gone: map[string]bool{}}
	const instead = "cut it as it is, or plan the pieces that are left with --cut PIECES and without --after"
	switch {
	case s.option.StripeMatch != nil:
		return nil, errors.New("in that plan the stripes of the cloth are matched, and eke cannot yet match what is planned anew: " + instead)
	case s.option.Blocks != nil:
		return nil, errors.New("that plan is in blocks, from which eke cannot yet go on: " + instead)
	}
	readyAsBefore(old, pieces)
	s.all = split.Copies(pieces)
	if said := otherPieces(old, s.all); said != "" {
		return nil, fmt.Errorf("the pattern is not the one that the plan was made for: %s", said)
	}
	mine := itsPile(old, cloth)
	s.pile = namesOf(mine)
	s.scraps = asBefore(old, append(split.ScrapCopies(mine), savedBefore(old)...))
	if said := otherScraps(old, s.scraps); said != "" {
		return nil, fmt.Errorf("the scraps are not those that the plan was made for: %s", said)
	}
	var extras []*piece.Piece
	for i, p := range s.all {
		switch {
		case p.Ready:
			s.ready = append(s.ready, p)
		case p.Optional && !s.option.Cuts(&old.Pieces[i]):
		case p.Optional:
			extras = append(extras, p)
		default:
			s.drawn = append(s.drawn, p)
		}
	}
	s.drawn = append(s.drawn, extras...)
	if err := s.again(); err != nil {
		return nil, fmt.Errorf("the plan cannot be made again: %w; plan anew, with --cut PIECES for pieces that are cut", err)
	}
	for _, p := range s.option.Parts {
		if p.IsCut {
			s.cut[p.Name] = true
		}
	}
	s.spoilt = slices.Clone(s.option.Spoilt)
	return s, nil
}

// Begin takes up a plan that is begun by hand: one option without an end. Parts that
// lie on cloth stay where they lie, and every line that is drawn and every seam that
// is moved stays too; parts that have no scrap are planned. The record is of that
// plan alone.
func Begin(r split.Record) *State {
	m := r.Plans[0]
	s := &State{made: m, drawn: r.Drawn, ready: r.Ready, scraps: r.Scraps, cut: map[string]bool{}, gone: map[string]bool{}, begun: true}
	first := 0
	for _, t := range m.Plan.Trees {
		for k, cut := range t.Cuts() {
			seam := &m.Seams[first+k]
			cut.Was = &split.Was{Name: seam.Name, Notches: seam.Notches}
		}
		first += t.Seams()
	}
	for i := range m.Parts {
		p := &m.Parts[i]
		p.Leaf.Was = &split.Was{Name: p.Name, Placement: p.Leaf.Placement.Matrix()}
		if p.Leaf.Scrap < len(r.Scraps) {
			s.cut[p.Name] = true
		} else {
			s.gone[p.Name] = true
		}
	}
	s.old = r.Document()
	s.option = &s.old.Options[0]
	return s
}

// again makes the old plan once more, and holds it against what was written.
func (s *State) again() error {
	p, err := split.Again(s.option, s.drawn, s.scraps)
	if err != nil {
		return err
	}
	if s.made, err = split.Make(p, s.old.AllowanceMM); err != nil {
		return err
	}
	r := s.record(s.made, s.drawn)
	now := r.Document()
	parts := now.Options[0].Parts
	if len(parts) != len(s.option.Parts) {
		return fmt.Errorf("it has %d parts now and had %d", len(parts), len(s.option.Parts))
	}
	for i := range s.option.Parts {
		was := &s.option.Parts[i]
		k := slices.IndexFunc(parts, func(p plan.Part) bool { return p.Name == was.Name })
		if k < 0 {
			return fmt.Errorf("it has no part %s now", was.Name)
		}
		if said := split.SameCut(was, &parts[k]); said != "" {
			return fmt.Errorf("of part %s something would change: %s", was.Name, said)
		}
	}
	if !alike(s.option.Carried, now.Options[0].Carried) {
		return errors.New("its carried line would be another")
	}
	if !alike(s.option.Stripes, now.Options[0].Stripes) {
		return errors.New("its stripes would be others")
	}
	return nil
}

// After is the plan that is gone on from, and which of its options; nil for one that
// is begun by hand.
func (s *State) After() (old *plan.Document, k int) {
	if s.begun {
		return nil, 0
	}
	return s.old, s.at
}

// WhyNot says what of the parts that are cut a wish has to do with; empty for nothing
// that is known.
func (s *State) WhyNot(w wish.Wish) string {
	var pieces []string
	asks := ""
	switch w := w.(type) {
	case wish.Alike:
		pieces, asks = []string{w.Piece}, "all copies of "+w.Piece+" have to be from one look and split alike"
	case wish.Like:
		pieces = []string{w.Piece, w.Other}
		asks = w.Piece + " and " + w.Other + " have to be from one look"
	}
	var cut []string
	for _, p := range s.option.Parts {
		if s.cut[p.Name] && !s.begun && slices.ContainsFunc(pieces, func(n string) bool { return strings.EqualFold(n, p.Piece) }) {
			cut = append(cut, p.Name)
		}
	}
	if len(cut) == 0 {
		return ""
	}
	is := "is"
	if len(cut) > 1 {
		is = "are"
	}
	return fmt.Sprintf("%s %s cut already, and %s", plan.And(cut), is, asks)
}

// Scraps are every copy of every scrap, what was saved too, as the plans have them.
func (s *State) Scraps() []*piece.Scrap { return s.scraps }

// Cloth is Scraps for rules and notes.
func (s *State) Cloth() (out []piece.Scrap) {
	for _, c := range s.scraps {
		out = append(out, *c)
	}
	return out
}

// WithCloth is the same with more cloth at hand.
func (s *State) WithCloth(more []piece.Scrap) *State {
	c := *s
	c.scraps = append(slices.Clone(s.scraps), split.ScrapCopies(more)...)
	c.pile = append(slices.Clone(s.pile), namesOf(more)...)
	return &c
}

// Pile is the names of the scraps at hand, but for what was saved of spoilt parts.
func (s *State) Pile() []string { return s.pile }

func namesOf(cloth []piece.Scrap) (out []string) {
	for _, c := range cloth {
		out = append(out, c.Name)
	}
	return out
}

// record is a record of one plan.
func (s *State) record(m *split.Made, drawn []*piece.Piece) split.Record {
	r := split.Record{Settings: s.old.Settings, Drawn: drawn, Ready: s.ready, Scraps: s.scraps, Plans: []*split.Made{m}, Spoilt: s.spoilt}
	for _, p := range s.option.Parts {
		if s.cut[p.Name] && !s.begun {
			r.Cut = append(r.Cut, p.Name)
		}
	}
	return r
}

// readyAsBefore makes those pieces ready that were when the plan was made, by a
// flag perhaps.
func readyAsBefore(old *plan.Document, pieces []*piece.Piece) {
	for _, p := range pieces {
		if slices.ContainsFunc(old.Pieces, func(q plan.Piece) bool { return q.Name == p.Name && q.Ready }) {
			p.Ready = true
		}
	}
}

// savedBefore are the scraps that no file has: what was saved of spoilt parts.
func savedBefore(old *plan.Document) (out []*piece.Scrap) {
	for i := range old.Scraps {
		if s := old.Scraps[i]; s.SavedOf != "" {
			cloth := (&remnant.Bit{Scrap: s, Count: 1}).Cloth()
			out = append(out, &cloth)
		}
	}
	return out
}

// Saved is a rectangle of cloth that is left of a spoilt part.
type Saved struct {
	Part              string
	WidthMM, LengthMM float64 // across the grain and along it
}

// Mark says what became of parts: cut, or spoilt, and what was saved of those.
// Each is known by its name.
func (s *State) Mark(cut, spoilt []string, saved []Saved) error {
	for _, name := range cut {
		p, err := s.part("--cut", name)
		if err != nil {
			return err
		}
		s.cut[p.Name] = true
	}
	for _, name := range spoilt {
		p, err := s.part("--spoilt", name)
		if err != nil {
			return err
		}
		if slices.ContainsFunc(cut, func(c string) bool { return strings.EqualFold(strings.TrimSpace(c), p.Name) }) {
			return fmt.Errorf("%s is said to be cut and to be spoilt; name it in --cut if it can be used, or else in --spoilt", p.Name)
		}
		if s.gone[p.Name] {
			continue
		}
		delete(s.cut, p.Name)
		s.gone[p.Name] = true
		was := *p
		was.IsCut = false
		s.spoilt = append(s.spoilt, was)
	}
	for _, rest := range saved {
		p, err := s.part("--saved", rest.Part)
		if err != nil {
			return err
		}
		if !s.gone[p.Name] {
			return fmt.Errorf("--saved %s: that part is not said to be spoilt; name it in --spoilt too", p.Name)
		}
		if err := s.save(p, rest); err != nil {
			return err
		}
	}
	return nil
}

// part is the part of the old plan with a name.
func (s *State) part(flag, name string) (*plan.Part, error) {
	var known []string
	for i := range s.option.Parts {
		p := &s.option.Parts[i]
		if strings.EqualFold(p.Name, strings.TrimSpace(name)) {
			return p, nil
		}
		known = append(known, p.Name)
	}
	return nil, fmt.Errorf("%s %s: the plan has no such part; it has %s", flag, strings.TrimSpace(name), strings.Join(known, ", "))
}

// save makes a scrap of what is left of a spoilt part. It is as large as it is
// now; where its cloth is still to be washed it will be smaller.
func (s *State) save(p *plan.Part, rest Saved) error {
	at := slices.IndexFunc(s.scraps, func(c *piece.Scrap) bool { return c.Name == p.Scrap && max(1, c.Copy) == p.ScrapCopy })
	from := s.scraps[at]
	out := *from
	out.Name, out.SavedOf, out.Count, out.Copy, out.Holes, out.GrainDeg, out.Look = s.freeName(p.Name), p.Name, 1, 1, nil, 90, from.TheLook()
	out.Stripe = piece.Stripe{} // where on it they run is not known
	w, l := rest.WidthMM, rest.LengthMM
	out.Outline = orb.Ring{{0, 0}, {w, 0}, {w, l}, {0, l}}
	out = out.Washed()
	if !holds(p, from, &out) {
		return fmt.Errorf("--saved %s: a rectangle of %.0f x %.0f mm (across the grain x along it) does not lie within the part, and only what lies within it was lost", p.Name, w, l)
	}
	s.scraps = append(s.scraps, &out)
	return nil
}

// freeName is a name for what was saved of a part, unlike any scrap's.
func (s *State) freeName(part string) string {
	name := "saved of " + part
	for n := 2; slices.ContainsFunc(s.scraps, func(c *piece.Scrap) bool { return strings.EqualFold(c.Name, name) }); n++ {
		name = fmt.Sprintf("saved of %s, %d", part, n)
	}
	return name
}

// holds reports whether the cutting line of a part holds a rectangle that lies
// along the grain of the scrap.
func holds(p *plan.Part, scrap, rectangle *piece.Scrap) bool {
	ring := make(orb.Ring, len(p.CutLine))
	m := p.Placement
	for i, q := range p.CutLine {
		ring[i] = orb.Point{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	}
	if plane.SignedArea(ring) < 0 {
		slices.Reverse(ring)
	}
	return placeable(ring, scrap.GrainDeg, rectangle.Outline)
}
