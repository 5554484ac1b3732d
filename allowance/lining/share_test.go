package lining

import (
	"fmt"
	"strings"
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// upright is an oblong 200 mm wide, whose left and right side are edges: a name, and
// after a blank what they are sewn to. A left that is fold is one.
func upright(id, facts string, x int, left, right string) string {
	edge := func(said, line string) string {
		name, joins, _ := strings.Cut(said, " ")
		switch {
		case name == "fold":
			return fmt.Sprintf(`<path class="fold" d="%s"/>`, line)
		case joins == "":
			return fmt.Sprintf(`<path class="edge %s" d="%s"/>`, name, line)
		}
		return fmt.Sprintf(`<path class="edge %s" data-joins=%q d="%s"/>`, name, joins, line)
	}
	return fmt.Sprintf(`<g id=%q %s transform="translate(%d,0)"><path class="seam" d="M 0,0 H 200 V 300 H 0 Z"/><path class="grain" d="M 50,40 V 80"/>%s%s<path class="edge hem" d="M 200,300 H 0"/></g>`,
		id, facts, x, edge(left, "M 0,300 V 0"), edge(right, "M 200,0 V 300"))
}

const twice = `data-cut="2" data-mirrored="yes"`

// The ease round a body is that of four edges, however many go round, and that round a
// sleeve that of two; a note says where it is shared out. (That is the rule of the
// package, a common practice, no source. So 4/14 is what four edges get at the 14 of two
// princess seams and a side seam on either side and of a centre back seam; .5 of a sleeve
// is what two edges get at the 4 of two seams, and 12 mm are two times 6. Round the hips of
// trousers go eight, four of the outseams and four of the crotch seams, and round a leg
// four.)
func TestEaseIsSharedOut(t *testing.T) {
	trousers := func(name, other string, x int) string {
		return fmt.Sprintf(`<g id=%q %s transform="translate(%d,0)"><path class="seam" d="M 0,0 H 150 V 600 H 0 L -20,200 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge waistband" d="M 0,0 H 150"/>
			<path class="edge outseam" data-joins="%[4]s/outseam" d="M 150,0 V 600"/><path class="edge hem" d="M 150,600 H 0"/><path class="edge inseam" data-joins="%[4]s/inseam" d="M 0,600 L -20,200"/><path class="edge crotch" data-joins="%[1]s/crotch" d="M -20,200 L 0,0"/></g>`, name, twice, x, other)
	}
	for name, c := range map[string]struct {
		groups []string
		shares map[string]float64 // of edges
		noted  string
	}{
		"a front and a back": {[]string{upright("front", "", 0, "fold", "side back/side"), upright("back", "", 300, "fold", "side front/side")},
			map[string]float64{"front/side": 1, "back/side": 1}, ""},
		"two fronts and a back": {[]string{upright("front", twice, 0, "centre-front", "side back/side"), upright("back", "", 300, "fold", "side front/side")},
			map[string]float64{"front/side": 1, "back/side": 1}, ""},
		"a centre back seam": {[]string{upright("front", "", 0, "fold", "side back/side"), upright("back", twice, 300, "side front/side", "centre-back back/centre-back")},
			map[string]float64{"front/side": 4. / 6, "back/side": 4. / 6, "back/centre-back": 4. / 6}, "front/side, back/centre-back, back/side: 6 lengthwise edges go round there, so each of these goes out by 4 mm and not by 6 mm, 24 mm in all"},
		"princess seams": {[]string{
			upright("front", "", 0, "fold", "princess flank/front"), upright("flank", twice, 300, "front front/princess", "side skirt/side"), upright("skirt", twice, 600, "side flank/side", "princess back/princess"), upright("back", twice, 900, "princess skirt/princess", "centre back/centre")},
			map[string]float64{"front/princess": 4. / 14, "flank/front": 4. / 14, "skirt/side": 4. / 14, "back/centre": 4. / 14}, "14 lengthwise edges go round there, so each of these goes out by 1.7 mm and not by 6 mm, 24 mm in all"},
		"fronts named left and right": {[]string{
			upright("front-left", "", 0, "centre-front front-right/centre-front", "side back/side"), upright("front-right", "", 300, "side back/side", "centre-front front-left/centre-front"), upright("back", "", 600, "fold", "side front-left/side, front-right/side")},
			map[string]float64{"front-left/side": 4. / 6, "front-right/side": 4. / 6, "back/side": 4. / 6}, "front-left/side, front-left/centre-front, front-right/centre-front, front-right/side, back/side: 6 lengthwise"},
		"a sleeve":                               {[]string{upright("sleeve", twice, 0, "a sleeve/b", "b sleeve/a")}, map[string]float64{"sleeve/a": 1, "sleeve/b": 1}, ""},
		"a sleeve of two":                        {[]string{upright("top-sleeve", twice, 0, "a under-sleeve/b", "b under-sleeve/a"), upright("under-sleeve", twice, 300, "a top-sleeve/b", "b top-sleeve/a")}, map[string]float64{"top-sleeve/a": .5, "under-sleeve/b": .5}, "each of these goes out by 3 mm and not by 6 mm, 12 mm in all"},
		"a sleeve with one name at both sides":   {[]string{upright("sleeve", twice, 0, "underarm sleeve/underarm", "underarm sleeve/underarm")}, map[string]float64{"sleeve/underarm": 1}, ""},
		"a sleeve on the fold":                   {[]string{upright("sleeve", `data-cut="2"`, 0, "fold", "underarm sleeve/underarm")}, map[string]float64{"sleeve/underarm": 1}, ""},
		"sleeves in halves":                      {[]string{upright("sleeve", `data-cut="4" data-mirrored="yes"`, 0, "overarm sleeve/overarm", "underarm sleeve/underarm")}, map[string]float64{"sleeve/underarm": .5}, "sleeve/underarm, sleeve/overarm: 4 lengthwise"},
		"six gores with one name at both sides":  {[]string{upright("gore", `data-cut="6"`, 0, "side gore/side", "side gore/side")}, map[string]float64{"gore/side": 4. / 12}, "gore/side: 12 lengthwise"},
		"six gores on the fold":                  {[]string{upright("gore", `data-cut="6"`, 0, "fold", "side gore/side")}, map[string]float64{"gore/side": 4. / 12}, "gore/side: 12 lengthwise"},
		"six mirrored gores":                     {[]string{upright("gore", `data-cut="6" data-mirrored="yes"`, 0, "side gore/side", "side gore/side")}, map[string]float64{"gore/side": 4. / 12}, "gore/side: 12 lengthwise"},
		"a skirt of quarters":                    {[]string{upright("quarter", `data-cut="4" data-mirrored="yes"`, 0, "centre quarter/centre", "side quarter/side")}, map[string]float64{"quarter/side": .5, "quarter/centre": .5}, "quarter/side, quarter/centre: 8 lengthwise"},
		"two panels with one name at both sides": {[]string{upright("panel", `data-cut="2"`, 0, "side panel/side", "side panel/side")}, map[string]float64{"panel/side": 1}, ""},
		"a skirt on the fold, sewn at the back":  {[]string{upright("skirt", "", 0, "fold", "back skirt/back")}, map[string]float64{"skirt/back": 1}, ""},
		"sleeveless": {[]string{upright("sleeveless-front", "", 0, "fold", "side sleeveless-back/side"), upright("sleeveless-back", "", 300, "fold", "side sleeveless-front/side")},
			map[string]float64{"sleeveless-front/side": 1, "sleeveless-back/side": 1}, ""},
		"a cape": {[]string{upright("front", "", 0, "fold", "cape-side back/cape-side"), upright("back", "", 300, "fold", "cape-side front/cape-side")},
			map[string]float64{"front/cape-side": 1, "back/cape-side": 1}, ""},
		"undersleeves": {[]string{upright("topsleeves", twice, 0, "a undersleeves/b", "b undersleeves/a"), upright("undersleeves", twice, 300, "a topsleeves/b", "b topsleeves/a")}, map[string]float64{"topsleeves/a": .5, "undersleeves/b": .5}, "12 mm in all"},
		"six gores":    {[]string{upright("gore", `data-cut="6"`, 0, "a gore/b", "b gore/a")}, map[string]float64{"gore/a": 4. / 12, "gore/b": 4. / 12}, "gore/b, gore/a: 12 lengthwise"},
		"trousers, four round a leg and eight round the hips": {[]string{trousers("front", "back", 100), trousers("back", "front", 500)},
			map[string]float64{"front/outseam": .5, "back/crotch": .5, "front/inseam": 1, "back/inseam": 1}, "front/outseam, front/crotch, back/outseam, back/crotch: 8 lengthwise edges go round there, so each of these goes out by 3 mm and not by 6 mm, 24 mm in all"},
		"trousers whose crotch is lower behind": {[]string{strings.ReplaceAll(trousers("front", "back", 100), "-20,200", "-20,230"), strings.ReplaceAll(trousers("back", "front", 500), "-20,200", "-20,236")},
			map[string]float64{"front/outseam": .5, "back/outseam": .5}, "front/outseam, front/crotch, back/outseam, back/crotch: 8 lengthwise edges go round there"},
	} {
		t.Run(name, func(t *testing.T) {
			pieces := read(t, pattern(c.groups...))
			blocks, err := blocksOf(pieces)
			require.NoError(t, err)
			for _, b := range blocks {
				for i := range b.edges {
					e := &b.edges[i]
					if want, ok := c.shares[piece.Ref{Piece: b.p.Name, Edge: e.Name}.String()]; ok {
						assert.InDelta(t, want, e.share, 1e-9, "%s/%s", b.p.Name, e.Name)
						delete(c.shares, piece.Ref{Piece: b.p.Name, Edge: e.Name}.String())
					}
				}
			}
			assert.Empty(t, c.shares)
			l, err := Make(pieces, "p.svg", Options{EaseMM: 6})
			require.NoError(t, err)
			assert.Contains(t, strings.Join(l.Notes, "\n"), c.noted)
			assert.Equal(t, c.noted != "", strings.Contains(strings.Join(l.Notes, "\n"), "go round there"))
			equal(t, l.Pieces)
		})
	}
	// Of rectangles the width is the area by the length.
	groups := []string{upright("front", "", 0, "fold", "side back/side"), upright("back", twice, 300, "side front/side", "centre-back back/centre-back")}
	pieces := read(t, pattern(groups...))
	l, err := Make(pieces, "p.svg", Options{EaseMM: 6})
	require.NoError(t, err)
	wider := 0.0
	for k, p := range l.Pieces {
		wider += float64(p.Count) * (area(p) - area(pieces[k])) / 300
	}
	assert.InDelta(t, 24, wider, 0.01)
}

// Where a godet begins below, an edge that reaches past it has the share that is due to it
// there: above, where the others have more, nothing is said of how much it is in all.
func TestUnevenSharesAreTold(t *testing.T) {
	part := func(id, facts string, x int, outline, edges string) string {
		return fmt.Sprintf(`<g id=%q %s transform="translate(%d,0)"><path class="seam" d=%q/><path class="grain" d="M 60,340 V 390"/>%s</g>`, id, facts, x, outline, edges)
	}
	pieces := read(t, pattern(
		part("front", "", 0, "M 0,0 H 200 V 600 H 0 Z", `<path class="fold" d="M 0,600 V 0"/><path class="edge side-upper" data-joins="back/side-upper" d="M 200,0 V 300"/><path class="edge side-lower" data-joins="godet/a" d="M 200,300 V 600"/>`),
		part("back", twice, 300, "M 0,0 H 200 V 600 H 0 Z", `<path class="edge side-upper" data-joins="front/side-upper" d="M 0,300 V 0"/><path class="edge side-lower" data-joins="godet/b" d="M 0,600 V 300"/><path class="edge centre-back" data-joins="back/centre-back" d="M 200,0 V 600"/>`),
		part("godet", twice, 600, "M 0,300 H 120 V 600 H 0 Z", `<path class="edge a" data-joins="front/side-lower" d="M 0,600 V 300"/><path class="edge b" data-joins="back/side-lower" d="M 120,300 V 600"/>`)))
	l, err := Make(pieces, "p.svg", Options{EaseMM: 6})
	require.NoError(t, err)
	// 6 mm at 4 edges, by the rule of the package, are 24 mm at 6 and at 10.
	assert.Contains(t, l.Notes, "front/side-upper, back/side-upper: 6 lengthwise edges go round there, so each of these goes out by 4 mm and not by 6 mm")
	assert.Contains(t, l.Notes, "front/side-lower, back/centre-back, back/side-lower, godet/b, godet/a: 10 lengthwise edges go round there, so each of these goes out by 2.4 mm and not by 6 mm, 24 mm in all")
}
