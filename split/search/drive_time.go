package search

import (
	"context"
	"sync/atomic"
	"time"
)

// withTimeToFinish leaves a little of the time for what is done to plans once they
// are found: seams slide to where they cost least, and what was searched for with
// simplified copies is carried out on the true ones.
func withTimeToFinish(ctx context.Context) (context.Context, context.CancelFunc) {
	end, ok := ctx.Deadline()
	if !ok {
		return context.WithCancel(ctx)
	}
	return context.WithDeadline(ctx, end.Add(-timeToFinish(end)))
}

// outlasting is a context that ends so long after another.
func outlasting(ctx context.Context, by time.Duration) (context.Context, context.CancelFunc) {
	late, cancel := context.WithCancel(context.WithoutCancel(ctx))
	stop := context.AfterFunc(ctx, func() { time.AfterFunc(by, cancel) })
	return late, func() {
		stop()
		cancel()
	}
}

// ToFinish is how much of a time is left for that.
func ToFinish(whole time.Duration) time.Duration {
	const share, most = 10, 2 * time.Second
	return min(whole/share, most)
}

func timeToFinish(end time.Time) time.Duration {
	return ToFinish(time.Until(end))
}

// patience ends a search when it is time to finish plans. As long as there is none, it
// lets the search go on into that time, for a plan as it was found is better than none.
type patience struct {
	end     context.CancelFunc
	finish  time.Time // when it is time; zero for never
	planned atomic.Bool
}

// lastShare is the share of the time to finish that a late plan gets.
const lastShare = 8

func newPatience(ctx context.Context) (*patience, context.Context) {
	deadline, ok := ctx.Deadline()
	p := &patience{}
	if !ok {
		ctx, p.end = context.WithCancel(ctx)
		return p, ctx
	}
	left := timeToFinish(deadline)
	p.finish = deadline.Add(-left)
	ctx, p.end = context.WithDeadline(ctx, deadline.Add(-left/lastShare))
	timer := time.AfterFunc(time.Until(p.finish), func() {
		if p.planned.Load() {
			p.end()
		}
	})
	context.AfterFunc(ctx, func() { timer.Stop() })
	return p, ctx
}

// found tells it that there is a plan.
func (p *patience) found() {
	p.planned.Store(true)
	if !p.finish.IsZero() && !time.Now().Before(p.finish) {
		p.end()
	}
}
