package remnant

import (
	"math"

	"github.com/peterstace/simplefeatures/geom"
)

// overlay is a difference or an intersection. Lines that run along each other make one
// fail now and then. Then it is made anew with all turned on the page, which rounds the
// lines otherwise, and what comes of it is turned back, onto the grid.
func overlay(op func(a, b geom.Geometry) (geom.Geometry, error), a, b geom.Geometry) (geom.Geometry, error) {
	out, err := op(a, b)
	for _, deg := range []float64{7, 23, 51} {
		if err == nil {
			return out, nil
		}
		if out, err = op(turned(a, deg), turned(b, deg)); err == nil {
			if out = turned(out, -deg); out.Validate() != nil {
				out, err = geom.Buffer(out, 0) // a hair that rounding has crossed
			}
		}
	}
	return out, err
}

// turned is a geometry turned about the origin, onto the grid.
func turned(g geom.Geometry, deg float64) geom.Geometry {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return g.TransformXY(func(q geom.XY) geom.XY {
		return geom.XY{X: math.Round((cos*q.X-sin*q.Y)/gridMM) * gridMM, Y: math.Round((sin*q.X+cos*q.Y)/gridMM) * gridMM}
	})
}
