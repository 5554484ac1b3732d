//go:build linux

package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// sixtyScraps is a pile of rectangles between lo and hi cm, and a strip of
// rib for each neckband.
func sixtyScraps(t testing.TB, dir string, lo, hi float64) string {
	r := rand.New(rand.NewPCG(3, 4))
	size := func() float64 { return lo + (hi-lo)*r.Float64() }
	var b strings.Builder
	b.WriteString("name,fabric,length_cm,width_cm,count\nrib,rib,9,44,3\n")
	for i := range 60 {
		fmt.Fprintf(&b, "bit %d,%s,%.1f,%.1f,1\n", i, []string{"navy", "cream"}[r.IntN(2)], size(), size())
	}
	return write(t, dir, "sixty.csv", b.String())
}

// wardrobe is three t-shirts in one pattern: twelve pieces, to be cut fifteen
// times.
func wardrobe(t testing.TB, dir string) string {
	data, err := os.ReadFile(sample(t, "tshirt.svg"))
	require.NoError(t, err)
	text := string(data)
	from, to := strings.Index(text, `<g inkscape:groupmode="layer" id="layer-pieces"`), strings.LastIndex(text, "</svg>")
	require.Positive(t, from)
	named, joined := regexp.MustCompile(`(\sid|inkscape:label)="([^"]*)"`), regexp.MustCompile(`data-joins="[^"]*"`)
	var b strings.Builder
	b.WriteString(text[:from])
	for k := range 3 {
		layer := named.ReplaceAllString(text[from:to], fmt.Sprintf(`$1="$2-%d"`, k+1))
		b.WriteString(joined.ReplaceAllStringFunc(layer, func(s string) string { return strings.ReplaceAll(s, "/", fmt.Sprintf("-%d/", k+1)) }))
	}
	b.WriteString(text[to:])
	return write(t, dir, "wardrobe.svg", b.String())
}

// sawtooth is a piece of five thousand corners.
func sawtooth(t testing.TB, dir string) string {
	const corners, deep = 5000, 6
	var d strings.Builder
	for i := range corners {
		at, off := 2000*float64(i)/corners, deep*float64(i%2)
		x, y := at, -off
		switch {
		case at >= 1400:
			x, y = -off, 2000-at
		case at >= 1000:
			x, y = 1400-at, 600+off
		case at >= 400:
			x, y = 400+off, at-400
		}
		fmt.Fprintf(&d, "%.4f,%.4f ", x, y)
	}
	return write(t, dir, "sawtooth.svg", shape("flag", "M "+d.String()+"Z"))
}

// The limit holds within half a second on sixty scraps, whether a plan is
// found or not, with all that is written.
func TestTimeHolds(t *testing.T) {
	tshirt := func(t testing.TB, _ string) string { return sample(t, "tshirt.svg") }
	for name, c := range map[string]struct {
		pattern func(t testing.TB, dir string) string
		lo, hi  float64
		limit   time.Duration
	}{
		"small scraps, soon":        {tshirt, 15, 42, time.Second},
		"small scraps, later":       {tshirt, 15, 42, 3 * time.Second},
		"large scraps, soon":        {tshirt, 24, 50, time.Second},
		"twelve pieces with room":   {wardrobe, 34, 75, 3 * time.Second},
		"twelve pieces, too little": {wardrobe, 15, 42, 3 * time.Second},
		"a piece of many corners":   {sawtooth, 34, 75, 3 * time.Second},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			pile := sixtyScraps(t, dir, c.lo, c.hi)
			// A busy machine may hold any one run up.
			over := time.Duration(math.MaxInt64)
			for range 5 {
				start := time.Now()
				r := eke(t, dir, "plan", c.pattern(t, dir), pile, "--time", c.limit.String(), "-o", "out")
				over = min(over, time.Since(start)-c.limit)
				t.Logf("%v: exit %d, over by %v", c.limit, r.code, time.Since(start)-c.limit)
				require.Contains(t, []int{0, 3}, r.code, r.stderr)
				if over < 500*time.Millisecond {
					break
				}
			}
			require.Less(t, over, busy(500*time.Millisecond))
			verified(t, filepath.Join(dir, "out"))
		})
	}
}

// busy stretches a time by as much as other programs keep this machine from
// working: what a tenth of a second of work takes, against a tenth of a
// second.
func busy(d time.Duration) time.Duration {
	const work = 50 * time.Millisecond
	var before, after unix.Rusage
	start := time.Now()
	_ = unix.Getrusage(unix.RUSAGE_THREAD, &before)
	for used := time.Duration(0); used < work; {
		for i := range 100000 {
			_ = fmt.Sprint(i)[:1]
			if i%1000 == 0 {
				_ = unix.Getrusage(unix.RUSAGE_THREAD, &after)
				if used = time.Duration(after.Utime.Nano() - before.Utime.Nano() + after.Stime.Nano() - before.Stime.Nano()); used >= work {
					break
				}
			}
		}
	}
	return max(d, time.Duration(float64(d)*float64(time.Since(start))/float64(work)))
}

// started is a run of the binary whose standard error is a terminal.
type started struct {
	*exec.Cmd
	stdout bytes.Buffer
	mu     sync.Mutex
	seen   bytes.Buffer // on the terminal
}

func start(t *testing.T, dir string, args ...string) *started {
	t.Helper()
	terminal, end := openTerminal(t)
	s := &started{Cmd: exec.Command(binary, args...)}
	s.Dir, s.Stdout, s.Stderr = dir, &s.stdout, end
	require.NoError(t, s.Start())
	require.NoError(t, end.Close())
	done := make(chan struct{})
	go func() {
		defer close(done)
		buf := make([]byte, 4096)
		for {
			n, err := terminal.Read(buf)
			s.mu.Lock()
			s.seen.Write(buf[:n])
			s.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	t.Cleanup(func() {
		_ = s.Process.Kill()
		_ = terminal.Close()
		<-done
	})
	return s
}

func (s *started) terminal() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.seen.String()
}

// until waits for something to show on the terminal.
func (s *started) until(t *testing.T, pattern string) {
	t.Helper()
	re := regexp.MustCompile(pattern)
	require.Eventually(t, func() bool { return re.MatchString(s.terminal()) }, time.Minute, 20*time.Millisecond, "waiting for %s", pattern)
}

func TestCtrlCKeepsTheBest(t *testing.T) {
	dir := t.TempDir()
	s := start(t, dir, "plan", sample(t, "tshirt.svg"), sixtyScraps(t, dir, 24, 50), "--time", "10m", "-o", "out")
	s.until(t, `best so far: [0-9]+ seam`)
	require.NoError(t, s.Process.Signal(os.Interrupt))
	stopped := time.Now()
	require.NoError(t, s.Wait())
	t.Logf("ended %v after Ctrl-C", time.Since(stopped))
	require.Less(t, time.Since(stopped), busy(2*time.Second))
	require.NotEmpty(t, verified(t, filepath.Join(dir, "out")).Options)
	require.Contains(t, s.stdout.String(), "written to out")
	require.Contains(t, s.stdout.String(), "stopped before it was done")
}

func TestCtrlCWithNothingFoundTellsWhatIsMissing(t *testing.T) {
	dir := t.TempDir()
	s := start(t, dir, "plan", sample(t, "tshirt.svg"), sixtyScraps(t, dir, 15, 42), "--time", "10m", "-o", "out")
	s.until(t, `best so far: nothing yet`)
	require.NoError(t, s.Process.Signal(os.Interrupt))
	stopped := time.Now()
	_ = s.Wait()
	require.Less(t, time.Since(stopped), busy(2*time.Second))
	require.Equal(t, 3, s.ProcessState.ExitCode())
	require.Contains(t, s.stdout.String(), "no plan was found")
	require.Contains(t, s.stdout.String(), "stopped before it was done")
	require.Contains(t, tree(t, dir), filepath.Join("out", "report.html"))
	require.Empty(t, verified(t, filepath.Join(dir, "out")).Options)
}

func TestCtrlCTwiceEndsAtOnce(t *testing.T) {
	dir := t.TempDir()
	s := start(t, dir, "plan", sample(t, "tshirt.svg"), sixtyScraps(t, dir, 15, 42), "--time", "10m", "-o", "out")
	s.until(t, `best so far`)
	// Both arrive before the first has had its effect, as when a key is held.
	require.NoError(t, s.Process.Signal(syscall.SIGSTOP))
	require.NoError(t, s.Process.Signal(os.Interrupt))
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	stopped := time.Now()
	require.NoError(t, s.Process.Signal(syscall.SIGCONT))
	_ = s.Wait()
	require.Less(t, time.Since(stopped), busy(200*time.Millisecond))
	require.Equal(t, 130, s.ProcessState.ExitCode())
	require.NotContains(t, tree(t, dir), "out")
}

// Progress is one line on a terminal, wiped in the end; a file or a pipe gets
// none of it, and nowhere is there colour.
func TestProgressOnATerminal(t *testing.T) {
	dir := t.TempDir()
	pile := sixtyScraps(t, dir, 15, 42)
	s := start(t, dir, "plan", sample(t, "tshirt.svg"), pile, "--time", "2s")
	_ = s.Wait()
	s.until(t, `\r\x1b\[K$`)
	shown := s.terminal()
	require.Regexp(t, `\[#{8,9} +\] 1 of 2 s; best so far: `, shown)
	require.NotContains(t, shown, "\n")
	require.NotContains(t, strings.ReplaceAll(shown, "\r\x1b[K", ""), "\x1b")
	for _, line := range strings.Split(shown, "\r\x1b[K") {
		require.Less(t, columns(line), 80)
	}
	require.NotContains(t, s.stdout.String(), "\x1b")

	r := eke(t, dir, "plan", sample(t, "tshirt.svg"), pile, "--time", "2s")
	require.Empty(t, r.stderr)

	// Work of a moment shows nothing at all.
	write(t, dir, "flag.svg", flag)
	s = start(t, dir, "plan", "flag.svg", "--scrap", "linen: 1 x 1 m")
	require.NoError(t, s.Wait())
	time.Sleep(50 * time.Millisecond)
	require.Empty(t, s.terminal())
}

// openTerminal makes a terminal of its own: what is written to end can be
// read from the terminal.
func openTerminal(t *testing.T) (terminal io.ReadCloser, end *os.File) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Skip("there are no terminals here: ", err)
	}
	require.NoError(t, unix.IoctlSetPointerInt(int(master.Fd()), unix.TIOCSPTLCK, 0))
	n, err := unix.IoctlGetInt(int(master.Fd()), unix.TIOCGPTN)
	require.NoError(t, err)
	end, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	return master, end
}
