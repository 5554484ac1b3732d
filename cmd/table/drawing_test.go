package table

import (
	"bytes"
	"encoding/json"
	"image"
	"image/png"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A drawing is refused in words where a line crosses itself, has no area or leaves its
// outline, and where the file is another by now; nothing is written then.
func TestDrawingsAreRefusedInWords(t *testing.T) {
	t.Parallel()
	var picture bytes.Buffer
	require.NoError(t, png.Encode(&picture, image.NewGray(image.Rect(0, 0, 4, 4))))
	ground := func(href string) string {
		return `<image class="ground" x="-10" y="0" width="100" height="50" xlink:href="` + href + `"/>`
	}
	cloth := strings.Replace(shirtCloth, "<g id=\"round\"", ground("a.png")+ground("../secret.png")+ground("s.csv")+ground("http://x.example/a.png")+ground("data:image/png;base64,AA")+"<g id=\"round\"", 1)
	cloth = strings.Replace(cloth, "<svg ", `<svg xmlns:xlink="http://www.w3.org/1999/xlink" `, 1)
	made, dir := laidOut(t, 0, map[string]string{"cloth.svg": cloth, "s.csv": linen, "a.png": picture.String(), "scraps.svg": "hers"}, "", "cloth.svg", "s.csv")
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(dir), "secret.png"), picture.Bytes(), 0o644))
	v := visit(t, made)
	fetch := func(file string) (d drawing) {
		code, body := v.get("/drawing?file=" + file)
		require.Equal(t, http.StatusOK, code, body)
		require.NoError(t, json.Unmarshal([]byte(body), &d))
		return d
	}
	send := func(d drawing, query string) (int, string) {
		data, err := json.Marshal(d)
		require.NoError(t, err)
		return v.post("/drawing"+query, bytes.NewReader(data), "application/json", v.base)
	}
	code, _ := v.get("/drawing?file=../cloth.svg")
	require.Equal(t, http.StatusNotFound, code)
	code, _ = v.post("/drawing?save", strings.NewReader("{"), "application/json", v.base)
	require.Equal(t, http.StatusBadRequest, code)
	code, _ = v.post("/drawing?save", strings.NewReader("{}"), "application/json", "http://x.example")
	require.Equal(t, http.StatusForbidden, code)

	// A photograph is shown where it lies beside the file and in the folder, and nothing else is.
	d := fetch("cloth.svg")
	require.Len(t, d.Grounds, 3, "those that are files")
	for i, want := range []int{http.StatusOK, http.StatusNotFound, http.StatusNotFound} {
		code, _ := v.get(d.Grounds[i].Src)
		require.Equal(t, want, code, d.Grounds[i].Src)
	}
	require.InDeltaSlice(t, []float64{-10, 0, 100, 50}, d.Grounds[0].Box[:], 1e-9)

	square := 1
	for why, change := range map[string]func(d *drawing){
		"crosses or touches itself":   func(d *drawing) { d.Scraps[square].Rim[0] = corner{450, 100} },
		"encloses no area":            func(d *drawing) { d.Scraps[square].Rim = []corner{{300, 20}, {400, 20}, {350, 20}} },
		"a line needs at least three": func(d *drawing) { d.Scraps[square].Rim = d.Scraps[square].Rim[:1] },
		"a point has two numbers":     func(d *drawing) { d.Scraps[square].Rim[2] = corner{1} },
		"touches or leaves the outline": func(d *drawing) {
			d.Scraps[square].Cuts = []cutDrawn{{false, []corner{{390, 50}, {410, 50}, {395, 70}}}}
		},
		"the hole lies outside": func(d *drawing) {
			d.Scraps[square].Cuts = []cutDrawn{{false, []corner{{490, 50}, {499, 50}, {495, 70}}}}
		},
		"a point lies more than":   func(d *drawing) { d.Scraps[square].Rim[1] = corner{1e5, 0} },
		"give the scrap a name":    func(d *drawing) { d.Scraps[square].Name = " " },
		"kind: give knit or woven": func(d *drawing) { d.Scraps[square].Kind = "felt" },
		"round":                    func(d *drawing) { d.Scraps[square].Name = "round" },
		"has no length":            func(d *drawing) { d.Scraps[square].Grain = [4]float64{} },
		"no scrap is left":         func(d *drawing) { d.Scraps = nil },
		"has changed since":        func(d *drawing) { d.Stamp = "1" },
		"no longer on the table":   func(d *drawing) { d.File = "a.png" },
	} {
		d := fetch("cloth.svg")
		change(&d)
		for _, query := range []string{"", "?save"} {
			code, said := send(d, query)
			require.Equal(t, http.StatusUnprocessableEntity, code, why)
			require.Contains(t, said, why)
		}
	}
	kept, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, kept, 4, "nothing is written")

	// Scraps from a list are drawn apart; the table's own file takes the place of the list, and hers stays.
	d = fetch("s.csv")
	require.NotEqual(t, d.Scraps[0].Rim, d.Scraps[1].Rim)
	d.Scraps = append(d.Scraps, scrapDrawn{told: told{Name: "third"}, Of: -1, Grain: [4]float64{0, 0, 0, 9}, Rim: []corner{{-50, -50}, {-20, -50}, {-20, -10}}})
	code, said := send(d, "")
	require.Equal(t, http.StatusNoContent, code, said)
	code, said = send(d, "?save")
	require.Equal(t, http.StatusOK, code, said)
	pile := drawn(t, dir, "scraps-2.svg")
	require.Equal(t, []any{"one", "linen", "third"}, []any{pile[0].Name, pile[0].Fabric, pile[2].Name})
	require.InDelta(t, 30, pile[2].Outline.Bound().Max[0]-pile[2].Outline.Bound().Min[0], 1e-9)
	hers, err := os.ReadFile(filepath.Join(dir, "scraps.svg"))
	require.NoError(t, err)
	require.Equal(t, "hers", string(hers))

	// What was under the scraps of one file is under those of the one that takes its place.
	d = fetch("cloth.svg")
	code, said = send(d, "?save")
	require.Equal(t, http.StatusOK, code, said)
	d = fetch("scraps-3.svg")
	require.Len(t, d.Grounds, 3)
	code, _ = v.get(d.Grounds[0].Src)
	require.Equal(t, http.StatusOK, code)
	require.InDelta(t, d.Grounds[0].Box[0]+310, d.Scraps[1].Rim[0][0], 1e-9, "and in the same place")
}
