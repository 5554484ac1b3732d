package main

import (
	"fmt"

	"eke/piece/scraps"
)

// lengthValue is a flag that holds a length, always with its unit.
type lengthValue struct{ mm float64 }

func (v *lengthValue) String() string { return fmt.Sprintf("%gmm", v.mm) }
func (v *lengthValue) Type() string   { return "length" }
func (v *lengthValue) Set(s string) (err error) {
	v.mm, err = scraps.ParseLength(s)
	return err
}

// angleValue is a flag that holds an angle in degrees.
type angleValue struct{ deg float64 }

func (v *angleValue) String() string { return fmt.Sprintf("%gdeg", v.deg) }
func (v *angleValue) Type() string   { return "angle" }
func (v *angleValue) Set(s string) (err error) {
	v.deg, err = scraps.ParseAngle(s)
	return err
}
