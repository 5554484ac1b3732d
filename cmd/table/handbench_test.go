package table

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"eke/cmd/job"
	"eke/piece"
	"eke/svg/draw"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// crowdedBench is a table with a sample pattern and sixty scraps on it, each of another
// size: those of the samples, over and over. What they are of is left out, so that each
// piece may be cut from any.
func crowdedBench(b *testing.B, pattern string) *bench {
	b.Helper()
	samples := filepath.Join("..", "..", "samples")
	var some []piece.Scrap
	for _, name := range []string{"scraps.csv", "scraps.svg"} {
		more, err := job.ScrapFile(filepath.Join(samples, name))
		require.NoError(b, err)
		some = append(some, more...)
	}
	const scraps = 60
	var pile []piece.Scrap
	for i := range scraps {
		of := some[i%len(some)]
		s := piece.Scrap{Name: fmt.Sprint("scrap ", i), GrainDeg: of.GrainDeg, Count: 1}
		size := 0.8 + 0.4*float64(i)/scraps
		grown := func(r orb.Ring) orb.Ring {
			out := make(orb.Ring, len(r))
			for k, q := range r {
				out[k] = orb.Point{q[0]*size + 2500*float64(i%8), q[1]*size + 2500*float64(i/8)}
			}
			return out
		}
		s.Outline = grown(of.Outline)
		for _, h := range of.Holes {
			s.Holes = append(s.Holes, grown(h))
		}
		pile = append(pile, s)
	}
	dir := b.TempDir()
	text, err := os.ReadFile(filepath.Join(samples, pattern))
	require.NoError(b, err)
	for _, fact := range []string{"fabric", "kind"} {
		text = bytes.ReplaceAll(text, []byte("data-"+fact+"="), []byte("data-was-"+fact+"="))
	}
	require.NoError(b, os.WriteFile(filepath.Join(dir, "p.svg"), text, 0o644))
	var out bytes.Buffer
	require.NoError(b, draw.Pile(&out, "Scraps", "Sixty of them.", pile))
	require.NoError(b, os.WriteFile(filepath.Join(dir, "s.svg"), out.Bytes(), 0o644))
	made, err := newBench(Options{Folder: dir, Out: "out", Pattern: "p.svg", Scraps: []string{"s.svg"}})
	require.NoError(b, err)
	b.Cleanup(func() { _ = made.root.Close() })
	for _, f := range made.laid.files {
		require.NoError(b, f.refused)
	}
	return made
}

// asks has a table answer a request, and says how long that took.
func asks(b *testing.B, routes http.Handler, method, path string, form url.Values, to any) time.Duration {
	b.Helper()
	r := httptest.NewRequest(method, path, bytes.NewReader([]byte(form.Encode())))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	began := time.Now()
	routes.ServeHTTP(w, r)
	took := time.Since(began)
	require.Equal(b, http.StatusOK, w.Code, w.Body.String())
	if to != nil {
		require.NoError(b, json.Unmarshal(w.Body.Bytes(), to))
	}
	return took
}

// slowest tells of many answers how long the slowest took, and all but one in twenty.
func slowest(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	b.ReportMetric(ms(took[len(took)-1]), "ms-worst")
	b.ReportMetric(ms(took[(len(took)-1)*95/100]), "ms-95th")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkDragLine drags a seam up and down pieces with sixty scraps on the table: each
// step says on which of them the parts fit. Live answers are to take no more than 100 ms
// on two cores.
func BenchmarkDragLine(b *testing.B) {
	for _, c := range []struct{ pattern, part, way string }{{"tshirt.svg", "front", "straight"}, {"tshirt.svg", "back", "arc-down"}, {"blouse.svg", "front", "panel"}} {
		b.Run(c.pattern+"/"+c.way, func(b *testing.B) {
			made := crowdedBench(b, c.pattern)
			routes := made.routes()
			var h handView
			asks(b, routes, "GET", "/hand", nil, &h)
			part := h.Parts[slices.IndexFunc(h.Parts, func(p partView) bool { return h.Copies[p.Copy].Name == c.part })]
			asks(b, routes, "POST", "/hand/line", url.Values{"part": {part.Name}, "way": {c.way}, "at": {"200"}}, &h)
			line := h.Copies[part.Copy].Lines[0]
			var took []time.Duration
			var fits, open int
			for i := 0; b.Loop(); i++ {
				// To and fro in steps of a mouse, never at the same place twice.
				at := line.From + (line.To-line.From)*(0.5+0.5*math.Sin(0.037*float64(i)))
				var t tryLine
				took = append(took, asks(b, routes, "GET", "/hand/try?"+url.Values{"line": {line.ID}, "at": {fmt.Sprint(at)}}.Encode(), nil, &t))
				for _, p := range t.Parts {
					for _, f := range p.Fits {
						if fits++; f.AtMost {
							open++
						}
					}
				}
			}
			slowest(b, took)
			b.ReportMetric(100*float64(open)/float64(fits), "%-at-most")
		})
	}
}

// BenchmarkDragPart drags a part over a scrap on which others lie.
func BenchmarkDragPart(b *testing.B) {
	made := crowdedBench(b, "tshirt.svg")
	routes := made.routes()
	var h handView
	asks(b, routes, "GET", "/hand", nil, &h)
	on := slices.MaxFunc(h.Scraps, func(s, t clothView) int {
		return int((s.Box[2]-s.Box[0])*(s.Box[3]-s.Box[1]) - (t.Box[2]-t.Box[0])*(t.Box[3]-t.Box[1]))
	})
	for _, p := range []string{h.Parts[2].Name, h.Parts[len(h.Parts)-1].Name} {
		asks(b, routes, "POST", "/hand/place", url.Values{"part": {p}, "scrap": {fmt.Sprint(on.ID)}}, &h)
	}
	w, d := on.Box[2]-on.Box[0], on.Box[3]-on.Box[1]
	var took []time.Duration
	var t tryPart
	for i := 0; b.Loop(); i++ {
		x, y := on.Box[0]+w*(0.5+0.4*math.Sin(0.031*float64(i))), on.Box[1]+d*(0.5+0.4*math.Sin(0.047*float64(i)))
		took = append(took, asks(b, routes, "GET", "/hand/try?"+url.Values{"part": {h.Parts[0].Name}, "scrap": {fmt.Sprint(on.ID)}, "x": {fmt.Sprint(x)}, "y": {fmt.Sprint(y)}}.Encode(), nil, &t))
	}
	slowest(b, took)
}
