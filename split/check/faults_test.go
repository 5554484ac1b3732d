package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"eke/piece/race"
	"eke/split/plan"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// In garment's parts.
const (
	frontUpper = iota
	frontLower
	backLeft
	backRight
	sleeve1
	sleeve2
	facing
)

// broken is a plan that was right and one thing done to it. The proof must
// find that thing and blame nothing else.
type broken struct {
	name  string
	do    func(d *plan.Document, o *plan.Option)
	rules []Rule
}

func shift(p *plan.Part, dx, dy float64) { p.Placement[4] += dx; p.Placement[5] += dy }

// slide moves points of an outline.
func slide(ring []point, dx, dy float64, which func(point) bool) {
	for i, q := range ring {
		if which(q) {
			ring[i] = point{q[0] + dx, q[1] + dy}
		}
	}
}

// pathOf is a ring as closed path data.
func pathOf(ring []point) string {
	d := "M"
	for _, q := range append(ring[:len(ring):len(ring)], ring[0]) {
		d += fmt.Sprintf("%v,%v ", q[0], q[1])
	}
	return strings.TrimSpace(d)
}

// rename gives a scrap another name, wherever it stands.
func rename(d *plan.Document, o *plan.Option, scrap int, name string) {
	for i := range o.Parts {
		if o.Parts[i].Scrap == d.Scraps[scrap].Name {
			o.Parts[i].Scrap = name
		}
	}
	d.Scraps[scrap].Name = name
}

func everywhere(point) bool { return true }

func only(rules ...Rule) []Rule { return rules }

var faults = []broken{
	// On the scrap.
	{"overhang", func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[facing], -10.1, 0) }, only(Overhang)},
	{"off the scrap altogether", func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[facing], 1000, 0) }, only(Overhang)},
	{"the crook of the scrap in the part", func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[facing], 0, 15.2) }, only(Overhang)},
	{"a hole in the part", func(d *plan.Document, _ *plan.Option) {
		d.Scraps[0].Holes[0] = []point{{200, 150}, {202, 150}, {201, 152}}
	}, only(Hole)},
	{"a slit through the part", func(d *plan.Document, _ *plan.Option) {
		d.Scraps[0].Holes[0] = []point{{1, 150}, {469, 150}, {469, 150.01}, {1, 150.01}}
	}, only(Hole)},
	{"the part in a hole", func(d *plan.Document, _ *plan.Option) {
		d.Scraps[0].Holes[0] = []point{{1, 1}, {469, 1}, {469, 399}, {1, 399}}
	}, only(Hole)},
	{"the edge of a hole overlapped", func(d *plan.Document, _ *plan.Option) {
		slide(d.Scraps[0].Holes[0], 0, 60, everywhere)
	}, only(Hole)},
	{"parts overlap on the scrap", func(_ *plan.Document, o *plan.Option) { shift(&o.Parts[sleeve2], -14, 0) }, only(Gap)},
	{"one part on top of another", func(_ *plan.Document, o *plan.Option) {
		o.Parts[sleeve1].Placement = turned(180, 290, 170)
		shift(&o.Parts[sleeve1], 0, 0)
	}, only(Gap)},
	{"gap too small", func(d *plan.Document, _ *plan.Option) { d.GapMM = 10.1 }, only(Gap)},
	{"parts overlap and no gap is asked", func(d *plan.Document, o *plan.Option) { d.GapMM = 0; shift(&o.Parts[sleeve2], -10.1, 0) }, only(Gap)},
	{"on cloth that is gone", func(_ *plan.Document, o *plan.Option) {
		o.Spoilt = []plan.Part{o.Parts[sleeve2]}
		shift(&o.Spoilt[0], 0.5, 0)
	}, only(Spoilt)},
	{"beside cloth that is gone", func(d *plan.Document, o *plan.Option) {
		o.Spoilt = []plan.Part{o.Parts[sleeve2]}
		o.Spoilt[0].Scrap, o.Spoilt[0].ScrapCopy = o.Parts[facing].Scrap, o.Parts[facing].ScrapCopy
		o.Spoilt[0].CutLine, o.Spoilt[0].Placement = o.Parts[facing].CutLine, o.Parts[facing].Placement
		box := extentOf(o.Parts[facing].CutLine)
		shift(&o.Spoilt[0], box[1][0]-box[0][0]+d.GapMM-0.1, 0)
	}, only(Spoilt)},
	{"spoilt on no scrap", func(_ *plan.Document, o *plan.Option) {
		o.Spoilt = []plan.Part{{Name: "x", Scrap: "nowhere", ScrapCopy: 1}}
	}, only(Names)},
	{"saved of what is not spoilt", func(d *plan.Document, _ *plan.Option) {
		saved := d.Scraps[4]
		saved.Name, saved.SavedOf = "saved", "x"
		d.Scraps = append(d.Scraps, saved)
	}, only(Spoilt)},
	{"more saved than there was", func(d *plan.Document, o *plan.Option) {
		gone := o.Parts[facing]
		gone.Name = "x"
		gone.Placement = turned(0, -1e4, 0)
		o.Spoilt = []plan.Part{gone}
		saved := d.Scraps[4]
		saved.Name, saved.SavedOf, saved.Outline, saved.Holes = "saved", "x", rectangle(900, 900), nil
		d.Scraps = append(d.Scraps, saved)
	}, only(Spoilt)},

	// The cloth.
	{"wrong grain", func(d *plan.Document, _ *plan.Option) { d.Scraps[4].GrainDeg = 92.1 }, only(Grain)},
	{"part turned off the grain", func(d *plan.Document, o *plan.Option) {
		d.Scraps[4].Outline = []point{{-500, -500}, {500, -500}, {500, 500}, {-500, 500}}
		o.Parts[facing].Placement = turned(90, 0, 0)
	}, only(Grain)},
	{"against the nap", func(d *plan.Document, _ *plan.Option) { d.Scraps[2].Nap = true }, only(Grain)},
	{"grain drawn otherwise than the piece's", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].GrainDeg = 0 }, only(Grain)},
	{"turned over on cloth with a right side", func(d *plan.Document, _ *plan.Option) { d.Scraps[3].Face = "one" }, only(Face)},
	{"wrong fabric", func(d *plan.Document, _ *plan.Option) { d.Scraps[1].Fabric = "plaid" }, only(Fabric)},
	{"no fabric where one is asked", func(d *plan.Document, o *plan.Option) {
		d.Scraps[2].Fabric = ""
		rename(d, o, 2, "oddment")
	}, only(Fabric, Fabric)},
	{"a fabric that is not its name's", func(d *plan.Document, o *plan.Option) {
		d.Scraps[2].Fabric = "plaid"
		rename(d, o, 2, "cream plaid")
	}, only(Fabric, Fabric)},
	{"a fabric that is but part of a word of its name", func(d *plan.Document, o *plan.Option) {
		d.Scraps[2].Fabric = ""
		rename(d, o, 2, "creamy")
	}, only(Fabric, Fabric)},
	{"another kind than the piece is to be", func(d *plan.Document, _ *plan.Option) {
		d.Pieces[0].Kind, d.Scraps[0].Kind, d.Scraps[1].Kind = "knit", "woven", "woven"
	}, only(Kind, Kind)},
	{"another look", func(_ *plan.Document, o *plan.Option) { o.Parts[0].Look = "tweed" }, only(Look)},
	{"two looks where one is wished", func(_ *plan.Document, o *plan.Option) {
		o.Wishes = []plan.Wish{{Text: "Front like back", Kept: true}}
	}, only(Wish)},
	{"one look where two are wished", func(_ *plan.Document, o *plan.Option) {
		o.Wishes = []plan.Wish{{Text: "back unlike back", Kept: true}}
	}, only(Wish)},
	{"a look kept for another piece", func(_ *plan.Document, o *plan.Option) {
		o.Wishes = []plan.Wish{{Text: "navy only for belt, back", Kept: true}}
	}, only(Wish)},
	{"no block is there", func(_ *plan.Document, o *plan.Option) {
		o.Wishes = []plan.Wish{{Text: "back upper navy, lower cream", Kept: true}}
	}, only(Wish)},
	{"a wish that is not kept", func(_ *plan.Document, o *plan.Option) {
		o.Wishes = []plan.Wish{{Text: "front like back"}, {Text: "prefer front like back"}}
	}, only(Wish)},
	{"kept for the lining", func(d *plan.Document, _ *plan.Option) { d.Scraps[0].Use = "lining" }, only(Use)},
	{"knit and woven in one piece", func(d *plan.Document, _ *plan.Option) {
		d.Scraps[0].Kind, d.Scraps[1].Kind = "knit", "woven"
	}, only(Kind)},
	{"knit and woven in one piece, a wish for it not kept", func(d *plan.Document, o *plan.Option) {
		d.Scraps[0].Kind, d.Scraps[1].Kind = "knit", "woven"
		o.Wishes = []plan.Wish{{Text: "mix kinds"}, {Text: "mix colours", Kept: true}}
	}, only(Kind)},
	{"stretched", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Placement[0] = 1.0001 }, only(Placement)},
	{"sheared", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Placement[2] = 0.0001 }, only(Placement)},

	// What is there.
	{"part used twice", func(d *plan.Document, o *plan.Option) {
		d.Scraps = append(d.Scraps, d.Scraps[4])
		d.Scraps[5].Copy = 2
		o.Parts = append(o.Parts, o.Parts[facing])
		o.Parts[len(o.Parts)-1].ScrapCopy = 2
	}, only(Names, Overlap, Length, SeamCount)},
	{"scrap copy that does not exist", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].ScrapCopy = 2 }, only(Names)},
	{"scrap listed twice", func(d *plan.Document, _ *plan.Option) { d.Scraps = append(d.Scraps, d.Scraps[4]) }, only(Names)},
	{"piece listed twice", func(d *plan.Document, _ *plan.Option) { d.Pieces = append(d.Pieces, d.Pieces[0]) }, only(Names)},
	{"part of no piece", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].Piece = "collar" }, only(Names, Missing)},
	{"piece copy left out", func(_ *plan.Document, o *plan.Option) {
		o.Parts = append(o.Parts[:sleeve1:sleeve1], o.Parts[sleeve2:]...)
	}, only(Missing)},
	{"not a number", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].CutLine[2][1] = math.NaN() }, only(Numbers)},
	{"infinite placement", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].Placement[4] = math.Inf(1) }, only(Numbers)},
	{"not a number in a scrap", func(d *plan.Document, _ *plan.Option) { d.Scraps[0].Holes[0][1][0] = math.NaN() }, only(Numbers)},
	{"not a number in path data", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].Edges[0].D = "M0,0 LNaN,0" }, only(Edges)},
	{"negative gap", func(d *plan.Document, _ *plan.Option) { d.GapMM = -1 }, only(Numbers)},
	{"seam line crosses itself", func(_ *plan.Document, o *plan.Option) {
		p := o.Parts[facing].SeamLine
		p[0], p[1] = p[1], p[0]
	}, only(Outline)},
	{"cutting line of two points", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].CutLine = o.Parts[facing].CutLine[:2] }, only(Outline)},

	// The parts make up the piece.
	{"missing sliver", func(_ *plan.Document, o *plan.Option) {
		slide(o.Parts[frontLower].SeamLine, 0, 0.06, func(q point) bool { return q[1] == 250 })
	}, only(Missing)},
	{"parts of a piece overlap", func(_ *plan.Document, o *plan.Option) {
		slide(o.Parts[frontLower].SeamLine, 0, -0.06, func(q point) bool { return q[1] == 250 })
	}, only(Overlap)},
	{"a part reaches out of its piece", func(_ *plan.Document, o *plan.Option) {
		slide(o.Parts[frontLower].SeamLine, 0, 0.06, func(q point) bool { return q[1] == 600 })
	}, only(Beyond)},
	{"a whole piece made smaller", func(_ *plan.Document, o *plan.Option) {
		slide(o.Parts[facing].SeamLine, 0.07, 0, func(q point) bool { return q[0] == 0 })
	}, only(Missing)},

	// Allowances.
	{"short allowance", func(_ *plan.Document, o *plan.Option) {
		slide(o.Parts[frontLower].CutLine, 0, -0.06, func(q point) bool { return q[1] > 620 })
	}, only(Allowance)},
	{"allowance cut off at a corner", func(_ *plan.Document, o *plan.Option) {
		slide(o.Parts[facing].CutLine, -7, -7, func(q point) bool { return q[0] > 205 && q[1] > 65 })
	}, only(Allowance, Allowance)},
	{"cutting line cuts into an edge without allowance", func(_ *plan.Document, o *plan.Option) {
		c := o.Parts[facing].CutLine
		for i, q := range c {
			if next := c[(i+1)%len(c)]; q[1] == 0 && next[1] == 0 {
				o.Parts[facing].CutLine = append(c[:i+1:i+1], append([]point{between(q, next, 0.4), {100, 2}, between(q, next, 0.6)}, c[i+1:]...)...)
				return
			}
		}
		panic("no such edge")
	}, only(Allowance)},
	{"cutting line within the part", func(_ *plan.Document, o *plan.Option) {
		o.Parts[facing].CutLine = []point{{10, 10}, {20, 10}, {20, 20}, {10, 20}}
	}, only(Allowance)},
	{"less allowance than the piece has", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Edges[2].AllowanceMM = 20 }, only(Allowance)},
	{"less allowance than the seam has", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Edges[0].AllowanceMM = 9 }, only(Allowance)},
	{"less allowance than the plan has", func(d *plan.Document, o *plan.Option) { o.PiecingSeams[1].AllowanceMM = 9 }, only(Allowance)},
	{"negative allowance", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].Edges[0].AllowanceMM = -1 }, only(Edges)},
	{"a cutting line drawn elsewhere", func(_ *plan.Document, o *plan.Option) {
		o.Parts[facing].CutD = pathOf(append([]point{{o.Parts[facing].CutLine[0][0] - 0.2, o.Parts[facing].CutLine[0][1] - 0.2}}, o.Parts[facing].CutLine[1:]...))
	}, only(Edges)},
	{"half of the cutting line not drawn", func(_ *plan.Document, o *plan.Option) {
		o.Parts[facing].CutD = pathOf(o.Parts[facing].CutLine[len(o.Parts[facing].CutLine)/2:])
	}, only(Edges)},
	{"a cutting line drawn open", func(_ *plan.Document, o *plan.Option) {
		o.Parts[facing].CutD = strings.TrimSuffix(pathOf(o.Parts[facing].CutLine), " "+strings.TrimPrefix(strings.Fields(pathOf(o.Parts[facing].CutLine))[0], "M"))
	}, only(Edges)},
	{"a cutting line that is no path", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].CutD = "round it" }, only(Edges)},
	{"edges apart", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].Edges[1] = edge("", 10, "M200,0.2 L200,60") }, only(Edges)},
	{"no edges", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].Edges = nil }, only(Edges)},
	{"edges off the seam line", func(_ *plan.Document, o *plan.Option) {
		o.Parts[facing].Edges[1] = edge("", 10, "M200,0 C200.4,20 200.4,40 200,60")
	}, only(Edges, SeamLine)},
	{"edge with another's name", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Edges[2].Name = "side" }, only(Edges)},
	{"edge of a seam passed off as the piece's", func(_ *plan.Document, o *plan.Option) {
		o.Parts[frontLower].Edges[0].Seam, o.Parts[frontLower].Edges[0].Name = "", "side"
	}, only(Edges, SeamLine, SeamLine, Length, LostNotch, NotchMate)},

	// Seams.
	{"seam count wrong", func(_ *plan.Document, o *plan.Option) { o.Seams = 1 }, only(SeamCount)},
	{"seam not listed", func(_ *plan.Document, o *plan.Option) {
		o.Seams, o.SeamLengthMM, o.PiecingSeams = 1, 400, o.PiecingSeams[:1]
	}, only(SeamCount, Length, SeamLine)},
	{"seams' length wrong", func(_ *plan.Document, o *plan.Option) { o.SeamLengthMM += 0.2 }, only(Length)},
	{"seam's length wrong", func(_ *plan.Document, o *plan.Option) { o.PiecingSeams[0].LengthMM += 0.3; o.SeamLengthMM += 0.3 }, only(Length)},
	{"edge's length wrong", func(_ *plan.Document, o *plan.Option) { o.Parts[facing].Edges[0].LengthMM = 199.8 }, only(Length)},
	{"seam too short for its parts", func(_ *plan.Document, o *plan.Option) {
		o.PiecingSeams[0].LengthMM, o.PiecingSeams[0].Line[1][0] = 390, 390
		o.SeamLengthMM -= 10
	}, only(Length, SeamLine)},
	{"seam elsewhere", func(_ *plan.Document, o *plan.Option) { slide(o.PiecingSeams[0].Line, 0, 0.2, everywhere) }, only(SeamLine)},
	{"seam of one part", func(_ *plan.Document, o *plan.Option) { o.PiecingSeams[0].Parts = o.PiecingSeams[0].Parts[:1] }, only(SeamLine, NotchMate)},
	{"seam of a part that is not there", func(_ *plan.Document, o *plan.Option) { o.PiecingSeams[0].Parts[1] = "back-left" }, only(Names, SeamLine, NotchMate)},
	{"two seams of one name", func(_ *plan.Document, o *plan.Option) {
		o.PiecingSeams = append(o.PiecingSeams, o.PiecingSeams[0])
		o.Seams++
	}, only(Names)},

	// Notches.
	{"lost notch", func(_ *plan.Document, o *plan.Option) {
		o.Parts[frontUpper].Notches = o.Parts[frontUpper].Notches[1:]
	}, only(LostNotch)},
	{"double notch made single", func(_ *plan.Document, o *plan.Option) { o.Parts[frontUpper].Notches[1].Count = 1 }, only(LostNotch)},
	{"notch moved", func(_ *plan.Document, o *plan.Option) { o.Parts[frontUpper].Notches[1].At[1] += 0.2 }, only(LostNotch)},
	{"notch made up", func(_ *plan.Document, o *plan.Option) {
		o.Parts[facing].Notches = append(o.Parts[facing].Notches, notch(100, 0, "", 1, 0, -1))
	}, only(LostNotch)},
	{"notch off the seam line", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Notches[0].At[1] -= 5 }, only(NotchPlace, LostNotch)},
	{"notch points into the part", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Notches[0].Toward[1] = -1 }, only(NotchPlace)},
	{"notch without direction", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Notches[0].Toward = point{} }, only(NotchPlace)},
	{"notch of no marks", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Notches[1].Count = 0 }, only(NotchPlace, NotchMate)},
	{"notch mate displaced", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Notches[1].At[0] += 0.2 }, only(NotchMate)},
	{"notch mate missing", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Notches = o.Parts[frontLower].Notches[:2] }, only(NotchMate)},
	{"notch mate of another count", func(_ *plan.Document, o *plan.Option) { o.Parts[frontLower].Notches[1].Count = 2 }, only(NotchMate)},
	{"notches listed elsewhere along the seam", func(_ *plan.Document, o *plan.Option) { o.PiecingSeams[0].NotchesMM[1] = 280 }, only(NotchMate)},
	{"symmetric notches", func(_ *plan.Document, o *plan.Option) {
		for _, n := range []*plan.Notch{&o.Parts[frontUpper].Notches[3], &o.Parts[frontLower].Notches[2]} {
			n.At[0], n.Count = 280.5, 1
		}
		o.PiecingSeams[0].NotchesMM[1] = 280.5
	}, only(NotchTells, NotchTells)},
	{"seam without notches", func(_ *plan.Document, o *plan.Option) {
		o.Parts[backLeft].Notches, o.Parts[backRight].Notches, o.PiecingSeams[1].NotchesMM = nil, nil, nil
	}, only(NotchTells, NotchTells)},

	{"cost does not add up", func(_ *plan.Document, o *plan.Option) { o.Intrusion += 0.1 }, only(Cost)},
}

func TestPlantedFaultsAreCaught(t *testing.T) {
	race.SkipAlone(t)
	for _, b := range faults {
		t.Run(b.name, func(t *testing.T) {
			d := garment(t)
			b.do(d, &d.Options[0])
			holdTo(t, b.rules, Document(d))
		})
	}
}

// holdTo requires faults of exactly these rules, once or more.
func holdTo(t *testing.T, want []Rule, got []Fault) {
	t.Helper()
	require.NotEmpty(t, got, "the fault was not caught")
	var rules []Rule
	for _, f := range got {
		rules = append(rules, f.Rule)
		assert.NotEmpty(t, f.Detail)
	}
	assert.Subset(t, want, rules, "blamed for something else: %v", got)
	assert.Subset(t, rules, want, "not blamed for it: %v", got)
}

// The sliver that a cut leaves is the same to the maker wherever it comes
// from: here the yoke runs 7 mm above the hem.
func TestSliverIsRefused(t *testing.T) {
	for _, c := range []struct {
		name string
		low  float64
		want []Rule
	}{{"7 mm", 593, only(Sliver)}, {"9 mm", 591, nil}} {
		t.Run(c.name, func(t *testing.T) {
			got := Document(yokeAt(t, c.low))
			assert.ElementsMatch(t, c.want, rulesOf(got), "%v", got)
		})
	}
}

func TestPartsHeldByAThreadAreRefused(t *testing.T) {
	d := garment(t)
	o := &d.Options[0]
	// A dumb-bell for a part: two squares and a neck of half a millimetre.
	ring := []point{{0, 0}, {50, 0}, {50, 24}, {60, 24}, {60, 0}, {100, 0}, {100, 50}, {60, 50}, {60, 24.5}, {50, 24.5}, {50, 50}, {0, 50}}
	o.Parts[backLeft].SeamLine = ring
	assert.Contains(t, rulesOf(Document(d)), Sliver)
}

func rulesOf(faults []Fault) []Rule {
	var out []Rule
	for _, f := range faults {
		out = append(out, f.Rule)
	}
	return out
}

func TestMovedSeamFaultsAreCaught(t *testing.T) {
	for _, b := range []broken{
		{"lengths said to differ", func(_ *plan.Document, o *plan.Option) { o.MovedSeams[0].ToLengthMM = 100.2 }, only(Moved)},
		{"lengths said are not those of the edges", func(_ *plan.Document, o *plan.Option) {
			o.MovedSeams[0].FromLengthMM, o.MovedSeams[0].ToLengthMM = 110, 110
		}, only(Moved)},
		{"no outline given", func(_ *plan.Document, o *plan.Option) { o.Moved = o.Moved[:1] }, only(Moved, Beyond, SeamLine, Edges, LostNotch, Length)},
		{"outline given twice", func(_ *plan.Document, o *plan.Option) { o.Moved = append(o.Moved, o.Moved[0]) }, only(Names)},
		{"outline of no piece", func(_ *plan.Document, o *plan.Option) { o.Moved[0].Piece = "collar" }, only(Names, Moved, Missing, Edges, LostNotch, Length)},
		{"edge of no part", func(_ *plan.Document, o *plan.Option) { o.MovedSeams[0].Join = "front/yoke back/shoulder" }, only(Moved)},
		{"strip given to nobody", func(_ *plan.Document, o *plan.Option) {
			slide(o.Moved[1].SeamLine, 0, 2, func(q point) bool { return q[1] == -30 })
		}, only(Moved, Beyond, SeamLine, Length)},
		{"area not kept", func(_ *plan.Document, o *plan.Option) {
			lower := func(q point) bool { return q[1] == 300 }
			slide(o.Moved[0].SeamLine, 0, -1, lower)
			o.Parts[0].Edges = []plan.Edge{
				o.Parts[0].Edges[0], edge("armhole", 10, "M100,30 L100,299"), edge("hem", 10, "M100,299 L0,299"), edge("neck", 10, "M0,299 L0,30"),
			}
			slide(o.Parts[0].SeamLine, 0, -1, lower)
		}, only(Moved)},
		{"moved edges of unequal length", func(_ *plan.Document, o *plan.Option) {
			p := &o.Parts[1]
			p.Edges[0], p.Edges[1] = edge("shoulder", 10, "M0,-30 L102,-30"), edge("armhole", 10, "M102,-30 L100,0")
			p.Edges[1].From = "front"
			p.SeamLine = seamLine(p.Edges)
			p.CutLine = cutLine(t, p.Edges)
			o.Moved[1].SeamLine = p.SeamLine
			o.MovedSeams[0].FromLengthMM, o.MovedSeams[0].ToLengthMM = 101, 101
		}, only(Moved)},
		{"notch on the strip lost", func(_ *plan.Document, o *plan.Option) { o.Parts[1].Notches = o.Parts[1].Notches[:1] }, only(LostNotch)},
		{"notch beside the strip lost", func(_ *plan.Document, o *plan.Option) { o.Parts[0].Notches = o.Parts[0].Notches[:1] }, only(LostNotch)},
		{"notches on the moved edges apart", func(_ *plan.Document, o *plan.Option) { o.Parts[1].Notches[0].At[0] = 60.5 }, only(Moved)},
		{"short allowance on the strip", func(_ *plan.Document, o *plan.Option) { o.Parts[1].Edges[5].AllowanceMM = 5 }, only(Allowance)},
	} {
		t.Run(b.name, func(t *testing.T) {
			d := shoulders(t)
			b.do(d, &d.Options[0])
			holdTo(t, b.rules, Document(d))
		})
	}
}

// The overlays of this part and its piece, whose corners differ in the last
// digit, come out wrong in two libraries: the part is found to lie wholly
// outside its piece. It does not.
func TestCornersThatDifferInTheLastDigit(t *testing.T) {
	piece, err := newRegion([]point{{-57.693538490695346, -339.29893709733676}, {222.95871147506352, -716.5370734374574}, {631.0435342260203, -406.10346285702917}, {-70.32085001205068, -62.03514841904715}})
	require.NoError(t, err)
	part, err := newRegion([]point{{49.615883885141145, -483.53867333224787}, {222.95871147506352, -716.5370734374574}, {427.00112285054183, -561.3202681472433}, {251.18721062981172, -330.2016432290163}})
	require.NoError(t, err)
	out, err := geom.Difference(part.geom, piece.geom)
	require.NoError(t, err)
	require.Less(t, out.Area(), 1.0)
	both, err := geom.Intersection(part.geom, piece.geom)
	require.NoError(t, err)
	require.InDelta(t, part.area, both.Area(), 1)
}

// What an overlay finds counts only where the outlines say so too; otherwise
// it is asked again, turned, and believed when it agrees.
func TestOverlaysAreNotTakenAtTheirWord(t *testing.T) {
	square := func(x float64) geom.Geometry {
		return simple([]point{{x, 0}, {x + 10, 0}, {x + 10, 10}, {x, 10}}).AsGeometry()
	}
	inside := func(x float64) func(point) bool {
		return func(q point) bool { return q[0] > x && q[0] < x+10 && q[1] > 0 && q[1] < 10 }
	}
	asked := 0
	lies := func(times int, truth geom.Geometry) func(turn) (geom.Geometry, error) {
		asked = 0
		return func(t turn) (geom.Geometry, error) {
			if asked++; asked <= times {
				return t.of(square(100)), nil
			}
			return t.of(truth), nil
		}
	}
	at, area, wide, err := wideIn(lies(0, square(30)), inside(30))
	require.NoError(t, err)
	require.True(t, wide)
	require.InDelta(t, 100, area, 1e-4)
	require.True(t, inside(30)(at))

	at, _, wide, err = wideIn(lies(3, square(30)), inside(30))
	require.NoError(t, err)
	require.True(t, wide && inside(30)(at), "%v", at)
	require.Equal(t, 4, asked)

	_, _, wide, err = wideIn(lies(1, geom.Geometry{}), inside(30))
	require.NoError(t, err)
	require.False(t, wide)

	_, _, _, err = wideIn(lies(9, geom.Geometry{}), inside(30))
	require.ErrorIs(t, err, errContradicts)
}

// extentOf is the least and the greatest corner of a ring.
func extentOf(ring []point) (box [2]point) {
	box = [2]point{ring[0], ring[0]}
	for _, q := range ring {
		for k := range q {
			box[0][k], box[1][k] = math.Min(box[0][k], q[k]), math.Max(box[1][k], q[k])
		}
	}
	return box
}
