package search

import (
	"context"
	"flag"
	"math"
	"strings"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search/puzzle"
	"eke/split/wish"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// matchSolved runs the search on a puzzle of striped cloth, with its wish.
func matchSolved(t testing.TB, seed uint64, r puzzle.Rules, limit time.Duration) bool {
	p, down, err := puzzle.Matched(seed, r)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start := time.Now()
	begun := cpuTime()
	var told time.Duration
	res, err := Run(ctx, p.Pieces, p.Scraps, Options{
		MaxSeams: -1, AllowanceMM: 10, GapMM: r.GapMM, GrainToleranceDeg: 2, Workers: *workers, Seed: 1, Keep: 1,
		Wishes: []wish.Wish{wish.MatchStripes{}}, First: true,
		Progress: func(Progress) { told = cpuTime() - begun },
	})
	require.NoError(t, err)
	o := puzzle.Outcome{Seed: seed, Garment: r.Garment, Hidden: p.Seams, Found: -1, Processor: (cpuTime() - begun).Seconds()}
	if len(res.Plans) == 0 {
		tell(t, o)
		t.Logf("%s seed %d: none (%v); hidden %v; %d scraps; %v", r.Garment, seed, res.Unkept, p.Hidden, len(p.Scraps), time.Since(start).Round(10*time.Millisecond))
		return false
	}
	m := res.Plans[0]
	o.Found, o.Processor = len(m.Seams), told.Seconds()
	tell(t, o)
	t.Logf("%s seed %d: %d of %d seams, %d scraps; hidden %v; found after %v of processor time, %v", r.Garment, seed, len(m.Seams), p.Seams, len(p.Scraps), p.Hidden, told.Round(10*time.Millisecond), time.Since(start).Round(10*time.Millisecond))
	requireMatched(t, m, down, r.RepeatMM)
	record := split.Record{Settings: plan.Settings{GapMM: r.GapMM, GrainToleranceDeg: 2, AllowanceMM: 10}, Drawn: res.Drawn, Scraps: split.ScrapCopies(p.Scraps), Plans: []*split.Made{m}}
	doc := record.Document()
	doc.Options[0].Wishes = wish.Told([]wish.Wish{wish.MatchStripes{}}, doc, &doc.Options[0])
	require.True(t, doc.Options[0].Wishes[0].Kept, doc.Options[0].Wishes[0].How)
	require.Empty(t, check.Document(doc))
	return o.Solved()
}

// requireMatched measures where, on each part as it lies, a stripe runs: less what
// the puzzle says of its piece, this is the same for all. The grain of a puzzle's
// pieces runs down the page.
func requireMatched(t testing.TB, m *split.Made, down map[string]float64, repeatMM float64) {
	first := math.NaN()
	for _, part := range m.Parts {
		s, at := m.Plan.Scraps[part.Leaf.Scrap], part.Leaf.Placement.Matrix()
		across := piece.AcrossStripes(s.GrainDeg, false)
		// Along the piece's own y: across·(A·(x, y) + t) = stripe, and across·A·(1, 0) = 0.
		require.InDelta(t, 0, across[0]*at[0]+across[1]*at[1], 1e-6, "stripes are level on the part")
		slope := across[0]*at[2] + across[1]*at[3]
		require.InDelta(t, 1, math.Abs(slope), 1e-6)
		y := (s.Stripe.Top(s.Outline, s.GrainDeg) + s.Stripe.FirstMM - across[0]*at[4] - across[1]*at[5]) / slope
		y -= down[m.Plan.Pieces[part.Piece].Name]
		if math.IsNaN(first) {
			first = y
		}
		require.InDelta(t, 0, math.Remainder(y-first, repeatMM), 0.01, part.Name)
	}
}

var repeatMM = flag.Float64("repeat", 40, "striped cloth: from one stripe to the next, in mm")

func TestPlantedMatchedStripes(t *testing.T) {
	if *planted == 0 {
		t.Skip("run with -planted 20 -slack 10")
	}
	won := 0
	for k := range *planted {
		seed := uint64(*fromSeed + k)
		r := puzzle.Rules{Garment: []string{"t-shirt", "raglan"}[seed%2], SlackMM: *slackMM, Share: 0.3, Decoys: 3, GapMM: 3, Seams: int(seed % 3), RepeatMM: *repeatMM}
		if matchSolved(t, seed, r, *limit) {
			won++
		}
	}
	t.Logf("slack %g mm, repeat %g mm: solved %d of %d", *slackMM, *repeatMM, won, *planted)
}

// Stripes that are known to meet are made to, with a seam and without.
func TestMatchedStripesAreFound(t *testing.T) {
	t.Parallel()
	repeats := map[uint64]float64{4: 40, 6: 25}
	if race.On {
		delete(repeats, 6) // one shows what runs side by side
	}
	for seed, repeat := range repeats {
		require.True(t, matchSolved(t, seed, puzzle.Rules{Garment: "t-shirt", SlackMM: 10, Share: 0.3, Decoys: 3, GapMM: 3, Seams: int(seed % 3), RepeatMM: repeat}, 10*time.Minute))
	}
}

// A wish that no cloth or no seam can keep is bad use, and one that the cloth does
// not keep says what is missing.
func TestMatchBadUse(t *testing.T) {
	t.Parallel()
	p, _, err := puzzle.Matched(4, puzzle.Rules{Garment: "t-shirt", SlackMM: 10, GapMM: 3, RepeatMM: 40})
	require.NoError(t, err)
	plain := make([]piece.Scrap, len(p.Scraps))
	for i, s := range p.Scraps {
		s.Stripe = piece.Stripe{}
		plain[i] = s
	}
	for complains, c := range map[string]struct {
		pile   []piece.Scrap
		wishes []wish.Wish
	}{
		"no scrap says how its stripes run": {plain, []wish.Wish{wish.Prefer{Wish: wish.MatchStripes{}}}},
		"eke does one of these at a time":   {p.Scraps, []wish.Wish{wish.MatchStripes{}, wish.Carry{Piece: "front"}}},
		"there is no seam there":            {p.Scraps, []wish.Wish{wish.MatchStripes{At: "hem"}}},
		`"match stripes at hem": there is`:  {p.Scraps, []wish.Wish{wish.MatchStripes{}, wish.MatchStripes{At: "hem"}}},
	} {
		_, err := Run(context.Background(), p.Pieces, c.pile, Options{Wishes: c.wishes})
		require.ErrorContains(t, err, complains)
	}
	for i := range p.Scraps[1:] {
		p.Scraps[i+1].Stripe = piece.Stripe{}
	}
	res, err := Run(context.Background(), p.Pieces, p.Scraps, Options{MaxSeams: 0, GapMM: 3, Wishes: []wish.Wish{wish.MatchStripes{}}, First: true, Budgets: 1})
	require.NoError(t, err)
	require.Empty(t, res.Plans)
	require.Contains(t, res.Unkept.Why, "m² of cloth with one repeat")
}

// The wish that stands in the way is the one whose seam is off, and where the stripes of
// some other cloth meet everywhere, none of that.
func TestTheMatchThatStandsInTheWay(t *testing.T) {
	t.Parallel()
	// A tube of two: what is level at one seam is 15 mm off at the other.
	pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="400mm" viewBox="0 0 600 400">
<g id="one"><path class="seam" d="M 0,0 H 200 V 300 H 0 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge side" data-joins="two/side" d="M 200,0 V 300"/><path class="edge rear" data-joins="two/rear" d="M 0,0 V 300"/></g>
<g id="two"><path class="seam" d="M 300,0 L 500,15 V 315 L 300,300 Z"/><path class="grain" d="M 350,40 V 80"/><path class="edge side" d="M 300,0 V 300"/><path class="edge rear" d="M 500,15 V 315"/></g></svg>`), "tube.svg")
	require.NoError(t, err)
	striped := func(name string, repeatMM float64) piece.Scrap {
		return piece.Scrap{Name: name, Count: 1, GrainDeg: 90, Outline: orb.Ring{{0, 0}, {800, 0}, {800, 800}, {0, 800}}, Stripe: piece.Stripe{RepeatMM: repeatMM}}
	}
	wishes := []wish.MatchStripes{{At: "side"}, {At: "rear"}}
	matcherOf := func(pile ...piece.Scrap) *matcher {
		m, err := newMatcher(newTable(pile, Options{AllowanceMM: 10, GrainToleranceDeg: 2}.withDefaults()), split.Copies(pieces), wishes)
		require.NoError(t, err)
		return m
	}
	m := matcherOf(striped("wide", 30))
	none, why := m.variants(context.Background())
	require.Empty(t, none)
	require.Equal(t, wishes[1], m.stands)
	require.Contains(t, why, "they are 15 mm off at one/rear to two/rear")

	m = matcherOf(striped("wide", 30), striped("narrow", 7.5))
	found, _ := m.variants(context.Background())
	require.NotEmpty(t, found)
	require.Equal(t, wishes[0], m.stands)
}

// Stripes along the grain meet at the shoulders, and have a stripe, or the middle
// between two, in the middle of front and back.
func TestStripesAlongTheGrainMeet(t *testing.T) {
	t.Parallel()
	pieces, pile := patternOf(t, "tshirt-child.svg"), pileOfSample(t, "breton.csv")
	for i := range pile {
		pile[i].Stripe.Along = pile[i].Striped()
	}
	wishes := []wish.Wish{wish.MatchStripes{}}
	res, err := Run(context.Background(), pieces, pile, Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1, Keep: 1, Wishes: wishes, First: true})
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	record := split.Record{Settings: plan.Settings{GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10}, Drawn: res.Drawn, Scraps: split.ScrapCopies(pile), Plans: res.Plans}
	doc := record.Document()
	o := &doc.Options[0]
	o.Wishes = wish.Told(wishes, doc, o)
	require.Empty(t, check.Document(doc))
	require.True(t, o.Wishes[0].Kept)
	shoulders := 0
	for _, s := range o.StripeMatch.Seams {
		if s.Edges[0] == "front/shoulder" {
			shoulders++
			require.True(t, s.Meet)
			require.InDelta(t, s.LengthMM, s.HoldsMM, 1)
		}
	}
	require.Equal(t, 2, shoulders)
	for i, p := range res.Plans[0].Plan.Pieces {
		if p.Centre != nil {
			at := res.Plans[0].Plan.Matched.At(i, res.Plans[0].Plan.Matched.Choice)
			require.InDelta(t, 0, math.Remainder(2*(at-p.Centre.A[0]), 30), 0.1, p.Name)
		}
	}
}
