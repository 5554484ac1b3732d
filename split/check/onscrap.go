package check

import (
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

// Lying is a part where it lies on a scrap. It can be cut there where there are no
// Faults.
type Lying struct {
	part   *partProof
	Faults []Fault
}

// Lies looks at one part. Of the part its cutting line, its grain and its placement
// count, and of the piece what it may be cut from.
func (s *OnScrap) Lies(piece *plan.Piece, part *plan.Part) *Lying {
	s.mu.Lock()
	defer s.mu.Unlock()
	p := &partProof{Part: part, label: part.Name, piece: &pieceProof{Piece: piece, id: id{piece.Name, piece.Copy}}, scrap: s.scrap}
	o := s.proof(p)
	if at, x := notFinite(*part); at != "" {
		p.broken = true
		o.fail(Fault{Rule: Numbers, Part: p.label}, "%s is %g", at, x)
		return &Lying{p, o.found}
	}
	var err error
	if p.cut, err = newRegion(part.CutLine); err != nil {
		p.broken = true
		o.fail(Fault{Rule: Outline, Part: p.label}, "cutting line: %v", err)
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
