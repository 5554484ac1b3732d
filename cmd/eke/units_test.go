package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// An inch is 25.4 mm and a yard 914.4 mm, exactly (international yard and
// pound agreement, 1959).
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		mm              float64
		inMM, inCM, inI string
	}{
		{0, "0 mm", "0.0 cm", "0 in"},
		{25.4, "25 mm", "2.5 cm", "1 in"},
		{12.7, "13 mm", "1.3 cm", "1/2 in"},
		{15.875, "16 mm", "1.6 cm", "5/8 in"},
		{498, "498 mm", "49.8 cm", "19 5/8 in"},
		{914.4, "914 mm", "91.4 cm", "36 in"},
		{1523.9, "1524 mm", "152.4 cm", "60 in"},
	} {
		require.Equal(t, c.inMM, millimetres.length(c.mm))
		require.Equal(t, c.inCM, centimetres.length(c.mm))
		require.Equal(t, c.inI, inches.length(c.mm))
	}
	// What is missing is never made less.
	require.Equal(t, "–", inches.missing(0.04))
	require.Equal(t, "1/8 in", inches.missing(0.1))
	require.Equal(t, "1 1/8 in", inches.missing(25.5))
	require.Equal(t, "1 in", inches.missing(25.4))
	require.Equal(t, "4.7 cm", centimetres.missing(46.4))
	require.Equal(t, "46.4 mm", millimetres.missing(46.4))
	require.Equal(t, "1.00 m²", millimetres.area(1e6))
	require.Equal(t, "1.00 yd²", inches.area(914.4*914.4))

	var u units
	require.NoError(t, u.Set(" IN "))
	require.Equal(t, inches, u)
	require.Error(t, u.Set("ft"))
}
