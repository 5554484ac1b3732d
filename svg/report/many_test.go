package report

import (
	"testing"

	"eke/split/plan"
	"eke/svg/measure"

	"github.com/stretchr/testify/require"
)

// Many seams are told by kind and piece, few one by one.
func TestManySeamsAreToldTogether(t *testing.T) {
	t.Parallel()
	d := &plan.Document{Pieces: []plan.Piece{{Name: "front", Copy: 1}, {Name: "sleeve", Copy: 1}, {Name: "sleeve", Copy: 2}}}
	seam := func(name, called, piece string, copy int) plan.PiecingSeam {
		return plan.PiecingSeam{Name: name, Called: called, Piece: piece, Copy: copy, LengthMM: 100}
	}
	o := &plan.Option{PiecingSeams: []plan.PiecingSeam{
		seam("A", "yoke seam", "front", 1), seam("B", "cross seam", "front", 1), seam("C", "cross seam", "front", 1), seam("D", "cross seam", "front", 1),
		seam("E", "cross seam", "sleeve", 1), seam("F", "lengthwise seam", "front", 1), seam("G", "cross seam", "front", 1),
		seam("H", "lengthwise seam", "sleeve", 1), seam("I", "lengthwise seam", "sleeve", 2),
	}}
	require.Equal(t, []string{
		"A: yoke seam in the front, 10.0 cm",
		"B to D and G: 4 cross seams in the front, 40.0 cm together",
		"E: cross seam in the sleeve (1), 10.0 cm",
		"F: lengthwise seam in the front, 10.0 cm",
		"H and I: 2 lengthwise seams in both copies of the sleeve, 20.0 cm together",
	}, shows(d, o, measure.Millimetres))
	o.PiecingSeams = o.PiecingSeams[:2]
	require.Equal(t, []string{"A: yoke seam in the front, 10.0 cm", "B: cross seam in the front, 10.0 cm"}, shows(d, o, measure.Millimetres))
}

// The terms of a cost add up to the same, however they are told.
func TestManyTermsAreToldTogether(t *testing.T) {
	t.Parallel()
	got := terms([]plan.Term{{Name: "seams", Detail: "6", Points: 60}, {Name: "bulk", Detail: "A", Points: 2}, {Name: "bulk", Detail: "B", Points: 2}, {Name: "two", Detail: "A", Points: 3}, {Name: "bulk", Detail: "C", Points: 2}, {Name: "two", Detail: "B", Points: 1}, {Name: "bulk", Detail: "D", Points: 2}})
	require.Equal(t, []term{
		{"seams", []string{"6"}, 60, false}, {"bulk", []string{"A", "B", "C", "D"}, 8, true}, {"two", []string{"A"}, 3, false}, {"two", []string{"B"}, 1, false},
	}, got)
}
