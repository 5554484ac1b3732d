package lining

import (
	"fmt"
	"math"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// placeMarks takes the notches and darts of a block along with its lines.
func (b *block) placeMarks() {
	for i := range b.edges {
		e := &b.edges[i]
		for _, k := range e.Notches {
			at, _ := e.Line.At(k.AtMM)
			if mm, ok := e.onto(at); ok {
				e.marks = append(e.marks, mark{mm, k.Count})
			} else {
				b.notes = append(b.notes, fmt.Sprintf("a notch on %s lay below the new hem and is left out", b.called(i)))
			}
		}
	}
	line := b.outline()
	ring := orb.Ring(line.Flatten(curve.FlattenMM))
	var darts []piece.Dart
	for _, d := range b.darts {
		leg1, ok1 := b.leg(d.Apex, d.Leg1)
		leg2, ok2 := b.leg(d.Apex, d.Leg2)
		if !ok1 || !ok2 || !plane.Holds(ring, d.Apex) {
			b.notes = append(b.notes, "a dart that the lining has no room for is left out")
			continue
		}
		darts = append(darts, piece.Dart{Leg1: leg1, Apex: d.Apex, Leg2: leg2})
	}
	b.darts = darts
	kept := b.fishEyes[:0:0]
	for _, f := range b.fishEyes {
		if !f.Inside(line) {
			b.notes = append(b.notes, "a dart with two points that the lining has no room for is left out")
			continue
		}
		kept = append(kept, f)
	}
	b.fishEyes = kept
}

// leg is where a leg of a dart ends: on a hem that was raised above it, where it
// crosses that; else where its end was taken along.
func (b *block) leg(apex, end orb.Point) (orb.Point, bool) {
	for i := range b.edges {
		e := &b.edges[i]
		if _, away := e.Line.Nearest(end); away > 0.1 {
			continue
		}
		if hits := curve.Crossings(e.now, curve.Polyline(apex, end)); e.role == hem && len(hits) > 0 {
			return hits[0].At, true
		}
		if mm, ok := e.onto(end); ok {
			at, _ := e.now.At(mm)
			return at, true
		}
	}
	return orb.Point{}, false
}

// outline is the closed line of a block as it is now.
func (b *block) outline() curve.Path {
	var out curve.Path
	for i := range b.edges {
		out = append(out, b.edges[i].now...)
	}
	return out
}

// drawnName is what an edge is called in the pattern of the lining.
func (e *edge) drawnName() string {
	if e.role == shell && hasWord(e.Name, "hem") {
		return e.Name + piece.HemSeamSuffix
	}
	return e.Name
}

// draft draws a block. The fabric of the garment's piece is not asked for: a
// lining is of another cloth.
func (b *block) draft() piece.Draft {
	p := b.p
	d := piece.Draft{
		Name: p.Name, File: p.File, Count: p.Count, Mirrored: p.Mirrored, Side: p.Side, Kind: p.Kind, Use: piece.UseLining,
		AllowanceMM: piece.DefaultAllowanceMM,
	}
	line := b.outline()
	d.Outline = piece.DraftLine{Element: "the outline", Line: line, Closed: true}
	d.Grains = []piece.DraftLine{{Element: "the grainline", Line: b.grainline()}}
	for i := range b.edges {
		e := &b.edges[i]
		of := piece.DraftLine{Element: b.called(i), Line: e.now}
		switch {
		case e.role == fold:
			d.Folds = []piece.DraftLine{of}
		case e.Name == "":
			d.AllowanceMM = e.AllowanceMM
		default:
			d.Edges = append(d.Edges, piece.DraftEdge{DraftLine: of, Name: e.drawnName(), AllowanceMM: e.AllowanceMM, Joins: e.Joins, Ease: b.gathers(e)})
		}
		for _, k := range e.marks {
			for _, mark := range notchLines(e.now, k) {
				d.Notches = append(d.Notches, piece.DraftLine{Element: "a notch", Line: mark})
			}
		}
	}
	for _, t := range b.darts {
		d.Darts = append(d.Darts, piece.DraftLine{Element: "a dart", Line: curve.Polyline(t.Leg1, t.Apex, t.Leg2)})
	}
	for _, f := range b.fishEyes {
		d.Darts = append(d.Darts, piece.DraftLine{Element: "a dart with two points", Line: f.Line(), Closed: true})
	}
	for _, l := range b.levels {
		d.Levels = append(d.Levels, piece.DraftLine{Element: "a level line", Line: l})
	}
	for _, k := range b.keeps {
		d.Keeps = append(d.Keeps, piece.DraftLine{Element: "a keep zone", Line: k.Line, Closed: k.Closed})
	}
	return d
}

// gathers is the ease that an edge keeps: none where the seam is flat now.
func (b *block) gathers(e *edge) piece.Ease {
	if e.gathered {
		return e.Ease
	}
	return piece.Ease{}
}

// notchLines are the one, two or three short lines of a notch, across a line.
func notchLines(line curve.Path, k mark) []curve.Path {
	const pitchMM, reachMM = 4.0, 2.0
	length := line.Length()
	room := math.Min(k.atMM, length-k.atMM)
	pitch := pitchMM
	if k.count > 1 {
		pitch = math.Max(0, math.Min(pitchMM, 2*room/float64(k.count-1)))
	}
	var out []curve.Path
	for n := range k.count {
		q, dir := line.At(k.atMM + (float64(n)-float64(k.count-1)/2)*pitch)
		out = append(out, curve.Polyline(plane.Along(q, orb.Point{-dir[1], dir[0]}, reachMM), plane.Along(q, orb.Point{-dir[1], dir[0]}, -reachMM)))
	}
	return out
}

// grainline is a line along the grain through the middle of a block.
func (b *block) grainline() curve.Path {
	ring := orb.Ring(b.outline().Flatten(curve.FlattenMM))
	box := ring.Bound()
	sin, cos := math.Sincos(b.p.GrainDeg * math.Pi / 180)
	reach := math.Hypot(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
	// Of some lines along the grain, the longest that lies inside.
	const tries, inset = 7, 0.15
	var best curve.Path
	for k := range tries {
		off := (float64(k+1)/(tries+1) - 0.5) * reach
		at := plane.Along(box.Center(), orb.Point{-sin, cos}, off)
		across := curve.Polyline(plane.Along(at, orb.Point{cos, sin}, -reach), plane.Along(at, orb.Point{cos, sin}, reach))
		hits := curve.Crossings(b.outline(), across)
		for i := 1; i < len(hits); i++ {
			from, to := hits[i-1].OnQ, hits[i].OnQ
			if mid, _ := across.At((from + to) / 2); plane.Holds(ring, mid) && (best == nil || to-from > best.Length()/(1-2*inset)) {
				best = across.Between(from+inset*(to-from), to-inset*(to-from))
			}
		}
	}
	if best == nil {
		best = curve.Polyline(box.Center(), plane.Along(box.Center(), orb.Point{cos, sin}, 10))
	}
	return best
}

// meetNotches puts the notches of a seam of two edges where they meet to a hair:
// those of the second as far from the seam's ends as those of the first.
func meetNotches(blocks []*block, pieces []*piece.Piece) {
	for _, w := range allowance.Walk(pieces) {
		if len(w.Mates) == 0 || len(w.A) != 1 || len(w.B) != 1 || w.A[0] == w.B[0] || !w.EasesIn() {
			continue
		}
		for _, k := range w.Mates {
			setMark(blocks, w.B[0], w.BMM, k)
		}
	}
}

// setMark moves the mark of an edge that lies where a mate of it says, from
// either end, to where it meets.
func setMark(blocks []*block, ref piece.Ref, lengthMM float64, k allowance.Mate) {
	const sameMM = 0.01
	for _, b := range blocks {
		if b.p.Name != ref.Piece || len(b.darts) > 0 {
			continue
		}
		for i := range b.edges {
			e := &b.edges[i]
			if e.Name != ref.Edge || math.Abs(e.now.Length()-lengthMM) > 0.1 {
				continue
			}
			for n := range e.marks {
				m := &e.marks[n]
				switch {
				case m.count != k.Count:
				case math.Abs(m.atMM-k.BMM) < sameMM:
					m.atMM = math.Min(k.AMM, lengthMM)
				case math.Abs(lengthMM-m.atMM-k.BMM) < sameMM:
					m.atMM = math.Max(0, lengthMM-k.AMM)
				}
			}
		}
	}
}
