package photo

import "math"

// squaresOff is the square of how far each point is from the nearest of such
// points (P. Felzenszwalb, D. Huttenlocher, Distance transforms of sampled
// functions, 2012).
func squaresOff(m []bool, w, h int) []float64 {
	const none = 1e12
	out := make([]float64, len(m))
	for k, is := range m {
		if !is {
			out[k] = none
		}
	}
	line := func(n, start, step int) {
		// The lower envelope of parabolas: where each stands, and from where on
		// it is the lowest.
		stands, from, v := make([]int, n), make([]float64, n+1), make([]float64, n)
		for i := range v {
			v[i] = out[start+i*step]
		}
		k := 0
		from[0], from[1] = math.Inf(-1), math.Inf(1)
		for q := 1; q < n; q++ {
			for {
				p := stands[k]
				if s := (v[q] + float64(q*q) - v[p] - float64(p*p)) / float64(2*(q-p)); s > from[k] || k == 0 {
					k++
					stands[k], from[k], from[k+1] = q, max(s, from[k-1]), math.Inf(1)
					break
				}
				k--
			}
		}
		k = 0
		for q := range n {
			for from[k+1] < float64(q) {
				k++
			}
			d := float64(q - stands[k])
			out[start+q*step] = d*d + v[stands[k]]
		}
	}
	rows(w, func(x int) { line(h, x, w) })
	rows(h, func(y int) { line(w, y*w, 1) })
	return out
}
