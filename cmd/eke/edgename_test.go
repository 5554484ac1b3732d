package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Edges are named on the command line as the drawing names them, in two words too.
func TestEdgesOfTwoWords(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "top.svg", `<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="1200mm" height="700mm" viewBox="0 0 1200 700">
		<g inkscape:label="Left Front" data-cut="2" data-mirrored="yes"><path inkscape:label="seam" d="M 0,80 H 110 L 120,0 L 240,40 V 500 H 0 Z"/><path inkscape:label="grain" d="M 50,80 V 300"/>
		<path inkscape:label="edge shoulder seam" data-joins="Back Panel/shoulder seam" d="M 120,0 L 240,40"/><path inkscape:label="edge side seam" data-joins="Back Panel/side seam" d="M 240,40 V 500"/></g>
		<g inkscape:label="Back Panel"><path inkscape:label="seam" d="M 400,80 H 510 L 520,0 L 640,40 V 500 H 400 Z"/><path inkscape:label="grain" d="M 450,80 V 300"/><path inkscape:label="fold" d="M 400,80 V 500"/>
		<path inkscape:label="edge shoulder seam" d="M 520,0 L 640,40"/><path inkscape:label="edge side seam" d="M 640,40 V 500"/></g></svg>`)
	r := found(t, dir, "split", "top.svg", "--piece", "Left Front", "--move", "Shoulder seam=20mm", "-o", "out")
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "moved: Left Front/shoulder-seam to Back Panel/shoulder-seam, 20 mm from Left Front to Back Panel")
	require.Len(t, verified(t, filepath.Join(dir, "out")).Options[0].Moved, 1)

	found(t, dir, "plan", "top.svg", "--scrap", "x: 90 x 120 cm", "--seams", "yoke, shoulder seam", "--time", "5s", "-o", "plan")

	write(t, dir, "stripes.csv", "name, length_cm, width_cm, stripe_cm, first_cm\nbolt, 120, 140, 3, 1\n")
	r = found(t, dir, "plan", "top.svg", "stripes.csv", "--wish", "match stripes at left front/side seam", "--time", "20s", "-o", "plan")
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "match stripes at left front/side-seam: kept")

	bad := eke(t, dir, "split", "top.svg", "--piece", "Left Front", "--move", "neck=20mm", "-o", "out")
	require.Equal(t, exitUse, bad.code)
	require.Contains(t, bad.stderr, `Left Front has no edge "neck" that joins another piece; those that do are shoulder-seam, side-seam`)
}
