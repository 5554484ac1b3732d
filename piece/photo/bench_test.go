package photo

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"runtime/debug"
	"strings"
	"testing"

	"eke/piece/photo/staged"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/draw"
)

var previewFile = flag.String("preview", "", "the `file` that BenchmarkCrowd writes its numbered picture to, as the README shows it")

// A picture of 12 megapixels with thirty scraps, from the file's bytes to the
// numbered preview. It says how much of the heap was in use at most, and, where
// the system tells (Linux), how much memory the process held, all told.
func BenchmarkCrowd(b *testing.B) {
	s := staged.Crowd(1, 4000)
	require.Len(b, s.Scraps, 30)
	var file bytes.Buffer
	require.NoError(b, jpeg.Encode(&file, s.Picture(), &jpeg.Options{Quality: s.Quality}))
	debug.FreeOSMemory()
	told := forgetPeak()
	heap := 0.0
	var preview image.Image
	for b.Loop() {
		_, mb := watched(func() {
			p, err := Read(bytes.NewReader(file.Bytes()), "crowd.jpg")
			require.NoError(b, err)
			r, err := Trace(context.Background(), p, Options{})
			require.NoError(b, err)
			preview, err = r.Preview()
			require.NoError(b, err)
			b.ReportMetric(float64(len(r.Scraps)), "scraps")
		})
		heap = max(heap, mb)
	}
	if *previewFile != "" {
		require.NoError(b, writeSmall(*previewFile, preview))
	}
	b.ReportMetric(heap, "peak-heap-MB")
	if mb, ok := peakMB(); ok && told {
		b.ReportMetric(mb, "peak-RSS-MB")
	}
}

// writeSmall writes a picture as a JPEG that is small enough for a page.
func writeSmall(file string, m image.Image) error {
	const side, quality = 960, 75
	b := m.Bounds()
	small := image.NewRGBA(image.Rect(0, 0, side, side*b.Dy()/b.Dx()))
	draw.CatmullRom.Scale(small, small.Rect, m, b, draw.Src, nil)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, small, &jpeg.Options{Quality: quality}); err != nil {
		return err
	}
	return os.WriteFile(file, out.Bytes(), 0o644)
}

// forgetPeak makes the system count a process's peak memory anew (proc(5),
// /proc/PID/clear_refs).
func forgetPeak() bool { return os.WriteFile("/proc/self/clear_refs", []byte("5"), 0) == nil }

// peakMB is the most memory that the process held (proc(5), VmHWM).
func peakMB() (float64, bool) {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0, false
	}
	_, rest, ok := strings.Cut(string(status), "VmHWM:")
	var kB float64
	if _, err := fmt.Sscanf(rest, "%f kB", &kB); !ok || err != nil {
		return 0, false
	}
	return kB / 1024, true
}
