package job

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/svg/draw"

	"github.com/lucasb-eyer/go-colorful"
)

// From here on, in CIELAB's hundredths, nobody takes two colours for one: 0.023 is
// just seen (M. Mahy, L. Van Eycken and A. Oosterlinck, Evaluation of Uniform Color
// Spaces, 1994, from memory), and the same cloth in another light is still one.
const clearlyUnlike = 0.25

// unlikeNote says that scraps of clearly unlike colours count as one cloth: they are
// of one fabric and have no look, or no scrap says either, as with those of a
// photograph until the maker tells what they are.
func unlikeNote(cloth []piece.Scrap) string {
	bare := !slices.ContainsFunc(cloth, func(s piece.Scrap) bool { return s.Fabric != "" || s.Look != "" })
	var fabrics []string
	for i := range cloth {
		fabric := strings.ToLower(cloth[i].Fabric)
		if cloth[i].Look != "" || fabric == "" && !bare || slices.Contains(fabrics, fabric) {
			continue
		}
		fabrics = append(fabrics, fabric)
		if one, other := unlikeOf(cloth, fabric); one != other {
			if bare {
				return fmt.Sprintf("%s and %s are of unlike colours, and no scrap says a fabric or a look: all count as one cloth, and a piece may be cut from several; say of each scrap what fabric or look it is", one, other)
			}
			return fmt.Sprintf("%s and %s are of unlike colours, and both are %s without a look: they count as one cloth, and a piece may be cut from both; give each scrap a look, and mixing them counts against a plan", one, other, cloth[i].Fabric)
		}
	}
	return ""
}

// unlikeOf names two scraps of a fabric without a look whose colours are clearly
// unlike, and is empty where there are none.
func unlikeOf(cloth []piece.Scrap, fabric string) (string, string) {
	var names []string
	var colours []colorful.Color
	for i := range cloth {
		s := &cloth[i]
		if s.Look != "" || !strings.EqualFold(s.Fabric, fabric) {
			continue
		}
		if rgb, ok := draw.ParseColour(s.Colour); ok {
			c, _ := colorful.MakeColor(rgb)
			names, colours = append(names, s.Name), append(colours, c)
		}
	}
	if len(colours) == 0 {
		return "", ""
	}
	farthest := func(from int) (at int) {
		for k, c := range colours {
			if c.DistanceLab(colours[from]) > colours[at].DistanceLab(colours[from]) {
				at = k
			}
		}
		return at
	}
	one := farthest(0)
	other := farthest(one)
	if colours[one].DistanceLab(colours[other]) < clearlyUnlike {
		return "", ""
	}
	return names[one], names[other]
}
