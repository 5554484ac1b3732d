package fit

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// infeasible is a pool of layouts that could not be separated, the one with the
// least overlap first.
type infeasible []infeasibleLayout

type infeasibleLayout struct {
	total float64 // overlap cost
	poses []pose
}

const (
	mostInfeasible = 20
	fewInfeasible  = 5   // layouts, from which on the pool tells what a search may come to
	firstHopeless  = 40  // iterations, before which no search is hopeless
	hopelessAt     = 360 // iterations, at which a search is that has not come to the median of the pool
)

func (fs *infeasible) add(l *layout) {
	f := infeasibleLayout{l.totalOverlap(), l.poses(nil)}
	at, _ := slices.BinarySearchFunc(*fs, f, func(a, b infeasibleLayout) int { return cmp.Compare(a.total, b.total) })
	*fs = slices.Insert(*fs, at, f)
	if len(*fs) > mostInfeasible {
		*fs = (*fs)[:mostInfeasible]
	}
}

// draw is a random layout of the pool, more likely one with little overlap.
func (fs infeasible) draw(rng *rand.Rand) []pose {
	k := int(math.Abs(rng.NormFloat64()) * 0.25 * float64(len(fs)))
	return fs[min(k, len(fs)-1)].poses
}

// hopeless says whether a search is not worth going on with, whose least overlap after
// so many iterations is still far above what the pool holds: six times its median
// after 60 iterations, twice after 180, and the longer, the less. By the traces of
// whole searches, such a search seldom ends without overlap.
func (fs infeasible) hopeless(iterations int, least float64) bool {
	if len(fs) < fewInfeasible || iterations < firstHopeless {
		return false
	}
	median := fs[len(fs)/2].total
	return median > 0 && least*float64(iterations) > median*hopelessAt
}

// swapLargest lets two of the larger items exchange places.
func (pk *packer) swapLargest() {
	order := pk.byWeight()
	large := order[:min(len(order), max(2, len(order)*2/5))]
	for range 20 {
		i, j := large[pk.rng.IntN(len(large))], large[pk.rng.IntN(len(large))]
		if pk.items[i].Shape == pk.items[j].Shape {
			continue
		}
		p, q := pk.placed[i].pose, pk.placed[j].pose
		p.at, q.at = q.at, p.at
		p.deg, q.deg = pk.randomTurn(pk.rng, i), pk.randomTurn(pk.rng, j)
		pk.put(i, pk.clampToCloth(i, p))
		pk.put(j, pk.clampToCloth(j, q))
		return
	}
}

// byWeight lists the items, the largest first.
func (pk *packer) byWeight() []int {
	order := make([]int, len(pk.items))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(pk.parts[b].weight, pk.parts[a].weight) })
	return order
}
