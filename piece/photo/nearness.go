package photo

import "math"

// squaresOff is the square of how far each point is from the nearest of such
// points (P. Felzenszwalb, D. Huttenlocher, Distance transforms of sampled
// functions, 2012).
func squaresOff(m []bool, w, h int) []float64 {
	const none = 1e12
	const band, few = 32, 4 // columns that are gone down side by side, as they lie in memory; rows
	out := make([]float64, len(m))
	// Down and up each column first, by counting.
	rows((w+band-1)/band, func(b int) {
		from, to := b*band, min(w, (b+1)*band)
		far := make([]int, to-from) // how far it is to the last one before
		sweep := func(y int) {
			for x := from; x < to; x++ {
				k := y*w + x
				if m[k] {
					far[x-from] = 0
				} else {
					far[x-from]++
				}
				d := float64(far[x-from])
				out[k] = min(out[k], d*d)
			}
		}
		for i := range far {
			far[i] = 2 * h
		}
		for y := range h {
			for x := from; x < to; x++ {
				out[y*w+x] = none
			}
			sweep(y)
		}
		for i := range far {
			far[i] = 2 * h
		}
		for y := h - 1; y >= 0; y-- {
			sweep(y)
		}
	})
	// Then along each row, the lower envelope of parabolas: where each stands, and
	// from where on it is the lowest.
	beyond := float64(h * h) // no such point in the column
	rows((h+few-1)/few, func(b int) {
		stands, from, v := make([]int, w), make([]float64, w+1), make([]float64, w)
		for y := b * few; y < min(h, (b+1)*few); y++ {
			row := out[y*w : (y+1)*w]
			copy(v, row)
			k := -1
			for q, d := range v {
				if d >= beyond {
					continue
				}
				s := math.Inf(-1)
				for k >= 0 {
					p := stands[k]
					if s = (d + float64(q*q) - v[p] - float64(p*p)) / float64(2*(q-p)); s > from[k] {
						break
					}
					if k--; k < 0 {
						s = math.Inf(-1)
					}
				}
				k++
				stands[k], from[k], from[k+1] = q, s, math.Inf(1)
			}
			if k < 0 {
				for x := range row {
					row[x] = none
				}
				continue
			}
			k = 0
			for q := range row {
				for from[k+1] < float64(q) {
					k++
				}
				d := float64(q - stands[k])
				row[q] = d*d + v[stands[k]]
			}
		}
	})
	return out
}
