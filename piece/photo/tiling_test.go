package photo

import (
	"image"
	"image/color"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A part of a patch that is another cloth is told from a part of its print, though they have colours
// in common.
func TestUnlike(t *testing.T) {
	t.Parallel()
	ground, blue, grey, black := color.Gray{220}, color.RGBA{70, 140, 190, 255}, color.Gray{110}, color.Gray{30}
	for name, c := range map[string]struct {
		in   [2]color.Color // stripes of the small part, which is at the large one's side
		part []orb.Point    // the small part, if it is not that
		is   bool
	}{
		"of one colour in common": {[2]color.Color{blue, grey}, nil, true},
		"of that alone":           {[2]color.Color{blue, blue}, nil, true},
		"the print":               {[2]color.Color{blue, black}, nil, false},
		"a corner":                {[2]color.Color{blue, grey}, []orb.Point{{40, 40}, {90, 40}, {40, 90}}, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(400, 240, ground)
			large, small := image.Rect(40, 40, 240, 200), image.Rect(240, 100, 330, 140)
			fill(large, blue)
			for x := large.Min.X; x < large.Max.X; x += 20 {
				fill(image.Rect(x, large.Min.Y, x+10, large.Max.Y), black)
			}
			for x := small.Min.X; x < small.Max.X; x += 20 {
				fill(image.Rect(x, small.Min.Y, x+10, small.Max.Y), c.in[1])
				fill(image.Rect(x+10, small.Min.Y, x+20, small.Max.Y).Intersect(small), c.in[0])
			}
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(large) || q.In(small) })
			p := tr.tiling(one, ids)
			part := c.part
			if part == nil {
				part = []orb.Point{{240, 90}, {340, 90}, {340, 150}, {240, 150}}
			}
			in := p.within(part)
			for i, is := range in {
				require.Equal(t, p.cloth[i] && plane.Holds(part, p.middle(i)), is)
			}
			times := p.unlike(in)
			require.Equal(t, c.is, times > partTimes, times)
			for i := range in {
				in[i] = p.cloth[i] && !in[i]
			}
			require.Equal(t, times, p.unlike(in))
		})
	}
}

// Of parts that have most of their looks in common, only a large one with a larger rest says that it is
// of another cloth.
func TestSharing(t *testing.T) {
	t.Parallel()
	ground, half, other := amounts{9, 0}, amounts{5, 4}, amounts{0, 9}
	for name, c := range map[string]struct {
		part, rest int // tiles, all of one look
		in         amounts
		is         bool
	}{
		"half of it in common":     {200, 400, half, true},
		"the same, of a large one": {200, 800, half, false},
		"the same, of a small one": {49, 800, half, true},
		"another cloth":            {49, 100, other, false},
	} {
		p := &tiling{}
		var in []bool
		for i := range c.part + c.rest {
			look := ground
			if i < c.part {
				look = c.in
			}
			p.cloth, p.looks, in = append(p.cloth, true), append(p.looks, look), append(in, i < c.part)
		}
		require.Equal(t, c.is, p.sharing(in), name)
		require.False(t, p.sliver(in), name)
	}
}
