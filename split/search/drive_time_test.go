package search

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

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
