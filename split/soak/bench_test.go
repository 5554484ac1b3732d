package soak

import (
	"context"
	"fmt"
	"math"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"eke/piece"
	"eke/split/search"
	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// BenchmarkTwelvePieces prints the time to the first plan for 12 pieces, those
// of three garments, from 60 irregular scraps with so much room around their
// parts, how long the search runs on after its time of 10 s, and the most
// memory the process has held.
func BenchmarkTwelvePieces(b *testing.B) {
	for _, slack := range []float64{40, 20} {
		b.Run(fmt.Sprint(slack, "mm"), func(b *testing.B) {
			var pieces []*piece.Piece
			var pile []piece.Scrap
			for seed := range uint64(3) {
				p, err := puzzle.New(seed, puzzle.Rules{Garment: "t-shirt", Seams: 1, SlackMM: slack, Decoys: 15, GapMM: 3, TurnDeg: 2})
				require.NoError(b, err)
				for _, q := range p.Pieces {
					q.Name = fmt.Sprint(q.Name, " ", seed+1)
					pieces = append(pieces, q)
				}
				for i := range p.Scraps {
					p.Scraps[i].Name = fmt.Sprint(p.Scraps[i].Name, " of ", seed+1)
				}
				pile = append(pile, p.Scraps...)
			}
			for b.Loop() {
				soughtFor(b, 10*time.Second, pieces, pile)
			}
			b.ReportMetric(float64(len(pile)), "scraps")
			b.ReportMetric(peakMB(b), "MB-peak")
		})
	}
}

func soughtFor(b *testing.B, limit time.Duration, pieces []*piece.Piece, pile []piece.Scrap) {
	first := math.NaN()
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start := time.Now()
	res, err := search.Run(ctx, pieces, pile, search.Options{
		MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: runtime.GOMAXPROCS(0), Seed: 1,
		Progress: func(search.Progress) {
			if math.IsNaN(first) {
				first = time.Since(start).Seconds()
			}
		},
	})
	require.NoError(b, err)
	b.ReportMetric(first, "s-to-first")
	b.ReportMetric(max(0, time.Since(start)-limit).Seconds(), "s-late")
	b.ReportMetric(float64(len(res.Plans)), "plans")
}

// peakMB is the most memory the process has held.
func peakMB(b *testing.B) float64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		b.Skip("the system does not tell: ", err)
	}
	for line := range strings.Lines(string(status)) {
		if kb, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			n, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(kb), "kB")), 64)
			require.NoError(b, err)
			return n / 1024
		}
	}
	return 0
}
