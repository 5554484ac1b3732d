package check

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

func TestRightPlansAreProved(t *testing.T) {
	require.Empty(t, Document(garment(t)))
	require.Empty(t, Document(shoulders(t)))
}

// What is proved is what a reader of plan.json gets, not what was in memory.
func TestPlansAreProvedAsWritten(t *testing.T) {
	for _, d := range []*plan.Document{garment(t), shoulders(t)} {
		var b bytes.Buffer
		require.NoError(t, d.Write(&b))
		read, err := plan.Read(&b)
		require.NoError(t, err)
		require.Empty(t, Document(read))
	}
}

func TestAPlanOfNothingIsNotProved(t *testing.T) {
	require.NotEmpty(t, Document(&plan.Document{Format: plan.Format}))
	d := garment(t)
	d.Options[0] = plan.Option{}
	require.NotEmpty(t, Option(d, 0))
}

// FuzzDocument feeds the proof plans as a stranger might write them: it may
// refuse anything, and must not fall over.
func FuzzDocument(f *testing.F) {
	for _, d := range []*plan.Document{garment(f), shoulders(f)} {
		var b bytes.Buffer
		require.NoError(f, d.Write(&b))
		f.Add(b.Bytes())
	}
	for _, name := range []string{"dart-divided.json", "dart-taken-in.json"} {
		data, err := os.ReadFile(filepath.Join("testdata", name))
		require.NoError(f, err)
		d, err := plan.Read(bytes.NewReader(data))
		require.NoError(f, err)
		require.Empty(f, Document(d), name)
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if d, err := plan.Read(bytes.NewReader(data)); err == nil {
			Document(d)
		}
	})
}

func BenchmarkOption(b *testing.B) {
	d := garment(b)
	for b.Loop() {
		Option(d, 0)
	}
}
