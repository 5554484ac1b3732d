package search

import (
	"context"
	"math"
	"testing"
	"time"

	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search/puzzle"
	"eke/split/wish"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// stripedSolved runs the search on a puzzle in stripes, with its wish.
func stripedSolved(t testing.TB, seed uint64, r puzzle.Rules, limit time.Duration) bool {
	p, depths, err := puzzle.Stripes(seed, r)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start, begun := time.Now(), cpuTime()
	res, err := Run(ctx, p.Pieces, p.Scraps, Options{
		MaxSeams: 0, AllowanceMM: 10, GapMM: r.GapMM, GrainToleranceDeg: 2, Workers: *workers, Seed: 1, Keep: 1,
		Wishes: []wish.Wish{wish.NewStripes([]string{puzzle.Above, puzzle.Below}, depths)},
	})
	require.NoError(t, err)
	// What counts is where stripes do not meet: nowhere in what is hidden.
	o := puzzle.Outcome{Seed: seed, Garment: r.Garment, Found: -1, Processor: (cpuTime() - begun).Seconds()}
	if len(res.Plans) == 0 {
		tell(t, o)
		t.Logf("%s seed %d: none (%v); %d scraps; depths %v; %v", r.Garment, seed, res.Unkept, len(p.Scraps), depths, time.Since(start).Round(10*time.Millisecond))
		return false
	}
	m := res.Plans[0]
	record := split.Record{Settings: plan.Settings{GapMM: r.GapMM, GrainToleranceDeg: 2, AllowanceMM: 10}, Drawn: res.Drawn, Scraps: split.ScrapCopies(p.Scraps), Plans: []*split.Made{m}}
	d := record.Document()
	require.Empty(t, check.Document(d))
	s := d.Options[0].Stripes
	t.Logf("%s seed %d: %d parts of %d scraps, %d upright of %d hidden; %v: %s", r.Garment, seed, len(m.Parts), len(p.Scraps), s.Uprights, len(p.Hidden), time.Since(start).Round(10*time.Millisecond), s.Words())
	o.Found = len(s.Breaks())
	tell(t, o)
	return o.Solved()
}

func TestPlantedStripes(t *testing.T) {
	if *planted == 0 {
		t.Skip("run with -planted 10 -slack 10")
	}
	won := 0
	for k := range *planted {
		seed := uint64(*fromSeed + k)
		r := puzzle.Rules{Garment: []string{"t-shirt", "raglan", "vest"}[seed%3], SlackMM: *slackMM, Share: 0.3, Decoys: 3, GapMM: 3, TurnDeg: 2, Seams: int(seed % 8)}
		if stripedSolved(t, seed, r, *limit) {
			won++
		}
	}
	t.Logf("slack %g mm: solved %d of %d", *slackMM, won, *planted)
}

// Stripes that are known to exist are found, with their lines met at the side seams.
func TestStripesAreFound(t *testing.T) {
	t.Parallel()
	require.True(t, stripedSolved(t, 0, puzzle.Rules{Garment: "t-shirt", SlackMM: 10, Share: 0.3, Decoys: 3, GapMM: 3, TurnDeg: 2}, time.Minute))
}

// The depths that the cloth chooses are such as its scraps hold.
func TestDepthsToTry(t *testing.T) {
	t.Parallel()
	pieces, _ := sampleShirt(t)
	var pile []piece.Scrap
	for _, look := range []string{"navy", "cream"} {
		pile = append(pile, piece.Scrap{Name: look, Look: look, Count: 8, GrainDeg: 90, Outline: orb.Ring{{0, 0}, {900, 0}, {900, 90}, {0, 90}}})
	}
	s, err := newStriper(newTable(pile, Options{AllowanceMM: 10}.withDefaults()), split.Copies(pieces), wish.NewStripes([]string{"navy", "cream"}, nil))
	require.NoError(t, err)
	depths := s.depthsToTry()
	require.NotEmpty(t, depths)
	for _, d := range depths[:3] {
		require.LessOrEqual(t, d[0], 70.0)
		require.Equal(t, d[0], d[1], "there is as much of the one as of the other")
	}
}

// A tie that is in no stripes is pieced from two parts of the one scrap that is left for it:
// it is longer than that, and was said to find no cloth.
func TestATieBesideStripesComesFromOneScrap(t *testing.T) {
	t.Parallel()
	front, tie := outlined(t, "front", 1, orb.Point{0, 0}, orb.Point{400, 0}, orb.Point{400, 300}, orb.Point{0, 300}), rectangle(t, "tie", 60, 700)
	pile := []piece.Scrap{sheet("navy", 450, 250), sheet("cream", 450, 250), sheet("green", 500, 400)}
	for k := range pile {
		pile[k].Look, pile[k].Count = pile[k].Name, 1
	}
	w, err := wish.Parse("stripes navy 100mm, cream 100mm")
	require.NoError(t, err)
	o := Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1, Keep: 1, Wishes: []wish.Wish{w}}
	res, err := Run(t.Context(), []*piece.Piece{front, tie}, pile, o)
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans, "%+v", res.Unkept)
	r := split.Record{Settings: o.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(pile), Plans: res.Plans}
	d := r.Document()
	require.Empty(t, check.Document(d))
	for _, p := range d.Options[0].Parts {
		if p.Piece == "tie" {
			require.Equal(t, "green", p.Scrap)
		}
	}
}

// Parts in stripes lie true to the grain where there is room to turn them.
func TestStripesLieTrue(t *testing.T) {
	t.Parallel()
	front := outlined(t, "front", 1, orb.Point{0, 0}, orb.Point{400, 0}, orb.Point{420, 300}, orb.Point{10, 300})
	pile := []piece.Scrap{sheet("navy", 600, 400), sheet("cream", 500, 300)}
	for k := range pile {
		pile[k].Look, pile[k].Count = pile[k].Name, 1
	}
	w, err := wish.Parse("stripes navy 100mm, cream 100mm")
	require.NoError(t, err)
	res, err := Run(t.Context(), []*piece.Piece{front}, pile, Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1, Keep: 1, Wishes: []wish.Wish{w}})
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans, "%+v", res.Unkept)
	for _, p := range res.Plans[0].Parts {
		require.Less(t, math.Abs(math.Remainder(p.Leaf.Placement.Deg, 180)), 1e-6, p.Name)
	}
}
