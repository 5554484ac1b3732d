// Command figures measures what eke does on this machine, and writes the tables
// of FIGURES.md:
//
//	go run ./cmd/figures            every section
//	go run ./cmd/figures strips     one of them; the others stay as they are
//
// It measures nothing itself. Each section runs tests or benchmarks by go test,
// which anybody may run by hand, and makes a table of what they tell. Above each
// table stands the command that wrote it, and on which commit and machine.
package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

// settings are what the flags say.
type settings struct {
	seeds, carriedSeeds, matchedSeeds, stripedSeeds seedRanges
	slacksMM, workers                               numbers
	limit, strip                                    time.Duration
	stripSeeds                                      seedRanges
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, "figures:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string, log io.Writer) error {
	s := settings{
		seeds: seedRanges{{0, 49}, {100, 149}}, carriedSeeds: seedRanges{{0, 19}, {100, 119}}, matchedSeeds: seedRanges{{0, 11}, {100, 113}}, stripedSeeds: seedRanges{{0, 9}, {100, 109}},
		slacksMM: numbers{10, 5, 2}, workers: numbers{1, 2}, stripSeeds: seedRanges{{1, 1}},
	}
	flags := flag.NewFlagSet("figures", flag.ContinueOnError)
	flags.SetOutput(log)
	flags.Var(&s.seeds, "seeds", "the seeds of planted puzzles, as ranges")
	flags.Var(&s.carriedSeeds, "carried-seeds", "the seeds of puzzles with a carried line, as ranges")
	flags.Var(&s.matchedSeeds, "matched-seeds", "the seeds of puzzles with stripes to match, as ranges")
	flags.Var(&s.stripedSeeds, "striped-seeds", "the seeds of puzzles in pieced stripes, as ranges")
	flags.Var(&s.slacksMM, "slack", "how far the scraps of planted puzzles reach beyond the parts, in mm")
	flags.Var(&s.workers, "workers", "how many workers each thing is measured with (1 or 2 for strips)")
	flags.DurationVar(&s.limit, "limit", 20*time.Second, "how long each search may take")
	flags.DurationVar(&s.strip, "strip", time.Minute, "how long each strip is packed")
	flags.Var(&s.stripSeeds, "strip-seeds", "the seeds of strips, as ranges")
	file := flags.String("o", filepath.Join("cmd", "figures", "FIGURES.md"), "the file to write")
	flags.Usage = func() {
		fmt.Fprintf(log, "go run ./cmd/figures [flags] [section...], from the top of the checkout. The sections, and how long each takes at most:\n")
		for _, c := range sections {
			fmt.Fprintf(log, "  %-9s %s, %v\n", c.name, c.title, c.most(s).Round(time.Second))
		}
		flags.PrintDefaults()
	}
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	for _, name := range flags.Args() {
		if !slices.ContainsFunc(sections, func(c section) bool { return c.name == name }) {
			return fmt.Errorf("there is no section %q; see -help", name)
		}
	}
	old, err := os.ReadFile(*file)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	d := parseDocument(string(old))
	var given []string // the flags, as they were given
	flags.Visit(func(f *flag.Flag) {
		if f.Name != "o" {
			given = append(given, "-"+f.Name+" "+f.Value.String())
		}
	})
	for _, c := range sections {
		if flags.NArg() > 0 && !slices.Contains(flags.Args(), c.name) {
			continue
		}
		fmt.Fprintf(log, "%s, at most %v\n", c.title, c.most(s).Round(time.Second))
		place, start := here(ctx), time.Now()
		table, err := c.measure(ctx, s, log)
		if err != nil {
			return fmt.Errorf("%s: %w", c.name, err)
		}
		command := strings.Join(slices.Concat([]string{"go run ./cmd/figures"}, given, []string{c.name}), " ")
		if c.picture != nil {
			if drawn := c.picture(table); drawn != nil {
				name := c.name + ".svg"
				if err := os.WriteFile(filepath.Join(filepath.Dir(*file), name), drawn, 0o644); err != nil {
					return err
				}
				table += fmt.Sprintf("\n![%s](%s)", c.title, name)
			}
		}
		d.set(c.title, fmt.Sprintf("Written by `%s` in %v, %s.\n\n%s\n\n%s", command, time.Since(start).Round(time.Second), place, c.about, table))
		// After each section, so that what was measured stays whatever comes next.
		if err := os.WriteFile(*file, []byte(d.String()), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// here is the commit and the machine that is measured.
func here(ctx context.Context) string {
	ask := func(name string, args ...string) string {
		out, err := exec.CommandContext(ctx, name, args...).Output()
		if err != nil {
			return "unknown"
		}
		return string(bytes.TrimSpace(out))
	}
	commit := ask("git", "rev-parse", "--short", "HEAD")
	if ask("git", "status", "--porcelain", "--untracked-files=no", "--", ".", ":!cmd/figures/FIGURES.md") != "" {
		commit += " with changes"
	}
	out := fmt.Sprintf("%s, commit %s, %s", time.Now().Format(time.DateOnly), commit, machine())
	if load, err := os.ReadFile("/proc/loadavg"); err == nil {
		busy, _, _ := strings.Cut(string(load), " ")
		out += ", load before " + busy
	}
	return out
}

// numbers is a flag of numbers with commas between.
type numbers []float64

func (n *numbers) String() string {
	var words []string
	for _, x := range *n {
		words = append(words, strconv.FormatFloat(x, 'g', -1, 64))
	}
	return strings.Join(words, ",")
}

func (n *numbers) Set(text string) error {
	*n = nil
	for word := range strings.SplitSeq(text, ",") {
		x, err := strconv.ParseFloat(word, 64)
		if err != nil || !(x > 0) {
			return fmt.Errorf("%q is not a number above 0", word)
		}
		*n = append(*n, x)
	}
	return nil
}

// seedRange is some seeds in a row, with both ends.
type seedRange struct{ first, last int }

func (r seedRange) count() int { return r.last - r.first + 1 }

func (r seedRange) String() string {
	if r.first == r.last {
		return strconv.Itoa(r.first)
	}
	return fmt.Sprintf("%d-%d", r.first, r.last)
}

// seedRanges is a flag of ranges with commas between: 0-49,100-149.
type seedRanges []seedRange

func (s *seedRanges) String() string {
	var words []string
	for _, r := range *s {
		words = append(words, r.String())
	}
	return strings.Join(words, ",")
}

func (s *seedRanges) Set(text string) error {
	*s = nil
	for word := range strings.SplitSeq(text, ",") {
		from, to, many := strings.Cut(word, "-")
		if !many {
			to = from
		}
		first, err := strconv.Atoi(from)
		last, errLast := strconv.Atoi(to)
		if err = errors.Join(err, errLast); err != nil || first < 0 || last < first {
			return fmt.Errorf("%q is neither a seed nor a range such as 0-49", word)
		}
		*s = append(*s, seedRange{first, last})
	}
	return nil
}

func (s seedRanges) count() (n int) {
	for _, r := range s {
		n += r.count()
	}
	return n
}
