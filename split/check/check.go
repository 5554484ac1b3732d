// Package check proves a plan: that the parts can be cut from the scraps as
// laid out, and that sewn together they are the pieces of the pattern.
//
// It reads nothing but the plan document, and shares no code with the search,
// the packing or the seam allowances, so that one mistake cannot both make a
// wrong plan and pass it. Regions are compared with another library's overlay
// (the JTS topology suite's OverlayNG, M. Davis, 2020, in the Go port of
// github.com/peterstace/simplefeatures); what can be settled with distances
// and clipped lines is, in plain geometry written here. Béziers are flattened
// by the bound of G. Wang, "The subdivision method for finding the
// intersection between two Bézier curves or surfaces", 1984; a cutting line is
// held against the strip beside an edge by clipping it to that strip
// (Y.-D. Liang and B. A. Barsky, "A new concept and method for line clipping",
// 1984).
//
// Option proves one option of a plan.Document, and Document all of them. Out
// come faults, and none means that the plan is proved. There is no third answer
// and no error: where a shape is broken, or the geometry library gives up, that
// is a fault too. The document is not changed. The rules are listed in fault.go;
// each says what a maker would suffer if it were broken. A line counts as wrong
// when it lies more than SlackMM from where it should; marks and lengths have
// a tolerance of their own, a chalk line's width.
//
// Millimetres; x to the right, y down; angles in degrees clockwise from +x.
package check

import (
	"context"
	"fmt"
	"math"

	"eke/split/plan"
)

// SlackMM is how far a line may lie from where it should be. Curves are
// flattened to within that where plans are made.
const SlackMM = 0.05

const (
	// hairMM is added to SlackMM where a line is measured against another
	// one: coordinates are written to a ten-thousandth of a millimetre, and
	// the curves that are measured here are themselves flattened to it.
	hairMM = 0.002
	// markMM is how far marks and lengths may be off, about the width of
	// the thinnest chalk line. (From memory.)
	markMM = 0.1
	// leastMM is the narrowest a part may be at its widest place.
	leastMM = 8
	// neckMM is the narrowest neck that still holds a part together.
	neckMM = 1
	// tellMM is how much a seam's notches must differ from their own
	// mirror image for a maker to tell.
	tellMM = 1
	// largestMM is more than any cloth measures.
	largestMM = 1e6
)

// Option proves one option of a plan, and gives all that is wrong with it.
// None means that the option is proved. k is an index into d.Options.
func Option(d *plan.Document, k int) []Fault {
	c := shared(d)
	return append(c.faults, c.option(k)...)
}

// Document proves every option of a plan, a partial plan for the pieces that it
// holds, and that no plan has fewer seams where it says why. That last proof takes as
// long as its own bounds on work let it; AtLeast ends it with a context.
func Document(d *plan.Document) []Fault {
	c := shared(d)
	faults := c.faults
	for k := range d.Options {
		faults = append(faults, c.option(k)...)
	}
	if p := d.PartialPlan(); p != nil {
		faults = append(faults, Document(p)...)
	}
	return append(faults, c.atLeast(context.Background())...)
}

// id tells copies of one name apart.
type id struct {
	name string
	copy int
}

func (i id) String() string { return fmt.Sprintf("%s %d", i.name, i.copy) }

// common is what all options share.
type common struct {
	doc    *plan.Document
	pieces map[id]*pieceProof
	order  []id // of the pieces
	scraps map[id]*scrapProof
	faults []Fault
}

type pieceProof struct {
	*plan.Piece
	id      id
	region  region
	edges   []drawnEdge
	several bool   // there are other copies
	index   *index // of the edges, once it is needed
}

// shared checks what all options share. With a fault in it no option is
// looked at: there is nothing to hold it against.
func shared(d *plan.Document) *common {
	c := &common{doc: d, pieces: map[id]*pieceProof{}, scraps: map[id]*scrapProof{}}
	fail := func(r Rule, scrap, format string, args ...any) {
		c.faults = append(c.faults, Fault{Rule: r, Option: AllOptions, Scrap: scrap, Detail: fmt.Sprintf(format, args...)})
	}
	whole := *d
	whole.Options, whole.Partial = nil, nil // each is looked at in its turn
	if at, x := notFinite(whole); at != "" {
		fail(Numbers, "", "%s is %g", at, x)
		return c
	}
	if d.GapMM < 0 || d.GrainToleranceDeg < 0 || d.GrainToleranceDeg > 90 || d.AllowanceMM < 0 {
		fail(Numbers, "", "gap %g mm, grain tolerance %g degrees, allowance %g mm", d.GapMM, d.GrainToleranceDeg, d.AllowanceMM)
	}
	if len(d.Pieces) == 0 {
		fail(Names, "", "there are no pieces")
	}
	copies, points := map[string]int{}, 0
	for i := range d.Pieces {
		p := &d.Pieces[i]
		at := id{p.Name, p.Copy}
		if c.pieces[at] != nil {
			fail(Names, "", "piece %s is listed twice", at)
		}
		copies[p.Name]++
		proof := &pieceProof{Piece: p, id: at}
		var err error
		if proof.region, err = newRegion(p.SeamLine); err != nil {
			fail(Outline, "", "piece %s: %v", at, err)
		}
		if proof.edges, err = drawn(p.Edges, &points); err != nil {
			fail(Edges, "", "piece %s: %v", at, err)
		}
		c.pieces[at] = proof
		c.order = append(c.order, at)
	}
	for _, p := range c.pieces {
		p.several = copies[p.Name] > 1
	}
	for i := range d.Scraps {
		s := &d.Scraps[i]
		at := id{s.Name, s.Copy}
		if c.scraps[at] != nil {
			fail(Names, at.String(), "the scrap is listed twice")
		}
		proof := &scrapProof{Scrap: s, id: at}
		if err := proof.read(); err != nil {
			fail(Outline, at.String(), "%v", err)
		}
		c.scraps[at] = proof
	}
	return c
}

// optionProof is one option under proof.
type optionProof struct {
	*common
	*plan.Option
	k      int
	parts  []*partProof
	of     map[id][]*partProof // the parts of each piece
	target map[id]*region      // what the parts of a piece must make up
	moved  map[id]bool
	taken  map[id][]takenDart
	eyes   map[id][]plan.TakenFishEye // darts with two points that seams took in
	left   map[id][]eye               // those that nothing was said of yet
	seams  []*seamProof
	found  []Fault
	points int  // that edges have been flattened to
	order  []id // of the pieces, without those that are optional and not cut
}

type partProof struct {
	*plan.Part
	label  string
	piece  *pieceProof
	scrap  *scrapProof
	seam   region
	cut    region
	laid   region // the cutting line on its scrap
	edges  []drawnEdge
	whole  bool // the only part of its piece
	broken bool // an outline cannot be reasoned about
}

func (o *optionProof) fail(f Fault, format string, args ...any) {
	f.Option, f.Detail = o.k, fmt.Sprintf(format, args...)
	o.found = append(o.found, f)
}

func (c *common) option(k int) []Fault {
	if len(c.faults) > 0 {
		return nil
	}
	o := &optionProof{
		common: c, Option: &c.doc.Options[k], k: k,
		of: map[id][]*partProof{}, target: map[id]*region{}, moved: map[id]bool{}, taken: map[id][]takenDart{}, eyes: map[id][]plan.TakenFishEye{}, left: map[id][]eye{},
	}
	if at, x := notFinite(*o.Option); at != "" {
		o.fail(Fault{Rule: Numbers}, "%s is %g", at, x)
		return o.found
	}
	o.readParts()
	for _, at := range c.order {
		if len(o.of[at]) > 0 || !c.pieces[at].Optional {
			o.order = append(o.order, at)
		}
	}
	o.outlines()
	o.darts()
	o.takenEyes()
	o.readSeams()
	o.leftDarts()
	o.fishEyes()
	for _, at := range o.order {
		o.tiles(at)
	}
	o.movedSeams()
	for _, p := range o.parts {
		if p.piece == nil {
			continue
		}
		if !p.broken {
			o.slivers(p)
			o.allowances(p)
		}
		o.placed(p)
	}
	o.kinds()
	o.looks()
	o.uses()
	o.gaps()
	o.spoilt()
	o.counts()
	for _, s := range o.seams {
		o.seam(s)
	}
	o.notches()
	o.carried()
	o.lookWishes()
	o.stripes()
	o.blocks()
	o.stripeMatch()
	o.adds()
	return o.found
}

// readParts finds what every part refers to and whether its outlines can be
// reasoned about.
func (o *optionProof) readParts() {
	seen := map[id]bool{}
	for i := range o.Parts {
		p := &partProof{Part: &o.Parts[i]}
		p.label = p.Name
		p.piece = o.pieces[id{p.Piece, p.Copy}]
		if p.piece != nil && p.piece.several {
			p.label = id{p.Name, p.Copy}.String()
		}
		if seen[id{p.Name, p.Copy}] {
			o.fail(Fault{Rule: Names, Part: p.label}, "the part is listed twice")
		}
		seen[id{p.Name, p.Copy}] = true
		if p.piece == nil {
			o.fail(Fault{Rule: Names, Part: p.label}, "there is no piece %s", id{p.Piece, p.Copy})
		} else {
			o.of[p.piece.id] = append(o.of[p.piece.id], p)
		}
		p.scrap = o.scraps[id{p.Scrap, p.ScrapCopy}]
		if p.scrap == nil {
			o.fail(Fault{Rule: Names, Part: p.label, Scrap: id{p.Scrap, p.ScrapCopy}.String()}, "there is no such scrap")
		}
		var err error
		if p.seam, err = newRegion(p.SeamLine); err != nil {
			p.broken = true
			o.fail(Fault{Rule: Outline, Part: p.label}, "seam line: %v", err)
		}
		if p.cut, err = newRegion(p.CutLine); err != nil {
			p.broken = true
			o.fail(Fault{Rule: Outline, Part: p.label}, "cutting line: %v", err)
		}
		if p.edges, err = drawn(p.Edges, &o.points); err != nil {
			p.broken = true
			o.fail(Fault{Rule: Edges, Part: p.label}, "%v", err)
		}
		o.parts = append(o.parts, p)
	}
	for _, parts := range o.of {
		parts[0].whole = len(parts) == 1
	}
}

// adds checks the cost's sum.
func (o *optionProof) adds() {
	var sum float64
	for _, t := range o.Option.Cost {
		sum += t.Points
	}
	// Each term may have been rounded to a hundredth.
	if n := len(o.Option.Cost); n > 0 && math.Abs(sum-o.Intrusion) > 0.005*float64(n+1)+1e-9 {
		o.fail(Fault{Rule: Cost}, "the terms add up to %.3f and not to %.3f", sum, o.Intrusion)
	}
}
