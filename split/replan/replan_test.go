package replan

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/race"
	"eke/piece/scraps"
	"eke/split"
	"eke/split/check"
	"eke/split/fit"
	"eke/split/plan"
	"eke/split/search"
	"eke/split/wish"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// A panel of 200 by 600 mm and a band of 300 by 60, sewn together.
const pattern = `<svg xmlns="http://www.w3.org/2000/svg" width="700mm" height="700mm" viewBox="0 0 700 700">
<g id="panel"><path class="seam" d="M0,0 H200 V600 H0 Z"/><path class="grain" d="M100,100 V500"/><path class="edge top" data-joins="band/lower" d="M0,0 H200"/></g>
<g id="band"><path class="seam" d="M300,0 H500 V60 H300 Z"/><path class="grain" d="M400,10 V50"/><path class="edge lower" data-joins="panel/top" d="M300,60 H500"/></g>
</svg>`

func pieces(t testing.TB) []*piece.Piece {
	t.Helper()
	out, err := svg.Pattern(strings.NewReader(pattern), "pattern.svg")
	require.NoError(t, err)
	return out
}

func pile(t require.TestingT, flags ...string) (out []piece.Scrap) {
	for _, f := range flags {
		s, err := scraps.ParseFlag(f)
		require.NoError(t, err)
		out = append(out, s)
	}
	return out
}

var options = search.Options{Keep: 2, MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1}

// planned is the plan of a pattern from a pile, as a file has it.
func planned(t testing.TB, ps []*piece.Piece, cloth []piece.Scrap) *plan.Document {
	t.Helper()
	res, err := search.Run(context.Background(), ps, cloth, options)
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	r := split.Record{Settings: options.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(cloth), Plans: res.Plans[:1]}
	return reread(t, r.Document())
}

func reread(t require.TestingT, d *plan.Document) *plan.Document {
	var b bytes.Buffer
	require.NoError(t, d.Write(&b))
	out, err := plan.Read(&b)
	require.NoError(t, err)
	require.Empty(t, check.Document(out))
	return out
}

// goOn is the best plan once parts are cut and spoilt.
func goOn(t testing.TB, d *plan.Document, cloth []piece.Scrap, cut, spoilt []string, saved ...Saved) *plan.Document {
	t.Helper()
	s, err := Start(d, 0, pieces(t), cloth)
	require.NoError(t, err)
	require.NoError(t, s.Mark(cut, spoilt, saved))
	found, err := s.Plans(context.Background(), options)
	require.NoError(t, err)
	require.NotEmpty(t, found)
	now := reread(t, found[0].Document())
	require.Empty(t, check.After(d, 0, now, 0))
	return now
}

func names(d *plan.Document) (out []string) {
	for _, p := range d.Options[0].Parts {
		out = append(out, p.Name+" from "+d.ScrapName(p.Scrap, p.ScrapCopy))
	}
	slices.Sort(out)
	return out
}

// What is left of a piece whose other part is cut is split anew: its seam to that
// stays, notches and all, and gets those that the new parts need to be told.
func TestARestIsSplitAnew(t *testing.T) {
	t.Parallel()
	cloth := pile(t, "first: 24 x 33 cm", "second: 24 x 34 cm", "left: 13 x 40 cm", "right: 14 x 40 cm", "end: 24 x 9 cm")
	d := planned(t, pieces(t), cloth)
	require.Equal(t, 1, d.Options[0].Seams)
	was := d.Options[0].PiecingSeams[0]
	now := goOn(t, d, cloth, []string{"panel-upper", "band"}, []string{"panel-lower"})
	o := now.Options[0]
	require.Equal(t, 2, o.Seams)
	k := slices.IndexFunc(o.PiecingSeams, func(s plan.PiecingSeam) bool { return s.Name == was.Name })
	require.Equal(t, was.Line, o.PiecingSeams[k].Line)
	require.Len(t, o.PiecingSeams[k].Parts, 3)
	require.Subset(t, o.PiecingSeams[k].NotchesMM, was.NotchesMM)
	require.Equal(t, "panel-lower", o.Spoilt[0].Name)
	changes := strings.Join(Changes(d, &d.Options[0], now, &o), "\n")
	require.Contains(t, changes, "panel-lower is spoilt")
	require.Contains(t, changes, "seam B is new: a ")
	if len(o.PiecingSeams[k].NotchesMM) > len(was.NotchesMM) {
		require.Contains(t, changes, "panel-upper is cut, and wants marks that it has not: seam A")
	}
	for _, c := range []string{"left", "right"} {
		require.True(t, slices.ContainsFunc(o.Parts, func(p plan.Part) bool { return p.Scrap == c }), "%v", names(now))
	}
	// And on from there.
	again := goOn(t, now, cloth, []string{"panel-lower-left"}, nil)
	require.Equal(t, names(now), names(again))
	require.Equal(t, []string{"nothing: every part that is not cut yet lies where it lay"}, Changes(now, &now.Options[0], again, &again.Options[0]))
}

// Parts that lie in each other's places go back together, and one that lies elsewhere keeps
// the name that it had.
func TestPartsGoBackTogether(t *testing.T) {
	t.Parallel()
	const widthMM, lengthMM = 230, 720 // holds both, one above the other
	cloth := pile(t, "cloth: 23 x 72 cm")
	d := planned(t, pieces(t), cloth)
	require.Equal(t, "band", d.Options[0].Parts[1].Name)
	d.Options[0].Parts[1].Name = "band-middle-2"
	s, err := Start(d, 0, pieces(t), cloth)
	require.NoError(t, err)
	p := *s.made.Plan
	p.Trees = nil
	for _, l := range s.made.Plan.Trees { // the whole layout turned half round
		m := l.Was.Placement
		deg := 180 + math.Atan2(m[1], m[0])*180/math.Pi
		p.Trees = append(p.Trees, &split.Tree{Scrap: l.Scrap, Placement: fit.Placement{Deg: deg, DX: widthMM - m[4], DY: lengthMM - m[5]}})
	}
	w := &work{State: s, o: s.Options(options)}
	f, err := w.found(&p, s.drawn)
	require.NoError(t, err)
	require.Equal(t, 2, f.moved)
	require.Equal(t, "band", f.Plans[0].Parts[1].Name)
	named := w.withNames(f)
	require.Equal(t, "band-middle-2", named.Plans[0].Parts[1].Name)
	require.Equal(t, f.Document().Options[0].Parts[1].Placement, named.Document().Options[0].Parts[1].Placement)
	back := s.putBack(f, options, time.Now().Add(time.Minute))
	require.Zero(t, back.moved)
	require.Equal(t, "band-middle-2", back.Plans[0].Parts[1].Name)
}

// Where nothing is spoilt all stays where it lies; where cloth was saved of what is,
// that is a scrap.
func TestWhatStaysAndWhatIsSaved(t *testing.T) {
	t.Parallel()
	cloth := pile(t, "long: 23 x 63 cm", "end: 24 x 9 cm")
	d := planned(t, pieces(t), cloth)
	require.Equal(t, 0, d.Options[0].Seams)
	now := goOn(t, d, cloth, []string{"panel"}, nil)
	require.Equal(t, d.Options[0].Parts[1], now.Options[0].Parts[1])
	require.True(t, now.Options[0].Parts[0].IsCut)

	s, err := Start(d, 0, pieces(t), cloth)
	require.NoError(t, err)
	require.NoError(t, s.Mark([]string{"panel"}, []string{"band"}, nil))
	found, err := s.Plans(context.Background(), options)
	require.NoError(t, err)
	require.Empty(t, found, "its cloth is gone, and there is no other")
	rows, _, err := s.Short(context.Background(), options)
	require.NoError(t, err)
	require.Equal(t, "band", rows[0].Piece)

	// Of the band, 220 by 80 with its allowances, half a band can be saved.
	more := append(slices.Clone(cloth), pile(t, "bit: 14 x 9 cm")...)
	d = planned(t, pieces(t), more)
	now = goOn(t, d, more, []string{"panel"}, []string{"band"}, Saved{Part: "band", WidthMM: 130, LengthMM: 80})
	require.Equal(t, 1, now.Options[0].Seams)
	require.Contains(t, strings.Join(names(now), "\n"), "from saved of band")
	// Its own file has it, so that it need not be told again.
	again := goOn(t, now, more, nil, nil)
	require.Equal(t, names(now), names(again))
}

func TestMarkRefuses(t *testing.T) {
	t.Parallel()
	cloth := pile(t, "long: 23 x 63 cm", "end: 24 x 9 cm")
	d := planned(t, pieces(t), cloth)
	for name, c := range map[string]struct {
		cut, spoilt []string
		saved       []Saved
		words       string
	}{
		"no such part":          {cut: []string{"sleeve"}, words: "--cut sleeve: the plan has no such part; it has panel, band"},
		"no such spoilt part":   {spoilt: []string{"sleeve"}, words: "--spoilt sleeve: the plan has no such part"},
		"cut and spoilt":        {cut: []string{"band"}, spoilt: []string{" Band "}, words: "band is said to be cut and to be spoilt"},
		"saved and not spoilt":  {saved: []Saved{{"band", 10, 10}}, words: "--saved band: that part is not said to be spoilt"},
		"saved of nothing":      {saved: []Saved{{"hem", 10, 10}}, words: "--saved hem: the plan has no such part"},
		"more saved than there": {spoilt: []string{"band"}, saved: []Saved{{"band", 80, 220}}, words: "does not lie within the part"},
	} {
		s, err := Start(d, 0, pieces(t), cloth)
		require.NoError(t, err)
		require.ErrorContains(t, s.Mark(c.cut, c.spoilt, c.saved), c.words, name)
	}
}

// A plan of another pattern or of other scraps is refused, and what differs said.
func TestStartSaysWhatDiffers(t *testing.T) {
	t.Parallel()
	cloth := pile(t, "long: 23 x 63 cm", "end: 24 x 9 cm")
	d := planned(t, pieces(t), cloth)
	change := func(old, new string) []*piece.Piece {
		require.Contains(t, pattern, old)
		out, err := svg.Pattern(strings.NewReader(strings.ReplaceAll(pattern, old, new)), "pattern.svg")
		require.NoError(t, err)
		return out
	}
	for name, c := range map[string]struct {
		pieces []*piece.Piece
		cloth  []piece.Scrap
		words  string
	}{
		"a name":       {change(`panel`, `slab`), cloth, "piece slab is new"},
		"a length":     {change(`V600 H0`, `V601 H0`), cloth, "the outline of panel is another, by up to 1.0 mm"},
		"a count":      {change(`id="band"`, `id="band" data-cut="2"`), cloth, "band is cut 2 times, and was 1"},
		"an allowance": {change(`id="band"`, `id="band" data-allowance="12mm"`), cloth, "the allowance of band/lower is 12 mm, and was 10 mm"},
		"an ease":      {change(`data-joins="band/lower"`, `data-joins="band/lower" data-ease="60mm"`), cloth, "panel/top has another name, other joins or another ease"},
		"a fabric":     {change(`id="band"`, `id="band" data-fabric="navy"`), cloth, `of band its fabric is "navy", and was not given`},
		"a scrap less": {pieces(t), cloth[:1], "scrap end is gone"},
		"a scrap cut":  {pieces(t), pile(t, "long: 23 x 62 cm", "end: 24 x 9 cm"), "the outline of scrap long is another, by up to 10.0 mm"},
	} {
		_, err := Start(d, 0, c.pieces, c.cloth)
		require.ErrorContains(t, err, c.words, name)
	}
	// A pile may have grown, wherever what is new stands in it.
	s, err := Start(d, 0, pieces(t), slices.Concat(pile(t, "bit: 14 x 9 cm"), cloth))
	require.NoError(t, err)
	var names []string
	for _, c := range s.Scraps() {
		names = append(names, c.Name)
	}
	require.Equal(t, []string{"long", "end", "bit"}, names)
	other := pile(t, "long: 23 x 63 cm", "end: 24 x 9 cm")
	other[1].Nap = true
	_, err = Start(d, 0, pieces(t), other)
	require.ErrorContains(t, err, "of scrap end its nap is yes, and was no")
	other = pile(t, "long: 23 x 63 cm", "end: 24 x 9 cm")
	other[0].Use = piece.UseLining
	_, err = Start(d, 0, pieces(t), other)
	require.ErrorContains(t, err, `of scrap long its use is "lining", and was not given`)
	// A record of how it was made that makes something else.
	d = planned(t, pieces(t), pile(t, "first: 24 x 33 cm", "second: 24 x 34 cm", "end: 24 x 9 cm"))
	d.Options[0].PiecingSeams[0].Cut.LevelMM++
	_, err = Start(d, 0, pieces(t), pile(t, "first: 24 x 33 cm", "second: 24 x 34 cm", "end: 24 x 9 cm"))
	require.ErrorContains(t, err, "something would change: its seam line, by 1.0000 mm")
	d.Options[0].PiecingSeams[0].Cut = nil
	_, err = Start(d, 0, pieces(t), pile(t, "first: 24 x 33 cm", "second: 24 x 34 cm", "end: 24 x 9 cm"))
	require.ErrorContains(t, err, "plan.json does not say how seam A was made")
}

// A garment and its lining that were planned in one go are gone on from with the
// scraps of both: each plan has its own pile.
func TestStartTakesItsOwnPile(t *testing.T) {
	t.Parallel()
	garment, inner := pile(t, "long: 23 x 63 cm", "end: 24 x 9 cm"), pile(t, "slip: 23 x 63 cm", "hem: 24 x 9 cm")
	for i := range inner {
		inner[i].Use = piece.UseLining
	}
	lining := pieces(t)
	for _, p := range lining {
		p.Use = piece.UseLining
	}
	both := slices.Concat(inner[:1], garment, inner[1:])
	for _, c := range []struct {
		pieces []*piece.Piece
		pile   []piece.Scrap
	}{{pieces(t), garment}, {lining, inner}} {
		d := planned(t, c.pieces, c.pile)
		s, err := Start(d, 0, c.pieces, both)
		require.NoError(t, err)
		require.Len(t, s.Scraps(), len(c.pile))
	}
	_, err := Start(planned(t, pieces(t), both), 0, pieces(t), garment)
	require.ErrorContains(t, err, "scrap slip is gone")
}

// FuzzStart takes up plans as a stranger might write them: it may refuse any, and
// must not fall over.
func FuzzStart(f *testing.F) {
	cloth := pile(f, "first: 24 x 33 cm", "second: 24 x 34 cm", "left: 13 x 40 cm", "end: 24 x 9 cm")
	d := planned(f, pieces(f), cloth)
	for _, of := range []string{"", `{"Deg":45}`, `{"Name":"a","Path":[]}`, `{"From":[0,0],"To":[0,0],"RiseFrom":1}`} {
		for _, way := range []string{"yoke", "corner", "drawn", "carried", "shoulder", "panel"} {
			cut := *d.Options[0].PiecingSeams[0].Cut
			d.Options[0].PiecingSeams[0].Cut = &plan.Cut{Way: way, Of: json.RawMessage(of), LevelMM: cut.LevelMM, Near: cut.Near, Far: cut.Far, Counts: cut.Counts}
			var b bytes.Buffer
			require.NoError(f, d.Write(&b))
			f.Add(b.Bytes(), "panel-upper")
			d.Options[0].PiecingSeams[0].Cut = &cut
		}
	}
	f.Fuzz(func(t *testing.T, data []byte, cut string) {
		d, err := plan.Read(bytes.NewReader(data))
		if err != nil || len(d.Options) == 0 || len(check.Option(d, 0)) > 0 {
			return
		}
		s, err := Start(d, 0, pieces(t), cloth)
		if err == nil {
			_ = s.Mark([]string{cut}, nil, nil)
			_ = fmt.Sprint(Changes(d, &d.Options[0], d, &d.Options[0]))
		}
	})
}

// A line that is carried over two pieces, and stripes over them, stay where they
// run when a part beside them is cut again, and the look there stays too.
func TestLinesStay(t *testing.T) {
	t.Parallel()
	const shirt = `<svg xmlns="http://www.w3.org/2000/svg" width="700mm" height="700mm" viewBox="0 0 700 700">
<g id="front"><path class="seam" d="M0,0 H200 V300 H0 Z"/><path class="grain" d="M100,100 V200"/><path class="edge side" data-joins="back/side" d="M200,0 V300"/></g>
<g id="back"><path class="seam" d="M300,0 H500 V300 H300 Z"/><path class="grain" d="M400,100 V200"/><path class="edge side" data-joins="front/side" d="M300,0 V300"/></g>
</svg>`
	for name, c := range map[string]struct {
		wish  string
		cloth []string
	}{
		"carried": {"carry front", []string{"navy 1: 23 x 18 cm", "navy 2: 23 x 18 cm", "cream 1: 23 x 18 cm", "cream 2: 23 x 18 cm", "navy 3: 13 x 20 cm", "navy 4: 13 x 20 cm", "cream 3: 13 x 20 cm", "cream 4: 13 x 20 cm"}},
		"striped": {"stripes navy 150mm, cream 150mm", []string{"navy 1: 23 x 18 cm", "navy 2: 23 x 18 cm", "cream 1: 23 x 18 cm", "cream 2: 23 x 18 cm", "navy 3: 13 x 20 cm", "navy 4: 13 x 20 cm", "cream 3: 13 x 20 cm", "cream 4: 13 x 20 cm"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			ps := func() []*piece.Piece {
				out, err := svg.Pattern(strings.NewReader(shirt), "shirt.svg")
				require.NoError(t, err)
				return out
			}
			w, err := wish.Parse(c.wish)
			require.NoError(t, err)
			o, cloth := options, pile(t, c.cloth...)
			o.Wishes = []wish.Wish{w}
			res, err := search.Run(context.Background(), ps(), cloth, o)
			require.NoError(t, err)
			require.NotEmpty(t, res.Plans)
			r := split.Record{Settings: o.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(cloth), Plans: res.Plans[:1]}
			d := reread(t, r.Document())
			was := &d.Options[0]
			require.Len(t, was.Parts, 4, "%v", names(d))
			s, err := Start(d, 0, ps(), cloth)
			require.NoError(t, err)
			gone := was.Parts[2]
			require.NoError(t, s.Mark([]string{was.Parts[0].Name}, []string{gone.Name}, nil))
			found, err := s.Plans(context.Background(), o)
			require.NoError(t, err)
			require.NotEmpty(t, found)
			now := reread(t, found[0].Document())
			require.Empty(t, check.After(d, 0, now, 0))
			n := &now.Options[0]
			kept, how := w.Kept(now, n)
			require.True(t, kept, how)
			require.Greater(t, len(n.Parts), 4)
			for _, p := range n.Parts {
				if p.Piece == gone.Piece && !slices.ContainsFunc(was.Parts, func(q plan.Part) bool { return q.Name == p.Name }) {
					require.Equal(t, gone.Look, p.Look)
				}
			}
			for _, seam := range was.PiecingSeams {
				require.True(t, slices.ContainsFunc(n.PiecingSeams, func(q plan.PiecingSeam) bool { return q.Name == seam.Name && slices.Equal(q.Line, seam.Line) }))
			}
		})
	}
}

var rests = flag.Int("rests", 8, "how many panels are cut in part and split anew")

// Panels of all sizes, one part cut and the other spoilt, with strips to spare that
// only a seam down the rest makes use of.
//
//	go test ./split/replan -run AllSizes -rests 250
func TestRestsOfAllSizesAreSplitAnew(t *testing.T) {
	if race.On {
		t.Skip("the searches of the others here are enough for the race detector")
	}
	t.Parallel()
	anew := 0
	for seed := range *rests {
		rng := rand.New(rand.NewPCG(uint64(seed), 0x72657374))
		draw := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
		w, h, share := draw(150, 260), draw(400, 700), draw(0.4, 0.6)
		drawing := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900">
<g id="panel"><path class="seam" d="M0,0 L%g,%g V%g H0 Z"/><path class="grain" d="M50,100 V200"/></g></svg>`, w, draw(-15, 15), h)
		ps := func() []*piece.Piece {
			out, err := svg.Pattern(strings.NewReader(drawing), "panel.svg")
			require.NoError(t, err)
			return out
		}
		box := func(name string, w, l float64) string { return fmt.Sprintf("%s: %.1f x %.1f mm", name, w, l) }
		strip := func(name string) string {
			return box(name, draw(0.5, 0.75)*w+35, 0.75*h)
		}
		cloth := pile(t, box("first", w+24, share*h+60), box("second", w+24, (1-share)*h+60), strip("left"), strip("right"))
		res, err := search.Run(context.Background(), ps(), cloth, options)
		require.NoError(t, err)
		if len(res.Plans) == 0 || len(res.Plans[0].Parts) != 2 {
			continue
		}
		r := split.Record{Settings: options.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(cloth), Plans: res.Plans[:1]}
		d := reread(t, r.Document())
		of := rng.IntN(2)
		s, err := Start(d, 0, ps(), cloth)
		require.NoError(t, err)
		require.NoError(t, s.Mark([]string{d.Options[0].Parts[of].Name}, []string{d.Options[0].Parts[1-of].Name}, nil))
		found, err := s.Plans(context.Background(), options)
		require.NoError(t, err)
		for i := range found {
			now := reread(t, found[i].Document())
			require.Empty(t, check.After(d, 0, now, 0))
			if now.Options[0].Seams > 1 {
				anew++
			}
		}
	}
	t.Logf("%d plans in which a rest is split anew", anew)
	require.Positive(t, anew)
}
