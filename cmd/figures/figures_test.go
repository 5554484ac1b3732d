package main

import (
	"context"
	"io"
	"os"
	"strings"
	"testing"

	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// A section that is written anew leaves all others as they are, and what stands
// by hand beneath it.
func TestASectionIsWrittenAnew(t *testing.T) {
	t.Parallel()
	d := parseDocument("# Figures\n\nOf old.\n\n## One\n\n| a |\n\n### By hand\n\nWhy.\n\n## Two\n\n| b |\n")
	d.set("One", "| c |\n")
	d.set("Three", "| d |\n")
	require.Equal(t, "# Figures\n\nOf old.\n\n## One\n\n| c |\n\n### By hand\n\nWhy.\n\n## Two\n\n| b |\n\n## Three\n\n| d |\n", d.String())
	again := parseDocument(d.String())
	require.Equal(t, d.String(), again.String())
	var empty document = parseDocument("")
	empty.set("One", "x")
	require.Equal(t, "# Figures\n\n## One\n\nx\n", empty.String())
}

// The file in the repository is one that this command reads and would write, with
// a section for each thing measured.
func TestTheFileHasEverySection(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("FIGURES.md")
	require.NoError(t, err)
	d := parseDocument(string(text))
	require.Equal(t, string(text), d.String())
	titles := map[string]bool{}
	for _, s := range d.sections {
		titles[s.title] = true
	}
	for _, s := range sections {
		require.True(t, titles[s.title], s.title)
	}
}

// What go test -json prints is read: outcomes, and benchmarks whose name and
// values come in two events.
func TestReadEvents(t *testing.T) {
	t.Parallel()
	got, said, err := readEvents(strings.NewReader(`{"Action":"attr","Test":"TestPlantedPuzzles","Key":"outcome","Value":"{\"Seed\":3,\"Garment\":\"vest\",\"Hidden\":2,\"Found\":-1,\"Processor\":19.5}"}
{"Action":"attr","Test":"TestPlantedPuzzles","Key":"other","Value":"x"}
{"Action":"output","Output":"BenchmarkStrip/shirts/workers2-16 \t"}
{"Action":"output","Output":"       1\t60000000000 ns/op\t        87.40 %density\t         NaN seams\n"}
{"Action":"output","Output":"BenchmarkStrip/shirts/workers2\n"}
{"Action":"output","Output":"ok  \teke/split/fit\t0.3s\n"}
`))
	require.NoError(t, err)
	require.Contains(t, said, "ok")
	require.Equal(t, []puzzle.Outcome{{Seed: 3, Garment: "vest", Hidden: 2, Found: -1, Processor: 19.5}}, got.outcomes)
	require.Len(t, got.benchmarks, 1)
	require.Equal(t, "BenchmarkStrip/shirts/workers2", got.benchmarks[0].name)
	require.InDelta(t, 87.4, got.benchmarks[0].values["%density"], 1e-9)
	_, _, err = readEvents(strings.NewReader("not JSON\n"))
	require.Error(t, err)
}

func TestPlantedRow(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{"3 of 5", "2.0 s", "9.0 s", "4: none found; 7: 1 more than hidden"}, plantedRow([]puzzle.Outcome{
		{Seed: 3, Hidden: 2, Found: 2, Processor: 9}, {Seed: 4, Hidden: 2, Found: -1, Processor: 20}, {Seed: 5, Hidden: 2, Found: 1, Processor: 1},
		{Seed: 6, Hidden: 0, Found: 0, Processor: 2}, {Seed: 7, Hidden: 2, Found: 3, Processor: 3},
	}))
}

// The curve has a mark for each time there is, and none for what has none.
func TestScaleCurve(t *testing.T) {
	t.Parallel()
	head := "| search | pieces | scraps | workers | seams | first plan | settled | peak memory |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n"
	require.Nil(t, scaleCurve(head+"| a | 12 | 60 | 1 | 2 | 0.5 s | 3 s | 40 MB |\n| b | 5 | 11 | 1 | 1 | 0.2 s | 1 s | 40 MB |\n"))
	drawn := string(scaleCurve(head + "| a | 12 | 60 | 1 | 2 | 0.5 s | 3 s | 40 MB |\n| b | 12 | 200 | 1 | 2 | 1.5 s | not in 20s | 40 MB |\n| c | 12 | 600 | 1 |  | none | not in 20s | 40 MB |\n"))
	require.Equal(t, 3, strings.Count(drawn, "<circle"))
	require.Contains(t, drawn, "first plan, 1 worker<")
}

func TestRefusals(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{"-seeds", "9-3"}, {"-seeds", "a"}, {"-workers", "0"}, {"-slack", "NaN"}, {"nonsense"}, {"-o", "no/such/folder/x.md", "nonsense"}} {
		require.Error(t, run(context.Background(), args, io.Discard), args)
	}
	require.NoError(t, run(context.Background(), []string{"-help"}, io.Discard))
}
