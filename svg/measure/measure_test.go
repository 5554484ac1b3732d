package measure

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// An inch is 25.4 mm and a yard 914.4 mm, exactly (international yard and
// pound agreement, 1959).
func TestLength(t *testing.T) {
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
		{-12.7, "-13 mm", "-1.3 cm", "-1/2 in"},
	} {
		require.Equal(t, c.inMM, Millimetres.Length(c.mm))
		require.Equal(t, c.inCM, Centimetres.Length(c.mm))
		require.Equal(t, c.inI, Inches.Length(c.mm))
	}
}

// What is missing is never made less.
func TestMissing(t *testing.T) {
	require.Equal(t, "–", Inches.Missing(0.04))
	require.Equal(t, "1/16 in", Inches.Missing(0.1))
	require.Equal(t, "1 1/16 in", Inches.Missing(25.5))
	require.Equal(t, "1 in", Inches.Missing(25.4))
	require.Equal(t, "4.7 cm", Centimetres.Missing(46.4))
	require.Equal(t, "46.4 mm", Millimetres.Missing(46.4))
}

func TestOnParts(t *testing.T) {
	require.Equal(t, "16.1 cm", Millimetres.Long(161))
	require.Equal(t, "6 5/16 in", Inches.Long(161)) // 6.339
	require.Equal(t, "10 mm", Centimetres.Fine(10))
	require.Equal(t, "-1/16 in", Inches.Fine(-1.81))
	require.Equal(t, "16.15 cm", Millimetres.Mark(161.4))
	require.Equal(t, "16 cm", Centimetres.Mark(159.9))
	require.Equal(t, "6 11/32 in", Inches.Mark(161))
	require.Equal(t, "61.0 × 42.0 cm", Millimetres.Size(610, 420))
	require.Equal(t, "24 × 16 1/2 in", Inches.Size(609.6, 419.1))
	require.Equal(t, "-1.8 mm", Millimetres.Fine(-1.81))
	require.Equal(t, "0 mm", Millimetres.Fine(-0.01))
	require.Equal(t, "3/8 in", Inches.Fine(10))
}

func TestAreas(t *testing.T) {
	require.Equal(t, "1.00 m²", Millimetres.Area(1e6))
	require.Equal(t, "1.00 yd²", Inches.Area(914.4*914.4))
	require.Equal(t, "712 cm²", Centimetres.Patch(71200))
	require.Equal(t, "4 in²", Inches.Patch(50.8*50.8))
	require.Equal(t, "4.00 in²", Inches.FinePatch(50.8*50.8))
	require.Equal(t, "7.07 cm²", Centimetres.FinePatch(707)) // to the square centimetre it would be 1 % off
	require.Equal(t, "70.7 cm²", Centimetres.FinePatch(7070))
	require.Equal(t, "707 cm²", Centimetres.FinePatch(70700))
}

func TestText(t *testing.T) {
	const s = "the seam lies 50 mm over; the corner at 12, 45 mm stays, 12.7 mm long"
	require.Equal(t, s, Millimetres.Text(s))
	require.Equal(t, "the seam lies 50 mm (1 15/16 in) over; the corner at 12, 45 mm stays, 12.7 mm (1/2 in) long", Inches.Text(s))
	require.Equal(t, "5 mmm", Inches.Text("5 mmm"))
}

func TestParse(t *testing.T) {
	for _, u := range []Unit{Millimetres, Centimetres, Inches} {
		got, err := Parse(" " + u.String())
		require.NoError(t, err)
		require.Equal(t, u, got)
	}
	_, err := Parse("ft")
	require.EqualError(t, err, "give mm, cm or in")
}

// What is read back from the words is within half of the least mark.
func TestInchesReadBack(t *testing.T) {
	words := regexp.MustCompile(`^(?:([0-9]+) ?)?(?:\b([0-9]+)/([0-9]+))? ?in$`)
	number := func(t *rapid.T, s string) float64 {
		if s == "" {
			return 0
		}
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return x
	}
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(0, 3000).Draw(t, "mm")
		const parts = 16
		for _, s := range []string{Inches.Length(mm), Inches.Long(mm), Inches.Fine(mm)} {
			m := words.FindStringSubmatch(s)
			require.NotNil(t, m, s)
			read := number(t, m[1])
			if m[3] != "" {
				require.LessOrEqual(t, number(t, m[3]), float64(parts))
				read += number(t, m[2]) / number(t, m[3])
			}
			require.LessOrEqual(t, math.Abs(read*25.4-mm), 25.4/parts/2+1e-9, s)
		}
	})
}

// What there is, is never made more.
func TestAtMost(t *testing.T) {
	require.Equal(t, "29.9 × 40.0 cm", Millimetres.AtMost(299.99, 399.9999))
	require.Equal(t, "29.9 × 40.0 cm", Centimetres.AtMost(299.99, 400))
	require.Equal(t, "11 15/16 × 12 in", Inches.AtMost(304.7, 304.8))
	require.Equal(t, "12.3 cm", Millimetres.AtMost(123.4))
	require.Equal(t, "1.9 m", Millimetres.Tape(1999.9))
	require.Equal(t, "0.0 m", Centimetres.Tape(99))
	require.Equal(t, "39 in", Inches.Tape(1000))
}
