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
	"eke/split/search"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// sameWayNote names the pieces of which several are cut, all the same way round, and
// that are not the same turned over: of a sleeve, two for one arm. A strip on the bias
// has slanted ends, and no sides, and cloth with no wrong side can be turned over.
func sameWayNote(pieces []*piece.Piece, cloth []piece.Scrap, o search.Options) string {
	var names []string
	for _, p := range pieces {
		if p.Count > 1 && !p.Mirrored && !p.Ready && !piece.HasTrimWord(p.Name, "binding") && !piece.HasTrimWord(p.Name, "bias") && !turnsOver(p, cloth, o) && (!symmetrical(p) || hasSides(p)) {
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

// turnsOver reports whether all cloth that a piece may come from has no wrong side.
func turnsOver(p *piece.Piece, cloth []piece.Scrap, o search.Options) bool {
	some := false
	for k := range cloth {
		if o.MayCut(p, &cloth[k]) {
			if !cloth[k].BothFaces {
				return false
			}
			some = true
		}
	}
	return some
}

// symmetrical reports whether a piece is its own mirror image, about whatever line: turned
// over, and turned round, it lies as it did.
func symmetrical(p *piece.Piece) bool {
	return p.Centre != nil || len(mirrors(p, byHandMM)) > 0
}

// byHandMM is how uneven a piece may be that is meant to be even, drawn by hand.
const byHandMM = 2.0

// mirrors are those that take a piece's outline to itself, but for offMM.
func mirrors(p *piece.Piece, offMM float64) (out []curve.Matrix) {
	const most = 256 // points of the outline that are asked for
	path := p.Outline.Path()
	points := path.Flatten(5)
	if len(points) == 0 {
		return []curve.Matrix{curve.Identity}
	}
	ring := plane.Close(orb.Ring(points))
	mid, _ := planar.CentroidArea(ring)
	asked := points
	if len(points) > most {
		asked = nil
		for k := range most {
			asked = append(asked, points[k*len(points)/most])
		}
	}
	for _, rad := range axes(ring, mid, p.GrainDeg*math.Pi/180) {
		sin, cos := math.Sincos(rad)
		m := curve.Mirror(mid, orb.Point{mid[0] + cos, mid[1] + sin})
		if !slices.ContainsFunc(asked, func(q orb.Point) bool {
			_, away := path.Nearest(m.Apply(q))
			return away > offMM
		}) {
			out = append(out, m)
		}
	}
	return out
}

// axes are the directions, in radians, of lines through the middle of an outline about
// which it may be its own mirror image: along and across the grain, and the way it is
// longest or shortest; and where that is no one way, as of a square, through its furthest
// point, or midway between that and another as far, for a mirror takes it to one of these.
func axes(ring orb.Ring, mid orb.Point, grainRad float64) []float64 {
	const (
		offMM     = 2.0
		mostOther = 8
	)
	var xx, xy, yy float64 // second moments of the area about the middle
	far, most := 0.0, orb.Point{}
	for k := 1; k < len(ring); k++ {
		a, b := plane.Sub(ring[k-1], mid), plane.Sub(ring[k], mid)
		cross := plane.Cross(a, b)
		xx += cross * (a[0]*a[0] + a[0]*b[0] + b[0]*b[0])
		yy += cross * (a[1]*a[1] + a[1]*b[1] + b[1]*b[1])
		xy += cross * (a[0]*b[1] + 2*a[0]*a[1] + 2*b[0]*b[1] + b[0]*a[1]) / 2
		if r := plane.Length(b); r > far {
			far, most = r, b
		}
	}
	longest := math.Atan2(2*xy, xx-yy) / 2
	rad := math.Atan2(most[1], most[0])
	out := []float64{grainRad, grainRad + math.Pi/2, longest, longest + math.Pi/2, rad}
	for _, q := range ring[1:] {
		away := plane.Sub(q, mid)
		if len(out) < 5+mostOther && plane.Length(away) > far-offMM && plane.Distance(away, most) > offMM {
			out = append(out, (rad+math.Atan2(away[1], away[0]))/2)
		}
	}
	return out
}

// wholePairNote names the pieces that are drawn on the fold, and so are whole, and are
// cut as a left and a right besides, where what they are sewn to has seams for a single
// one. A sleeve is sewn to two sides.
func wholePairNote(pieces []*piece.Piece) string {
	var names []string
	count := 0
	for _, p := range pieces {
		if wholePair(p) && sewnOnce(p, pieces) {
			names, count = append(names, p.Name), p.Count
		}
	}
	switch len(names) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("%s is drawn on the fold, and so each is a whole one, and %d are cut as left and right: if a single whole one is meant, write cut: 1 and leave mirrored out", names[0], count)
	}
	return fmt.Sprintf("%s are drawn on the fold, and so each is a whole one, and several of each are cut as left and right: if a single whole one of each is meant, write cut: 1 and leave mirrored out", words.List(names))
}

func wholePair(p *piece.Piece) bool {
	return p.Centre != nil && p.Mirrored && p.Count > 1 && !p.Ready && piece.TrimWord(p.Name) == ""
}

// sewnOnce reports whether the pieces that a piece is sewn to have just the edges for a
// single copy of it, by one seam at least, and by none the edges for all copies. A piece
// that is itself drawn whole and cut as a pair counts as one.
func sewnOnce(p *piece.Piece, pieces []*piece.Piece) bool {
	once := false
	for i, e := range p.Outline {
		own := p.Outline.Edge(e.Name)
		if len(e.Joins) == 0 || own[0] != i {
			continue
		}
		others := 0
		for _, ref := range e.Joins {
			q := pieceNamed(pieces, ref.Piece)
			if q == nil || q == p || piece.TrimWord(q.Name) != "" {
				continue
			}
			count := q.Count
			if wholePair(q) {
				count = 1
			}
			others += count * len(q.Outline.Edge(ref.Edge))
		}
		switch others {
		case len(own):
			once = true
		case len(own) * p.Count:
			return false
		}
	}
	return once
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
