package search

import (
	"context"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/scraps"
	"eke/split"
	"eke/split/search/puzzle"
	"eke/split/wish"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

func sampleShirt(t testing.TB) ([]*piece.Piece, []piece.Scrap) {
	return patternOf(t, "tshirt.svg"), pileOfSample(t, "scraps.csv")
}

// pileOfSample is the scraps of a table or a drawing of the samples.
func pileOfSample(t testing.TB, name string) []piece.Scrap {
	f, err := os.Open("../../samples/" + name)
	require.NoError(t, err)
	defer f.Close()
	read := scraps.ReadCSV
	if strings.HasSuffix(name, ".svg") {
		read = svg.ReadScraps
	}
	pile, err := read(f, name)
	require.NoError(t, err)
	return pile
}

// timed runs a search and reports when it had its first plan, when it ended, how
// many seams its best plan has, and the most memory the process has held.
func timed(b *testing.B, pieces []*piece.Piece, pile []piece.Scrap, wishes ...wish.Wish) {
	ctx, cancel := context.WithTimeout(context.Background(), *limit)
	defer cancel()
	var first time.Duration
	start := time.Now()
	res, err := Run(ctx, pieces, pile, Options{
		MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: *workers, Seed: 1, Wishes: wishes,
		Progress: func(p Progress) {
			if p.Found && first == 0 {
				first = time.Since(start)
			}
		},
	})
	settled := time.Since(start)
	require.NoError(b, err)
	if !res.Settled { // it ends a little before its time, to refine what it has
		settled = max(settled, *limit)
	}
	copies, seams := 0, math.NaN()
	for _, p := range pieces {
		copies += len(p.Copies())
	}
	if len(res.Plans) > 0 {
		seams = float64(len(res.Plans[0].Seams))
		b.ReportMetric(first.Seconds(), "s-to-first")
	}
	b.ReportMetric(seams, "seams")
	b.ReportMetric(settled.Seconds(), "s-to-settle")
	b.ReportMetric(float64(copies), "pieces")
	b.ReportMetric(float64(len(split.ScrapCopies(pile))), "scraps")
	b.ReportMetric(peakMB(), "MB-peak")
}

// BenchmarkSample is a search of each pattern of the samples. The most memory is
// that of the process: it is a sample's own where that sample is asked alone.
func BenchmarkSample(b *testing.B) {
	for _, c := range []struct{ pattern, pile string }{
		{"tshirt.svg", "scraps.csv"},
		{"tshirt.svg", "scraps.svg"},
		{"tshirt-child.svg", "jerseys.csv"},
		{"raglan-child.svg", "scraps.csv"},
		{"cardigan.svg", "jumpers.svg"},
		{"blouse.svg", "lawn.svg"},
	} {
		b.Run(c.pattern+" from "+c.pile, func(b *testing.B) {
			pieces, pile := patternOf(b, c.pattern), pileOfSample(b, c.pile)
			for b.Loop() {
				timed(b, pieces, pile)
			}
		})
	}
}

// pileOf is the pieces of the first planted garments, and the scraps of so many.
func pileOf(t testing.TB, made, garments int, r puzzle.Rules) (pieces []*piece.Piece, pile []piece.Scrap) {
	for seed := range uint64(garments) {
		p, err := puzzle.New(seed, r)
		require.NoError(t, err)
		if int(seed) < made {
			for _, q := range p.Pieces {
				q.Name += " of " + strconv.FormatUint(seed, 10)
			}
			pieces = append(pieces, p.Pieces...)
		}
		for i := range p.Scraps {
			p.Scraps[i].Name += " of " + strconv.FormatUint(seed, 10)
		}
		pile = append(pile, p.Scraps...)
	}
	return pieces, pile
}

// BenchmarkScale is the search as the pile grows: the scraps of several planted
// garments, of which one or four are to be made, and three garments, which are
// twelve pieces, from more and more scraps that are of no use.
func BenchmarkScale(b *testing.B) {
	shirt := puzzle.Rules{Garment: "t-shirt", Seams: 2, SlackMM: 15, Decoys: 1, GapMM: 3, TurnDeg: 2}
	shared := puzzle.Rules{Garment: "t-shirt", Seams: 2, SlackMM: 10, Share: 0.4, Decoys: 1, GapMM: 3, TurnDeg: 2}
	decoys := func(n int) puzzle.Rules {
		return puzzle.Rules{Garment: "t-shirt", Seams: 1, SlackMM: 20, Decoys: n, GapMM: 3, TurnDeg: 2}
	}
	for _, c := range []struct {
		name           string
		made, garments int
		rules          puzzle.Rules
	}{
		{"1 garment", 1, 1, shirt},
		{"1 garment of 10", 1, 10, shirt},
		{"4 garments of 12, shared", 4, 12, shared},
		{"3 garments, 15 decoys each", 3, 3, decoys(15)},
		{"3 garments, 62 decoys each", 3, 3, decoys(62)},
		{"3 garments, 195 decoys each", 3, 3, decoys(195)},
	} {
		b.Run(c.name, func(b *testing.B) {
			pieces, pile := pileOf(b, c.made, c.garments, c.rules)
			for b.Loop() {
				timed(b, pieces, pile)
			}
		})
	}
}

// peakMB is the most memory the process has held so far, 0 where the system
// does not tell.
func peakMB() float64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(status)) {
		if kb, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			n, _ := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(kb), "kB")), 64)
			return n / 1024
		}
	}
	return 0
}

// BenchmarkWish is the child's t-shirt with a wish, and from the same cloth without:
// with it the time should be under twice as long.
func BenchmarkWish(b *testing.B) {
	for _, c := range []struct {
		name, pile string
		wish       wish.Wish
	}{
		{"carry", "jerseys.csv", wish.Carry{Piece: "front"}},
		{"alike", "jerseys.csv", wish.Alike{Piece: "sleeve"}},
		{"blocks", "jerseys.csv", wish.Blocks{SizeMM: 120}},
		{"stripes", "stripes.csv", wish.NewStripes([]string{"navy", "cream"}, []float64{60, 50})},
		{"stripes, depths chosen", "stripes.csv", wish.NewStripes([]string{"navy", "cream"}, nil)},
		{"match stripes", "breton.csv", wish.MatchStripes{}},
	} {
		b.Run(c.name, func(b *testing.B) {
			pieces, pile := patternOf(b, "tshirt-child.svg"), pileOfSample(b, c.pile)
			for name, wishes := range map[string][]wish.Wish{"wished": {c.wish}, "without": nil} {
				b.Run(name, func(b *testing.B) {
					for b.Loop() {
						timed(b, pieces, pile, wishes...)
					}
				})
			}
		})
	}
}
