package draw_test

import (
	"fmt"
	"os"

	"eke/split/plan"
	"eke/svg/draw"
)

// A part is drawn from plan.json alone.
func ExamplePart() {
	square := []plan.Point{{0, 0}, {120, 0}, {120, 120}, {0, 120}}
	d := &plan.Document{Settings: plan.Settings{AllowanceMM: 10}, Options: []plan.Option{{Parts: []plan.Part{{
		Name: "pocket", Piece: "pocket", Copy: 1, GrainDeg: 90, Scrap: "denim", ScrapCopy: 1,
		SeamLine:  square,
		CutLine:   []plan.Point{{-10, -10}, {130, -10}, {130, 130}, {-10, 130}},
		Placement: [6]float64{1, 0, 0, 1, 0, 0},
	}}}}}
	f, err := os.CreateTemp("", "pocket-*.svg")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.Remove(f.Name())
	fmt.Println(draw.Of(d).Part(f, 0, 0), f.Close())
	// Output: <nil> <nil>
}

func ExampleParseColour() {
	c, ok := draw.ParseColour("navy")
	fmt.Println(c, ok)
	_, ok = draw.ParseColour("url(elsewhere)")
	fmt.Println(ok)
	// Output:
	// {0 0 128 255} true
	// false
}
