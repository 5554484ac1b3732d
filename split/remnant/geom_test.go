package remnant

import "github.com/peterstace/simplefeatures/geom"

func covers(g, h geom.Geometry) bool {
	ok, err := geom.Covers(g, h)
	return err == nil && ok
}

func intersects(g, h geom.Geometry) bool { return geom.Intersects(g, h) }
