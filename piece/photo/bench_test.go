package photo

import (
	"bytes"
	"context"
	"image/jpeg"
	"runtime"
	"testing"

	"eke/piece/photo/staged"

	"github.com/stretchr/testify/require"
)

// A picture of 12 megapixels with thirty scraps, from the file's bytes to the
// numbered preview.
func BenchmarkCrowd(b *testing.B) {
	s := staged.Crowd(1, 4000)
	require.Len(b, s.Scraps, 30)
	var file bytes.Buffer
	require.NoError(b, jpeg.Encode(&file, s.Picture(), &jpeg.Options{Quality: s.Quality}))
	runtime.GC()
	for b.Loop() {
		p, err := Read(bytes.NewReader(file.Bytes()), "crowd.jpg")
		require.NoError(b, err)
		r, err := Trace(context.Background(), p, Options{})
		require.NoError(b, err)
		_, err = r.Preview()
		require.NoError(b, err)
		b.ReportMetric(float64(len(r.Scraps)), "scraps")
	}
}
