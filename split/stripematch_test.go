package split

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// panel is a piece of straight lines, each with a name and what it is sewn to.
func stripedPanel(t require.TestingT, d piece.Draft, corners []orb.Point, names []string, joins map[string]piece.Ref) *piece.Piece {
	d.AllowanceMM, d.Outline.Closed = 10, true
	for i, a := range corners {
		s := curve.Line(a, corners[(i+1)%len(corners)])
		d.Outline.Line = append(d.Outline.Line, s)
		e := piece.DraftEdge{DraftLine: piece.DraftLine{Line: curve.Path{s}}, Name: names[i], AllowanceMM: -1}
		if to, ok := joins[names[i]]; ok {
			e.Joins = []piece.Ref{to}
		}
		d.Edges = append(d.Edges, e)
	}
	d.Grains = []piece.DraftLine{{Line: curve.Polyline(orb.Point{corners[0][0] + 20, corners[0][1] + 60}, orb.Point{corners[0][0] + 20, corners[0][1] + 160})}}
	p, err := piece.Make(d)
	require.NoError(t, err)
	return p
}

// Where two pieces that are sewn along mirror images of one line lie anywhere on the
// page, stripes that are to meet lie as far below the seam's upper end on both, and
// they meet all along.
func TestStripesMeetAlongMirroredSeams(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(-900, 900).Draw(t, "x"), rapid.Float64Range(-900, 900).Draw(t, "y")
		lean := rapid.Float64Range(-60, 60).Draw(t, "lean")
		repeat := rapid.Float64Range(5, 150).Draw(t, "repeat")
		side := []string{"top", "side", "hem", "other"}
		left := stripedPanel(t, piece.Draft{Name: "left"}, []orb.Point{{0, 0}, {200, 0}, {200 + lean, 400}, {0, 400}}, side, map[string]piece.Ref{"side": {Piece: "right", Edge: "seam"}})
		right := stripedPanel(t, piece.Draft{Name: "right"}, []orb.Point{{x, y}, {x + 220, y}, {x + 220, y + 400}, {x - lean, y + 400}}, []string{"top", "other", "hem", "seam"}, nil)
		m := NewStripeMatch(Copies([]*piece.Piece{left, right}), false, repeat, []string{""}, anyCloth)
		require.Equal(t, 1, m.Seams())
		s := m.seams[0]
		require.Equal(t, "at its lower end", s.place)
		require.InDelta(t, s.hi-s.lo, s.holds(0), 1e-6)
		for _, c := range m.Choices(7) {
			require.InDelta(t, 0, math.Remainder(m.At(1, c)-y-m.At(0, c), repeat), 1e-6)
			require.InDelta(t, 0, m.off(s, c), 1e-6)
		}
	})
}

// A dart in one of the edges shifts what lies above it: below they meet.
func TestStripesMeetBelowADart(t *testing.T) {
	front := stripedPanel(t, piece.Draft{Name: "front", Darts: []piece.DraftLine{{Line: curve.Polyline(orb.Point{200, 100}, orb.Point{120, 110}, orb.Point{200, 120})}}},
		[]orb.Point{{0, 0}, {200, 0}, {200, 420}, {0, 420}}, []string{"top", "side", "hem", "other"}, map[string]piece.Ref{"side": {Piece: "back", Edge: "side"}})
	back := stripedPanel(t, piece.Draft{Name: "back"}, []orb.Point{{0, 0}, {200, 0}, {200, 400}, {0, 400}}, []string{"top", "other", "hem", "side"}, nil)
	m := NewStripeMatch(Copies([]*piece.Piece{front, back}), false, 30, []string{"side"}, anyCloth)
	require.Equal(t, 1, m.Seams())
	require.InDelta(t, 300, m.seams[0].holds(0), 3)
	c := m.Choices(5)[0]
	require.InDelta(t, 0, math.Remainder(m.At(0, c)-20-m.At(1, c), 30), 1e-6)
	require.Zero(t, NewStripeMatch(Copies([]*piece.Piece{front, back}), false, 30, []string{"hem"}, anyCloth).Seams())
}

// Stripes that meet at a notch do so where the notches are laid on each other, though the one
// was drawn a little aside of where ease spread evenly would have it.
func TestStripesMeetNotchToNotch(t *testing.T) {
	const asideMM = 2.0
	aside := asideMM * math.Sqrt2 / 2 // along each axis, for the edges slope by 45°
	notch := func(x, y float64) []piece.DraftLine {
		return []piece.DraftLine{{Line: curve.Polyline(orb.Point{x, y}, orb.Point{x - 4, y + 4})}}
	}
	front := stripedPanel(t, piece.Draft{Name: "front", Notches: notch(220, 120)},
		[]orb.Point{{0, 0}, {100, 0}, {300, 200}, {300, 500}, {0, 500}}, []string{"top", "armhole", "side", "hem", "other"}, map[string]piece.Ref{"armhole": {Piece: "sleeve", Edge: "cap"}})
	sleeve := stripedPanel(t, piece.Draft{Name: "sleeve", Notches: []piece.DraftLine{{Line: curve.Polyline(orb.Point{80 - aside, 120 + aside}, orb.Point{84 - aside, 124 + aside})}}},
		[]orb.Point{{200, 0}, {300, 0}, {300, 500}, {0, 500}, {0, 200}}, []string{"top", "other", "hem", "side", "cap"}, nil)
	m := NewStripeMatch(Copies([]*piece.Piece{front, sleeve}), false, 30, []string{"armhole"}, anyCloth)
	require.Equal(t, 1, m.Seams())
	require.Equal(t, "at a notch", m.seams[0].place)
	c := m.Choices(5)[2]
	// A stripe at the one notch is a stripe at the other.
	require.InDelta(t, 0, math.Remainder((m.At(0, c)-120)-(m.At(1, c)-120-aside), 30), 0.01)
	require.InDelta(t, 0, m.off(m.seams[0], c), 1e-6)
}

// What is cut from plain cloth alone has no stripes to meet, and a stand is left out by
// its name.
func TestStripesOfOtherCloth(t *testing.T) {
	panel := func(name, to string) *piece.Piece {
		return stripedPanel(t, piece.Draft{Name: name}, []orb.Point{{0, 0}, {200, 0}, {200, 400}, {0, 400}}, []string{"top", "side", "hem", "other"}, map[string]piece.Ref{"side": {Piece: to, Edge: "side"}})
	}
	for name, c := range map[string]struct {
		other, at string
		striped   func(*piece.Piece) bool
		seams     int
	}{
		"striped":           {"panel", "", anyCloth, 1},
		"plain":             {"panel", "", func(p *piece.Piece) bool { return p.Name != "panel" }, 0},
		"plain, named":      {"panel", "panel/side", func(p *piece.Piece) bool { return p.Name != "panel" }, 0},
		"a stand":           {"stand", "", anyCloth, 0},
		"a stand, but said": {"stand", "stand/side", anyCloth, 1},
	} {
		copies := Copies([]*piece.Piece{panel("front", c.other), panel(c.other, "front")})
		require.Equal(t, c.seams, NewStripeMatch(copies, false, 30, []string{c.at}, c.striped).Seams(), name)
	}
}

// anyCloth is where any piece may be cut from striped cloth.
func anyCloth(*piece.Piece) bool { return true }

// Two halves that are mirror images meet at the seam between them, across the grain
// and, the same on both sides, along it.
func TestStripesOfTwoHalves(t *testing.T) {
	half := stripedPanel(t, piece.Draft{Name: "back", Count: 2, Mirrored: true}, []orb.Point{{0, 0}, {180, 40}, {190, 400}, {0, 400}},
		[]string{"top", "other", "hem", "centre"}, map[string]piece.Ref{"centre": {Piece: "back", Edge: "centre"}})
	copies := Copies([]*piece.Piece{half})
	m := NewStripeMatch(copies, false, 30, []string{""}, anyCloth)
	require.Equal(t, 1, m.Seams())
	c := m.Choices(5)[3]
	require.InDelta(t, 0, math.Remainder(m.At(0, c)-m.At(1, c), 30), 1e-6)
	require.True(t, m.Linked(0) && m.Linked(1))

	along := NewStripeMatch(copies, true, 30, []string{""}, anyCloth)
	lo, hi := extent(copies[0], copies[0].StripesOf(true))
	require.InDelta(t, 0, math.Remainder(along.At(0, c)+along.At(1, c)-lo-hi, 30), 1e-6)
	require.Zero(t, along.Seams(), "no stripe crosses the seam")
}

// Stripes along the grain meet at the shoulders, and have their like on either side
// of the middle.
func TestStripesAlongMeetAtTheShoulder(t *testing.T) {
	body := func(name, to string, x float64) *piece.Piece {
		return stripedPanel(t, piece.Draft{Name: name}, []orb.Point{{x - 80, 0}, {x + 80, 0}, {x + 200, 50}, {x + 200, 500}, {x - 200, 500}, {x - 200, 50}},
			[]string{"neck", "shoulder-left", "side", "hem", "side", "shoulder-right"}, map[string]piece.Ref{"shoulder-left": {Piece: to, Edge: "shoulder-right"}, "shoulder-right": {Piece: to, Edge: "shoulder-left"}})
	}
	m := NewStripeMatch(Copies([]*piece.Piece{body("front", "back", 0), body("back", "front", 613)}), true, 40, []string{""}, anyCloth)
	require.Equal(t, 2, m.Seams())
	choices := m.Choices(3)
	require.Len(t, choices, 2, "a stripe in the middle, or none")
	for _, c := range choices {
		for _, s := range m.seams {
			require.InDelta(t, 0, m.off(s, c), 1e-6)
			require.InDelta(t, s.hi-s.lo, s.holds(0), 1e-6)
		}
		require.InDelta(t, 0, math.Remainder(m.At(1, c)-613-m.At(0, c), 40), 1e-6)
		require.InDelta(t, 0, math.Remainder(2*m.At(0, c), 40), 1e-6)
	}
}

// Equal copies that go round the body are sewn to each other: each side to the next copy's.
func TestStripesOfARing(t *testing.T) {
	tier := stripedPanel(t, piece.Draft{Name: "tier"}, []orb.Point{{0, 0}, {300, 0}, {330, 240}, {-30, 240}}, []string{"top", "side", "hem", "side"}, map[string]piece.Ref{"side": {Piece: "tier", Edge: "side"}})
	for _, count := range []int{2, 3} {
		tier.Count = count
		m := NewStripeMatch(Copies([]*piece.Piece{tier}), false, 40, []string{"side"}, anyCloth)
		require.Equal(t, count, m.Seams())
		for _, s := range m.seams {
			require.InDelta(t, s.hi-s.lo, s.holds(0), 1e-6)
		}
		for _, c := range m.Choices(5) {
			require.InDelta(t, 0, math.Remainder(m.At(0, c)-m.At(1, c), 40), 1e-6)
		}
	}
	tier.Count = 1
	require.Zero(t, NewStripeMatch(Copies([]*piece.Piece{tier}), false, 40, []string{"side"}, anyCloth).Seams())
}
