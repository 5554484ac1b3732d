package shortfall

import (
	"context"
	"os"
	"slices"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"
	"eke/split/wish"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// board is a rectangle; w and l are those of its cutting line.
func board(t testing.TB, name string, l, w float64, count int, fabrics ...string) *piece.Piece {
	p, err := piece.Make(piece.Draft{
		Name: name, File: "p.svg", AllowanceMM: 10, Bare: true,
		Outline: piece.DraftLine{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{w - 20, 0}, orb.Point{w - 20, l - 20}, orb.Point{0, l - 20}), Closed: true},
	})
	require.NoError(t, err)
	p.Count, p.Fabrics = count, fabrics
	return p
}

func offcut(name, fabric string, l, w float64, count int) piece.Scrap {
	return piece.Scrap{Name: name, Fabric: fabric, Outline: orb.Ring{{0, 0}, {w, 0}, {w, l}, {0, l}}, GrainDeg: 90, Count: count}
}

// told is what is missing, after a search that found nothing.
func told(t testing.TB, pieces []*piece.Piece, scraps []piece.Scrap, maxSeams int) *plan.Document {
	o := search.Options{MaxSeams: maxSeams, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 2, Seed: 1}
	res, err := search.Run(context.Background(), pieces, scraps, o)
	require.NoError(t, err)
	require.Empty(t, res.Plans)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	r := split.Record{Settings: o.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(scraps)}
	d := r.Document()
	require.NoError(t, Tell(ctx, d, pieces, scraps, o, res.Settled))
	require.Empty(t, check.Document(d))
	return d
}

func TestTell(t *testing.T) {
	body, band := board(t, "body", 600, 400, 2, "navy"), board(t, "band", 100, 300, 1, "rib")
	knit := func(s piece.Scrap) piece.Scrap { s.Kind = "knit"; return s }
	cloth := func(fabric, kind string, length, width float64) plan.Wanted {
		return plan.Wanted{Cloth: []plan.Rectangle{{Fabric: fabric, Kind: kind, LengthMM: length, WidthMM: width}}}
	}
	over := func(name string, copy int) plan.CopyOf { return plan.CopyOf{Piece: name, Copy: copy} }
	for _, tt := range []struct {
		name     string
		pieces   []*piece.Piece
		scraps   []piece.Scrap
		maxSeams int
		alone    bool            // each piece fits some scrap
		more     int             // seams that would do
		left     []plan.CopyOf   // by the partial plan
		want     [][]plan.Wanted // any of these
	}{
		{"one of two", []*piece.Piece{body, band}, []piece.Scrap{knit(offcut("a", "navy", 650, 420, 1)), offcut("r", "rib", 120, 310, 1)}, 0,
			true, 0, []plan.CopyOf{over("body", 2)}, [][]plan.Wanted{{cloth("navy", "knit", 600, 400)}}},
		{"a fabric that there is none of", []*piece.Piece{body, band}, []piece.Scrap{offcut("a", "navy", 650, 420, 2)}, 0,
			false, 0, []plan.CopyOf{over("band", 1)}, [][]plan.Wanted{{cloth("rib", "", 100, 300)}}},
		{"two fabrics, and only both do", []*piece.Piece{body, band}, []piece.Scrap{offcut("a", "navy", 650, 420, 1), offcut("r", "rib", 90, 310, 1)}, 0,
			false, 0, []plan.CopyOf{over("body", 2), over("band", 1)}, [][]plan.Wanted{{{Cloth: []plan.Rectangle{{Fabric: "navy", LengthMM: 600, WidthMM: 400}, {Fabric: "rib", LengthMM: 100, WidthMM: 300}}}}}},
		{"any fabric, either way up", []*piece.Piece{board(t, "patch", 200, 150, 3)}, []piece.Scrap{offcut("a", "navy", 200, 150, 1)}, 0,
			true, 0, []plan.CopyOf{over("patch", 2), over("patch", 3)}, [][]plan.Wanted{{cloth("", "", 410, 150)}, {cloth("", "", 200, 310)}}},
		{"a seam was not allowed", []*piece.Piece{board(t, "flag", 300, 220, 1)}, []piece.Scrap{offcut("a", "", 170, 225, 2)}, 0,
			false, 1, nil, [][]plan.Wanted{{cloth("", "", 300, 220)}}},
		{"nor would more do", []*piece.Piece{board(t, "flag", 300, 220, 1)}, []piece.Scrap{offcut("a", "", 100, 70, 1)}, 0,
			false, 0, nil, [][]plan.Wanted{{cloth("", "", 300, 220)}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := told(t, tt.pieces, tt.scraps, tt.maxSeams)
			require.Equal(t, tt.alone, d.FitAlone)
			require.Equal(t, tt.more > 0, d.MoreSeams != nil)
			if tt.more > 0 {
				require.Equal(t, tt.more, d.MoreSeams.Seams)
			}
			require.Equal(t, len(tt.left) > 0, d.Partial != nil)
			if len(tt.left) > 0 {
				require.Equal(t, tt.left, d.Partial.LeftOver)
			}
			require.Contains(t, tt.want, d.WouldDo)
			again := told(t, tt.pieces, tt.scraps, tt.maxSeams)
			require.Equal(t, d, again)
		})
	}
}

// Cloth that a plan does without is not looked for.
func TestNothingIsLookedForInVain(t *testing.T) {
	f, err := os.Open("../../samples/raglan-child.svg")
	require.NoError(t, err)
	defer f.Close()
	pieces, err := svg.Pattern(f, "raglan-child.svg")
	require.NoError(t, err)
	pieces = slices.DeleteFunc(pieces, func(p *piece.Piece) bool { return p.Name == "back" || p.Name == "sleeve" })
	d := told(t, pieces, []piece.Scrap{offcut("d", "denim", 600, 600, 1)}, 0)
	require.Len(t, d.WouldDo, 1)
	for _, r := range d.WouldDo[0].Cloth {
		require.Greater(t, min(r.LengthMM, r.WidthMM), 10.0, r.Fabric)
	}
}

// Cloth that pieces of several rows may come from is counted in each row, and
// once in the last.
func TestClothNeededAndHeld(t *testing.T) {
	pieces := []*piece.Piece{board(t, "front", 600, 400, 1, "Navy"), board(t, "sleeve", 200, 300, 2, "navy", "cream"), board(t, "patch", 100, 100, 1)}
	silk := offcut("d", "silk", 500, 100, 1)
	silk.Kind = "woven"
	rows := cloth(pieces, []piece.Scrap{offcut("a", "navy", 500, 400, 1), offcut("b", "cream", 300, 100, 2), silk}, search.Options{})
	navy, cream, rest := plan.Held{Fabric: "navy", AreaMM2: 200000}, plan.Held{Fabric: "cream", AreaMM2: 60000}, plan.Held{Fabric: "silk", Kind: "woven", AreaMM2: 50000}
	require.Equal(t, []plan.Cloth{
		{Pieces: []string{"front"}, Fabric: "navy", NeededMM2: 240000, HeldMM2: 200000, Held: []plan.Held{navy}},
		{Pieces: []string{"sleeve"}, Fabric: "navy or cream", NeededMM2: 120000, HeldMM2: 260000, Held: []plan.Held{navy, cream}},
		{Pieces: []string{"patch"}, NeededMM2: 10000, HeldMM2: 310000, Held: []plan.Held{navy, cream, rest}},
		{Pieces: []string{"front", "sleeve", "patch"}, All: true, NeededMM2: 370000, HeldMM2: 310000, Held: []plan.Held{navy, cream, rest}},
	}, rows)
}

// Where there is no time nothing is claimed but what areas say.
func TestNoTime(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	d := new(plan.Document)
	pieces, scraps := []*piece.Piece{board(t, "body", 600, 400, 2)}, []piece.Scrap{offcut("a", "", 650, 420, 1)}
	require.NoError(t, Tell(ctx, d, pieces, scraps, search.Options{}, false))
	require.Equal(t, []plan.Short{{Piece: "body", NotChecked: true}}, d.Short)
	require.False(t, d.FitAlone)
	require.Len(t, d.Cloth, 1)
	require.Nil(t, d.Partial)
	require.Nil(t, d.MoreSeams)
	require.Empty(t, d.WouldDo)
}

// Cloth that does whatever its kind is not listed once more as knit or woven,
// unless as such less of it does, or it saves a seam.
func TestWithoutSpecialCases(t *testing.T) {
	wanted := func(fabric, kind string, length float64, seams int) plan.Wanted {
		return plan.Wanted{Cloth: []plan.Rectangle{{Fabric: fabric, Kind: kind, LengthMM: length, WidthMM: 290}}, Seams: seams}
	}
	denim := wanted("denim", "", 620, 0)
	for name, w := range map[string]plan.Wanted{
		"another fabric": wanted("canvas", "woven", 620, 0),
		"less":           wanted("denim", "woven", 550, 0),
	} {
		require.Equal(t, []plan.Wanted{denim, w}, withoutSpecialCases([]plan.Wanted{denim, w}), name)
	}
	require.Equal(t, []plan.Wanted{denim}, withoutSpecialCases([]plan.Wanted{denim, wanted("Denim", "woven", 620, 0), wanted("denim", "knit", 630, 1)}))
	oneSeam, none := wanted("denim", "", 620, 1), wanted("denim", "woven", 620, 0)
	require.Equal(t, []plan.Wanted{none, oneSeam}, withoutSpecialCases([]plan.Wanted{none, oneSeam}))
	require.Empty(t, withoutSpecialCases(nil))
}

// Where there is no plan without a wish either, what is told is told without it, and
// that is said.
func TestToldWithoutTheWish(t *testing.T) {
	pieces, scraps := []*piece.Piece{board(t, "body", 600, 400, 2)}, []piece.Scrap{offcut("a", "navy", 650, 420, 1), offcut("b", "cream", 100, 100, 1)}
	o := search.Options{MaxSeams: 0, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 2, Seed: 1, Wishes: []wish.Wish{wish.Alike{Piece: "body"}}}
	res, err := search.Run(context.Background(), pieces, scraps, o)
	require.NoError(t, err)
	require.Empty(t, res.Plans)
	r := split.Record{Settings: o.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(scraps)}
	d := r.Document()
	require.NoError(t, Tell(context.Background(), d, pieces, scraps, o, res.Settled))
	require.Equal(t, []string{`what is missing, and what would do, is told without the wish "body alike"; with it more may be needed`}, d.Notes)
	require.NotEmpty(t, d.WouldDo)
	require.Equal(t, `what is missing, and what would do, is told without the wishes "body alike" and "mix kinds"; with them more may be needed`, withoutNote([]wish.Wish{wish.Alike{Piece: "body"}, wish.MixKinds{}}))
}

// What a plan for some of the pieces leaves of the cloth holds others, whole.
func TestFill(t *testing.T) {
	pieces := []*piece.Piece{board(t, "body", 600, 400, 1), board(t, "patch", 150, 100, 5)}
	scraps := []piece.Scrap{offcut("a", "", 620, 520, 1), offcut("b", "", 140, 95, 1)}
	o := search.Options{MaxSeams: 2, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 2, Seed: 1}
	q := &inquiry{doc: &plan.Document{Settings: o.Settings()}, copies: split.Copies(pieces), scraps: scraps, options: o}
	g := &growth{inquiry: q}
	require.True(t, g.add(context.Background(), q.copies[:1]))
	g.fill(context.Background())
	require.NoError(t, q.fault)
	require.Len(t, g.held, 5, "four patches lie beside the body, and one is left over")
	require.Empty(t, check.Document(g.plan))
	require.Len(t, g.plan.Options[0].Parts, 5)
	require.Zero(t, g.plan.Options[0].Seams)
}

// Pieces that share no cloth, through others either, are apart, those of few copies
// first. What there is no cloth for is apart too.
func TestByCloth(t *testing.T) {
	pieces := []*piece.Piece{board(t, "body", 600, 400, 2, "navy"), board(t, "yoke", 200, 200, 1, "navy", "cream"), board(t, "sleeve", 300, 200, 2, "cream"), board(t, "cuff", 100, 200, 2, "silk"), board(t, "band", 100, 300, 1, "rib")}
	scraps := []piece.Scrap{offcut("a", "navy", 650, 420, 1), offcut("r", "rib", 90, 310, 1), offcut("c", "cream", 300, 300, 1)}
	names := func(q *inquiry, copies []*piece.Piece) (out [][]string) {
		for _, kind := range q.byCloth(copies) {
			var one []string
			for _, p := range kind {
				one = append(one, p.Name)
			}
			out = append(out, one)
		}
		return out
	}
	q := &inquiry{scraps: scraps}
	require.Equal(t, [][]string{{"band"}, {"cuff", "cuff"}, {"body", "body", "yoke", "sleeve", "sleeve"}}, names(q, split.Copies(pieces)))
	q.scraps = append(q.scraps, offcut("cream silk", "", 300, 300, 1))
	require.Equal(t, [][]string{{"band"}, {"body", "body", "yoke", "sleeve", "sleeve", "cuff", "cuff"}}, names(q, split.Copies(pieces)))
}

// What one cloth is short of does not keep what is cut from another out of the plan
// for some of the pieces, and it is said which pieces cannot be cut together.
func TestOneClothFallsShort(t *testing.T) {
	d := told(t, []*piece.Piece{board(t, "body", 600, 400, 2, "navy"), board(t, "band", 100, 300, 1, "rib")},
		[]piece.Scrap{offcut("a", "navy", 650, 420, 1), offcut("r", "rib", 110, 200, 2)}, 1)
	require.Equal(t, []plan.CopyOf{{Piece: "body", Copy: 2}}, d.Partial.LeftOver)
	require.Equal(t, "each piece can be cut by itself, with a seam where the table says so, but no way was found to cut these together: body, from navy", d.Together())
	d.Pieces = append(d.Pieces, plan.Piece{Name: "bag", Copy: 1, Optional: true}, plan.Piece{Name: "collar", Copy: 1, Ready: true})
	require.Len(t, d.PartialPlan().Pieces, 2, "an optional piece is none of the plan's, and one that is cut already neither")
	d.Short[0].NotChecked = true
	require.Empty(t, d.Together())
}
