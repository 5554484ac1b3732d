package check

import (
	"context"
	"fmt"
	"math"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// rect is a rectangle with a corner at a place.
func rect(x, y, w, h float64) []point {
	return []point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}
}

// onCloth is a rectangle to be cut from one scrap, and a proof that it needs a seam.
func onCloth(w, h, allowanceMM float64, scrap plan.Scrap, cannot ...plan.Cannot) *plan.Document {
	d := fmt.Sprintf("M 0 0 L %g 0 L %g %g L 0 %g L 0 0", w, w, h, h)
	scrap.Name, scrap.Copy, scrap.GrainDeg, scrap.Face = "s", 1, 90, "one"
	return &plan.Document{
		Format:   plan.Format,
		Settings: plan.Settings{GrainToleranceDeg: 2, AllowanceMM: 10},
		Pieces:   []plan.Piece{{Name: "p", Copy: 1, SeamLine: rect(0, 0, w, h), GrainDeg: 90, Edges: []plan.Edge{edge("rim", allowanceMM, d)}}},
		Scraps:   []plan.Scrap{scrap},
		AtLeast:  &plan.AtLeast{Seams: 1, Cannot: cannot, Cases: []plan.SeamCase{{Copies: []plan.SeamsOf{{Piece: "p", Copy: 1}}}}},
	}
}

// Holes may lie over one another and over the rim: the cloth they take is gone once.
func TestHolesOverHolesTakeTheirClothOnce(t *testing.T) {
	t.Parallel()
	hole := rect(200, 0, 250, 400)
	scrap := plan.Scrap{Outline: rect(0, 0, 400, 400), Holes: [][]point{hole, hole, rect(210, 20, 180, 300)}}
	faults := AtLeast(t.Context(), onCloth(150, 150, 10, scrap))
	require.Len(t, faults, 1)
	require.Contains(t, faults[0].Detail, "it is not ruled out")
	scrap.Outline = rect(40, 0, 360, 100)
	require.Empty(t, AtLeast(t.Context(), onCloth(150, 150, 10, scrap)))
}

// A piece without allowance may be off its cloth by the slack, as a plan may.
func TestWithoutAllowanceTheSlackCounts(t *testing.T) {
	t.Parallel()
	byArea := func(has float64) plan.Cannot {
		return plan.Cannot{Piece: "p", Copy: 1, Scrap: "s", ScrapCopy: 1, By: "area", NeedsMM2: 500 * 700, HasMM2: has}
	}
	for _, c := range []struct {
		long float64
		ok   bool
	}{{699.95, false}, {690, true}} {
		scrap := plan.Scrap{Outline: rect(0, 0, 500, c.long)}
		require.Equal(t, c.ok, len(AtLeast(t.Context(), onCloth(500, 700, 0, scrap))) == 0, "%g by itself", c.long)
		require.Equal(t, c.ok, len(AtLeast(t.Context(), onCloth(500, 700, 0, scrap, byArea(500*c.long)))) == 0, "%g", c.long)
	}
}

// What is said to be the fewest is what is proved to be needed, and a proof that finds
// no time is none.
func TestFewestIsWhatIsProved(t *testing.T) {
	t.Parallel()
	d := onCloth(150, 150, 10, plan.Scrap{Outline: rect(0, 0, 100, 100)})
	d.Fewest, d.Options = true, []plan.Option{{Seams: 1}, {Seams: 2}}
	require.Empty(t, AtLeast(t.Context(), d))
	stopped, stop := context.WithCancel(t.Context())
	stop()
	require.NotEmpty(t, AtLeast(stopped, d))
	d.Options = d.Options[1:]
	require.NotEmpty(t, AtLeast(t.Context(), d))
	d.Fewest = false
	require.Empty(t, AtLeast(t.Context(), d))
}

// Wide pieces find no room in a long tail of cloth, though it has the area; and they do
// where they have all the room they need and no more.
func TestDiscsFindNoRoomInATail(t *testing.T) {
	t.Parallel()
	three := func(outline []point) []Fault {
		d := onCloth(150, 150, 10, plan.Scrap{Outline: outline})
		for k := 2; k <= 3; k++ {
			p := d.Pieces[0]
			p.Copy = k
			d.Pieces = append(d.Pieces, p)
			d.AtLeast.Cases[0].Copies = append(d.AtLeast.Cases[0].Copies, plan.SeamsOf{Piece: "p", Copy: k})
		}
		return AtLeast(t.Context(), d)
	}
	require.Empty(t, three([]point{{0, 0}, {350, 0}, {350, 60}, {1050, 60}, {1050, 120}, {350, 120}, {350, 180}, {0, 180}}))
	for _, outline := range [][]point{
		rect(0, 0, 510, 170),
		{{0, 0}, {340, 0}, {340, 170}, {170, 170}, {170, 340}, {0, 340}},
	} {
		faults := three(outline)
		require.Len(t, faults, 1)
		require.Contains(t, faults[0].Detail, "it is not ruled out")
	}
}

// What discs reach is less the wider they are, and on an exact fit no more is needed than
// there is.
func TestDiscsOfAnExactFitFindRoom(t *testing.T) {
	t.Parallel()
	d := onCloth(250, 180, 10, plan.Scrap{Outline: rect(0, 0, 270, 200)})
	d.GapMM = 3
	proof, err := NewAtLeastProof(d, nil)
	require.NoError(t, err)
	p := proof.proof
	require.NoError(t, p.within(nil))
	c, on := p.clouds[id{"p", 1}], id{"s", 1}
	was := math.Inf(1)
	for _, radius := range radiiMM {
		needs, err := c.discs(part{}, radius)
		require.NoError(t, err)
		has, err := p.discsOn(on, radius, 10)
		require.NoError(t, err)
		require.LessOrEqual(t, needs, has, "%g", radius)
		require.LessOrEqual(t, has, was)
		was = has
		if radius > 90 { // none lies in the piece
			require.Zero(t, needs)
		}
	}
}
