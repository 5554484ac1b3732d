package piece

import (
	"math"
	"sort"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"
)

// drawOutline is a random outline about the origin, 120 to 600 mm across:
// corners at rising angles, some sides curved, either way round.
func drawOutline(t *rapid.T) curve.Path {
	n := rapid.IntRange(3, 12).Draw(t, "corners")
	at := func(i int, r float64) orb.Point {
		s, c := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
		return orb.Point{r * c, r * s}
	}
	r := make([]float64, n)
	for i := range r {
		r[i] = rapid.Float64Range(60, 300).Draw(t, "radius")
	}
	var p curve.Path
	for i := range n {
		a, b := at(i, r[i]), at(i+1, r[(i+1)%n])
		if bow := rapid.Float64Range(-0.1, 0.1).Draw(t, "bow"); math.Abs(bow) > 0.02 {
			side := orb.Point{(b[1] - a[1]) * bow, (a[0] - b[0]) * bow}
			p = append(p, curve.Cubic(a, orb.Point{a[0] + (b[0]-a[0])/3 + side[0], a[1] + (b[1]-a[1])/3 + side[1]}, orb.Point{b[0] + (a[0]-b[0])/3 + side[0], b[1] + (a[1]-b[1])/3 + side[1]}, b))
		} else {
			p = append(p, curve.Line(a, b))
		}
	}
	if rapid.Bool().Draw(t, "back") {
		p = p.Reverse()
	}
	return p
}

func outlineDraft(p curve.Path) Draft {
	d := rectangle()
	d.Outline = DraftLine{Element: "seam", Line: p, Closed: true}
	return d
}

// makes skips drafts whose outline happens to cross itself.
func makes(t *rapid.T, d Draft) *Piece {
	p, err := Make(d)
	if err != nil {
		t.Skip(err)
	}
	return p
}

// sound is what every outline is once made.
func sound(t *rapid.T, o Outline) {
	for i, e := range o {
		next := o[(i+1)%len(o)]
		if len(e.Line) == 0 || e.Line.End() != next.Line.Start() {
			t.Fatalf("edge %d does not meet the next", i)
		}
		for k := 1; k < len(e.Line); k++ {
			if plane.Distance(e.Line[k-1].P1, e.Line[k].P0) > 1e-9 {
				t.Fatalf("edge %d has a gap", i)
			}
		}
		for _, s := range e.Line {
			if s.Length() < curve.HairMM {
				t.Fatalf("edge %d has a hair of %g mm", i, s.Length())
			}
		}
		length := e.Line.Length()
		for k, n := range e.Notches {
			if n.AtMM < 0 || n.AtMM > length+1e-6 || k > 0 && n.AtMM < e.Notches[k-1].AtMM {
				t.Fatalf("edge %d has notches %v on %g mm", i, e.Notches, length)
			}
		}
	}
	ring := o.Ring()
	if plane.SignedArea(ring) <= 0 {
		t.Fatal("not clockwise")
	}
	if at, crossed := SelfCrossing(ring); crossed {
		t.Fatalf("crosses itself at %v", at)
	}
}

func TestMadeOutlineIsTheOneDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		drawn := drawOutline(t)
		p := makes(t, outlineDraft(drawn))
		sound(t, p.Outline)
		want := math.Abs(plane.SignedArea(orb.Ring(drawn.Flatten(0.001))))
		if got := plane.SignedArea(orb.Ring(p.Outline.Path().Flatten(0.001))); math.Abs(got-want) > 1e-3*want {
			t.Fatalf("%g mm² were drawn, %g made", want, got)
		}
		if got := p.Outline.Length(); math.Abs(got-drawn.Length()) > 1e-6*got {
			t.Fatalf("%g mm were drawn, %g made", drawn.Length(), got)
		}
		for _, s := range drawn {
			if _, off := p.Outline.Path().Nearest(s.At(0.5)); off > 1e-6 {
				t.Fatalf("a side is off by %g mm", off)
			}
		}
	})
}

// Stretches of the outline, drawn over it, come back as edges with those
// names, ends within what snapping to a corner allows; all edges together are
// the outline.
func TestEdgesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		drawn := drawOutline(t)
		total := drawn.Length()
		d := outlineDraft(drawn)
		n := rapid.IntRange(1, 4).Draw(t, "edges")
		want := map[string]curve.Path{}
		for i := range n {
			from := (float64(i) + rapid.Float64Range(0.05, 0.3).Draw(t, "from")) * total / float64(n)
			to := (float64(i) + rapid.Float64Range(0.6, 0.9).Draw(t, "to")) * total / float64(n)
			line := drawn.Between(from, to)
			if rapid.Bool().Draw(t, "reversed") {
				line = line.Reverse()
			}
			name := string(rune('a' + i))
			want[name] = line
			d.Edges = append(d.Edges, DraftEdge{DraftLine: DraftLine{Element: name, Line: line}, Name: name, AllowanceMM: float64(5 + i)})
		}
		p := makes(t, d)
		sound(t, p.Outline)
		if got := p.Outline.Length(); math.Abs(got-total) > 1e-5*total {
			t.Fatalf("the edges add up to %g mm of %g", got, total)
		}
		for i := range n {
			name := string(rune('a' + i))
			at := p.Outline.Edge(name)
			if len(at) != 1 || p.Outline[at[0]].AllowanceMM != float64(5+i) {
				t.Fatalf("edge %s: %v", name, at)
			}
			got := p.Outline[at[0]].Line
			a, b := want[name].Start(), want[name].End()
			if plane.Distance(a, got.Start()) > plane.Distance(b, got.Start()) {
				a, b = b, a
			}
			// Snapped to a corner along the outline, or drawn to meet the next.
			if slack := snapMM + onMM; plane.Distance(a, got.Start()) > slack || plane.Distance(b, got.End()) > slack {
				t.Fatalf("edge %s runs from %v to %v, drawn from %v to %v", name, got.Start(), got.End(), a, b)
			}
		}
	})
}

// Whatever hairs a drawn outline has, and however near to a joint of it an
// edge ends, no edge has a hair, and all are as long as they were drawn.
func TestHairsAreNotRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		drawn := drawOutline(t)
		total := drawn.Length()
		hair := func() float64 { return rapid.Float64Range(0.0001, 0.08).Draw(t, "hair") }
		var parted curve.Path
		var joints []float64
		at := 0.0
		for _, s := range drawn {
			from, length := 0.0, s.Length()
			for _, to := range []float64{hair(), length / 3, length/3 + hair(), 2 * length / 3, length - hair(), length} {
				parted = append(parted, curve.Path{s}.Between(from, to)...)
				from = to
				joints = append(joints, at+to)
			}
			at += length
		}
		d := outlineDraft(parted)
		n := rapid.IntRange(1, 3).Draw(t, "edges")
		want := map[string]float64{}
		for i := range n {
			end := func(share float64) float64 {
				k := sort.SearchFloat64s(joints, (float64(i)+share)*total/float64(n))
				return max(0, min(total, joints[min(k, len(joints)-1)]+rapid.Float64Range(-0.08, 0.08).Draw(t, "beside")))
			}
			from, to := end(0.1), end(0.6)
			if to-from < 2*snapMM {
				t.Skip("an edge that is a stub")
			}
			name := string(rune('a' + i))
			want[name] = to - from
			d.Edges = append(d.Edges, DraftEdge{DraftLine: DraftLine{Element: name, Line: drawn.Between(from, to)}, Name: name})
		}
		p := makes(t, d)
		sound(t, p.Outline)
		if got := p.Outline.Length(); math.Abs(got-total) > 0.01 {
			t.Fatalf("%.4f mm were drawn, %.4f made", total, got)
		}
		for name, mm := range want {
			// An end may go to the place of a joint, or of a corner, beside it.
			if got := p.Outline[p.Outline.Edge(name)[0]].Line.Length(); math.Abs(got-mm) > 0.4 {
				t.Fatalf("edge %s was drawn %.3f mm long and is %.3f", name, mm, got)
			}
		}
	})
}

// Notches drawn well apart are all there, each where it was drawn, on copies
// and mirror images too.
func TestNotchesSurvive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		drawn := drawOutline(t)
		total := drawn.Length()
		d := outlineDraft(drawn)
		d.Count, d.Mirrored = 2, true
		n := rapid.IntRange(1, 6).Draw(t, "notches")
		var want []orb.Point
		for i := range n {
			at, along := drawn.At((float64(i) + rapid.Float64Range(0.2, 0.8).Draw(t, "at")) * total / float64(n))
			want = append(want, at)
			normal := orb.Point{-along[1] * 3, along[0] * 3}
			d.Notches = append(d.Notches, DraftLine{Element: "notch", Line: curve.Polyline(orb.Point{at[0] - normal[0], at[1] - normal[1]}, orb.Point{at[0] + normal[0], at[1] + normal[1]})})
		}
		p := makes(t, d)
		sound(t, p.Outline)
		notches := func(p *Piece) (points []orb.Point) {
			for _, e := range p.Outline {
				for _, n := range e.Notches {
					at, _ := e.Line.At(n.AtMM)
					for range n.Count {
						points = append(points, at)
					}
				}
			}
			return points
		}
		got := notches(p)
		if len(got) != n {
			t.Fatalf("%d notches of %d", len(got), n)
		}
		for _, w := range want {
			near := math.Inf(1)
			for _, g := range got {
				near = math.Min(near, plane.Distance(w, g))
			}
			// Beside a sharp corner a notch line crosses both sides of it, and two
			// close ones are one at their middle.
			if near > notchMM+pairMM {
				t.Fatalf("the notch at %v is %g mm off", w, near)
			}
		}
		copies := p.Copies()
		sound(t, copies[1].Outline)
		image := notches(copies[1])
		if len(image) != n {
			t.Fatalf("the mirror image has %d notches of %d", len(image), n)
		}
		for i, a := range got {
			for j, b := range got {
				if math.Abs(plane.Distance(a, b)-plane.Distance(image[n-1-i], image[n-1-j])) > 1e-5 {
					t.Fatal("the mirror image's notches are elsewhere")
				}
			}
		}
	})
}

func TestMirrorKeepsAreaAndEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := outlineDraft(drawOutline(t))
		d.Count, d.Mirrored = 2, true
		deg := rapid.Float64Range(0, 360).Draw(t, "grain")
		s, c := math.Sincos(deg * math.Pi / 180)
		d.Grains[0].Line = curve.Polyline(orb.Point{}, orb.Point{30 * c, 30 * s})
		p := makes(t, d)
		image := p.Copies()[1]
		sound(t, image.Outline)
		if a, b := plane.SignedArea(p.Outline.Ring()), plane.SignedArea(image.Outline.Ring()); math.Abs(a-b) > 1e-6*a {
			t.Fatalf("%g mm² and its image %g", a, b)
		}
		n := len(p.Outline)
		for i, e := range p.Outline {
			if f := image.Outline[n-1-i]; math.Abs(e.Line.Length()-f.Line.Length()) > 1e-6 {
				t.Fatalf("edge %d of %g mm has an image of %g", i, e.Line.Length(), f.Line.Length())
			}
		}
		// A mirror image's mirror image is the piece, perhaps moved.
		again := *image
		again.mirror()
		from, to := p.Outline[0].Line.Start(), again.Outline[0].Line.Start()
		for i, e := range p.Outline {
			a, b := e.Line.Start(), again.Outline[i].Line.Start()
			if math.Abs(b[0]-a[0]-to[0]+from[0]) > 1e-6 || math.Abs(b[1]-a[1]-to[1]+from[1]) > 1e-6 {
				t.Fatal("mirrored twice it is another")
			}
		}
	})
}

// A half and its unfolded whole: twice the area, twice the rim, and each side
// the other's mirror image.
func TestUnfoldDoubles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "corners")
		points := []orb.Point{{0, 0}}
		for i := range n {
			points = append(points, orb.Point{rapid.Float64Range(20, 300).Draw(t, "x"), float64(i+1) * 400 / float64(n+1)})
		}
		points = append(points, orb.Point{0, 400})
		d := outlineDraft(curve.Polyline(append(points, points[0])...))
		fold := curve.Polyline(orb.Point{0, 400}, orb.Point{0, 0})
		if rapid.Bool().Draw(t, "down") {
			fold = fold.Reverse()
		}
		d.Folds = []DraftLine{{Element: "fold", Line: fold}}
		turn := curve.Turn(rapid.Float64Range(0, 360).Draw(t, "turn"), orb.Point{7, 9})
		d.Outline.Line, d.Folds[0].Line = d.Outline.Line.Transform(turn), d.Folds[0].Line.Transform(turn)
		p := makes(t, d)
		sound(t, p.Outline)
		half := math.Abs(plane.SignedArea(orb.Ring(points)))
		if got := plane.SignedArea(p.Outline.Ring()); math.Abs(got-2*half) > 1e-6*half {
			t.Fatalf("a half of %g mm² unfolds to %g", half, got)
		}
		rim := curve.Polyline(points...).Length()
		if got := p.Outline.Length(); math.Abs(got-2*rim) > 1e-6*rim {
			t.Fatalf("a rim of %g mm unfolds to %g", rim, got)
		}
		whole := p.Outline.Path()
		m := curve.Mirror(p.Centre.A, p.Centre.B)
		for _, q := range p.Outline.Ring() {
			if _, off := whole.Nearest(m.Apply(q)); off > 1e-6 {
				t.Fatalf("the image of %v is %g mm off the outline", q, off)
			}
		}
	})
}

// Nothing of a piece depends on where it lies on the page, or how turned.
func TestMovedDraftIsTheSamePiece(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := outlineDraft(drawOutline(t))
		p := makes(t, d)
		deg := rapid.Float64Range(-180, 180).Draw(t, "turn")
		m := curve.Turn(deg, orb.Point{}).Then(curve.Shift(rapid.Float64Range(-5000, 5000).Draw(t, "dx"), 12))
		d.Outline.Line, d.Grains[0].Line = d.Outline.Line.Transform(m), d.Grains[0].Line.Transform(m)
		q := makes(t, d)
		if a, b := lengths(p.Outline), lengths(q.Outline); len(a) != len(b) {
			t.Fatalf("%d edges and %d", len(a), len(b))
		} else {
			for i := range a {
				if math.Abs(a[i]-b[i]) > 0.01 {
					t.Fatalf("edges of %g and %g mm", a[i], b[i])
				}
			}
		}
		if off := math.Remainder(q.GrainDeg-p.GrainDeg-deg, 360); math.Abs(off) > 1e-6 {
			t.Fatalf("the grain turned %g degrees more", off)
		}
	})
}

func lengths(o Outline) []float64 {
	var out []float64
	for _, e := range o {
		out = append(out, e.Line.Length())
	}
	sort.Float64s(out)
	return out
}

// SelfCrossing agrees with another library on which rings are simple. On a
// small grid rings touch, overlap and double back often.
func TestSelfCrossingAgainstSimpleFeatures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var r orb.Ring
		for range rapid.IntRange(3, 9).Draw(t, "points") {
			q := orb.Point{float64(rapid.IntRange(0, 6).Draw(t, "x")), float64(rapid.IntRange(0, 6).Draw(t, "y"))}
			if len(r) == 0 || r[len(r)-1] != q {
				r = append(r, q)
			}
		}
		if len(r) < 3 || r[0] == r[len(r)-1] {
			t.Skip("a point drawn twice")
		}
		var xy []float64
		for i := range len(r) + 1 {
			xy = append(xy, r[i%len(r)][0], r[i%len(r)][1])
		}
		simple := geom.NewLineString(geom.NewSequence(xy, geom.DimXY)).IsSimple()
		at, crossed := SelfCrossing(r)
		if crossed == simple {
			t.Fatalf("%v: crossed %v at %v, simple %v", r, crossed, at, simple)
		}
		on := 0 // sides that the place lies on
		for i := range r {
			if planar.DistanceFromSegment(r[i], r[(i+1)%len(r)], at) < 1e-9 {
				on++
			}
		}
		if crossed && on < 2 {
			t.Fatalf("%v: %v is on %d sides", r, at, on)
		}
	})
}
