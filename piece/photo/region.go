package photo

import (
	"image"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// region is a patch of cloth in the field, with its outlines in points of the
// picture.
type region struct {
	id    int32
	area  int             // points of the field
	box   image.Rectangle // in the field
	rim   bool            // it reaches the picture's edge
	rings []orb.Ring      // the outer one, clockwise on the page, and those of its holes, which run the other way
}

// regions is the patches of cloth of at least so many points, in reading order,
// and for each point of the field the patch that it is in.
func regions(labels []uint8, f *field, least int) ([]region, []int32) {
	is := make([]bool, len(labels))
	for k, l := range labels {
		is[k] = l == onCloth
	}
	ids, count := components(is, f.w, f.h)
	all := make([]region, count+1)
	for k, id := range ids {
		if id == 0 {
			continue
		}
		x, y := k%f.w, k/f.w
		r := &all[id]
		r.area++
		r.box = r.box.Union(image.Rect(x, y, x+1, y+1))
		r.rim = r.rim || x < 2 || y < 2 || x >= f.w-2 || y >= f.h-2
	}
	var out []region
	for id := int32(1); id <= count; id++ {
		if r := all[id]; r.area >= least {
			r.id = id
			r.rings = f.trace(ids, r)
			out = append(out, r)
		}
	}
	return out, ids
}

// trace walks round a patch along the sides of its points: the outer ring
// first, and then its holes. Rings are in points of the picture.
func (f *field) trace(ids []int32, r region) []orb.Ring {
	in := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < f.w && y < f.h && ids[y*f.w+x] == r.id
	}
	// A side runs with the cloth on its right, from one corner of the grid to
	// the next.
	type corner struct{ x, y int }
	next := map[corner][]corner{}
	var starts []corner
	add := func(a, b corner) {
		next[a] = append(next[a], b)
		starts = append(starts, a)
	}
	for y := r.box.Min.Y; y < r.box.Max.Y; y++ {
		for x := r.box.Min.X; x < r.box.Max.X; x++ {
			if !in(x, y) {
				continue
			}
			if !in(x, y-1) {
				add(corner{x, y}, corner{x + 1, y})
			}
			if !in(x+1, y) {
				add(corner{x + 1, y}, corner{x + 1, y + 1})
			}
			if !in(x, y+1) {
				add(corner{x + 1, y + 1}, corner{x, y + 1})
			}
			if !in(x-1, y) {
				add(corner{x, y + 1}, corner{x, y})
			}
		}
	}
	var out []orb.Ring
	for _, start := range starts {
		if len(next[start]) == 0 {
			continue
		}
		var ring orb.Ring
		at, from := start, corner{}
		for {
			ring = append(ring, orb.Point{float64(at.x * f.by), float64(at.y * f.by)})
			ways := next[at]
			pick := 0
			// Where two sides leave one corner, the turn to the right stays
			// with the points that hang together by their sides.
			if len(ways) == 2 && len(ring) > 1 {
				dx, dy := at.x-from.x, at.y-from.y
				if ways[1].x-at.x == -dy && ways[1].y-at.y == dx {
					pick = 1
				}
			}
			to := ways[pick]
			next[at] = append(ways[:pick:pick], ways[pick+1:]...)
			from, at = at, to
			if at == start {
				break
			}
		}
		out = append(out, ring)
	}
	// The outer ring is the one that runs clockwise.
	for i, ring := range out {
		if plane.SignedArea(ring) > 0 {
			out[0], out[i] = out[i], out[0]
			break
		}
	}
	return out
}
