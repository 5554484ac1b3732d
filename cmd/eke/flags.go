package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"eke/piece/spelling"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// once is the value of a flag that is given once at most: which of two would
// count, nobody could tell.
type once struct {
	pflag.Value
	given bool
}

var (
	errTwice = errors.New("it is given twice; give it once")
	errEmpty = errors.New("it is empty; give it something or leave it out")
)

func (o *once) Set(s string) error {
	if o.given {
		return errTwice
	}
	if s == "" && o.Type() == "string" {
		return errEmpty
	}
	o.given = true
	return o.Value.Set(s)
}

// gathering is the value of a flag that may be given several times, each time with something.
type gathering struct {
	pflag.Value
	pflag.SliceValue
}

func (g gathering) Set(s string) error {
	if strings.Trim(s, ", ") == "" {
		return errEmpty
	}
	return g.Value.Set(s)
}

// onceEach lets every flag of a command that takes one value be given once, and
// those that gather values never without one. Those that are only there or not are as
// they were.
func onceEach(cmd *cobra.Command) {
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if several, gathers := f.Value.(pflag.SliceValue); gathers {
			f.Value = gathering{f.Value, several}
		} else if f.Value.Type() != "bool" {
			f.Value = &once{Value: f.Value}
		}
	})
}

// flagError says what is wrong with a flag, and of one that there is not which
// was probably meant.
func flagError(cmd *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) {
		if near := nearestFlag(cmd, unknown.GetSpecifiedName()); near != "" {
			return fmt.Errorf("%w; did you mean --%s?", err, near)
		}
	}
	var bad *pflag.InvalidValueError
	if errors.As(err, &bad) && !errors.Is(err, errTwice) && bad.GetFlag().Value.Type() == "duration" {
		return fmt.Errorf("--%s %s: it is no length of time; write it with s or m, such as 30s or 2m", bad.GetFlag().Name, bad.GetValue())
	}
	var number *strconv.NumError
	if errors.As(err, &bad) && errors.As(err, &number) {
		return fmt.Errorf("--%s %s: give a whole number, 0 or more", bad.GetFlag().Name, bad.GetValue())
	}
	return fmt.Errorf("%w; see %s --help", err, cmd.CommandPath())
}

// nearestFlag is the flag that an unknown name was meant to be, or begins.
func nearestFlag(cmd *cobra.Command, name string) string {
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	name = strings.ToLower(name)
	if slices.Contains(names, name) {
		return name
	}
	if near := spelling.Nearest(name, names); near != "" {
		return near
	}
	for _, n := range names {
		if len(name) > 1 && (strings.HasPrefix(n, name) || strings.HasSuffix(n, "-"+name)) {
			return n
		}
	}
	return ""
}
