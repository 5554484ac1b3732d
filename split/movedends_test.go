package split_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// A sleeve is drawn for the shoulder and the side seam as they were: where they were
// is notched on the piece that has the place now, and the sleeve is set in when the
// side is closed, for its own seam does not meet the side's. (Common practice, no
// source.)
func TestWhereASeamWasIsNotched(t *testing.T) {
	tshirt := sample(t, "tshirt.svg")
	for name, c := range map[string]struct {
		drawn   []*piece.Piece
		move    split.Move
		on      string
		notches int // both sides, of the armhole
		order   string
	}{
		"shoulder":           {tshirt, split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30}, "back", 2, "Set in the sleeves while they lie flat"},
		"to nothing at neck": {tshirt, split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30, Stays: "neck"}, "back", 2, "Set in the sleeves while they lie flat"},
		"to nothing outside": {tshirt, split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30, Stays: "armhole"}, "back", 0, "Set in the sleeves while they lie flat"},
		"side":               {boxy(t), split.Move{From: ref("back", "side"), To: ref("front", "side"), ByMM: 20}, "front", 2, "Set in the sleeves in the round"},
	} {
		t.Run(name, func(t *testing.T) {
			drawn := c.drawn
			now, err := c.move.Apply(drawn)
			require.NoError(t, err)
			p := cutting(now, "", nil)
			p.Moves = []split.Move{c.move}
			_, d := proved(t, p, drawn)
			order := strings.Join(d.Options[0].SewingOrder, " ")
			require.Contains(t, order, c.order)
			require.Equal(t, c.notches > 0, strings.Contains(order, "/armhole lie on "+c.on+", up to the notch"))
			part := &d.Options[0].Parts[slices.IndexFunc(d.Options[0].Parts, func(p plan.Part) bool { return p.Piece == c.on })]
			var ends []plan.Point
			for _, e := range part.Edges {
				if e.From != "" && e.Name == "armhole" {
					ends = append(ends, part.Notches[slices.IndexFunc(part.Notches, func(n plan.Notch) bool { return n.For == "armhole" && n.Count == 1 })].At)
				}
			}
			require.Len(t, ends, c.notches)
			for _, at := range ends {
				without := *part
				part.Notches = slices.DeleteFunc(slices.Clone(part.Notches), func(n plan.Notch) bool { return n.At == at })
				faults := check.Document(d)
				require.NotEmpty(t, faults)
				require.Equal(t, check.Moved, faults[0].Rule)
				*part = without
			}
		})
	}
}

// boxy is the pattern of a top with straight sides, and sleeves that are set in.
func boxy(t *testing.T) []*piece.Piece {
	body := func(name, other string, x int, cap string) string {
		return fmt.Sprintf(`<g id=%q transform="translate(%d,0)"><path class="seam" d="M 0,0 L 100,30 C 70,60 70,160 130,160 V 400 H -130 V 160 C -70,160 -70,60 -100,30 Z"/>
			<path class="grain" d="M 0,100 V 200"/><path class="edge hem" d="M -130,400 H 130"/>
			<path class="edge shoulder" data-joins="%[3]s/shoulder" d="M 0,0 L 100,30"/><path class="edge shoulder" data-joins="%[3]s/shoulder" d="M 0,0 L -100,30"/>
			<path class="edge side" data-joins="%[3]s/side" d="M 130,160 V 400"/><path class="edge side" data-joins="%[3]s/side" d="M -130,160 V 400"/>
			<path class="edge armhole" data-joins="sleeve/%[4]s" d="M 100,30 C 70,60 70,160 130,160"/><path class="edge armhole" data-joins="sleeve/%[4]s" d="M -100,30 C -70,60 -70,160 -130,160"/></g>`,
			name, x, other, cap)
	}
	sleeve := `<g id="sleeve" data-cut="2" data-mirrored="yes" transform="translate(1000,0)"><path class="seam" d="M 0,0 C 60,0 60,100 128,100 L 90,300 H -90 L -128,100 C -60,100 -60,0 0,0 Z"/>
		<path class="grain" d="M 0,150 V 250"/><path class="edge cap-front" d="M 0,0 C 60,0 60,100 128,100"/><path class="edge cap-back" d="M 0,0 C -60,0 -60,100 -128,100"/>
		<path class="edge underarm-front" data-joins="sleeve/underarm-back" d="M 128,100 L 90,300"/><path class="edge underarm-back" d="M -128,100 L -90,300"/></g>`
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1500mm" height="1000mm" viewBox="0 0 1500 1000">`+body("front", "back", 150, "cap-front")+body("back", "front", 500, "cap-back")+sleeve+`</svg>`), "p.svg")
	require.NoError(t, err)
	return split.Copies(pieces)
}

// A bit of a band that a moved seam took to another piece is still as long as what it
// is sewn to: no cloth is gathered there.
func TestNoGathersWhereAMovedSeamTookABitAlong(t *testing.T) {
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="6000mm" viewBox="0 0 2000 6000">`+
		oblong("front", pair, 0, 300, 400, to("waist", "waistband/front"), to("side", "back/side"), "hem", "wrap")+
		oblong("back", "", 500, 200, 400, to("waist", "waistband/back"), to("side", "front/side"), "hem", "fold")+
		`<g id="waistband"><path class="seam" d="M 0,1000 h 500 v 60 h -500 Z"/><path class="grain" d="M 5,1010 v 10"/><path class="fold" d="M 0,1000 v 60"/>`+
		`<path class="edge back" data-joins="back/waist" d="M 0,1000 h 200"/><path class="edge front" data-joins="front/waist" d="M 200,1000 h 300"/><path class="edge end" data-joins="tie/end" d="M 500,1000 v 60"/></g>`+
		oblong("tie", `data-cut="2"`, 1200, 60, 700, to("end", "waistband/end"), "", "", "")+`</svg>`), "p.svg")
	require.NoError(t, err)
	copies := split.Copies(pieces)
	move := split.Move{From: piece.Ref{Piece: "waistband", Edge: "end"}, To: piece.Ref{Piece: "tie", Edge: "end"}, ByMM: 35}
	now, err := move.Apply(copies)
	require.NoError(t, err)
	p := cutting(now, "front", byHand(t, split.Panel{}, func(b *split.Body) float64 { return b.Lo[0] + 150 }))
	p.Moves = []split.Move{move}
	_, d := proved(t, p, copies)
	order := strings.Join(d.Options[0].SewingOrder, " ")
	require.Contains(t, order, "35 mm of waistband/front lie on tie, up to the notch")
	require.NotContains(t, order, "gathered")
}
