//go:build linux

package outdir

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// This test binary is also the program that gets killed: it writes outputs to
// a folder, one after another, each of one letter throughout.
const writerEnv = "OUTDIR_TEST_WRITES_TO"

func TestMain(m *testing.M) {
	if target := os.Getenv(writerEnv); target != "" {
		for i := 0; ; i++ {
			if err := put(target, letters(i)); err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
			fmt.Println("written")
		}
	}
	os.Exit(m.Run())
}

// letters is the i-th output: which files there are differs too.
func letters(i int) map[string]string {
	text := strings.Repeat(string(rune('a'+i%26)), 5000)
	out := map[string]string{}
	for k := range 5 + i%3 {
		out[fmt.Sprintf("option-%d/part.svg", k)] = text
	}
	return out
}

func requireWhole(t *testing.T, target string) {
	t.Helper()
	full, err := replaceable(target)
	require.NoError(t, err)
	if !full {
		return
	}
	got := tree(t, target)
	for i := range 26 * 3 {
		if want := letters(i); len(want) == len(got) && want["option-0/part.svg"] == got["option-0/part.svg"] {
			require.Equal(t, want, got)
			return
		}
	}
	t.Fatalf("%s holds no whole output", target)
}

func TestKilledAtAnyMomentTheOldOrTheNewIsWhole(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "out")
	r := rand.New(rand.NewPCG(1, 2))
	const kills = 30
	left := 0
	for range kills {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), writerEnv+"="+target)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		_, err = out.Read(make([]byte, 1)) // it is at work
		require.NoError(t, err)
		time.Sleep(time.Duration(r.IntN(20000)) * time.Microsecond)
		require.NoError(t, cmd.Process.Kill())
		_ = cmd.Wait()
		requireWhole(t, target)
		left = max(left, len(names(t, parent))-1)
	}
	require.NotZero(t, left, "no kill came while a folder was being written: the test shows nothing")
	require.NoError(t, put(target, letters(0)))
	require.Equal(t, []string{"out"}, names(t, parent), "what killed runs left is cleared away")
}

func TestTwoRunsAtOnce(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "out")
	var wg sync.WaitGroup
	for run := range 3 {
		wg.Go(func() {
			for i := range 10 {
				if err := put(target, letters(run+3*i)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	stop := make(chan bool)
	go func() { wg.Wait(); close(stop) }()
	for done := false; !done; {
		select {
		case <-stop:
			done = true
		default:
			turn, err := takeTurn(parent)
			require.NoError(t, err)
			requireWhole(t, target)
			require.NoError(t, turn.Close())
		}
	}
	require.Equal(t, []string{"out"}, names(t, parent))
}

func TestARunAtWorkIsLeftAlone(t *testing.T) {
	target := filepath.Join(t.TempDir(), "out")
	slow, err := New(target)
	require.NoError(t, err)
	require.NoError(t, fill(slow, map[string]string{"a": "slow"}))
	require.NoError(t, put(target, map[string]string{"a": "quick"}))
	require.NoError(t, fill(slow, map[string]string{"b": "slow"}))
	require.NoError(t, slow.Commit())
	require.Equal(t, map[string]string{"a": "slow", "b": "slow"}, tree(t, target))
}

func TestOldOutputPutAsideByAKilledRunComesBack(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "out")
	require.NoError(t, put(target, map[string]string{"a": "1"}))
	require.NoError(t, os.Rename(target, beside(target, oldPrefix)+"12345678"))
	d, err := New(target)
	require.NoError(t, err)
	require.Equal(t, map[string]string{"a": "1"}, tree(t, target))
	require.NoError(t, d.Discard())
	require.Equal(t, []string{"out"}, names(t, parent))
}

func TestWhatOthersPutBesideTheTargetStays(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "o[u]t*")
	require.NoError(t, put(target, map[string]string{"a": "1"}))
	for _, prefix := range []string{newPrefix, oldPrefix} {
		dir := beside(target, prefix) + "12345678"
		require.NoError(t, put(dir, map[string]string{"a": "1"}))
		require.NoError(t, os.WriteFile(filepath.Join(dir, "mine"), nil, 0o644))
	}
	other := beside(filepath.Join(parent, "other"), newPrefix) + "12345678"
	require.NoError(t, os.Mkdir(other, 0o755))
	require.NoError(t, put(target, map[string]string{"a": "1"}))
	require.Len(t, names(t, parent), 4)
}

func TestAFullDisk(t *testing.T) {
	disk := tmpfs(t, "size=64k")
	target := filepath.Join(disk, "out")
	small := map[string]string{"a": "1", "b/c": "1"}
	require.NoError(t, put(target, small))
	big := map[string]string{"a": "2", "b/c": strings.Repeat("2", 200_000)}
	require.ErrorIs(t, put(target, big), syscall.ENOSPC)
	require.Equal(t, small, tree(t, target))
	require.Equal(t, []string{"out"}, names(t, disk))
}

func TestAReadOnlyDisk(t *testing.T) {
	disk := tmpfs(t, "size=64k")
	target := filepath.Join(disk, "out")
	require.NoError(t, put(target, map[string]string{"a": "1"}))
	require.NoError(t, unix.Mount("tmpfs", disk, "tmpfs", unix.MS_REMOUNT|unix.MS_RDONLY, ""))
	require.ErrorIs(t, put(target, map[string]string{"a": "2"}), syscall.EROFS)
	require.Equal(t, map[string]string{"a": "1"}, tree(t, target))
}

// tmpfs mounts a small disk for the test.
func tmpfs(t *testing.T, options string) string {
	t.Helper()
	if runtime.GOOS != "linux" || os.Getuid() != 0 {
		t.Skip("a disk of one's own takes Linux and root")
	}
	dir := t.TempDir()
	if err := unix.Mount("tmpfs", dir, "tmpfs", 0, options); err != nil {
		t.Skip("mounting is not allowed here: ", err)
	}
	t.Cleanup(func() { require.NoError(t, unix.Unmount(dir, 0)) })
	return dir
}
