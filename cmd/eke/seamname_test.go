package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// trousers are a leg, 1 m long from the waist, and a waistband.
const trousers = `<svg xmlns="http://www.w3.org/2000/svg" width="1200mm" height="1200mm" viewBox="0 0 1200 1200">
<g id="leg"><path class="seam" d="M 60,20 H 260 L 320,280 L 280,1020 H 80 L 40,200 Z"/><path class="grain" d="M 160,400 V 800"/>
<path class="edge waist" d="M 60,20 H 260"/><path class="edge hem" d="M 280,1020 H 80"/></g>
<g id="waistband"><path class="seam" d="M 500,20 H 1000 V 120 H 500 Z"/><path class="grain" d="M 600,30 V 100"/>
<path class="edge waist" d="M 500,120 H 1000"/></g>
</svg>`

// What people read calls a seam across the grain a yoke's near shoulders,
// chest or hips only; plan.json and the flags keep the kind.
func TestWhatASeamIsCalled(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	write(t, dir, "trousers.svg", trousers)
	for name, c := range map[string]struct {
		pattern, piece string
		flags          []string
		kind, called   string
	}{
		"below the underarm":        {sample(t, "tshirt.svg"), "front", []string{"--yoke", "255mm"}, "yoke", "yoke seam"},
		"across the shoulders":      {sample(t, "tshirt.svg"), "back", []string{"--yoke", "12cm"}, "yoke", "yoke seam"},
		"at the waist":              {sample(t, "tshirt.svg"), "front", []string{"--yoke", "45cm"}, "yoke", "cross seam"},
		"across a sleeve":           {sample(t, "tshirt.svg"), "sleeve", []string{"--yoke", "15cm"}, "yoke", "cross seam"},
		"across a bodice, curved":   {sample(t, "blouse.svg"), "front", []string{"--curved-yoke", "180mm"}, "curved yoke", "curved yoke seam"},
		"across a raglan front":     {sample(t, "raglan-child.svg"), "front", []string{"--yoke", "120mm"}, "yoke", "yoke seam"},
		"low on a raglan front":     {sample(t, "raglan-child.svg"), "front", []string{"--yoke", "300mm"}, "yoke", "cross seam"},
		"across a raglan sleeve":    {sample(t, "raglan-child.svg"), "sleeve", []string{"--yoke", "120mm"}, "yoke", "cross seam"},
		"at the hips":               {"trousers.svg", "leg", []string{"--yoke", "150mm"}, "yoke", "yoke seam"},
		"at the knee":               {"trousers.svg", "leg", []string{"--yoke", "55cm"}, "yoke", "cross seam"},
		"across a waistband":        {"trousers.svg", "waistband", []string{"--yoke", "50mm"}, "yoke", "cross seam"},
		"where no names tell":       {"flag.svg", "flag", []string{"--yoke", "100mm"}, "yoke", "cross seam"},
		"along the grain":           {sample(t, "tshirt.svg"), "front", []string{"--panel", "60mm"}, "panel", "lengthwise seam"},
		"down the middle":           {sample(t, "tshirt.svg"), "front", []string{"--centre"}, "centre", "centre seam"},
		"down one of two fronts":    {sample(t, "blouse.svg"), "front", []string{"--centre"}, "centre", "lengthwise seam"},
		"along a line of her own":   {sample(t, "tshirt.svg"), "front", []string{"--level"}, "drawn line", "seam along a drawn line"},
		"across, and down a sleeve": {sample(t, "raglan-child.svg"), "sleeve", []string{"--panel", "10mm"}, "panel", "lengthwise seam"},
	} {
		t.Run(name, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "out")
			args := append([]string{"split", c.pattern, "--piece", c.piece, "-v", "-o", out}, c.flags...)
			r := found(t, dir, args...)
			var d struct {
				Options []struct {
					Seams []struct {
						Kind, Called string
					} `json:"piecing_seams"`
					Order []string `json:"sewing_order"`
				}
			}
			files := tree(t, out)
			require.NoError(t, json.Unmarshal([]byte(files["plan.json"]), &d))
			require.Equal(t, c.kind, d.Options[0].Seams[0].Kind)
			require.Equal(t, c.called, d.Options[0].Seams[0].Called)
			require.Contains(t, r.stdout, "A     "+c.called+"  ")
			require.Contains(t, d.Options[0].Order[len(d.Options[0].Seams)-1], ", a "+c.called+": ")
			require.Contains(t, files["report.html"], "A: "+c.called+" in the "+c.piece)
			require.Contains(t, files["report.html"], `<td data-label="Kind">`+c.called+"</td>")
		})
	}
}
