package fit

import "math"

// From so many variables on, not all rows are looked at for each pivot. It changes only
// which of several best solutions is found.
const manyVariables = 100

// linearProgram is a small linear program: maximise one variable under rows a·z
// ≤ b and bounds on every variable. It is solved by the dual simplex method (C.
// E. Lemke 1954) with an explicit inverse of the basis. It starts at the upper
// bounds, which are always dual feasible, and adds the most violated row each
// time. So its value falls towards the optimum, and it may stop as soon as that
// is below what the caller can use.
type linearProgram struct {
	n      int       // variables; the last is the one to maximise
	lo, hi []float64 // bounds
	a      []float64 // rows, n numbers each; the numbers of row i from start[i] on when sparse
	b      []float64
	col    []int32 // the variables they belong to, when sparse
	start  []int32

	inv      []float64 // column k is the direction along which only basis row k moves
	basis    []int     // row numbers; ^j stands for z[j] ≤ hi[j], ^(n+j) for -z[j] ≤ -lo[j]
	dual     []float64
	z        []float64
	pivotRow []float64
	entries  []int32 // of pivotRow that are not 0
	short    []int32 // rows that were violated when all were last looked at, when sparse

	done <-chan struct{} // closed to make solve give up; may be nil
}

func (lp *linearProgram) reset(n int) {
	if lp.n != n {
		lp.n = n
		lp.lo, lp.hi = make([]float64, n), make([]float64, n)
		lp.inv, lp.basis = make([]float64, n*n), make([]int, n)
		lp.dual, lp.z, lp.pivotRow = make([]float64, n), make([]float64, n), make([]float64, n)
	}
	lp.a, lp.b, lp.col, lp.start = lp.a[:0], lp.b[:0], lp.col[:0], lp.start[:0]
}

// begin opens a sparse row, put adds its numbers, and end gives its bound. A
// program has only sparse rows or none.
func (lp *linearProgram) begin() { lp.start = append(lp.start, int32(len(lp.a))) }

func (lp *linearProgram) put(j int, a float64) {
	lp.a = append(lp.a, a)
	lp.col = append(lp.col, int32(j))
}

func (lp *linearProgram) end(b float64) { lp.b = append(lp.b, b) }

// sparse gives the numbers of a sparse row and their variables.
func (lp *linearProgram) sparse(i int) ([]float64, []int32) {
	lo, hi := int(lp.start[i]), len(lp.a)
	if i+1 < len(lp.start) {
		hi = int(lp.start[i+1])
	}
	return lp.a[lo:hi], lp.col[lo:hi]
}

// solve returns the largest value of the last variable, and lp.z holds the
// solution. It returns false when that value cannot reach floor, or when done
// is closed. When it runs out of iterations it returns the bound it has, which
// is never too small.
func (lp *linearProgram) solve(floor float64) (float64, bool) {
	const tol = 1e-9
	n := lp.n
	for i := range lp.inv {
		lp.inv[i] = 0
	}
	for j := 0; j < n; j++ {
		lp.inv[j*n+j] = 1
		lp.basis[j] = ^j
		lp.z[j] = lp.hi[j]
		// A tiny weight of each other variable in the objective breaks ties.
		lp.dual[j] = 1e-9 * (1 + 0.37*float64(j))
	}
	lp.dual[n-1] = 1
	lp.short = lp.short[:0]
	for iter := 0; iter < 40*n+200; iter++ {
		if lp.z[n-1] < floor {
			return lp.z[n-1], false
		}
		select {
		case <-lp.done:
			return lp.z[n-1], false
		default:
		}
		row, worst := lp.worst(tol)
		if worst <= tol {
			return lp.z[n-1], true
		}
		lp.price(row)
		leave, step := -1, math.Inf(1)
		for k, al := range lp.pivotRow {
			if al > 1e-11 {
				if t := lp.dual[k] / al; t < step {
					leave, step = k, t
				}
			}
		}
		if leave < 0 {
			return math.Inf(-1), false
		}
		lp.pivot(row, leave, step, worst)
	}
	return lp.z[n-1], true
}

// worst finds the most violated row or bound.
func (lp *linearProgram) worst(tol float64) (row int, by float64) {
	n := lp.n
	by = tol
	for j, z := range lp.z {
		if v := z - lp.hi[j]; v > by {
			row, by = ^j, v
		}
		if v := lp.lo[j] - z; v > by {
			row, by = ^(n + j), v
		}
	}
	if len(lp.start) > 0 {
		return lp.worstSparse(row, by, tol)
	}
	if n == 4 {
		z0, z1, z2, z3 := lp.z[0], lp.z[1], lp.z[2], lp.z[3]
		for i, b := range lp.b {
			a := lp.a[4*i : 4*i+4 : 4*i+4]
			if v := a[0]*z0 + a[1]*z1 + a[2]*z2 + a[3]*z3 - b; v > by {
				row, by = i, v
			}
		}
		return row, by
	}
	for i, b := range lp.b {
		v := -b
		for j, a := range lp.a[n*i : n*i+n] {
			v += a * lp.z[j]
		}
		if v > by {
			row, by = i, v
		}
	}
	return row, by
}

// worstSparse is the most violated sparse row, if one is violated by more than by, or
// else row. Of many variables it looks only at the rows of the short list, which were
// violated when that was made, until none of them is violated any more: then it looks at
// all, and makes a new list (partial pricing).
func (lp *linearProgram) worstSparse(row int, by, tol float64) (int, float64) {
	excess := func(i int) float64 {
		v := -lp.b[i]
		as, cols := lp.sparse(i)
		for k, a := range as {
			v += a * lp.z[cols[k]]
		}
		return v
	}
	if lp.n >= manyVariables {
		still := lp.short[:0]
		for _, i := range lp.short {
			v := excess(int(i))
			if v <= tol {
				continue
			}
			still = append(still, i)
			if v > by {
				row, by = int(i), v
			}
		}
		if lp.short = still; by > tol {
			return row, by
		}
	}
	lp.short = lp.short[:0]
	for i := range lp.b {
		v := excess(i)
		if v <= tol {
			continue
		}
		lp.short = append(lp.short, int32(i))
		if v > by {
			row, by = i, v
		}
	}
	return row, by
}

// price expresses the row in terms of the basis rows.
func (lp *linearProgram) price(row int) {
	n := lp.n
	for k := range lp.pivotRow {
		lp.pivotRow[k] = 0
	}
	add := func(j int, a float64) {
		if a == 0 {
			return
		}
		for k, v := range lp.inv[j*n : j*n+n] {
			lp.pivotRow[k] += a * v
		}
	}
	switch {
	case row >= 0 && len(lp.start) > 0:
		as, cols := lp.sparse(row)
		for k, a := range as {
			add(int(cols[k]), a)
		}
	case row >= 0:
		for j, a := range lp.a[n*row : n*row+n] {
			add(j, a)
		}
	case ^row < n:
		add(^row, 1)
	default:
		add(^row-n, -1)
	}
	lp.entries = lp.entries[:0]
	for k, v := range lp.pivotRow {
		if v != 0 {
			lp.entries = append(lp.entries, int32(k))
		}
	}
}

// pivot lets row replace row leave of the basis.
func (lp *linearProgram) pivot(row, leave int, step, by float64) {
	n := lp.n
	inv := 1 / lp.pivotRow[leave]
	for j := 0; j < n; j++ {
		r := lp.inv[j*n : j*n+n]
		p := r[leave] * inv
		r[leave] = p
		if p != 0 {
			for _, k := range lp.entries {
				r[k] -= lp.pivotRow[k] * p
			}
			r[leave] = p
		}
		lp.z[j] -= by * p
	}
	for _, k := range lp.entries {
		lp.dual[k] -= step * lp.pivotRow[k]
	}
	lp.dual[leave] = step
	lp.basis[leave] = row
}
