package photo

import "image"

// Joints of tiles may be wider than threads by far. What is as wide is known for one by that it runs on
// to the picture's edge, or over half of it; others have the same colour. Of what lies on a wide joint only
// what has its colour, or one between that and the ground's, is taken from the cloth.
const (
	wideJointMM = 9.0
	jointFar    = 0.5  // of the picture's shorter side that one is long which does not reach its edge
	leastJoint  = 60.0 // mm that one is long, at least
	slimJoint   = 3.0  // times as long as wide, at least, of those that have the colour alone
	jointDeep   = 1    // points of the field within it, where it is not mixed with the ground
)

// joints takes wide joints of the ground out of what is cloth.
func (t *tracer) joints() {
	f := t.f
	reach := int(wideJointMM / 2 / t.mmPerFieldPoint())
	if reach <= int(jointMM/2/t.mmPerFieldPoint()) {
		return
	}
	cloth, _, ids, parts := t.thin(reach)
	deep := eroded(cloth, f.w, f.h, jointDeep)
	inner := make([]lab, len(parts)) // their colour, clear of the ground
	count := make([]int, len(parts))
	for k, id := range ids {
		if id > 0 && deep[k] {
			count[id]++
			for ch, v := range f.colour[k] {
				inner[id][ch] += (v - inner[id][ch]) / float32(count[id])
			}
		}
	}
	least := leastJoint / t.mmPerFieldPoint()
	rim := image.Rect(2, 2, f.w-2, f.h-2)
	var joint lab
	known := 0
	is := make([]bool, len(parts))
	for id, p := range parts {
		long := p.long()
		far := long > jointFar*float64(min(f.w, f.h)) || !p.box.In(rim)
		if is[id] = count[id] > 0 && far && long > least && long*long > jointLong*float64(p.area); is[id] {
			known += count[id]
			for ch, v := range inner[id] {
				joint[ch] += (v - joint[ch]) * float32(count[id]) / float32(known)
			}
		}
	}
	if known == 0 {
		return
	}
	for id, p := range parts {
		long := p.long()
		is[id] = count[id] > 0 && inner[id].apart(joint) < likeUnits && (is[id] || long*long > slimJoint*float64(p.area) && long > float64(p.held))
	}
	for k, id := range ids {
		if id > 0 && is[id] {
			if g, _ := t.ground.at(float64(k%f.w), float64(k/f.w)); f.colour[k].between(g, joint) < likeUnits {
				t.labels[k] = onJoint
			}
		}
	}
}

// between is how far a colour is from the nearest on the way from one to another.
func (c lab) between(from, to lab) float64 {
	var along, whole float64
	for ch := range c {
		d := float64(to[ch] - from[ch])
		along += float64(c[ch]-from[ch]) * d
		whole += d * d
	}
	part := float32(min(max(along/max(whole, 1e-6), 0), 1))
	for ch := range from {
		from[ch] += part * (to[ch] - from[ch])
	}
	return c.apart(from)
}
