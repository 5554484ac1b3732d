package photo

import (
	"image"
	"math"
	"slices"

	"eke/piece/plane"
	"eke/piece/scalesheet"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"
	"github.com/paulmach/orb"
)

// codeSeen is a code of a scale sheet, and where the middles of its three
// finder patterns are in the picture.
type codeSeen struct {
	scalesheet.Code
	at [3]orb.Point
}

// finders is where the middles of the finder patterns are on the sheet, in the
// order in which the reader gives them: bottom left, top left, top right.
func finders(c scalesheet.Code) [3]orb.Point {
	side := c.SideMM / scalesheet.Modules
	near, far := 3.5*side, c.SideMM-3.5*side
	return [3]orb.Point{
		{c.At[0] + near, c.At[1] + far}, {c.At[0] + near, c.At[1] + near}, {c.At[0] + far, c.At[1] + near},
	}
}

func (c codeSeen) matches() []match {
	var out []match
	for i, q := range finders(c.Code) {
		out = append(out, match{q, c.at[i]})
	}
	return out
}

// codes looks for scale sheets' codes in a part of the picture, made smaller
// so that its longer side has no more than so many points.
func (p *Picture) codes(part image.Rectangle, most int) []codeSeen {
	part = part.Intersect(image.Rect(0, 0, p.Width, p.Height))
	k := max(1, (max(part.Dx(), part.Dy())+most-1)/most)
	w, h := part.Dx()/k, part.Dy()/k
	if w < 3*scalesheet.Modules || h < 3*scalesheet.Modules {
		return nil
	}
	grey := image.NewGray(image.Rect(0, 0, w, h))
	rows(h, func(y int) {
		for x := range w {
			sum := 0
			for j := range k {
				o := 3 * ((part.Min.Y+y*k+j)*p.Width + part.Min.X + x*k)
				for i := range k {
					c := p.pix[o+3*i : o+3*i+3]
					sum += 2*int(c[0]) + 5*int(c[1]) + int(c[2])
				}
			}
			grey.Pix[y*grey.Stride+x] = uint8(sum / (8 * k * k))
		}
	})
	bitmap, err := gozxing.NewBinaryBitmapFromImage(grey)
	if err != nil {
		return nil
	}
	results, err := multi.NewQRCodeMultiReader().DecodeMultiple(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
	if err != nil {
		return nil // none is there that can be read
	}
	var out []codeSeen
	for _, r := range results {
		c, ok := scalesheet.Parse(r.GetText())
		points := r.GetResultPoints()
		if !ok || len(points) < 3 {
			continue
		}
		seen := codeSeen{Code: c}
		for i := range seen.at {
			seen.at[i] = orb.Point{float64(part.Min.X) + float64(k)*points[i].GetX(), float64(part.Min.Y) + float64(k)*points[i].GetY()}
		}
		out = append(out, seen)
	}
	return out
}

// scaleSheet is the codes that are on one sheet.
type scaleSheet []codeSeen

// together sorts codes into sheets. A code belongs to a sheet when it is about
// where another of its codes, by itself, says it is.
func together(all []codeSeen, v view) []scaleSheet {
	var out []scaleSheet
next:
	for _, c := range all {
		for i, sheet := range out {
			if sheet.holds(c) {
				continue next // seen twice
			}
			if sheet.wants(c, v) {
				out[i] = append(sheet, c)
				continue next
			}
		}
		out = append(out, scaleSheet{c})
	}
	return out
}

func (s scaleSheet) holds(c codeSeen) bool {
	for _, o := range s {
		if o.Code == c.Code && plane.Distance(o.at[1], c.at[1]) < 0.5*plane.Distance(o.at[0], o.at[1]) {
			return true
		}
	}
	return false
}

// wants is whether the sheet's first code has the other where it is, to a
// third of the way between them.
func (s scaleSheet) wants(c codeSeen, v view) bool {
	for _, o := range s {
		if o.Code == c.Code || o.Paper != c.Paper {
			return false
		}
	}
	if v.homography(s[0].matches()) != nil {
		return false
	}
	q := finders(c.Code)[1]
	away := plane.Distance(finders(s[0].Code)[1], q)
	scale := plane.Distance(s[0].at[0], s[0].at[1]) / plane.Distance(finders(s[0].Code)[0], finders(s[0].Code)[1])
	return plane.Distance(v.point(q), c.at[1]) < 0.3*away*scale
}

// unread is the codes that are on the sheet too.
func (s scaleSheet) unread() scaleSheet {
	var out scaleSheet
	for _, c := range scalesheet.Codes(s[0].Paper) {
		if !slices.ContainsFunc(s, func(o codeSeen) bool { return o.Code == c }) {
			out = append(out, codeSeen{Code: c})
		}
	}
	return out
}

// edges is the edges of the sheet's codes between black and white, those in
// line as one.
func (s scaleSheet) edges() ([]edge, error) {
	var out []edge
	for _, c := range s {
		grid, err := c.Grid()
		if err != nil {
			return nil, err
		}
		black := func(x, y int) bool {
			return x >= 0 && y >= 0 && x < scalesheet.Modules && y < scalesheet.Modules && grid[y][x]
		}
		side := c.SideMM / scalesheet.Modules
		for line := range scalesheet.Modules + 1 {
			for _, across := range []bool{false, true} {
				for _, dark := range []bool{false, true} { // the side before the line
					start := -1
					for k := range scalesheet.Modules + 1 {
						before, after := black(line-1, k), black(line, k)
						if across {
							before, after = black(k, line-1), black(k, line)
						}
						is := k < scalesheet.Modules && before == dark && after == !dark
						if is && start < 0 {
							start = k
						}
						if !is && start >= 0 {
							e := edge{halfMM: float64(k-start) * side / 2}
							mid, at := side*float64(k+start)/2, side*float64(line)
							sign := map[bool]float64{true: 1, false: -1}[dark]
							if across {
								e.at, e.light = orb.Point{c.At[0] + mid, c.At[1] + at}, orb.Point{0, sign}
							} else {
								e.at, e.light = orb.Point{c.At[0] + at, c.At[1] + mid}, orb.Point{sign, 0}
							}
							out = append(out, e)
							start = -1
						}
					}
				}
			}
		}
	}
	return out, nil
}

// moduleMM is the side of the codes' squares.
func (s scaleSheet) moduleMM() float64 { return s[0].SideMM / scalesheet.Modules }

// contrast is how much lighter the sheet's white is than its black.
func (p *Picture) contrast(edges []edge, place func(orb.Point) orb.Point, offMM float64) float64 {
	var sum float64
	for _, e := range edges {
		off := min(offMM, e.halfMM)
		a, b := place(plane.Along(e.at, e.light, -off)), place(plane.Along(e.at, e.light, off))
		sum += p.lightAt(b[0], b[1]) - p.lightAt(a[0], a[1])
	}
	return math.Max(0, sum/float64(len(edges)))
}
