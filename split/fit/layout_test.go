package fit

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// drawStar draws an outline about the origin, as odd as a garment's part or
// odder.
func drawStar(t *rapid.T, name string) orb.Ring {
	n := rapid.IntRange(4, 14).Draw(t, name+" corners")
	size := rapid.Float64Range(30, 300).Draw(t, name+" size")
	var r orb.Ring
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		d := size * rapid.Float64Range(0.3, 1).Draw(t, name+" corner")
		r = append(r, orb.Point{d * cos, d * sin})
	}
	return append(r, r[0])
}

func drawBox(t *rapid.T, name string) box {
	at := rapid.Float64Range(-50, 1050)
	side := rapid.Float64Range(0, 400)
	lo := vec{at.Draw(t, name+" x"), at.Draw(t, name+" y")}
	return box{lo, lo.add(vec{side.Draw(t, name+" width"), side.Draw(t, name+" height")})}
}

// No item whose box meets another's is passed over, wherever it lay before.
func TestSlabsNameAllThatIsNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 150).Draw(t, "items")
		s := newBroadPhase(box{vec{0, 0}, vec{1000, 700}}, n)
		boxes := make([]box, n)
		for i := range boxes {
			boxes[i] = emptyBox()
		}
		for range rapid.IntRange(1, 60).Draw(t, "moves") {
			i := rapid.IntRange(0, n-1).Draw(t, "item")
			s.toggle(i, &boxes[i])
			boxes[i] = drawBox(t, "box")
			s.toggle(i, &boxes[i])
		}
		b := drawBox(t, "asked")
		near := s.candidates(&b)
		for i := range boxes {
			if named := near[i/64]>>(i%64)&1 == 1; boxes[i].meets(&b) && !named {
				t.Fatalf("item %d, %v, meets %v and is not named", i, boxes[i], b)
			} else if named && boxes[i].empty() {
				t.Fatalf("item %d does not lie and is named", i)
			}
		}
		count := 0
		for _, w := range near {
			count += bits.OnesCount64(w)
		}
		if count > n {
			t.Fatalf("%d of %d items named", count, n)
		}
	})
}

// What an overlap table tells is what the parts cost, and where it is sure that they
// overlap or lie clear, they do.
func TestChartsTellTheCost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items := []Item{{NewShape(drawStar(t, "a")), []Turn{{Deg: 0}}}, {NewShape(drawStar(t, "b")), []Turn{{Deg: 180}}}}
		parts := simplifyItems(items, 0, fineSimplifyShare)
		var y, o placedPart
		y.place(parts[0], nil, pose{vec{10, -20}, 0})
		o.place(parts[1], nil, pose{vec{}, 180})
		c := newPairTable(&y, &o)
		share := rapid.Float64Range(1e-6, tableCells-1e-6) // at the rim, rounding decides
		x, y0 := share.Draw(t, "x"), share.Draw(t, "y")
		off := c.org.add(vec{x / c.per.x, y0 / c.per.y})
		got, state := c.at(x, y0, true)
		o.place(parts[1], nil, pose{y.pose.at.add(off), 180})
		o.placePoles()
		over := overlaps(&o, &y)
		switch {
		case state == allClear && over, state == allOverlap && !over:
			t.Fatalf("table says %d at %v, overlapping is %v", state, off, over)
		case state == allClear || !over:
			return
		}
		lo, hi := costsBeside(parts[1], &o, &y, c)
		if got < 0.98*lo || got > 1.02*hi {
			t.Fatalf("table %v at %v, cost from %v to %v", got, off, lo, hi)
		}
	})
}

// costsBeside is what the part o costs with y, least and most, where it is and up to a
// cell of the table to either side, wherever it overlaps y there.
func costsBeside(part *simplified, o, y *placedPart, c *pairTable) (lo, hi float64) {
	lo = math.Inf(1)
	for dx := -1.0; dx <= 1; dx++ {
		for dy := -1.0; dy <= 1; dy++ {
			var p placedPart
			p.place(part, o.fixed, pose{o.pose.at.add(vec{dx / c.per.x, dy / c.per.y}), o.pose.deg})
			p.placeOutline()
			p.placePoles()
			if p.box.meets(&y.box) && overlaps(&p, y) {
				cost := proxyCost(&p, y, math.Inf(1))
				lo, hi = min(lo, cost), max(hi, cost)
			}
		}
	}
	return lo, hi
}

// However two parts are turned, with a table the same ones overlap as without it, and
// cost what they cost a cell to either side.
func TestTablesOfTurnedParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		deg := rapid.SampledFrom([]float64{0, 30, 90, 180, 270, -45})
		gap := rapid.SampledFrom([]float64{0, 5}).Draw(t, "gap")
		var items []Item
		for _, name := range []string{"a", "b"} {
			items = append(items, Item{NewShape(drawStar(t, name)), []Turn{{Deg: deg.Draw(t, "turn of "+name)}}})
		}
		l := newLayout(NewCloth(rect(0, 0, 2000, 2000), nil), items, simplifyItems(items, gap, fineSimplifyShare))
		for k := range l.tables.lookups {
			l.tables.lookups[k] = tableLookups
		}
		l.put(0, pose{vec{1000, 1000}, items[0].Turns[0].Deg})
		by := rapid.Float64Range(-350, 350)
		for k := range 50 {
			y, o := &l.placed[0], &l.placed[1]
			at := vec{1000 + by.Draw(t, "x"), 1000 + by.Draw(t, "y")}
			l.put(1, pose{at, items[1].Turns[0].Deg})
			got, want := l.pairCost[1], overlapCost(o, y)
			if (got > 0) != (want > 0) {
				t.Fatalf("shift %d, to %v: %v with a table, %v without it", k, at, got, want)
			}
			table := l.tables.views[o.fixed.kind*l.tables.kinds+y.fixed.kind].table
			if got == 0 || table == nil {
				continue
			}
			lo, hi := costsBeside(l.parts[1], o, y, table)
			if got < 0.98*lo || got > 1.02*hi {
				t.Fatalf("shift %d, to %v: %v with a table, from %v to %v without it", k, at, got, lo, hi)
			}
		}
	})
}

// Parts as they are drawn have edges that lie in one line at many shifts, and those of
// like parts do at the very nodes of a table.
func TestTablesOfDrawnParts(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, name := range []string{"shirts", "albano", "dagli"} {
		items, _, _ := openData(t, name).items()
		var parts []*simplified
		for i, p := range simplifyItems(items, 0, fineSimplifyShare) {
			if i == 0 || items[i].Shape != items[i-1].Shape {
				parts = append(parts, p)
			}
		}
		for i, a := range parts {
			for j, b := range parts[:i+1] {
				for _, deg := range []float64{0, 180} {
					var y, o placedPart
					y.place(a, nil, pose{})
					o.place(b, nil, pose{deg: deg})
					c := newPairTable(&y, &o)
					for k := range tableCells * tableCells {
						at := vec{float64(k%tableCells) + rng.Float64(), float64(k/tableCells) + rng.Float64()}
						shift := c.org.add(vec{at.x / c.per.x, at.y / c.per.y})
						o.place(b, nil, pose{shift, deg})
						o.placePoles()
						_, state := c.at(at.x, at.y, true)
						if over := overlaps(&o, &y); state == allClear && over || state == allOverlap && !over {
							t.Errorf("%s, parts %d and %d turned by %v: state %d of cell %d, overlapping is %v", name, i, j, deg, state, k, over)
						}
					}
				}
			}
		}
	}
}

// The cost of a pose is the sum of what it costs with each other item, and a
// bound cuts the sum short only beyond the bound.
func TestWeighAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		turns := rapid.SampledFrom([][]Turn{{{Deg: 0}, {Deg: 180}}, grainTurns}).Draw(t, "turns")
		var items []Item
		for range rapid.IntRange(2, 8).Draw(t, "items") {
			items = append(items, Item{NewShape(drawStar(t, "part")), turns})
		}
		l := newLayout(NewCloth(rect(0, 0, 900, 600), nil), items, simplifyItems(items, 3, fineSimplifyShare))
		at := rapid.Float64Range(0, 600)
		draw := func(i int) pose {
			return l.clampToCloth(i, pose{vec{at.Draw(t, "x"), at.Draw(t, "y")}, turns[rapid.IntRange(0, 1).Draw(t, "turn")].Deg})
		}
		for i := range items {
			l.put(i, draw(i))
			for j := range items {
				l.pairWeight[i*len(items)+j] = 1 + float64((i+j)%3)
			}
		}
		i := rapid.IntRange(0, len(items)-1).Draw(t, "item")
		p := draw(i)
		got := l.evaluate(i, p, math.Inf(1))
		bounded := l.evaluate(i, p, got*0.6)
		l.put(i, p)
		want := l.weightedCost(i)
		if math.Abs(got-want) > 1e-9*want {
			t.Fatalf("weighed %v, the sum is %v", got, want)
		}
		if bounded < got*0.6 || bounded > got*(1+1e-9) {
			t.Fatalf("%v when bounded by %v, is %v", bounded, got*0.6, got)
		}
	})
}

// However items have moved, the costs that a layout keeps are those of where they lie.
func TestLayoutKeepsItsCosts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var items []Item
		for range rapid.IntRange(2, 8).Draw(t, "items") {
			items = append(items, Item{NewShape(drawStar(t, "part")), grainTurns})
		}
		n := len(items)
		l := newLayout(NewCloth(rect(0, 0, 900, 600), nil), items, simplifyItems(items, 3, fineSimplifyShare))
		at := rapid.Float64Range(0, 600)
		for range rapid.IntRange(1, 30).Draw(t, "moves") {
			switch rapid.IntRange(0, 9).Draw(t, "what") {
			case 0:
				l.removeAll()
			case 1:
				l.resetWeights()
			case 2:
				l.updateWeights()
			default:
				l.put(rapid.IntRange(0, n-1).Draw(t, "item"), pose{at: vec{at.Draw(t, "x"), at.Draw(t, "y")}})
			}
		}
		var sum float64
		for i := range n {
			sum += l.clothCost[i]
			for j := range i {
				want := 0.0
				if !l.spots[i].box.empty() && !l.spots[j].box.empty() {
					want = l.costOf(&l.placed[i], &l.placed[j])
				}
				// Which of the two is asked of the other makes a difference in rounding.
				if got := l.pairCost[i*n+j]; math.Abs(got-want) > 1e-9*want || got != l.pairCost[j*n+i] {
					t.Fatalf("items %d and %d: kept %v, cost %v", i, j, got, want)
				}
				sum += want
			}
		}
		if got := l.totalOverlap(); math.Abs(got-sum) > 1e-9*sum {
			t.Fatalf("total %v, the sum is %v", got, sum)
		}
	})
}
