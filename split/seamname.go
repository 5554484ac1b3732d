package split

import (
	"math"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
)

// How far down a yoke's seam runs (common practice, no source): a seam lower
// than that is a cross seam.
const (
	belowUnderarmMM = 60  // on a bodice, below the underarm
	belowShoulderMM = 150 // on one whose armhole has no name, below the shoulder seam
	belowWaistMM    = 220 // on a skirt or trousers; hips are some 200 below the waist
)

// acrossName is what people call a seam across the grain where it runs on the
// piece. Near the shoulders, the chest or the hips, as the names of the piece's
// edges tell, it is a yoke's; elsewhere, as on a sleeve, a trouser leg, a band or
// another trimming, and where no names tell, it is a cross seam.
func acrossName(line curve.Path, p *piece.Piece) string {
	if onBias(p) {
		return diagonalSeam
	}
	if isYoke(line, p) {
		return "yoke seam"
	}
	return "cross seam"
}

// diagonalSeam is what people call a seam along the grain or across it of a piece that is cut
// on the bias: it runs aslant over the body.
const diagonalSeam = "diagonal seam"

// onBias reports whether a piece that was drawn on the fold hangs on the bias: its grain lies
// aslant to its centre. Of another nothing tells how it hangs, for it may be drawn aslant.
func onBias(p *piece.Piece) bool {
	const leastSin = 0.34 // of 20°
	if p.Centre == nil {
		return false
	}
	centre, grain := centreFrame(p), FrameOf(p.GrainDeg)
	return math.Abs(plane.Dot(centre.Down, grain.Down)) > leastSin && math.Abs(plane.Dot(centre.Down, grain.Right)) > leastSin
}

// centreFrame is the frame of the centre of a piece that was drawn on the fold.
func centreFrame(p *piece.Piece) Frame {
	along := plane.Sub(p.Centre.B, p.Centre.A)
	return FrameOf(math.Atan2(along[1], along[0]) * 180 / math.Pi)
}

// diagonalSides is what the parts on either side of such a seam are called: which of them is
// the upper as the piece hangs.
func diagonalSides(w Way, p *piece.Piece) (near, far string) {
	grain := FrameOf(p.GrainDeg)
	toFar := grain.Right
	if w.Traits().Runs == Across {
		toFar = grain.Down
	}
	if plane.Dot(toFar, centreFrame(p).Down) > 0 {
		return "upper", "lower"
	}
	return "lower", "upper"
}

// CalledAt is what people would call the seam of a line at that level.
func CalledAt(w Way, b *Body, levelMM float64) string {
	return w.Called(w.KindAt(b, levelMM), w.Line(b, levelMM), b.Piece)
}

func isYoke(line curve.Path, p *piece.Piece) bool {
	if hasWord(p.Name, "sleeve") || hasEdge(p, "cap") || hasEdge(p, "wrist") || piece.TrimWord(p.Name) != "" {
		return false
	}
	f := FrameOf(p.GrainDeg)
	_, from := f.Place(line.Start())
	_, to := f.Place(line.End())
	level := (from + to) / 2
	lo, hi := f.Box(p.Outline.Ring())
	down := func(top, mm float64) float64 { // how far mm lies below the top, whichever way up the piece is drawn
		if hi[1]-top < top-lo[1] {
			return top - mm
		}
		return mm - top
	}
	if shoulder, ok := meanLevel(p, f, "shoulder"); ok || hasEdge(p, "raglan") && hasEdge(p, "side") {
		if !ok {
			shoulder, ok = meanLevel(p, f, "neck")
		}
		chest, has := math.Inf(-1), false
		for _, u := range Underarms(p.Outline) {
			_, at := f.Place(u)
			chest, has = math.Max(chest, down(shoulder, at)), true
		}
		if has {
			return ok && down(shoulder, level) <= chest+belowUnderarmMM
		}
		return ok && down(shoulder, level) <= belowShoulderMM
	}
	waist, ok := meanLevel(p, f, "waist")
	reaches := math.Max(down(waist, lo[1]), down(waist, hi[1]))
	return ok && reaches > belowWaistMM && down(waist, level) <= belowWaistMM
}

// meanLevel is how far down the page the edges of that name lie.
func meanLevel(p *piece.Piece, f Frame, name string) (mm float64, ok bool) {
	length := 0.0
	for _, e := range p.Outline {
		if !hasWord(e.Name, name) {
			continue
		}
		_, a := f.Place(e.Line.Start())
		_, b := f.Place(e.Line.End())
		l := e.Line.Length()
		mm, length = mm+l*(a+b)/2, length+l
	}
	if length == 0 {
		return 0, false
	}
	return mm / length, true
}

func hasEdge(p *piece.Piece, name string) bool {
	for _, e := range p.Outline {
		if hasWord(e.Name, name) {
			return true
		}
	}
	return false
}
