package draw

import (
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// rings are the outlines of some pieces in their view.
func rings(pieces []placed) (out [][]orb.Point) {
	for _, p := range pieces {
		out = append(out, apply(p.m, p.piece.ring()))
	}
	return out
}

// lapped are the pieces that lap over one of a view, or under it.
func (f *flat) lapped(p placed) (out []placed) {
	out = append(out, p.over...)
	for _, q := range f.body {
		for _, o := range q.over {
			if o.piece == p.piece {
				out = append(out, q)
			}
		}
	}
	return out
}

// outside are the stretches of a line that some rings leave free, in mm along it.
func outside(line []orb.Point, rings [][]orb.Point) (out []curve.Path) {
	path := curve.Polyline(line...)
	if len(rings) == 0 {
		return []curve.Path{path}
	}
	const stepMM, hairMM = 5.0, 1.0 // what is nearer to an outline than a hair is on it
	held := func(mm float64) bool {
		q, _ := path.At(mm)
		for _, r := range rings {
			if plane.Holds(r, q) && plane.ToRing(r, q) > hairMM {
				return true
			}
		}
		return false
	}
	long := path.Length()
	// turn is where between two places, the one free and the other not, that changes.
	turn := func(lo, hi float64) float64 {
		was := held(lo)
		for hi-lo > hairMM/4 {
			if mid := (lo + hi) / 2; held(mid) == was {
				lo = mid
			} else {
				hi = mid
			}
		}
		return (lo + hi) / 2
	}
	from, free := 0.0, !held(0)
	for at := 0.0; at < long; {
		next := min(at+stepMM, long)
		if held(next) == free {
			to := turn(at, next)
			if free && to-from > 2*hairMM {
				out = append(out, path.Between(from, to))
			}
			from, free = to, !free
		}
		at = next
	}
	if free && long-from > 2*hairMM {
		out = append(out, path.Between(from, long))
	}
	return out
}

// longest is the longest of some stretches of a line, and from where to where it runs in
// parts of that.
func longest(line []orb.Point, stretches []curve.Path) (out []orb.Point, from, to float64) {
	long := lengthOf(line)
	for _, s := range stretches {
		if l := s.Length(); l > (to-from)*long {
			at, _ := curve.Polyline(line...).Nearest(s.Start())
			out, from, to = s.Flatten(flattenMM), at/long, (at+l)/long
		}
	}
	return out, from, to
}
