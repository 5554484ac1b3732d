//go:build linux && amd64

package main

import (
	command "flag"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

var anotherProcessor = command.Bool("arm64", false, "build for arm64 too, run that under qemu-aarch64 and compare")

// Output is the same to the byte on one core and on two.
func TestSameOutputOnOneCoreAndTwo(t *testing.T) {
	runs := sameRuns(t)
	delete(runs, "plan") // TestSameSeedSamePlan has it, with more options
	for name, args := range runs {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			r := ekeWith(t, dir, []string{"GOMAXPROCS=1"}, append(args, "-o", "out")...)
			require.Equal(t, 0, r.code, r.stderr)
			want := tree(t, dir)
			require.NoError(t, os.RemoveAll(filepath.Join(dir, "out")))
			again := ekeWith(t, dir, []string{"GOMAXPROCS=2"}, append(args, "-o", "out")...)
			require.Equal(t, r, again)
			require.True(t, sameTree(t, want, tree(t, dir)))
		})
	}
}

// Output is the same to the byte on another kind of processor, where neither
// build fuses x*y + z into one operation that rounds once. A compiler for
// arm64 may fuse it (The Go Programming Language Specification,
// "Floating-point operators"), one for amd64 does not unless told to.
func TestSameOutputOnAnotherProcessor(t *testing.T) {
	if !*anotherProcessor {
		t.Skip("takes minutes, and qemu-user; ask for it with -arm64")
	}
	emulator, err := exec.LookPath("qemu-aarch64")
	require.NoError(t, err, "install qemu-user")
	arm := filepath.Join(t.TempDir(), "eke-arm64")
	build := exec.Command("go", "build", "-tags=nodynamic", "-gcflags=all=-d=fmahash=qn", "-o", arm, ".")
	build.Env = append(os.Environ(), "GOARCH=arm64", "CGO_ENABLED=0")
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%.2000s", out)
	for name, args := range sameRuns(t) {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			found(t, dir, append(args, "-o", "out")...)
			want := tree(t, dir)
			require.NoError(t, os.RemoveAll(filepath.Join(dir, "out")))
			cmd := exec.Command(emulator, append(append([]string{arm}, args...), "-o", "out")...)
			cmd.Dir = dir
			out, err := cmd.CombinedOutput()
			require.NoError(t, err, "%s", out)
			require.True(t, sameTree(t, want, tree(t, dir)))
		})
	}
}

// sameRuns are runs that end before their time is out.
func sameRuns(t *testing.T) map[string][]string {
	return map[string][]string{
		"plan":         {"plan", sample(t, "tshirt.svg"), sample(t, "scraps.csv"), "--options", "1", "--time", "10m"},
		"yoke, centre": {"split", sample(t, "tshirt.svg"), "--piece", "front", "--yoke", "255mm", "--centre"},
		"curved yoke":  {"split", sample(t, "blouse.svg"), "--piece", "front", "--curved-yoke", "180mm"},
		"moved":        {"split", sample(t, "tshirt.svg"), "--piece", "front", "--move", "shoulder=30mm"},
		"raglan":       {"split", sample(t, "raglan-child.svg"), "--piece", "sleeve", "--panel", "10mm", "--yoke", "120mm"},
	}
}

// sameTree names the files that differ, for their contents are long.
func sameTree(t *testing.T, want, got map[string]string) bool {
	same := len(want) == len(got)
	for name, text := range want {
		if got[name] != text {
			t.Logf("%s differs", name)
			same = false
		}
	}
	return same
}
