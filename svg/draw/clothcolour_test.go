package draw

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

func TestParseColour(t *testing.T) {
	for s, want := range map[string]string{
		"navy": "#000080", " CornSilk ": "#fff8dc", "#abc": "#aabbcc", "#12aB9f": "#12ab9f", "rgb(1, 20,300)": "#0114ff", "linen": "#faf0e6",
		"rose": "#d98a9c", "light pink": "#ffb6c1", "DarkGrey": "#55595c", "dark grey": "#55595c", "plum": "#6d2f5a", "faded navy": "#000080",
	} {
		c, ok := ParseColour(s)
		require.True(t, ok, s)
		require.Equal(t, want, hex(c))
	}
	for _, s := range []string{
		"", "blurple", "#12", "#12345g", "url(x)", "var(--x)", "rgb(1,2)", "expression(1)", "#ab\u0441", "+12345", "#+12345",
	} {
		_, ok := ParseColour(s)
		require.False(t, ok, s)
	}
}

// looks is what scraps of these fabrics, names and colours are drawn as.
func looks(scraps ...plan.Scrap) (out []cloth) {
	of, all := cloths(&plan.Document{Scraps: scraps})
	for _, n := range of {
		out = append(out, all[n])
	}
	return out
}

// One look has one hatching and one colour, whichever of its scraps says so.
func TestOneLookOneCloth(t *testing.T) {
	red, navy := rgb(0xff0000), rgb(0x000080)
	for name, c := range map[string]struct {
		scraps []plan.Scrap
		want   []cloth
	}{
		"two fabrics nobody says the colour of": {
			[]plan.Scrap{{Name: "a", Fabric: "twill"}, {Name: "b", Fabric: "lawn"}, {Name: "c", Fabric: "Twill "}},
			[]cloth{{unknown, 1}, {unknown, 2}, {unknown, 1}}},
		"no fabric: the name is one": {
			[]plan.Scrap{{Name: "a"}, {Name: "b"}, {Name: "a", Copy: 2}},
			[]cloth{{unknown, 1}, {unknown, 2}, {unknown, 1}}},
		"one scrap says it for all": {
			[]plan.Scrap{{Name: "a", Fabric: "twill"}, {Name: "b", Fabric: "twill", Colour: "red"}, {Name: "c", Fabric: "lawn"}},
			[]cloth{{red, 0}, {red, 0}, {unknown, 2}}},
		"the fabric's name says it": {
			[]plan.Scrap{{Name: "a", Fabric: "lawn"}, {Name: "b", Fabric: "navy-knit"}, {Name: "red bag", Fabric: "Navy-knit"}},
			[]cloth{{unknown, 1}, {navy, 0}, {navy, 0}}},
		"scraps of several colours": {
			[]plan.Scrap{{Name: "a", Fabric: "felt", Colour: "red"}, {Name: "b", Fabric: "felt", Colour: "navy"}, {Name: "c", Fabric: "felt"}},
			[]cloth{{red, 0}, {navy, 0}, {unknown, 0}}},
		"two fabrics of one look": {
			[]plan.Scrap{{Name: "a", Fabric: "jersey", Look: "Navy"}, {Name: "b", Fabric: "rib", Look: "navy "}, {Name: "c", Fabric: "rib", Look: "rib"}},
			[]cloth{{navy, 0}, {navy, 0}, {unknown, 2}}},
		"two looks of one fabric": {
			[]plan.Scrap{{Name: "a", Fabric: "jersey", Look: "red"}, {Name: "b", Fabric: "jersey", Look: "navy"}},
			[]cloth{{red, 0}, {navy, 2}}},
		"a look that is but the name": {
			[]plan.Scrap{{Name: "a", Fabric: "navy", Look: "navy"}, {Name: "b", Look: "b"}},
			[]cloth{{navy, 0}, {unknown, 2}}},
		"linen is a fabric": {
			[]plan.Scrap{{Name: "linen 1"}, {Name: "x", Fabric: "linen"}},
			[]cloth{{unknown, 1}, {unknown, 2}}},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, looks(c.scraps...))
		})
	}
}

// Words that cloth is named by are colours, two together too; what is none stays grey.
func TestColourWords(t *testing.T) {
	for text, want := range map[string]string{
		"rose lawn": "#d98a9c", "grape sweatshirt": "#5b3a75", "poppy": "#d93a2b", "Sky": "#8fc3e8", "wool, dark green": "#006400", "light blue poplin": "#add8e6",
		"dark grey felt": "#55595c", "plum": "#6d2f5a", "chocolate wool": "#4a2e22",
		"stone washed denim": "#4a6688", "peach skin, sage": "#9aa88a", "sand-washed silk in mint": "#b2dec5", "stone linen": "#b9b2a3", "jersey in navy and cream": "#000080",
	} {
		c, ok := colourWord(text)
		require.True(t, ok, text)
		require.Equal(t, want, hex(c), text)
	}
	for _, text := range []string{"", "linen", "light linen", "roses", "lawn", "dark", "peach skin", "stone washed twill"} {
		_, ok := colourWord(text)
		require.False(t, ok, text)
	}
	require.Equal(t, looks(plan.Scrap{Fabric: "sky lawn"})[0].colour, looks(plan.Scrap{Fabric: "lawn", Colour: "sky"})[0].colour)
	require.Equal(t, unknown, looks(plan.Scrap{Fabric: "lawn", Colour: "blurple"})[0].colour)
}

// Looks are told apart without colour, however many there are.
func TestHatchingsDiffer(t *testing.T) {
	seen := map[[2]string]int{}
	for n := range 200 {
		d, change := hatch(n)
		before, twice := seen[[2]string{d, change}]
		require.False(t, twice, "%d is as %d", n, before)
		seen[[2]string{d, change}] = n
	}
}
