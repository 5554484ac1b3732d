package draw

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// The legend names each look once, with what is cut from it.
func TestLooksOfAnOption(t *testing.T) {
	d := tshirt()
	list := func() (out [][]string) {
		all, err := Of(d).Looks(0)
		require.NoError(t, err)
		for _, l := range all {
			out = append(out, append([]string{l.Name}, l.Pieces...))
			require.NotEmpty(t, l.Swatches)
		}
		return out
	}
	require.Equal(t, [][]string{{"navy", "front"}, {"cream", "back", "sleeve"}, {"rib", "neckband"}}, list())
	d.Scraps[4].Look = "navy"  // the second sleeve's
	d.Scraps[5].Look = "Cream" // the rib
	require.Equal(t, [][]string{{"navy", "front", "sleeve (2)"}, {"cream", "back", "sleeve (1)", "neckband"}}, list())
	for i := range d.Scraps {
		d.Scraps[i].Look = "cream"
	}
	require.Empty(t, list(), "of one look there is nothing to tell apart")
	for i := range d.Scraps {
		d.Scraps[i].Look, d.Scraps[i].Fabric = d.Scraps[i].Name, ""
	}
	require.Empty(t, list(), "the list of scraps says nothing of looks")
}

// Letters of seams keep off the numbers of parts and off each other where there
// is room along the seam, and stay where they were where nothing is in the way.
func TestLettersKeepOffNumbers(t *testing.T) {
	const typeMM = 10
	seam := closedPath([]plan.Point{{0, 0}, {100, 0}})[:1]
	at := func(mm float64) mark {
		q, _ := seam.At(mm)
		return mark{text: "A", at: q, seam: seam}
	}
	page := closedPath([]plan.Point{{-30, -30}, {130, -30}, {130, 30}, {-30, 30}}).Bound()
	alone, _ := spreadOut([]mark{at(30)}, page, typeMM)
	require.Equal(t, 30.0, alone[0].at[0])

	number := mark{text: "12", at: at(30).at}
	crowd := []mark{at(30), number, at(30), at(30)}
	placed, crowded := spreadOut(crowd, page, typeMM)
	require.False(t, crowded)
	require.Equal(t, number, placed[1])
	for i := range placed {
		for k := range placed[:i] {
			require.Zero(t, overlap(placed[i].plate(typeMM), placed[k].plate(typeMM)), "%v and %v", placed[i].at, placed[k].at)
		}
		box := placed[i].plate(typeMM)
		require.True(t, page.Contains(box.Min) && page.Contains(box.Max))
	}
	_, crowded = spreadOut(append(crowd, number), page, typeMM)
	require.True(t, crowded)
}
