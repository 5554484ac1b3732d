package split_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// levels are the level marks on the parts of a piece.
func levels(o *plan.Option, name string) []plan.Notch {
	var out []plan.Notch
	for _, p := range o.Parts {
		for _, n := range p.Notches {
			if p.Piece == name && n.Level != "" {
				out = append(out, n)
			}
		}
	}
	return out
}

// The ends of a yoke at the side seams are marked on both parts and across both
// joins, as far down from the armhole.
func TestLevelMarksOfAYoke(t *testing.T) {
	shirt := sample(t, "tshirt.svg")
	copies := append(only(shirt, "front"), only(shirt, "back")...)
	front, back := copies[0], copies[1]
	const joint = 430.0 // where two segments of the side seam meet, to which the end of a seam near by is moved
	rapid.Check(t, func(t *rapid.T) {
		b := split.NewBody(front, front.Outline)
		mm := rapid.OneOf(rapid.Float64Range(255, 600), rapid.Float64Range(joint-0.1, joint+0.1)).Draw(t, "below")
		if !split.In(split.Yoke{}.Spans(b), b.Lo[1]+mm) {
			return
		}
		_, d := proved(t, cutting(copies, "front", byHand(t, split.Yoke{}, below(mm))), copies)
		o := &d.Options[0]
		require.Len(t, levels(o, "front"), 4)
		require.Len(t, levels(o, "back"), 2)
		fromArmhole := func(p *piece.Piece, at plan.Point) float64 {
			least := math.Inf(1)
			for _, i := range p.Outline.Edge("side") {
				line := p.Outline[i].Line
				along, away := line.Nearest(orb.Point(at))
				if away > 0.05 {
					continue
				}
				if down, up := line.End(), line.Start(); down[1] < up[1] { // it runs up to the armhole
					along = line.Length() - along
				}
				least = along
			}
			return least
		}
		want := fromArmhole(front, levels(o, "front")[0].At)
		for _, p := range []*piece.Piece{front, back} {
			for _, n := range levels(o, p.Name) {
				require.Equal(t, "A", n.Level)
				require.Equal(t, "side", n.For)
				require.InDelta(t, want, fromArmhole(p, n.At), 0.01)
			}
		}
		require.Contains(t, o.SewingOrder[0], "it meets the mark A on back.")
	})
}

// Where there is no level mark: where the neighbour's seam meets, where one
// edge is eased onto the other, and where no edge is joined.
func TestNoLevelMarks(t *testing.T) {
	copies := sample(t, "tshirt.svg")
	met := cutting(copies, "front", byHand(t, split.Yoke{}, below(300)))
	made, err := split.Make(met, 10)
	require.NoError(t, err)
	front, back := only(copies, "front")[0], only(copies, "back")[0]
	end := made.Seams[0].Ends[0]
	for k, c := range copies {
		if c != back {
			continue
		}
		for _, e := range back.Outline {
			if split.Joined(e, back, end.Edge, front) {
				q, _ := e.Line.At(split.Mate(e, end.Edge, end.AlongMM))
				met.Trees[k].ByHand(back, split.Yoke{}, split.Yoke{}.LevelOf(split.NewBody(back, back.Outline), q), 0)
				break
			}
		}
	}
	for name, p := range map[string]*split.Plan{
		"the seams meet":     met,
		"in the sleeve cap":  cutting(copies, "sleeve", byHand(t, split.Yoke{}, below(60))),
		"in the armhole":     cutting(copies, "front", byHand(t, split.Yoke{}, below(150))),
		"from neck to hem":   cutting(copies, "front", byHand(t, split.Panel{}, split.CentreOf)),
		"nothing is pieced":  cutting(copies, "", nil),
		"underarm to itself": cutting(copies, "sleeve", byHand(t, split.Yoke{}, below(170))),
	} {
		t.Run(name, func(t *testing.T) {
			_, d := proved(t, p, copies)
			for _, q := range copies {
				require.Empty(t, levels(&d.Options[0], q.Name))
			}
		})
	}
}

// Where a little of one edge is eased onto the other, the mark is where that lies evenly,
// from notch to notch; where more is, or it is gathered, there is none, and the sewing
// order says so.
func TestLevelMarksOfEasedEdges(t *testing.T) {
	for name, c := range map[string]struct {
		longer, notch, ease float64 // of the back: by how much it is longer, in all and above the notch, and what the pattern says
		up                  float64 // of the mark, above the lower end; 0 for none
		says                string
	}{
		"evenly all along":      {1.8, 0, 0, 100 * 401.8 / 400, "it meets the mark A on back."},
		"above a notch":         {1.8, 1.8, 0, 100, "it meets the mark A on back."},
		"below a notch":         {1.8, 1e-9, 0, 100 * 201.8 / 200, "it meets the mark A on back."},
		"more than lies so":     {8, 0, 0, 0, "No mark shows on back/side where it ends on front/side, for cloth is eased in there."},
		"gathered":              {200, 0, 200, 0, "No mark shows on back/side where it ends on front/side, for cloth is gathered or stretched there."},
		"gathered from notches": {200, 100, 200, 0, "No mark shows on back/side where it ends on front/side, for cloth is gathered or stretched there."},
	} {
		t.Run(name, func(t *testing.T) {
			half := func(id string, x, side, high, notch float64, facts string) string {
				out := fmt.Sprintf(`<g id=%q><path class="seam" d="M %g,0 h 300 v %g h -300 Z"/><path class="grain" d="M %g,10 v 20"/><path class="edge side" %s d="M %g,0 v %g"/>`, id, x, high, x+50, facts, side, high)
				if c.notch > 0 {
					out += fmt.Sprintf(`<path class="notch" d="M %g,%g h 5"/>`, side, 200+notch)
				}
				return out + "</g>"
			}
			pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+
				half("front", 0, 300, 400, 0, fmt.Sprintf(`data-joins="back/side" data-ease="%gmm"`, c.ease))+half("back", 400, 400, 400+c.longer, c.notch, "")+`</svg>`), "p.svg")
			require.NoError(t, err)
			copies := split.Copies(pieces)
			_, d := proved(t, cutting(copies, "front", byHand(t, split.Yoke{}, below(300))), copies)
			o := &d.Options[0]
			require.Contains(t, o.SewingOrder[0], c.says)
			marks := levels(o, "back")
			if c.up == 0 {
				require.Empty(t, marks)
				return
			}
			require.Len(t, marks, 1)
			require.InDelta(t, c.up, 400+c.longer-marks[0].At[1], 0.01)
			for i := range o.Parts {
				for k := range o.Parts[i].Notches {
					if n := &o.Parts[i].Notches[k]; o.Parts[i].Name == "back" && n.Level != "" {
						n.At[1] += 0.5
					}
				}
			}
			require.NotEmpty(t, check.Document(d), "a mark that is off is no proof")
		})
	}
}

// A left front and a right front of their own names meet the back each on its side.
func TestLevelMarksOfUnlikeFronts(t *testing.T) {
	front := func(name, side string, x, to float64) string {
		in := x + (to-x)/2
		return fmt.Sprintf(`<g id="%s-front" data-side=%q><path class="seam" d="M %g,0 L %g,0 V 400 H %g Z"/><path class="grain" d="M %g,10 v 20"/><path class="edge side" data-joins="back/side" d="M %g,0 V 400"/></g>`, name, side, x, to, x, in, to)
	}
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="1000mm" viewBox="0 0 2000 1000">`+
		`<g id="back"><path class="seam" d="M 0,0 H 200 V 400 H 0 Z"/><path class="fold" d="M 0,0 V 400"/><path class="grain" d="M 50,10 v 20"/><path class="edge side" d="M 200,0 V 400"/></g>`+
		front("left", "left", 600, 800)+front("right", "right", 1400, 1100)+`</svg>`), "p.svg")
	require.NoError(t, err)
	copies := split.Copies(pieces)
	for name, sign := range map[string]float64{"left-front": -1, "right-front": 1} { // the back is seen from outside
		_, d := proved(t, cutting(copies, name, byHand(t, split.Yoke{}, below(300))), copies)
		marks := levels(&d.Options[0], "back")
		require.Len(t, marks, 1)
		require.InDelta(t, sign*200, marks[0].At[0], 0.01, name)
		require.InDelta(t, 300, marks[0].At[1], 0.01)
	}
}

// A seam that ends on the centre back is marked on the other back, to which the edge is
// sewn, as far down.
func TestLevelMarksOfAnEdgeSewnToItself(t *testing.T) {
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+
		`<g id="back" data-cut="2" data-mirrored="yes"><path class="seam" d="M 20,0 H 200 V 400 H 0 Z"/><path class="grain" d="M 50,50 v 100"/><path class="edge centre-back" data-joins="back/centre-back" d="M 0,400 L 20,0"/></g></svg>`), "p.svg")
	require.NoError(t, err)
	copies := split.Copies(pieces)
	plan := cutting(copies, "", nil)
	byHand(t, split.Yoke{}, below(300))(copies[0], plan.Trees[0])
	_, d := proved(t, plan, copies)
	o := &d.Options[0]
	marks := levels(o, "back")
	require.Len(t, marks, 3, "both parts of the one back, and the other")
	for _, n := range marks {
		require.Equal(t, "centre-back", n.For)
		require.InDelta(t, 300, n.At[1], 0.01)
	}
	require.Contains(t, o.SewingOrder[0], "it meets the mark A on "+copies[1].ID()+".")
}

// A panel line in a front that is sewn to both layers of a yoke is marked on each of them,
// on the side on which it is worn; and one in a layer on the front.
func TestLevelMarksOfLayers(t *testing.T) {
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="1000mm" viewBox="0 0 2000 1000">`+
		`<g id="front" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,80 L 70,0 L 220,40 V 500 H 0 Z"/><path class="grain" d="M 50,100 v 100"/><path class="edge shoulder" data-joins="yoke/front-edge" d="M 70,0 L 220,40"/><path class="edge centre-front" d="M 0,500 V 80"/></g>`+
		`<g id="yoke" data-cut="2"><path class="seam" d="M 600,20 L 670,0 L 820,40 V 150 H 600 Z"/><path class="fold" d="M 600,20 V 150"/><path class="grain" d="M 620,50 v 50"/><path class="edge front-edge" d="M 670,0 L 820,40"/></g></svg>`), "p.svg")
	require.NoError(t, err)
	copies := split.Copies(pieces)
	one := func(name string, at func(*split.Body) float64) *plan.Option {
		p, done := cutting(copies, "", nil), false
		for k, c := range copies {
			if c.Name == name && !done {
				byHand(t, split.Panel{}, at)(c, p.Trees[k])
				done = true
			}
		}
		_, d := proved(t, p, copies)
		return &d.Options[0]
	}
	o := one("front", func(b *split.Body) float64 { return b.Lo[0] + 130 })
	require.Len(t, levels(o, "front"), 2)
	marks := levels(o, "yoke")
	require.Len(t, marks, 2)
	require.Equal(t, marks[0].At, marks[1].At, "one on each layer, on the same side")
	require.Contains(t, o.SewingOrder[0], "it meets the mark A on yoke 1 and yoke 2.")

	o = one("yoke", func(b *split.Body) float64 { return split.CentreOf(b) + 130 })
	require.Len(t, levels(o, "front"), 1)
}

// A panel line in the shoulder is marked on the same shoulder of the back, as
// far from the neck, and not on the other.
func TestLevelMarksPairTheEdgesThatMeet(t *testing.T) {
	for _, off := range []float64{-140, 140} {
		copies := sample(t, "tshirt.svg")
		_, d := proved(t, cutting(copies, "front", byHand(t, split.Panel{}, func(b *split.Body) float64 { return split.CentreOf(b) + off })), copies)
		marks := levels(&d.Options[0], "back")
		require.Len(t, marks, 1)
		require.Equal(t, "shoulder", marks[0].For)
		back := only(copies, "back")[0]
		b := split.NewBody(back, back.Outline)
		across, _ := b.Frame.Place(orb.Point(marks[0].At))
		require.InDelta(t, -off, across-split.CentreOf(b), 12, "seen from outside, left is right")
	}
}

// A level mark that is moved, lost or named wrongly is no proof.
func TestWrongLevelMarksAreCaught(t *testing.T) {
	race.SkipAlone(t)
	copies := sample(t, "tshirt.svg")
	on := func(o *plan.Option, name string) *plan.Notch {
		for i := range o.Parts {
			for k := range o.Parts[i].Notches {
				if n := &o.Parts[i].Notches[k]; o.Parts[i].Name == name && n.Level != "" {
					return n
				}
			}
		}
		return nil
	}
	lose := func(o *plan.Option, name string) {
		for i := range o.Parts {
			kept := o.Parts[i].Notches[:0]
			for _, n := range o.Parts[i].Notches {
				if o.Parts[i].Name != name || n.Level == "" {
					kept = append(kept, n)
				}
			}
			o.Parts[i].Notches = kept
		}
	}
	for name, spoil := range map[string]func(*plan.Option){
		"moved along the side":   func(o *plan.Option) { on(o, "back").At[1] += 0.3 },
		"lost on the back":       func(o *plan.Option) { lose(o, "back") },
		"lost on both parts":     func(o *plan.Option) { lose(o, "front-upper"); lose(o, "front-lower") },
		"for another seam":       func(o *plan.Option) { on(o, "back").Level = "B" },
		"for another edge":       func(o *plan.Option) { on(o, "back").For = "shoulder" },
		"off the seam's own end": func(o *plan.Option) { on(o, "front-lower").At[1] += 0.3 },
	} {
		t.Run(name, func(t *testing.T) {
			_, d := proved(t, cutting(copies, "front", byHand(t, split.Yoke{}, below(300))), copies)
			spoil(&d.Options[0])
			data, err := json.Marshal(d)
			require.NoError(t, err)
			var twoWords plan.Document
			require.NoError(t, json.Unmarshal(bytes.ReplaceAll(data, []byte(`"back`), []byte(`"upper back`)), &twoWords))
			for _, d := range []*plan.Document{d, &twoWords} {
				faults := check.Document(d)
				require.NotEmpty(t, faults)
				for _, f := range faults {
					require.Equal(t, check.LevelMark, f.Rule)
				}
			}
		})
	}
}
