package main

import (
	"fmt"
	"math"
	"strings"
)

// units is a flag: the unit in which tables show lengths. What is written to
// files is always in mm.
type units string

const (
	millimetres units = "mm"
	centimetres units = "cm"
	inches      units = "in"
)

func (u *units) String() string { return string(*u) }
func (u *units) Type() string   { return "unit" }
func (u *units) Set(s string) error {
	switch v := units(strings.ToLower(strings.TrimSpace(s))); v {
	case millimetres, centimetres, inches:
		*u = v
		return nil
	}
	return fmt.Errorf("give mm, cm or in")
}

// length is a length as a tape measure shows it: whole millimetres, or
// eighths of an inch.
func (u units) length(mm float64) string { return u.show(mm, math.Round) }

// missing is by how much something is short, never rounded down; a dash for
// less than can be measured.
func (u units) missing(mm float64) string {
	if mm < 0.05 {
		return "–"
	}
	if u == millimetres {
		return fmt.Sprintf("%.1f mm", mm)
	}
	return u.show(mm-0.05, math.Ceil)
}

func (u units) show(mm float64, round func(float64) float64) string {
	switch u {
	case centimetres:
		return fmt.Sprintf("%.1f cm", round(mm)/10)
	case inches:
		eighths := int(round(mm / 25.4 * 8))
		whole, over := eighths/8, eighths%8
		under := 8
		for over%2 == 0 && over > 0 {
			over, under = over/2, under/2
		}
		switch {
		case over == 0:
			return fmt.Sprintf("%d in", whole)
		case whole == 0:
			return fmt.Sprintf("%d/%d in", over, under)
		}
		return fmt.Sprintf("%d %d/%d in", whole, over, under)
	}
	return fmt.Sprintf("%.0f mm", round(mm))
}

// area is an area of cloth: square metres, or square yards for inches.
func (u units) area(mm2 float64) string {
	if u == inches {
		return fmt.Sprintf("%.2f yd²", mm2/(914.4*914.4))
	}
	return fmt.Sprintf("%.2f m²", mm2/1e6)
}
