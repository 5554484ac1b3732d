package plan

import (
	"slices"
	"strings"
)

// Cuts reports whether an option has parts of a piece. An optional piece may have
// none, and one that is ready has none.
func (o *Option) Cuts(p *Piece) bool {
	return slices.ContainsFunc(o.Parts, func(q Part) bool { return q.Piece == p.Name && q.Copy == p.Copy })
}

// OptionalPieces tells which optional pieces an option cuts, and which found no
// room.
func (d *Document) OptionalPieces(o *Option) (cut, left []string) {
	for i := range d.Pieces {
		p := &d.Pieces[i]
		switch {
		case !p.Optional || p.Ready:
		case o.Cuts(p):
			cut = append(cut, d.CopyName(p.Name, p.Copy))
		default:
			left = append(left, d.CopyName(p.Name, p.Copy))
		}
	}
	return cut, left
}

// UnlikeOptional says of which optional pieces an option cuts copies in unlike looks. This
// costs them no points, for they take what is left: "front-facing: one from grape, another
// from mustard". Where no scrap says a fabric or a look all are one cloth.
func (d *Document) UnlikeOptional(o *Option) (out []string) {
	if !slices.ContainsFunc(d.Scraps, func(s Scrap) bool { return s.Fabric != "" || s.Look != "" && s.Look != s.Name }) {
		return nil
	}
	for i := range d.Pieces {
		p := &d.Pieces[i]
		if !p.Optional || p.Ready || slices.ContainsFunc(d.Pieces[:i], func(q Piece) bool { return q.Name == p.Name }) {
			continue
		}
		var looks []string // of each copy that is cut, in whichever order
		for k := range d.Pieces {
			if d.Pieces[k].Name != p.Name || !o.Cuts(&d.Pieces[k]) {
				continue
			}
			if l := And(o.looksOf(&d.Pieces[k])); l != "" && !slices.Contains(looks, l) {
				looks = append(looks, l)
			}
		}
		if len(looks) > 1 {
			slices.Sort(looks)
			out = append(out, p.Name+": one from "+strings.Join(looks, ", another from "))
		}
	}
	return out
}

// looksOf are the looks that a copy of a piece is cut from, each once and in order.
func (o *Option) looksOf(p *Piece) (out []string) {
	for _, q := range o.Parts {
		if l := strings.ToLower(q.Look); q.Piece == p.Name && q.Copy == p.Copy && l != "" && !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	slices.Sort(out)
	return out
}
