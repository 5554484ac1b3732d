package draw

import (
	"bytes"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// same compares a part with what was read from its drawing: the very same
// segments, allowances, notches and grain, shifted on the page.
func same(t *testing.T, want plan.Part, got *piece.Piece, shift orb.Point) {
	t.Helper()
	require.Equal(t, want.Name, got.Name)
	require.InDelta(t, want.GrainDeg, got.GrainDeg, 1e-6)
	require.Equal(t, 1, got.Count)
	drawn := map[string]plan.Edge{}
	for _, e := range want.Edges {
		p := must(ParsePath(e.D))
		for i := range p {
			for _, q := range []*orb.Point{&p[i].P0, &p[i].C0, &p[i].C1, &p[i].P1} {
				*q = plane.Add(*q, shift)
			}
		}
		drawn[p.D()] = e
	}
	notches := 0
	for _, e := range got.Outline {
		from, ok := drawn[e.Line.D()]
		require.True(t, ok, "an edge of %s is not one that was drawn: %s", want.Name, e.Line.D())
		name := from.Name
		if from.Seam != "" {
			name = strings.ToLower(from.Seam)
		}
		require.Equal(t, name, e.Name)
		require.InDelta(t, from.AllowanceMM, e.AllowanceMM, 1e-9)
		for _, n := range e.Notches {
			at, _ := e.Line.At(n.AtMM)
			found := false
			for _, w := range want.Notches {
				found = found || w.Count == n.Count && plane.Distance(plane.Add(orb.Point(w.At), shift), at) < 0.1
			}
			require.True(t, found, "a notch at %v of %s was not drawn", at, want.Name)
			notches++
		}
	}
	require.Len(t, got.Outline, len(want.Edges))
	require.Equal(t, len(want.Notches), notches)
}

func TestPartsCanBeReadAsPieces(t *testing.T) {
	d := tshirt()
	for i, want := range d.Options[0].Parts {
		var b bytes.Buffer
		require.NoError(t, Of(d).Part(&b, 0, i))
		got, err := svg.Pattern(&b, want.Name+".svg")
		require.NoError(t, err)
		require.Len(t, got, 1)
		s, err := Of(d).PartShape(0, i)
		require.NoError(t, err)
		same(t, want, got[0], plane.Scale(wholeMM(s.Bound().Pad(marginMM)).Min, -1))
		require.Empty(t, got[0].Notes)
	}
}

func TestPiecesCanBeReadAsAPattern(t *testing.T) {
	d := tshirt()
	var b bytes.Buffer
	require.NoError(t, Of(d).Pieces(&b, 0))
	got, err := svg.Pattern(&b, "pieces.svg")
	require.NoError(t, err)
	require.Len(t, got, len(d.Options[0].Parts))
	refs := map[string]bool{}
	for i, p := range got {
		require.Equal(t, d.Options[0].Parts[i].Name, p.Name)
		for _, e := range p.Outline {
			for _, j := range e.Joins {
				refs[p.Name+"/"+e.Name+" "+j.String()] = true
			}
		}
	}
	require.True(t, refs["front-upper/a front-lower/a"], "the piecing seam is a join")
	require.True(t, refs["front-upper/shoulder back/shoulder"])
	require.True(t, refs["sleeve-1/cap-front front-upper/armhole"])
}

// A stub without a name is drawn as an edge all the same, and its neighbours
// are read as long as they are.
func TestPartsWithANamelessStubCanBeRead(t *testing.T) {
	d := tshirt()
	p := &d.Options[0].Parts[0]
	for k, e := range p.Edges {
		if e.Name != "shoulder" {
			continue
		}
		path := must(ParsePath(e.D))
		const cut = 2.4
		stub, rest := e, e
		stub.Name, stub.Joins, stub.AllowanceMM = "", nil, d.AllowanceMM
		stub.D, rest.D = path.Between(0, cut).D(), path.Between(cut, path.Length()).D()
		stub.LengthMM, rest.LengthMM = cut, path.Length()-cut
		p.Edges = append(append(append([]plan.Edge{}, p.Edges[:k]...), stub, rest), p.Edges[k+1:]...)
		break
	}
	var b bytes.Buffer
	require.NoError(t, Of(d).Part(&b, 0, 0))
	got, err := svg.Pattern(&b, "stub.svg")
	require.NoError(t, err)
	require.Len(t, got[0].Outline, len(p.Edges))
	want, read := map[string]float64{}, map[string]float64{}
	for _, e := range p.Edges {
		want[strings.ToLower(e.Name+e.Seam)] += e.LengthMM
	}
	for _, e := range got[0].Outline {
		read[e.Name] += e.Line.Length()
	}
	for name, mm := range want {
		if name != "" {
			require.InDelta(t, mm, read[name], 0.01, name)
		}
	}
}

// An edge too short to be drawn is left out, and no other is joined to it.
func TestPiecesWithAStubOfAnEdgeCanBeRead(t *testing.T) {
	d := tshirt()
	o := &d.Options[0]
	for i := range o.Parts {
		p := &o.Parts[i]
		for k, e := range p.Edges {
			path := must(ParsePath(e.D))
			if e.Name != "shoulder" || path.Length() < 50 {
				continue
			}
			for j, cut := range []float64{0.6, 2.2} {
				stub, rest := e, e
				stub.Name = []string{"stub", "nub"}[j]
				stub.D, rest.D = path.Between(0, cut).D(), path.Between(cut, path.Length()).D()
				stub.LengthMM, rest.LengthMM = cut, path.Length()-cut
				p.Edges = append(append(append([]plan.Edge{}, p.Edges[:k]...), stub, rest), p.Edges[k+1:]...)
				for m := range o.Parts {
					for n := range o.Parts[m].Edges {
						if q := &o.Parts[m].Edges[n]; m != i && q.Name == "shoulder" {
							q.Joins = append(q.Joins, p.Piece+"/"+stub.Name)
						}
					}
				}
				k, e, path = k+1, rest, must(ParsePath(rest.D))
			}
			break
		}
	}
	var b bytes.Buffer
	require.NoError(t, Of(d).Pieces(&b, 0))
	got, err := svg.Pattern(&b, "pieces.svg")
	require.NoError(t, err)
	nubs := 0
	for _, p := range got {
		require.Empty(t, p.Outline.Edge("stub"))
		for _, k := range p.Outline.Edge("nub") {
			require.InDelta(t, 2.2, p.Outline[k].Line.Length(), 0.61, p.Name)
			nubs++
		}
	}
	require.Positive(t, nubs)
}

func TestDartsCanBeReadAgain(t *testing.T) {
	d := tshirt()
	dart := [3]plan.Point{{250, 260}, {150, 280}, {249, 290}}
	// The side seam runs within a millimetre of these points.
	p := &d.Options[0].Parts[2]
	p.Darts = [][3]plan.Point{dart}
	p.FishEyes = [][4]plan.Point{{{180, 320}, {188, 380}, {180, 450}, {172, 380}}}
	var b bytes.Buffer
	require.NoError(t, Of(d).Part(&b, 0, 2))
	got, err := svg.Pattern(&b, "back.svg")
	require.NoError(t, err)
	require.Len(t, got[0].Darts, 1)
	require.Len(t, got[0].FishEyes, 1)
	s, err := Of(d).PartShape(0, 2)
	require.NoError(t, err)
	apex := plane.Add(got[0].Darts[0].Apex, wholeMM(s.Bound().Pad(marginMM)).Min)
	require.InDelta(t, 150, apex[0], 1e-3)
	require.InDelta(t, 280, apex[1], 1e-3)
}

func TestLayoutCanBeReadAsScraps(t *testing.T) {
	d := tshirt()
	var b bytes.Buffer
	require.NoError(t, Of(d).Layout(&b, 0))
	scraps, err := svg.ReadScraps(&b, "layout.svg")
	require.NoError(t, err)
	var names []string
	for _, s := range scraps {
		names = append(names, s.Name)
		if s.Name == "dress back" {
			require.True(t, s.Nap)
			require.Len(t, s.Holes, 1)
		}
	}
	require.Equal(t, []string{"dress front", "dress back", "tunic back", "tunic sleeve (1)", "tunic sleeve (2)", "cuff rib"}, names)
}
