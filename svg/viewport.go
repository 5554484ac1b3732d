package svg

import (
	"fmt"
	"strings"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// viewBox reads a viewBox: nil where there is none.
func viewBox(s string) (*orb.Bound, error) {
	if strings.TrimSpace(s) == "" {
		return nil, nil
	}
	v, err := numbers(s)
	if err != nil || len(v) != 4 {
		return nil, fmt.Errorf("its viewBox %q is not four numbers", start(s))
	}
	if !(v[2] > 0 && v[3] > 0) {
		return nil, fmt.Errorf("its viewBox %q has no size", start(s))
	}
	return &orb.Bound{Min: orb.Point{v[0], v[1]}, Max: orb.Point{v[0] + v[2], v[1] + v[3]}}, nil
}

// fitViewBox takes a view box to the viewport of size w by h at the origin,
// as preserveAspectRatio says (SVG 2, 8.2, "equivalent transform of an SVG
// viewport"). A value that cannot be read counts as xMidYMid meet.
func fitViewBox(box orb.Bound, preserve string, w, h float64) curve.Matrix {
	bw, bh := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
	sx, sy := w/bw, h/bh
	words := strings.Fields(preserve)
	if len(words) > 0 && words[0] == "defer" {
		words = words[1:]
	}
	align, slice := "xMidYMid", false
	if len(words) > 0 && (words[0] == "none" || alignment[words[0]] != nil) {
		align = words[0]
		slice = len(words) > 1 && words[1] == "slice"
	}
	var free orb.Point
	if align != "none" {
		s := min(sx, sy)
		if slice {
			s = max(sx, sy)
		}
		sx, sy = s, s
		free = orb.Point{(w - bw*s) * alignment[align][0], (h - bh*s) * alignment[align][1]}
	}
	return curve.Matrix{sx, 0, 0, sy, free[0] - box.Min[0]*sx, free[1] - box.Min[1]*sy}
}

// alignment is what part of the room left over goes before the view box.
var alignment = func() map[string][]float64 {
	share := map[string]float64{"Min": 0, "Mid": 0.5, "Max": 1}
	out := map[string][]float64{}
	for x, fx := range share {
		for y, fy := range share {
			out["x"+x+"Y"+y] = []float64{fx, fy}
		}
	}
	return out
}()

// page is the matrix from the root's user units to millimetres on the page,
// and the viewport's size in user units.
type page struct {
	toMM     curve.Matrix
	viewport orb.Point
	note     string // what was assumed about units
	pxNote   string // what was, of lines that nothing else scales
}

const unitsCure = "set the page's width and height in mm in the drawing program, and save again"

// pageOf finds the true size of a drawing. A problem is for the whole file.
func pageOf(root *element) (p page, problem, cure string) {
	box, err := viewBox(root.get("viewBox"))
	if err != nil {
		return p, err.Error(), "set the page's size in the drawing program, and save again"
	}
	size := func(name string) (px float64, known, inPx bool, problem string) {
		s := strings.TrimSpace(root.get(name))
		if s == "" || s == "auto" || strings.HasSuffix(s, "%") {
			return 0, false, false, ""
		}
		px, err := length(s, 0)
		if err != nil {
			return 0, false, false, fmt.Sprintf("the page's %s: %v", name, err)
		}
		if !(px > 0) {
			return 0, false, false, fmt.Sprintf("the page's %s is %s", name, start(s))
		}
		unit := strings.ToLower(strings.TrimLeft(s, "+-.0123456789eE"))
		return px, true, unit == "" || unit == "px", ""
	}
	w, knownW, wInPx, problemW := size("width")
	h, knownH, hInPx, problemH := size("height")
	switch {
	case problemW != "":
		return p, problemW, unitsCure
	case problemH != "":
		return p, problemH, unitsCure
	case !knownW && !knownH:
		return p, "its size in mm cannot be known: the page has no width or height", unitsCure
	case !knownW && box != nil:
		w = h * (box.Max[0] - box.Min[0]) / (box.Max[1] - box.Min[1])
	case !knownH && box != nil:
		h = w * (box.Max[1] - box.Min[1]) / (box.Max[0] - box.Min[0])
	case !knownW:
		w = h
	case !knownH:
		h = w
	}
	if old90dpi(root.get("inkscape:version")) && (box == nil || wInPx || hInPx) {
		return p, "it was saved by a version of its drawing program that counted 90 px an inch, so its size cannot be known",
			"open it in version 0.92 or later, set the page's width and height in mm, check a length, and save again"
	}
	p.toMM = curve.Matrix{mmPerPx, 0, 0, mmPerPx, 0, 0}
	p.viewport = orb.Point{w, h}
	if box != nil {
		p.toMM = fitViewBox(*box, root.get("preserveAspectRatio"), w, h).Then(p.toMM)
		p.viewport = orb.Point{box.Max[0] - box.Min[0], box.Max[1] - box.Min[1]}
	}
	if wInPx || hInPx {
		p.note = fmt.Sprintf("the page's size is in px, taken as 96 an inch: %.0f by %.0f mm", w*mmPerPx, h*mmPerPx)
		if wInPx && hInPx {
			p.note += fmt.Sprintf("; if it is meant to be %.0f by %.0f mm, write mm after its width and its height", w, h)
		}
	} else if box == nil {
		p.pxNote = fmt.Sprintf("the page has no viewBox, so what is drawn is taken to be in px, 96 an inch: a line 100 long is %.0f mm; if it is drawn in mm, write viewBox=\"0 0 %.0f %.0f\" beside the page's width", 100*mmPerPx, w*mmPerPx, h*mmPerPx)
	}
	return p, "", ""
}

// old90dpi reports the versions of Inkscape before 0.92, whose px were 1/90
// inch (Inkscape 0.92 release notes).
func old90dpi(version string) bool {
	if !strings.HasPrefix(version, "0.") {
		return false
	}
	minor, n := number(version[2:])
	return n > 0 && version[2] != '-' && int(minor) < 92
}
