//go:build linux

package main

import (
	"bytes"
	"fmt"
	"io"
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

// hang is longer than a busy machine holds anything up here, and far shorter
// than what would go on for good. How fast something ends is for a benchmark.
const hang = time.Minute

// timedRuns are plans of too many scraps or corners for the time they get.
var timedRuns = map[string]struct {
	pattern func(t testing.TB, dir string) string
	lo, hi  float64 // the sides of the scraps, in cm
	limit   time.Duration
}{
	"small scraps, soon":        {tshirt, 15, 42, time.Second},
	"small scraps, later":       {tshirt, 15, 42, 3 * time.Second},
	"large scraps, soon":        {tshirt, 24, 50, time.Second},
	"twelve pieces with room":   {wardrobe, 34, 75, 3 * time.Second},
	"twelve pieces, too little": {wardrobe, 15, 42, 3 * time.Second},
	"a piece of many corners":   {sawtooth, 34, 75, 3 * time.Second},
}

func tshirt(t testing.TB, _ string) string { return sample(t, "tshirt.svg") }

// overrun plans with sixty scraps, and says by how much more than its limit it
// took, with all that is written.
func overrun(t testing.TB, pattern func(t testing.TB, dir string) string, lo, hi float64, limit time.Duration) time.Duration {
	t.Helper()
	dir := t.TempDir()
	from, pile := pattern(t, dir), sixtyScraps(t, dir, lo, hi)
	start := time.Now()
	r := eke(t, dir, "plan", from, pile, "--time", limit.String(), "-o", "out")
	over := time.Since(start) - limit
	require.Contains(t, []int{0, 3}, r.code, r.stderr)
	verified(t, filepath.Join(dir, "out"))
	return over
}

// The limit ends a search, whether a plan is found or not. It is a part of what
// BenchmarkOverrun gives, for all of it is spent on every core.
func TestTimeHolds(t *testing.T) {
	t.Parallel()
	for name, c := range timedRuns {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			require.Less(t, overrun(t, c.pattern, c.lo, c.hi, c.limit/3), hang)
		})
	}
}

// BenchmarkOverrun prints by how much a plan takes longer than its limit: at
// most half a second on a machine that does nothing else, and less than
// nothing where it ends early.
func BenchmarkOverrun(b *testing.B) {
	for name, c := range timedRuns {
		b.Run(name, func(b *testing.B) {
			most := -c.limit
			for b.Loop() {
				most = max(most, overrun(b, c.pattern, c.lo, c.hi, c.limit))
			}
			b.ReportMetric(most.Seconds(), "s-over")
		})
	}
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

// ends waits for the end, which must come.
func (s *started) ends(t *testing.T) {
	t.Helper()
	kill := time.AfterFunc(hang, func() { _ = s.Process.Kill() })
	_ = s.Wait()
	require.True(t, kill.Stop(), "it does not end")
}

func TestCtrlCKeepsTheBest(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := start(t, dir, "plan", sample(t, "tshirt.svg"), sixtyScraps(t, dir, 24, 50), "--time", "10m", "-o", "out")
	s.until(t, `best so far: [0-9]+ seam`)
	require.NoError(t, s.Process.Signal(os.Interrupt))
	s.ends(t)
	require.Zero(t, s.ProcessState.ExitCode())
	require.NotEmpty(t, verified(t, filepath.Join(dir, "out")).Options)
	require.Contains(t, s.stdout.String(), "written to out")
	require.Contains(t, s.stdout.String(), "stopped before it was done")
}

func TestCtrlCWithNothingFoundTellsWhatIsMissing(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := start(t, dir, "plan", sample(t, "tshirt.svg"), sixtyScraps(t, dir, 15, 42), "--time", "10m", "-o", "out")
	s.until(t, `best so far: nothing yet`)
	require.NoError(t, s.Process.Signal(os.Interrupt))
	s.ends(t)
	require.Equal(t, 3, s.ProcessState.ExitCode())
	require.Contains(t, s.stdout.String(), "no plan was found")
	require.Contains(t, s.stdout.String(), "stopped before it was done")
	require.Contains(t, tree(t, dir), filepath.Join("out", "report.html"))
	require.Empty(t, verified(t, filepath.Join(dir, "out")).Options)
}

func TestCtrlCTwiceEndsAtOnce(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := start(t, dir, "plan", sample(t, "tshirt.svg"), sixtyScraps(t, dir, 15, 42), "--time", "10m", "-o", "out")
	s.until(t, `best so far`)
	// Both arrive before the first has had its effect, as when a key is held.
	require.NoError(t, s.Process.Signal(syscall.SIGSTOP))
	require.NoError(t, s.Process.Signal(os.Interrupt))
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	require.NoError(t, s.Process.Signal(syscall.SIGCONT))
	s.ends(t)
	require.Equal(t, 130, s.ProcessState.ExitCode())
	require.NotContains(t, tree(t, dir), "out")
}

// Progress is one line on a terminal, wiped in the end; a file or a pipe gets
// none of it, and nowhere is there colour.
func TestProgressOnATerminal(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	pile := sixtyScraps(t, dir, 15, 42)
	s := start(t, dir, "plan", sample(t, "tshirt.svg"), pile, "--time", "4s")
	s.ends(t)
	s.until(t, `\r\x1b\[K$`)
	shown := s.terminal()
	require.Regexp(t, `\[#{4,16} *\] [1-9] of 4 s; best so far: `, shown)
	require.NotContains(t, shown, "\n")
	require.NotContains(t, strings.ReplaceAll(shown, "\r\x1b[K", ""), "\x1b")
	for _, line := range strings.Split(shown, "\r\x1b[K") {
		require.Less(t, columns(line), 80)
	}
	require.NotContains(t, s.stdout.String(), "\x1b")

	r := eke(t, dir, "plan", sample(t, "tshirt.svg"), pile, "--time", "1500ms")
	require.Empty(t, r.stderr)
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
