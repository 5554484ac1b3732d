package wish

import "eke/split/plan"

// Prefer makes points of a wish instead of a must: of plans with as many seams one
// that keeps it comes before one that does not.
type Prefer struct{ Wish }

func (w Prefer) String() string { return "prefer " + w.Wish.String() }

func (w Prefer) Kept(d *plan.Document, o *plan.Option) (kept bool, how string) {
	return w.Wish.Kept(d, o)
}

// Plainly is a wish as a must, whether it is preferred or not.
func Plainly(w Wish) Wish {
	if p, ok := w.(Prefer); ok {
		return p.Wish
	}
	return w
}

// Musts are the wishes that are to be kept.
func Musts(wishes []Wish) (out []Wish) {
	for _, w := range wishes {
		if _, ok := w.(Prefer); !ok {
			out = append(out, w)
		}
	}
	return out
}

// Preferred are the wishes that are preferred, as if they were to be kept.
func Preferred(wishes []Wish) (out []Wish) {
	for _, w := range wishes {
		if p, ok := w.(Prefer); ok {
			out = append(out, p.Wish)
		}
	}
	return out
}

// OfLooks are the wishes that are to be kept and may stand in the way of a plan,
// and the others.
func OfLooks(wishes []Wish) (musts, others []Wish) {
	for _, w := range wishes {
		switch w.(type) {
		case MixKinds, Prefer:
			others = append(others, w)
		default:
			musts = append(musts, w)
		}
	}
	return musts, others
}
