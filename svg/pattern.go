package svg

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// ReadPattern reads the pieces of a pattern as they were drawn, in mm on the
// page, for piece.Make to check. There is at least one. An error is a
// *piece.Error.
func ReadPattern(r io.Reader, file string) ([]piece.Draft, error) {
	root, err := parse(r, file)
	if err != nil {
		return nil, err
	}
	d, top, err := open(root, file)
	if err != nil {
		return nil, err
	}
	g := gatherer{d: d, words: patternWords, outlines: words{"seam", "cut"}, thing: "piece"}
	all, err := g.gather(top)
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, &piece.Error{File: file, Problem: "no pattern piece found", Cure: "draw each piece as a closed outline named seam, in a group with the piece's name"}
	}
	unread := append(facts{d: d, name: file, nodes: []*node{top}}.misspelt(words{"wish"}), g.hiddenNotes()...)
	var drafts []piece.Draft
	var lost unknown
	for i, f := range all {
		draft, err := d.draft(f, &lost)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			draft.Notes = append(unread, draft.Notes...)
		}
		if i == 0 {
			draft.Notes = append(d.pageNotes(all, g.outlines), draft.Notes...)
		}
		drafts = append(drafts, draft)
	}
	drafts[0].Notes = append(drafts[0].Notes, lost.note(file, "Name each that is a notch, a dart, a level or the like so")...)
	return drafts, nil
}

// draft reads the marks and facts of one piece, and adds to lost which of its shapes
// mean nothing.
func (d *drawing) draft(f found, lost *unknown) (piece.Draft, error) {
	draft := piece.Draft{Name: f.name, File: d.file, Bare: f.bare}
	r := markReader{d: d, name: f.name}
	all := facts{d: d, name: f.name, nodes: f.groups}
	var outlines []mark
	for _, m := range f.marks {
		if m.word == "seam" || m.word == "cut" {
			outlines = append(outlines, m)
			all.nodes = append(append(all.nodes, m.groups...), m.n)
		}
	}
	outline, err := r.chosen(outlines, &draft)
	if err != nil {
		return draft, err
	}
	if outline.word == "cut" {
		draft.TakeOff = allowance.SeamLine
	}
	if draft.Outline, err = r.outline(outline); err != nil {
		return draft, err
	}
	others, notes := r.unnamedDarts(f, draft.Outline.Line)
	draft.Notes = append(draft.Notes, notes...)
	lost.add(f.name, f.unexplained(patternWords, others))
	if draft.Ready, err = all.ready(); err != nil {
		return draft, err
	}
	if v, _, _ := all.get("cut"); v != "0" {
		if draft.Count, err = all.count("cut"); err != nil {
			return draft, err
		}
	}
	if draft.Optional, err = all.yes("optional"); err != nil {
		return draft, err
	}
	if draft.Mirrored, err = all.yes("mirrored"); err != nil {
		return draft, err
	}
	if draft.Side, err = all.side(); err != nil {
		return draft, err
	}
	if draft.AllowanceMM, err = all.allowance(); err != nil {
		return draft, err
	}
	if fabric, _, ok := all.get("fabric"); ok {
		draft.Fabrics = piece.ParseFabrics(fabric)
	}
	if draft.Kind, err = all.kind(); err != nil {
		return draft, err
	}
	if draft.Use, err = all.use(); err != nil {
		return draft, err
	}
	if draft.Lining, err = all.lining(); err != nil {
		return draft, err
	}
	draft.Notes = append(append(draft.Notes, all.misspelt(pieceFacts)...), all.twice(pieceFacts)...)
	if err := r.marks(f.marks, &draft); err != nil {
		return draft, err
	}
	if n := len(draft.Notches) + len(draft.Keeps) + len(draft.Edges); n > maxMarks {
		return draft, &piece.Error{File: d.file, Piece: f.name, Problem: fmt.Sprintf("the piece has %d notches, edges and keep zones", n), Cure: fmt.Sprintf("keep to %d", maxMarks)}
	}
	if n := len(draft.Edges); n > maxEdges {
		return draft, &piece.Error{File: d.file, Piece: f.name, Problem: fmt.Sprintf("the piece has %d edges", n), Cure: fmt.Sprintf("keep to %d", maxEdges)}
	}
	draft.Notes = append(append(draft.Notes, f.notes...), f.unread(patternWords, nil)...)
	dropNumbers(draft.Edges, r.edgeByID)
	return draft, nil
}

// chosen is the one outline of a piece. Where the seam line and the cutting
// line are both drawn, the seam line counts.
func (r *markReader) chosen(outlines []mark, draft *piece.Draft) (mark, error) {
	var one mark
	for _, m := range outlines {
		switch {
		case one.n == nil:
			one = m
		case one.word == m.word:
			return one, r.errorf(m, fmt.Sprintf("a second %s outline", m.word), "put each piece in a group of its own")
		case m.word == "seam":
			one = m
		}
	}
	if len(outlines) > 1 {
		draft.Notes = append(draft.Notes, fmt.Sprintf("%s: both its seam line and its cutting line are drawn: the seam line counts, with the allowances given", r.name))
	}
	return one, nil
}

// markReader reads the marks of one piece or scrap.
type markReader struct {
	d        *drawing
	name     string
	edgeByID []bool // which of the draft's edges are named by an id
}

func (r *markReader) errorf(m mark, problem, cure string) error {
	if m.sub != nil {
		cure += "; " + onlyDrawing
	}
	return &piece.Error{File: r.d.file, Piece: r.name, Element: m.n.el.String(), Problem: problem, Cure: cure}
}

// lines is what a mark draws; moves without a line are left out unless they
// are all there is.
func (r *markReader) lines(m mark) ([]subpath, error) {
	subs, err := r.d.lines(m.n)
	if err != nil {
		return nil, r.errorf(m, err.Error(), "redraw it in the drawing program")
	}
	var drawn []subpath
	for _, s := range subs {
		if s.line.Length() > 0 {
			drawn = append(drawn, s)
		}
	}
	most := maxMarkLines
	switch m.word {
	case "seam", "cut", "outline", "hole", "flaw":
		most = maxSegments
	case "notch":
		most = maxNotchLines
	}
	for _, s := range drawn {
		if len(s.line) > most {
			return nil, r.errorf(m, fmt.Sprintf("this %s has %d line segments", m.word, len(s.line)), "simplify it in the drawing program")
		}
	}
	if len(drawn) > maxMarks {
		return nil, r.errorf(m, fmt.Sprintf("this %s is %d lines in one path", m.word, len(drawn)), fmt.Sprintf("keep to %d", maxMarks))
	}
	if len(drawn) > 0 {
		return drawn, nil
	}
	if len(subs) == 0 {
		return nil, r.errorf(m, fmt.Sprintf("this %s draws nothing", m.word), "draw it, or remove it")
	}
	return subs[:1], nil
}

// one is a mark that is a single line.
func (r *markReader) one(m mark) (piece.DraftLine, error) {
	subs, err := r.lines(m)
	if err != nil {
		return piece.DraftLine{}, err
	}
	if len(subs) > 1 {
		return piece.DraftLine{}, r.errorf(m, fmt.Sprintf("this %s is %d lines in one path", m.word, len(subs)), "break the path apart")
	}
	return r.draftLine(m, subs[0]), nil
}

func (r *markReader) draftLine(m mark, s subpath) piece.DraftLine {
	line := s.line
	if line.Length() == 0 {
		line = nil
	}
	return piece.DraftLine{Element: m.n.el.String(), Line: line, Closed: s.closed, Point: s.at}
}

func (r *markReader) outline(m mark) (piece.DraftLine, error) {
	subs, err := r.lines(m)
	if err != nil {
		return piece.DraftLine{}, err
	}
	if len(subs) > 1 {
		return piece.DraftLine{}, r.errorf(m, fmt.Sprintf("the outline is %d lines in one path", len(subs)), "keep the piece's one outline: break the path apart and take the name off the rest")
	}
	return r.draftLine(m, subs[0]), nil
}

// marks reads everything of a piece but its outline.
func (r *markReader) marks(marks []mark, draft *piece.Draft) error {
	var grains []mark
	for _, m := range marks {
		switch m.word {
		case "seam", "cut":
			continue
		case "grain":
			grains = append(grains, m)
			continue
		case "notch":
			subs, err := r.lines(m)
			if err != nil {
				return err
			}
			for _, s := range subs {
				draft.Notches = append(draft.Notches, r.notch(m, s))
			}
			continue
		case "keep":
			subs, err := r.lines(m)
			if err != nil {
				return err
			}
			for _, s := range subs {
				draft.Keeps = append(draft.Keeps, r.draftLine(m, s))
			}
			continue
		}
		line, err := r.one(m)
		if err != nil {
			return err
		}
		switch m.word {
		case "dart":
			draft.Darts = append(draft.Darts, line)
		case "fold":
			draft.Folds = append(draft.Folds, line)
		case "level":
			draft.Levels = append(draft.Levels, line)
		case "edge":
			e, err := r.edge(m, line, draft)
			if err != nil {
				return err
			}
			draft.Edges = append(draft.Edges, e)
		}
	}
	var err error
	draft.Grains, err = r.grains(grains)
	return err
}

// notch reads one notch: a line that crosses the outline, or a place. A V is
// where its two ends are the middle of, and a dot is its centre.
func (r *markReader) notch(m mark, s subpath) piece.DraftLine {
	out := r.draftLine(m, s)
	switch {
	case s.looped():
		out.Line, out.Point = nil, s.line.Bound().Center()
	case len(out.Line) == 2:
		a, b := out.Line.Start(), out.Line.End()
		out.Line, out.Point = nil, orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	}
	out.Closed = false
	return out
}

// looped reports whether a line comes back to where it starts.
func (s *subpath) looped() bool {
	if s.closed {
		return s.line.Length() > 0
	}
	const gapMM = 0.1
	return len(s.line) > 1 && plane.Distance(s.line.End(), s.line.Start()) <= gapMM
}

// grains is the grainline of each element or group named grain: its longest
// straight run, for arrow heads are drawing only.
func (r *markReader) grains(marks []mark) ([]piece.DraftLine, error) {
	var out []piece.DraftLine
	var bends []float64 // of each, how far its line bends
	var from []mark
	of := map[*node]int{} // the outermost group that is one grainline
	for _, m := range marks {
		subs, err := r.lines(m)
		if err != nil {
			return nil, err
		}
		long, curved := longest(subs)
		line := piece.DraftLine{Element: m.n.el.String(), Line: long, Point: subs[0].at}
		if len(m.groups) == 0 {
			if long == nil && curved {
				return nil, r.errorf(m, "the grainline is curved", "draw it as one straight line")
			}
			out, from, bends = append(out, line), append(from, m), append(bends, bendDeg(subs, long))
			continue
		}
		whole := m.groups[len(m.groups)-1]
		if i, ok := of[whole]; !ok {
			of[whole] = len(out)
			out, from, bends = append(out, line), append(from, m), append(bends, bendDeg(subs, long))
		} else if long.Length() > out[i].Line.Length() {
			out[i], from[i], bends[i] = line, m, bendDeg(subs, long)
		}
	}
	for i, deg := range bends {
		if deg > 0 {
			return nil, r.errorf(from[i], fmt.Sprintf("the grainline bends by %.1f°", deg), "draw it as one straight line")
		}
	}
	return out, nil
}

// straightDeg is how far a line may turn and be meant as straight: a hand puts
// a point of a long line a millimetre or two beside it.
const straightDeg = 1.0

// longest is the longest straight run among some lines.
func longest(subs []subpath) (best curve.Path, curved bool) {
	for _, s := range subs {
		runs, bends := straightRuns(s.line)
		curved = curved || bends
		for _, run := range runs {
			if run.Length() > best.Length() {
				best = run
			}
		}
	}
	return best, curved
}

// straightRuns are the straight stretches of a line, neighbours that go on in
// one direction together.
func straightRuns(line curve.Path) (runs []curve.Path, curved bool) {
	goesOn := false
	for _, seg := range line {
		switch last := len(runs) - 1; {
		case seg.Curved:
			curved, goesOn = true, false
		case seg.Length() == 0:
		case goesOn && runs[last][0].TurnDeg(seg) <= straightDeg:
			runs[last] = curve.Polyline(runs[last].Start(), seg.P1)
		default:
			runs, goesOn = append(runs, curve.Path{seg}), true
		}
	}
	return runs, curved
}

// bendDeg is by how much the line that a grainline is of turns away from it
// elsewhere, for a stretch that is too long for an arrow head; 0 where it does
// not.
func bendDeg(subs []subpath, grain curve.Path) float64 {
	const headShare = 0.5 // of the grainline: heads are much shorter
	for _, s := range subs {
		runs, _ := straightRuns(s.line)
		if !slices.ContainsFunc(runs, func(run curve.Path) bool { return slices.Equal(run, grain) }) {
			continue
		}
		for _, run := range runs {
			turn := grain[0].TurnDeg(run[0])
			turn = math.Min(turn, 180-turn)
			if run.Length() > headShare*grain.Length() && turn > straightDeg {
				return turn
			}
		}
	}
	return 0
}

// edge reads a named stretch of the outline.
func (r *markReader) edge(m mark, line piece.DraftLine, draft *piece.Draft) (piece.DraftEdge, error) {
	e := piece.DraftEdge{DraftLine: line, Name: m.name}
	byID := m.byID
	for _, n := range append([]*node{m.n}, m.groups...) {
		if e.Name == "" { // its word stands alone: a name of its own beside it
			if name := realName(n); name != "" {
				e.Name = piece.EdgeName(name)
				if again := patternWords.read(name); again.word != "" {
					e.Name = again.name
				}
				byID = name == n.names()[0]
			}
		}
	}
	if strings.Trim(e.Name, "0123456789-") == "" {
		return e, r.errorf(m, "the edge has no name", "name it with two words, such as edge shoulder")
	}
	f := facts{d: r.d, name: r.name, nodes: append([]*node{m.n}, m.groups...)}
	var err error
	if e.AllowanceMM, err = f.allowance(); err != nil {
		return e, err
	}
	if e.Joins, err = f.joins(); err != nil {
		return e, err
	}
	if e.Ease, err = f.ease(); err != nil {
		return e, err
	}
	draft.Notes = append(append(draft.Notes, f.misspelt(edgeFacts)...), facts{d: r.d, name: r.name + "/" + e.Name, nodes: []*node{m.n}}.twice(edgeFacts)...) // groups give what edges share
	r.edgeByID = append(r.edgeByID, byID)
	return e, nil
}

// dropNumbers takes the number that a program put after an edge's id to keep
// it unique off its name, unless another edge of the piece has that name.
func dropNumbers(edges []piece.DraftEdge, byID []bool) {
	bare := make([]string, len(edges))
	uses := map[string]int{}
	for i, e := range edges {
		bare[i] = e.Name
		if byID[i] {
			bare[i] = numbered.ReplaceAllString(e.Name, "")
		}
		uses[bare[i]]++
	}
	for i := range edges {
		if bare[i] != "" && uses[bare[i]] == 1 {
			edges[i].Name = bare[i]
		}
	}
}
