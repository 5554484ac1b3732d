package job

import (
	"testing"

	"eke/piece"
	"eke/split/search"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A sleeve that is all but even has a front and a back by its notches and by what it is
// sewn to.
func TestSameWayNoteByNotchesAndJoins(t *testing.T) {
	t.Parallel()
	sleeve := func(offMM float64, backNotch, frontNotch piece.Notch, joins ...string) *piece.Piece {
		p := shaped("sleeve", 2, []string{"cap-front", "underarm-front", "hem", "underarm-back", "cap-back"},
			orb.Point{0, 100}, orb.Point{150 + offMM, 0}, orb.Point{90, -300}, orb.Point{-90, -300}, orb.Point{-150, 0})
		for k, n := range map[int]piece.Notch{0: frontNotch, 4: backNotch} {
			if n.Count > 0 {
				p.Outline[k].Notches = []piece.Notch{n}
			}
		}
		if len(joins) > 0 {
			p.Outline[0].Joins = []piece.Ref{{Piece: joins[0], Edge: "armhole"}}
			p.Outline[4].Joins = []piece.Ref{{Piece: joins[1], Edge: "armhole"}}
		}
		return p
	}
	capMM := sleeve(0, piece.Notch{}, piece.Notch{}).Outline[0].Line.Length()
	none, single := piece.Notch{}, func(atMM float64) piece.Notch { return piece.Notch{AtMM: atMM, Count: 1} }
	double := piece.Notch{AtMM: capMM - 80, Count: 2}
	for name, c := range map[string]struct {
		sleeve *piece.Piece
		doubt  bool
	}{
		"one notch and two":              {sleeve(0, double, single(80)), true},
		"one on the one side alone":      {sleeve(0, none, single(80)), true},
		"one that lies elsewhere":        {sleeve(0, single(capMM-80), single(95)), true},
		"the same on either side":        {sleeve(0, single(capMM-80), single(82)), false},
		"one at the top of the cap":      {sleeve(0, single(capMM), none), false},
		"a front and a back":             {sleeve(2, none, none, "front", "back"), true},
		"exactly even for all that":      {sleeve(0, none, none, "front", "back"), false},
		"a left and a right of one name": {sleeve(2, none, none, "left front", "right front"), false},
		"sewn to nothing":                {sleeve(2, none, none), false},
	} {
		require.Equal(t, c.doubt, sameWayNote([]*piece.Piece{c.sleeve}, nil, search.Options{}) != "", name)
	}
	band := sleeve(0, double, single(80))
	band.Name = "waistband"
	require.Empty(t, sameWayNote([]*piece.Piece{band}, nil, search.Options{}), "it is turned end for end")
}
