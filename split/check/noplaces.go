package check

import (
	"context"
	"fmt"
	"math"
	"slices"

	"eke/split/plan"
)

// wanting is a copy for which scraps are to be found: one for the whole of it, or
// one for each part that a seam makes.
type wanting struct {
	at  id
	cut bool
}

// choice is where a copy may go. A whole one is all on the first scrap.
type choice struct {
	before, beyond id
	lines          lines
	areas          [2]float64
}

// sharing is copies on scraps.
type sharing struct {
	*leastProof
	free  map[id]float64
	on    []wanting
	at    []choice
	tried int
}

// sound refuses a case of copies of which nothing is known.
func (p *leastProof) sound(copies []plan.SeamsOf) error {
	for i, c := range copies {
		at := id{c.Piece, c.Copy}
		if p.clouds[at] == nil {
			return fmt.Errorf("there is no piece %s to cut", at)
		}
		if c.Seams < 0 || c.Seams > 1 {
			return fmt.Errorf("of a copy with %d seams nothing is known", c.Seams)
		}
		if slices.ContainsFunc(copies[:i], func(o plan.SeamsOf) bool { return o.Piece == c.Piece && o.Copy == c.Copy }) {
			return fmt.Errorf("piece %s is listed twice", at)
		}
		if c.Seams > 0 && p.clouds[at].dartsIn() {
			return fmt.Errorf("piece %s is cut and has darts", at)
		}
	}
	return nil
}

// noPlaces proves that some copies, cut so often, find no scraps: every choice of
// scraps has one that is too small for what it is to hold.
func (p *leastProof) noPlaces(ctx context.Context, copies []plan.SeamsOf) error {
	s := &sharing{leastProof: p, free: map[id]float64{}}
	for _, at := range p.scrapAt {
		s.free[at] = p.cloth[at]
	}
	var left []wanting
	for _, c := range copies {
		left = append(left, wanting{id{c.Piece, c.Copy}, c.Seams == 1})
	}
	found, err := s.found(ctx, left)
	if err != nil {
		return err
	}
	if found {
		where := ""
		for i, w := range s.on {
			where += fmt.Sprintf("; %s on %s", w.at, s.at[i].before)
			if w.cut {
				where += fmt.Sprintf(" and %s, cut by a %s", s.at[i].beyond, s.at[i].lines.way)
			}
		}
		return fmt.Errorf("it is not ruled out that these copies find places%s", where)
	}
	return nil
}

// found looks for scraps for what is left, by backtracking: first for the copy
// that has the fewest choices.
func (s *sharing) found(ctx context.Context, left []wanting) (bool, error) {
	const most = 1_000_000
	if len(left) == 0 {
		return true, nil
	}
	if ctx.Err() != nil {
		return false, fmt.Errorf("there was no time to go through all choices of scraps")
	}
	best := -1
	var choices []choice
	for i, w := range left {
		all, err := s.choices(w)
		if err != nil {
			return false, err
		}
		if best < 0 || len(all) < len(choices) {
			best, choices = i, all
		}
	}
	rest := append(slices.Clone(left[:best]), left[best+1:]...)
	for _, c := range choices {
		if s.tried++; s.tried > most {
			return false, fmt.Errorf("there are too many choices of scraps to go through")
		}
		s.on, s.at = append(s.on, left[best]), append(s.at, c)
		s.free[c.before] -= c.areas[0]
		s.free[c.beyond] -= c.areas[1]
		found := s.holds()
		var err error
		if found {
			found, err = s.found(ctx, rest)
		}
		if found || err != nil {
			return found, err
		}
		s.free[c.before] += c.areas[0]
		s.free[c.beyond] += c.areas[1]
		s.on, s.at = s.on[:len(s.on)-1], s.at[:len(s.at)-1]
	}
	return false, nil
}

// choices are where a copy may go by itself, and by the area that is left.
func (s *sharing) choices(w wanting) (out []choice, err error) {
	const roundMM2 = 1
	c := s.clouds[w.at]
	if !w.cut {
		for _, on := range s.scrapAt {
			if s.allowed(w.at, on) && !s.whole[pair{w.at, on}] && c.wholeMM2 <= s.free[on]+roundMM2 {
				out = append(out, choice{before: on, beyond: on, areas: [2]float64{c.wholeMM2, 0}})
			}
		}
		return out, nil
	}
	for _, l := range families {
		if !l.tried(s.Kinds) {
			continue
		}
		for _, one := range s.scrapAt {
			for _, other := range s.scrapAt {
				if !s.allowed(w.at, one) || !s.allowed(w.at, other) {
					continue
				}
				b := s.levels(w.at, l, one, other, id{}, id{})
				if b.lo >= b.hi {
					continue
				}
				areas, err := c.parts(l, b, one == other, s.free[one])
				if err != nil {
					return nil, err
				}
				if areas[0] > s.free[one]+roundMM2 || areas[1] > s.free[other]+roundMM2 {
					continue
				}
				out = append(out, choice{one, other, l, areas})
			}
		}
	}
	return out, nil
}

// parts is the least area of the parts that a line makes which runs between some
// levels: of each, or where they lie on one scrap of both together, told as the
// first's.
func (c *cloud) parts(l lines, b bounds, together bool, free float64) (areas [2]float64, err error) {
	if !together {
		if areas[0], err = c.areaMM2(sideOf{l, true, b.lo}); err != nil {
			return areas, err
		}
		areas[1], err = c.areaMM2(sideOf{l, false, b.hi})
		return areas, err
	}
	// Together they need what the whole needs, and more along the line between them.
	whole := c.partsMM2
	areas[0] = whole
	const manyAllowances = 4
	if whole+manyAllowances*c.allowMM*math.Max(c.hi[0]-c.lo[0], c.hi[1]-c.lo[1]) < free || whole > free {
		return areas, nil
	}
	// From one level of a grid to the next, so that levels are looked at once.
	const grid = 4.0
	least := math.Inf(1)
	for at := math.Floor(b.lo/grid) * grid; at < b.hi; at += grid {
		near, err := c.areaMM2(sideOf{l, true, at})
		if err != nil {
			return areas, err
		}
		far, err := c.areaMM2(sideOf{l, false, at + grid})
		if err != nil {
			return areas, err
		}
		least = math.Min(least, near+far)
	}
	areas[0] = math.Max(whole, least)
	return areas, nil
}

// levels are those at which a line may cut a copy so that what lies before it goes
// on one scrap, beside some copy there, and what lies beyond it on another.
func (s *sharing) levels(at id, l lines, one, other, besideOne, besideOther id) bounds {
	b := s.clouds[at].leastMM[l]
	for _, k := range []sideOn{{trio{at, one, besideOne}, l}, {trio{at, one, id{}}, l}} {
		if ends, ok := s.ends[k]; ok {
			b.hi = math.Min(b.hi, ends[1])
		}
	}
	for _, k := range []sideOn{{trio{at, other, besideOther}, l}, {trio{at, other, id{}}, l}} {
		if ends, ok := s.ends[k]; ok {
			b.lo = math.Max(b.lo, ends[0])
		}
	}
	return b
}

// holds reports whether no two of the copies that have places are known to be too
// large to share a scrap.
func (s *sharing) holds() bool {
	for i, w := range s.on {
		if !w.cut {
			for k, o := range s.on[:i] {
				if !o.cut && s.at[i].before == s.at[k].before && s.beside[trio{w.at, s.at[i].before, o.at}] {
					return false
				}
			}
			continue
		}
		c := s.at[i]
		b := s.levels(w.at, c.lines, c.before, c.beyond, id{}, id{})
		for k, o := range s.on {
			if o.cut || i == k {
				continue
			}
			if s.at[k].before == c.before {
				b.hi = math.Min(b.hi, s.levels(w.at, c.lines, c.before, c.beyond, o.at, id{}).hi)
			}
			if s.at[k].before == c.beyond {
				b.lo = math.Max(b.lo, s.levels(w.at, c.lines, c.before, c.beyond, id{}, o.at).lo)
			}
		}
		if b.lo >= b.hi {
			return false
		}
	}
	return true
}
