package main

import "eke/svg/measure"

// unitValue is a flag: the unit in which tables and the report show lengths.
// What plan.json holds is always in mm.
type unitValue struct{ measure.Unit }

func (u *unitValue) Type() string { return "unit" }
func (u *unitValue) Set(s string) (err error) {
	u.Unit, err = measure.Parse(s)
	return err
}
