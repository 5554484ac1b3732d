package plan

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A file that is no plan, or is made to fill the memory, is refused as soon
// as that shows.
func TestReadRefuses(t *testing.T) {
	start := `{"format":"eke-plan/1",`
	many := func(item string, n int) string { return strings.Repeat(item+",", n) + item }
	for name, c := range map[string]struct{ text, words string }{
		"nothing":                    {``, "unexpected end"},
		"no plan":                    {`{}`, `format ""`},
		"another format":             {`{"format":"eke-plan/9"}`, "eke-plan/9"},
		"two plans":                  {start + `"seed":1}{}`, "after top-level value"},
		"cut short":                  {start + `"pieces":[{"name":"a"`, "unexpected end"},
		"a word for a number":        {start + `"gap_mm":"3"}`, "gap_mm"},
		"a number out of range":      {start + `"gap_mm":1e999}`, "1e999"},
		"no numbers":                 {start + `"gap_mm":NaN}`, "invalid character"},
		"numbers for parts":          {start + `"options":[{"parts":[` + many("0", 400_000) + `]}]}`, "something else"},
		"nothing for options":        {start + `"options":[` + many("null", 400_000) + `]}`, "something else"},
		"more objects than any plan": {start + `"options":[` + many("{}", 60_000) + `]}`, "50000 objects"},
		"more points than any plan":  {start + `"pieces":[{"seam_line":[` + many("[0,0]", 300_000) + `]}]}`, "500000 values"},
		"too deep":                   {start + `"pieces":` + strings.Repeat("[", 20_000), "depth"},
		"too large":                  {start + strings.Repeat(" ", 17<<20) + `}`, "16 MB"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Read(strings.NewReader(c.text))
			require.ErrorContains(t, err, c.words)
			require.ErrorContains(t, err, "write it again with eke plan")
		})
	}
	_, err := Read(io.MultiReader(strings.NewReader(start), endless{}))
	require.ErrorContains(t, err, "16 MB")
}

type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

// What is written is read as it was, to the last digit.
func TestWhatIsWrittenIsRead(t *testing.T) {
	d := &Document{
		Format: Format, Settings: Settings{GapMM: 0.1 + 0.2, Seed: 1<<64 - 1},
		Pieces: []Piece{{Name: `<"é` + "\u2028" + `>`, Copy: 1, SeamLine: []Point{{1.0 / 3, -1e-9}}, Darts: [][3]Point{{{1, 2}}}, FishEyes: [][4]Point{{{1, 2}, {3, 4}}}}},
		Scraps: []Scrap{{Name: "navy", Holes: [][]Point{{{1, 2}, {3, 4}}}}},
		Options: []Option{{
			Rank: 1, Parts: []Part{{Edges: []Edge{{D: "M0,0 L1,1", Joins: []string{"a/b"}}}, Notches: []Notch{{For: "A"}}}},
			Divided:      []DividedDart{{Piece: "a", Seam: "A", Halves: [2][]Point{{{1, 2}}, {{3, 4}}}}},
			PiecingSeams: []PiecingSeam{{NotchesMM: []float64{1, 2}}}, MovedSeams: []MovedSeam{{ByMM: 3}},
		}},
		Short: []Short{{Piece: "a"}},
	}
	var b bytes.Buffer
	require.NoError(t, d.Write(&b))
	again, err := Read(&b)
	require.NoError(t, err)
	d.MadeBy = "eke" // as it is signed
	require.Equal(t, d, again)
}
