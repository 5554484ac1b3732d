//go:build linux

package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// whole requires that out is the output of one run, and says of which of two.
func whole(t *testing.T, dir string, outputs ...map[string]string) int {
	t.Helper()
	got := tree(t, filepath.Join(dir, "out"))
	for i, want := range outputs {
		if got["plan.json"] == want["plan.json"] {
			require.Equal(t, want, got)
			return i
		}
	}
	t.Fatal("out is no run's output")
	return 0
}

func TestKilledWhileWriting(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	levels := []string{"100mm", "150mm"}
	var outputs []map[string]string
	var took time.Duration
	for _, level := range levels {
		start := time.Now()
		found(t, dir, splitArgs(level)...)
		took = time.Since(start)
		outputs = append(outputs, tree(t, filepath.Join(dir, "out")))
	}
	r := rand.New(rand.NewPCG(1, 2))
	seen, left := map[int]int{}, 0
	const kills = 60
	for i := range kills {
		cmd := exec.Command(binary, splitArgs(levels[i%2])...)
		cmd.Dir = dir
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(r.Int64N(int64(took))))
		require.NoError(t, cmd.Process.Kill())
		_ = cmd.Wait()
		seen[whole(t, dir, outputs...)]++
		left = max(left, len(listed(t, dir))-2)
	}
	t.Logf("after %d kills: %v, at most %d folders left over", kills, seen, left)
	found(t, dir, splitArgs(levels[0])...)
	require.Equal(t, outputs[0], tree(t, filepath.Join(dir, "out")))
	require.Equal(t, []string{"flag.svg", "out"}, listed(t, dir), "what killed runs left is cleared away")
}

// A PDF that was being added is there whole or not, and the plan can still be
// replaced.
func TestKilledWhileAddingSheets(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	found(t, dir, splitArgs("100mm")...)
	sheets := []string{"sheets", "out/option-1"}
	start := time.Now()
	found(t, dir, sheets...)
	took := time.Since(start)
	pdf := tree(t, dir)["out/option-1/parts-a4.pdf"]
	require.NotEmpty(t, pdf)
	r := rand.New(rand.NewPCG(3, 4))
	for range 30 {
		cmd := exec.Command(binary, sheets...)
		cmd.Dir = dir
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(r.Int64N(int64(took))))
		require.NoError(t, cmd.Process.Kill())
		_ = cmd.Wait()
		if got, ok := tree(t, dir)["out/option-1/parts-a4.pdf"]; ok {
			require.True(t, got == pdf, "the PDF is not whole")
		}
	}
	found(t, dir, splitArgs("150mm")...)
	require.Equal(t, []string{"flag.svg", "out"}, listed(t, dir))
}

func TestTwoRunsToOneFolder(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	levels := []string{"100mm", "150mm"}
	var outputs []map[string]string
	for _, level := range levels {
		found(t, dir, splitArgs(level)...)
		outputs = append(outputs, tree(t, filepath.Join(dir, "out")))
	}
	for range 8 {
		var wg sync.WaitGroup
		for _, level := range levels {
			wg.Go(func() {
				cmd := exec.Command(binary, splitArgs(level)...)
				cmd.Dir = dir
				if out, err := cmd.CombinedOutput(); err != nil {
					t.Errorf("%v: %s", err, out)
				}
			})
		}
		wg.Wait()
		whole(t, dir, outputs...)
	}
	require.Equal(t, []string{"flag.svg", "out"}, listed(t, dir))
}

func TestAFullDisk(t *testing.T) {
	dir := smallDisk(t, "size=96k")
	write(t, dir, "flag.svg", flag)
	found(t, dir, splitArgs("100mm")...)
	before := tree(t, filepath.Join(dir, "out"))
	filler := bytes.Repeat([]byte("x"), 1<<20)
	_ = os.WriteFile(filepath.Join(dir, "photo"), filler, 0o644) // as much as there is room for
	refused(t, dir, splitArgs("150mm"), "no space left on device")
	require.Equal(t, before, tree(t, filepath.Join(dir, "out")))
	require.NoError(t, os.Remove(filepath.Join(dir, "photo")))
}

func TestAReadOnlyFolder(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	found(t, dir, splitArgs("100mm")...)
	require.NoError(t, os.Chmod(dir, 0o555))
	t.Cleanup(func() { require.NoError(t, os.Chmod(dir, 0o755)) })
	before := tree(t, dir)
	cmd := exec.Command(binary, splitArgs("150mm")...)
	cmd.Dir = dir
	if os.Getuid() == 0 { // who may write anywhere
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		for up := dir; up != os.TempDir() && up != "/"; up = filepath.Dir(up) {
			require.NoError(t, os.Chmod(up, 0o755&^0o200))
		}
		require.NoError(t, os.Chmod(filepath.Dir(binary), 0o755))
	}
	out, err := cmd.CombinedOutput()
	require.Error(t, err)
	require.Equal(t, 2, cmd.ProcessState.ExitCode(), "%s", out)
	require.Contains(t, string(out), "permission denied")
	require.Equal(t, 1, strings.Count(string(out), "\n"))
	require.Equal(t, before, tree(t, dir))
}

// Files that a run did not write are kept, whatever the command.
func TestForeignFilesAreKept(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	found(t, dir, splitArgs("100mm")...)
	write(t, dir, "out/option-1/sketch.png", "mine")
	refused(t, dir, splitArgs("150mm"), "files that eke did not write: option-1/sketch.png")
	refused(t, dir, []string{"sheets", "out/option-1"}, "option-1/sketch.png", "-o")
	require.NoError(t, os.Remove(filepath.Join(dir, "out", "option-1", "sketch.png")))
	write(t, dir, "out/report.html", "better")
	refused(t, dir, splitArgs("150mm"), "files that were changed since eke wrote them: report.html")
}

// smallDisk mounts a disk of its own for the test.
func smallDisk(t *testing.T, options string) string {
	t.Helper()
	if os.Getuid() != 0 {
		t.Skip("a disk of one's own takes root")
	}
	dir := t.TempDir()
	if err := unix.Mount("tmpfs", dir, "tmpfs", 0, options); err != nil {
		t.Skip("mounting is not allowed here: ", err)
	}
	t.Cleanup(func() { require.NoError(t, unix.Unmount(dir, 0)) })
	return dir
}
