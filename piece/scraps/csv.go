package scraps

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"eke/piece"
	"eke/piece/spelling"
)

// A file beyond these is refused.
const (
	maxBytes = 1 << 20
	maxRows  = 2000
	maxCells = 500 // of one line
)

// ReadCSV reads a pile of scraps that a spreadsheet saved, a row each. The
// first row names the columns, in any order:
//
//	name     needed, different in every row
//	length   needed, along the grain; the unit is in the name: length_cm
//	width    needed, across the grain: width_in, or width (mm)
//	fabric   what pieces may ask for
//	count    how many are alike, 1 if empty
//	kind     knit or woven
//	nap      yes or no, no if empty
//	face     one or both, one if empty
//	shrink   by how much it shrinks when it is washed: 5%
//	look     what the eye takes it for, its fabric if empty
//	use      lining for cloth that is set apart for it
//	stripe   of striped cloth, from one stripe to the next one like it: stripe_cm
//	first    from the top of the cloth to the middle of its first stripe: first_cm
//	stripe_runs  across the grain or along it, across if empty; along, first is
//	         from the left
//	note, colour
//
// A column of another name is the maker's own. Where its name is almost one of
// these, and that one is not there, a note on the first scrap says so. Columns
// may be parted by commas, semicolons or tabs. Each scrap is a
// rectangle with its grain vertical. There is at least one. The error is a
// *piece.Error and gives the row as a spreadsheet counts it.
func ReadCSV(r io.Reader, file string) ([]piece.Scrap, error) {
	refuse := func(problem, cure string) ([]piece.Scrap, error) {
		return nil, &piece.Error{File: file, Problem: problem, Cure: cure}
	}
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return refuse("the file cannot be read: "+err.Error(), "")
	}
	if len(data) > maxBytes {
		return refuse(fmt.Sprintf("the file is larger than %d MB", maxBytes>>20), "keep the scraps at hand in it")
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if !utf8.Valid(data) {
		return refuse("it is not text in UTF-8", "save it from the spreadsheet as CSV, UTF-8")
	}
	t, err := readTable(data)
	if err != nil {
		return refuse(err.Error(), "save it again from the spreadsheet as CSV")
	}
	return t.scraps(file)
}

// table is a spreadsheet's rows.
type table struct {
	rows         [][]string
	lines        []int // where each starts in the file
	decimalComma bool  // columns are parted by semicolons, so commas are decimal
}

func readTable(data []byte) (table, error) {
	var t table
	separator := rune(',')
	first, rest, _ := strings.Cut(string(data), "\n")
	skipped := 0
	if s, ok := strings.CutPrefix(strings.TrimRight(first, "\r"), "sep="); ok && len(s) == 1 {
		separator, data, skipped = rune(s[0]), []byte(rest), 1
	} else if n := strings.Count(first, ","); strings.Count(first, "\t") > n {
		separator = '\t'
	} else if strings.Count(first, ";") > n {
		separator = ';'
	}
	t.decimalComma = separator == ';'
	// Asked before the rows are taken apart, for a cell of no letters takes
	// fifty times the memory of its comma.
	for n, rest := 1+skipped, data; len(rest) > 0; n++ {
		var line []byte
		line, rest, _ = bytes.Cut(rest, []byte("\n"))
		if bytes.Count(line, []byte(string(separator))) >= maxCells {
			return t, fmt.Errorf("row %d: it has more than %d cells", n, maxCells)
		}
	}
	c := csv.NewReader(bytes.NewReader(data))
	c.Comma = separator
	c.FieldsPerRecord = -1
	c.LazyQuotes = true // a spreadsheet's 24" is an inch mark, not a quotation
	c.TrimLeadingSpace = true
	for {
		row, err := c.Read()
		if err == io.EOF {
			return t, nil
		}
		if err != nil {
			var bad *csv.ParseError
			if errors.As(err, &bad) {
				return t, fmt.Errorf("row %d: %v", bad.Line+skipped, bad.Err)
			}
			return t, err
		}
		line, _ := c.FieldPos(0)
		t.rows, t.lines = append(t.rows, row), append(t.lines, line+skipped)
		if len(t.rows) > maxRows {
			return t, fmt.Errorf("it has more than %d rows", maxRows)
		}
	}
}

// columns is where each known column is, -1 where it is not.
type columns struct {
	name, fabric, length, width, count, kind, look, use, shrink, nap, face, note, colour, stripe, first, runs int
	lengthMM, widthMM, stripeMM, firstMM                                                                      float64 // of one of the column's unit
	notes                                                                                                     []string
}

// firstWord is the word that a column's name begins with.
var firstWord = regexp.MustCompile(`^[a-z]+`)

var header = regexp.MustCompile(`^([a-z]+)(?:[ _]*\(?[ ]*([a-z"″]+)[ ]*\)?)?$`)

func (t table) columns() (columns, error) {
	c := columns{-1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1, 0, 0, 0, 0, nil}
	plain := map[string]*int{
		"name": &c.name, "fabric": &c.fabric, "count": &c.count, "kind": &c.kind, "look": &c.look, "use": &c.use, "shrink": &c.shrink, "nap": &c.nap,
		"face": &c.face, "note": &c.note, "colour": &c.colour, "color": &c.colour, "stripe_runs": &c.runs, "stripe runs": &c.runs,
	}
	sized := map[string]struct {
		at    *int
		mm    *float64
		never bool // is it taken for a column of the maker's own
	}{"length": {&c.length, &c.lengthMM, true}, "width": {&c.width, &c.widthMM, true}, "stripe": {&c.stripe, &c.stripeMM, false}, "first": {&c.first, &c.firstMM, false}}
	var own []string
	for i, h := range t.rows[0] {
		h = strings.ToLower(clean(h))
		if at, ok := plain[h]; ok {
			if *at >= 0 {
				return c, fmt.Errorf("two columns are named %q", h)
			}
			*at = i
			continue
		}
		m := header.FindStringSubmatch(h)
		if m == nil || sized[m[1]].at == nil {
			own = append(own, h)
			continue
		}
		s := sized[m[1]]
		mm, known := mmPerUnit[m[2]]
		if !known && !s.never {
			if own = append(own, h); m[1] == "stripe" {
				c.notes = append(c.notes, fmt.Sprintf("the column %q is not read; name it stripe_cm, and first_cm beside it", short(h)))
			}
			continue
		}
		if !known {
			return c, fmt.Errorf("the column %q has no unit that is known; name it %s_cm, %s_mm or %s_in", short(h), m[1], m[1], m[1])
		}
		if *s.at >= 0 {
			return c, fmt.Errorf("two columns give the %s", m[1])
		}
		*s.at, *s.mm = i, mm
	}
	for _, need := range []struct {
		name string
		at   int
	}{{"name", c.name}, {"length_cm", c.length}, {"width_cm", c.width}} {
		if need.at < 0 {
			return c, fmt.Errorf("there is no column %s; the first row names the columns, such as name, fabric, length_cm, width_cm", need.name)
		}
	}
	known := slices.Sorted(maps.Keys(plain))
	for _, h := range own {
		meant := firstWord.FindString(h)
		if plain[meant] == nil {
			meant = spelling.Nearest(meant, known)
		}
		if at := plain[meant]; at != nil && *at < 0 {
			c.notes = append(c.notes, fmt.Sprintf("the column %q is not read; name it %s", short(h), meant))
		}
	}
	return c, nil
}

func (t table) scraps(file string) ([]piece.Scrap, error) {
	if len(t.rows) == 0 {
		return nil, &piece.Error{File: file, Problem: "the file is empty", Cure: "give it a first row such as name,fabric,length_cm,width_cm, and a row for each scrap"}
	}
	c, err := t.columns()
	if err != nil {
		return nil, &piece.Error{File: file, Element: fmt.Sprintf("row %d", t.lines[0]), Problem: err.Error()}
	}
	var pile []piece.Scrap
	for i, row := range t.rows[1:] {
		if strings.TrimSpace(strings.Join(row, "")) == "" {
			continue
		}
		s, err := t.scrap(c, row)
		if err != nil {
			return nil, &piece.Error{File: file, Element: fmt.Sprintf("row %d", t.lines[i+1]), Problem: err.Error()}
		}
		s.File = file
		pile = append(pile, s)
	}
	if len(pile) == 0 {
		return nil, &piece.Error{File: file, Problem: "it has no scraps below its first row", Cure: "give each scrap a row"}
	}
	for _, n := range c.notes {
		pile[0].Notes = append(pile[0].Notes, file+": "+n)
	}
	return pile, Distinct(pile)
}

func (t table) scrap(c columns, row []string) (piece.Scrap, error) {
	cell := func(i int) string {
		if i < 0 || i >= len(row) {
			return ""
		}
		return clean(row[i])
	}
	side := func(what string, i int, unit float64) (float64, error) {
		v := cell(i)
		read := parseNumber
		if t.decimalComma {
			read = parseDecimal
		}
		x, err := read(v)
		if err == nil {
			err = size(x * unit)
		}
		if err != nil && v != "" {
			return 0, fmt.Errorf("%s %s: %v", what, short(v), err)
		}
		if err != nil {
			return 0, fmt.Errorf("its %s is missing", what)
		}
		return x * unit, nil
	}
	for i := len(t.rows[0]); i < len(row); i++ {
		if v := cell(i); v != "" {
			return piece.Scrap{}, fmt.Errorf("%s: the row has more cells than the first row has names; a decimal comma or a comma in a text needs quotes around the cell", short(v))
		}
	}
	name := cell(c.name)
	if name == "" {
		return piece.Scrap{}, errors.New("the scrap has no name; give each row a different one")
	}
	if len([]rune(name)) > maxName {
		return piece.Scrap{}, fmt.Errorf("the name is longer than %d letters", maxName)
	}
	w, err := side("width", c.width, c.widthMM)
	if err != nil {
		return piece.Scrap{}, err
	}
	l, err := side("length", c.length, c.lengthMM)
	if err != nil {
		return piece.Scrap{}, err
	}
	s := rectangle(w, l)
	s.Name, s.Fabric, s.Note, s.Colour = name, cell(c.fabric), cell(c.note), cell(c.colour)
	if v := cell(c.count); v != "" {
		if s.Count, err = strconv.Atoi(v); err != nil || s.Count < 1 || s.Count > maxCount {
			return s, fmt.Errorf("count %s: it is not a whole number from 1 to %d; remove the row of a scrap that is gone", short(v), maxCount)
		}
	}
	if v := cell(c.kind); v != "" {
		if s.Kind, err = ParseKind(v); err != nil {
			return s, fmt.Errorf("kind %s: %v; write one of these, or nothing", short(v), err)
		}
	}
	s.Look = cell(c.look)
	if v := cell(c.use); v != "" {
		if s.Use, err = ParseUse(v); err != nil {
			return s, fmt.Errorf("use %s: %v; write that, or nothing", short(v), err)
		}
	}
	if v := cell(c.shrink); v != "" {
		if s.Shrink, err = ParseShrink(v); err != nil {
			return s, fmt.Errorf("shrink %s: %v", short(v), err)
		}
	}
	if s.Stripe, err = t.stripe(cell(c.stripe), c.stripeMM, cell(c.first), c.firstMM, cell(c.runs)); err != nil {
		return s, err
	}
	if v := cell(c.nap); v != "" {
		if s.Nap, err = ParseYes(v); err != nil {
			return s, fmt.Errorf("nap %s: %v; write one of these, or nothing", short(v), err)
		}
		s.NoNap = !s.Nap
	}
	if v := cell(c.face); v != "" {
		if s.BothFaces, err = ParseFace(v); err != nil {
			return s, fmt.Errorf("face %s: %v; write one of these, or nothing", short(v), err)
		}
	}
	return s, nil
}

// stripe is the stripes of a row.
func (t table) stripe(repeat string, repeatUnit float64, first string, firstUnit float64, runs string) (piece.Stripe, error) {
	length := func(what, v string, unit float64) (float64, error) {
		read := parseNumber
		if t.decimalComma {
			read = parseDecimal
		}
		x, err := read(v)
		if err != nil {
			return 0, fmt.Errorf("%s %s: %v", what, short(v), err)
		}
		return x * unit, nil
	}
	var given [2]*float64
	for k, c := range []struct {
		what, v string
		unit    float64
	}{{"stripe", repeat, repeatUnit}, {"first", first, firstUnit}} {
		if c.v != "" {
			mm, err := length(c.what, c.v, c.unit)
			if err != nil {
				return piece.Stripe{}, err
			}
			given[k] = &mm
		}
	}
	return ParseStripe(given[0], given[1], runs)
}
