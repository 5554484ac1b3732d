package photo

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"eke/piece/photo/staged"

	"github.com/stretchr/testify/require"
)

var (
	stagedCount = flag.Int("staged", 0, "trace so many staged pictures and write a table of how far off the outlines are")
	stagedFirst = flag.Int("first", 0, "the seed of the first of them")
	stagedHand  = flag.Bool("byhand", false, "stage them as a phone held over someone's floor may take them")
	stagedSide  = flag.Int("side", 2400, "points on the longer side of each")
	stagedTable = flag.String("table", "", "the `file` that the table is written to; the test's log if not given")
)

// TestStaged measures the tracing of many staged pictures, or of as many as there
// is time for:
//
//	go test ./piece/photo -run TestStaged -staged 100 -table errors.txt -timeout 60m
func TestStaged(t *testing.T) {
	if *stagedCount == 0 {
		t.Skip("takes minutes; ask for it with -staged 100")
	}
	scene := staged.Random
	if *stagedHand {
		scene = staged.ByHand
	}
	var all []sitting
	end, limited := t.Deadline()
	for seed := *stagedFirst; seed < *stagedFirst+*stagedCount; seed++ {
		if limited && time.Until(end) < time.Minute {
			t.Log("no time for more pictures")
			break
		}
		all = append(all, sit(scene(uint64(seed), *stagedSide)))
	}
	table := tabled(all)
	if *stagedTable == "" {
		t.Log("\n" + table)
		return
	}
	require.NoError(t, os.WriteFile(*stagedTable, []byte(table), 0o644))
}

// tabled is a table with a line for each picture, one for each scrap that misses
// a goal, and one for each size of scraps.
func tabled(all []sitting) string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(w, "picture\tmm a point\tscraps\tmissed\tnot there\tleft out, touch or cut\ttraced all the same\tfarthest mm\toutside mm on average, worst\tholes\tworst mm\tlost\tarea off %, worst\tseconds\tMB\t\n")
	var verdicts []verdict
	for _, s := range all {
		if s.err != nil {
			fmt.Fprintf(w, "%d\trefused: %v\n", s.seed, s.err)
			continue
		}
		sum := summed(s.verdicts)
		fmt.Fprintf(w, "%d\t%.2f\t%d\t%d\t%d\t%d\t%d\t%.2f\t%+.2f\t%d\t%.2f\t%d\t%.1f\t%.1f\t%.0f\t\n",
			s.seed, s.mmPoint, len(s.verdicts), sum.missed, s.extra, s.said, s.unsaid, quantile(sum.worst, 1), quantile(sum.outside, 1),
			len(sum.holes), quantile(sum.holes, 1), sum.lost, 100*quantile(sum.area, 1), s.tookS, s.heapMB)
		verdicts = append(verdicts, s.verdicts...)
	}
	w.Flush()

	fmt.Fprint(&b, "\nscraps that miss a goal: the outline within 2 mm of the truth and on average outside it by no more than 0.5 mm, holes within 3 mm, area within 1.5 %\n")
	w = tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(w, "picture\tcloth\tsize mm\t±mm\tfarthest mm\t95 % within mm\toutside mm\tunevenly mm\tmeasured off mm\tarea off %\tas drawn\tholes mm\tholes that are not\tsaid of it\t\n")
	for _, v := range verdicts {
		if !v.traced {
			fmt.Fprintf(w, "%d\t%s\t%.0f\tmissed\t\t\t\t\t\t\t\t\t%s\t\n", v.seed, v.cloth, v.sizeMM, v.doubt)
		} else if !v.good() {
			fmt.Fprintf(w, "%d\t%s\t%.0f\t%.2f\t%.2f\t%.2f\t%+.2f\t%.2f\t%.2f\t%+.1f\t%+.1f\t%.1f\t%d\t%s\t\n", v.seed, v.cloth, v.sizeMM, v.said, v.worst, v.most, v.outside, v.uneven, v.off, 100*v.area, 100*v.drawn, v.holes, v.stains, v.doubt)
		}
	}
	w.Flush()

	fmt.Fprint(&b, "\nby size: median, 95 % and worst\n")
	w = tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(w, "mm\ttraced\tmissed\tfarthest mm\t95 % of outline within mm\toutside mm on average\tunevenly mm\tarea off %\tas drawn %\t±mm\tmeasured off by, of ±\tin 2 ±\tholes\toff mm\tlost\twithin all goals\t\n")
	for _, band := range [][2]float64{{0, 60}, {60, 150}, {150, 400}, {400, 1300}, {0, 1300}} {
		var in []verdict
		for _, v := range verdicts {
			if v.sizeMM >= band[0] && v.sizeMM < band[1] {
				in = append(in, v)
			}
		}
		s := summed(in)
		q := func(v []float64, times float64) string {
			return fmt.Sprintf("%.2f %.2f %.2f", times*quantile(v, 0.5), times*quantile(v, 0.95), times*quantile(v, 1))
		}
		fmt.Fprintf(w, "%.0f to %.0f\t%d\t%d\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%d\t%d\t%s\t%d\t%d\t\n", band[0], band[1], len(s.worst), s.missed,
			q(s.worst, 1), q(s.most, 1), q(s.outside, 1), q(s.uneven, 1), q(s.area, 100), q(s.drawn, 100), q(s.said, 1), q(s.of, 1), s.told, len(s.holes), q(s.holes, 1), s.lost, s.good)
	}
	w.Flush()
	var off, offSaid, good, goodSaid int
	for _, v := range verdicts {
		said := 0
		if v.doubt != "" {
			said = 1
		}
		if v.good() {
			good, goodSaid = good+1, goodSaid+said
		} else {
			off, offSaid = off+1, offSaid+said
		}
	}
	fmt.Fprintf(&b, "\nsomething is said of %d of the %d that miss a goal, and of %d of the %d that do not\n", offSaid, off, goodSaid, good)
	return b.String()
}

// sums is what many verdicts say.
type sums struct {
	worst, most, outside, uneven, area, drawn, said, of, holes []float64
	missed, lost, good, told                                   int
}

func summed(all []verdict) (s sums) {
	for _, v := range all {
		if !v.traced {
			s.missed++
			continue
		}
		s.worst, s.most, s.outside, s.uneven = append(s.worst, v.worst), append(s.most, v.most), append(s.outside, v.outside), append(s.uneven, v.uneven)
		s.area, s.drawn, s.said = append(s.area, math.Abs(v.area)), append(s.drawn, math.Abs(v.drawn)), append(s.said, v.said)
		s.of = append(s.of, v.off/v.said)
		if v.off <= 2*v.said {
			s.told++
		}
		for _, h := range v.holes {
			if math.IsInf(h, 1) {
				s.lost++
			} else {
				s.holes = append(s.holes, h)
			}
		}
		if v.good() {
			s.good++
		}
	}
	return s
}

func quantile(v []float64, part float64) float64 {
	if len(v) == 0 {
		return 0
	}
	return slices.Sorted(slices.Values(v))[min(len(v)-1, int(part*float64(len(v))))]
}
