package fit

// stripItems items or more on a rectangle are packed as on a strip, for there it
// is its length that counts.
const stripItems = 20

func onStrip(c *Cloth, items []Item) bool {
	if !c.isRectangle || len(items) < stripItems {
		return false
	}
	for _, it := range items {
		for _, t := range it.Turns {
			if !t.Lines.none() {
				return false
			}
		}
	}
	return true
}

// runOnStrip packs a rectangle as a strip as wide as its shorter side, until
// that is no longer than the rectangle, or more says stop. Where there is cloth
// to spare the first layout will do.
func (pk *packer) runOnStrip(more func() bool) bool {
	pk.construct()
	if pk.searchFromHere(more) {
		return true
	}
	begun := pk.evaluations
	b := pk.cloth.region.bounds
	t := stripTask{width: b.height(), items: pk.items, gapMM: pk.sep.gap, method: fullMethod,
		more: func(evaluations int) bool {
			pk.evaluations = begun + evaluations
			return more()
		}}
	length, upright := b.width(), b.height() > b.width()
	if upright { // the strip lies along x, a quarter turn away
		length, t.width = t.width, length
		t.items = quarterTurned(t.items)
	}
	st := newStripPacker(t, 0)
	st.rng, st.enough = pk.rng, length
	st.run()
	if st.champion == nil || st.shortest > st.enough {
		return false
	}
	a := pk.sep
	a.poses = append(a.poses[:0], st.champion...)
	for i := range a.poses {
		p := &a.poses[i]
		if upright {
			p.at = vec{p.at.y, length - p.at.x}
			p.deg -= 90
		}
		p.at = p.at.add(b.min)
	}
	return feasible(a.cloth, a.items, a.poses, a.gap, &a.work)
}

// quarterTurned is the same items, each of whose turns is a quarter further.
func quarterTurned(items []Item) []Item {
	out := make([]Item, len(items))
	for i, it := range items {
		out[i].Shape = it.Shape
		for _, t := range it.Turns {
			t.Deg += 90
			out[i].Turns = append(out[i].Turns, t)
		}
	}
	return out
}
