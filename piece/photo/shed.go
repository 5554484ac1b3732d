package photo

// Boards of another tone, and gaps between them, may hang on a scrap, for their edge
// against the rest of the ground is as sharp as cloth's. What is hardly told from the
// ground beside it, and far better from the cloth that it hangs on, is given back to
// the ground, but not where cloth has such places all about, too: those are its print.
const (
	shedUnits = 1.5 // times what ground and cloth are hardly told apart by: what is farther off is cloth
	shedTimes = 4.0 // more like the ground than the cloth
	shedNear  = 5   // points from such a part to either
	shedPrint = 3   // places of its colour with cloth all about that make it a print's
)

// shed gives parts of a patch of cloth back to the ground. It is whether there were any.
func (t *tracer) shed(r region, ids []int32) bool {
	f := t.f
	box := r.box.Inset(-shedNear - 2)
	box.Min.X, box.Min.Y, box.Max.X, box.Max.Y = max(box.Min.X, 0), max(box.Min.Y, 0), min(box.Max.X, f.w), min(box.Max.Y, f.h)
	w, h := box.Dx(), box.Dy()
	weak := make([]bool, w*h)
	rows(h, func(y int) {
		for i := y * w; i < (y+1)*w; i++ {
			if k := f.at(box, i); ids[k] == r.id && !t.blind[k] {
				g, _ := t.ground.at(float64(k%f.w), float64(k/f.w))
				weak[i] = toLab(f.mean(k)).apart(g) < shedUnits*hardlyTold
			}
		}
	})
	core := eroded(weak, w, h, 1)
	parts, count := components(core, w, h)
	type tally struct {
		toCloth, toGround float64
		cloth, ground     int
		colour            lab
		size              float32
	}
	sides := make([]tally, count+1)
	for i, id := range parts {
		if id == 0 {
			continue
		}
		s, x, y := &sides[id], i%w, i/w
		s.size++
		for ch, v := range f.colour[f.at(box, i)] {
			s.colour[ch] += (v - s.colour[ch]) / s.size
		}
		for _, d := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			for n := 1; n <= shedNear; n++ {
				u, v := x+n*d[0], y+n*d[1]
				if u < 2 || v < 2 || u >= w-2 || v >= h-2 {
					break
				}
				if weak[v*w+u] {
					continue
				}
				q := f.at(box, (v+2*d[1])*w+u+2*d[0])
				off := f.colour[f.at(box, i)].apart(f.colour[q])
				switch {
				case ids[q] == r.id:
					s.toCloth, s.cloth = s.toCloth+off, s.cloth+1
				case t.labels[q] == onGround:
					s.toGround, s.ground = s.toGround+off, s.ground+1
				}
				break
			}
		}
	}
	isPrint := func(s tally) bool {
		like := 0
		for _, o := range sides {
			if o.ground == 0 && o.cloth > 0 && o.colour.apart(s.colour) < likeUnits {
				like++
			}
		}
		return like >= shedPrint
	}
	shed := make([]bool, count+1)
	any := false
	for id, s := range sides {
		shed[id] = s.ground > 3 && s.cloth > 0 && shedTimes*s.toGround/float64(s.ground) < s.toCloth/float64(s.cloth) && !isPrint(s)
		any = any || shed[id]
	}
	gone := make([]bool, w*h)
	for i, id := range parts {
		gone[i] = shed[id]
	}
	if !any {
		return false
	}
	for i, is := range dilated(gone, w, h, 1) {
		if is && weak[i] {
			t.labels[f.at(box, i)] = onGround
		}
	}
	return true
}
