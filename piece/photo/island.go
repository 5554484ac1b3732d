package photo

// What has an edge all round that is too sharp for a shadow's, and is paler than the ground beyond it, is
// cloth that the ground's uneven light was fitted to.
const (
	islandSlope = 3.0 // times the usual slope of the ground: an edge is steeper all along
	leastSlope  = 0.8 // CIELAB units a point, the same
	islandFar   = 9   // points of the field from within its edge to beyond it
	islandFars  = 3   // times that, to beyond a joint of the ground: a tile is paler than its joints, and no paler than the next
	islandTones = 3.0 // standard deviations of the tones of a floor's boards, at least
	islandShore = 0.6 // of its edge beyond which there is ground, at least
	islandPaler = 0.7 // of that, along which it is paler
	islandRim   = 3   // points of the field from what is even within it to its edge
)

// islands gives those to the cloth.
func (t *tracer) islands() {
	f := t.f
	slope := f.slope()
	var usual []float64
	for k := 0; k < len(slope); k += 37 {
		if t.labels[k] == onGround {
			usual = append(usual, float64(slope[k]))
		}
	}
	if len(usual) == 0 {
		return
	}
	most := float32(max(leastSlope, islandSlope*median(usual)))
	even := averaged(slope, f.w, f.h, 1)
	flat := make([]bool, len(slope))
	for k, l := range t.labels {
		flat[k] = l == onGround && even[k] < most
	}
	flat = eroded(bordered(flat, f.w, f.h), f.w, f.h, 1)
	ids, count := components(flat, f.w, f.h)
	type tally struct {
		area, edge, shore, paler int
		off                      float64
	}
	all := make([]tally, count+1)
	for _, id := range ids {
		all[id].area++
	}
	perPoint := t.mmPerFieldPoint()
	told := max(float64(t.ground.told()), islandTones*float64(t.ground.tones))
	for k, id := range ids {
		a := &all[id]
		if id == 0 || float64(a.area)*perPoint*perPoint < leastMM2 || a.area > len(ids)/4 {
			continue
		}
		x, y := k%f.w, k/f.w
		for _, d := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			if ids[k+d[1]*f.w+d[0]] == id {
				continue
			}
			a.edge++
			in := k - 2*(d[1]*f.w+d[0])
			beyond := float32(-1) // the lightness of the palest ground there
			for far := 1; far <= islandFars; far++ {
				u, v := x+far*islandFar*d[0], y+far*islandFar*d[1]
				if u < 0 || v < 0 || u >= f.w || v >= f.h || t.labels[v*f.w+u] != onGround || ids[v*f.w+u] == id {
					break
				}
				beyond = max(beyond, toLab(f.mean(v*f.w + u))[0])
			}
			if beyond < 0 || ids[in] != id {
				continue
			}
			a.shore++
			off := float64(toLab(f.mean(in))[0] - beyond)
			a.off += off
			if off > told {
				a.paler++
			}
		}
	}
	is := make([]bool, len(ids))
	any := false
	for k, id := range ids {
		a := &all[id]
		is[k] = id > 0 && a.edge > 0 && float64(a.shore) > islandShore*float64(a.edge) && float64(a.paler) > islandPaler*float64(a.shore) && a.off > max(hardlyTold, told)*float64(a.shore)
		any = any || is[k]
	}
	if !any {
		return
	}
	for k, is := range dilated(is, f.w, f.h, islandRim) {
		if is && t.labels[k] == onGround {
			t.labels[k] = onCloth
		}
	}
	t.ground.forget(dilated(is, f.w, f.h, t.ground.cell), f.w)
}
