package byhand

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/plane"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/replan"
	"eke/split/search"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var options = search.Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, DartReachMM: split.DartReachMM}

// bolts is how many scraps of a pile have room for whatever lies nowhere.
const bolts = 2

// given is a sample with scraps, some of them with a corner off and a hole, and bolts
// of cloth behind them.
func given(t require.TestingT, pattern string) *Given {
	f, err := os.Open(filepath.Join("..", "..", "samples", pattern))
	require.NoError(t, err)
	defer f.Close()
	pieces, err := svg.Pattern(f, pattern)
	require.NoError(t, err)
	for _, p := range pieces {
		p.Fabrics, p.Kind = nil, ""
	}
	var pile []piece.Scrap
	for i, size := range [][2]float64{{600, 620}, {560, 480}, {300, 700}, {520, 90}} {
		w, h := size[0], size[1]
		s := piece.Scrap{Name: fmt.Sprint("scrap ", i+1), GrainDeg: []float64{90, 90, 70, 0}[i], Count: 1 + i%2, Nap: i == 1}
		s.Outline = orb.Ring{{0, 0}, {w - 60, 0}, {w, 80}, {w, h}, {0, h}}
		if i == 0 {
			s.Holes = []orb.Ring{{{300, 300}, {300, 330}, {340, 330}, {340, 300}}}
		}
		pile = append(pile, s)
	}
	for k := range bolts {
		pile = append(pile, piece.Scrap{Name: fmt.Sprint("bolt ", k+1), GrainDeg: 90, Count: 1, Outline: orb.Ring{{0, 0}, {3000, 0}, {3000, 4000}, {0, 4000}}})
	}
	g, err := New(split.Copies(pieces), nil, pile, options)
	require.NoError(t, err)
	return g
}

// step takes a step at random; it is nil where it cannot be taken.
func step(t *rapid.T, p *Plan) *Plan {
	copy := rapid.IntRange(0, len(p.Copies())-1).Draw(t, "copy")
	parts := p.PartsOf(copy)
	part := parts[rapid.IntRange(0, len(parts)-1).Draw(t, "part")]
	mm := rapid.Float64Range(-50, 900).Draw(t, "mm")
	lines := p.Lines(copy)
	line := func() string { return lines[rapid.IntRange(0, len(lines)-1).Draw(t, "line")].ID }
	var now *Plan
	var err error
	switch what := rapid.IntRange(0, 9).Draw(t, "what"); {
	case what <= 1:
		now, _, err = p.WithLine(part.Name, rapid.SampledFrom(Ways()).Draw(t, "way").Key, mm)
	case what == 2 && len(lines) > 0:
		now, err = p.Moved(line(), mm)
	case what == 3 && len(lines) > 0:
		now, err = p.Removed(line())
	case what == 4:
		now, err = p.WithShoulder(copy, mm/10-20)
	case what == 5:
		now, err = p.Lifted(part.Name)
	default:
		scrap := rapid.IntRange(0, len(p.Given().Scraps())-bolts-1).Draw(t, "scrap")
		spot := Spot{Scrap: scrap, At: orb.Point{mm, rapid.Float64Range(-50, 700).Draw(t, "y")}, TurnDeg: rapid.Float64Range(-200, 200).Draw(t, "turn")}
		now, _, err = p.Placed(context.Background(), part.Name, spot)
	}
	if err != nil {
		return nil
	}
	return now
}

// What is begun by hand is finished with what was laid and drawn as it was.
func TestTheRestIsPlanned(t *testing.T) {
	if race.On {
		t.Skip("it searches, which takes a minute under the race detector")
	}
	t.Parallel()
	shirts := given(t, "tshirt.svg")
	for seed := range 6 {
		p := rapid.Custom(func(t *rapid.T) *Plan {
			p := shirts.Start()
			for range 8 {
				if now := step(t, p); now != nil {
					p = now
				}
			}
			return p
		}).Example(seed)
		for _, part := range p.Parts() {
			if l, ok := p.On(part); ok && !l.OK {
				var err error
				p, err = p.Lifted(part.Name)
				require.NoError(t, err)
			}
		}
		r, err := p.Record()
		require.NoError(t, err)
		was := r.Document().Options[0]
		if p.Loose() == nil {
			continue
		}
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		o := shirts.Options()
		o.First, o.MaxSeams, o.Keep = true, -1, 1
		found, err := replan.Begin(r).Plans(ctx, o)
		cancel()
		require.NoError(t, err)
		require.NotEmpty(t, found, "seed %d: there are bolts of cloth", seed)
		d := found[0].Document()
		require.Empty(t, check.Document(d), "seed %d", seed)
		now := d.Options[0]
		for _, part := range was.Parts {
			if part.Scrap == "" {
				continue
			}
			k := slices.IndexFunc(now.Parts, func(q plan.Part) bool { return q.Name == part.Name })
			require.GreaterOrEqual(t, k, 0)
			require.Equal(t, part.Placement, now.Parts[k].Placement)
			require.Equal(t, part.CutLine, now.Parts[k].CutLine)
			require.False(t, now.Parts[k].IsCut)
		}
		for _, s := range was.PiecingSeams {
			k := slices.IndexFunc(now.PiecingSeams, func(q plan.PiecingSeam) bool { return q.Name == s.Name })
			require.GreaterOrEqual(t, k, 0)
			require.Equal(t, s.Line, now.PiecingSeams[k].Line)
		}
		require.Equal(t, was.MovedSeams, now.MovedSeams)
	}
}

// Whatever is drawn and laid: a step back is the plan before, to the last digit, what
// is written down is read as it was; and what is said to lie well is proved once the
// rest lies somewhere too.
func TestAnySteps(t *testing.T) {
	t.Parallel()
	shirts := given(t, "tshirt.svg")
	rapid.Check(t, func(t *rapid.T) {
		w := NewWork(shirts.Start())
		told := []string{w.Plan.told()}
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			switch now := (*Plan)(nil); {
			case rapid.IntRange(0, 5).Draw(t, "back") == 0:
				if w.Undo() {
					told = told[:len(told)-1]
					require.Equal(t, told[len(told)-1], w.Plan.told())
					if rapid.Bool().Draw(t, "and forth") {
						require.True(t, w.Redo())
						told = append(told, w.Plan.told())
						require.True(t, w.Undo())
						told = told[:len(told)-1]
					}
				}
			default:
				if now = step(t, w.Plan); now != nil {
					w.Do(now, "")
					told = append(told, now.told())
				}
			}
			require.Equal(t, told[len(told)-1], w.Plan.told())
		}
		written, err := w.Plan.Save()
		require.NoError(t, err)
		read, err := shirts.Restore(written)
		require.NoError(t, err)
		require.True(t, w.Plan.Same(read), "%s\n%s", w.Plan.told(), read.told())
		if rapid.IntRange(0, 3).Draw(t, "prove") == 0 { // it takes most of the time
			proveAll(t, w.Plan)
		}
		// On other scraps, here the same ones, it is the same work.
		undo, redo := w.Steps()
		w, err = w.On(shirts)
		require.NoError(t, err)
		require.True(t, w.Plan.Same(read))
		undoNow, redoNow := w.Steps()
		require.Equal(t, []int{undo, redo}, []int{undoNow, redoNow})
		for k := len(told) - 2; w.Undo(); k-- {
			require.Equal(t, told[k], w.Plan.told())
		}
		require.True(t, w.Plan.Same(shirts.Start()))
	})
}

// proveAll lays on the bolts what does not lie well, and has the whole proved.
func proveAll(t require.TestingT, p *Plan) {
	well := map[string]Lay{}
	for _, part := range p.Parts() {
		if l, ok := p.On(part); ok && !l.OK {
			now, err := p.Lifted(part.Name)
			require.NoError(t, err)
			p = now
		} else if ok {
			well[part.Name] = l
		}
	}
	for part := p.Loose(); part != nil; part = p.Loose() {
		bolt := len(p.Given().Scraps()) - 1 - part.Copy%bolts
		now, lay, err := p.Fitted(context.Background(), part.Name, bolt)
		require.NoError(t, err)
		require.True(t, lay.OK, "%s: %s", part.Name, lay.Trouble())
		p = now
	}
	require.Empty(t, p.Amiss())
	r, err := p.Record()
	require.NoError(t, err)
	d := r.Document()
	require.Empty(t, check.Document(d))
	for _, part := range d.Options[0].Parts {
		if l, ok := well[part.Name]; ok {
			require.Equal(t, l.Where.Matrix(), part.Placement)
		}
	}
}

// What is told of parts and scraps is so: where a part fits, it can be laid, and where
// it does not, by no search.
func TestFitsAreSo(t *testing.T) {
	t.Parallel()
	g := given(t, "tshirt.svg")
	p, id, err := g.Start().WithLine("front", "straight", 300)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	look := func(p *Plan) {
		parts := p.Parts()
		if race.On {
			parts = parts[:1]
		}
		for i, fits := range p.Fits(ctx, parts) {
			require.Len(t, fits, len(g.Scraps()))
			for _, f := range fits {
				require.False(t, f.AtMost)
				_, lay, err := p.Fitted(ctx, parts[i].Name, f.Scrap)
				require.NoError(t, err)
				require.Equal(t, f.OK, lay.OK, "%s on %d", parts[i].Name, f.Scrap)
				require.Equal(t, f.OK, f.OverMM == 0)
			}
		}
	}
	look(p)
	// The same place is not given twice, and asked in no time nothing is said to fit that
	// was not looked at.
	p, _, err = p.Fitted(ctx, "front-upper", 1)
	require.NoError(t, err)
	look(p)
	over, cancel := context.WithCancel(ctx)
	cancel()
	moved, err := p.Moved(id, 301.5)
	require.NoError(t, err)
	for _, fits := range moved.Fits(over, moved.PartsOf(0)) {
		for _, f := range fits {
			require.True(t, f.AtMost && !f.OK && f.OverMM > 0)
		}
	}
	// A scrap that is laid full has less room than it had.
	lifted, err := p.Lifted("front-upper")
	require.NoError(t, err)
	require.True(t, lifted.Fits(ctx, p.PartsOf(0))[1][1].OK)
	require.False(t, p.Fits(ctx, p.PartsOf(0))[1][1].OK)
}

// A part that is put down a little off slides to where it can lie, and touches; one
// that is put down too far off stays there, and it is said what is wrong.
func TestSnapping(t *testing.T) {
	t.Parallel()
	g := given(t, "tshirt.svg")
	ctx := context.Background()
	p, _, err := g.Start().WithLine("front", "straight", 300)
	require.NoError(t, err)
	_, corner, err := p.Fitted(ctx, "front-lower", len(g.Scraps())-1)
	require.NoError(t, err)
	bolt := corner.Scrap
	part := p.PartsOf(0)[1]
	box := part.Cut.Bound()
	left, top := part.Handle[0]-box.Min[0], part.Handle[1]-box.Min[1]
	for _, off := range []orb.Point{{-6, 3}, {0, 0}, {5, 5}, {-4, -4}} {
		_, lay, err := p.Try(ctx, part.Name, Spot{Scrap: bolt, At: orb.Point{left + off[0], top + off[1]}})
		require.NoError(t, err)
		require.True(t, lay.OK, "%v %s", off, lay.Trouble())
		require.InDelta(t, left, lay.At[0], 0.01, "%v", off)
		require.InDelta(t, top, lay.At[1], 0.01, "%v", off)
	}
	_, lay, err := p.Try(ctx, part.Name, Spot{Scrap: bolt, At: orb.Point{left - 20, top + 100}})
	require.NoError(t, err)
	require.False(t, lay.OK)
	require.InDelta(t, 20, lay.OverMM, 0.1)
	require.Contains(t, lay.Trouble(), "hangs off by 20")

	// Beside another the gap is kept.
	p, _, err = p.Placed(ctx, part.Name, Spot{Scrap: bolt, At: orb.Point{left, top + 600}})
	require.NoError(t, err)
	back := p.PartsOf(1)[0]
	own := back.Cut.Bound()
	// Hem beside hem, where both are widest, and over it by a millimetre.
	spot := Spot{Scrap: bolt, At: orb.Point{box.Max[0] - box.Min[0] + back.Handle[0] - own.Min[0] - 1, 600 + box.Max[1] - box.Min[1] - (own.Max[1] - back.Handle[1])}}
	_, lay, err = p.Try(ctx, back.Name, spot)
	require.NoError(t, err)
	require.True(t, lay.OK, lay.Trouble())
	require.Greater(t, lay.At[0], spot.At[0]+0.5)
	require.Less(t, plane.Distance(lay.At, spot.At), ReachMM)
	spot.Still = true
	p, lay, err = p.Placed(ctx, back.Name, spot)
	require.NoError(t, err)
	require.Equal(t, []string{part.Name}, lay.Laps)
	require.Contains(t, p.Amiss(), "it is too near to back")

	// Turned any way it lies along the grain; on cloth with a nap the right way up.
	for _, c := range []struct {
		scrap    int
		turn     float64
		becomes  float64
		tolerant float64
	}{{bolt, 170, 180, 2}, {bolt, 100, 180, 2}, {bolt, 20, 0, 2}, {1, 170, 0, 2}} {
		_, lay, err := p.Try(ctx, "neckband", Spot{Scrap: c.scrap, At: orb.Point{1500, 3000}, TurnDeg: c.turn})
		require.NoError(t, err)
		off := lay.TurnDeg - c.becomes
		if off < -180 {
			off += 360
		}
		require.InDelta(t, 0, off, c.tolerant+1e-9)
	}
}

// What lies within the fold of a shoulder seam that moves goes with it, and back.
func TestShoulderMoves(t *testing.T) {
	t.Parallel()
	g := given(t, "tshirt.svg")
	p, err := g.Start().WithShoulder(0, 25)
	require.NoError(t, err)
	s, ok := p.Shoulder(1)
	require.True(t, ok)
	require.Equal(t, plan.Point{25, 80}, plan.Point{s.ByMM, s.ToMM})
	require.Len(t, p.Lines(0), 1)
	require.Len(t, p.Lines(1), 1)
	id := p.Lines(0)[0].ID
	further, err := p.Moved(id, 400)
	require.NoError(t, err)
	require.Equal(t, s.ToMM, further.Lines(0)[0].AtMM)
	back, err := p.Moved(id, -30)
	require.NoError(t, err)
	require.Less(t, back.Copies()[0].Outline.Ring().Bound().Min[1], g.Drawn()[0].Outline.Ring().Bound().Min[1], "the front has grown")
	none, err := p.Removed(id)
	require.NoError(t, err)
	require.True(t, none.Empty())
	proveAll(t, back)
	_, err = p.WithShoulder(len(p.Copies())-1, 10)
	require.ErrorContains(t, err, "no shoulder seam")
}
