// Package scraps reads what a maker says about scraps of cloth in words and
// figures: a spreadsheet's rows, a `--scrap` flag, a length, an angle. Scraps
// that are drawn are read by package svg, which asks this package what their
// words and figures mean. ReadCSV, ParseFlag and Distinct give a *piece.Error,
// which names the file and the row; the other functions a plain error, for the
// caller to say where.
//
// Every figure has its unit beside it or in its column's name; one without is
// refused, since a guess would be cut in cloth. A decimal comma is as good as
// a point where it cannot be mistaken. An inch is 25.4 mm exactly.
package scraps

import (
	"fmt"
	"path/filepath"
	"strings"

	"eke/piece"

	"github.com/paulmach/orb"
)

// A scrap beyond these is refused.
const (
	maxMM    = 20_000 // a side
	maxCount = 200    // how many are alike
	maxName  = 80     // letters of its name
)

// rectangle is a scrap known by its size: width across the grain, length
// along it, its grain vertical.
func rectangle(widthMM, lengthMM float64) piece.Scrap {
	return piece.Scrap{
		Outline:  orb.Ring{{0, 0}, {widthMM, 0}, {widthMM, lengthMM}, {0, lengthMM}},
		GrainDeg: 90,
		Count:    1,
	}
}

// size says what is wrong with a side of a scrap, or nothing.
func size(mm float64) error {
	switch {
	case !(mm > 0):
		return fmt.Errorf("it is not more than nothing")
	case mm < 1:
		return fmt.Errorf("it is less than 1 mm")
	case mm > maxMM:
		return fmt.Errorf("it is more than %d m", maxMM/1000)
	}
	return nil
}

// Distinct checks that no two scraps of a pile have one name, in any case of
// letters. The error is a *piece.Error.
func Distinct(pile []piece.Scrap) error {
	seen := map[string]piece.Scrap{}
	for _, s := range pile {
		key := strings.ToLower(s.Name)
		if o, ok := seen[key]; ok {
			where, cure := "", "rename one"
			if strings.EqualFold(filepath.Ext(s.File), ".csv") { // which alone has rows
				cure += "; scraps of one size can share a row with their count"
			}
			if o.File != s.File {
				where = " (the other is in " + o.File + ")"
			}
			return &piece.Error{File: s.File, Piece: s.Name, Problem: "two scraps have this name" + where, Cure: cure}
		}
		seen[key] = s
	}
	return nil
}

// ParseYes reads yes or no.
func ParseYes(s string) (bool, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "yes", "y", "true", "1":
		return true, nil
	case "no", "n", "false", "0":
		return false, nil
	}
	return false, fmt.Errorf("it is neither yes nor no")
}

// ParseKind reads the kind of cloth, knit or woven.
func ParseKind(s string) (string, error) {
	switch k := strings.ToLower(strings.TrimSpace(s)); k {
	case "knit", "woven":
		return k, nil
	}
	return "", fmt.Errorf("it is neither knit nor woven")
}

// ParseUse reads what a cloth is set apart for: lining.
func ParseUse(s string) (string, error) {
	if u := strings.ToLower(strings.TrimSpace(s)); u == piece.UseLining {
		return u, nil
	}
	return "", fmt.Errorf("it is not %s", piece.UseLining)
}

// maxShrink is more than any cloth shrinks, in percent. (From memory: loose wool
// may lose 15 %.)
const maxShrink = 30

// ParseShrink reads by how much a cloth shrinks when it is washed, in percent:
// `5%`.
func ParseShrink(s string) (percent float64, err error) {
	v, ok := strings.CutSuffix(strings.TrimSpace(s), "%")
	if !ok && v != "0" {
		return 0, fmt.Errorf("it is not in percent; write it with %%, such as 5%%")
	}
	percent, err = parseDecimal(strings.TrimSpace(v))
	switch {
	case err != nil:
		return 0, err
	case !(percent >= 0):
		return 0, fmt.Errorf("it is less than nothing; cloth that stretches is measured after it is washed")
	case percent > maxShrink:
		return 0, fmt.Errorf("it is more than %d %%", maxShrink)
	}
	return percent, nil
}

// A repeat below or beyond these is no stripe.
const leastRepeatMM, mostRepeatMM = 2, 2000

// ParseStripe reads how the stripes of a cloth run: from one to the next, from the
// top of the cloth to the middle of the first, each nil where it is not given, and
// across the grain or along it.
func ParseStripe(repeatMM, firstMM *float64, runs string) (piece.Stripe, error) {
	s := piece.Stripe{}
	switch strings.ToLower(strings.TrimSpace(runs)) {
	case "", "across":
	case "along":
		s.Along = true
	default:
		return s, fmt.Errorf("stripe_runs %s: it is neither across nor along; write one of these, or nothing for across the grain", short(runs))
	}
	switch {
	case repeatMM == nil && firstMM == nil && runs == "":
		return s, nil
	case repeatMM == nil:
		return s, fmt.Errorf("its stripe_cm is missing; write how far it is from one stripe to the next one like it")
	case firstMM == nil:
		return s, fmt.Errorf("its first_cm is missing; write how far it is from the top of the cloth to the middle of the first stripe, or from the left where stripes run along the grain")
	case !(*repeatMM >= leastRepeatMM && *repeatMM <= mostRepeatMM):
		return s, fmt.Errorf("stripe: a repeat of %g mm is not between %d mm and %d m; measure from one stripe to the next one like it", *repeatMM, leastRepeatMM, mostRepeatMM/1000)
	case !(*firstMM >= 0 && *firstMM <= maxMM):
		return s, fmt.Errorf("first: %g mm is not between nothing and %d m; measure down from the top of the cloth", *firstMM, maxMM/1000)
	}
	s.RepeatMM, s.FirstMM = *repeatMM, *firstMM
	return s, nil
}

// ParseIn reads a number that has its unit in the name of what it says: cm for
// stripe_cm. The result is in mm.
func ParseIn(value, unit string) (mm float64, err error) {
	x, err := parseNumber(strings.TrimSpace(value))
	return x * mmPerUnit[unit], err
}

// ParseFace reads which faces of a cloth can be the right side: one or both.
func ParseFace(s string) (both bool, err error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "one", "1":
		return false, nil
	case "both", "2":
		return true, nil
	}
	return false, fmt.Errorf("it is neither one nor both")
}

// clean is text as a name or a message may show it.
func clean(s string) string {
	s = strings.Map(func(c rune) rune {
		if c == '\uFFFD' || !printable(c) {
			return -1
		}
		return c
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

// short is the start of a text, for messages.
func short(s string) string {
	const most = 30
	if r := []rune(clean(s)); len(r) > most {
		return string(r[:most]) + "…"
	}
	return clean(s)
}
