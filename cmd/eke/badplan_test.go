//go:build unix

package main

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"eke/cmd/job"

	"eke/svg/sheets"

	"github.com/stretchr/testify/require"
)

// A plan.json that is made to take all the memory or time there is, is refused
// within 200 MB and 2 s.
func TestHostilePlans(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	found(t, dir, splitArgs("100mm")...)
	const side = `"d": "M0,100 L0,0"`
	good, err := os.ReadFile(filepath.Join(dir, "out", job.PlanFile))
	require.NoError(t, err)
	require.Contains(t, string(good), side)
	before, after, _ := strings.Cut(string(good), side)
	before, after = before+`"d": "M0,100 `, `"`+after
	const start = `{"format":"eke-plan/1",`
	for name, c := range map[string]struct {
		head, again string
		times       int
		tail        string
	}{
		"more than a plan":      {start, "          ", 10 << 20, "}"},
		"nested":                {start + `"options":`, "[", 10 << 20, ""},
		"empty options":         {start + `"options":[{}`, ",{}", 5 << 20, "]}"},
		"numbers for parts":     {start + `"options":[{"rank":1,"parts":[0`, ",0", 400_000, "]}]}"},
		"points":                {start + `"options":[{"rank":1}],"pieces":[{"name":"a","seam_line":[[0,1]`, ",[0,1]", 240_000, "]}]}"},
		"darts":                 {start + `"options":[{"rank":1}],"pieces":[{"name":"a","darts":[[]`, ",[]", 490_000, "]}]}"},
		"a long line":           {before, "L 0 99 ", 2 << 20, "L0,0" + after},
		"curves of many points": {before, "C 1e5 1e5 -1e5 1e5 0 9 ", 400_000, "L0,0" + after},
		"far away":              {before, "L1e308,0", 1, after},
		"not a number":          {before, "LNaN,0", 1, after},
	} {
		t.Run(name, func(t *testing.T) {
			bad := filepath.Join(dir, "bad", "option-1")
			require.NoError(t, os.MkdirAll(bad, 0o755))
			// By and by: a process counts what the one that started it held.
			f, err := os.Create(filepath.Join(dir, "bad", job.PlanFile))
			require.NoError(t, err)
			w := bufio.NewWriter(f)
			_, _ = w.WriteString(c.head)
			for range c.times {
				_, _ = w.WriteString(c.again)
			}
			_, _ = w.WriteString(c.tail)
			require.NoError(t, w.Flush())
			require.NoError(t, f.Close())
			cmd := exec.Command(binary, "sheets", bad)
			var stderr bytes.Buffer
			cmd.Stderr = &stderr
			require.Error(t, cmd.Run())
			require.Equal(t, 2, cmd.ProcessState.ExitCode(), "%.500s", stderr.String())
			require.Equal(t, 1, strings.Count(stderr.String(), "\n"), "%.500s", stderr.String())
			require.Less(t, stderr.Len(), 2000)
			usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage)
			require.True(t, ok)
			took := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
			t.Logf("%v, %d MB: %.200s", took, usage.Maxrss>>10, stderr.String())
			require.Less(t, usage.Maxrss<<10, int64(200<<20))
			require.Less(t, took, 2*time.Second)
		})
	}
}

// FuzzSheets prints plans as a stranger might write them: what is proved can
// be printed, and what is not is refused.
func FuzzSheets(f *testing.F) {
	dir := f.TempDir()
	write(f, dir, "flag.svg", flag)
	for _, args := range [][]string{splitArgs("100mm"), {"plan", "flag.svg", "--scrap", "linen: 24 x 20 cm", "--scrap", "navy: 24 x 20 cm", "-o", "out"}} {
		found(f, dir, args...)
		good, err := os.ReadFile(filepath.Join(dir, "out", job.PlanFile))
		require.NoError(f, err)
		f.Add(good, false)
		f.Add(good, true)
	}
	option := filepath.Join(dir, "option-1")
	require.NoError(f, os.Mkdir(option, 0o755))
	paper, err := sheets.ParsePaper("a4")
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, data []byte, layout bool) {
		write(t, dir, job.PlanFile, string(data))
		p, err := job.Pages{Paper: "a4", Layout: layout}.Open(option, nil)
		if err != nil {
			return
		}
		if _, err := sheets.Write(t.Context(), io.Discard, p.Title, p.Shapes, sheets.Options{Paper: paper, MarginMM: 10, OverlapMM: 12}); err != nil {
			t.Error(err)
		}
	})
}
