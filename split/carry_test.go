package split_test

import (
	"fmt"
	"testing"

	"eke/split"

	"github.com/stretchr/testify/require"
)

func TestX(t *testing.T) {
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "cardigan.svg", "blouse.svg"} {
		copies := sample(t, name)
		for _, lead := range []string{"front", "sleeve"} {
			c, err := split.NewCarry(copies, lead, "")
			if err != nil {
				fmt.Println(name, lead, err)
				continue
			}
			for _, way := range []split.Way{split.Yoke{}, split.CurvedYoke{}} {
				for m := range split.Manner(2) {
					for _, s := range way.Spans(c.Body()) {
						for l := s.Lo; l < s.Hi; l += 12 {
							line, err := c.At(way, l, m)
							fmt.Printf("%s %s %s %d %.0f: ", name, lead, way.Kind(), m, l)
							if err != nil {
								fmt.Println(err)
								continue
							}
							for _, cut := range line.Cuts {
								fmt.Printf("%s %s %.1f %v| ", copies[cut.Copy].ID(), cut.Way.Kind(), cut.LevelMM, cut.Way)
							}
							fmt.Printf("off %.3f turn %.1f %s\n", line.OffMM, line.TurnDeg, line.Place())
						}
					}
				}
			}
		}
	}
	require.True(t, true)
}
