package main

import (
	"bytes"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	svg "github.com/ajstarks/svgo/float"
)

// scaleCurve draws, of a table of larger piles, the time to the first plan and to
// the end over the number of scraps, for the rows of twelve pieces. Both scales
// are logarithmic. It is nil where there are no two such rows.
func scaleCurve(text string) []byte {
	type row struct{ scraps, first, settled float64 }
	by := map[string][]row{} // workers
	cells := func(line string) []string {
		var out []string
		for _, c := range strings.Split(strings.Trim(line, "| \n"), "|") {
			out = append(out, strings.TrimSpace(c))
		}
		return out
	}
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(strings.TrimSuffix(s, " s"), 64)
		if err != nil {
			return math.NaN()
		}
		return x
	}
	for line := range strings.Lines(text) {
		if c := cells(line); len(c) == 8 && c[1] == "12" {
			by[c[3]] = append(by[c[3]], row{number(c[2]), number(c[5]), number(c[6])})
		}
	}
	var workers []string
	most := 0
	for w, rows := range by {
		workers = append(workers, w)
		most = max(most, len(rows))
	}
	if most < 2 {
		return nil
	}
	sort.Strings(workers)
	const (
		wide, high               = 640.0, 400.0
		left, right, top, bottom = 60.0, 170.0, 20.0, 50.0
		fewScraps, manyScraps    = 40.0, 1000.0
		shortS, longS            = 0.1, 100.0
	)
	x := func(scraps float64) float64 {
		return left + (wide-left-right)*math.Log(scraps/fewScraps)/math.Log(manyScraps/fewScraps)
	}
	y := func(s float64) float64 {
		s = math.Max(shortS, math.Min(longS, s))
		return high - bottom - (high-top-bottom)*math.Log(s/shortS)/math.Log(longS/shortS)
	}
	var b bytes.Buffer
	c := svg.New(&b)
	c.Start(wide, high, `font-family="sans-serif" font-size="13"`)
	c.Title("Time over the number of scraps, twelve pieces")
	c.Rect(0, 0, wide, high, "fill:#fff")
	for _, s := range []float64{0.1, 1, 10, 100} {
		c.Line(left, y(s), wide-right, y(s), "stroke:#ccc")
		c.Text(left-8, y(s)+4, fmt.Sprintf("%g s", s), "text-anchor:end")
	}
	for _, n := range []float64{60, 200, 600} {
		c.Line(x(n), top, x(n), high-bottom, "stroke:#ccc")
		c.Text(x(n), high-bottom+18, fmt.Sprint(n), "text-anchor:middle")
	}
	c.Text((left+wide-right)/2, high-12, "scraps", "text-anchor:middle")
	dashes := []string{"", "7,4"}
	for i, w := range workers {
		for _, line := range []struct {
			name, colour string
			of           func(row) float64
		}{
			{"first plan", "#1b5e8c", func(r row) float64 { return r.first }},
			{"settled", "#a4452c", func(r row) float64 { return r.settled }},
		} {
			var xs, ys []float64
			for _, r := range by[w] {
				if s := line.of(r); !math.IsNaN(s) {
					xs, ys = append(xs, x(r.scraps)), append(ys, y(s))
				}
			}
			if len(xs) == 0 {
				continue
			}
			c.Polyline(xs, ys, fmt.Sprintf("fill:none;stroke:%s;stroke-width:2;stroke-dasharray:%s", line.colour, dashes[i%len(dashes)]))
			for k := range xs {
				c.Circle(xs[k], ys[k], 3, "fill:"+line.colour)
			}
			plural := "s"
			if w == "1" {
				plural = ""
			}
			c.Text(xs[len(xs)-1]+8, ys[len(ys)-1]+4-14*float64(i), fmt.Sprintf("%s, %s worker%s", line.name, w, plural), "fill:"+line.colour)
		}
	}
	c.End()
	return b.Bytes()
}
