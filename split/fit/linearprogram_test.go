package fit

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

// bounded is a random program: maximise the last variable under rows
// a·z ≤ b with every variable within bounds.
type bounded struct {
	n      int
	lo, hi []float64
	a      [][]float64
	b      []float64
}

func drawProgram(t *rapid.T) bounded {
	// Some programs have four variables, which have a loop of their own.
	p := bounded{n: rapid.SampledFrom([]int{2, 3, 4, 4, 7}).Draw(t, "variables")}
	// Whole numbers make ties, which a simplex method must get past.
	number := rapid.Map(rapid.IntRange(-60, 60), func(k int) float64 { return float64(k) / 4 })
	for range p.n {
		lo := number.Draw(t, "low")
		p.lo = append(p.lo, lo)
		p.hi = append(p.hi, lo+math.Abs(number.Draw(t, "range")))
	}
	for range rapid.IntRange(0, 12).Draw(t, "rows") {
		row := make([]float64, p.n)
		for j := range row {
			if rapid.Bool().Draw(t, "in") {
				row[j] = number.Draw(t, "a")
			}
		}
		p.a = append(p.a, row)
		p.b = append(p.b, 4*number.Draw(t, "b"))
	}
	return p
}

// padded is the same program with many variables, of which those that are added can
// only be 0.
func (p bounded) padded() bounded {
	pad := func(v []float64) []float64 {
		out := make([]float64, manyVariables)
		copy(out, v[:p.n-1])
		out[manyVariables-1] = v[p.n-1]
		return out
	}
	q := bounded{n: manyVariables, lo: pad(p.lo), hi: pad(p.hi), b: p.b}
	for _, row := range p.a {
		q.a = append(q.a, pad(row))
	}
	return q
}

// solved is what the solver makes of it, its rows written full or sparse.
func (p bounded) solved(sparse bool) (float64, bool) {
	var s linearProgram
	s.reset(p.n)
	copy(s.lo, p.lo)
	copy(s.hi, p.hi)
	for i, row := range p.a {
		if !sparse {
			s.a, s.b = append(s.a, row...), append(s.b, p.b[i])
			continue
		}
		s.begin()
		for j, a := range row {
			if a != 0 {
				s.put(j, a)
			}
		}
		s.end(p.b[i])
	}
	return s.solve(math.Inf(-1))
}

// reference solves it with gonum's simplex method, in its standard form:
// minimise c·x where A·x = b and x ≥ 0, with a slack for each row and bound.
func (p bounded) reference(t *rapid.T) (float64, bool) {
	rows := len(p.a) + p.n
	a, b := mat.NewDense(rows, 2*p.n+len(p.a), nil), make([]float64, rows)
	for i, row := range p.a {
		b[i] = p.b[i]
		for j, v := range row {
			a.Set(i, j, v)
			b[i] -= v * p.lo[j]
		}
		a.Set(i, p.n+i, 1)
	}
	for j := range p.n {
		i := len(p.a) + j
		a.Set(i, j, 1)
		a.Set(i, p.n+i, 1)
		b[i] = p.hi[j] - p.lo[j]
	}
	c := make([]float64, 2*p.n+len(p.a))
	c[p.n-1] = -1
	least, _, err := lp.Simplex(c, a, b, 1e-10, nil)
	if errors.Is(err, lp.ErrInfeasible) {
		return 0, false
	}
	if err != nil {
		t.Skip("gonum gives up: ", err)
	}
	return p.lo[p.n-1] - least, true
}

// The linear programs agree with another solver's: gonum's lp.Simplex.
func TestProgramAgainstAnotherSolver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProgram(t)
		want, feasible := p.reference(t)
		for _, p := range []bounded{p, p.padded()} {
			for _, sparse := range []bool{false, true} {
				if sparse && len(p.a) == 0 {
					continue
				}
				got, ok := p.solved(sparse)
				if ok != feasible {
					t.Fatalf("%d variables, sparse %v: solved %v, gonum %v (%v)", p.n, sparse, ok, feasible, want)
				}
				if ok && math.Abs(got-want) > 1e-6 {
					t.Fatalf("%d variables, sparse %v: %v, gonum %v", p.n, sparse, got, want)
				}
			}
		}
	})
}

// A value that is below what is asked for is never above the optimum's bound.
func TestProgramStopsAtItsFloor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProgram(t)
		best, ok := p.solved(false)
		if !ok {
			return
		}
		floor := rapid.Float64Range(-20, 20).Draw(t, "floor")
		var s linearProgram
		s.reset(p.n)
		copy(s.lo, p.lo)
		copy(s.hi, p.hi)
		for i, row := range p.a {
			s.a, s.b = append(s.a, row...), append(s.b, p.b[i])
		}
		if _, reached := s.solve(floor); reached != (best >= floor) && math.Abs(best-floor) > 1e-6 {
			t.Fatalf("best %v, floor %v, reached %v", best, floor, reached)
		}
	})
}
