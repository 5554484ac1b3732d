package job

import (
	"fmt"
	"strings"
	"time"

	"eke/split/search"
)

// waits are the search times that eke may suggest. A suggestion is at least
// twice the time given before; beyond the last one, more time is no good advice.
var waits = []struct {
	time  time.Duration
	words string
}{
	{20 * time.Second, "20s"}, {time.Minute, "60s"}, {3 * time.Minute, "3m"}, {10 * time.Minute, "10m"}, {30 * time.Minute, "30m"},
}

// longer is a time to search that is at least twice as long, as it is given
// to --time.
func longer(than time.Duration) (words string, ok bool) {
	for _, w := range waits {
		if w.time >= 2*than {
			return w.words, true
		}
	}
	return "", false
}

// stoppedNote says of a search that ended before it was done what more there
// may be to find, and what would find it. Byhand is a stop by Ctrl-C.
func (f *Plan) stoppedNote(res *search.Result, byHand bool) string {
	const stopped = "the search was stopped before it was done; "
	var cures []string
	words, more := longer(f.Time)
	switch {
	case byHand:
		cures = append(cures, "letting it run on")
	case more:
		cures = append(cures, "more time, such as --time "+words+",")
	}
	if len(res.Plans) == 0 {
		if len(f.Kinds) > 0 {
			cures = append(cures, "more kinds of seam than --seams allows")
		}
		if f.MaxSeams >= 0 {
			cures = append(cures, fmt.Sprintf("more seams than --max-seams %d", f.MaxSeams))
		}
		return stopped + strings.Join(append(cures, "more or larger scraps"), " or ") + " may help"
	}
	fewest := len(res.Plans[0].Seams)
	switch {
	case res.Fewest && len(cures) > 0:
		return stopped + cures[0] + " may find other plans with as few seams"
	case res.Fewest:
		return stopped + "no plan has fewer seams, and in so long a time there is little more to find"
	case len(cures) > 0:
		return stopped + cures[0] + " may find better plans"
	}
	return stopped + fmt.Sprintf("to put all of the time into plans with fewer seams, give --max-seams %d", fewest-1)
}
