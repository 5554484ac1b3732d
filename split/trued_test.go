package split_test

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Two panels whose top lines meet at an angle: where the seam between them
// moves, the corner lies inside a piece, and is smoothed within 1 mm or told.
func TestMovedSeamsAreTrued(t *testing.T) {
	for name, c := range map[string]struct {
		slant, by float64
		trued     int
		left      bool
		told      int
	}{
		"no corner":                   {0, 60, 0, false, 0},
		"a slight one":                {3, 60, 2, false, 0},
		"too sharp to smooth":         {25, 60, 2, true, 2},
		"a strip too narrow for it":   {10, 20, 2, true, 2},
		"but not to be seen":          {5, 20, 2, true, 0},
		"too sharp for a line at all": {60, 60, 0, false, 0},
	} {
		t.Run(name, func(t *testing.T) {
			left, right := panel(t, "left", "right", 0, 400, 0, c.slant, 200), panel(t, "right", "left", 1000, 400, 0, -c.slant, 200)
			copies := []*piece.Piece{left, right}
			m := split.Move{From: ref("left", "joined"), To: ref("right", "joined"), ByMM: c.by}
			now, err := m.Apply(copies)
			require.NoError(t, err)
			_, d := proved(t, &split.Plan{Moves: []split.Move{m}, Pieces: now, Trees: []*split.Tree{{}, {}}}, copies)
			o := d.Options[0]
			require.Len(t, o.Trued, c.trued)
			for _, tr := range o.Trued {
				require.Equal(t, "right", tr.Piece)
				require.Equal(t, c.left, tr.Left)
				require.LessOrEqual(t, tr.MovedMM, 1.0)
				require.Equal(t, c.left, tr.MovedMM == 0)
			}
			require.Len(t, o.Notes, c.told)
			for _, n := range o.Notes {
				require.Regexp(t, `^right: a corner of \d+° stays in the \w+, \d+ mm along it from the \w+, for `, n)
				mm := regexp.MustCompile(`, (\d+) mm along`).FindStringSubmatch(n)
				require.Len(t, mm, 2)
				along, err := strconv.ParseFloat(mm[1], 64)
				require.NoError(t, err)
				require.InDelta(t, c.by, along, 3, "the strip is so wide there, and slants a little")
			}
		})
	}
}

// A dart that a seam takes in leaves the line across its mouth smooth, or the
// corner is told, and what smoothing moved is within 1 mm.
func TestDartMouthsAreTrued(t *testing.T) {
	for name, c := range map[string]struct {
		halfIntake float64
		way        split.Way
		level      float64
		left       bool
	}{
		"a narrow dart closed in one part": {3, split.Yoke{}, 200, false},
		"a wide one":                       {25, split.Yoke{}, 200, true},
		"a narrow dart, the seam down it":  {3, split.Panel{}, 120, false},
		"a wide one, the seam down it":     {25, split.Panel{}, 120, true},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := piece.Make(piece.Draft{
				Name: "skirt", AllowanceMM: 10,
				Outline: piece.DraftLine{Closed: true, Line: polygon(orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 400}, orb.Point{0, 400})},
				Grains:  []piece.DraftLine{{Line: curve.Polyline(orb.Point{150, 20}, orb.Point{150, 380})}},
				Darts:   []piece.DraftLine{{Line: curve.Polyline(orb.Point{120 - c.halfIntake, 400}, orb.Point{120, 200}, orb.Point{120 + c.halfIntake, 400})}},
			})
			require.NoError(t, err)
			pieces := []*piece.Piece{p}
			made, d := proved(t, cutting(pieces, "skirt", byHand(t, c.way, func(*split.Body) float64 { return c.level })), pieces)
			require.Len(t, made.Seams[0].Taken, 1)
			o := d.Options[0]
			require.Len(t, o.Trued, 1)
			// The straight hem comes together at the dart's own angle.
			require.InDelta(t, 2*math.Atan(c.halfIntake/200)*180/math.Pi, o.Trued[0].CornerDeg, 0.1)
			require.Equal(t, c.left, o.Trued[0].Left)
			require.Equal(t, c.left, o.Trued[0].MovedMM == 0)
			require.LessOrEqual(t, o.Trued[0].MovedMM, 1.0)
			require.Equal(t, c.left, len(o.Notes) == 1)
		})
	}
}
