package wish

import "eke/split/plan"

// Prefer makes points of a wish instead of a must: of plans with as many seams one
// that keeps it comes before one that does not.
type Prefer struct{ Wish }

func (w Prefer) String() string { return "prefer " + w.Wish.String() }

func (w Prefer) Kept(d *plan.Document, o *plan.Option) (kept bool, how string) {
	return w.Wish.Kept(d, o)
}

// Musts are the wishes that are to be kept, and Preferred those that are preferred.
func Musts(wishes []Wish) (out []Wish) {
	for _, w := range wishes {
		if _, ok := w.(Prefer); !ok {
			out = append(out, w)
		}
	}
	return out
}

func Preferred(wishes []Wish) (out []Wish) {
	for _, w := range wishes {
		if p, ok := w.(Prefer); ok {
			out = append(out, p.Wish)
		}
	}
	return out
}
