package lining

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"eke/allowance"
	"eke/piece"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A facing is taken off, drawn as its piece or as its mirror image, and the
// back's shoulder is sewn to it for its width there.
func TestFacing(t *testing.T) {
	data, err := os.ReadFile("../../samples/blouse.svg")
	require.NoError(t, err)
	turned := strings.Replace(string(data), `data-fabric="lawn" transform="translate(650,40)"`, `data-fabric="lawn" transform="translate(800,40) scale(-1,1)"`, 1)
	require.NotEqual(t, string(data), turned)
	for _, text := range []string{string(data), turned} {
		pieces := read(t, text)
		l, err := Make(pieces, "blouse", Options{})
		require.NoError(t, err)
		front, facing := named(t, pieces, "front"), named(t, pieces, "facing")
		// The facing's outline was drawn as a cutting line, so its seam line is near
		// the front's and not quite it.
		assert.InDelta(t, area(front)-area(facing), area(named(t, l.Pieces, "front")), 400)
		back := named(t, l.Pieces, "back").Outline
		for _, i := range back.Edge("shoulder-facing") {
			assert.InDelta(t, 36, back[i].Line.Length(), 0.3)
			assert.Empty(t, back[i].Joins)
		}
		assert.Len(t, back.Edge("shoulder-facing"), 2)
		equal(t, l.Pieces)
		assert.Len(t, named(t, l.Pieces, "front").Darts, 2)
	}
}

// Without cloth for a facing the lining goes to the garment's edge, and the back's
// shoulder is sewn to the front's all along.
func TestUncutFacing(t *testing.T) {
	pieces := sample(t, "blouse")
	l, err := Make(pieces, "blouse", Options{Passed: []Passed{{Facing: "facing", Why: "facing is not cut"}}})
	require.NoError(t, err)
	require.Equal(t, []string{"facing"}, l.Facings)
	assert.InDelta(t, area(named(t, pieces, "front")), area(named(t, l.Pieces, "front")), 1)
	for _, p := range l.Pieces {
		assert.Empty(t, p.Outline.Edge(facingEdge), p.Name)
		assert.Empty(t, p.Outline.Edge("shoulder-facing"), p.Name)
	}
	equal(t, l.Pieces)
	assert.Contains(t, strings.Join(l.Notes, "\n"), "facing is not cut, so the lining goes to the garment's own edge there and is sewn to it: front/")
	assert.NotContains(t, strings.Join(l.Notes, "\n"), "starts at the inner edge")
}

// The end of a facing may lie a little off the edge of its piece, square to it or
// along a hem: the lining starts on the edge all the same, and it is said. Further off
// it is said what to mend.
func TestFacingDrawnOffTheEdge(t *testing.T) {
	faced := func(low string) string {
		return pattern(`<g id="front"><path class="seam" d="M 0,0 H 200 V 330 L 0,300 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge centre" data-joins="facing/centre" d="M 0,300 V 0"/><path class="edge side" data-joins="back/side" d="M 200,0 V 330"/><path class="edge hem" d="M 200,330 L 0,300"/></g>`,
			`<g id="facing" transform="translate(300,0)"><path class="seam" d="M 0,0 H 100 V `+low+` L 0,300 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge centre" data-joins="front/centre" d="M 0,300 V 0"/></g>`,
			`<g id="back" transform="translate(500,0)"><path class="seam" d="M 0,0 H 200 V 300 L 0,330 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge side" data-joins="front/side" d="M 0,330 V 0"/><path class="edge hem" d="M 200,300 L 0,330"/></g>`)
	}
	areas := map[string]float64{}
	for low, noted := range map[string]bool{"315": false, "311.8": true} {
		l, err := Make(read(t, faced(low)), "p.svg", usual)
		require.NoError(t, err)
		areas[low] = area(named(t, l.Pieces, "front"))
		assert.Equal(t, noted, slices.Contains(l.Notes, "front: an end of facing is drawn 3.2 mm off its edge, and taken to be on it"), "%s: %v", low, l.Notes)
	}
	assert.InDelta(t, areas["315"], areas["311.8"], 100)
	_, err := Make(read(t, faced("309")), "p.svg", usual)
	require.ErrorContains(t, err, "draw the ends of its facing onto its own edges")
}

// A hood is sewn on in a row, and the facings take a stretch off the front's neck: as much
// of the hood's is sewn to them, at its open end. Where nothing tells the end, the hood
// stays longer by that.
func TestFacingBesideARow(t *testing.T) {
	const neck, covered = 113.137 + 82.462, 56.569 // a front's neck and half the back's; under a facing
	garment := func(back string) []*piece.Piece {
		return read(t, pattern(
			`<g id="front" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,80 L 80,0 H 180 V 400 H 0 Z"/><path class="grain" d="M 50,90 V 180"/><path class="edge neck" d="M 0,80 L 80,0"/><path class="edge shoulder" data-joins="back/shoulder" d="M 80,0 H 180"/><path class="edge side" data-joins="back/side" d="M 180,0 V 400"/><path class="edge hem" d="M 180,400 H 0"/><path class="edge centre-front" data-joins="facing/centre-front" d="M 0,400 V 80"/></g>`,
			`<g id="facing" data-cut="2" data-mirrored="yes" transform="translate(200,0)"><path class="seam" d="M 0,80 L 40,40 V 400 H 0 Z"/><path class="grain" d="M 20,90 V 180"/><path class="edge centre-front" d="M 0,400 V 80"/></g>`,
			`<g id="back" transform="translate(300,0)"><path class="seam" d="M 0,20 L 80,0 H 180 V 400 H 0 Z"/><path class="grain" d="M 50,90 V 180"/><path class="edge neck" d="M 0,20 L 80,0"/><path class="edge shoulder" d="M 80,0 H 180"/><path class="edge side" d="M 180,0 V 400"/><path class="edge hem" d="M 180,400 H 0"/><path class="fold" d="M 0,400 V 20"/></g>`,
			fmt.Sprintf(`<g id="hood" data-cut="2" data-mirrored="yes" transform="translate(600,0)"><path class="seam" d="M 0,0 H %[1]g V 250 H 0 Z"/><path class="grain" d="M 50,40 V 180"/><path class="edge back" %[2]s d="M 0,250 V 0"/><path class="edge top" data-joins="hood/top" d="M 0,0 H %[1]g"/><path class="edge face" d="M %[1]g,0 V 250"/><path class="edge neck" data-joins="front/neck, back/neck" d="M %[1]g,250 H 0"/></g>`, neck, back)))
	}
	for back, c := range map[string]struct {
		neck, off float64
		noted     bool
	}{`data-joins="hood/back"`: {neck - covered, 0, false}, "": {neck, 2 * covered, true}} {
		l, err := Make(garment(back), "p.svg", Options{})
		require.NoError(t, err)
		hood := named(t, l.Pieces, "hood").Outline
		require.Len(t, hood.Edge("neck"), 1)
		assert.InDelta(t, c.neck, hood[hood.Edge("neck")[0]].Line.Length(), 0.05)
		front := named(t, l.Pieces, "front").Outline
		assert.InDelta(t, neck-82.462-covered, front[front.Edge("neck")[0]].Line.Length(), 0.05)
		assert.Equal(t, c.noted, strings.Contains(strings.Join(l.Notes, "\n"), "hood/neck is 113.1 mm longer than front/neck + back/neck on both sides together: 56.6 mm of each is sewn to"))
		rows := 0
		for _, s := range l.Seams {
			if len(s.A)+len(s.B) == 3 {
				rows++
				assert.InDelta(t, 2*neck-2*covered, math.Min(s.AMM, s.BMM), 0.2, "%v", s)
				assert.InDelta(t, c.off, math.Abs(s.DifferenceMM()), 0.05)
			}
		}
		assert.Equal(t, 1, rows)
	}
}

// A facing that goes round a corner of its piece by a little takes a short stretch of a
// seam, which the hem has nothing to do with.
func TestFacingRoundACorner(t *testing.T) {
	dress := func(low float64) []*piece.Piece {
		return read(t, pattern(
			fmt.Sprintf(`<g id="centre"><path class="seam" d="M 0,60 L 60,0 L 100,10 V 400 H 0 Z"/><path class="grain" d="M 50,190 V 280"/><path class="edge neck" data-joins="facing/neck" d="M 0,60 L 60,0"/><path class="edge shoulder" d="M 60,0 L 100,10"/><path class="edge princess" data-joins="flank/princess" d="M 100,10 V 400"/><path class="edge hem" d="M 100,400 H 0"/><path class="fold" d="M 0,400 V 60"/></g>
<g id="facing" transform="translate(600,0)"><path class="seam" d="M 0,60 L 60,0 L 100,10 V %[1]g L 0,100 Z"/><path class="grain" d="M 20,70 V 80"/><path class="edge neck" d="M 0,60 L 60,0"/><path class="fold" d="M 0,100 V 60"/></g>`, low),
			`<g id="flank" data-cut="2" data-mirrored="yes" transform="translate(300,0)"><path class="seam" d="M 0,10 L 50,20 V 400 H 0 Z"/><path class="grain" d="M 30,190 V 280"/><path class="edge shoulder" d="M 0,10 L 50,20"/><path class="edge hem" d="M 50,400 H 0"/><path class="edge princess" d="M 0,400 V 10"/></g>`))
	}
	l, err := Make(dress(14.5), "p.svg", usual)
	require.NoError(t, err)
	flank := named(t, l.Pieces, "flank").Outline
	require.Len(t, flank.Edge("princess-facing"), 1)
	assert.InDelta(t, 4.5, flank[flank.Edge("princess-facing")[0]].Line.Length(), 0.3)
	equal(t, l.Pieces)
	_, err = Make(dress(395), "p.svg", usual)
	require.ErrorContains(t, err, `--hem-up 20 mm: "centre" (p.svg): the edge princess is only`)
	_, err = Make(read(t, pattern(box("front", "back/side", 0, ""), strings.Replace(box("back", "front/side", 300, ""), `edge hem"`, `edge hem" data-joins="facing/hem"`, 1),
		`<g id="facing" transform="translate(600,0)"><path class="seam" d="M 0,265 H 400 V 280 H 0 Z"/><path class="grain" d="M 20,268 V 276"/><path class="edge hem" d="M 400,280 H 0"/></g>`)), "p.svg", usual)
	require.ErrorContains(t, err, `--hem-up 20 mm: "front" (p.svg): the stretch of the edge side that is sewn to a facing is only`)
}

// What a facing leaves over of a seam is said of one edge where each is in it as often.
func TestTellCovered(t *testing.T) {
	hood, front, back := []piece.Ref{{Piece: "hood", Edge: "neck"}}, piece.Ref{Piece: "front", Edge: "neck"}, piece.Ref{Piece: "back", Edge: "neck"}
	seam := func(timesHood, timesFront, timesBack int, coveredMM float64) equation {
		return equation{Walked: allowance.Walked{A: hood, B: []piece.Ref{front, back}, TimesA: []int{timesHood}, TimesB: []int{timesFront, timesBack}}, coveredMM: coveredMM}
	}
	for want, w := range map[string]equation{
		"hood/neck is 40 mm longer than front/neck + back/neck: so much of it is sewn to":                           seam(1, 2, 1, 40),
		"hood/neck is 40 mm longer than front/neck + back/neck on both sides together: 20 mm of each is sewn to":    seam(2, 2, 1, 40),
		"hood/neck is 40 mm longer than front/neck + back/neck on all 4 together: 10 mm of each is sewn to":         seam(4, 2, 1, 40),
		"front/neck + back/neck is 40 mm longer than hood/neck on both sides together: so much of it is sewn to":    seam(1, 2, 1, -40),
		"front/neck + back/neck is 40 mm longer than hood/neck on both sides together: 20 mm of each is sewn to wh": seam(2, 2, 2, -40),
	} {
		assert.Contains(t, w.tellCovered(), want)
	}
}
