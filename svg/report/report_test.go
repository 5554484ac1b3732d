package report

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// tshirt is the plan that the draw package's tests write.
func tshirt(t testing.TB) *plan.Document {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "draw", "testdata", "tshirt-plan.json"))
	require.NoError(t, err)
	defer f.Close()
	d, err := plan.Read(f)
	require.NoError(t, err)
	return d
}

func html(t testing.TB, d *plan.Document) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, HTML(&b, d))
	return b.String()
}

func TestReportIsTheSameEachTime(t *testing.T) {
	require.Equal(t, html(t, tshirt(t)), html(t, tshirt(t)))
}
