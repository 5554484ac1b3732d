package fit

import "testing"

// A search is hopeless by how its overlap compares with the median of the pool: the
// longer it has gone on, the less it may have.
func TestHopelessByThePoolsMedian(t *testing.T) {
	var pool infeasible
	for _, total := range []float64{1, 2, 10, 50, 90} {
		pool = append(pool, infeasibleLayout{total: total})
	}
	for name, c := range map[string]struct {
		pool       infeasible
		iterations int
		least      float64
		want       bool
	}{
		"too early to tell":              {pool, 39, 1000, false},
		"six medians at 60 iterations":   {pool, 60, 60, false},
		"more than six":                  {pool, 60, 61, true},
		"two medians at 180 iterations":  {pool, 180, 20, false},
		"more than two":                  {pool, 180, 21, true},
		"the median at 360 iterations":   {pool, 360, 10, false},
		"above the median":               {pool, 360, 11, true},
		"half the median at 720":         {pool, 720, 5, false},
		"more than half the median":      {pool, 720, 6, true},
		"a pool that says little":        {pool[:4], 360, 1000, false},
		"a pool without overlap":         {make(infeasible, 5), 360, 1000, false},
		"nothing has been tried so long": {nil, 360, 1000, false},
	} {
		if got := c.pool.hopeless(c.iterations, c.least); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}
