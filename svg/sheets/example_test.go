package sheets_test

import (
	"context"
	"fmt"
	"io"

	"eke/piece/curve"
	"eke/svg/draw"
	"eke/svg/sheets"

	"github.com/paulmach/orb"
)

func Example() {
	ring := []orb.Point{{0, 0}, {300, 0}, {300, 200}, {0, 200}}
	pocket := draw.Shape{Name: "pocket", Region: ring, Lines: []draw.Line{
		{Stroke: draw.Cutting, Path: curve.Polyline(ring...), Closed: true},
	}}
	paper, err := sheets.ParsePaper("letter")
	if err != nil {
		fmt.Println(err)
		return
	}
	sum, err := sheets.Write(context.Background(), io.Discard, "pocket", []draw.Shape{pocket}, sheets.Options{Paper: paper, MarginMM: 10, OverlapMM: 12})
	fmt.Println(sum.Pages, "pages:", sum.Columns, "by", sum.Rows, "and the plan of them", err)
	// Output: 3 pages: 2 by 1 and the plan of them <nil>
}
