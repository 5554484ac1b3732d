package svg

import (
	"io"
	"math"
	"strings"

	"eke/piece"

	"github.com/paulmach/orb"
)

// ReadDrawnScraps reads what ReadScraps does, with its lines as they were drawn, and
// the photographs that lie under them.
func ReadDrawnScraps(r io.Reader, file string) ([]piece.DrawnScrap, []piece.Ground, error) {
	root, err := parse(r, file)
	if err != nil {
		return nil, nil, err
	}
	d, top, err := open(root, file)
	if err != nil {
		return nil, nil, err
	}
	out, err := d.scraps(top)
	if err != nil {
		return nil, nil, err
	}
	return out, d.grounds(top), nil
}

// grounds are the pictures named `ground` on the page itself. One that is no file
// of its own, or is turned or bent, does not count.
func (d *drawing) grounds(top *node) []piece.Ground {
	var out []piece.Ground
	for _, e := range top.el.children {
		if e.name != "image" || e.get("class") != "ground" || d.property(e, "transform") != "" {
			continue
		}
		href, given := e.lookup("href")
		if !given {
			href = e.get("xlink:href")
		}
		get := lengths{d: d, n: &node{el: e, viewport: top.viewport}}
		x, y, w, h := get.x("x"), get.y("y"), get.x("width"), get.y("height")
		if get.err != nil || !(w > 0 && h > 0) || href == "" || strings.Contains(href, ":") {
			continue
		}
		box := orb.Bound{Min: top.toMM.Apply(orb.Point{x, y}), Max: top.toMM.Apply(orb.Point{x + w, y + h})}
		if math.Abs(box.Min[0]) <= maxScrapMM && math.Abs(box.Min[1]) <= maxScrapMM && box.Max[0] <= maxScrapMM && box.Max[1] <= maxScrapMM {
			out = append(out, piece.Ground{File: href, Box: box})
		}
	}
	return out
}
