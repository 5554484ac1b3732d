package draw

import (
	"slices"
	"strings"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// The two sleeves of the t-shirt are mirror images: one drawing stands for
// both, and each is on it after the movement that was found.
func TestMirrorImagesAreDrawnOnce(t *testing.T) {
	d := tshirt()
	o := &d.Options[0]
	shapes, err := Of(d).Once(0)
	require.NoError(t, err)
	require.Len(t, shapes, len(o.Parts)-1)
	i := slices.IndexFunc(shapes, func(s Shape) bool { return strings.Contains(s.Name, " and ") })
	require.GreaterOrEqual(t, i, 0)
	var sleeves []*plan.Part
	for k := range o.Parts {
		if o.Parts[k].Piece == "sleeve" {
			sleeves = append(sleeves, &o.Parts[k])
		}
	}
	require.Equal(t, plan.Plain(sleeves[0].Name)+" and "+plan.Plain(sleeves[1].Name), shapes[i].Name)
	twin, ok := onto(&part{Part: sleeves[0]}, &part{Part: sleeves[1]})
	require.True(t, ok)
	require.True(t, flips(twin.m))
	for _, q := range sleeves[0].CutLine {
		at := twin.m.Apply(q)
		require.Less(t, plane.ToRing(closedPath(sleeves[1].CutLine).Flatten(curve.FlattenMM), at), alikeMM)
		require.InDelta(t, 0, plane.Distance(twin.back.Apply(at), q), 1e-9)
	}
}

// What differs in more than a mirror tells, or a level mark, is drawn twice.
func TestUnlikePartsAreDrawnEach(t *testing.T) {
	for name, change := range map[string]func(p *plan.Part){
		"a longer hem":   func(p *plan.Part) { p.CutLine[0][1] += 0.5 },
		"a notch more":   func(p *plan.Part) { p.Notches = append(p.Notches, plan.Notch{At: p.SeamLine[0], Count: 1}) },
		"a double notch": func(p *plan.Part) { p.Notches[0].Count = 2 },
		"a dart":         func(p *plan.Part) { p.Darts = append(p.Darts, [3]plan.Point{{0, 0}, {1, 1}, {2, 0}}) },
	} {
		d := tshirt()
		o := &d.Options[0]
		k := -1
		for i := range o.Parts {
			if p := &o.Parts[i]; p.Piece == "sleeve" { // the crown lies on the line that mirrors
				p.Notches, k = []plan.Notch{{At: plan.Point{0, 0}, Toward: plan.Point{0, -1}, Count: 1}}, i
			}
		}
		shapes, err := Of(d).Once(0)
		require.NoError(t, err, name)
		require.Len(t, shapes, len(o.Parts)-1, name)
		change(&o.Parts[k])
		shapes, err = Of(d).Once(0)
		require.NoError(t, err, name)
		require.Len(t, shapes, len(o.Parts), name)
	}
}

// A level mark that one of two has is on the drawing, and the words say whose
// it is; how many are turned over depends on how they lie.
func TestTwinsSayWhatIsTheirs(t *testing.T) {
	d := tshirt()
	o := &d.Options[0]
	k := slices.IndexFunc(o.Parts, func(p plan.Part) bool { return p.Piece == "sleeve" })
	p := &o.Parts[k]
	p.Notches = append(p.Notches, plan.Notch{At: p.SeamLine[3], Toward: plan.Point{1, 0}, Count: 1, Level: "A"})
	shapes, err := Of(d).Once(0)
	require.NoError(t, err)
	i := slices.IndexFunc(shapes, func(s Shape) bool { return strings.Contains(s.Name, " and ") })
	var words []string
	for _, l := range shapes[i].Labels {
		words = append(words, l.Text)
	}
	text := strings.Join(words, "\n")
	require.Contains(t, text, "mark A here only")
	require.Contains(t, text, "cut 2, one turned over")
	require.Equal(t, 1, strings.Count(text, "as printed"))
}
