package job

import (
	"fmt"
	"slices"
	"strings"

	"eke/cmd/words"
	"eke/piece"
	"eke/split/search"
	"eke/split/wish"
)

// NotesOn is what a maker should know of how a pattern and scraps were read,
// before any plan.
func NotesOn(pieces []*piece.Piece, cloth []piece.Scrap, o search.Options) []string {
	var notes []string
	for _, p := range pieces {
		notes = append(notes, p.Notes...)
	}
	for _, s := range cloth {
		notes = append(notes, s.Notes...)
	}
	return append(notes, NotesTogether(pieces, cloth, o)...)
}

// NotesTogether is what of it is about no single piece or scrap.
func NotesTogether(pieces []*piece.Piece, cloth []piece.Scrap, o search.Options) []string {
	var notes []string
	for _, note := range []string{sizeNote(pieces), wideNote(pieces), ScrapSizeNote(pieces, cloth), readyNote(pieces), ShrinkNote(cloth), napNote(pieces, cloth), unsaidNapNote(cloth), sameWayNote(pieces, cloth, o), wholePairNote(pieces), crossGrainNote(pieces), slitNote(pieces), unlikeNote(cloth), useNote(pieces, cloth), fabricNote(pieces, cloth), idleNote(pieces, cloth, o), unknownKindNote(pieces, cloth, o), knitToWovenNote(pieces, o), selfSeamNote(pieces)} {
		if note != "" {
			notes = append(notes, note)
		}
	}
	return notes
}

// wideNote doubts an allowance that no seam has, such as 15cm for 15mm. A hem's may
// be wider. (Common practice, no source.)
func wideNote(pieces []*piece.Piece) string {
	const seamMM, hemMM = 50.0, 150.0
	for _, p := range pieces {
		for _, e := range p.Outline {
			most := seamMM
			if strings.Contains(e.Name, "hem") {
				most = hemMM
			}
			if e.AllowanceMM > most {
				at := ""
				if e.Name != "" {
					at = " at the " + e.Name
				}
				return fmt.Sprintf("%s has an allowance of %.4g cm%s; if you meant another, check its unit before you cut", p.Name, e.AllowanceMM/10, at)
			}
		}
	}
	return ""
}

// readyNote names the pieces that are cut already.
func readyNote(pieces []*piece.Piece) string {
	var ready []string
	for _, p := range pieces {
		if p.Ready {
			ready = append(ready, p.Name)
		}
	}
	if len(ready) == 0 {
		return ""
	}
	return fmt.Sprintf("cut already, so that no cloth is taken and no seam moved: %s", words.List(ready))
}

// idleNote names the scraps that no piece may be cut from, and what the pieces
// ask for. It is empty where every scrap may serve.
func idleNote(pieces []*piece.Piece, cloth []piece.Scrap, o search.Options) string {
	var idle []string
	cure := ""
	for i := range cloth {
		s := &cloth[i]
		if forOtherUse(pieces, cloth, s) || slices.ContainsFunc(pieces, func(p *piece.Piece) bool { return o.MayCut(p, s) }) {
			continue
		}
		is := "fabric " + s.Fabric
		if s.Fabric == "" {
			is = "no fabric given"
			if slices.ContainsFunc(pieces, func(p *piece.Piece) bool { return len(p.Fabrics) > 0 }) {
				cure = "; say of each scrap what fabric it is"
			}
		}
		if s.Kind != "" {
			is += ", " + s.Kind
		}
		idle = append(idle, fmt.Sprintf("%s (%s)", s.Name, is))
	}
	if len(idle) == 0 {
		return ""
	}
	var asked []string
	for _, p := range pieces {
		ask := strings.TrimSpace(strings.Join(p.Fabrics, " or ") + " " + p.Kind)
		if !slices.Contains(asked, ask) {
			asked = append(asked, ask)
		}
	}
	return fmt.Sprintf("no piece may be cut from %s: the pieces ask for %s%s", words.List(idle), words.List(asked), cure)
}

// useNote names the cloth that is set apart for the lining, where the pieces
// are not of one, and the other cloth where they are.
func useNote(pieces []*piece.Piece, cloth []piece.Scrap) string {
	var lining, other []string
	for i := range cloth {
		switch s := &cloth[i]; {
		case s.Use == piece.UseLining:
			lining = append(lining, s.Name)
		case forOtherUse(pieces, cloth, s):
			other = append(other, s.Name)
		}
	}
	isLining := func(p *piece.Piece) bool { return p.Use == piece.UseLining }
	switch {
	case len(lining) == 0:
		return ""
	case !slices.ContainsFunc(pieces, isLining):
		return fmt.Sprintf("kept for the lining, and so cut for no other piece: %s; give --lining to plan the lining from it", words.List(lining))
	case len(other) > 0 && !slices.ContainsFunc(pieces, func(p *piece.Piece) bool { return !isLining(p) }):
		return fmt.Sprintf("the lining is cut from what is kept for it alone: %s", words.List(lining))
	}
	return ""
}

// forOtherUse reports whether a scrap is kept from all the pieces by what it, or
// others of the pile, are set apart for.
func forOtherUse(pieces []*piece.Piece, pile []piece.Scrap, s *piece.Scrap) bool {
	rule := piece.UseRuleFor(pile)
	return !slices.ContainsFunc(pieces, func(p *piece.Piece) bool { return rule.MayCut(p, s) })
}

// unknownKindNote says that cloth which may be knit or woven is taken to go with
// either, where that matters: something else is known to be one of them.
func unknownKindNote(pieces []*piece.Piece, cloth []piece.Scrap, o search.Options) string {
	matters := slices.ContainsFunc(pieces, func(p *piece.Piece) bool { return p.Kind != "" })
	var unknown []string
	for i := range cloth {
		s := &cloth[i]
		if !slices.ContainsFunc(pieces, func(p *piece.Piece) bool { return o.MayCut(p, s) }) {
			continue
		}
		if s.Kind == "" {
			unknown = append(unknown, s.Name)
		}
		matters = matters || s.Kind != "" && !wish.Has[wish.MixKinds](o.Wishes)
	}
	if !matters || len(unknown) == 0 {
		return ""
	}
	return fmt.Sprintf("nothing says whether %s is knit or woven, so it is taken to go with either; give its kind to keep knit and woven apart", words.List(unknown))
}

// knitToWovenNote warns of a pattern that sews a piece that is to be knit to one
// that is to be woven.
func knitToWovenNote(pieces []*piece.Piece, o search.Options) string {
	if wish.Has[wish.MixKinds](o.Wishes) {
		return ""
	}
	byName := map[string]*piece.Piece{}
	for _, p := range pieces {
		byName[p.Name] = p
	}
	for _, p := range pieces {
		for _, e := range p.Outline {
			for _, ref := range e.Joins {
				if q := byName[ref.Piece]; q != nil && p.Kind != "" && q.Kind != "" && p.Kind != q.Kind {
					return fmt.Sprintf("%s is to be %s and %s, which it is sewn to, %s: only cloth of no known kind will do for one of them; to let them meet, give --wish \"mix kinds\"", p.Name, p.Kind, q.Name, q.Kind)
				}
			}
		}
	}
	return ""
}

// ApartNote says which pieces must come from one kind of cloth, where there is
// a choice.
func ApartNote(pieces []*piece.Piece, cloth []piece.Scrap, o search.Options) string {
	var out []string
	for _, names := range search.KindsChosen(pieces, cloth, o) {
		out = append(out, words.List(names))
	}
	if len(out) == 0 {
		return ""
	}
	return fmt.Sprintf("sewn together, and so all from knit or all from woven cloth: %s; to let them meet, give --wish \"mix kinds\"", strings.Join(out, "; "))
}
