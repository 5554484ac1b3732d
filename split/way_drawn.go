package split

import (
	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Drawn is a line that the pattern or the maker drew: it cuts where it is and
// cannot slide.
type Drawn struct {
	Name string
	Path curve.Path
}

func (d *Drawn) Kind() string              { return "drawn line" }
func (d *Drawn) Sides() (near, far string) { return "", "" }

func (d *Drawn) Traits() Traits                                 { return Traits{Runs: Slanting, Plain: true} }
func (d *Drawn) KindAt(*Body, float64) string                   { return d.Kind() }
func (d *Drawn) Called(string, curve.Path, *piece.Piece) string { return "seam along a drawn line" }
func (d *Drawn) Cost(*PiecingSeam, *piece.Piece) ([]Term, bool) { return nil, false }
func (d *Drawn) Instead(*PiecingSeam) []Way                     { return nil }

// Spans is the single level 0, where the line cuts the body in two.
func (d *Drawn) Spans(b *Body) []Span {
	if len(Chords(b.Outline, d.Line(b, 0))) != 1 {
		return nil
	}
	return []Span{{0, 0}}
}

// Line carries the path on straight at both ends, past the body.
func (d *Drawn) Line(b *Body, _ float64) curve.Path {
	reach := b.Hi[0] - b.Lo[0] + b.Hi[1] - b.Lo[1]
	first, last := d.Path[0], d.Path[len(d.Path)-1]
	u, v := first.Tangent(0), last.Tangent(1)
	before := orb.Point{first.P0[0] - reach*u[0], first.P0[1] - reach*u[1]}
	after := orb.Point{last.P1[0] + reach*v[0], last.P1[1] + reach*v[1]}
	line := append(curve.Path{curve.Line(before, first.P0)}, d.Path...)
	return append(line, curve.Line(last.P1, after))
}

func (d *Drawn) LevelOf(*Body, orb.Point) float64 { return 0 }
func (d *Drawn) Welcome(*Body) []float64          { return []float64{0} }
