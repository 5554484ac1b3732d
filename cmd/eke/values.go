package main

import (
	"errors"
	"fmt"
	"strconv"

	"eke/piece/scraps"
	"eke/split/wish"
)

// lengthValue is a flag that holds a length, always with its unit.
type lengthValue struct{ mm float64 }

func (v *lengthValue) String() string { return fmt.Sprintf("%gmm", v.mm) }
func (v *lengthValue) Type() string   { return "length" }
func (v *lengthValue) Set(s string) (err error) {
	v.mm, err = scraps.ParseLength(s)
	return err
}

// within refuses a length outside lo to hi.
func (v *lengthValue) within(flag string, loMM, hiMM float64) error {
	if !(v.mm >= loMM && v.mm <= hiMM) {
		return fmt.Errorf("%s %v: give %gmm to %gmm", flag, v, loMM, hiMM)
	}
	return nil
}

// angleValue is a flag that holds an angle in degrees.
type angleValue struct{ deg float64 }

func (v *angleValue) String() string { return fmt.Sprintf("%gdeg", v.deg) }
func (v *angleValue) Type() string   { return "angle" }
func (v *angleValue) Set(s string) (err error) {
	v.deg, err = scraps.ParseAngle(s)
	return err
}

// check refuses a grain tolerance that is none.
func (v *angleValue) check() error {
	if !(v.deg >= 0 && v.deg <= 45) {
		return fmt.Errorf("--grain-tolerance %v: give 0deg to 45deg", v)
	}
	return nil
}

// seamsValue is a flag that limits how many seams are added, if it is given.
type seamsValue struct{ limit *int }

func (v *seamsValue) String() string {
	if v.limit == nil {
		return ""
	}
	return strconv.Itoa(*v.limit)
}
func (v *seamsValue) Type() string { return "number" }
func (v *seamsValue) Set(s string) error {
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 {
		return errors.New("give a whole number, 0 or more")
	}
	v.limit = &n
	return nil
}

// most is the limit as the search takes it.
func (v *seamsValue) most() int {
	if v.limit == nil {
		return -1
	}
	return *v.limit
}

var wishUsage = "a `wish`, as often as needed: " + wish.Usage()

const dartReachUsage = "how far a dart's point may be moved onto a seam that then takes the dart in, so that you sew the one seam and not the dart too: more saves more darts, and moves their points further; as far may be moved where a dart with two points is widest, for a seam across to make two plain darts of it; 0mm leaves every dart as it is"
