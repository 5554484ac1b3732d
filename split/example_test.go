package split_test

import (
	"fmt"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"

	"github.com/paulmach/orb"
)

// A flag of 200 by 300 mm is cut across, 120 mm below its top.
func Example() {
	flag, err := piece.Make(piece.Draft{
		Name: "flag", AllowanceMM: 10,
		Outline: piece.DraftLine{Closed: true, Line: curve.Polyline(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 300}, orb.Point{0, 300}, orb.Point{0, 0})},
		Grains:  []piece.DraftLine{{Line: curve.Polyline(orb.Point{100, 20}, orb.Point{100, 280})}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	tree := new(split.Tree)
	tree.ByHand(flag, split.Yoke{}, 120, split.DartReachMM)
	made, err := split.Make(&split.Plan{Pieces: []*piece.Piece{flag}, Trees: []*split.Tree{tree}}, 10)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, part := range made.Parts {
		box := part.Cut.Bound()
		fmt.Printf("%s: %.0f by %.0f mm of cloth\n", part.Name, box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
	}
	for _, term := range split.Cost(made) {
		fmt.Printf("%s: %g points\n", term.Name, term.Points)
	}
	// Output:
	// flag-upper: 220 by 140 mm of cloth
	// flag-lower: 220 by 200 mm of cloth
	// seams added: 10 points
	// their length: 2 points
}

// The levels at which a yoke may run: not within 20 mm of either end.
func ExampleYoke_Spans() {
	flag, _ := piece.Make(piece.Draft{
		Name:    "flag",
		Outline: piece.DraftLine{Closed: true, Line: curve.Polyline(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 300}, orb.Point{0, 300}, orb.Point{0, 0})},
		Grains:  []piece.DraftLine{{Line: curve.Polyline(orb.Point{100, 20}, orb.Point{100, 280})}},
	})
	for _, s := range (split.Yoke{}).Spans(split.NewBody(flag, flag.Outline)) {
		fmt.Printf("%.0f to %.0f mm\n", s.Lo, s.Hi)
	}
	// Output: 20 to 280 mm
}
