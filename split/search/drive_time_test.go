package search

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"eke/piece"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Of twenty seconds two are left to finish plans, and a quarter of one where there was
// none by then. A search without a limit is never ended.
func TestPatience(t *testing.T) {
	for name, c := range map[string]struct{ limit, planAt, endsAt time.Duration }{
		"no plan":       {20 * time.Second, 0, 19750 * time.Millisecond},
		"a plan":        {20 * time.Second, 5 * time.Second, 18 * time.Second},
		"a late plan":   {20 * time.Second, 19 * time.Second, 19 * time.Second},
		"a short time":  {time.Second, 0, 987500 * time.Microsecond},
		"all the time":  {0, 5 * time.Second, 0},
		"plan, no time": {2 * time.Second, time.Second, 1800 * time.Millisecond},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				begun := time.Now()
				whole, cancel := context.WithCancel(t.Context())
				defer cancel()
				if c.limit > 0 {
					whole, cancel = context.WithTimeout(whole, c.limit)
					defer cancel()
				}
				p, ctx := newPatience(whole)
				defer p.end()
				if c.planAt > 0 {
					time.Sleep(c.planAt)
					p.found()
				}
				if c.limit == 0 {
					time.Sleep(time.Hour)
					require.NoError(t, ctx.Err())
					return
				}
				<-ctx.Done()
				require.Equal(t, c.endsAt, time.Since(begun))
			})
		})
	}
}

// A search that is ended because it has found enough still slides the seams of what it has
// to where they cost least; one that is ended before it has anything has nothing.
func TestWhatIsEnoughIsFinished(t *testing.T) {
	t.Parallel()
	panel := func(name string, width float64) *piece.Piece {
		return outlined(t, name, 1, orb.Point{0, 0}, orb.Point{width, 0}, orb.Point{width, 900}, orb.Point{0, 900})
	}
	front, back := panel("front", 300), panel("back", 400)
	front.Outline[1].Name, back.Outline[3].Name = "side", "side"
	front.Outline[1].Joins = []piece.Ref{{Piece: "back", Edge: "side"}}
	pieces := []*piece.Piece{front, back}
	pile := []piece.Scrap{sheet("one", 330, 800), sheet("two", 330, 420), sheet("three", 440, 640), sheet("four", 440, 520)}
	o := Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1, First: true}
	asFound, err := Run(t.Context(), pieces, pile, o)
	require.NoError(t, err)
	require.Len(t, asFound.Plans, 1)

	var enough context.CancelFunc
	o.First = false
	o.Enough, enough = context.WithCancel(t.Context())
	o.Progress = func(Progress) { enough() }
	finished, err := Run(t.Context(), pieces, pile, o)
	require.NoError(t, err)
	require.NotEmpty(t, finished.Plans)
	require.Less(t, split.Intrusion(split.Cost(finished.Plans[0])), split.Intrusion(split.Cost(asFound.Plans[0])))

	none, err := Run(t.Context(), pieces, pile, o)
	require.NoError(t, err)
	require.Empty(t, none.Plans)
	require.False(t, none.Settled)
}

// What outlasts a context goes on as long as that does, and a little longer.
func TestOutlasting(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		late, cancel := outlasting(ctx, time.Second)
		defer cancel()
		time.Sleep(time.Minute)
		require.NoError(t, late.Err())
		stop()
		time.Sleep(900 * time.Millisecond)
		require.NoError(t, late.Err())
		time.Sleep(200 * time.Millisecond)
		require.Error(t, late.Err())
	})
}
