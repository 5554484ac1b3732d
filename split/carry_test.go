package split_test

import (
	"math"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A cross seam goes on through the joins that it meets: below the underarm into
// the back, above it through the sleeves, and as far as a piece that is named.
func TestCarry(t *testing.T) {
	for name, c := range map[string]struct {
		pattern, lead, to string
		way               split.Way
		level             float64 // from the underarm point
		crosses           []string
		turnDeg           float64 // at most
		why               string
	}{
		"below the underarm":              {pattern: "tshirt.svg", lead: "front", way: split.Yoke{}, level: 20, crosses: []string{"front", "back"}, turnDeg: 6},
		"led by the back":                 {pattern: "tshirt.svg", lead: "back", way: split.Yoke{}, level: 20, crosses: []string{"front", "back"}, turnDeg: 6},
		"through the sleeves":             {pattern: "tshirt.svg", lead: "front", way: split.Yoke{}, level: -20, crosses: []string{"front", "back", "right sleeve", "left sleeve"}, turnDeg: 180},
		"as far as the sleeves":           {pattern: "tshirt.svg", lead: "front", to: "sleeve", way: split.Yoke{}, level: -20, crosses: []string{"front", "right sleeve", "left sleeve"}, turnDeg: 180},
		"through the sleeves to the back": {pattern: "tshirt.svg", lead: "front", to: "back", way: split.Yoke{}, level: -20, crosses: []string{"front", "back", "right sleeve", "left sleeve"}, turnDeg: 180},
		"from the sleeves to the front":   {pattern: "tshirt.svg", lead: "sleeve", to: "front", way: split.Yoke{}, level: -20, crosses: []string{"front", "right sleeve", "left sleeve"}, turnDeg: 180},
		"no sleeve below the underarm":    {pattern: "tshirt.svg", lead: "front", to: "sleeve", way: split.Yoke{}, level: 20, why: "no join that leads to sleeve"},
		"at the underarm":                 {pattern: "tshirt.svg", lead: "front", way: split.Yoke{}, level: -0.01, why: "ends at a corner"},
		"through raglan seams":            {pattern: "raglan-child.svg", lead: "front", way: split.Yoke{}, level: -8, crosses: []string{"front", "back", "right sleeve", "left sleeve"}, turnDeg: 180},
		"a curve runs on smoothly":        {pattern: "tshirt.svg", lead: "front", way: split.CurvedYoke{}, level: 30, crosses: []string{"front", "back"}, turnDeg: 0.1},
		"and turned up":                   {pattern: "tshirt.svg", lead: "front", way: split.CurvedYoke{Up: true}, level: 80, crosses: []string{"front", "back"}, turnDeg: 0.1},
		"a band that it comes to twice":   {pattern: "cardigan.svg", lead: "front", way: split.Yoke{}, level: 30, why: "band: no one seam joins"},
		"past the band":                   {pattern: "cardigan.svg", lead: "front", to: "back", way: split.Yoke{}, level: 30, crosses: []string{"left front", "right front", "back"}, turnDeg: 8},
		"round a sleeve":                  {pattern: "raglan-child.svg", lead: "sleeve", way: split.Yoke{}, level: 60, crosses: []string{"right sleeve", "left sleeve"}, turnDeg: 25},
	} {
		t.Run(name, func(t *testing.T) {
			copies := sample(t, c.pattern)
			carry, err := split.NewCarry(copies, nil, c.lead, c.to)
			require.NoError(t, err)
			_, arm := carry.Body().Frame.Place(split.Underarms(carry.Body().Outline)[0])
			line, err := carry.At(c.way, arm+c.level, split.Square)
			if c.why != "" {
				require.ErrorIs(t, err, split.ErrNotCarried)
				require.ErrorContains(t, err, c.why)
				return
			}
			require.NoError(t, err)
			var crosses []string
			for _, cut := range line.Cuts {
				crosses = append(crosses, copies[cut.Copy].ID())
			}
			require.ElementsMatch(t, c.crosses, crosses)
			require.NotEmpty(t, line.Meets)
			for _, at := range line.Meets {
				require.Less(t, at.OffMM, 0.05)
			}
			require.LessOrEqual(t, line.Sharpest().TurnDeg, c.turnDeg)
		})
	}
}

// Bad use is told: a piece that is not there, one with no joins, and a seam as far
// as its own piece.
func TestNewCarryRefuses(t *testing.T) {
	shirt := sample(t, "tshirt.svg")
	bare := func() []*piece.Piece {
		var out []*piece.Piece
		for _, p := range shirt {
			q := *p
			q.Outline = nil
			for _, e := range p.Outline {
				e.Joins = nil
				q.Outline = append(q.Outline, e)
			}
			out = append(out, &q)
		}
		return out
	}()
	for _, c := range []struct {
		copies    []*piece.Piece
		lead, to  string
		complains string
	}{
		{shirt, "yoke", "", `there is no piece "yoke"; the pieces are front, back, sleeve, neckband`},
		{shirt, "front", "cuff", `there is no piece "cuff"`},
		{shirt, "front", "Front", "as far as front itself"},
		{bare, "front", "", "front has no edge that names the edge it is sewn to"},
	} {
		_, err := split.NewCarry(c.copies, nil, c.lead, c.to)
		require.ErrorContains(t, err, c.complains)
	}
}

// On a binding that goes round three edges in a row a line is not led on; as far as the back it
// is, and that is said.
func TestCarryToABindingOfThreeEdges(t *testing.T) {
	front := func(name, wrap, side string) string {
		return `<g id="` + name + `"><path class="seam" d="M 0,0 H 200 V 500 H 0 Z"/><path class="edge wrap" data-joins="binding/attach" d="M ` + wrap + `,0 V 500"/><path class="edge side" data-joins="back/side" d="M ` + side + `,0 V 500"/><path class="grain" d="M 100,100 V 300"/></g>`
	}
	copies, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+
		front("front-right", "200", "0")+front("front-left", "0", "200")+
		`<g id="back"><path class="seam" d="M 0,0 H 400 V 500 H 0 Z"/><path class="edge side" data-joins="front-right/side" d="M 400,0 V 500"/><path class="edge side" data-joins="front-left/side" d="M 0,0 V 500"/><path class="edge neck" data-joins="binding/attach" d="M 100,0 H 300"/><path class="grain" d="M 200,100 V 300"/></g>
		<g id="binding"><path class="seam" d="M 0,0 H 40 V 1200 H 0 Z"/><path class="edge attach" data-joins="front-left/wrap, back/neck, front-right/wrap" d="M 0,0 V 1200"/><path class="grain" d="M 20,100 V 300"/></g></svg>`), "wrap.svg")
	require.NoError(t, err)
	carry, err := split.NewCarry(split.Copies(copies), nil, "front-right", "")
	require.NoError(t, err)
	_, err = carry.At(split.Yoke{}, 250, split.Square)
	require.ErrorIs(t, err, split.ErrNotCarried)
	require.ErrorContains(t, err, `front-right: at 250 mm along wrap it comes to binding, on which 3 edges come in a row, and it is led on only where two do; as far as back, by "carry front-right to back", it leaves that out`)
	carry, err = split.NewCarry(split.Copies(copies), nil, "front-right", "back")
	require.NoError(t, err)
	_, err = carry.At(split.Yoke{}, 250, split.Square)
	require.NoError(t, err)
}

// At a centre seam, an edge that joins itself, a line goes on from the one half to the other.
func TestCarryAcrossACentreSeam(t *testing.T) {
	drawn, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">
		<g id="front"><path class="seam" d="M 0,0 H 400 V 500 H 0 Z"/><path class="edge side" data-joins="back/side" d="M 400,0 V 500"/><path class="edge side" data-joins="back/side" d="M 0,0 V 500"/><path class="grain" d="M 200,100 V 300"/></g>
		<g id="back" data-cut="2" data-mirrored="true"><path class="seam" d="M 0,0 H 200 V 500 H 0 Z"/><path class="edge centre-back" data-joins="back/centre-back" d="M 200,0 V 500"/><path class="edge side" data-joins="front/side" d="M 0,0 V 500"/><path class="grain" d="M 100,100 V 300"/></g></svg>`), "halves.svg")
	require.NoError(t, err)
	copies := split.Copies(drawn)
	require.Len(t, copies, 3)
	for _, lead := range []string{"front", "back"} {
		carry, err := split.NewCarry(copies, nil, lead, "")
		require.NoError(t, err)
		line, err := carry.At(split.Yoke{}, 200, split.Square)
		require.NoError(t, err)
		require.Len(t, line.Cuts, 3, lead)
		var centre int
		for _, m := range line.Meets {
			require.Less(t, m.OffMM, 1e-6)
			if m.Join[0] == (piece.Ref{Piece: "back", Edge: "centre-back"}) {
				require.Equal(t, m.Join[0], m.Join[1])
				centre++
			}
		}
		require.Equal(t, 1, centre, lead)
	}
}

// A line does not end at a join to what is cut already, or is never split.
func TestCarryPastWhatIsNotSplit(t *testing.T) {
	all := sample(t, "tshirt.svg")
	var open, shut []*piece.Piece
	for _, p := range all {
		if p.Name == "sleeve" {
			shut = append(shut, p)
		} else {
			open = append(open, p)
		}
	}
	carry, err := split.NewCarry(open, shut, "front", "")
	require.NoError(t, err)
	_, arm := carry.Body().Frame.Place(split.Underarms(carry.Body().Outline)[0])
	_, err = carry.At(split.Yoke{}, arm+20, split.Square)
	require.NoError(t, err)
	_, err = carry.At(split.Yoke{}, arm-20, split.Square)
	require.ErrorIs(t, err, split.ErrNotCarried)
	require.ErrorContains(t, err, "edge armhole, which is sewn to sleeve")
	_, err = split.NewCarry(shut, open, "sleeve", "")
	require.NoError(t, err, "it comes round at its own underarm")
	for _, p := range open {
		if p.Name != "front" {
			shut = append(shut, p)
		}
	}
	_, err = split.NewCarry(open[:1], shut, "front", "")
	require.ErrorContains(t, err, "which no seam may cross")
}

// Where a dart opens on the side, the line goes on at the point that is sewn to
// it once the dart is closed.
func TestCarryPastADart(t *testing.T) {
	copies := sample(t, "blouse.svg")
	carry, err := split.NewCarry(copies, nil, "front", "back")
	require.NoError(t, err)
	line, err := carry.At(split.Yoke{}, 400, split.Square)
	require.NoError(t, err)
	up := map[string]float64{} // how far above the lower end of the side it ends
	for _, cut := range line.Cuts {
		p := copies[cut.Copy]
		b := split.NewBody(p, p.Outline)
		for _, e := range p.Outline {
			if at := curve.Crossings(e.Line, cut.Way.Line(b, cut.LevelMM)); e.Name == "side" && len(at) == 1 {
				if _, from := b.Frame.Place(e.Line.Start()); from > cut.LevelMM { // it runs up
					up[p.Name] = at[0].OnP
				} else {
					up[p.Name] = e.Line.Length() - at[0].OnP
				}
			}
		}
	}
	require.Len(t, up, 2)
	require.InDelta(t, up["front"], up["back"], 0.05)
}

// A line that is carried through two places runs through them, at the rises given,
// and every line of its spans cuts a piece in two parts that share it.
func TestCarriedWay(t *testing.T) {
	p := only(sample(t, "tshirt.svg"), "front")[0]
	b := split.NewBody(p, p.Outline)
	rapid.Check(t, func(t *rapid.T) {
		rise := func(name string) float64 { return rapid.Float64Range(-0.5, 0.5).Draw(t, name) }
		across := func(share float64) float64 { return b.Lo[0] + share*(b.Hi[0]-b.Lo[0]) }
		down := rapid.Float64Range(280, 500)
		w := split.Carried{
			From: orb.Point{across(rapid.Float64Range(0, 0.2).Draw(t, "from")), down.Draw(t, "from down")},
			To:   orb.Point{across(rapid.Float64Range(0.8, 1).Draw(t, "to")), down.Draw(t, "to down")}, RiseFrom: rise("from rise"), RiseTo: rise("to rise"),
		}
		if rapid.Bool().Draw(t, "straight") {
			w = split.CarriedStraight(w.From, w.To)
		}
		line := w.Line(b, 0)
		for k, q := range []orb.Point{w.From, w.To} {
			at := b.Frame.At(q[0], q[1])
			along, away := line.Nearest(at)
			require.Less(t, away, 1e-6)
			_, dir := line.At(along)
			x, y := b.Frame.Place(dir)
			require.InDelta(t, []float64{w.RiseFrom, w.RiseTo}[k], y/x, 1e-3)
			require.InDelta(t, 0, w.LevelOf(b, at), 1e-6)
		}
		for _, q := range line.Flatten(0.01) {
			require.InDelta(t, 0, w.LevelOf(b, q), 0.05)
		}
		for _, s := range w.Spans(b) {
			level := s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
			near, far, seam, err := split.Cut(p.Outline, w.Line(b, level), split.Seam{Name: "A"})
			require.NoError(t, err)
			require.Equal(t, seam, edgeOf(far, "A").Line)
			require.InDelta(t, plane.SignedArea(b.Ring), plane.SignedArea(near.Ring())+plane.SignedArea(far.Ring()), 0.05*seam.Length())
			mid, _ := seam.At(seam.Length() / 2)
			require.Less(t, math.Abs(w.LevelOf(b, mid)-level), 0.1)
		}
	})
}

// A sleeve cap that was drawn in one edge has the front's armhole and the back's
// sewn to it in a row: the line goes on at the same places.
func TestCarryThroughACapInOne(t *testing.T) {
	two := sample(t, "tshirt.svg")
	var one []*piece.Piece
	for _, p := range two {
		q := *p
		q.Outline = nil
		for _, e := range p.Outline {
			for k, j := range e.Joins {
				if j.Piece == "sleeve" && (j.Edge == "cap-front" || j.Edge == "cap-back") {
					e.Joins = append([]piece.Ref{}, e.Joins...)
					e.Joins[k].Edge = "cap"
				}
			}
			if last := len(q.Outline) - 1; e.Name == "cap-front" || e.Name == "cap-back" {
				e.Name = "cap"
				if last >= 0 && q.Outline[last].Name == "cap" {
					q.Outline[last].Line = append(append(curve.Path{}, q.Outline[last].Line...), e.Line...)
					q.Outline[last].Joins = append(append([]piece.Ref{}, q.Outline[last].Joins...), e.Joins...)
					continue
				}
			}
			q.Outline = append(q.Outline, e)
		}
		if n := len(q.Outline); q.Outline[0].Name == "cap" && q.Outline[n-1].Name == "cap" { // it ran past the outline's start
			q.Outline[0].Line = append(append(curve.Path{}, q.Outline[n-1].Line...), q.Outline[0].Line...)
			q.Outline[0].Joins = append(append([]piece.Ref{}, q.Outline[n-1].Joins...), q.Outline[0].Joins...)
			q.Outline = q.Outline[:n-1]
		}
		one = append(one, &q)
	}
	level := func(copies []*piece.Piece) map[string]float64 {
		carry, err := split.NewCarry(copies, nil, "front", "")
		require.NoError(t, err)
		_, arm := carry.Body().Frame.Place(split.Underarms(carry.Body().Outline)[0])
		line, err := carry.At(split.Yoke{}, arm-20, split.Square)
		require.NoError(t, err)
		out := map[string]float64{}
		for _, c := range line.Cuts {
			out[copies[c.Copy].ID()] = c.LevelMM
		}
		return out
	}
	want, got := level(two), level(one)
	require.Len(t, got, 4)
	for id := range want {
		require.InDelta(t, want[id], got[id], 1.5, id) // ease is spread over all of the cap
	}
}
