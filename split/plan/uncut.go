package plan

import "slices"

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
