package scraps

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// An inch is 25.4 mm and a yard 914.4 mm, both exactly (the international
// yard and pound agreement of 1959).
func TestParseLength(t *testing.T) {
	tests := []struct {
		in   string
		want float64
	}{
		{"180mm", 180}, {"180 mm", 180}, {" 18cm ", 180}, {"0.18m", 180}, {"1in", 25.4}, {`1"`, 25.4}, {"1″", 25.4}, {"2 inches", 50.8},
		{"1 yd", 914.4}, {"42,5 cm", 425}, {"42.5CM", 425}, {".5in", 12.7}, {"5.mm", 5}, {"+3mm", 3}, {"-3mm", -3}, {"0mm", 0},
		{`5/8"`, 15.875}, {"12 1/2 in", 317.5}, {"12-1/2in", 317.5}, {"12½in", 317.5}, {`½"`, 12.7}, {"-1/4in", -6.35}, {"1\u00a05/8 in", 41.275},
		{"1,25 m", 1250}, {"0,125 m", 125}, {"1,2500 m", 1250},
	}
	for _, tt := range tests {
		got, err := ParseLength(tt.in)
		require.NoError(t, err, tt.in)
		assert.InDelta(t, tt.want, got, 1e-9, tt.in)
	}
	for in, problem := range map[string]string{
		"180":                            `"180" has no unit; write it with mm, cm, m, in or yd, such as 180mm`,
		"5 ft":                           `the unit of "5 ft" is not known`,
		"":                               "a number is missing",
		"mm":                             "a number is missing",
		"1.2.3mm":                        `"1.2.3" is not a number`,
		"1,2,3mm":                        `"1,2,3" is not a number`,
		"--1mm":                          `"--1" is not a number`,
		"1 2mm":                          `"1 2" is not a number`,
		"1/0in":                          `"1/0" divides by nothing`,
		"1e3mm":                          `the unit of "1e3mm" is not known`,
		"1e308mm":                        `the unit of "1e308mm" is not known`,
		"NaN mm":                         "a number is missing",
		"Inf mm":                         "a number is missing",
		"1,250mm":                        `"1,250" could be 1.250 or 1250; write one of these`,
		"12,345cm":                       `could be`,
		"9999999999999999999m":           "is too large",
		strings.Repeat("9", 500) + "mm":  "is too large",
		strings.Repeat("9", 90) + "/1mm": "is not a number",
		"1mm 2mm":                        "is not known",
	} {
		_, err := ParseLength(in)
		assert.ErrorContains(t, err, problem, in)
	}
}

// What is printed with a unit is read back.
func TestLengthRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := math.Round(rapid.Float64Range(-20000, 20000).Draw(t, "mm")*100) / 100
		unit := rapid.SampledFrom([]string{"mm", "cm", "m", "in", "yd", `"`}).Draw(t, "unit")
		s := fmt.Sprintf("%.9f%s", mm/mmPerUnit[unit], unit)
		if rapid.Bool().Draw(t, "comma") {
			s = strings.Replace(s, ".", ",", 1)
		}
		got, err := ParseLength(s)
		if err != nil || math.Abs(got-mm) > 1e-5 {
			t.Fatalf("%s: %g, %v; want %g", s, got, err, mm)
		}
	})
}

func TestParseAngle(t *testing.T) {
	for in, want := range map[string]float64{"2deg": 2, "1.5°": 1.5, "-3 degrees": -3, "1 degree": 1, "0deg": 0, "2,5deg": 2.5, "360deg": 360} {
		got, err := ParseAngle(in)
		require.NoError(t, err, in)
		assert.Equal(t, want, got, in)
	}
	for in, problem := range map[string]string{
		"2": `"2" is not in degrees; write it with deg, such as 2deg`, "2rad": "not in degrees", "deg": "a number is missing",
		"400deg": "more than a full turn", "": "a number is missing", "NaNdeg": "a number is missing",
	} {
		_, err := ParseAngle(in)
		assert.ErrorContains(t, err, problem, in)
	}
}

func TestParseFlag(t *testing.T) {
	tests := []struct {
		in, name, fabric string
		w, l             float64
	}{
		{"navy rib: 42 x 60 cm", "navy rib", "navy rib", 420, 600},
		{"navy rib:42x60cm", "navy rib", "navy rib", 420, 600},
		{"navy: 420mm X 0.6 m", "navy", "navy", 420, 600},
		{"navy: 420 × 600 mm", "navy", "navy", 420, 600},
		{"navy: 42 by 60 cm", "navy", "navy", 420, 600},
		{`navy: 16 1/2 x 24 in`, "navy", "navy", 419.1, 609.6},
		{`navy: 16½" x 24"`, "navy", "navy", 419.1, 609.6},
		{"navy 2: 42,5 x 60 cm", "navy 2", "navy", 425, 600},
		{"navy #3: 42 x 60 cm", "navy #3", "navy", 420, 600},
		{"42: 42 x 60 cm", "42", "42", 420, 600},
		{"from: the dress: 42 x 60 cm", "from: the dress", "from: the dress", 420, 600},
		{"sleeve end, navy rib: 42 x 60 cm", "sleeve end", "navy rib", 420, 600},
		{" 2 ,Navy : 42 x 60 cm", "2", "Navy", 420, 600},
		{"  max  by  xaver : 1x1cm", "max by xaver", "max by xaver", 10, 10},
	}
	for _, tt := range tests {
		t.Run(tt.in, func(t *testing.T) {
			got, err := ParseFlag(tt.in)
			require.NoError(t, err)
			assert.Equal(t, tt.name, got.Name)
			assert.Equal(t, tt.fabric, got.Fabric)
			assert.Equal(t, FlagFile, got.File)
			assert.Equal(t, 90.0, got.GrainDeg)
			assert.Equal(t, 1, got.Count)
			box := got.Outline.Bound()
			assert.Equal(t, orb.Point{}, box.Min)
			assert.InDelta(t, tt.w, box.Max[0], 1e-9, "width across the grain, which is vertical")
			assert.InDelta(t, tt.l, box.Max[1], 1e-9)
			assert.Positive(t, plane.SignedArea(got.Outline), "clockwise")
		})
	}
	for in, problem := range map[string]string{
		"":                                       `--scrap: "" has no name and colon before its size; write it as in "navy rib: 42 x 60 cm"`,
		"42 x 60 cm":                             "has no name and colon",
		": 42 x 60 cm":                           "has no name before its colon",
		", navy: 42 x 60 cm":                     "has no name before its colon",
		"navy,: 42 x 60 cm":                      "there is no fabric after the comma",
		"\u200b: 42 x 60 cm":                     "has no name before its colon",
		"navy: 42 cm":                            `--scrap: "navy": "42 cm" is not a width by a length`,
		"navy: 1 x 2 x 3 cm":                     "is not a width by a length",
		"navy:":                                  "is not a width by a length",
		"navy: 42 x 60":                          `width 42: "42" has no unit`,
		"navy: 42 mm x cm":                       "length cm: a number is missing",
		"navy: x 60 cm":                          "its width is missing",
		"navy: 60 cm x":                          "its length is missing",
		"navy: 0 x 60 cm":                        "width 0cm: it is not more than nothing",
		"navy: -5 x 60 cm":                       "it is not more than nothing",
		"navy: 42 x 0.5 mm":                      "length 0.5 mm: it is less than 1 mm",
		"navy: 42 x 60 m":                        "it is more than 20 m",
		"navy: 42 x 60 furlong":                  `width 42furlong: the unit of "42furlong" is not known`,
		"navy: 1,250 x 400 mm":                   "could be 1.250 or 1250",
		strings.Repeat("n", 99) + ": 42 x 60 cm": "a name is longer than 80 letters",
	} {
		_, err := ParseFlag(in)
		assert.ErrorContains(t, err, problem, in)
	}
}

const header1 = "name,fabric,length_cm,width_cm\n"

func TestReadCSV(t *testing.T) {
	read := func(text string) []piece.Scrap {
		t.Helper()
		got, err := ReadCSV(strings.NewReader(text), "s.csv")
		require.NoError(t, err)
		return got
	}
	all := read("name,fabric,length_cm,width_in,count,kind,nap,face,note,colour,Use,Look\n" +
		`sleeve,navy,60,10,2,Knit,yes,both,"from a dress, worn",#123,Lining,blue` + "\n\n" +
		"back,,\t70 ,20,,,,,,,\n")
	require.Len(t, all, 2)
	s := all[0]
	assert.Equal(t, "sleeve navy knit lining from a dress, worn #123 s.csv", strings.Join([]string{s.Name, s.Fabric, s.Kind, s.Use, s.Note, s.Colour, s.File}, " "))
	assert.Equal(t, 2, s.Count)
	assert.True(t, s.Nap)
	assert.True(t, s.BothFaces)
	assert.Equal(t, orb.Ring{{0, 0}, {254, 0}, {254, 600}, {0, 600}}, s.Outline)
	s = all[1]
	assert.Equal(t, 1, s.Count)
	assert.False(t, s.Nap || s.BothFaces)
	assert.Equal(t, "", s.Fabric+s.Kind+s.Use+s.Note)

	// One scrap, 425 mm wide and 600 long, as spreadsheets of many places save it.
	for name, text := range map[string]string{
		"millimetres":                "name,width_mm,length_mm\na,425,600\n",
		"units in brackets":          "Name,Width (mm),Length (cm)\na,425,60\n",
		"units after a space":        "NAME,WIDTH MM,LENGTH M\na,425,0.6\n",
		"semicolons, decimal commas": "name;width_cm;length_cm\na;42,5;60\n",
		"tabs, decimal commas":       "name\twidth_cm\tlength_cm\na\t42,5\t60\n",
		"quoted decimal commas":      "name,width_cm,length_cm\na,\"42,5\",60\n",
		"a byte order mark":          "\ufeffname,width_cm,length_cm\r\na,42.5,60\r\n",
		"a line that names commas":   "sep=;\r\nname;width_cm;length_cm\r\na;42,5;60\r\n",
		"columns of one's own":       "shelf,name,width_cm,bought,length_cm,length of life\n3,a,42.5,May,60,long\n",
		"all quoted":                 `"name","width_cm","length_cm"` + "\n" + `"a","42.5","60"` + "\n",
		"empty columns":              "name,width_cm,length_cm,,\na,42.5,60,,\n,,,,\n",
		"thousandths, by semicolons": "name;width_m;length_cm\na;0,425;60\n",
		"no last line end":           "name,width_cm,length_cm\na,42.5,60",
		"an inch mark in a note":     "name,width_cm,length_cm,note\na,42.5,60,about 17\" wide\n",
	} {
		got := read(text)
		require.Len(t, got, 1, name)
		assert.Empty(t, got[0].Notes, name)
		assert.Equal(t, "a", got[0].Name, name)
		box := got[0].Outline.Bound()
		assert.InDelta(t, 425, box.Max[0], 1e-9, name)
		assert.InDelta(t, 600, box.Max[1], 1e-9, name)
	}
	inch := read("name,width_in,length_in\na,16 1/2,24\n")[0].Outline.Bound()
	assert.InDelta(t, 419.1, inch.Max[0], 1e-9)
}

func TestCSVErrors(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"empty", "", "s.csv: the file is empty; give it a first row such as name,fabric,length_cm,width_cm"},
		{"no rows", header1, "s.csv: it has no scraps below its first row; give each scrap a row"},
		{"blank rows", header1 + ",,,\n", "it has no scraps below its first row"},
		{"no header", "navy,navy,42,60\n", "s.csv: row 1: there is no column name; the first row names the columns"},
		{"no width", "name,length_cm\na,5\n", "row 1: there is no column width_cm"},
		{"no length", "name,width_cm\na,5\n", "row 1: there is no column length_cm"},
		{"no unit", "name,length,width_cm\na,5,6\n", `row 1: the column "length" has no unit that is known; name it length_cm, length_mm or length_in`},
		{"an unknown unit", "name,length_ells,width_cm\na,5,6\n", `row 1: the column "length_ells" has no unit that is known`},
		{"two lengths", "name,length_cm,length_in,width_cm\na,5,6,7\n", "row 1: two columns give the length"},
		{"two names", "name,Name,length_cm,width_cm\na,b,5,6\n", `row 1: two columns are named "name"`},
		{"no name", header1 + ",navy,5,6\n", "s.csv: row 2: the scrap has no name; give each row a different one"},
		{"a long name", header1 + strings.Repeat("n", 99) + ",navy,5,6\n", "row 2: the name is longer than 80 letters"},
		{"one name twice", header1 + "a,navy,5,6\nA,navy,7,8\n", `s.csv: "A": two scraps have this name; rename one; scraps of one size can share a row with their count`},
		{"a length of words", header1 + "a,navy,5,6\n\nb,navy,long,6\n", `s.csv: row 4: length long: "long" is not a number`},
		{"a unit in a cell", header1 + "a,navy,5cm,6\n", `row 2: length 5cm: "5cm" is not a number`},
		{"no length in a cell", header1 + "a,navy,,6\n", "row 2: its length is missing"},
		{"a short row", header1 + "a,navy,5\n", "row 2: its width is missing"},
		{"zero", header1 + "a,navy,5,0\n", "row 2: width 0: it is not more than nothing"},
		{"negative", header1 + "a,navy,5,-6\n", "row 2: width -6: it is not more than nothing"},
		{"not a number", header1 + "a,navy,5,NaN\n", `row 2: width NaN: "NaN" is not a number`},
		{"endless", header1 + "a,navy,5,Inf\n", `row 2: width Inf: "Inf" is not a number`},
		{"too large", header1 + "a,navy,5,9000\n", "row 2: width 9000: it is more than 20 m"},
		{"tiny", header1 + "a,navy,5,0.05\n", "row 2: width 0.05: it is less than 1 mm"},
		{"a thousand or one", header1 + "a,navy,5,\"1,250\"\n", `row 2: width 1,250: "1,250" could be 1.250 or 1250; write one of these`},
		{"decimal commas that part cells", header1 + "a,navy,62,5,58\n", "row 2: 58: the row has more cells than the first row has names; a decimal comma"},
		{"count 0", header1[:len(header1)-1] + ",count\na,navy,5,6,0\n", "row 2: count 0: it is not a whole number from 1 to 200; remove the row of a scrap that is gone"},
		{"count many", header1[:len(header1)-1] + ",count\na,navy,5,6,many\n", "row 2: count many"},
		{"use", header1[:len(header1)-1] + ",use\na,navy,5,6,patches\n", "row 2: use patches: it is not lining; write that, or nothing"},
		{"kind", header1[:len(header1)-1] + ",kind\na,navy,5,6,felt\n", "row 2: kind felt: it is neither knit nor woven; write one of these, or nothing"},
		{"nap", header1[:len(header1)-1] + ",nap\na,navy,5,6,some\n", "row 2: nap some: it is neither yes nor no"},
		{"face", header1[:len(header1)-1] + ",face\na,navy,5,6,left\n", "row 2: face left: it is neither one nor both"},
		{"not UTF-8", header1 + "a,m\xe4rz,5,6\n", "s.csv: it is not text in UTF-8; save it from the spreadsheet as CSV, UTF-8"},
		{"a quotation that never ends", header1 + "\"a,navy,5,6\n", "row 2: "},
		{"too many rows", header1 + strings.Repeat("a,navy,5,6\n", 2000), "it has more than 2000 rows"},
		{"too many cells", header1 + strings.Repeat(",", 500), "row 2: it has more than 500 cells"},
		{"too many cells parted by tabs", "sep=\t\nname\n" + strings.Repeat("\t", 500), "row 3: it has more than 500 cells"},
		{"too large a file", strings.Repeat("a", 1<<20+1), "the file is larger than 1 MB"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadCSV(strings.NewReader(tt.text), "s.csv")
			require.Error(t, err)
			assert.Contains(t, err.Error(), tt.want)
			assert.Contains(t, err.Error(), "s.csv")
			assert.NotContains(t, err.Error(), "\n")
			var known *piece.Error
			assert.ErrorAs(t, err, &known)
		})
	}
}

func TestDistinct(t *testing.T) {
	assert.NoError(t, Distinct(nil))
	assert.NoError(t, Distinct([]piece.Scrap{{Name: "a"}, {Name: "b"}}))
	err := Distinct([]piece.Scrap{{Name: "navy", File: "s.csv"}, {Name: "Navy", File: "--scrap"}})
	assert.EqualError(t, err, `--scrap: "Navy": two scraps have this name (the other is in s.csv); rename one`, "the command line has no rows")
	err = Distinct([]piece.Scrap{{Name: "navy", File: "s.CSV"}, {Name: "Navy", File: "s.CSV"}})
	assert.EqualError(t, err, `s.CSV: "Navy": two scraps have this name; rename one; scraps of one size can share a row with their count`)
	err = Distinct([]piece.Scrap{{Name: "navy", File: "s.svg"}, {Name: "Navy", File: "s.svg"}})
	assert.EqualError(t, err, `s.svg: "Navy": two scraps have this name; rename one`, "a drawing has no rows")
}
