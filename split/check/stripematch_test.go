package check

import (
	"strings"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// stripedShirt is a front in two parts and a back that is sewn to it at both sides,
// from striped cloth: its stripes, 30 mm from one to the next, run 10 mm below the
// tops of the pieces, and on. One scrap's grain is turned, one part lies upside
// down, and one cloth has its stripes half as far apart.
func stripedShirt(t testing.TB) *plan.Document {
	d := &plan.Document{Format: plan.Format, Settings: plan.Settings{GapMM: 3, AllowanceMM: 10}}
	side := func(e plan.Edge, to string) plan.Edge {
		e.Joins = []string{to}
		return e
	}
	body := func(to string) []plan.Edge {
		return []plan.Edge{edge("neck", 10, "M 0,0 L 200,0"), side(edge("side", 10, "M 200,0 L 200,400"), to), edge("hem", 10, "M 200,400 L 0,400"), side(edge("side", 10, "M 0,400 L 0,0"), to)}
	}
	upper := []plan.Edge{edge("neck", 10, "M 0,0 L 200,0"), edge("side", 10, "M 200,0 L 200,205"), sewn("A", "M 200,205 L 0,205"), edge("side", 10, "M 0,205 L 0,0")}
	lower := []plan.Edge{sewn("A", "M 0,205 L 200,205"), edge("side", 10, "M 200,205 L 200,400"), edge("hem", 10, "M 200,400 L 0,400"), edge("side", 10, "M 0,400 L 0,205")}
	d.Pieces = []plan.Piece{pieceOf("front", 1, "", body("back/side")), pieceOf("back", 1, "", body("front/side"))}
	cloth := func(name string, outline []point, grain, repeat, first float64) plan.Scrap {
		return plan.Scrap{Name: name, Copy: 1, Outline: outline, GrainDeg: grain, Face: "one", StripeMM: repeat, FirstMM: first, StripeRuns: "across"}
	}
	d.Scraps = []plan.Scrap{
		cloth("a", rectangle(300, 300), 90, 30, 30),
		cloth("b", rectangle(300, 300), 0, 15, 13),
		cloth("c", rectangle(300, 500), 270, 30, 15),
		{Name: "plain", Copy: 1, Outline: rectangle(300, 500), GrainDeg: 90, Face: "one"},
	}
	d.Options = []plan.Option{{
		Rank: 1, Seams: 1,
		Parts: []plan.Part{
			partOf(t, "front-upper", "front", 1, "a", 1, turned(0, 50, 50), upper),
			// The grain of b runs to the right: down the piece is right, and x = y + 3.
			partOf(t, "front-lower", "front", 1, "b", 1, turned(-90, 3-120, 250), lower),
			// Upside down: y' = 445 - y, and 435 is 15 mm and a few repeats below the top.
			partOf(t, "back", "back", 1, "c", 1, turned(180, 250, 445), body("front/side")),
		},
		PiecingSeams: []plan.PiecingSeam{{Name: "A", Kind: "yoke", Piece: "front", Copy: 1, Line: []point{{0, 205}, {200, 205}}, LengthMM: 200, Parts: []string{"front-upper", "front-lower"}}},
		Wishes:       []plan.Wish{{Text: "match stripes", Kept: true}},
		StripeMatch: &plan.StripeMatch{
			Runs: "across", RepeatMM: 30, Through: []string{"A"},
			Seams: []plan.StripeSeam{
				{Edges: [2]string{"front/side", "back/side"}, Copies: [2]int{1, 1}, At: [2]plan.Point{{200, 400}, {0, 400}}, LengthMM: 400, HoldsMM: 400, Meet: true},
				{Edges: [2]string{"front/side", "back/side"}, Copies: [2]int{1, 1}, At: [2]plan.Point{{0, 400}, {200, 400}}, LengthMM: 400, HoldsMM: 400, Meet: true},
			},
		},
	}}
	return d
}

func TestStripesThatMeetAreProved(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(d *plan.Document, o *plan.Option)
		want   string // what the fault says; empty for none
	}{
		"as it is":                    {func(*plan.Document, *plan.Option) {}, ""},
		"a part moved by a repeat":    {func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[0], 0, 30) }, ""},
		"along its stripes":           {func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[1], 0, 7) }, ""},
		"a part moved":                {func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[2], 0, 3) }, "the stripes are said to be 0.00 mm off, and are 3.00"},
		"one at a piecing seam":       {func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[0], 0, 3) }, "where they are 0.00 mm off, and do for 194"},
		"a little, at a piecing seam": {func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[0], 0, 1.5) }, "are said to be 0.00 mm off across piecing seams at most, and are 1.50"},
		"a part turned by a degree":   {func(_ *plan.Document, o *plan.Option) { o.Parts[2].Placement = turned(181, 250, 445) }, "has no stripes that run across the grain"},
		"the cloth's stripes moved":   {func(d *plan.Document, _ *plan.Option) { d.Scraps[2].FirstMM = 10 }, "are 5.00"},
		"another repeat":              {func(d *plan.Document, _ *plan.Option) { d.Scraps[2].StripeMM = 31 }, "has no stripes that run across"},
		"stripes that run along":      {func(d *plan.Document, _ *plan.Option) { d.Scraps[2].StripeRuns = "along" }, "has no stripes that run across the grain"},
		"a part of plain cloth":       {func(_ *plan.Document, o *plan.Option) { o.Parts[2].Scrap = "plain" }, "has no stripes that run across the grain"},
		"a piece for plain cloth":     {func(d *plan.Document, o *plan.Option) { forPlain(d, o, false) }, ""},
		"one that may be striped":     {func(d *plan.Document, o *plan.Option) { forPlain(d, o, true) }, "has no such stripes"},
		"no stripes of its kind":      {func(d *plan.Document, o *plan.Option) { ofKinds(d, o, "knit", "knit", "knit") }, ""},
		"stripes of its kind":         {func(d *plan.Document, o *plan.Option) { ofKinds(d, o, "knit", "knit", "woven") }, "has no such stripes"},
		"stripes of no known kind":    {func(d *plan.Document, o *plan.Option) { ofKinds(d, o, "knit", "knit", "") }, "has no such stripes"},
		"a lining, plain cloth for it": {func(d *plan.Document, o *plan.Option) {
			plainBack(o)
			d.Pieces[1].Use, d.Scraps[3].Use = "lining", "lining"
		}, ""},
		"a lining, and stripes for it": {func(d *plan.Document, o *plan.Option) {
			plainBack(o)
			d.Pieces[1].Use, d.Scraps[2].Use, d.Scraps[3].Use = "lining", "lining", "lining"
		}, "has no such stripes"},
		"a lining, and no cloth for it": {func(d *plan.Document, o *plan.Option) {
			plainBack(o)
			d.Pieces[1].Use = "lining"
		}, "has no such stripes"},
		"stripes for the lining only": {func(d *plan.Document, o *plan.Option) {
			plainBack(o)
			d.Pieces[0].Use, d.Scraps[0].Use, d.Scraps[1].Use, d.Scraps[2].Use = "lining", "lining", "lining", "lining"
		}, ""},
		"stripes only for the front":      {func(d *plan.Document, o *plan.Option) { onlyFor(d, o, "Sailor only for Front") }, ""},
		"for the back too":                {func(d *plan.Document, o *plan.Option) { onlyFor(d, o, "sailor only for front, back") }, "has no such stripes"},
		"preferred only for the front":    {func(d *plan.Document, o *plan.Option) { onlyFor(d, o, "prefer sailor only for front") }, "has no such stripes"},
		"another look only for the front": {func(d *plan.Document, o *plan.Option) { onlyFor(d, o, "denim only for front") }, "has no such stripes"},
		"a stand":                         {func(d *plan.Document, o *plan.Option) { named(d, o, "stand") }, ""},
		"no stand":                        {func(d *plan.Document, o *plan.Option) { named(d, o, "standard") }, "nothing is told of that"},
		"plain, and nothing told":         {func(_ *plan.Document, o *plan.Option) { o.Parts[2].Scrap, o.StripeMatch.Seams = "plain", nil }, "has no such stripes"},
		"a seam not told of":              {func(_ *plan.Document, o *plan.Option) { o.StripeMatch.Seams = o.StripeMatch.Seams[:1] }, "nothing is told of that"},
		"one side told twice":             {func(_ *plan.Document, o *plan.Option) { o.StripeMatch.Seams[1] = o.StripeMatch.Seams[0] }, "nothing is told of that"},
		"nothing told":                    {func(_ *plan.Document, o *plan.Option) { o.StripeMatch = nil }, "nothing is told of stripes"},
		"no wish, nothing told":           {func(_ *plan.Document, o *plan.Option) { o.StripeMatch, o.Wishes = nil, nil }, ""},
		"a piecing seam not told of":      {func(_ *plan.Document, o *plan.Option) { o.StripeMatch.Through = nil }, "do through A"},
		"points that are no mates":        {func(_ *plan.Document, o *plan.Option) { o.StripeMatch.Seams[0].At[1][1] = 370 }, "are not sewn to each other"},
		"a point off the edge":            {func(_ *plan.Document, o *plan.Option) { o.StripeMatch.Seams[0].At[1][0] = 3 }, "is not on back/side"},
		"edges that are not joined": {func(_ *plan.Document, o *plan.Option) {
			o.StripeMatch.Seams[0].Edges[1], o.StripeMatch.Seams[0].At[1] = "back/hem", plan.Point{100, 400}
		}, "they are not sewn together"},
		"off, and said to meet":       {func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[2], 0, 3); o.StripeMatch.Seams[0].OffMM = 3 }, "they are said to meet"},
		"off at the side, and a wish": {func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[2], 0, 3); off(o, 3) }, "is said to be kept, and stripes are 3.0 mm off"},
		"off, and another wish":       {func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[2], 0, 3); off(o, 3); o.Wishes = nil }, ""},
		"a wish not kept":             {func(_ *plan.Document, o *plan.Option) { o.Wishes[0].Kept = false }, "is not kept"},
		"one that is preferred": {func(_ *plan.Document, o *plan.Option) {
			o.Wishes[0] = plan.Wish{Text: "prefer match stripes"}
			o.StripeMatch = nil
		}, ""},
		"a wish for an edge": {func(_ *plan.Document, o *plan.Option) { o.Wishes[0].Text = "match stripes at side" }, ""},
		"a wish for another edge": {func(_ *plan.Document, o *plan.Option) {
			o.Wishes[0].Text = "match stripes at hem"
			o.StripeMatch.Seams = nil
		}, "stripes meet at no seam"},
		"meeting for longer than so": {func(d *plan.Document, o *plan.Option) {
			// The back's side leans, so the seam's halves drift apart.
			for _, e := range []*plan.Edge{&d.Pieces[1].Edges[1], &d.Pieces[1].Edges[3]} {
				j := e.Joins
				*e = edge("side", 10, map[bool]string{true: "M 200,0 L 290,400", false: "M -90,400 L 0,0"}[e == &d.Pieces[1].Edges[1]])
				e.Joins = j
			}
			d.Pieces[1].Edges[2] = edge("hem", 10, "M 290,400 L -90,400")
			d.Pieces[1].SeamLine = seamLine(d.Pieces[1].Edges)
			o.Parts[2].SeamLine, o.Parts[2].Edges = d.Pieces[1].SeamLine, d.Pieces[1].Edges
			o.StripeMatch.Seams[0].At[1], o.StripeMatch.Seams[1].At[1] = plan.Point{-90, 400}, plan.Point{290, 400}
			d.Pieces[1].Edges[1].LengthMM, d.Pieces[1].Edges[3].LengthMM = 410, 410
			d.Pieces[0].Darts = [][3]plan.Point{{{200, 200}, {100, 205}, {200, 210}}}
		}, "they are said to meet for 400 mm"},
	} {
		t.Run(name, func(t *testing.T) {
			d := stripedShirt(t)
			c.change(d, &d.Options[0])
			var said []string
			for _, f := range Document(d) {
				if f.Rule == StripeMatch {
					said = append(said, f.Detail)
				}
			}
			if c.want == "" {
				require.Empty(t, said)
				return
			}
			require.NotEmpty(t, said)
			require.Contains(t, strings.Join(said, "\n"), c.want)
		})
	}
}

// forPlain cuts the back from plain cloth, and tells of nothing at its seams. It asks
// for that cloth, and the front for striped, and so does the back if it may.
func forPlain(d *plan.Document, o *plan.Option, may bool) {
	for i := range d.Scraps {
		d.Scraps[i].Fabric = "sailor"
	}
	d.Scraps[3].Fabric = "blue"
	d.Pieces[0].Fabric, d.Pieces[1].Fabric = "sailor", "blue"
	if may {
		d.Pieces[1].Fabric = "blue or sailor"
	}
	plainBack(o)
}

// plainBack cuts the back from plain cloth, and tells of nothing at its seams.
func plainBack(o *plan.Option) { o.Parts[2].Scrap, o.StripeMatch.Seams = "plain", nil }

// ofKinds cuts a back that is to be woven from plain cloth that is, beside stripes of
// some kinds.
func ofKinds(d *plan.Document, o *plan.Option, kinds ...string) {
	plainBack(o)
	d.Pieces[1].Kind, d.Scraps[3].Kind = "woven", "woven"
	for i, k := range kinds {
		d.Scraps[i].Kind = k
	}
}

// onlyFor cuts the back from plain cloth, by a wish about who may have the striped,
// which looks like sailor.
func onlyFor(d *plan.Document, o *plan.Option, text string) {
	plainBack(o)
	for i := range 3 {
		d.Scraps[i].Look = "sailor"
	}
	o.Wishes = append(o.Wishes, plan.Wish{Text: text, Kept: true})
}

// named gives the back another name, and tells of nothing at its seams.
func named(d *plan.Document, o *plan.Option, name string) {
	d.Pieces[1].Name, o.Parts[2].Piece, o.StripeMatch.Seams = name, name, nil
	for i := range d.Pieces[0].Edges {
		if e := &d.Pieces[0].Edges[i]; len(e.Joins) > 0 {
			e.Joins = []string{name + "/side"}
		}
	}
}

// off says that the stripes do not meet at the sides.
func off(o *plan.Option, mm float64) {
	for k := range o.StripeMatch.Seams {
		s := &o.StripeMatch.Seams[k]
		s.OffMM, s.Meet, s.HoldsMM = mm, false, 0
	}
}
