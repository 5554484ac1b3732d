package photo

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"eke/piece/photo/staged"

	"github.com/stretchr/testify/require"
)

var segmentedCount = flag.Int("segmented", 0, "tell cloth from ground in so many staged pictures, by watershed and by graph cuts, and write a table of the points on the wrong side")

// TestSegmentations measures ways to tell cloth from ground, over the same model
// of the ground:
//
//	go test ./piece/photo -run TestSegmentations -segmented 12 -side 1000 -table segmentations.txt
func TestSegmentations(t *testing.T) {
	if *segmentedCount == 0 {
		t.Skip("takes minutes; ask for it with -segmented 12 -side 1000")
	}
	ways := []struct {
		name string
		tell func(f *field, g *ground) []uint8
	}{
		{"watershed", segment},
		{"cut, weight 12, even at 4.75", func(f *field, g *ground) []uint8 { return cut(f, g, 12, 4.75) }},
		{"12, at 7", func(f *field, g *ground) []uint8 { return cut(f, g, 12, 7) }},
		{"12, at 10", func(f *field, g *ground) []uint8 { return cut(f, g, 12, 10) }},
		{"40, at 10", func(f *field, g *ground) []uint8 { return cut(f, g, 40, 10) }},
	}
	var b strings.Builder
	fmt.Fprint(&b, "points on the wrong side, for each thousand points of the true outlines: cloth taken for ground + ground taken for cloth; seconds\n")
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(w, "picture\tground\t")
	for _, way := range ways {
		fmt.Fprintf(w, "%s\ts\t", way.name)
	}
	fmt.Fprintln(w)
	sum := make([][3]float64, len(ways))
	for seed := *stagedFirst; seed < *stagedFirst+*segmentedCount; seed++ {
		s := staged.Random(uint64(seed), *stagedSide)
		picture := newPicture(s.Picture(), 1)
		cloth, sheets := s.Cover()
		fmt.Fprintf(w, "%d\t%s\t", seed, s.Ground.Kind)
		for i, way := range ways {
			f := newField(picture)
			require.Equal(t, 1, f.by, "the truth is known for each point of the picture: ask for -side 2400 or less")
			g, err := newGround(f)
			require.NoError(t, err)
			start := time.Now()
			labels := way.tell(f, g)
			took := time.Since(start).Seconds()
			lost, added := wrongSide(labels, cloth, sheets, f.w, f.h)
			fmt.Fprintf(w, "%.0f+%.0f\t%.1f\t", lost, added, took)
			sum[i][0], sum[i][1], sum[i][2] = sum[i][0]+lost, sum[i][1]+added, sum[i][2]+took
		}
		fmt.Fprintln(w)
	}
	fmt.Fprint(w, "mean\t\t")
	n := float64(*segmentedCount)
	for _, s := range sum {
		fmt.Fprintf(w, "%.0f+%.0f\t%.1f\t", s[0]/n, s[1]/n, s[2]/n)
	}
	fmt.Fprintln(w)
	require.NoError(t, w.Flush())
	if *stagedTable == "" {
		t.Log("\n" + b.String())
		return
	}
	require.NoError(t, os.WriteFile(*stagedTable, []byte(b.String()), 0o644))
}

// wrongSide is how many points of cloth are taken for ground, and of ground for
// cloth, away from sheets, for each thousand points of the outlines.
func wrongSide(labels []uint8, cloth, sheets []float32, w, h int) (lost, added float64) {
	paper := make([]bool, len(sheets))
	for k, v := range sheets {
		paper[k] = v > 0
	}
	paper = dilated(paper, w, h, 6)
	outline := 0.0
	for k, v := range cloth {
		switch {
		case paper[k]:
		case v > 0.5 && labels[k] != onCloth:
			lost++
		case v <= 0.5 && labels[k] == onCloth:
			added++
		}
		if (k+1)%w != 0 && k+w < len(cloth) && (v > 0.5) != (cloth[k+1] > 0.5 && cloth[k+w] > 0.5) {
			outline++
		}
	}
	return 1000 * lost / outline, 1000 * added / outline
}

// A cut costs the least of all: tried out on grids that are small enough.
func TestCut(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 7))
	const w, h = 4, 3
	for range 40 {
		f := newFlow(w, h)
		type edge struct {
			a, b int
			room float64
		}
		var edges []edge
		spare := make([]float64, w*h)
		for k := range spare {
			spare[k] = float64(r.IntN(21) - 10)
			f.terminal(k, float32(spare[k]))
			for _, d := range [4][2]int{{1, 0}, {0, 1}, {1, 1}, {-1, 1}} {
				if x, y := k%w+d[0], k/w+d[1]; x >= 0 && x < w && y < h {
					e := edge{k, y*w + x, float64(r.IntN(6))}
					edges = append(edges, e)
					f.join(e.a, e.b, float32(e.room))
				}
			}
		}
		cost := func(source func(k int) bool) (sum float64) {
			for k, v := range spare {
				if v > 0 && !source(k) || v < 0 && source(k) {
					sum += math.Abs(v)
				}
			}
			for _, e := range edges {
				if source(e.a) != source(e.b) {
					sum += e.room
				}
			}
			return sum
		}
		least := math.Inf(1)
		for m := range 1 << (w * h) {
			least = math.Min(least, cost(func(k int) bool { return m>>k&1 > 0 }))
		}
		got := f.cut()
		require.InDelta(t, least, cost(func(k int) bool { return got[k] }), 1e-6)
	}
}
