package piece

import (
	"testing"

	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// loop is a closed path.
func loop(element string, points ...orb.Point) DraftLine {
	l := line(element, append(points, points[0])...)
	l.Closed = true
	return l
}

func darted(darts ...DraftLine) Draft {
	return rectangle(func(d *Draft) { d.Darts = darts })
}

func TestFishEye(t *testing.T) {
	top, left, bottom, right := orb.Point{50, 40}, orb.Point{42, 100}, orb.Point{50, 170}, orb.Point{58, 100}
	for name, points := range map[string][]orb.Point{
		"from an apex":        {top, right, bottom, left},
		"from a wide corner":  {right, bottom, left, top},
		"the other way round": {top, left, bottom, right},
	} {
		t.Run(name, func(t *testing.T) {
			p := made(t, darted(loop("dart", points...)))
			require.Len(t, p.FishEyes, 1)
			assert.Empty(t, p.Darts)
			assert.Empty(t, p.Notes)
			assert.ElementsMatch(t, []orb.Point{top, bottom}, p.FishEyes[0].Apex[:])
			assert.ElementsMatch(t, []orb.Point{left, right}, p.FishEyes[0].Wide[:])
		})
	}
	t.Run("closed by its ends", func(t *testing.T) {
		p := made(t, darted(line("dart", top, right, bottom, left, top)))
		assert.Len(t, p.FishEyes, 1)
	})
	t.Run("sides unlike", func(t *testing.T) {
		p := made(t, darted(loop("dart", top, orb.Point{70, 100}, bottom, left)))
		require.Len(t, p.Notes, 1)
		assert.Contains(t, p.Notes[0], "ease the longer on")
	})
	t.Run("unfolded", func(t *testing.T) {
		p := made(t, rectangle(func(d *Draft) {
			d.Folds = []DraftLine{line("fold", orb.Point{0, 0}, orb.Point{0, 200})}
			d.Darts = []DraftLine{loop("dart", top, right, bottom, left)}
		}))
		require.Len(t, p.FishEyes, 2)
		assert.InDelta(t, -p.FishEyes[0].Apex[0][0], p.FishEyes[1].Apex[0][0], 1e-9)
	})
	t.Run("mirrored", func(t *testing.T) {
		p := made(t, rectangle(func(d *Draft) {
			d.Count, d.Mirrored = 2, true
			d.Darts = []DraftLine{loop("dart", orb.Point{20, 40}, orb.Point{28, 100}, orb.Point{20, 170}, orb.Point{12, 100})}
		}))
		copies := p.Copies()
		assert.InDelta(t, 20, copies[0].FishEyes[0].Apex[0][0], 1e-9)
		assert.InDelta(t, 80, copies[1].FishEyes[0].Apex[0][0], 1e-9)
	})
}

func TestFishEyeErrors(t *testing.T) {
	good := []orb.Point{{50, 40}, {58, 100}, {50, 170}, {42, 100}}
	const element = `path "dart"`
	for _, c := range []struct {
		name  string
		darts []DraftLine
		says  string
	}{
		{"crosses the outline", []DraftLine{loop(element, orb.Point{50, 40}, orb.Point{58, 100}, orb.Point{50, 230}, orb.Point{42, 100})}, "not wholly inside the outline; move it in"},
		{"outside", []DraftLine{loop(element, orb.Point{150, 40}, orb.Point{158, 100}, orb.Point{150, 170}, orb.Point{142, 100})}, "not wholly inside"},
		{"touches the outline", []DraftLine{loop(element, orb.Point{50, 0}, orb.Point{58, 100}, orb.Point{50, 170}, orb.Point{42, 100})}, "not wholly inside"},
		{"crosses itself", []DraftLine{loop(element, orb.Point{50, 40}, orb.Point{58, 100}, orb.Point{42, 100}, orb.Point{50, 170})}, "crosses itself"},
		{"no width", []DraftLine{loop(element, orb.Point{50, 40}, orb.Point{50.2, 100}, orb.Point{50, 170}, orb.Point{49.8, 100})}, "no width"},
		{"no length", []DraftLine{loop(element, orb.Point{50, 40}, orb.Point{50, 40.3}, orb.Point{50, 40.6}, orb.Point{49.9, 40.3})}, "no width or no length"},
		{"a point", []DraftLine{{Element: element, Closed: true}}, "has 0 corners"},
		{"three corners", []DraftLine{loop(element, orb.Point{50, 40}, orb.Point{58, 100}, orb.Point{42, 100})}, "has 3 corners; give it four"},
		{"six corners", []DraftLine{loop(element, orb.Point{50, 40}, orb.Point{58, 90}, orb.Point{58, 100}, orb.Point{50, 170}, orb.Point{42, 100}, orb.Point{42, 90})}, "has 6 corners"},
		{"a square", []DraftLine{loop(element, orb.Point{50, 40}, orb.Point{80, 70}, orb.Point{50, 100}, orb.Point{20, 70})}, "cannot be told"},
		{"bent to one side", []DraftLine{loop(element, orb.Point{50, 40}, orb.Point{58, 100}, orb.Point{50, 170}, orb.Point{52, 100})}, "one side"},
		{"curved", []DraftLine{{Element: element, Closed: true, Line: append(curve.Path{curve.Cubic(good[0], orb.Point{80, 60}, orb.Point{80, 80}, good[1])}, curve.Polyline(good[1], good[2], good[3], good[0])...)}}, "straight legs"},
		{"two that cross", []DraftLine{loop("path", good...), loop(element, orb.Point{50, 60}, orb.Point{60, 110}, orb.Point{50, 180}, orb.Point{40, 110})}, "two darts overlap"},
		{"one in another", []DraftLine{loop("path", good...), loop(element, orb.Point{50, 80}, orb.Point{52, 100}, orb.Point{50, 120}, orb.Point{48, 100})}, "two darts overlap"},
		{"over a dart's apex", []DraftLine{loop(element, good...), line("path", orb.Point{45, 0}, orb.Point{50, 60}, orb.Point{55, 0})}, "two darts overlap"},
		{"too many", func() (all []DraftLine) {
			for k := range 17 {
				x := 5 + 5*float64(k)
				all = append(all, loop(element, orb.Point{x, 40}, orb.Point{x + 2, 100}, orb.Point{x, 160}, orb.Point{x - 2, 100}))
			}
			return all
		}(), "more than 16 darts with two points"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Make(darted(c.darts...))
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
			assert.Contains(t, err.Error(), `p.svg: "front", path "dart": `)
		})
	}
}
