package allowance_test

import (
	"fmt"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// A pocket 120 mm wide and 140 mm deep, with a hem of 25 mm along its top.
func pocket() piece.Outline {
	corners := []orb.Point{{0, 0}, {120, 0}, {120, 140}, {0, 140}}
	var o piece.Outline
	for i, p := range corners {
		o = append(o, piece.Edge{Line: curve.Polyline(p, corners[(i+1)%4]), AllowanceMM: 10})
	}
	o[0].Name, o[0].AllowanceMM = "hem", 25
	return o
}

func ExampleCutLine() {
	ring, err := allowance.CutLine(pocket())
	if err != nil {
		fmt.Println(err)
		return
	}
	box := ring.Bound()
	fmt.Printf("%.0f x %.0f mm\n", box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
	// Output: 140 x 175 mm
}

func ExampleSeamLine() {
	p := &piece.Piece{Name: "pocket", Outline: pocket()}
	if err := allowance.SeamLine(p); err != nil {
		fmt.Println(err)
		return
	}
	box := p.Outline.Ring().Bound()
	fmt.Printf("%.0f x %.0f mm\n", box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
	// Output: 100 x 105 mm
}

func ExampleSeamNotches() {
	for _, n := range allowance.SeamNotches(480, 0) {
		fmt.Printf("%.0f mm, %d\n", n.AtMM, n.Count)
	}
	// Output:
	// 144 mm, 1
	// 360 mm, 2
}
