package byhand

import (
	"fmt"
	"math"
	"strings"

	"eke/split"
)

// Way is a way to add a seam, as she may choose it.
type Way struct {
	Key, Name string
	split     split.Way
}

// Ways are all of them: those of every plan, the special cases left out that a more
// general one has, and the arc both ways wherever it may run.
func Ways() []Way {
	out := []Way{
		{"straight", "straight seam across", split.Yoke{}},
		{"panel", "lengthwise seam", split.Panel{}},
		{"arc-down", "arc across, its ends lower", split.CurvedYoke{}},
		{"arc-up", "arc across, its ends higher", split.CurvedYoke{Up: true}},
	}
	count := map[string]int{}
	for _, w := range split.Ways() {
		switch w.(type) {
		case split.Yoke, split.Panel, split.CurvedYoke:
			continue
		}
		if w.Traits().Within != "" {
			continue
		}
		kind := strings.ReplaceAll(w.Kind(), " ", "-")
		count[kind]++
		out = append(out, Way{fmt.Sprintf("%s-%d", kind, count[kind]), fmt.Sprintf("%s seam %d", w.Kind(), count[kind]), w})
	}
	return out
}

func wayOf(key string) (Way, bool) {
	for _, w := range Ways() {
		if w.Key == key {
			return w, true
		}
	}
	return Way{}, false
}

// Along reports whether its seams run along the grain.
func (w Way) Along() bool { return w.split != nil && w.split.Traits().Runs == split.Along }

// origin is the level from which a line's place on a copy is told: of the piece's
// top across the grain, of its left along it, and else of where it begins.
func (w Way) origin(whole *split.Body) float64 {
	switch w.split.Traits().Runs {
	case split.Across:
		return whole.Lo[1]
	case split.Along:
		return whole.Lo[0]
	}
	least := math.Inf(1)
	for _, q := range whole.Ring {
		least = math.Min(least, w.split.LevelOf(whole, q))
	}
	return least
}

// nearestIn is the level in some spans that is nearest to one.
func nearestIn(spans []split.Span, level float64) (float64, bool) {
	best, ok := 0.0, false
	for _, s := range spans {
		l := math.Min(math.Max(level, s.Lo), s.Hi)
		if !ok || math.Abs(l-level) < math.Abs(best-level) {
			best, ok = l, true
		}
	}
	return best, ok
}
