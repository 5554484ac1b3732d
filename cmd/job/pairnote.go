package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/cmd/words"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// sameWayNote names the pieces of which several are cut, all the same way round, and
// that are not the same turned over: of a sleeve, two for one arm. A strip on the bias
// has slanted ends, and no sides.
func sameWayNote(pieces []*piece.Piece) string {
	var names []string
	for _, p := range pieces {
		if p.Count > 1 && !p.Mirrored && !p.Ready && !piece.HasTrimWord(p.Name, "binding") && !piece.HasTrimWord(p.Name, "bias") && !symmetrical(p) {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	are := "are"
	if len(names) == 1 {
		are = "is"
	}
	return fmt.Sprintf("%s %s cut several times the same way round, and not the same turned over: if a left and a right are meant, write mirrored: yes, or all are for one side", words.List(names), are)
}

// symmetrical reports whether a piece is its own mirror image, about its grain or
// across it: turned over, it lies as it did.
func symmetrical(p *piece.Piece) bool {
	const offMM = 2.0 // drawn by hand
	path := p.Outline.Path()
	points := path.Flatten(5)
	if len(points) == 0 {
		return true
	}
	mid, _ := planar.CentroidArea(plane.Close(orb.Ring(points)))
	sin, cos := math.Sincos(p.GrainDeg * math.Pi / 180)
	for _, along := range []orb.Point{{cos, sin}, {-sin, cos}} {
		m := curve.Mirror(mid, orb.Point{mid[0] + along[0], mid[1] + along[1]})
		if !slices.ContainsFunc(points, func(q orb.Point) bool {
			_, away := path.Nearest(m.Apply(q))
			return away > offMM
		}) {
			return true
		}
	}
	return false
}

// wholePairNote names the pieces that are drawn on the fold, and so are whole, and are
// cut as a left and a right besides.
func wholePairNote(pieces []*piece.Piece) string {
	for _, p := range pieces {
		if p.Centre != nil && p.Mirrored && p.Count > 1 && !p.Ready && piece.TrimWord(p.Name) == "" {
			return fmt.Sprintf("%s is drawn on the fold, and so each is a whole one, and %d are cut as left and right: if a single whole one is meant, write cut: 1 and leave mirrored out", p.Name, p.Count)
		}
	}
	return ""
}

// crossGrainNote doubts the grainlines of two pieces of the body where a long seam runs
// along the grain of the one and across that of the other.
func crossGrainNote(pieces []*piece.Piece) string {
	const (
		longMM             = 150.0
		alongDeg, crossDeg = 30.0, 60.0
	)
	toGrain := func(p *piece.Piece, e piece.Edge) float64 {
		chord := plane.Sub(e.Line.End(), e.Line.Start())
		deg := math.Abs(math.Remainder(math.Atan2(chord[1], chord[0])*180/math.Pi-p.GrainDeg, 180))
		if plane.Length(chord) < longMM {
			return math.NaN()
		}
		return deg
	}
	body := func(p *piece.Piece) bool { return p != nil && !p.Ready && piece.TrimWord(p.Name) == "" }
	for _, p := range pieces {
		for _, e := range p.Outline {
			if !body(p) || !slices.ContainsFunc([]string{"side", "inseam", "outseam", "centre", "center"}, func(w string) bool { return strings.Contains(e.Name, w) }) {
				continue
			}
			for _, ref := range e.Joins {
				q := pieceNamed(pieces, ref.Piece)
				if !body(q) {
					continue
				}
				for _, k := range q.Outline.Edge(ref.Edge) {
					own, other := toGrain(p, e), toGrain(q, q.Outline[k])
					if own > crossDeg && other < alongDeg {
						return fmt.Sprintf("%s/%s runs across the grain of %s, and %s, to which it is sewn, along that of %s: check the two grainlines, for cloth stretches and hangs otherwise across its grain", p.Name, e.Name, p.Name, ref, q.Name)
					}
				}
			}
		}
	}
	return ""
}
