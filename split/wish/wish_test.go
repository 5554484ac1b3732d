package wish

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	for _, line := range []string{"mix kinds", "  Mix   KINDS\t"} {
		w, err := Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, MixKinds{}, w)
		require.True(t, Has[MixKinds]([]Wish{w}))
	}
	require.False(t, Has[MixKinds](nil))
	for _, line := range []string{"", "mix", "mix kinds please", "mixkinds"} {
		_, err := Parse(line)
		require.ErrorContains(t, err, `is not understood; the wishes known are: "mix kinds", "carry front to sleeve"`, line)
	}
	_, err := Parse("prefer mix kinds")
	require.ErrorContains(t, err, "a wish to make plainly")
	_, err = Parse("a wish that goes on and on for ever and ever, and then some")
	require.ErrorContains(t, err, `"a wish that goes on and on for ever and …"`)
	require.Contains(t, Usage(), `"mix kinds" (knit and woven may meet)`)
}

func TestParseCarry(t *testing.T) {
	for line, want := range map[string]Carry{
		"carry front":                {Piece: "front"},
		"Carry  Front to SLEEVE":     {Piece: "front", To: "sleeve"},
		"carry left front to a back": {Piece: "left front", To: "a back"},
		"carry to":                   {Piece: "to"},
		"carry front to":             {Piece: "front to"},
	} {
		w, err := Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, want, w)
	}
	musts, others := OfLooks([]Wish{Carry{Piece: "front"}, MixKinds{}, Prefer{Alike{"front"}}})
	require.Equal(t, []Wish{Carry{Piece: "front"}}, musts)
	require.Equal(t, []Wish{MixKinds{}, Prefer{Alike{"front"}}}, others)
	o := &plan.Option{Carried: []plan.Carried{{Piece: "Front", Seams: []string{"A", "B", "C"}, OffMM: 0.2, TurnDeg: 12, TurnsAt: "front/side back/side", Above: "navy", Below: "cream"}}}
	require.Equal(t, []plan.Wish{
		{Text: "carry front", Kept: true, How: "A, B and C are one line, navy above it and cream below; at the joins its ends meet within 0.2 mm, and it turns by up to 12° (front/side to back/side)"},
		{Text: "carry front to back", How: "no seam is carried on from front as far as back"},
	}, Told([]Wish{Carry{Piece: "front"}, Carry{"front", "back"}}, &plan.Document{}, o))
}

func TestTold(t *testing.T) {
	piece := func(name string, joins ...string) plan.Piece {
		return plan.Piece{Name: name, Copy: 1, Edges: []plan.Edge{{Joins: joins}}}
	}
	d := &plan.Document{
		Pieces: []plan.Piece{piece("front", "back/side"), piece("back", "front/side"), piece("belt")},
		Scraps: []plan.Scrap{{Name: "k", Copy: 1, Kind: "knit"}, {Name: "w", Copy: 1, Kind: "woven"}, {Name: "w", Copy: 2}},
	}
	part := func(of, scrap string, copy int) plan.Part {
		return plan.Part{Piece: of, Copy: 1, Scrap: scrap, ScrapCopy: copy}
	}
	for how, parts := range map[string][]plan.Part{
		"no knit meets woven here":                                 {part("front", "k", 1), part("back", "k", 1), part("belt", "w", 1)},
		"knit and woven meet between back and front":               {part("front", "k", 1), part("back", "w", 1)},
		"knit and woven meet in belt":                              {part("front", "k", 1), part("back", "w", 2), part("belt", "k", 1), part("belt", "w", 1)},
		"knit and woven meet in front, and between back and front": {part("front", "k", 1), part("front", "w", 1), part("back", "w", 1)},
	} {
		require.Equal(t, []plan.Wish{{Text: "mix kinds", Kept: true, How: how}}, Told([]Wish{MixKinds{}, MixKinds{}}, d, &plan.Option{Parts: parts}))
	}
	require.Nil(t, Told(nil, d, &plan.Option{}))
}

// Each form is read, written in its plainest words, and judged by the looks of the
// parts.
func TestWishesForLooks(t *testing.T) {
	part := func(piece string, copy int, look string, top, bottom float64) plan.Part {
		return plan.Part{Piece: piece, Copy: copy, Look: look, GrainDeg: 90, SeamLine: []plan.Point{{0, top}, {100, top}, {100, bottom}, {0, bottom}}}
	}
	o := &plan.Option{
		Parts: []plan.Part{
			part("front", 1, "navy", 0, 200), part("front", 1, "cream", 200, 500), part("back", 1, "cream", 0, 500),
			part("sleeve", 1, "navy", 0, 100), part("sleeve", 1, "navy", 100, 300), part("sleeve", 2, "Navy", 0, 104), part("sleeve", 2, "navy", 104, 300),
		},
		PiecingSeams: []plan.PiecingSeam{
			{Name: "A", Kind: "yoke", Piece: "front", Copy: 1, Line: []plan.Point{{0, 200}, {100, 200}}},
			{Name: "B", Kind: "yoke", Piece: "sleeve", Copy: 1, Line: []plan.Point{{0, 100}, {100, 100}}},
			{Name: "C", Kind: "yoke", Piece: "sleeve", Copy: 2, Line: []plan.Point{{0, 104}, {100, 104}}},
		},
	}
	for line, want := range map[string]struct {
		wish Wish
		kept bool
		how  string
	}{
		"back alike":                      {Alike{"back"}, true, "every copy is from cream, and split alike"},
		"Front Alike":                     {Alike{"front"}, false, "front is cut from cream and navy"},
		"sleeve alike":                    {Alike{"sleeve"}, false, "copies 1 and 2 of sleeve are split differently"},
		"sleeve like front":               {Like{"sleeve", "front"}, false, "sleeve is from navy, and front from cream and navy"},
		"sleeve unlike back":              {Unlike{"sleeve", "back"}, true, "sleeve is from navy, and back from cream"},
		"back unlike front":               {Unlike{"back", "front"}, false, "back is from cream, and front from cream and navy"},
		"navy only for front ,sleeve":     {OnlyFor{"navy", "front, sleeve"}, true, "front and sleeve, and nothing else, is cut from it"},
		"navy only for front":             {OnlyFor{"navy", "front"}, false, "sleeve is cut from it too"},
		"front upper navy, lower cream":   {Block{"front", "navy", "cream"}, true, "above seam A all is from navy, below it all from cream"},
		"front upper cream, lower navy":   {Block{"front", "cream", "navy"}, false, "no cross seam has all of front above it from cream, and all below it from navy"},
		"prefer sleeve unlike left front": {Prefer{Unlike{"sleeve", "left front"}}, true, "sleeve is from navy, and left front from "},
	} {
		w, err := Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, want.wish, w, line)
		again, err := Parse(w.String())
		require.NoError(t, err, line)
		require.Equal(t, w, again, line)
		kept, how := w.Kept(new(plan.Document), o)
		require.Equal(t, want.kept, kept, line)
		require.Equal(t, want.how, how, line)
	}
	for line, want := range map[string]Wish{
		"blocks 120mm":                       Blocks{120},
		"Blocks 12 cm":                       Blocks{120},
		"prefer blocks 120 mm":               Prefer{Blocks{120}},
		"prefer carry front":                 Prefer{Carry{Piece: "front"}},
		"prefer stripes navy 6cm, cream 4cm": Prefer{NewStripes([]string{"navy", "cream"}, []float64{60, 40})},
	} {
		w, err := Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, want, w)
		again, err := Parse(w.String())
		require.NoError(t, err, line)
		require.Equal(t, w, again, line)
	}
	for _, line := range []string{"blocks", "blocks 12", "blocks 5mm", "blocks 120mm wide", "blocks 2000mm"} {
		_, err := Parse(line)
		require.ErrorContains(t, err, `is not understood; write it as "blocks 120mm", with one size from 40 mm to 1000 mm`, line)
	}
	for _, line := range []string{"stripes navy 60mm", "stripes navy 60mm, cream", "stripes navy 5mm, cream 5mm"} {
		_, err := Parse(line)
		require.ErrorContains(t, err, `is not understood; write it as "stripes navy 60mm, cream 40mm", with two looks or more`, line)
	}
	w, _ := Parse("navy only for front, hood")
	require.ErrorContains(t, Validate(w, []string{"front", "back"}, []string{"navy"}), `names a piece "hood"`)
	require.ErrorContains(t, Validate(w, []string{"front", "hood"}, []string{"cream"}), `names a look "navy", and no scrap has it`)
	require.NoError(t, Validate(w, []string{"Front", "hood"}, []string{"NAVY"}))
	require.ErrorContains(t, Validate(Like{"front", "Front"}, []string{"front"}, nil), `names front twice; name two pieces, or wish for "front alike"`)
	require.ErrorContains(t, Validate(Prefer{Unlike{"front", "front"}}, []string{"front"}, nil), `names front twice; name two pieces`)
	bent := *o
	bent.PiecingSeams = slices.Clone(o.PiecingSeams)
	bent.PiecingSeams[0].Line = []plan.Point{{0, 200}, {50, 203}, {100, 200}}
	kept, _ := Block{"front", "navy", "cream"}.Kept(nil, &bent)
	require.False(t, kept, "blocks meet in a straight seam")
}

// A name with some of the words of one that is there, or with more, is told which that is.
func TestMeantByItsWords(t *testing.T) {
	looks := []string{"black rib", "grape sweatshirt", "mustard sweatshirt", "denim"}
	for line, want := range map[string]string{
		"black only for band":       `(perhaps "black rib" is meant)`,
		"Rib only for band":         `(perhaps "black rib" is meant)`,
		"sweatshirt only for band":  `(perhaps "grape sweatshirt" or "mustard sweatshirt" is meant)`,
		"blue denim only for band":  `(perhaps "denim" is meant)`,
		"blakc rib only for band":   `(perhaps "black rib" is meant)`,
		"ri only for band":          "no scrap has it; the scraps",
		"black rib only for cuff":   `(perhaps "cuff-left" or "cuff-right" is meant)`,
		"black rib only for sleeve": "the pattern has none; its pieces",
	} {
		w, err := Parse(line)
		require.NoError(t, err, line)
		require.ErrorContains(t, Validate(w, []string{"band", "cuff-left", "cuff-right"}, looks), want, line)
	}
}

// A word that is almost one of a form's is told, where the line is a wish with it.
func TestParseAlmost(t *testing.T) {
	for line, want := range map[string]string{
		"sleeve alik": "sleeve alike", "cary front": "carry front", "sleeve unlik front": "sleeve unlike front", "rib onyl for neckband": "rib only for neckband",
		"prefr carry front": "prefer carry front", "prefer sleeve alik": "sleeve alike", "mtach stripes": "match stripes", "front uper navy, lower cream": "front upper navy, lower cream",
	} {
		_, err := Parse(line)
		require.ErrorContains(t, err, fmt.Sprintf("is not understood; perhaps %q is meant; the wishes known are: ", want), line)
	}
	for _, line := range []string{"sleeve", "sleeve nice", "a b c", ""} {
		_, err := Parse(line)
		require.ErrorContains(t, err, "is not understood; the wishes known are: ", line)
	}
}

// The help and README.md tell of every form, and all that README.md shows is understood.
func TestHelpAndReadmeTellOfTheForms(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, table, ok := strings.Cut(string(readme), "| wish | meaning |\n| --- | --- |\n")
	require.True(t, ok)
	table, _, _ = strings.Cut(table, "\n\n")
	shown := map[string]bool{}
	for _, row := range strings.Split(table, "\n") {
		for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(strings.Split(row, "|")[1], -1) {
			w, err := Parse(m[1])
			require.NoError(t, err, m[1])
			shown[fmt.Sprintf("%T", w)] = true
		}
	}
	help := strings.Join(Help(), "\n")
	for _, f := range forms {
		w, err := Parse(f.written)
		require.NoError(t, err)
		require.True(t, shown[fmt.Sprintf("%T", w)], "%s is not in README.md", f.written)
		require.Contains(t, help, "\n"+f.written+": "+f.means+".")
	}
}
