package split

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/split/plan"
)

// An edge that nothing is sewn to is turned in where its allowance is at least so wide,
// and so many times as wide as the narrowest of its piece: a seam's is seldom wider,
// and a casing for elastic seldom narrower. (Common practice, no source.)
const (
	turnedMM    = 20.0
	turnedTimes = 1.5
)

// hems adds the steps for what is turned up or in: all hems, and casings or other wide
// allowances at an edge that is joined to nothing. The hem of a facing is sewn to that
// of its piece, not turned up by itself, and that of a pocket before it is sewn on.
func (g *garment) hems() {
	var hems, facings, casings turnedUp
	pockets := map[string]*turnedUp{}
	for _, p := range g.pieces {
		for _, e := range p.Outline {
			r := piece.Ref{Piece: p.Name, Edge: e.Name}
			_, trim := trimStage(p)
			switch {
			case e.Name == "" || len(e.Joins) > 0 || g.guessed(r) || isHemSeam(p, e):
			case hasWord(e.Name, "hem") && hasWord(p.Name, "facing") && g.isSewn(p.Name):
				facings.add(r, e.AllowanceMM)
			case hasWord(e.Name, "hem") && !hasWord(p.Name, "pocket"), g.atHem(p, e):
				hems.add(r, e.AllowanceMM)
			case !hasWord(e.Name, "hem") && !hasWord(e.Name, "casing") && !turnsIn(p, e):
			case trim:
				if pockets[p.Name] == nil {
					pockets[p.Name] = &turnedUp{}
				}
				pockets[p.Name].add(r, e.AllowanceMM)
			case hasWord(e.Name, "casing"), hasWord(e.Name, "waist"), hasWord(e.Name, "top"):
				casings.add(r, e.AllowanceMM)
			default:
				hems.add(r, e.AllowanceMM)
			}
		}
	}
	for _, p := range g.pieces {
		if up := pockets[p.Name]; up != nil {
			stage, _ := trimStage(p)
			g.steps = append(g.steps, garmentStep{stage: stage - beforeThat, does: makes, trims: []string{p.Name}, turned: up.refs,
				text: fmt.Sprintf("Turn in and sew down %s before %s is sewn on.", plan.And(up.said), p.Name)})
		}
	}
	if len(casings.refs) > 0 {
		g.steps = append(g.steps, garmentStep{stage: stageWaist, turned: casings.refs,
			text: "Turn in and sew down " + plan.And(casings.said) + "; of a casing leave a gap to draw the elastic in by."})
	}
	if len(hems.refs) == 0 {
		hems, facings = facings, turnedUp{}
	}
	if len(hems.refs) > 0 {
		text := "Turn up the hems and sew them: " + plan.And(hems.said)
		if len(facings.refs) > 0 {
			text += "; before, fold the facings back, right sides together, sew " + plan.And(facings.said) + " to the hem where the hem is folded, and turn them in"
		}
		g.steps = append(g.steps, garmentStep{stage: stageHem, turned: slices.Concat(hems.refs, facings.refs), text: text + "."})
	}
}

// isHemSeam reports whether an edge of a lining lies at a hem that the garment has sewn to
// a band or the like, as the pattern of a lining names it.
func isHemSeam(p *piece.Piece, e piece.Edge) bool {
	return p.Use == piece.UseLining && hasWord(e.Name, "hem") && strings.HasSuffix(e.Name, piece.HemSeamSuffix)
}

// turnedUp are edges that are turned up or in, and how they are said.
type turnedUp struct {
	refs []piece.Ref
	said []string
}

func (t *turnedUp) add(r piece.Ref, mm float64) {
	if one := fmt.Sprintf("%s (%.4g mm)", r, mm); !slices.Contains(t.said, one) {
		t.refs, t.said = append(t.refs, r), append(t.said, one)
	}
}

// turnsIn reports whether an edge across a piece has an allowance that is meant to be
// turned in, by its width, and no name of a seam other than the waist's.
func turnsIn(p *piece.Piece, e piece.Edge) bool {
	for _, k := range seamWords {
		if k.stage != stageWaist && slices.ContainsFunc(k.words, func(word string) bool { return hasWord(e.Name, word) }) {
			return false
		}
	}
	least := math.Inf(1)
	for _, o := range p.Outline {
		least = math.Min(least, o.AllowanceMM)
	}
	return e.AllowanceMM >= turnedMM && e.AllowanceMM >= turnedTimes*least && !lengthwise(p, e.Name)
}

// guessed reports whether a band is taken to be sewn to an edge by its name alone.
func (g *garment) guessed(r piece.Ref) bool {
	return slices.ContainsFunc(g.steps, func(s garmentStep) bool {
		return s.text != "" && s.sews(func(other piece.Ref) bool { return other == r })
	})
}

// atHem reports whether an end of a band lies at the hem, and is turned up with it.
func (g *garment) atHem(p *piece.Piece, e piece.Edge) bool {
	if !hasWord(p.Name, "band") || !g.hemmedWith(p) {
		return false
	}
	return slices.ContainsFunc(g.beside(piece.Ref{Piece: p.Name, Edge: e.Name}), func(b piece.Ref) bool {
		return slices.ContainsFunc(p.Outline, func(long piece.Edge) bool { return long.Name == b.Edge && g.reachesHem(long.Joins, p.Name) })
	})
}

// hemmedWith reports whether a band down an open front is hemmed with it, and does not
// cover the hem's end: it has a hem, or a collar or stand is sewn over its other end.
func (g *garment) hemmedWith(p *piece.Piece) bool {
	return slices.ContainsFunc(p.Outline, func(e piece.Edge) bool {
		return hasWord(e.Name, "hem") && len(e.Joins) == 0 ||
			slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return r.Piece != p.Name && g.named(r.Piece) != nil && isTrim(r.Piece) })
	})
}

// hemFirst has what crosses an edge that is turned up or in sewn before it.
func (g *garment) hemFirst() {
	for i := range g.steps {
		up := g.steps[i].turned
		for _, s := range g.seams {
			if len(up) > 0 && g.meets(s.A, up) && g.meets(s.B, up) {
				g.need(i, s.step)
			}
		}
	}
}

// liningIn adds the step that sews a lining to its garment: the pattern of a lining has
// it in the edges that its own seams leave open. A lining is sewn in by hand where its
// seams could not be reached any more, and so whatever the garment is like.
func (g *garment) liningIn() {
	var facing, own, pleat, waist, hem, hemSeam, other []string
	for _, p := range g.pieces {
		if p.Use != piece.UseLining {
			return
		}
		for _, e := range p.Outline {
			if e.Name == "" || slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return g.named(r.Piece) != nil }) {
				continue
			}
			to := &other
			switch {
			case strings.HasSuffix(e.Name, "-facing"): // what a facing covers of the other side of a seam
				to = &own
			case hasWord(e.Name, "facing"):
				to = &facing
			case hasWord(e.Name, "pleat"):
				to = &pleat
			case takenInAtWaist(e.Name):
				to = &waist
			case isHemSeam(p, e):
				to = &hemSeam
			case hasWord(e.Name, "hem"):
				to = &hem
			}
			if one := p.Name + "/" + e.Name; !slices.Contains(*to, one) {
				*to = append(*to, one)
			}
		}
	}
	var said []string
	if len(pleat) > 0 {
		said = append(said, "first fold "+plan.And(pleat)+" along the notches")
	}
	if len(facing) > 0 {
		said = append(said, plan.And(facing)+" to the inner edges of the facings")
	}
	for _, one := range own {
		_, edge, _ := strings.Cut(strings.TrimSuffix(one, "-facing"), "/")
		said = append(said, fmt.Sprintf("%s to the %s of the facing that ends there", one, edge))
	}
	if len(other) > 0 {
		said = append(said, plan.And(other)+" to the garment's edges of the same names, turned under so that the lining does not show")
	}
	if len(waist) > 0 {
		said = append(said, plan.And(waist)+" to the garment's, before a waistband or a casing takes in both; where there is none, or it is on already, turned under as well")
	}
	if len(hemSeam) > 0 {
		said = append(said, plan.And(hemSeam)+" to the seam by which a band or the like holds the garment's edge there: turned under, over its allowances, or caught in it")
	}
	if len(hem) > 0 {
		said = append(said, plan.And(hem)+" to the garment's hem allowance, once that is turned up, or left to hang free")
	}
	if len(said) > 0 {
		g.steps = append(g.steps, garmentStep{stage: stageLining, text: "Put the lining into the garment, wrong sides together, and sew it to it, by hand where no machine reaches: " + strings.Join(said, "; ") + "."})
	}
}
