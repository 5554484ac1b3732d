package check

import (
	"fmt"
	"math"
	"sync"

	"eke/split/plan"
)

// OnScrap proves of single parts that they can be cut from one scrap where they
// lie, and of two that they are clear of each other: by the very rules that Option
// has for that, for plans that come about part by part. It may be asked by several
// goroutines at once.
type OnScrap struct {
	mu    sync.Mutex
	doc   *plan.Document
	scrap *scrapProof
}

// NewOnScrap takes up a scrap. It is an error where its outlines cannot be reasoned
// about.
func NewOnScrap(s plan.Settings, scrap plan.Scrap) (*OnScrap, error) {
	on := &OnScrap{doc: &plan.Document{Settings: s}, scrap: &scrapProof{Scrap: &scrap, id: id{scrap.Name, scrap.Copy}}}
	return on, on.scrap.read()
}

// Single is one part by itself, to be laid here and there.
type Single struct {
	part *plan.Part
	of   *pieceProof
	cut  region
	err  error
}

// NewSingle takes up a part. Of it its cutting line and its grain count, and of the
// piece what it may be cut from.
func NewSingle(piece *plan.Piece, part *plan.Part) *Single {
	s := &Single{part: part, of: &pieceProof{Piece: piece, id: id{piece.Name, piece.Copy}}}
	if at, x := notFinite(*part); at != "" {
		s.err = fmt.Errorf("%s is %g", at, x)
		return s
	}
	s.cut, s.err = newRegion(part.CutLine)
	return s
}

// Lying is a part where it lies on a scrap. It can be cut there where there are no
// Faults.
type Lying struct {
	part   *partProof
	Faults []Fault
}

// Lies looks at a part at a placement.
func (s *OnScrap) Lies(of *Single, at [6]float64) *Lying {
	s.mu.Lock()
	defer s.mu.Unlock()
	part := *of.part
	part.Placement = at
	p := &partProof{Part: &part, label: part.Name, piece: of.of, scrap: s.scrap, cut: of.cut, broken: of.err != nil}
	o := s.proof(p)
	if of.err != nil {
		o.fail(Fault{Rule: Outline, Part: p.label}, "cutting line: %v", of.err)
	}
	for _, x := range at {
		if !(math.Abs(x) <= largestMM) {
			p.broken = true
			o.fail(Fault{Rule: Numbers, Part: p.label}, "its placement is %g", x)
			return &Lying{p, o.found}
		}
	}
	o.placed(p)
	o.kinds()
	o.uses()
	return &Lying{p, o.found}
}

// Beside proves that two parts on the scrap are clear of each other.
func (s *OnScrap) Beside(a, b *Lying) []Fault {
	s.mu.Lock()
	defer s.mu.Unlock()
	o := s.proof(a.part, b.part)
	o.gaps()
	return o.found
}

func (s *OnScrap) proof(parts ...*partProof) *optionProof {
	return &optionProof{common: &common{doc: s.doc}, Option: &plan.Option{}, parts: parts}
}
