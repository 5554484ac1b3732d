package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"time"

	"eke/cmd/job"
	"eke/split/search/puzzle"
)

// told is what tests and benchmarks said.
type told struct {
	outcomes   []puzzle.Outcome
	benchmarks []benchmark
}

// benchmark is one line of a benchmark: its name without the number of cores, and
// its values by their units.
type benchmark struct {
	name   string
	values map[string]float64
}

// goTest runs go test with these arguments, and the heap of eke plan, and reads what is
// told.
func goTest(ctx context.Context, log io.Writer, most time.Duration, args ...string) (told, error) {
	args = append([]string{"test", "-json", "-v", "-count=1", "-timeout", most.String()}, args...)
	fmt.Fprintln(log, "  go", strings.Join(args, " "))
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Stderr = os.Stderr
	if os.Getenv("GOGC") == "" {
		cmd.Env = append(os.Environ(), fmt.Sprintf("GOGC=%d", job.HeapPercent))
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return told{}, err
	}
	if err := cmd.Start(); err != nil {
		return told{}, err
	}
	t, said, err := readEvents(out)
	if _, errRest := io.Copy(io.Discard, out); err == nil {
		err = errRest
	}
	if failed := cmd.Wait(); failed != nil {
		return t, fmt.Errorf("go test: %w\n%s", failed, said)
	}
	return t, err
}

// readEvents reads the events of go test -json. Said is the last that was printed.
func readEvents(r io.Reader) (t told, said string, err error) {
	var text strings.Builder
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<24)
	for lines.Scan() {
		var event struct{ Action, Key, Value, Output string }
		if err := json.Unmarshal(lines.Bytes(), &event); err != nil {
			return t, text.String(), fmt.Errorf("%w in %q", err, lines.Text())
		}
		switch {
		case event.Action == "attr" && event.Key == puzzle.Attribute:
			var o puzzle.Outcome
			if err := json.Unmarshal([]byte(event.Value), &o); err != nil {
				return t, text.String(), fmt.Errorf("%w in %q", err, event.Value)
			}
			t.outcomes = append(t.outcomes, o)
		case event.Action == "output":
			text.WriteString(event.Output)
		}
	}
	// A benchmark's name and its values are printed one after the other, on one line.
	for line := range strings.Lines(text.String()) {
		if b, ok := parseBenchmark(line); ok {
			t.benchmarks = append(t.benchmarks, b)
		}
	}
	said = text.String()
	return t, said[max(0, len(said)-2000):], lines.Err()
}

// coresAtEnd is how many cores a benchmark had, written after its name.
var coresAtEnd = regexp.MustCompile(`-[0-9]+$`)

// parseBenchmark reads a line such as "BenchmarkStrip/shirts-2  1  60.2 ns/op  87.4 %density".
func parseBenchmark(line string) (benchmark, bool) {
	words := strings.Fields(line)
	if len(words) < 4 || len(words)%2 != 0 || !strings.HasPrefix(words[0], "Benchmark") {
		return benchmark{}, false
	}
	if _, err := strconv.Atoi(words[1]); err != nil {
		return benchmark{}, false
	}
	b := benchmark{name: coresAtEnd.ReplaceAllString(words[0], ""), values: map[string]float64{}}
	for i := 2; i < len(words); i += 2 {
		x, err := strconv.ParseFloat(words[i], 64)
		if err != nil {
			return benchmark{}, false
		}
		b.values[words[i+1]] = x
	}
	return b, true
}

// machine is what the figures depend on: the processor and its cores, the system
// and Go.
func machine() string {
	name := ""
	if text, err := os.ReadFile("/proc/cpuinfo"); err == nil {
		for line := range strings.Lines(string(text)) {
			if key, value, found := strings.Cut(line, ":"); found && strings.TrimSpace(key) == "model name" {
				name = " (" + strings.TrimSpace(value) + ")"
				break
			}
		}
	}
	return fmt.Sprintf("%d cores%s, %s/%s, %s", runtime.NumCPU(), name, runtime.GOOS, runtime.GOARCH, runtime.Version())
}
