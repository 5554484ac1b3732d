package draw

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares what was drawn with testdata/name.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, got, 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "write it with go test -update")
	if !bytes.Equal(want, got) {
		t.Fatalf("%s differs from what is drawn now; look at it, then go test -update", file)
	}
}

// The plan itself is kept too: the report's and the sheets' tests read it.
func TestThePlanAsWritten(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, tshirt().Write(&b))
	golden(t, "tshirt-plan.json", b.Bytes())
}

func TestPicturesAsDrawn(t *testing.T) {
	d := tshirt()
	for i, p := range d.Options[0].Parts[:2] {
		var b bytes.Buffer
		require.NoError(t, Of(d).Part(&b, 0, i))
		golden(t, p.Name+".svg", b.Bytes())
	}
	var b bytes.Buffer
	require.NoError(t, Of(d).Pieces(&b, 0))
	golden(t, "pieces.svg", b.Bytes())
	b.Reset()
	require.NoError(t, Of(d).Layout(&b, 0))
	golden(t, "layout.svg", b.Bytes())
}
