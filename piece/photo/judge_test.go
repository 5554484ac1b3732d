package photo

import (
	"bytes"
	"context"
	"image/jpeg"
	"math"
	"runtime"
	"runtime/metrics"
	"slices"
	"time"

	"eke/piece/photo/staged"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// verdict is how one scrap of a staged picture was traced.
type verdict struct {
	seed    uint64
	cloth   staged.Weave
	sizeMM  float64 // of its larger side
	traced  bool
	outside float64   // mean distance of its outline from the truth, outside it; negative inside
	worst   float64   // largest distance, from either to the other
	most    float64   // 95 of 100 points of its outline are no farther
	area    float64   // of what was measured, over the truth's, less 1
	drawn   float64   // the same of the outline as it is drawn
	said    float64   // uncertainty
	off     float64   // square root of the mean square distance of what was measured from the truth
	uneven  float64   // standard deviation of the distances of its outline from the truth
	stains  int       // taken for holes, where there are none
	holes   []float64 // how far each is off at worst; infinite where it is missing
	doubt   string    // what was said of it
	number  int
}

// good is whether it is within every goal.
func (v *verdict) good() bool {
	return v.traced && v.worst <= 2 && v.outside <= 0.5 && math.Abs(v.area) <= 0.015 && v.stains == 0 && !slices.ContainsFunc(v.holes, func(h float64) bool { return h > 3 })
}

// sitting is what came of a staged picture.
type sitting struct {
	seed     uint64
	err      error
	tookS    float64 // from the picture to the outlines, on a machine that may be busy
	heapMB   float64 // the most that was seen in use
	mmPoint  float64
	verdicts []verdict // of those that are whole
	extra    int       // scraps that there are not
	unsaid   int       // that are cut off or touch, and were traced all the same
	said     int       // that are, and were left out
}

// sit traces a staged picture and compares it with the truth. Scraps are laid
// on themselves, for where a scrap lies does not matter.
func sit(s *staged.Scene) sitting {
	var file bytes.Buffer
	out := sitting{seed: s.Seed}
	if out.err = jpeg.Encode(&file, s.Picture(), &jpeg.Options{Quality: s.Quality}); out.err != nil {
		return out
	}
	var t *tracer
	out.tookS, out.heapMB = watched(func() {
		var p *Picture
		if p, out.err = Read(&file, "staged.jpg"); out.err == nil {
			t, out.err = trace(context.Background(), p, Options{})
		}
	})
	if out.err != nil {
		return out
	}
	out.judge(s, t)
	return out
}

// judge compares what was traced with the truth.
func (out *sitting) judge(s *staged.Scene, t *tracer) {
	out.mmPoint = t.out.MMPerPoint
	used := map[int]bool{}
	for _, c := range s.Scraps {
		seen := make([]orb.Point, len(c.Outline))
		for i, q := range c.Outline {
			seen[i] = t.view.ground(s.Camera.Point(q, s.Width, s.Height))
		}
		size := orb.Ring(seen).Bound()
		k := -1
		inner, _ := within([][]orb.Point{seen})
		for i, f := range t.out.Scraps {
			if c.Fate != staged.Whole {
				if plane.Holds(f.Outline, inner) {
					k = i
				}
				continue
			}
			if own, _ := within([][]orb.Point{f.Outline}); !plane.Holds(f.Outline, inner) && !plane.Holds(seen, own) {
				continue // it lies in the box of this one, but not on it
			}
			if d := plane.Distance(f.Outline.Bound().Center(), size.Center()); d < 0.2*math.Max(40, size.Max[0]-size.Min[0]) && !used[i] && (k < 0 || d < plane.Distance(t.out.Scraps[k].Outline.Bound().Center(), size.Center())) {
				k = i
			}
		}
		if k >= 0 {
			used[k] = true
		}
		if c.Fate != staged.Whole {
			if k >= 0 {
				out.unsaid++
			} else {
				out.said++
			}
			continue
		}
		v := verdict{seed: s.Seed, cloth: c.Cloth.Weave, sizeMM: math.Max(size.Max[0]-size.Min[0], size.Max[1]-size.Min[1])}
		if plane.Area(c.Outline) < 1.3*leastMM2 {
			continue // too small to be of use
		}
		if k >= 0 {
			f, to := t.out.Scraps[k], laidOn(seen, c.Outline)
			v.compare(f, c, to)
			for _, q := range f.seen[0] {
				d := plane.ToRing(c.Outline, to(t.view.ground(q)))
				v.off += d * d / float64(len(f.seen[0]))
			}
			v.off = math.Sqrt(v.off)
			v.doubt, v.number = t.doubted(f.Number), f.Number
		} else {
			v.doubt = t.leftOut(s.Camera, c.Outline, s.Width, s.Height)
		}
		out.verdicts = append(out.verdicts, v)
	}
	out.extra = len(t.out.Scraps) - len(used)
}

// doubted is what was said of a scrap that was traced.
func (t *tracer) doubted(number int) string {
	for _, p := range t.out.Problems {
		if p.Number == number {
			return p.What
		}
	}
	if small, _ := t.small(); slices.Contains(small, number) {
		return "so small"
	}
	for _, byLens := range [...]bool{false, true} {
		if far, _ := t.far(byLens); slices.Contains(far, number) {
			return "far"
		}
	}
	return ""
}

// leftOut is what was said where a scrap was left out.
func (t *tracer) leftOut(c staged.Camera, outline orb.Ring, w, h int) string {
	mid, _ := within([][]orb.Point{outline})
	at := c.Point(mid, w, h)
	for _, p := range t.out.Problems {
		if p.LeftOut && plane.Holds(p.seen[0], at) {
			return p.What
		}
	}
	return ""
}

// watched is how long something takes, and the most of the heap that is in use
// meanwhile beyond what was before, as looks at it every few milliseconds show.
func watched(do func()) (tookS, heapMB float64) {
	runtime.GC()
	inUse := func() uint64 {
		sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
		metrics.Read(sample)
		return sample[0].Value.Uint64()
	}
	before := inUse()
	most := before
	done, stopped := make(chan bool), make(chan bool)
	go func() {
		defer close(stopped)
		tick := time.NewTicker(5 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-done:
				return
			case <-tick.C:
				most = max(most, inUse())
			}
		}
	}()
	start := time.Now()
	do()
	tookS = time.Since(start).Seconds()
	close(done)
	<-stopped
	return tookS, float64(most-before) / (1 << 20)
}

func (v *verdict) compare(f Scrap, c staged.Scrap, to func(orb.Point) orb.Point) {
	v.traced, v.said = true, f.UncertainMM
	outline := moved(f.Outline, to)
	var all []float64
	points := dense(outline, 1)
	for _, q := range points {
		d := plane.ToRing(c.Outline, q)
		all = append(all, d)
		if plane.Holds(c.Outline, q) {
			d = -d
		}
		v.outside += d / float64(len(points))
		v.uneven += d * d / float64(len(points))
	}
	v.uneven = math.Sqrt(math.Max(0, v.uneven-v.outside*v.outside))
	v.worst = farthest(dense(c.Outline, 1), outline)
	for _, d := range all {
		v.worst = math.Max(v.worst, d)
	}
	v.most = quantile(all, 0.95)
	truth := plane.Area(c.Outline)
	drawn := plane.Area(f.Outline)
	for _, h := range c.Holes {
		truth -= plane.Area(h)
		off := math.Inf(1)
		for _, g := range f.Holes {
			m := moved(g, to)
			if !plane.Holds(m, h.Bound().Center()) && !plane.Holds(h, orb.Ring(m).Bound().Center()) {
				continue // another
			}
			off = math.Min(off, math.Max(farthest(m, h), farthest(h, m)))
		}
		v.holes = append(v.holes, off)
	}
	for _, h := range f.Holes {
		drawn -= plane.Area(h)
	}
	v.stains = max(0, len(f.Holes)-len(c.Holes))
	v.area, v.drawn = f.MeasuredMM2/truth-1, drawn/truth-1
}

func farthest(points []orb.Point, ring []orb.Point) (d float64) {
	for _, q := range points {
		d = math.Max(d, plane.ToRing(ring, q))
	}
	return d
}

func moved(ring []orb.Point, to func(orb.Point) orb.Point) []orb.Point {
	out := make([]orb.Point, len(ring))
	for i, q := range ring {
		out[i] = to(q)
	}
	return out
}

// dense is a ring with a point every so many mm.
func dense(ring []orb.Point, stepMM float64) []orb.Point {
	var out []orb.Point
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		n := max(1, int(plane.Distance(a, b)/stepMM))
		for k := range n {
			out = append(out, plane.Lerp(a, b, float64(k)/float64(n)))
		}
	}
	return out
}

// laidOn is the turn and shift that takes points to others as well as can be.
func laidOn(from, to []orb.Point) func(orb.Point) orb.Point {
	var a, b orb.Point
	k := 1 / float64(len(from))
	for i := range from {
		a, b = plane.Along(a, from[i], k), plane.Along(b, to[i], k)
	}
	var dot, cross float64
	for i := range from {
		p, q := plane.Sub(from[i], a), plane.Sub(to[i], b)
		dot += plane.Dot(p, q)
		cross += plane.Cross(p, q)
	}
	s, c := math.Sincos(math.Atan2(cross, dot))
	return func(q orb.Point) orb.Point {
		q = plane.Sub(q, a)
		return orb.Point{b[0] + c*q[0] - s*q[1], b[1] + s*q[0] + c*q[1]}
	}
}
