package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"eke/split/search/puzzle"
)

// section is one table of FIGURES.md.
type section struct {
	name, title, about string
	most               func(settings) time.Duration // that it takes
	measure            func(context.Context, settings, io.Writer) (string, error)
	picture            func(table string) []byte // drawn from the table, as SVG; nil for none
}

// building is how long go test may take beside what it measures.
const building = 3 * time.Minute

var sections = []section{
	{
		name: "puzzles", title: "Planted puzzles",
		about: `A garment is cut by a hidden plan of one to four seams, and scraps are grown round its parts (` + "`split/search/puzzle`" + `). Parts share a scrap with a
probability of 0.4, and three scraps are of no use. A puzzle is solved by a plan with no more seams than were hidden; each search stops there, or when
its time is up. The seconds are processor time of all workers together, to that plan or to the end.`,
		most: func(s settings) time.Duration {
			return time.Duration(len(s.slacksMM)*len(s.workers)*s.seeds.count()) * s.limit
		},
		measure: func(ctx context.Context, s settings, log io.Writer) (string, error) {
			return plantedTable(ctx, s, log, "TestPlantedPuzzles", s.slacksMM, s.seeds)
		},
	},
	{
		name: "carried", title: "Planted lines that are carried",
		about: `As above with a line that runs on through front, back and, in two of three, the sleeves, one look above it and one below, and its wish. Parts share a
scrap with a probability of 0.3.`,
		most: func(s settings) time.Duration {
			return time.Duration(len(s.workers)*s.carriedSeeds.count()) * s.limit
		},
		measure: func(ctx context.Context, s settings, log io.Writer) (string, error) {
			return plantedTable(ctx, s, log, "TestPlantedCarriedLines", numbers{5}, s.carriedSeeds)
		},
	},
	{
		name: "matched", title: "Planted stripes to match",
		about: `As above from cloth that is striped every 40 mm, where the stripes meet at the side seams and half way up the front's armholes, and the wish for it. What is
hidden is where they run, and up to two seams. Parts share a scrap with a probability of 0.3.`,
		most: func(s settings) time.Duration {
			return time.Duration(len(s.workers)*s.matchedSeeds.count()) * s.limit
		},
		measure: func(ctx context.Context, s settings, log io.Writer) (string, error) {
			return plantedTable(ctx, s, log, "TestPlantedMatchedStripes", numbers{5}, s.matchedSeeds)
		},
	},
	{
		name: "stripes", title: "Planted stripes that are pieced",
		about: `A garment in level stripes of two looks, cut from 20 to 60 scraps, and the wish for such stripes, which may be of any depth. A puzzle is solved by a plan whose
stripes meet at every seam. Parts share a scrap with a probability of 0.3.`,
		most: func(s settings) time.Duration {
			return time.Duration(len(s.workers)*s.stripedSeeds.count()) * s.limit
		},
		measure: func(ctx context.Context, s settings, log io.Writer) (string, error) {
			return plantedTable(ctx, s, log, "TestPlantedStripes", numbers{10}, s.stripedSeeds)
		},
	},
	{
		name: "samples", title: "The samples",
		about: `The search alone, until it settles or its time is up; ` + "`eke plan`" + ` proves, draws and writes as well.`,
		most: func(s settings) time.Duration {
			return time.Duration(len(s.workers)*len(samples)) * s.limit
		},
		measure: func(ctx context.Context, s settings, log io.Writer) (string, error) {
			return searchTable(ctx, s, log, "BenchmarkSample", samples)
		},
	},
	{
		name: "dense", title: "Outlines of many points",
		about: `The sample t-shirt from ` + "`scraps.csv`" + `, its pieces in curves, and as a tracing or a digitiser has them.`,
		most: func(s settings) time.Duration {
			return time.Duration(len(s.workers)*len(densities)) * s.limit
		},
		measure: func(ctx context.Context, s settings, log io.Writer) (string, error) {
			return searchTable(ctx, s, log, "BenchmarkDense", densities)
		},
	},
	{
		name: "scale", title: "Larger piles",
		about: `Pieces of one, four and three planted garments, from piles that hold more and more scraps. "Shared" means that parts share scraps in the hidden plan.`,
		most: func(s settings) time.Duration {
			return time.Duration(len(s.workers)*len(piles)) * s.limit
		},
		measure: func(ctx context.Context, s settings, log io.Writer) (string, error) {
			return searchTable(ctx, s, log, "BenchmarkScale", piles)
		},
		picture: scaleCurve,
	},
	{
		name: "strips", title: "Packing",
		about: `Open data (` + "`split/fit/testdata/opendata`" + `) on a strip as short as can be. The length is a share of that at the published mean density over 50 runs of
1200 s (J. Gardeyn and T. Wauters, arXiv 2509.13329).`,
		most: func(s settings) time.Duration {
			return time.Duration(sets*len(s.workers)*s.stripSeeds.count()) * s.strip
		},
		measure: stripTable,
	},
	{
		name: "pose", title: "Weighing a pose",
		about:   `How long the packing takes to say what a part costs in one place (` + "`BenchmarkWeigh`" + `), where parts may not be turned freely.`,
		most:    func(settings) time.Duration { return time.Minute },
		measure: poseTable,
	},
}

// plantedTable runs planted puzzles, with each slack, range of seeds and number of
// workers.
func plantedTable(ctx context.Context, s settings, log io.Writer, test string, slacksMM numbers, seeds seedRanges) (string, error) {
	t := table{{"slack", "seeds", "workers", "solved", "median", "longest", "what failed"}}
	for _, slack := range slacksMM {
		for _, r := range seeds {
			for _, workers := range s.workers {
				most := time.Duration(r.count())*s.limit + building
				got, err := goTest(ctx, log, most, "./split/search", "-run", "^"+test+"$", "-planted", fmt.Sprint(r.count()), "-from", fmt.Sprint(r.first),
					"-slack", fmt.Sprint(slack), "-limit", s.limit.String(), "-workers", fmt.Sprint(workers))
				if err != nil {
					return "", err
				}
				if len(got.outcomes) != r.count() {
					return "", fmt.Errorf("%s told of %d puzzles, not of %d", test, len(got.outcomes), r.count())
				}
				t = append(t, append([]string{fmt.Sprint(slack, " mm"), r.String(), fmt.Sprint(workers)}, plantedRow(got.outcomes)...))
			}
		}
	}
	return t.String(), nil
}

// plantedRow is how many were solved, in which time, and what became of the others.
func plantedRow(outcomes []puzzle.Outcome) []string {
	solved := 0
	var seconds []float64
	var failed []string
	for _, o := range outcomes {
		switch {
		case o.Solved():
			solved++
			seconds = append(seconds, o.Processor)
		case o.Found < 0:
			failed = append(failed, fmt.Sprintf("%d: none found", o.Seed))
		default:
			failed = append(failed, fmt.Sprintf("%d: %d more than hidden", o.Seed, o.Found-o.Hidden))
		}
	}
	median, longest := "", ""
	if slices.Sort(seconds); len(seconds) > 0 {
		median, longest = fmt.Sprintf("%.1f s", seconds[len(seconds)/2]), fmt.Sprintf("%.1f s", seconds[len(seconds)-1])
	}
	return []string{fmt.Sprintf("%d of %d", solved, len(outcomes)), median, longest, strings.Join(failed, "; ")}
}

// The sub-benchmarks of BenchmarkSample, BenchmarkDense and BenchmarkScale. Each runs in a process
// of its own, for the sake of its memory.
var (
	samples = []string{
		"tshirt.svg from scraps.csv", "tshirt.svg from scraps.svg", "tshirt-child.svg from jerseys.csv",
		"raglan-child.svg from scraps.csv", "cardigan.svg from jumpers.svg", "blouse.svg from lawn.svg",
	}
	densities = []string{"curves", "1000 points a piece", "5000 points a piece"}
	piles     = []string{
		"1 garment", "1 garment of 10", "4 garments of 12, shared",
		"3 garments, 15 decoys each", "3 garments, 62 decoys each", "3 garments, 195 decoys each",
	}
)

// searchTable runs a benchmark of the search, one sub-benchmark after the other.
func searchTable(ctx context.Context, s settings, log io.Writer, name string, subs []string) (string, error) {
	t := table{{"search", "pieces", "scraps", "workers", "seams", "first plan", "settled", "peak memory"}}
	for _, sub := range subs {
		for _, workers := range s.workers {
			pattern := fmt.Sprintf("^%s$/^%s$", name, strings.ReplaceAll(sub, " ", "_"))
			b, err := oneBenchmark(ctx, log, s.limit+building, "./split/search", pattern, "-benchtime", "1x", "-limit", s.limit.String(), "-workers", fmt.Sprint(workers))
			if err != nil {
				return "", err
			}
			first, settled := "none", fmt.Sprintf("%.1f s", b.values["s-to-settle"])
			if x, found := b.values["s-to-first"]; found {
				first = fmt.Sprintf("%.2f s", x)
			}
			if b.values["s-to-settle"] >= s.limit.Seconds() {
				settled = "not in " + s.limit.String()
			}
			t = append(t, []string{sub, count(b.values["pieces"]), count(b.values["scraps"]), fmt.Sprint(workers), count(b.values["seams"]), first, settled, fmt.Sprintf("%.0f MB", b.values["MB-peak"])})
		}
	}
	return t.String(), nil
}

func count(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return fmt.Sprintf("%.0f", x)
}

// oneBenchmark runs a benchmark that prints one line.
func oneBenchmark(ctx context.Context, log io.Writer, most time.Duration, pkg, pattern string, args ...string) (benchmark, error) {
	got, err := goTest(ctx, log, most, append([]string{pkg, "-run", "^$", "-bench", pattern}, args...)...)
	if err != nil {
		return benchmark{}, err
	}
	if len(got.benchmarks) != 1 {
		return benchmark{}, fmt.Errorf("%s printed %d lines, not one", pattern, len(got.benchmarks))
	}
	return got.benchmarks[0], nil
}

// stripTable packs each set of open data, with each seed and number of workers.
func stripTable(ctx context.Context, s settings, log io.Writer) (string, error) {
	t := table{{"set", "seed", "workers", "time", "density", "length"}}
	for _, r := range s.stripSeeds {
		for seed := r.first; seed <= r.last; seed++ {
			for _, workers := range s.workers {
				pattern := fmt.Sprintf("^BenchmarkStrip$/.*/^workers%v$", workers)
				got, err := goTest(ctx, log, sets*s.strip+building, "./split/fit", "-run", "^$", "-bench", pattern, "-benchtime", "1x", "-strip", s.strip.String(), "-seed", fmt.Sprint(seed))
				if err != nil {
					return "", err
				}
				if len(got.benchmarks) != sets {
					return "", fmt.Errorf("%s printed %d lines, not %d", pattern, len(got.benchmarks), sets)
				}
				for _, b := range got.benchmarks {
					set := strings.Split(b.name, "/")[1]
					t = append(t, []string{set, fmt.Sprint(seed), fmt.Sprint(workers), s.strip.String(), fmt.Sprintf("%.1f %%", b.values["%density"]), fmt.Sprintf("%.3f", b.values["×published"])})
				}
			}
		}
	}
	return t.String(), nil
}

// sets is how many sets of open data there are.
const sets = 3

func poseTable(ctx context.Context, _ settings, log io.Writer) (string, error) {
	b, err := oneBenchmark(ctx, log, building, "./split/fit", "^BenchmarkWeigh$")
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%.2f µs a pose.", b.values["ns/pose"]/1000), nil
}

// table is a table of Markdown: its head, and its rows.
type table [][]string

func (t table) String() string {
	var b strings.Builder
	for i, row := range t {
		b.WriteString("| " + strings.Join(row, " | ") + " |\n")
		if i == 0 {
			b.WriteString("|" + strings.Repeat(" --- |", len(row)) + "\n")
		}
	}
	return b.String()
}
