package draw

import (
	"slices"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Wherever a grid of pages cuts a part, its name is whole on one of them, and
// on each that is filled by the part; no label lies on a line or on another.
func TestNamesAreWholeInWindows(t *testing.T) {
	d := tshirt()
	shapes, err := Of(d).Shapes(0)
	require.NoError(t, err)
	layout, err := Of(d).LayoutShapes(0)
	require.NoError(t, err)
	all := append(shapes[:len(shapes):len(shapes)], layout...)
	rapid.Check(t, func(t *rapid.T) {
		s := all[rapid.IntRange(0, len(all)-1).Draw(t, "shape")]
		bound := s.Bound()
		width, height := rapid.Float64Range(150, 400).Draw(t, "width"), rapid.Float64Range(150, 400).Draw(t, "height")
		var windows []Window
		for x := bound.Min[0] - rapid.Float64Range(0, width).Draw(t, "x"); x < bound.Max[0]; x += width {
			for y := bound.Min[1] - rapid.Float64Range(0, height).Draw(t, "y"); y < bound.Max[1]; y += height {
				page := orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + width, y + height}}
				windows = append(windows, Window{page.Pad(6), page})
			}
		}
		before := len(s.Labels)
		named := s.NamedIn(windows)
		require.Len(t, s.Labels, before, "the shape itself is left as it was")
		for _, p := range append([]Shape{named}, named.Inner...) {
			requireNamed(t, p, windows)
		}
	})
}

func requireNamed(t *rapid.T, s Shape, windows []Window) {
	names, whole := 0, 0
	for _, l := range s.Labels {
		if l.Line == 1 {
			names++
			for _, w := range windows {
				if holds(w.Whole, l.bound()) {
					whole++
				}
			}
		}
	}
	if text, bad := crossed(s); bad {
		t.Fatalf("%s: %q is crossed", s.Name, text)
	}
	caption, rest, _, box, sizeMM := s.caption()
	if !plane.Holds(s.Region, box.Center()) {
		return // beside the shape, and never out of its box
	}
	name := block{caption.text[:caption.names/names], caption.names / names}
	space := s.space(rest)
	for _, w := range windows {
		v, ok := space.through(w.Clear)
		if !ok {
			continue
		}
		if _, _, room := largest(name, []seenSpace{v}, leastMM); room && whole == 0 {
			t.Fatalf("%s: its name is whole in none of %v", s.Name, windows)
		}
		_, _, room := largest(name, []seenSpace{v}, sizeMM)
		if room && v.area > share*boxArea(w.Clear) && !slices.ContainsFunc(s.Labels, func(l Label) bool { return l.Line == 1 && holds(w.Clear, l.bound()) }) {
			t.Fatalf("%s fills much of %v and is not named there", s.Name, w)
		}
	}
}

// The name of a scrap stands above it, where the room for it was kept free: it
// gets smaller to be whole on a page, and does not leave that room.
func TestNamesBesideStayInTheirBox(t *testing.T) {
	const words, sizeMM = "bit 3, nap runs with the arrow", 9.0
	s := Shape{Name: "bit 3", Region: []orb.Point{{0, 0}, {400, 0}, {400, 300}, {0, 300}}, Labels: []Label{
		{Text: words, SizeMM: sizeMM, Strong: true, Line: 1, At: orb.Point{Width(words, sizeMM) / 2, -sizeMM}},
	}}
	room := s.Labels[0].bound()
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(room.Min[0], room.Max[0]).Draw(t, "edge of the page")
		left, right := orb.Bound{Min: orb.Point{at - 200, -50}, Max: orb.Point{at, 350}}, orb.Bound{Min: orb.Point{at, -50}, Max: orb.Point{at + 200, 350}}
		got := s.NamedIn([]Window{{left, left}, {right, right}}).Labels
		require.Len(t, got, 1)
		box := got[0].bound()
		require.True(t, holds(room.Pad(1e-9), box), "%v leaves %v", box, room)
		require.True(t, holds(left.Pad(1e-9), box) || holds(right.Pad(1e-9), box), "cut at %g: %v", at, box)
		require.GreaterOrEqual(t, got[0].SizeMM, 0.4*sizeMM)
	})
}

// A name that no window cuts stays where it is, the only one.
func TestNamesThatAreWholeStay(t *testing.T) {
	s, err := Of(tshirt()).PartShape(0, 0)
	require.NoError(t, err)
	require.Equal(t, s, s.NamedIn([]Window{{s.Bound().Pad(1), s.Bound().Pad(1)}}))
}
