package measure

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAtLeast(t *testing.T) {
	require.Equal(t, "45 x 54 cm", Millimetres.AtLeast(450, 540))
	require.Equal(t, "46 x 54 cm", Centimetres.AtLeast(450.1, 531))
	require.Equal(t, "18 x 1 in", Inches.AtLeast(450, 25.4))
}
