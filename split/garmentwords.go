package split

import (
	"fmt"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/split/plan"
)

// say is a step as a sentence.
func (g *garment) say(s *garmentStep) string {
	if s.text != "" {
		return s.text
	}
	var more []string
	var pairs []pair
	times := 0
	for _, w := range s.seams {
		one := pair{g.besideStrip(w.A, w.B), g.besideStrip(w.B, w.A)}
		switch {
		case s.does == sewsOn && slices.Contains(s.trims, w.B[0].Piece),
			(s.stage == stageSleeve || s.stage == stageRound) && slices.ContainsFunc(w.B, func(r piece.Ref) bool { return hasWord(r.Edge, "cap") || hasWord(r.Piece, "sleeve") }),
			s.stage == stageInset && !g.isInset(w.A[0].Piece) && g.isInset(w.B[0].Piece):
			one = pair{one.to, one.sewn}
		}
		pairs = one.addTo(pairs)
		times = max(times, w.Seams)
		more = append(more, g.said(w)...)
	}
	more = append(more, g.layersSaid(s)...)
	more = append(more, g.openings(s)...)
	more = append(more, g.under(s)...)
	more = append(more, g.toClose(s)...)
	what := "Sew "
	switch {
	case s.does == closesBag:
		what = fmt.Sprintf("Close %s: ", s.trims[0])
	case s.does == closesRing:
		what = fmt.Sprintf("Sew the ends of %s together: ", plan.And(s.trims))
	case s.does == turns:
		what = fmt.Sprintf("Sew %s, right sides together: ", g.layerToLayer(s.trims[0]))
	case s.does == makes:
		what = fmt.Sprintf("Sew %s together: ", plan.And(s.trims))
	case s.does == sewsOn:
		what = fmt.Sprintf("Sew %s on: ", plan.And(s.sewn()))
	case s.stage == stageShoulder, s.stage == stageRaglan:
		what = "Sew the " + g.seamWord(s, times) + ": "
	case s.stage == stageSleeve:
		what = "Set in the sleeves while they lie flat: "
	case s.stage == stageRound:
		what = "Set in the sleeves in the round, by their notches, for their seam does not meet the side's: "
	case s.stage == stageInset && len(g.insets(s)) > 0:
		what = fmt.Sprintf("Set in %s: ", plan.And(g.insets(s)))
	case s.stage == stageSide && s.oneGo && len(pairs) > 1:
		what = "Sew "
		if s.says("underarm") {
			what += "side and underarm, each "
		}
		if what += "in one go from "; g.endsOnBody(s) || !s.goesThroughSleeve() {
			what += "end to end: "
		} else {
			what += "hem to hem: "
		}
	case s.stage == stageSide && len(pairs) > 1:
		what = "Sew the long seams: "
	case s.stage == stageSide:
		what = "Sew the " + g.seamWord(s, times) + ": "
	case len(pairs) == 1:
	case s.stage == stageNeck:
		what = "Sew the neck seam in one go: "
	case s.stage == stageWaist:
		what = "Sew the waist seam in one go: "
	case s.stage == stageCrotch:
		what = "Sew the crotch seam in one go, one leg inside the other: "
	default:
		what = "Sew in one go "
	}
	var said []string
	for _, p := range pairs {
		said = append(said, p.sewn+" to "+p.to)
	}
	if s.does == turns && len(pairs) == 0 {
		said = []string{plan.And(g.freeEdges(s.trims[0])) + ", which the pattern joins to nothing"}
	}
	return strings.Join(append([]string{what + plan.And(said)}, more...), "; ") + "."
}

// goesThroughSleeve reports whether a step's seams run from the hem of the body to that of the
// sleeve: those of tiers, one below the other, end at the waist.
func (s *garmentStep) goesThroughSleeve() bool {
	return s.says("underarm") || s.says("sleeve") || s.sews(func(r piece.Ref) bool { return hasWord(r.Piece, "sleeve") })
}

// says reports whether the name of an edge of a step has a word.
func (s *garmentStep) says(word string) bool {
	return s.sews(func(r piece.Ref) bool { return hasWord(r.Edge, word) })
}

// sews reports whether a step's seams sew such an edge.
func (s *garmentStep) sews(is func(piece.Ref) bool) bool {
	return slices.ContainsFunc(s.seams, func(w allowance.Walked) bool { return slices.ContainsFunc(w.A, is) || slices.ContainsFunc(w.B, is) })
}

// pair is what is sewn to what.
type pair struct{ sewn, to string }

// addTo adds a pair to others. What is sewn to the same is its other layer.
func (p pair) addTo(pairs []pair) []pair {
	for i := range pairs {
		if pairs[i].to == p.to && p.sewn != p.to {
			pairs[i].sewn += " and " + p.sewn + ", one on the other,"
			return pairs
		}
	}
	return append(pairs, p)
}

// sewn are those of a step's trims that its seams sew.
func (s *garmentStep) sewn() (out []string) {
	for _, t := range s.trims {
		if s.sews(func(r piece.Ref) bool { return r.Piece == t }) {
			out = append(out, t)
		}
	}
	return out
}

// under says which edges lie under those that a step sews on, though no join says
// so: of an undercollar that is sewn to its collar, the edge of the same name.
func (g *garment) under(s *garmentStep) (out []string) {
	if s.does != sewsOn {
		return nil
	}
	sewn := s.sewn()
	for _, w := range s.seams {
		for _, r := range slices.Concat(w.A, w.B) {
			for _, t := range s.trims {
				layer := piece.Ref{Piece: t, Edge: r.Edge}
				if slices.Contains(sewn, t) || !slices.Contains(sewn, r.Piece) || !g.unjoined(layer) || !g.goesRound(layer, []piece.Ref{r}) {
					continue
				}
				if one := fmt.Sprintf("%s goes into the same seam, as a layer of %s", layer, r.Piece); !slices.Contains(out, one) {
					out = append(out, one)
				}
			}
		}
	}
	return out
}

// openings says where a seam of the body is not sewn: where a pocket sits in it.
func (g *garment) openings(s *garmentStep) (out []string) {
	for _, p := range g.pieces {
		if s.does == sewsBody && slices.ContainsFunc(s.seams, func(w allowance.Walked) bool { return g.opensInto(w, p.Name) }) {
			out = append(out, "leave open along the opening of "+p.Name)
		}
	}
	return out
}

// unjoined reports whether a piece has an edge that the pattern joins to nothing.
func (g *garment) unjoined(r piece.Ref) bool {
	p := g.named(r.Piece)
	at := p.Outline.Edge(r.Edge)
	return len(at) > 0 && len(p.Outline[at[0]].Joins) == 0
}

// toClose says what is to be closed first of a row that the pattern's joins leave in
// two, as the legs of trousers whose crotch is joined to nothing.
func (g *garment) toClose(s *garmentStep) []string {
	var open []string
	for _, w := range s.seams {
		for k, times := range [][]int{w.TimesA, w.TimesB} {
			row, n := [][]piece.Ref{w.A, w.B}[k], 0
			for _, t := range times {
				n += t
			}
			if n < 2 || w.Seams > 1 || slices.Contains(s.trims, row[0].Piece) || g.allOne(row, s) {
				continue
			}
			found := len(open)
			for _, r := range row {
				if p := g.named(r.Piece); p.Count > 1 {
					for _, b := range g.beside(r) {
						if at := p.Outline.Edge(b.Edge); len(p.Outline[at[0]].Joins) == 0 && !slices.Contains(open, b.String()) {
							open = append(open, b.String())
						}
					}
				}
			}
			if len(open) == found {
				return []string{"the pattern does not say how the copies of " + inRow(row) + " become one: close them first"}
			}
		}
	}
	if len(open) == 0 {
		return nil
	}
	return []string{"first close " + plan.And(open) + ", which the pattern joins to nothing, where a seam belongs there"}
}

// endsOnBody reports whether a seam of a step ends on an edge of the garment's body
// that is sewn later, as at the waist of a dress.
func (g *garment) endsOnBody(s *garmentStep) bool {
	return s.sews(func(r piece.Ref) bool {
		return slices.ContainsFunc(g.seams, func(v seamOf) bool {
			return g.steps[v.step].does == sewsBody && g.stage(v) > s.stage && (g.meets(v.A, []piece.Ref{r}) || g.meets(v.B, []piece.Ref{r}))
		})
	})
}

// seamWord is the name that all the edges of a step share, as seams are called.
func (g *garment) seamWord(s *garmentStep, times int) string {
	word := map[float64]string{stageShoulder: "shoulder seam", stageRaglan: "raglan seam", stageSide: "side seam"}[s.stage]
	shared := s.seams[0].A[0].Edge
	for _, w := range s.seams {
		for _, r := range append(slices.Clone(w.A), w.B...) {
			if r.Edge != shared {
				shared = ""
			}
		}
	}
	stageName, _, _ := strings.Cut(word, " ")
	if shared != "" && !hasWord(shared, stageName) {
		word = shared + " seam"
	} else if shared == "" && !slices.ContainsFunc(s.seams, func(w allowance.Walked) bool { return hasWord(w.A[0].Edge, stageName) }) {
		word = "seam"
	}
	if times > 1 || len(s.seams) > 1 {
		word += "s"
	}
	return word
}

// said is what else there is to say of a seam: ease, gathers, and that it was
// moved.
func (g *garment) said(w allowance.Walked) []string {
	const leastMM = 1.0 // less eases in by itself
	long, short, over := w.A, w.B, w.DifferenceMM()
	if over < 0 {
		long, short, over = short, long, -over
	}
	var out []string
	switch {
	case over < leastMM:
	case w.Stretch:
		out = append(out, fmt.Sprintf("it lies along a stretch of %s, %.0f mm long, which the pattern does not place", inRow(w.B), w.AMM))
	case w.EasesIn():
		out = append(out, fmt.Sprintf("ease in %.0f mm of %s", over, inRow(long)))
	case !slices.ContainsFunc(short, func(r piece.Ref) bool { return !isTrim(r.Piece) || g.named(r.Piece).Kind != "knit" }):
		out = append(out, fmt.Sprintf("stretch %s evenly, for it is %.0f mm shorter than %s", inRow(short), over, inRow(long)))
	default:
		out = append(out, fmt.Sprintf("%s is %.0f mm longer than %s: gather it, or stretch the other side", inRow(long), over, inRow(short)))
	}
	for _, mv := range g.moves {
		if joins(w, mv) {
			out = append(out, fmt.Sprintf("the seam lies %.0f mm over on the side of %s", mv.ByMM, mv.From.Piece))
			out = append(out, g.ranOn(mv)...)
		}
	}
	return out
}

// joins reports whether a seam is the one that was moved.
func joins(w allowance.Walked, mv Move) bool {
	return slices.Contains(w.A, mv.From) && slices.Contains(w.B, mv.To) || slices.Contains(w.A, mv.To) && slices.Contains(w.B, mv.From)
}

// inRow is edges that are sewn in a row.
func inRow(refs []piece.Ref) string {
	var out []string
	for _, r := range refs {
		out = append(out, r.String())
	}
	return strings.Join(slices.Compact(out), " + ")
}
