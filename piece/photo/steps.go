package photo

// stepsOf is the steps of the frequencies of a JPEG's three planes, row by row
// (ITU-T T.81, B.2.2 and B.2.4.1); ok is false where it has no three.
func stepsOf(data []byte) (steps [3][64]uint16, ok bool) {
	const (
		dqt, sos   = 0xDB, 0xDA
		sof0, sof2 = 0xC0, 0xC2
	)
	var tables [4][64]uint16
	var uses [3]byte
	for i := 2; i+4 <= len(data) && data[i] == 0xFF; {
		m := data[i+1]
		if m == 0xFF { // fill
			i++
			continue
		}
		n := int(data[i+2])<<8 | int(data[i+3])
		if n < 2 || i+2+n > len(data) {
			return steps, false
		}
		seg := data[i+4 : i+2+n]
		i += 2 + n
		switch {
		case m == dqt:
			for len(seg) > 0 {
				wide, id := int(seg[0]>>4), seg[0]&15
				if wide > 1 || id > 3 || len(seg) < 1+64*(wide+1) {
					return steps, false
				}
				for k, at := range zigzag {
					v := uint16(seg[1+k])
					if wide == 1 {
						v = uint16(seg[1+2*k])<<8 | uint16(seg[2+2*k])
					}
					tables[id][at] = v
				}
				seg = seg[1+64*(wide+1):]
			}
		case m >= sof0 && m <= sof2:
			if len(seg) < 6+9 || seg[5] != 3 {
				return steps, false
			}
			for k := range uses {
				uses[k] = seg[6+3*k+2] & 3
			}
			ok = true
		case m == sos:
			for k := range steps {
				steps[k] = tables[uses[k]]
			}
			return steps, ok
		}
	}
	return steps, false
}

// zigzag is the order in which the frequencies are stored (ITU-T T.81, figure A.6).
var zigzag = func() (out [64]int) {
	x, y := 0, 0
	for k := range out {
		out[k] = 8*y + x
		switch up := (x+y)%2 == 0; {
		case up && x == 7:
			y++
		case up && y == 0:
			x++
		case up:
			x, y = x+1, y-1
		case y == 7:
			x++
		case x == 0:
			y++
		default:
			x, y = x-1, y+1
		}
	}
	return out
}()
