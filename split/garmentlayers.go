package split

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/split/plan"
)

// findLayers finds the pieces whose copies lie on one another, as those of a yoke, a
// collar or a cuff that are cut twice, and how many of them do. One of its seams says
// so: its copies are sewn on one over the other, or they are sewn to each other all
// round. Of a piece of the body no other seam may say that they lie side by side, but
// one to another piece in layers. Copies with a strip between them are none.
func (g *garment) findLayers() {
	found := map[string]int{}
	g.layers, g.turned = map[string]int{}, map[string]bool{}
	for _, w := range g.walked {
		if trims, does := g.trimsOf(w); does == turns {
			found[trims[0]], g.turned[trims[0]] = 2, true
		}
		for _, name := range piecesOf(w) {
			if n := g.saysLayers(w, name); n > 1 && !g.stripped(name) {
				found[name] = n
			}
		}
	}
	for more := true; more; {
		more = false
		for _, w := range g.walked {
			if mates := piecesOf(w); len(mates) == 2 && w.TimesA[0] == 1 && w.TimesB[0] == 1 {
				for k, name := range mates {
					n := found[mates[1-k]]
					if p := g.named(name); found[name] == 0 && n > 1 && isTrim(name) && p.Count == n && !p.Mirrored && g.saysLayers(w, mates[1-k]) == 1 {
						found[name], more = n, true
					}
				}
			}
		}
	}
	for name, n := range found {
		if isTrim(name) || g.turned[name] || !slices.ContainsFunc(g.walked, func(w allowance.Walked) bool {
			mates := piecesOf(w)
			return slices.Contains(mates, name) && g.saysLayers(w, name) < 2 &&
				!slices.ContainsFunc(mates, func(other string) bool { return other != name && found[other] > 1 })
		}) {
			g.layers[name] = n
		}
	}
	for _, p := range g.pieces {
		if g.setInOrOn(p) {
			delete(g.layers, p.Name)
		}
		if g.layers[p.Name] > 1 && !g.turned[p.Name] && isTrim(p.Name) && g.layeredRound(p.Name, true) {
			g.turned[p.Name] = true
			stage, _ := trimStage(p)
			g.steps = append(g.steps, garmentStep{stage: stage - beforeThat, does: turns, trims: []string{p.Name}})
		}
	}
}

// setInOrOn reports whether a trim's copies each go to the garment by themselves, as the
// two of a pocket do that sit on either side of a seam, and those of one that is laid on.
func (g *garment) setInOrOn(p *piece.Piece) bool {
	toBody := func(r piece.Ref) bool { return g.named(r.Piece) != nil && !isTrim(r.Piece) }
	return isTrim(p.Name) && slices.ContainsFunc(p.Outline, func(e piece.Edge) bool {
		return slices.ContainsFunc(e.Joins, func(r piece.Ref) bool {
			return toBody(r) && (isPocket(p.Name) || slices.ContainsFunc(g.named(r.Piece).Outline, func(o piece.Edge) bool {
				return o.Name == r.Edge && slices.ContainsFunc(o.Joins, func(to piece.Ref) bool { return toBody(to) && slices.Contains(e.Joins, to) })
			}))
		})
	})
}

// isPocket reports whether a piece is a pocket or a half of its bag, and not what covers
// or edges its opening.
func isPocket(name string) bool {
	return hasWord(name, "pocket") && !hasWord(name, "flap") && !hasWord(name, "welt")
}

// saysLayers is how many copies of a piece a seam takes in one over the other. One along
// a stretch of another says nothing of it.
func (g *garment) saysLayers(w allowance.Walked, name string) int {
	if w.Stretch || len(piecesOf(w)) == 1 {
		return 1
	}
	own, least := 1, math.MaxInt
	for k, row := range [][]piece.Ref{w.A, w.B} {
		for i, r := range row {
			p := g.named(r.Piece)
			joined := 0 // a walk is of these alone
			for _, i := range p.Outline.Edge(r.Edge) {
				joined += min(1, len(p.Outline[i].Joins))
			}
			n := max(1, p.Count) * joined / max(1, [][]int{w.TimesA, w.TimesB}[k][i]*w.Seams)
			least = min(least, n)
			if r.Piece == name {
				own = n
			}
		}
	}
	if least == 0 {
		return 1
	}
	if n := own / least; n > 1 && own%least == 0 && g.named(name).Count%n == 0 {
		return n
	}
	return 1
}

// sewnOnInLayers reports whether a seam to another piece takes in the copies of one over
// one another: by itself, or as many as of a piece that another seam takes in so, as a bib
// on bands of two layers. Those of a bag or a top whose front is as its back lie side by
// side there.
func (g *garment) sewnOnInLayers(name string) bool {
	return slices.ContainsFunc(g.walked, func(w allowance.Walked) bool {
		mates := piecesOf(w)
		if !slices.Contains(mates, name) {
			return false
		}
		return g.saysLayers(w, name) > 1 || slices.ContainsFunc(mates, func(mate string) bool {
			return mate != name && g.saysLayers(w, mate) == 1 && g.named(mate).Count == g.named(name).Count &&
				slices.ContainsFunc(g.walked, func(v allowance.Walked) bool {
					return slices.Contains(piecesOf(v), mate) && !slices.Contains(piecesOf(v), name) && g.saysLayers(v, mate) > 1
				})
		})
	})
}

// piecesOf are the pieces that a seam is of, each once.
func piecesOf(w allowance.Walked) (out []string) {
	for _, r := range slices.Concat(w.A, w.B) {
		if !slices.Contains(out, r.Piece) {
			out = append(out, r.Piece)
		}
	}
	return out
}

// layeredRound reports whether the edges by which the copies of a trim are sewn to each
// other make layers of them, as a collar's points and outer edge do, and neither a ring
// nor a row, as the ends of a band do: one lies away from the edges that are sewn to
// other pieces; or, where none is, there are several. An edge by which the copies lie
// side by side does not count. With free, edges that the pattern joins to nothing, and
// that are no hems, do.
func (g *garment) layeredRound(name string, free bool) bool {
	p := g.named(name)
	if p.Count < 2 || g.setInOrOn(p) {
		return false
	}
	if free && g.freeAway(p) {
		return true
	}
	var own, others []piece.Ref
	for _, e := range p.Outline {
		r := piece.Ref{Piece: name, Edge: e.Name}
		switch {
		case e.Name == "":
		case slices.Contains(e.Joins, r) && g.sideBySide(r):
		case slices.Contains(e.Joins, r), free && len(e.Joins) == 0 && !hasWord(e.Name, "hem"):
			if !slices.Contains(own, r) {
				own = append(own, r)
			}
		case slices.ContainsFunc(e.Joins, func(to piece.Ref) bool { return to.Piece != name }):
			others = append(others, r)
		}
	}
	if len(others) == 0 {
		return len(own) > 1
	}
	return slices.ContainsFunc(own, func(r piece.Ref) bool {
		return !slices.ContainsFunc(g.beside(r), func(b piece.Ref) bool { return slices.Contains(others, b) })
	})
}

// freeAway reports whether a trim has edges without a name that do not just close it
// between edges that are sewn to other pieces, as the ends of a band do: several in a row,
// or one that goes round from one end to the other of the only edge that is sewn on.
func (g *garment) freeAway(p *piece.Piece) bool {
	sewn, nameless := 0, 0
	for _, e := range p.Outline {
		if e.Name == "" {
			nameless++
		}
		if slices.ContainsFunc(e.Joins, func(to piece.Ref) bool { return to.Piece != p.Name }) {
			sewn++
		}
	}
	n := len(p.Outline)
	for i, e := range p.Outline {
		switch {
		case e.Name != "" || sewn == 0:
		case sewn == 1 && nameless == n-1, p.Outline[(i+1)%n].Name == "" && p.Outline[(i+2)%n].Name == "":
			return true
		}
	}
	return false
}

// sideBySide reports whether an edge that is joined to its like sews the left copy of a
// trim to the right one, as the centre back of a waistband of two halves does, and not a
// layer to a layer, as the point of a collar: it ends on an edge that is sewn to another
// piece, and is called a centre, or none that ends there is, and that edge takes in
// copies one beside the other.
func (g *garment) sideBySide(r piece.Ref) bool {
	p := g.named(r.Piece)
	if p == nil || !p.Mirrored {
		return false
	}
	isCentre := func(edge string) bool { return hasWord(edge, "centre") || hasWord(edge, "center") }
	for _, w := range g.walked {
		for k, row := range [][]piece.Ref{w.A, w.B} {
			for i, b := range row {
				if len(piecesOf(w)) == 1 || b.Piece != r.Piece || !slices.Contains(g.beside(r), b) {
					continue
				}
				inRow := [][]int{w.TimesA, w.TimesB}[k][i] > len(p.Outline.Edge(b.Edge))
				if isCentre(r.Edge) || inRow && !slices.ContainsFunc(p.Outline, func(e piece.Edge) bool {
					return isCentre(e.Name) && slices.Contains(e.Joins, piece.Ref{Piece: p.Name, Edge: e.Name})
				}) {
					return true
				}
			}
		}
	}
	return false
}

// sets are the copies of a piece in layers, those that lie on one another in one.
func (g *garment) sets(name string) (out [][]string) {
	var copies []*piece.Piece
	for _, p := range g.copies {
		if p.Name == name {
			copies = append(copies, p)
		}
	}
	n := g.layers[name]
	if len(copies) > n {
		slices.SortStableFunc(copies, func(a, b *piece.Piece) int { return cmp.Compare(b.Side, a.Side) })
	}
	for set := range slices.Chunk(copies, n) {
		var names []string
		for _, p := range set {
			names = append(names, p.CopyName())
		}
		out = append(out, names)
	}
	return out
}

// layerToLayer is which copies of a trim are sewn to which.
func (g *garment) layerToLayer(name string) string {
	var out []string
	for _, set := range g.sets(name) {
		out = append(out, strings.Join(set, " to "))
	}
	return plan.And(out)
}

// freeEdges are the edges of a piece in layers that the pattern joins to nothing,
// not by their names alone either, and that are no hems. A trim's that have no name are
// among them.
func (g *garment) freeEdges(name string) (out []string) {
	for _, e := range g.named(name).Outline {
		if one := name + "/" + e.Name; e.Name != "" && !g.guessed(piece.Ref{Piece: name, Edge: e.Name}) && len(e.Joins) == 0 && !hasWord(e.Name, "hem") && !slices.Contains(out, one) {
			out = append(out, one)
		}
	}
	if isTrim(name) && slices.ContainsFunc(g.named(name).Outline, func(e piece.Edge) bool { return e.Name == "" }) {
		out = append(out, "the edges of "+name+" without a name")
	}
	return out
}

// closedRound reports whether the layers of a piece are sewn to each other all round: no
// edge of it is a hem, has no name or goes to another piece.
func (g *garment) closedRound(name string) bool {
	return !slices.ContainsFunc(g.named(name).Outline, func(e piece.Edge) bool {
		r := piece.Ref{Piece: name, Edge: e.Name}
		return e.Name == "" || len(e.Joins) == 0 && hasWord(e.Name, "hem") || g.guessed(r) ||
			slices.ContainsFunc(e.Joins, func(to piece.Ref) bool { return to.Piece != name && g.named(to.Piece) != nil })
	})
}

// layersSaid is what there is to say of the layers that meet in a step: what lies
// between which, and where they are sewn to each other beyond it.
func (g *garment) layersSaid(s *garmentStep) (out []string) {
	if s.does == turns {
		if free := g.freeEdges(s.trims[0]); len(free) > 0 && len(s.seams) > 0 {
			out = append(out, plan.And(free)+", which the pattern joins to nothing, the same way")
		}
		if g.closedRound(s.trims[0]) {
			return append(out, "leave a gap to turn it by; turn right sides out, press, and close the gap")
		}
		return append(out, "turn right sides out, and press")
	}
	if s.does == closesRing && g.layers[s.trims[0]] > 1 {
		return []string{"each layer by itself"}
	}
	out, faced := g.faced(s)
	between := map[string][]string{}
	var outer, all []string
	for _, w := range s.seams {
		if a, b, each := g.layerByLayer(w); each {
			out = append(out, "each layer by itself: "+g.toEachOther(a, b))
			continue
		}
		around, inside := g.around(w)
		if g.runsOntoOne(s, w, around) {
			around = ""
		}
		for _, name := range piecesOf(w) {
			if g.layers[name] > 1 && len(piecesOf(w)) > 1 && name != around && !slices.Contains(faced, name) && !slices.Contains(inside, name) && !slices.Contains(all, name) {
				all = append(all, name)
			}
		}
		if around == "" {
			continue
		}
		if !slices.Contains(outer, around) {
			outer = append(outer, around)
		}
		for _, name := range inside {
			if !slices.Contains(between[around], name) {
				between[around] = append(between[around], name)
			}
		}
	}
	for _, around := range outer {
		var inside, sets []string
		for _, name := range between[around] {
			switch {
			case g.turned[name]:
				name += ", turned,"
			case g.layers[name] > 1:
				name = "all layers of " + name
			}
			inside = append(inside, name)
		}
		for _, set := range g.sets(around) {
			sets = append(sets, "between "+plan.And(set))
		}
		goes := " goes "
		if len(inside) > 1 || strings.HasPrefix(inside[0], "all ") {
			goes = " go "
		}
		out = append(out, plan.And(inside)+goes+plan.And(sets))
		if free := g.freeEdges(around); len(free) > 0 && !g.turned[around] && g.firstOf(around, s) {
			out = append(out, "there "+plan.And(free)+", which the pattern joins to nothing, is sewn layer to layer")
			if len(free) > 1 || strings.Contains(free[0], " ") {
				out[len(out)-1] = strings.Replace(out[len(out)-1], " is sewn", " are sewn", 1)
			}
		}
	}
	for _, name := range all {
		out = append(out, "all layers of "+name+" go into the seam")
	}
	return out
}

// around is the piece in layers between which a seam takes the other side, and the
// pieces of that; none where layers lie in a row with other pieces. Where both sides
// are in layers, what was turned goes between what was not, and a garment between the
// layers of what is sewn on.
func (g *garment) around(w allowance.Walked) (outer string, inside []string) {
	rank := func(row []piece.Ref) int {
		name := row[0].Piece
		switch {
		case g.layers[name] < 2 || slices.ContainsFunc(row, func(r piece.Ref) bool { return r.Piece != name }):
			return 0
		case g.turned[name]:
			return 1
		case !isTrim(name):
			return 2
		}
		return 3
	}
	a, b := w.A, w.B
	if rank(a) < rank(b) {
		a, b = b, a
	}
	if rank(a) == 0 || len(piecesOf(w)) == 1 || g.turned[a[0].Piece] && slices.ContainsFunc(a, func(r piece.Ref) bool { return len(g.facingsOn(r)) > 0 }) {
		return "", nil
	}
	for _, r := range b {
		if !slices.Contains(inside, r.Piece) {
			inside = append(inside, r.Piece)
		}
	}
	return a[0].Piece, inside
}

// layerByLayer reports whether a seam joins two pieces that are as often cut in layers
// and not turned, as the bands of a front and a back, each cut twice, at the side: an
// outer layer to an outer one, an inner one to an inner one.
func (g *garment) layerByLayer(w allowance.Walked) (a, b string, each bool) {
	a, b = w.A[0].Piece, w.B[0].Piece
	plain := func(name string, row []piece.Ref) bool {
		return g.layers[name] > 1 && !g.turned[name] && !slices.ContainsFunc(row, func(r piece.Ref) bool { return r.Piece != name })
	}
	return a, b, a != b && isTrim(a) == isTrim(b) && plain(a, w.A) && plain(b, w.B) && g.layers[a] == g.layers[b] && g.named(a).Count == g.named(b).Count
}

// toEachOther is which copies of two pieces are sewn to which, the first of the one to
// the first of the other.
func (g *garment) toEachOther(a, b string) string {
	var out []string
	others := slices.Concat(g.sets(b)...)
	for i, name := range slices.Concat(g.sets(a)...) {
		out = append(out, name+" to "+others[i])
	}
	return plan.And(out)
}

// runsOntoOne reports whether the seam round which a piece in layers would go runs on,
// in one step, onto pieces of one layer: as that of a sleeve from a yoke onto the front.
// There the layers lie on one another and are sewn as one.
func (g *garment) runsOntoOne(s *garmentStep, w allowance.Walked, around string) bool {
	if around == "" || s.does != sewsBody {
		return false
	}
	inside := w.A
	if w.A[0].Piece == around {
		inside = w.B
	}
	return slices.ContainsFunc(s.seams, func(v allowance.Walked) bool {
		for k, row := range [][]piece.Ref{v.A, v.B} {
			other := [][]piece.Ref{v.B, v.A}[k]
			if g.meets(row, inside) && !slices.ContainsFunc(other, func(r piece.Ref) bool { return g.layers[r.Piece] > 1 }) {
				return true
			}
		}
		return false
	})
}

// facingsOn are the facings that the pattern joins to an edge of another piece.
func (g *garment) facingsOn(r piece.Ref) (out []string) {
	for _, e := range g.named(r.Piece).Outline {
		for _, to := range e.Joins {
			if e.Name == r.Edge && g.named(to.Piece) != nil && hasWord(to.Piece, "facing") && !hasWord(r.Piece, "facing") && !slices.Contains(out, to.Piece) {
				out = append(out, to.Piece)
			}
		}
	}
	return out
}

// faced says of a turned trim between what it goes in a step that sews a facing to it, and
// which trim that is: between the facing and the pieces that it faces there.
func (g *garment) faced(s *garmentStep) (said, of []string) {
	for _, w := range s.seams {
		for k, row := range [][]piece.Ref{w.A, w.B} {
			other := [][]piece.Ref{w.B, w.A}[k]
			for _, r := range row {
				facings := g.facingsOn(r)
				if !g.turned[r.Piece] || !slices.ContainsFunc(other, func(o piece.Ref) bool { return slices.Contains(facings, o.Piece) }) {
					continue
				}
				var body []string
				for _, e := range g.named(r.Piece).Outline {
					for _, to := range e.Joins {
						if e.Name == r.Edge && g.named(to.Piece) != nil && !hasWord(to.Piece, "facing") && to.Piece != r.Piece && !slices.Contains(body, to.Piece) {
							body = append(body, to.Piece)
						}
					}
				}
				if len(body) == 0 {
					continue
				}
				one := r.Piece + ", turned, goes between " + plan.And(body) + " and " + plan.And(facings)
				if len(body) > 1 || len(facings) > 1 {
					one = r.Piece + ", turned, goes between " + plan.And(body) + " on one side and " + plan.And(facings) + " on the other"
				}
				if of = append(of, r.Piece); !slices.Contains(said, one) {
					said = append(said, one)
				}
			}
		}
	}
	return said, of
}

// firstOf reports whether no step before one has a seam of a piece.
func (g *garment) firstOf(name string, s *garmentStep) bool {
	for _, o := range g.inOrder {
		if slices.ContainsFunc(o.seams, func(w allowance.Walked) bool { return slices.Contains(piecesOf(w), name) }) {
			return o.seams[0].A[0] == s.seams[0].A[0] && o.seams[0].B[0] == s.seams[0].B[0]
		}
	}
	return true
}
