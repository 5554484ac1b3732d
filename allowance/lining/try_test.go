package lining

import (
	"fmt"
	"os"
	"testing"

	"eke/allowance"
	"eke/svg"
)

func TestTry(t *testing.T) {
	for _, name := range []string{"cardigan", "tshirt", "raglan-child", "blouse"} {
		path := "../../samples/" + name + ".svg"
		f, _ := os.Open(path)
		pieces, err := svg.Pattern(f, path)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		l, err := Make(pieces, path, Options{6, 10, 20, 20})
		if err != nil {
			t.Error(err)
			continue
		}
		fmt.Println(name, l.LeftOut)
		for _, n := range l.Notes {
			fmt.Println("  note", n)
		}
		for _, w := range allowance.Walk(l.Pieces) {
			fmt.Printf("  %s %.3f %s %.3f mates %v single %d\n", side(w.A), w.AMM, side(w.B), w.BMM, w.Mates, w.Single)
		}
		for i, p := range l.Pieces {
			fmt.Printf("  %s %.0f %.0f\n", p.Name, area(p), AreaMM2(pieces, p.Name))
			fmt.Println("     ", l.Drafts[i].Outline.Line.D())
		}
	}
}
