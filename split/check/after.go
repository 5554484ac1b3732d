package check

import (
	"fmt"
	"math"
	"slices"

	"eke/split/plan"
)

// spoilt proves that parts are clear of cloth that is gone: of what was spoilt in
// the cutting, as of any other part.
func (o *optionProof) spoilt() {
	for i := range o.Option.Spoilt {
		s := &o.Option.Spoilt[i]
		scrap := o.scraps[id{s.Scrap, s.ScrapCopy}]
		f := Fault{Rule: Spoilt, Part: s.Name, Scrap: id{s.Scrap, s.ScrapCopy}.String()}
		if scrap == nil {
			f.Rule = Names
			o.fail(f, "there is no such scrap")
			continue
		}
		cut, err := newRegion(s.CutLine)
		if err != nil {
			f.Rule = Outline
			o.fail(f, "cutting line: %v", err)
			continue
		}
		var laid region
		if err := laid.lay(&cut, s.Placement); err != nil {
			f.Rule = Outline
			o.fail(f, "placed: %v", err)
			continue
		}
		for _, p := range o.parts {
			if p.scrap != scrap || p.laid.ring == nil {
				continue
			}
			f.Part = p.label
			clear, err := apart(&p.laid, &laid, o.doc.GapMM)
			if err != nil {
				f.Rule = NotProvable
				o.fail(f, "beside %s, which is spoilt: %v", s.Name, err)
			} else if clear < o.doc.GapMM-SlackMM {
				o.fail(f, "%.2f mm clear of %s, which is spoilt, and the gap is %g mm", clear, s.Name, o.doc.GapMM)
			}
		}
	}
	for _, s := range o.scraps {
		if s.SavedOf == "" {
			continue
		}
		f := Fault{Rule: Spoilt, Scrap: s.id.String()}
		at := -1
		for i := range o.Option.Spoilt {
			if o.Option.Spoilt[i].Name == s.SavedOf {
				at = i
			}
		}
		if at < 0 {
			o.fail(f, "it is said to be saved of %s, which is not spoilt", s.SavedOf)
			continue
		}
		cut, err := newRegion(o.Option.Spoilt[at].CutLine)
		if err != nil {
			continue // a fault already
		}
		if saved, lost := areaOf(s.Outline), areaOf(cut.ring); saved > lost+1 {
			o.fail(f, "%.0f mm² are said to be saved of a part of %.0f mm²", saved, lost)
		}
	}
}

// areaOf is the area within a ring.
func areaOf(ring []point) float64 {
	var sum float64
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		sum += p[0]*q[1] - p[1]*q[0]
	}
	return math.Abs(sum) / 2
}

// After proves what Option cannot see: that option k of a plan goes on from option
// kOld of an older one. Each part that is cut is where it was and what it was, to
// the last digit, with the notches that it has; what was spoilt stays spoilt; and
// pieces and scraps are those of the older plan. After them may stand what was saved of
// spoilt parts, and cloth found since: scraps of the names that the pile has now.
func After(old *plan.Document, kOld int, d *plan.Document, k int, pile ...string) []Fault {
	was, now := &old.Options[kOld], &d.Options[k]
	var found []Fault
	fail := func(part, scrap, format string, args ...any) {
		found = append(found, Fault{Rule: AlreadyCut, Option: k, Part: part, Scrap: scrap, Detail: fmt.Sprintf(format, args...)})
	}
	gone := map[string]bool{}
	for i := range now.Spoilt {
		s := &now.Spoilt[i]
		before := false
		for j := range was.Spoilt {
			before = before || unmoved(&was.Spoilt[j], s) == ""
		}
		for j := range was.Parts {
			if !before && unmoved(&was.Parts[j], s) == "" {
				before, gone[s.Name] = true, true
			}
		}
		if !before {
			fail(s.Name, "", "it is said to be spoilt, and lay nowhere so")
		}
	}
	for j := range was.Spoilt {
		still := false
		for i := range now.Spoilt {
			still = still || unmoved(&was.Spoilt[j], &now.Spoilt[i]) == ""
		}
		if !still {
			fail(was.Spoilt[j].Name, "", "it was spoilt, and is no longer said to be")
		}
	}
	isCut := map[string]*plan.Part{}
	for i := range now.Parts {
		if p := &now.Parts[i]; p.IsCut {
			isCut[p.Name] = p
		}
	}
	for j := range was.Parts {
		p := &was.Parts[j]
		q := isCut[p.Name]
		delete(isCut, p.Name)
		switch {
		case q == nil && p.IsCut && !gone[p.Name]:
			fail(p.Name, "", "it was cut, and is no longer said to be")
		case q != nil && gone[p.Name]:
			fail(p.Name, "", "it is said to be cut and spoilt")
		case q != nil:
			if said := unmoved(p, q); said != "" {
				fail(p.Name, "", "%s", said)
			}
			if n := lostNotch(p, q); n != nil {
				fail(p.Name, "", "its notch for %s at %.1f, %.1f is gone", n.For, n.At[0], n.At[1])
			}
		}
	}
	for name := range isCut {
		fail(name, "", "it is said to be cut, and the older plan has no such part")
	}
	if len(old.Pieces) != len(d.Pieces) {
		fail("", "", "%d pieces, and there were %d", len(d.Pieces), len(old.Pieces))
		return found
	}
	for i := range old.Pieces {
		p, q := &old.Pieces[i], &d.Pieces[i]
		if p.Name != q.Name || p.Copy != q.Copy || !samePoints(p.SeamLine, q.SeamLine) {
			fail("", "", "piece %s is another", id{p.Name, p.Copy})
		}
	}
	for i := range old.Scraps {
		s := &old.Scraps[i]
		if i >= len(d.Scraps) || d.Scraps[i].Name != s.Name || d.Scraps[i].Copy != s.Copy || !samePoints(s.Outline, d.Scraps[i].Outline) {
			fail("", id{s.Name, s.Copy}.String(), "the scrap is another")
		}
	}
	for i := len(old.Scraps); i < len(d.Scraps); i++ {
		if s := &d.Scraps[i]; s.SavedOf == "" && !slices.Contains(pile, s.Name) {
			fail("", id{s.Name, s.Copy}.String(), "there was no such scrap, and the pile has none")
		}
	}
	return found
}

// unmoved is what of a part is not as it was: not a digit may differ.
func unmoved(p, q *plan.Part) string {
	switch {
	case p.Name != q.Name || p.Piece != q.Piece || p.Copy != q.Copy || p.Flipped != q.Flipped:
		return "it is another part"
	case p.Scrap != q.Scrap || p.ScrapCopy != q.ScrapCopy:
		return fmt.Sprintf("it lay on %s and lies on %s", id{p.Scrap, p.ScrapCopy}, id{q.Scrap, q.ScrapCopy})
	case p.Placement != q.Placement:
		return fmt.Sprintf("it lay at %v and lies at %v", p.Placement, q.Placement)
	case !samePoints(p.CutLine, q.CutLine):
		return "its cutting line is another"
	case !samePoints(p.SeamLine, q.SeamLine):
		return "its seam line is another"
	}
	return ""
}

func samePoints(a, b []plan.Point) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// lostNotch is a notch of a part that it no longer has. What marks the end of a
// seam elsewhere may go with that seam.
func lostNotch(p, q *plan.Part) *plan.Notch {
	for i := range p.Notches {
		n := &p.Notches[i]
		has := n.Level != ""
		for j := range q.Notches {
			has = has || q.Notches[j].At == n.At && q.Notches[j].Count == n.Count
		}
		if !has {
			return n
		}
	}
	return nil
}
