package check

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestRightPlansAreProved(t *testing.T) {
	require.Empty(t, Document(garment(t)))
	require.Empty(t, Document(shoulders(t)))
}

func BenchmarkOption(b *testing.B) {
	d := garment(b)
	for b.Loop() {
		Option(d, 0)
	}
}
