package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

const hostile = "a<script>alert(1)</script>\"'&]]>\x00\x1b[31m\u202e\nb\xff"

// pictures is every picture of a plan, by name.
func pictures(t testing.TB, d *plan.Document) map[string]string {
	t.Helper()
	out := map[string]string{}
	write := func(name string, f func(io.Writer) error) {
		var b bytes.Buffer
		require.NoError(t, f(&b), name)
		out[name] = b.String()
	}
	for i := range d.Options[0].Parts {
		write(d.Options[0].Parts[i].Name, func(w io.Writer) error { return Of(d).Part(w, 0, i) })
	}
	write("pieces", func(w io.Writer) error { return Of(d).Pieces(w, 0) })
	write("layout", func(w io.Writer) error { return Of(d).Layout(w, 0) })
	write("cloths", func(w io.Writer) error { return Of(d).Cloths(w, d.DistinctScraps()) })
	flat, _, err := Of(d).Garment(0)
	require.NoError(t, err)
	laid, _, err := Of(d).Laid(0)
	require.NoError(t, err)
	for i, p := range append(flat, laid...) {
		out["picture "+string(rune('a'+i))] = p.SVG
	}
	return out
}

func TestNamesAreTextNotMarkup(t *testing.T) {
	d := tshirt()
	d.Pattern = hostile
	for i := range d.Scraps {
		d.Scraps[i].Name, d.Scraps[i].Fabric, d.Scraps[i].Colour = d.Scraps[i].Name+hostile, hostile, hostile
	}
	o := &d.Options[0]
	for i := range o.Parts {
		o.Parts[i].Name += hostile
		o.Parts[i].Scrap += hostile
		for k := range o.Parts[i].Edges {
			o.Parts[i].Edges[k].Name += hostile
			o.Parts[i].Edges[k].Joins = []string{hostile}
			if o.Parts[i].Edges[k].Seam != "" {
				o.Parts[i].Edges[k].Seam = hostile
			}
		}
	}
	o.PiecingSeams[0].Name = hostile
	for name, s := range pictures(t, d) {
		require.True(t, utf8.ValidString(s), name)
		dec := xml.NewDecoder(strings.NewReader(s))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err, name)
			if e, ok := tok.(xml.StartElement); ok {
				require.NotEqual(t, "script", e.Name.Local, name)
				for _, a := range e.Attr {
					require.False(t, strings.HasPrefix(a.Name.Local, "on"), "%s has %s", name, a.Name.Local)
				}
			}
		}
		for _, r := range s {
			require.False(t, r < 0x20 && r != '\n' || r == 0x7f || r == '\u202e', "%s holds %q", name, r)
		}
	}
}

func TestPlain(t *testing.T) {
	for s, want := range map[string]string{
		"front":             "front",
		"  front \t yoke\n": "front yoke",
		"a\x00b\x1b[2Jc":    "ab[2Jc",
		"\u202egnirts":      "gnirts",
		"a\xffb":            "ab",
		"前身頃":               "前身頃",
		"\ufffe\uffffx":     "x",
		"a\u200cb\u200dc":   "a\u200cb\u200dc",
	} {
		require.Equal(t, want, plan.Plain(s))
	}
}

func TestPicturesAreTheSameEachTime(t *testing.T) {
	require.Equal(t, pictures(t, tshirt()), pictures(t, tshirt()))
}

type full struct{ after int }

var errFull = errors.New("no room")

func (f *full) Write(p []byte) (int, error) {
	if f.after -= len(p); f.after < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestAWriterThatFails(t *testing.T) {
	d := tshirt()
	require.ErrorIs(t, Of(d).Part(&full{200}, 0, 0), errFull)
	require.ErrorIs(t, Of(d).Pieces(&full{200}, 0), errFull)
	require.ErrorIs(t, Of(d).Layout(&full{200}, 0), errFull)
	require.ErrorIs(t, Of(d).Cloths(&full{20}, d.DistinctScraps()), errFull)
}

func TestWhatCannotBeDrawn(t *testing.T) {
	d := tshirt()
	require.ErrorContains(t, Of(d).Part(io.Discard, 2, 0), "there is no option 3")
	require.ErrorContains(t, Of(d).Part(io.Discard, 0, 9), "has no part 10")
	d.Options[0].Parts[0].Edges[2].D = "M0,0 L5"
	require.ErrorContains(t, Of(d).Pieces(io.Discard, 0), `part "front-upper", edge 3 armhole`)
	d = tshirt()
	d.Options[0].Parts[0].Edges[2].D = "M0,0 L5,5"
	require.ErrorContains(t, Of(d).Pieces(io.Discard, 0), "mm from where the next begins")
	d = tshirt()
	d.Options[0].Parts[1].Scrap = "velvet"
	require.ErrorContains(t, Of(d).Layout(io.Discard, 0), `"velvet"`)
	d = tshirt()
	d.Options[0].Parts[1].CutLine = nil
	require.ErrorContains(t, Of(d).Pieces(io.Discard, 0), "cutting line of 0 points")
}

func FuzzParsePath(f *testing.F) {
	for _, s := range []string{"M0,0 L1,1", "M0 0L1 1C1,2 3,4 5,6Z", "M", "L1,1", "M0,0 L1e400,2", "M0,0 C1,2", "M1,1 M2,2", "Z"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := ParsePath(s)
		if err != nil {
			return
		}
		if len(p) == 0 {
			t.Fatal("a path of nothing")
		}
		for i := 1; i < len(p); i++ {
			if p[i].P0 != p[i-1].P1 {
				t.Fatal("segments do not follow one another")
			}
		}
	})
}
