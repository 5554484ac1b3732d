package soak

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sort"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"eke/piece/race"
	"eke/split/plan"
)

var (
	soak = flag.Duration("soak", 4*time.Second, "how long to soak")
	from = flag.Uint64("from", 1, "the first seed")
	into = flag.String("into", "", "a folder for the plan.json of what fails")
)

// mostLate is how long a search may run on after its time. In a short soak,
// among other tests on a busy machine, it is not held to that.
const mostLate = 500 * time.Millisecond

func TestSoak(t *testing.T) {
	end := time.Now().Add(*soak)
	var next, plans, byHand, searches, settled, none atomic.Uint64
	next.Store(*from)
	var mu sync.Mutex
	failed := map[string][]setting{}
	var late time.Duration
	var latest uint64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for time.Now().Before(end) {
				seed := next.Add(1) - 1
				s := random(seed)
				out := s.run()
				searches.Add(1)
				plans.Add(uint64(out.plans))
				byHand.Add(uint64(out.byHand))
				if out.settled {
					settled.Add(1)
				}
				if out.plans == 0 {
					none.Add(1)
				}
				mu.Lock()
				if out.late > late {
					late, latest = out.late, seed
				}
				if out.wrong == nil && out.late > mostLate && *soak >= time.Minute {
					out.wrong = &wrong{Rule: "late"}
				}
				if out.wrong != nil {
					failed[out.wrong.Rule] = append(failed[out.wrong.Rule], s)
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	wrongs := 0
	for _, all := range failed {
		wrongs += len(all)
	}
	t.Logf("%d plans proved of %d searches, %d of them settled and %d without a plan, and %d made by hand; %d searches wrong; at most %v past its time (seed %d)",
		plans.Load(), searches.Load(), settled.Load(), none.Load(), byHand.Load(), wrongs, late.Round(time.Millisecond), latest)
	var rules []string
	for rule := range failed {
		rules = append(rules, rule)
	}
	sort.Strings(rules)
	for _, rule := range rules {
		all := failed[rule]
		sort.Slice(all, func(i, j int) bool { return all[i].Seed < all[j].Seed })
		s, w := shrunk(all[0], rule, time.Now().Add(min(*soak, 30*time.Second)))
		keep(t, rule, w.Document)
		var seeds []uint64
		for _, f := range all[:min(20, len(all))] {
			seeds = append(seeds, f.Seed)
		}
		t.Errorf("%s, %d times, seeds %v: %s\n%#v", rule, len(all), seeds, w.Detail, s)
	}
}

// keep writes a document that failed, where a folder was named.
func keep(t *testing.T, rule string, d *plan.Document) {
	if *into == "" || d == nil {
		return
	}
	f, err := os.Create(filepath.Join(*into, fmt.Sprintf("%s.json", rule)))
	if err != nil {
		t.Error(err)
		return
	}
	defer f.Close()
	if err := d.Write(f); err != nil {
		t.Error(err)
	}
}

// TestKept runs the settings that failed once.
func TestKept(t *testing.T) {
	if race.On {
		t.Skip("with one worker nothing runs side by side, and it takes minutes under the race detector")
	}
	t.Parallel()
	for _, k := range kept {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			if out := k.setting.run(); out.wrong != nil {
				t.Errorf("%s: %s", out.wrong.Rule, out.wrong.Detail)
			}
		})
	}
}
