package search

import (
	"math"

	"github.com/peterstace/simplefeatures/geom"
)

// discsMM are radii. Discs of one radius within parts lie, on a bin, within discs that are
// wider by the allowance. So what such discs reach of the parts, with its allowance and
// half the gap round it, has no more room than what the wider discs reach of the bin. Wide
// parts on a ragged bin are told so to find no room where its area would be enough.
var discsMM = []float64{20, 30, 40, 50, 55, 60, 65, 70, 75, 80, 90, 100, 120}

// lain is a part of a shape that lies on a bin, or the whole where there is no family.
type lain struct {
	shape, family int
	before        bool
	level         float64
}

type discsOf struct {
	areaKey
	radius float64
}

type binDiscs struct {
	bin           int
	radius, allow float64
}

// discsFit reports whether discs of all radii find room on a bin; that they do not is a
// certain bound.
func (s *sharing) discsFit(bin int, parts []lain) bool {
	allow := s.table.options.AllowanceMM
	for _, l := range parts {
		allow = math.Min(allow, s.allow[s.shapes[l.shape].copy])
	}
	const clear = 1.05
	most := 0.0 // that discs reach of the parts, whatever their radius
	for _, l := range parts {
		if l.family < 0 {
			most += clear * s.room[s.shapes[l.shape].copy]
		} else {
			most += clear * s.areaOf(l.shape, l.family, l.before, l.level)
		}
	}
	for _, radius := range discsMM {
		if most < s.discsOn(bin, radius, allow) {
			continue
		}
		needs := 0.0
		for _, l := range parts {
			needs += s.discsOf(l, radius)
		}
		if needs > s.discsOn(bin, radius, allow) {
			return false
		}
	}
	return true
}

var roundly = []geom.BufferOption{geom.BufferQuadSegments(16), geom.BufferSimplifyFactor(1e-4)}

// discsOf is the area of what discs reach of a part, with what is round it.
func (a *exhaustion) discsOf(l lain, radius float64) float64 {
	sh := &a.shapes[l.shape]
	key := discsOf{areaKey{family: -1}, radius}
	var f *family
	level := l.level
	if l.family >= 0 {
		f = &sh.families[l.family]
		if !l.before {
			level += f.loose
		}
		key.areaKey = areaKey{f.asked, l.before, level}
	}
	if known, ok := sh.discs[key]; ok {
		return known
	}
	g := sh.polygon
	if f != nil {
		g = a.clipped(g, sh.copy, f, l.before, further(l.before, level, -areaClearMM))
	}
	area := 0.0
	const clear = 1.002
	if middles, err := geom.Buffer(g, -radius*clear, roundly...); err == nil && !middles.IsEmpty() {
		if round, err := geom.Buffer(middles, radius+a.sureAllowance(l.shape, f)+areaSureMM+a.table.options.GapMM/2, roundly...); err == nil {
			area = round.Area()
		}
	}
	sh.discs[key] = area
	return area
}

// discsOn is the area that parts with such an allowance have on a bin, as far as discs reach.
func (a *exhaustion) discsOn(bin int, radius, allow float64) float64 {
	key := binDiscs{bin, radius, allow}
	if known, ok := a.onBins[key]; ok {
		return known
	}
	area := math.Inf(1)
	const clear = 1.002
	deep := radius + allow - sayOffMM + areaSureMM/2
	if cloth, ok := a.table.bins[bin].clothPolygon(); ok {
		if middles, err := geom.Buffer(cloth, -deep, roundly...); err == nil {
			if round, err := geom.Buffer(middles, clear*(deep+a.table.options.GapMM/2), roundly...); err == nil {
				area = round.Area()
			}
		}
	}
	a.onBins[key] = area
	return area
}
