package search

import (
	"context"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/scraps"
	"eke/split/search/puzzle"
	"eke/split/wish"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

func sampleShirt(t testing.TB) ([]*piece.Piece, []piece.Scrap) {
	f, err := os.Open("../../samples/tshirt.svg")
	require.NoError(t, err)
	defer f.Close()
	pieces, err := svg.Pattern(f, "tshirt.svg")
	require.NoError(t, err)
	g, err := os.Open("../../samples/scraps.csv")
	require.NoError(t, err)
	defer g.Close()
	pile, err := scraps.ReadCSV(g, "scraps.csv")
	require.NoError(t, err)
	return pieces, pile
}

// timed runs a search and says when it had its first plan and when it ended.
func timed(t testing.TB, pieces []*piece.Piece, pile []piece.Scrap, limit time.Duration, wishes ...wish.Wish) (first, settled time.Duration, res *Result) {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start := time.Now()
	res, err := Run(ctx, pieces, pile, Options{
		MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 2, Seed: 1, Wishes: wishes,
		Progress: func(p Progress) {
			if p.Found && first == 0 {
				first = time.Since(start)
			}
		},
	})
	require.NoError(t, err)
	return first, time.Since(start), res
}

// BenchmarkSample prints the time to the first plan of the t-shirt sample, the
// time until the search settles, and the most memory the process has held.
func BenchmarkSample(b *testing.B) {
	pieces, pile := sampleShirt(b)
	for b.Loop() {
		first, settled, res := timed(b, pieces, pile, 30*time.Second)
		require.NotEmpty(b, res.Plans)
		b.ReportMetric(first.Seconds(), "s-to-first")
		b.ReportMetric(settled.Seconds(), "s-to-settle")
	}
	b.ReportMetric(peakMB(), "MB-peak")
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

// BenchmarkScale prints the time to the first plan as the pile grows: the
// scraps of several planted garments, of which one is to be made, and 12 pieces
// from 60 scraps.
func BenchmarkScale(b *testing.B) {
	shirt := puzzle.Rules{Garment: "t-shirt", Seams: 2, SlackMM: 15, Decoys: 1, GapMM: 3, TurnDeg: 2}
	shared := puzzle.Rules{Garment: "t-shirt", Seams: 2, SlackMM: 10, Share: 0.4, Decoys: 1, GapMM: 3, TurnDeg: 2}
	for _, c := range []struct {
		name           string
		made, garments int
		rules          puzzle.Rules
	}{
		{"1 garment", 1, 1, shirt},
		{"1 garment of 10", 1, 10, shirt},
		{"4 garments of 12, shared", 4, 12, shared},
	} {
		b.Run(c.name, func(b *testing.B) {
			pieces, pile := pileOf(b, c.made, c.garments, c.rules)
			copies := 0
			for _, p := range pieces {
				copies += len(p.Copies())
			}
			for b.Loop() {
				first, settled, res := timed(b, pieces, pile, 30*time.Second)
				require.NotEmpty(b, res.Plans)
				b.ReportMetric(float64(copies), "pieces")
				b.ReportMetric(float64(len(pile)), "scraps")
				b.ReportMetric(first.Seconds(), "s-to-first")
				b.ReportMetric(settled.Seconds(), "s-to-settle")
			}
			b.ReportMetric(peakMB(), "MB-peak")
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

// BenchmarkCarry is BenchmarkSample with the child's t-shirt, whose cross seam is
// carried round, and without that wish: with it the time should be under twice
// as long.
func BenchmarkCarry(b *testing.B) {
	f, err := os.Open("../../samples/tshirt-child.svg")
	require.NoError(b, err)
	defer f.Close()
	pieces, err := svg.Pattern(f, "tshirt-child.svg")
	require.NoError(b, err)
	g, err := os.Open("../../samples/jerseys.csv")
	require.NoError(b, err)
	defer g.Close()
	pile, err := scraps.ReadCSV(g, "jerseys.csv")
	require.NoError(b, err)
	for name, wishes := range map[string][]wish.Wish{"wished": {wish.Carry{Piece: "front"}}, "without": nil} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				first, settled, res := timed(b, pieces, pile, 30*time.Second, wishes...)
				require.NotEmpty(b, res.Plans)
				b.ReportMetric(first.Seconds(), "s-to-first")
				b.ReportMetric(settled.Seconds(), "s-to-settle")
			}
		})
	}
}
