package main

import (
	"bytes"
	"context"
	"errors"
	command "flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"eke/piece/race"

	"github.com/stretchr/testify/require"
)

// binary is eke as a user has it, built once, without the race detector.
var binary string

// inOneProcess are the tests that run commands in their own process, where the
// race detector sees what they do.
const inOneProcess = "InOneProcess|ProgressShows|OneFile"

func TestMain(m *testing.M) {
	command.Parse()
	os.Exit(func() int {
		if asked := command.Lookup("test.run"); race.On && asked.Value.String() == "" {
			if err := asked.Value.Set(inOneProcess); err != nil {
				fmt.Fprintln(os.Stderr, err)
				return 1
			}
		}
		dir, err := os.MkdirTemp("", "eke-built-")
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		defer os.RemoveAll(dir)
		binary = filepath.Join(dir, "eke")
		if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
			fmt.Fprintf(os.Stderr, "eke does not build: %v\n%s", err, out)
			return 1
		}
		return m.Run()
	}())
}

// sample is a file of samples/.
func sample(t testing.TB, name string) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("..", "..", "samples", name))
	require.NoError(t, err)
	return path
}

// ran is what a run of the binary did.
type ran struct {
	code   int
	stdout string
	stderr string
}

// eke runs the binary in a folder and requires that it ends and does not
// panic.
func eke(t testing.TB, dir string, args ...string) ran {
	t.Helper()
	return ekeWith(t, dir, nil, args...)
}

func ekeWith(t testing.TB, dir string, env []string, args ...string) ran {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, binary, args...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), env...)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	err := cmd.Run()
	require.NoError(t, ctx.Err(), "eke %s does not end", strings.Join(args, " "))
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		require.NoError(t, err)
	}
	r := ran{cmd.ProcessState.ExitCode(), stdout.String(), stderr.String()}
	require.NotContains(t, r.stderr, "goroutine ", "eke %s fell over", strings.Join(args, " "))
	return r
}

// found runs the binary and requires that it did what it was asked.
func found(t testing.TB, dir string, args ...string) ran {
	t.Helper()
	r := eke(t, dir, args...)
	require.Equal(t, 0, r.code, "%s", r.stderr)
	require.Empty(t, r.stderr)
	return r
}

// refused runs the binary and requires one line of complaint that holds each
// of the words, exit 2, and a folder left as it was.
func refused(t testing.TB, dir string, args []string, words ...string) {
	t.Helper()
	before := tree(t, dir)
	r := eke(t, dir, args...)
	require.Equal(t, 2, r.code, "stdout %s\nstderr %s", r.stdout, r.stderr)
	require.Empty(t, r.stdout)
	require.True(t, strings.HasPrefix(r.stderr, "eke: "), r.stderr)
	require.Equal(t, 1, strings.Count(r.stderr, "\n"), r.stderr)
	require.Less(t, len(r.stderr), 600, r.stderr)
	for _, w := range words {
		require.Contains(t, r.stderr, w)
	}
	require.Equal(t, before, tree(t, dir))
}

// write puts a file in a folder and gives its path.
func write(t testing.TB, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	return path
}

// tree is every file below a folder, folders too, name to content.
func tree(t testing.TB, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		if !e.Type().IsRegular() {
			out[name] = e.Type().String()
			return nil
		}
		data, err := os.ReadFile(path)
		out[name] = string(data)
		return err
	})
	require.NoError(t, err)
	return out
}

// shape is a pattern of one piece that needs no more than an outline.
func shape(name, d string, facts ...string) string {
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">
<g id=%q %s><path class="seam" d=%q/><path class="grain" d="M 50,40 V 80"/></g>
</svg>`, name, strings.Join(facts, " "), d)
}

// flag is a rectangle of 200 by 280 mm, 220 by 300 with its allowance.
var flag = shape("flag", "M 0,0 H 200 V 280 H 0 Z")

// splitArgs is a run that is all writing: a cut of the flag at a level.
func splitArgs(level string) []string {
	return []string{"split", "flag.svg", "--piece", "flag", "--yoke", level, "-o", "out"}
}
