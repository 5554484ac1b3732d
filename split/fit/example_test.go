package fit_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"eke/split/fit"
)

func ExamplePlace() {
	scrap := fit.NewCloth(orb.Ring{{0, 0}, {300, 0}, {300, 400}, {0, 400}}, nil)
	pocket := fit.NewShape(orb.Ring{{0, 0}, {150, 0}, {150, 180}, {75, 210}, {0, 180}})
	turns := []fit.Turn{{Deg: 0, ToleranceDeg: 2}, {Deg: 180, ToleranceDeg: 2}}
	_, ok := fit.Place(context.Background(), scrap, pocket, turns)
	fmt.Println(ok)
	// Output: true
}

func ExampleOverhang() {
	scrap := fit.NewCloth(orb.Ring{{0, 0}, {420, 0}, {420, 600}, {0, 600}}, nil)
	front := fit.NewShape(orb.Ring{{0, 0}, {400, 0}, {400, 645}, {0, 645}})
	_, along, across := fit.Overhang(context.Background(), scrap, front, []fit.Turn{{}}, 90)
	fmt.Printf("%.0f mm too long, %.0f mm too wide\n", along, across)
	// Output: 45 mm too long, 0 mm too wide
}
