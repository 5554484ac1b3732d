package draw

import (
	"bytes"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// marked is the t-shirt with the level of its yoke marked on all it concerns:
// both parts at the seam's ends, and the back as far down the side.
func marked(t *testing.T) *plan.Document {
	d := tshirt()
	o := &d.Options[0]
	for i := range o.Parts {
		p := &o.Parts[i]
		for _, e := range p.Edges {
			if e.Name != "side" {
				continue
			}
			path := must(ParsePath(e.D))
			for _, at := range []orb.Point{{241, 430}, {-241, 430}} {
				along, away := path.Nearest(at)
				if away > 0.05 {
					continue
				}
				q, dir := path.At(along)
				p.Notches = append(p.Notches, plan.Notch{At: plan.Point(q), For: "side", Count: 1, Toward: plan.Point{dir[1], -dir[0]}, Level: "A"})
			}
		}
	}
	return d
}

// The mark on the back has the letter of the seam beside it, inside the part;
// where the seam itself ends its own letter is enough.
func TestLevelMarks(t *testing.T) {
	d := marked(t)
	for i, p := range d.Options[0].Parts {
		s, err := Of(d).PartShape(0, i)
		require.NoError(t, err)
		letters, ticks := 0, 0
		for _, l := range s.Labels {
			if l.Ringed && l.SizeMM <= levelMM {
				letters++
				require.Equal(t, "A", l.Text)
				require.True(t, plane.Holds(s.Region, l.At))
			}
		}
		for _, l := range s.Lines {
			if l.Stroke == Notch {
				ticks++
			}
		}
		want, notches := 0, 0
		if p.Name == "back" {
			want = 2
		}
		for _, n := range p.Notches {
			notches += n.Count
		}
		if p.Piece == "sleeve" {
			notches++ // the crown, where the halves of the cap meet
		}
		require.Equal(t, want, letters, p.Name)
		require.Equal(t, notches, ticks, p.Name)
	}
}

// A part with level marks is read with them as notches.
func TestPartsWithLevelMarksCanBeRead(t *testing.T) {
	d := marked(t)
	for i, want := range d.Options[0].Parts {
		var b bytes.Buffer
		require.NoError(t, Of(d).Part(&b, 0, i))
		got, err := svg.Pattern(&b, want.Name+".svg")
		require.NoError(t, err)
		s, err := Of(d).PartShape(0, i)
		require.NoError(t, err)
		same(t, want, got[0], plane.Scale(wholeMM(s.Bound().Pad(marginMM)).Min, -1))
	}
}

// A mark in a part too narrow for a letter has none.
func TestLevelMarkOfANarrowPart(t *testing.T) {
	var s Shape
	path := curve.Polyline(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 6}, orb.Point{0, 6}, orb.Point{0, 0})
	s.nameLevel(newFreeSpace(path), plan.Notch{At: plan.Point{50, 0}, Toward: plan.Point{0, -1}, Level: "A"}, curve.Identity, "A")
	require.Empty(t, s.Labels)
	wide := path.Transform(curve.Matrix{1, 0, 0, 10, 0, 0})
	s.nameLevel(newFreeSpace(wide), plan.Notch{At: plan.Point{50, 0}, Toward: plan.Point{0, -1}, Level: "A"}, curve.Identity, "A")
	require.Len(t, s.Labels, 1)
}
