// Package measure writes lengths and areas as somebody who sews reads them
// off a tape measure: whole millimetres, tenths of a centimetre, or an inch's
// fractions. What is given is always in mm; the unit decides the words only.
package measure

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Unit is what lengths are written in. The zero value is Millimetres.
type Unit int

// The units of tape measures.
const (
	Millimetres Unit = iota
	Centimetres
	Inches
)

const (
	inchMM = 25.4  // international yard and pound agreement, 1959
	yardMM = 914.4 // the same
)

// Parse reads mm, cm or in.
func Parse(s string) (Unit, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "mm":
		return Millimetres, nil
	case "cm":
		return Centimetres, nil
	case "in":
		return Inches, nil
	}
	return 0, fmt.Errorf("give mm, cm or in")
}

// String is mm, cm or in.
func (u Unit) String() string { return [...]string{"mm", "cm", "in"}[u] }

// Length is a length as a tape measure shows it: to the nearest millimetre,
// tenth of a centimetre or sixteenth of an inch.
func (u Unit) Length(mm float64) string { return u.tape(mm, math.Round) }

// Missing is by how much something is short, never rounded down; a dash for
// less than can be measured.
func (u Unit) Missing(mm float64) string {
	if mm < 0.05 {
		return "–"
	}
	if u == Millimetres {
		return fmt.Sprintf("%.1f mm", mm)
	}
	return u.tape(mm-0.05, math.Ceil)
}

// Long is a length to be marked on a part: tenths of a centimetre, or
// sixteenths of an inch.
func (u Unit) Long(mm float64) string {
	if u == Inches {
		return u.tape(mm, math.Round)
	}
	return Centimetres.tape(mm, math.Round)
}

// Mark is a distance at which a place is marked on cloth: half millimetres,
// written in cm, or as fine for inches, thirty-seconds: what is placed by
// several of them is to be within a millimetre.
func (u Unit) Mark(mm float64) string {
	if u == Inches {
		return inches(int(math.Round(mm/inchMM*32)), 32)
	}
	return strconv.FormatFloat(math.Round(mm*2)/20+0, 'f', -1, 64) + " cm"
}

// Size is how large a thing is that is cut: its length along the grain by its
// width across it, in this order always.
func (u Unit) Size(lengthMM, widthMM float64) string {
	unit := " cm"
	if u == Inches {
		unit = " in"
	}
	return strings.TrimSuffix(u.Long(lengthMM), unit) + " × " + u.Long(widthMM)
}

// Fine is a short length, such as an allowance or a difference: tenths of a
// millimetre, or sixteenths of an inch.
func (u Unit) Fine(mm float64) string {
	if u == Inches {
		return u.tape(mm, math.Round)
	}
	return strconv.FormatFloat(math.Round(mm*10)/10+0, 'f', -1, 64) + " mm"
}

// Area is an area of cloth: square metres, or square yards for inches.
func (u Unit) Area(mm2 float64) string {
	if u == Inches {
		return fmt.Sprintf("%.2f yd²", mm2/(yardMM*yardMM))
	}
	return fmt.Sprintf("%.2f m²", mm2/1e6)
}

// Patch is an area no larger than a scrap: square centimetres, or square
// inches.
func (u Unit) Patch(mm2 float64) string {
	area, unit := u.patch(mm2)
	return fmt.Sprintf("%.0f %s", area, unit)
}

// FinePatch is such an area that was measured, a small one to three digits, so that
// rounding it stays below 1 %.
func (u Unit) FinePatch(mm2 float64) string {
	area, unit := u.patch(mm2)
	digits := 0
	for bound := 100.0; digits < 2 && area < bound; bound /= 10 {
		digits++
	}
	return fmt.Sprintf("%.*f %s", digits, area, unit)
}

func (u Unit) patch(mm2 float64) (area float64, unit string) {
	if u == Inches {
		return mm2 / (inchMM * inchMM), "in²"
	}
	return mm2 / 100, "cm²"
}

// inText finds lengths in running text; a point, "12, 40 mm", is none.
var inText = regexp.MustCompile(`(-?[0-9.]+, )?([0-9]+(?:\.[0-9]+)?) mm\b`)

// Text adds inches to each length in mm that a text has; for the other units
// the text is as it was.
func (u Unit) Text(s string) string {
	if u != Inches {
		return s
	}
	return inText.ReplaceAllStringFunc(s, func(found string) string {
		m := inText.FindStringSubmatch(found)
		mm, err := strconv.ParseFloat(m[2], 64)
		if err != nil || m[1] != "" {
			return found
		}
		return found + " (" + u.Long(mm) + ")"
	})
}

// tape is a length in the unit; of an inch, in sixteenths, which is as fine as
// a tape measure goes.
func (u Unit) tape(mm float64, round func(float64) float64) string {
	switch u {
	case Centimetres:
		return fmt.Sprintf("%.1f cm", round(mm)/10+0)
	case Inches:
		return inches(int(round(mm/inchMM*16)), 16)
	}
	return fmt.Sprintf("%.0f mm", round(mm)+0)
}

// inches is n parts of an inch, of which an inch has so many, as a fraction in
// its lowest terms.
func inches(n, parts int) string {
	sign := ""
	if n < 0 {
		n, sign = -n, "-"
	}
	whole, over := n/parts, n%parts
	for over%2 == 0 && over > 0 {
		over, parts = over/2, parts/2
	}
	switch {
	case over == 0:
		return fmt.Sprintf("%s%d in", sign, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d in", sign, over, parts)
	}
	return fmt.Sprintf("%s%d %d/%d in", sign, whole, over, parts)
}
